//! The pairs of somebody's file.

use std::borrow::Cow;

use super::error::ImportError;
use crate::grain::{Pair, Pairs};

/// The longest file that is read: a plate with ten thousand edges is near 1 MB.
pub const LONGEST_FILE_BYTES: usize = 64 << 20;
/// The most pairs that are held: they bound the memory, near 32 bytes each.
pub const MOST_PAIRS: usize = 4_000_000;

/// The file as text; older files are in code pages of their own, of which only the plain letters matter here.
pub(super) fn text_of(bytes: &[u8]) -> Result<Cow<'_, str>, ImportError> {
    if bytes.len() > LONGEST_FILE_BYTES {
        return Err(ImportError::TooLong {
            bytes: bytes.len(),
            most: LONGEST_FILE_BYTES,
        });
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    // The binary form and every other kind of file have zeros soon.
    if bytes.contains(&0) {
        return Err(ImportError::NotText);
    }
    Ok(String::from_utf8_lossy(bytes))
}

/// All pairs up to the end mark or the end of the text.
pub(super) fn pairs(text: &str) -> Result<Vec<Pair<'_>>, ImportError> {
    let mut pairs = Vec::new();
    for pair in Pairs::of(text) {
        let pair = pair?;
        if pairs.len() == MOST_PAIRS {
            return Err(ImportError::TooMany {
                line: pair.line,
                what: "pairs of code and value",
                most: MOST_PAIRS,
            });
        }
        pairs.push(pair);
    }
    Ok(pairs)
}
