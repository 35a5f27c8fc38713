//! Stock as the shop asks for it: the metal and its thickness in one line.

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use thiserror::Error;

use crate::dim::Dim;
use crate::error::ParseProblem;
use crate::expr::Expr;

/// A sheet gauge. It is a thickness only together with a metal: 11 gauge is 3.04 mm in steel, 2.30 mm in aluminium.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Gauge(u8);

/// A text that is not a gauge.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error(
    "`{text}` is not a gauge; write it as 11 ga, from {} to {}",
    Gauge::THICKEST,
    Gauge::THINNEST
)]
pub struct GaugeError {
    /// The text.
    pub text: String,
}

impl Gauge {
    /// The thickest that sheet is listed in.
    pub const THICKEST: u8 = 3;
    /// The thinnest that sheet is listed in.
    pub const THINNEST: u8 = 38;

    /// The gauge of this number; `None` outside [`THICKEST`](Self::THICKEST) to [`THINNEST`](Self::THINNEST).
    pub fn new(number: u8) -> Option<Self> {
        (Self::THICKEST..=Self::THINNEST)
            .contains(&number)
            .then_some(Self(number))
    }

    /// Reads `11 ga`, `11ga`, `11 gauge`, `11 gage`.
    ///
    /// ```
    /// assert_eq!(units::Gauge::parse("11 ga")?.number(), 11);
    /// # Ok::<(), units::GaugeError>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, GaugeError> {
        let error = || GaugeError {
            text: text.trim().to_owned(),
        };
        let lower = text.trim().to_lowercase();
        let digits = ["gauge", "gage", "ga.", "ga"]
            .into_iter()
            .find_map(|word| lower.strip_suffix(word));
        let digits = digits.ok_or_else(error)?.trim();
        if !digits.chars().all(|c| c.is_ascii_digit()) {
            return Err(error());
        }
        digits.parse().ok().and_then(Self::new).ok_or_else(error)
    }

    /// Its number.
    pub fn number(self) -> u8 {
        self.0
    }
}

impl fmt::Display for Gauge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ga", self.0)
    }
}

/// A thickness as the shop says it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StockThickness {
    /// A length, in mm; positive.
    Mm(f64),
    /// A gauge, looked up by metal.
    Gauge(Gauge),
}

/// A metal and its thickness, as in "5052-H32 3/16 in".
///
/// ```
/// use units::{StockText, StockThickness};
///
/// let plate = StockText::parse("5052-H32 3/16 in")?;
/// assert_eq!(plate.metal, "5052-H32");
/// assert_eq!(plate.thickness, StockThickness::Mm(4.7625));
/// # Ok::<(), units::StockError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct StockText {
    /// The metal as typed: "5052-H32", "304", "A36 steel".
    pub metal: String,
    /// Bytes of the text that name the metal.
    pub metal_at: Range<usize>,
    /// The thickness.
    pub thickness: StockThickness,
    /// Bytes of the text that give the thickness.
    pub thickness_at: Range<usize>,
}

/// A text that is not a metal and a thickness.
#[derive(Debug, Clone, PartialEq)]
pub struct StockError {
    /// Bytes of the text.
    pub at: Range<usize>,
    /// What is wrong there.
    pub problem: StockProblem,
    /// Whole texts that can stand in its place, likeliest first.
    pub fixes: Vec<String>,
}

/// The ways in which a text is not a metal and a thickness.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum StockProblem {
    /// Nothing is written.
    #[error("stock is a metal and a thickness, and nothing is written")]
    Empty,
    /// There is a thickness alone.
    #[error("this is a thickness, and its metal is missing")]
    NoMetal,
    /// There is a metal alone.
    #[error("this is a metal, and its thickness is missing")]
    NoThickness,
    /// A number at the end that has no unit.
    #[error("this thickness has no unit")]
    NoUnit,
    /// A thickness of zero or less.
    #[error("a thickness is more than zero")]
    NotPositive,
    /// A gauge that sheet is not listed in.
    #[error("sheet is listed from {} to {} gauge", Gauge::THICKEST, Gauge::THINNEST)]
    NoSuchGauge,
    /// The thickness stands before the metal.
    #[error("the metal comes first, then its thickness")]
    ThicknessFirst,
    /// A thickness that is not written as one.
    #[error("{0}")]
    NotRead(ParseProblem),
    /// A unit that is not of length.
    #[error("a thickness is a length or a gauge")]
    NotALength,
}

impl std::error::Error for StockError {}

impl fmt::Display for StockError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.problem.fmt(f)?;
        if self.fixes.is_empty() {
            Ok(())
        } else {
            write!(f, ": write {}", self.fixes.join(" or "))
        }
    }
}

impl StockText {
    /// Reads a metal followed by a thickness with its unit, or by a gauge. The thickness is the longest tail after the
    /// first word that reads as one, so that "6061 T6 1 1/8 in" is 6061 T6 of 1-1/8 in.
    pub fn parse(text: &str) -> Result<Self, StockError> {
        let whole = trimmed(text, 0..text.len());
        let fault = |at: Range<usize>, problem, fixes| Err(StockError { at, problem, fixes });
        if whole.is_empty() {
            return fault(whole, StockProblem::Empty, vec!["5052-H32 3/16 in".to_owned()]);
        }
        // What is wrong with the longest tail that could have been meant as a thickness.
        let mut wrong_tail = None;
        for start in word_starts(text).skip(1) {
            let tail_at = trimmed(text, start..text.len());
            let metal_at = trimmed(text, 0..start);
            let metal = &text[metal_at.clone()];
            match Tail::read(&text[tail_at.clone()]) {
                Tail::Thickness(thickness) if can_be_metal(metal) => {
                    return Ok(Self {
                        metal: metal.to_owned(),
                        metal_at,
                        thickness,
                        thickness_at: tail_at,
                    });
                }
                Tail::Wrong(problem, instead) => {
                    let fixes = instead
                        .iter()
                        .map(|new| format!("{}{new}", &text[..start]))
                        .collect::<Vec<_>>();
                    wrong_tail = wrong_tail.or(Some((tail_at, problem, fixes)));
                }
                Tail::Thickness(_) | Tail::Other => {}
            }
        }
        let stem = &text[whole.clone()];
        let (problem, fixes) = match (Tail::read(stem), thickness_first(text), wrong_tail) {
            (Tail::Thickness(_), _, _) => (StockProblem::NoMetal, Vec::new()),
            (_, Some(turned), _) => (StockProblem::ThicknessFirst, vec![turned]),
            (_, _, Some((at, problem, fixes))) => return fault(at, problem, parsing(fixes)),
            _ if !can_be_metal(stem) => (StockProblem::NoMetal, Vec::new()),
            _ => (
                StockProblem::NoThickness,
                vec![format!("{stem} 3/16 in"), format!("{stem} 3 mm")],
            ),
        };
        fault(whole, problem, parsing(fixes))
    }
}

fn parsing(mut fixes: Vec<String>) -> Vec<String> {
    fixes.retain(|fix| StockText::parse(fix).is_ok());
    fixes
}

/// "3/16 in 5052-H32" turned round, if it is that.
fn thickness_first(text: &str) -> Option<String> {
    word_starts(text).skip(1).find_map(|start| {
        let (thickness, metal) = (text[..start].trim(), text[start..].trim());
        let turns = matches!(Tail::read(thickness), Tail::Thickness(_)) && can_be_metal(metal);
        turns.then(|| format!("{metal} {thickness}"))
    })
}

/// Metals that go by a number alone have three digits or more (304, 5052), so "1 1/8 in" is a thickness without metal
/// and "304 1/8 in" is a metal and its thickness.
fn can_be_metal(text: &str) -> bool {
    text.chars().any(char::is_alphabetic) || (text.len() >= 3 && text.chars().all(|c| c.is_ascii_digit()))
}

/// What a tail of the text can be.
enum Tail {
    Thickness(StockThickness),
    /// It starts as a thickness and is none; with tails that can stand in its place.
    Wrong(StockProblem, Vec<String>),
    Other,
}

impl Tail {
    fn read(tail: &str) -> Self {
        if !tail.starts_with(|c: char| c.is_numeric() || ".-\u{2212}".contains(c)) {
            return Self::Other;
        }
        if let Ok(gauge) = Gauge::parse(tail) {
            return Self::Thickness(StockThickness::Gauge(gauge));
        }
        let lower = tail.to_lowercase();
        let number = ["ga.", "ga", "gauge", "gage"]
            .into_iter()
            .find_map(|word| lower.strip_suffix(word));
        if number.is_some_and(|number| number.trim().chars().all(|c| c.is_ascii_digit())) {
            return Self::Wrong(StockProblem::NoSuchGauge, Vec::new());
        }
        let sum = match Expr::parse(tail, None) {
            Ok(sum) => sum,
            Err(error) => return Self::Wrong(StockProblem::NotRead(error.problem), error.fixes),
        };
        match sum.value().map(|quantity| quantity.as_kind(Dim::LENGTH)) {
            Ok(Ok(thickness_mm)) if thickness_mm > 0.0 => Self::Thickness(StockThickness::Mm(thickness_mm)),
            Ok(Ok(_)) => Self::Wrong(StockProblem::NotPositive, Vec::new()),
            Ok(Err(wrong)) if wrong.found == Dim::NUMBER => Self::Wrong(
                StockProblem::NoUnit,
                ["in", "mm", "ga"].map(|unit| format!("{tail} {unit}")).to_vec(),
            ),
            Ok(Err(_)) => Self::Wrong(StockProblem::NotALength, Vec::new()),
            Err(_) => Self::Other,
        }
    }
}

/// Where each word of the text starts.
fn word_starts(text: &str) -> impl Iterator<Item = usize> {
    let mut after_space = true;
    text.char_indices().filter_map(move |(index, c)| {
        let starts = after_space && !c.is_whitespace();
        after_space = c.is_whitespace();
        starts.then_some(index)
    })
}

/// The range without the spaces at its ends.
fn trimmed(text: &str, range: Range<usize>) -> Range<usize> {
    let part = &text[range.clone()];
    let start = range.start + part.len() - part.trim_start().len();
    let end = range.start + part.trim_end().len();
    start..end.max(start)
}

/// As it would be asked for.
impl fmt::Display for StockText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.thickness {
            StockThickness::Mm(mm) => write!(f, "{} {}", self.metal, crate::Quantity::from_mm(mm)),
            StockThickness::Gauge(gauge) => write!(f, "{} {gauge}", self.metal),
        }
    }
}

impl FromStr for StockText {
    type Err = StockError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(text: &str) -> (String, StockProblem) {
        let error = StockText::parse(text).expect_err("this is not stock");
        (text[error.at].to_owned(), error.problem)
    }

    #[test]
    fn a_metal_and_a_thickness_or_gauge_are_told_apart() {
        for (text, metal, thickness) in [
            ("5052-H32 3/16 in", "5052-H32", StockThickness::Mm(4.7625)),
            ("304 1.5 mm", "304", StockThickness::Mm(1.5)),
            ("304 3/16 in", "304", StockThickness::Mm(4.7625)),
            ("304 1 1/8 in", "304", StockThickness::Mm(28.575)),
            ("304 1-1/2 in", "304", StockThickness::Mm(38.1)),
            ("6061 T6 1 1/8 in", "6061 T6", StockThickness::Mm(28.575)),
            (" A36 steel  3/16\" ", "A36 steel", StockThickness::Mm(4.7625)),
            ("5052-H32 11 ga", "5052-H32", StockThickness::Gauge(Gauge(11))),
            ("5052-H32 11ga", "5052-H32", StockThickness::Gauge(Gauge(11))),
        ] {
            let stock = StockText::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert_eq!(
                (stock.metal.as_str(), stock.thickness),
                (metal, thickness),
                "{text}"
            );
            assert_eq!(&text[stock.metal_at], metal);
        }
    }

    #[test]
    fn what_is_missing_is_named_at_its_place() {
        assert_eq!(refused("3/16 in"), ("3/16 in".to_owned(), StockProblem::NoMetal));
        assert_eq!(
            refused("1 1/8 in"),
            ("1 1/8 in".to_owned(), StockProblem::NoMetal)
        );
        assert_eq!(
            refused("5052-H32"),
            ("5052-H32".to_owned(), StockProblem::NoThickness)
        );
        assert_eq!(
            refused("5052-H32 3/16"),
            ("3/16".to_owned(), StockProblem::NoUnit)
        );
        assert_eq!(
            refused("304 0 mm"),
            ("0 mm".to_owned(), StockProblem::NotPositive)
        );
        assert_eq!(
            refused("304 2 ga"),
            ("2 ga".to_owned(), StockProblem::NoSuchGauge)
        );
        assert_eq!(refused("304 2 kg"), ("2 kg".to_owned(), StockProblem::NotALength));
        assert_eq!(refused("  "), (String::new(), StockProblem::Empty));
    }

    #[test]
    fn a_slip_in_the_thickness_is_shown_with_its_fix() {
        for (text, at, fixes) in [
            ("5052-H32 3/16 inn", "3/16 inn", vec!["5052-H32 3/16 in"]),
            ("11 ga 5052", "11 ga 5052", vec!["5052 11 ga"]),
            ("3/16 in 5052-H32", "3/16 in 5052-H32", vec!["5052-H32 3/16 in"]),
            (
                "304 1 - 1/8 in",
                "1 - 1/8 in",
                vec!["304 1-1/8 in", "304 1 in - (1/8 in)"],
            ),
        ] {
            let error = StockText::parse(text).expect_err(text);
            assert_eq!(
                (&text[error.at.clone()], error.fixes),
                (at, fixes.iter().map(|fix| (*fix).to_owned()).collect())
            );
        }
    }

    #[test]
    fn a_thickness_without_unit_is_offered_with_one() {
        let error = StockText::parse("5052-H32 3/16").expect_err("no unit");
        assert_eq!(error.fixes, ["5052-H32 3/16 in", "5052-H32 3/16 mm"]);
    }
}
