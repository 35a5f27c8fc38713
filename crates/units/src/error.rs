//! What can be wrong with a text that should be a quantity.

use std::fmt;
use std::ops::Range;

use crate::function::Function;

/// A text that is not a quantity or a sum of quantities and names: where, why, and what to write instead.
#[derive(Debug, Clone, PartialEq)]
pub struct ParseQuantityError {
    /// Bytes of the text, always on character boundaries.
    pub at: Range<usize>,
    /// What is wrong.
    pub problem: ParseProblem,
    /// Whole texts that can stand in place of the one given, likeliest first. Each parses.
    pub fixes: Vec<String>,
}

/// The ways in which a text is not a quantity.
#[derive(Debug, Clone, PartialEq)]
pub enum ParseProblem {
    /// Nothing is written.
    Empty,
    /// Longer than any quantity needs.
    TooLong {
        /// The most bytes read.
        most: usize,
    },
    /// Brackets inside brackets beyond reason.
    TooDeep {
        /// The most levels read.
        most: usize,
    },
    /// A value should stand here; `None` at the end of the text.
    NoValue {
        /// What stands there.
        found: Option<char>,
    },
    /// Something after the value that does not belong to it.
    Stray {
        /// What stands there.
        found: char,
    },
    /// A word after a number that is no unit.
    UnknownUnit {
        /// The word.
        word: String,
    },
    /// A unit with no number before it.
    UnitAlone {
        /// The unit.
        word: String,
    },
    /// A function of another name.
    UnknownFunction {
        /// The name.
        name: String,
        /// The nearest that there is.
        nearest: Option<Function>,
    },
    /// Too few or too many values for a function.
    ArgumentCount {
        /// The function.
        function: Function,
        /// How many were given.
        given: usize,
    },
    /// A bracket that is not closed.
    Unclosed,
    /// A number too large to work with.
    TooLarge,
    /// A fraction over zero.
    OverZero,
    /// A point without digits after it.
    BarePoint,
    /// More than one decimal sign.
    SeveralPoints,
    /// A comma before three digits: a decimal comma or thousands?
    ThousandsComma,
    /// A comma between digits inside a function: decimal or the next value?
    CommaInFunction,
    /// A whole number and a fraction of one or more.
    ImproperFraction,
    /// A dash with spaces between a whole number and a fraction: "and" or minus?
    AndOrMinus,
    /// A dash between feet and inches with spaces: "and" or minus?
    FeetOrMinus,
    /// A dash close between two numbers: minus, a range, a thread?
    CloseDash,
    /// A dash meaning "and" straight after a multiplication or division: which comes first?
    AndAfterOperator,
    /// A bare fraction straight after a division: which comes first?
    FractionAfterDivision,
    /// A division written with spaces where a fraction seems meant.
    SpacedFraction,
    /// Two values side by side with nothing between.
    SideBySide,
    /// Inches after feet without their mark.
    NoInchMark,
    /// A smaller unit beyond one of the larger: 14 in after feet, 20 oz after lb, 75 minutes after degrees.
    SmallerTooLarge {
        /// How many of the smaller make one of the larger.
        limit: u8,
    },
    /// Feet, pounds or degrees that are not whole before their smaller unit.
    LargerNotWhole,
}

impl ParseProblem {
    /// What was expected at that place, as a noun phrase.
    pub fn expected(&self) -> &'static str {
        match self {
            Self::Empty | Self::NoValue { .. } => "a number with its unit, a measure's name, or a bracket",
            Self::TooLong { .. } | Self::TooDeep { .. } => "a shorter sum, with its parts as named measures",
            Self::Stray { .. } | Self::SideBySide => "an operator (+ - * /) or the end",
            Self::UnknownUnit { .. } => {
                "a unit: mm, cm, m, in, ft, thou, deg, rad, N, kN, lbf, kgf, kg, g, lb, oz, MPa, GPa, psi, ksi"
            }
            Self::UnitAlone { .. } => "a number before the unit",
            Self::UnknownFunction { .. } => {
                "one of min, max, abs, sqrt, hypot, sin, cos, tan, asin, acos, atan, atan2, arc, round_up, round_down, \
                 round_near"
            }
            Self::ArgumentCount { .. } => "the right number of values",
            Self::Unclosed => "a closing bracket",
            Self::TooLarge => "a number of ordinary size",
            Self::OverZero => "a fraction over 1 or more",
            Self::BarePoint => "digits after the point",
            Self::SeveralPoints => "one decimal sign",
            Self::ThousandsComma => "a decimal point, or no sign between thousands",
            Self::CommaInFunction => "a decimal point, or a comma and a space between values",
            Self::ImproperFraction => "a fraction less than one",
            Self::AndOrMinus | Self::FeetOrMinus | Self::CloseDash => "a dash that can be read one way only",
            Self::AndAfterOperator | Self::FractionAfterDivision => "brackets round the number",
            Self::SpacedFraction => "a fraction without spaces",
            Self::NoInchMark => "an inch mark",
            Self::SmallerTooLarge { .. } => "less than one of the larger unit",
            Self::LargerNotWhole => "a whole number before the smaller unit",
        }
    }
}

impl fmt::Display for ParseProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("nothing is written here"),
            Self::TooLong { most } => write!(f, "this is longer than {most} bytes"),
            Self::TooDeep { most } => write!(f, "brackets stand more than {most} deep"),
            Self::NoValue { found: Some(found) } => write!(f, "a value should stand where `{found}` is"),
            Self::NoValue { found: None } => f.write_str("a value is missing at the end"),
            Self::Stray { found } => write!(f, "`{found}` does not belong here"),
            Self::UnknownUnit { word } => write!(f, "`{word}` is not a unit"),
            Self::UnitAlone { word } => write!(f, "`{word}` is a unit, and no number stands before it"),
            Self::UnknownFunction { name, .. } => write!(f, "there is no function `{name}`"),
            Self::ArgumentCount { function, given } => {
                write!(f, "{function} takes {}, not {given}", function.takes())
            }
            Self::Unclosed => f.write_str("this bracket is not closed"),
            Self::TooLarge => f.write_str("this number is too large"),
            Self::OverZero => f.write_str("a fraction over zero has no value"),
            Self::BarePoint => f.write_str("digits are missing after the point"),
            Self::SeveralPoints => f.write_str("a number has one decimal sign"),
            Self::ThousandsComma => f.write_str("this comma can be read as a decimal or as thousands"),
            Self::CommaInFunction => {
                f.write_str("inside a function, a comma between digits can be a decimal or the next value")
            }
            Self::ImproperFraction => f.write_str("the fraction after a whole number is less than one"),
            Self::AndOrMinus => f.write_str("this dash can be read as \"and\" or as minus"),
            Self::FeetOrMinus => f.write_str("this dash after feet can be read as \"and\" or as minus"),
            Self::CloseDash => f.write_str("a dash close between two numbers can be read several ways"),
            Self::AndAfterOperator => f.write_str(
                "after * or /, a whole number and a fraction joined by a dash can be read two ways",
            ),
            Self::FractionAfterDivision => {
                f.write_str("a fraction straight after a division can be read two ways")
            }
            Self::SpacedFraction => f.write_str("this reads as a division, and a fraction seems meant"),
            Self::SideBySide => f.write_str("two values stand side by side with nothing between"),
            Self::NoInchMark => f.write_str("the inches after the feet have no mark"),
            Self::SmallerTooLarge { limit } => write!(
                f,
                "this must be less than {limit}, which make one of the larger unit"
            ),
            Self::LargerNotWhole => f.write_str("only a whole number can be followed by its smaller unit"),
        }
    }
}

impl ParseQuantityError {
    /// What was expected at that place.
    pub fn expected(&self) -> &'static str {
        self.problem.expected()
    }
}

impl std::error::Error for ParseQuantityError {}

impl fmt::Display for ParseQuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.problem)?;
        if self.fixes.is_empty() {
            Ok(())
        } else {
            write!(f, ": write {}", self.fixes.join(" or "))
        }
    }
}
