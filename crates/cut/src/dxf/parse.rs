//! The pairs of a drawing of our own, with the line they stand on.

use crate::grain::{GrainError, Pair, Pairs};

/// Why a text could not be read back as a drawing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DxfReadError {
    /// The text is longer than any drawing this reader is for.
    #[error("the drawing is {bytes} bytes long; this reader stops at {most}")]
    TooLong {
        /// Length of the text.
        bytes: usize,
        /// The longest text that is read.
        most: usize,
    },
    /// It is no run of codes and values, or one of them is not what it must be.
    #[error(transparent)]
    Grain(#[from] GrainError),
    /// An entity lacks a group that it must have.
    #[error("line {line}: a {entity} has no group {code}")]
    Missing {
        /// Line on which the entity starts, from 1.
        line: usize,
        /// Its kind.
        entity: String,
        /// The group it lacks.
        code: i32,
    },
    /// The file names a form of the format that this reader does not know.
    #[error("the drawing says it is of version {found:?}; AC1015 and AC1009 are read")]
    Version {
        /// What it says.
        found: String,
    },
}

/// A drawing of a plate is far under this; it keeps a wrong file from filling the memory.
const LONGEST_TEXT_BYTES: usize = 64 << 20;

/// All pairs up to the end mark, which must be there.
pub(super) fn pairs(text: &str) -> Result<Vec<Pair<'_>>, DxfReadError> {
    if text.len() > LONGEST_TEXT_BYTES {
        return Err(DxfReadError::TooLong {
            bytes: text.len(),
            most: LONGEST_TEXT_BYTES,
        });
    }
    let mut read = Pairs::of(text);
    let pairs = read.by_ref().collect::<Result<Vec<_>, _>>()?;
    let line = read.last_line;
    if read.has_ended {
        Ok(pairs)
    } else {
        Err(GrainError::EndsEarly { line }.into())
    }
}
