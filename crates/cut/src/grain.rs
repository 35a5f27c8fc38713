//! The grain of a DXF text: a group code on one line, its value on the next. What we read back of our own and what others
//! drew are read through it.

use std::iter::Enumerate;
use std::str::Lines;

/// Why a text is no run of pairs, or a pair not what it must be. Lines count from 1.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum GrainError {
    /// A group code is no whole number.
    #[error("line {line}: expected a group code (a whole number), found {found:?}")]
    NoCode {
        /// The line.
        line: usize,
        /// What stands there, cut short.
        found: String,
    },
    /// A value is no finite number, or beyond all measure.
    #[error("line {line}: expected a number for group {code}, found {found:?}")]
    NoNumber {
        /// Line of the value.
        line: usize,
        /// The group code.
        code: i32,
        /// What stands there, cut short.
        found: String,
    },
    /// The text ends within a pair, or before something that was begun.
    #[error("line {line}: the drawing ends early")]
    EndsEarly {
        /// The last line.
        line: usize,
    },
    /// A part of the file begins or ends where it may not.
    #[error("line {line}: {found:?} is out of place")]
    OutOfPlace {
        /// The line.
        line: usize,
        /// What stands there, cut short.
        found: String,
    },
}

/// How much of a wrong line is shown.
const SHOWN_CHARS: usize = 40;
/// A coordinate beyond this is damage, in any unit.
const LARGEST_NUMBER: f64 = 1e12;
/// The group of a comment.
const COMMENT: i32 = 999;

/// A group code and its value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pair<'a> {
    pub(crate) code: i32,
    pub(crate) value: &'a str,
    /// Line of the value, from 1.
    pub(crate) line: usize,
}

impl Pair<'_> {
    pub(crate) fn number(&self) -> Result<f64, GrainError> {
        self.value
            .parse::<f64>()
            .ok()
            .filter(|number| number.abs() <= LARGEST_NUMBER)
            .ok_or_else(|| self.no_number())
    }

    pub(crate) fn whole(&self) -> Result<i64, GrainError> {
        self.value.parse().map_err(|_| self.no_number())
    }

    fn no_number(&self) -> GrainError {
        GrainError::NoNumber {
            line: self.line,
            code: self.code,
            found: shown(self.value),
        }
    }

    pub(crate) fn out_of_place(&self) -> GrainError {
        GrainError::OutOfPlace {
            line: self.line,
            found: shown(self.value),
        }
    }

    pub(crate) fn starts(&self, what: &str) -> bool {
        self.code == 0 && self.value == what
    }
}

fn shown(text: &str) -> String {
    text.chars().take(SHOWN_CHARS).collect()
}

/// Pairs up to the end mark or the end of the text, comments left out.
pub(crate) struct Pairs<'a> {
    lines: Enumerate<Lines<'a>>,
    /// The line of the last value that was read, from 1; 0 before the first.
    pub(crate) last_line: usize,
    /// Has the end mark been read?
    pub(crate) has_ended: bool,
}

impl<'a> Pairs<'a> {
    pub(crate) fn of(text: &'a str) -> Self {
        Self {
            lines: text.lines().enumerate(),
            last_line: 0,
            has_ended: false,
        }
    }
}

impl<'a> Iterator for Pairs<'a> {
    type Item = Result<Pair<'a>, GrainError>;

    fn next(&mut self) -> Option<Self::Item> {
        while !self.has_ended {
            let (above, code) = self.lines.next()?;
            let (code, line) = (code.trim(), above + 1);
            let Some((_, value)) = self.lines.next() else {
                // A last empty line is no pair.
                return (!code.is_empty()).then_some(Err(GrainError::EndsEarly { line }));
            };
            let Ok(code) = code.parse() else {
                let found = shown(code);
                return Some(Err(GrainError::NoCode { line, found }));
            };
            self.last_line = line + 1;
            // Spaces at the start of words count; numbers and names are trimmed.
            let value = if code == 1 { value } else { value.trim() };
            let pair = Pair {
                code,
                value,
                line: self.last_line,
            };
            self.has_ended = pair.starts("EOF");
            if !self.has_ended && code != COMMENT {
                return Some(Ok(pair));
            }
        }
        None
    }
}
