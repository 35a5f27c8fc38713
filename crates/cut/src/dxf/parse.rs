//! Reading the grain of the file: pairs of group code and value, with the line they stand on.

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
    /// A group code is no whole number.
    #[error("line {line}: expected a group code (a whole number), found {found:?}")]
    NoCode {
        /// Line, from 1.
        line: usize,
        /// What stands there, cut short.
        found: String,
    },
    /// A value is no finite number.
    #[error("line {line}: expected a number for group {code}, found {found:?}")]
    NoNumber {
        /// Line of the value, from 1.
        line: usize,
        /// The group code.
        code: i32,
        /// What stands there, cut short.
        found: String,
    },
    /// The text ends within a pair, or without the end mark.
    #[error("line {line}: the drawing ends early")]
    EndsEarly {
        /// The last line.
        line: usize,
    },
    /// A part of the file starts where it may not, or never ends.
    #[error("line {line}: {found:?} is out of place")]
    OutOfPlace {
        /// Line, from 1.
        line: usize,
        /// What stands there, cut short.
        found: String,
    },
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
/// How much of a wrong line is shown.
const SHOWN_CHARS: usize = 40;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pair<'a> {
    pub(super) code: i32,
    pub(super) value: &'a str,
    /// Line of the value, from 1.
    pub(super) line: usize,
}

impl Pair<'_> {
    pub(super) fn number(&self) -> Result<f64, DxfReadError> {
        self.value
            .parse::<f64>()
            .ok()
            .filter(|number| number.is_finite())
            .ok_or_else(|| DxfReadError::NoNumber {
                line: self.line,
                code: self.code,
                found: shown(self.value),
            })
    }

    pub(super) fn whole(&self) -> Result<i64, DxfReadError> {
        self.value.parse().map_err(|_| DxfReadError::NoNumber {
            line: self.line,
            code: self.code,
            found: shown(self.value),
        })
    }

    pub(super) fn out_of_place(&self) -> DxfReadError {
        DxfReadError::OutOfPlace {
            line: self.line,
            found: shown(self.value),
        }
    }
}

fn shown(text: &str) -> String {
    text.chars().take(SHOWN_CHARS).collect()
}

/// All pairs up to the end mark, comments left out.
pub(super) fn pairs(text: &str) -> Result<Vec<Pair<'_>>, DxfReadError> {
    if text.len() > LONGEST_TEXT_BYTES {
        return Err(DxfReadError::TooLong {
            bytes: text.len(),
            most: LONGEST_TEXT_BYTES,
        });
    }
    const COMMENT: i32 = 999;
    let mut pairs = Vec::new();
    let mut lines = text.lines().enumerate();
    let mut last = 0;
    while let Some((i, code_text)) = lines.next() {
        let code = code_text.trim().parse().map_err(|_| DxfReadError::NoCode {
            line: i + 1,
            found: shown(code_text),
        })?;
        let (j, value) = lines.next().ok_or(DxfReadError::EndsEarly { line: i + 1 })?;
        last = j + 1;
        // Spaces at the start of words count; numbers and names are trimmed.
        let value = if code == 1 { value } else { value.trim() };
        match (code, value) {
            (0, "EOF") => return Ok(pairs),
            (COMMENT, _) => {}
            _ => pairs.push(Pair {
                code,
                value,
                line: j + 1,
            }),
        }
    }
    Err(DxfReadError::EndsEarly { line: last })
}
