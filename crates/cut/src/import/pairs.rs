//! The grain of the file: a group code on one line, its value on the next.

use std::borrow::Cow;

use super::error::ImportError;

/// The longest file that is read: a plate with ten thousand edges is near 1 MB.
pub const LONGEST_FILE_BYTES: usize = 64 << 20;
/// The most pairs that are held: they bound the memory, near 32 bytes each.
pub const MOST_PAIRS: usize = 4_000_000;
/// How much of a wrong line is shown.
const SHOWN_CHARS: usize = 40;
/// A coordinate beyond this is damage, in any unit.
const LARGEST_NUMBER: f64 = 1e12;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pair<'a> {
    pub(super) code: i32,
    pub(super) value: &'a str,
    /// Line of the value, from 1.
    pub(super) line: usize,
}

impl Pair<'_> {
    pub(super) fn number(&self) -> Result<f64, ImportError> {
        self.value
            .parse::<f64>()
            .ok()
            .filter(|number| number.abs() <= LARGEST_NUMBER)
            .ok_or_else(|| self.no_number())
    }

    pub(super) fn whole(&self) -> Result<i64, ImportError> {
        self.value.parse().map_err(|_| self.no_number())
    }

    fn no_number(&self) -> ImportError {
        ImportError::NoNumber {
            line: self.line,
            code: self.code,
            found: shown(self.value),
        }
    }

    pub(super) fn out_of_place(&self) -> ImportError {
        ImportError::OutOfPlace {
            line: self.line,
            found: shown(self.value),
        }
    }

    pub(super) fn starts(&self, what: &str) -> bool {
        self.code == 0 && self.value == what
    }
}

fn shown(text: &str) -> String {
    text.chars().take(SHOWN_CHARS).collect()
}

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

/// All pairs up to the end mark or the end of the text, comments left out.
pub(super) fn pairs(text: &str) -> Result<Vec<Pair<'_>>, ImportError> {
    const COMMENT: i32 = 999;
    let mut pairs = Vec::new();
    let mut lines = text.lines().enumerate();
    while let Some((i, code_text)) = lines.next() {
        let code_text = code_text.trim();
        let Some((j, value)) = lines.next() else {
            // A last empty line is no pair.
            return if code_text.is_empty() {
                Ok(pairs)
            } else {
                Err(ImportError::EndsEarly { line: i + 1 })
            };
        };
        let code = code_text.parse().map_err(|_| ImportError::NoCode {
            line: i + 1,
            found: shown(code_text),
        })?;
        let value = value.trim();
        match (code, value) {
            (0, "EOF") => return Ok(pairs),
            (COMMENT, _) => {}
            _ if pairs.len() == MOST_PAIRS => {
                return Err(ImportError::TooMany {
                    line: j + 1,
                    what: "pairs of code and value",
                    most: MOST_PAIRS,
                });
            }
            _ => pairs.push(Pair {
                code,
                value,
                line: j + 1,
            }),
        }
    }
    Ok(pairs)
}
