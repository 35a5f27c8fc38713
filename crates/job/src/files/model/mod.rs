//! What the three files say, typed, each value with its place. Expressions are parsed but not yet worked out: that
//! needs the measures of the fit.

mod bender;
mod cutter;
mod design;
mod fit;
mod loads;
mod shop;

use std::ops::Range;

pub use bender::*;
pub use cutter::*;
pub use design::*;
pub use fit::*;
pub use loads::*;
pub use shop::*;

/// Which of the three files.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FileKind {
    /// design.toml
    Design,
    /// fits/NAME.toml
    Fit,
    /// shop.toml
    Shop,
}

/// Where something was said: a byte range of one file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The file.
    pub file: FileKind,
    /// Bytes of its text. For a string value: the characters between the quotes.
    pub span: Range<usize>,
}

/// A value and where it was said.
#[derive(Debug, Clone, PartialEq)]
pub struct Told<T> {
    /// The value.
    pub value: T,
    /// The place.
    pub at: Place,
}

/// A number as typed: a quantity or an expression on measures, parsed, not worked out.
pub type Sum = Told<units::Expr>;
/// The name of something said elsewhere (a point, a hole, an instrument).
pub type Name = Told<String>;
/// A line through two named points, written "A-B".
pub type Line = Told<[String; 2]>;

/// Which side of a line, looking from its first point to its second.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// On the left hand.
    Left,
    /// On the right hand.
    Right,
}

/// Which arm or side the thing is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hand {
    /// Right.
    Right,
    /// Left.
    Left,
}
