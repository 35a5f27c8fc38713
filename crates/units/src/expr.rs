//! A quantity, or a sum of quantities and named measures: read once, kept as typed, worked out when the measures are known.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::str::FromStr;

use crate::dim::Dim;
use crate::error::ParseQuantityError;
use crate::eval::{EvalError, EvalProblem, work_out};
use crate::literal::{is_of_inches, unit_said};
use crate::parse::{Act, Step, parse_steps};
use crate::quantity::{Quantity, WrongKind};
use crate::unit::{LengthUnit, Unit, usual_units};

/// A quantity or a sum of quantities and named measures, parsed.
///
/// # Numbers without a unit
/// A file may declare a unit for its lengths (`bare`). Then:
/// - a text of bare numbers alone (`4-1/2`, `2 * 3/8`, `0`) is left open: asked for as a length it is in the declared
///   unit, asked for as a number it is that number;
/// - a bare number that is added to a length, or compared with one, is in the declared unit: in a file in inches,
///   `wrist + 3` is `wrist + 3 in`;
/// - a bare number that multiplies or divides is a plain number: `2 * wrist`, `wrist / 2`.
///
/// Without a declared unit a bare number is a plain number, and `wrist + 3` and a length of `4.5` are errors that say
/// to write the unit. Zero is zero in any unit. An angle, force, moment, mass or stress always carries its unit.
///
/// # Dashes and commas
/// A dash close between a whole number and a fraction, or between feet and inches, means "and": `1-1/8 in`,
/// `1'-2 3/4"`. A dash with spaces is minus, and is refused where "and" could be meant (`1 - 1/8 in`). A comma between
/// digits is a decimal comma (`28,5 mm`), but before exactly three digits (`1,250`) it could part thousands and is
/// refused, and inside a function (`max(1,5)`) it could part two values and is refused: there, write `max(1, 5)`,
/// `max(1; 5)` or `max(1.5, 2)`.
///
/// ```
/// use std::collections::BTreeMap;
/// use units::{Expr, LengthUnit, Quantity};
///
/// let wrist = BTreeMap::from([("wrist".to_owned(), Quantity::from_mm(60.0))]);
/// let sum = Expr::parse("wrist / 2 + 3/8 in", None)?;
/// assert_eq!(sum.eval_in(&wrist)?.length_mm()?, 30.0 + 9.525);
///
/// let bare = Expr::parse("1-1/8", Some(LengthUnit::In))?;
/// assert_eq!(bare.eval_in(&wrist)?.length_mm()?, 28.575);
///
/// let mixed = Expr::parse("wrist + 30 deg", None)?.eval_in(&wrist);
/// assert_eq!(
///     mixed.unwrap_err().to_string(),
///     "a length and an angle cannot be added",
/// );
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Expr {
    text: String,
    bare: Option<LengthUnit>,
    steps: Vec<Step>,
}

impl Expr {
    /// Reads a text; `bare` is the unit that its file declares for bare numbers, if it does.
    pub fn parse(text: &str, bare: Option<LengthUnit>) -> Result<Self, ParseQuantityError> {
        match parse_steps(text, bare) {
            Ok(steps) => Ok(Self {
                text: text.to_owned(),
                bare,
                steps,
            }),
            Err(mut error) => {
                error.fixes.retain(|fix| parse_steps(fix, bare).is_ok());
                Err(error)
            }
        }
    }

    /// As it was typed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The unit its file declares for bare numbers.
    pub fn bare_unit(&self) -> Option<LengthUnit> {
        self.bare
    }

    /// The names of measures it uses.
    pub fn names(&self) -> BTreeSet<&str> {
        self.steps
            .iter()
            .filter(|step| step.act == Act::Name)
            .map(|step| &self.text[step.at.clone()])
            .collect()
    }

    /// Does it use no measure, so that its value never changes?
    pub fn is_plain(&self) -> bool {
        self.steps.iter().all(|step| step.act != Act::Name)
    }

    /// Is it written in inches or feet: does the first number that has a unit of length say one of these, or, where none says
    /// any, its file?
    ///
    /// ```
    /// use units::{Expr, LengthUnit};
    ///
    /// assert!(Expr::parse("5 ft 3 in", None)?.is_in_inches());
    /// assert!(Expr::parse("3/8", Some(LengthUnit::In))?.is_in_inches());
    /// // Measures are of any unit, whatever letters are in their names.
    /// assert!(!Expr::parse("shin + 3 mm", Some(LengthUnit::In))?.is_in_inches());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn is_in_inches(&self) -> bool {
        let mut lengths = self.units().flatten().filter(|unit| unit.dim == Dim::LENGTH);
        let said = lengths.next().map(is_of_inches);
        said.unwrap_or(matches!(self.bare, Some(LengthUnit::In | LengthUnit::Ft)))
    }

    /// Is it made of bare numbers alone, so that as a length it is in the unit of its file?
    pub fn is_bare(&self) -> bool {
        self.is_plain() && self.units().all(|unit| unit.is_none())
    }

    /// The unit of each of its numbers, where it has one.
    fn units(&self) -> impl Iterator<Item = Option<Unit>> {
        let values = self.steps.iter().filter(|step| matches!(step.act, Act::Value(_)));
        values.map(|step| unit_said(&self.text[step.at.clone()]))
    }

    /// Works it out with the measures that `lookup` knows.
    pub fn eval(&self, lookup: &dyn Fn(&str) -> Option<Quantity>) -> Result<Quantity, EvalError> {
        work_out(&self.text, &self.steps, lookup)
    }

    /// Works it out with these measures; an unknown name is reported with the nearest of theirs.
    pub fn eval_in(&self, measures: &BTreeMap<String, Quantity>) -> Result<Quantity, EvalError> {
        self.eval(&|name| measures.get(name).copied())
            .map_err(|mut error| {
                error.name_nearest(measures.keys().map(String::as_str));
                error
            })
    }

    /// Works it out when it uses no measure.
    pub fn value(&self) -> Result<Quantity, EvalError> {
        self.eval(&|_| None)
    }

    /// Whole texts that can stand in place of this one and do not have this error, likeliest first; none where nothing
    /// can be guessed.
    pub fn fixes(&self, error: &EvalError) -> Vec<String> {
        let Some(part) = self.text.get(error.at.clone()) else {
            return Vec::new();
        };
        let instead = match &error.problem {
            EvalProblem::UnknownName {
                nearest: Some(near), ..
            } => vec![near.clone()],
            EvalProblem::KindsDiffer { kinds, .. } if kinds.no_unit.is_some() => {
                let wanted = if kinds.left == Dim::NUMBER {
                    kinds.right
                } else {
                    kinds.left
                };
                with_units(part, wanted)
            }
            EvalProblem::WrongKind {
                wanted,
                no_unit: Some(_),
                ..
            } => with_units(part, *wanted),
            _ => Vec::new(),
        };
        let (before, after) = (&self.text[..error.at.start], &self.text[error.at.end..]);
        let mut fixes: Vec<String> = instead
            .iter()
            .map(|new| format!("{before}{new}{after}"))
            .collect();
        fixes.retain(|fix| parse_steps(fix, self.bare).is_ok());
        fixes
    }

    /// Whole texts with a unit added, when that is all that the wanted kind lacks: "4.5 mm" and "4.5 in" for "4.5".
    ///
    /// ```
    /// let reach = units::Expr::parse("3/8", None)?;
    /// let wrong = reach.value()?.length_mm().unwrap_err();
    /// assert_eq!(reach.fixes_of_kind(&wrong), ["3/8 mm", "3/8 in"]);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn fixes_of_kind(&self, wrong: &WrongKind) -> Vec<String> {
        if wrong.no_unit.is_some() {
            with_units(self.text.trim(), wrong.wanted)
        } else {
            Vec::new()
        }
    }
}

/// A part with each of the usual units of a kind: added to a number, multiplied onto a longer sum.
fn with_units(part: &str, wanted: Dim) -> Vec<String> {
    let is_number = parse_steps(part, None).is_ok_and(|steps| {
        matches!(
            steps.as_slice(),
            [Step {
                act: Act::Value(_),
                ..
            }] | [_, Step { act: Act::Negate, .. }]
        )
    });
    usual_units(wanted)
        .iter()
        .map(|unit| {
            if is_number {
                format!("{part} {unit}")
            } else {
                format!("({part}) * 1 {unit}")
            }
        })
        .collect()
}

/// A quantity as a sum of one, written so that it reads back exactly.
impl From<Quantity> for Expr {
    fn from(quantity: Quantity) -> Self {
        let text = quantity.to_string();
        let step = Step {
            act: Act::Value(quantity),
            at: 0..text.len(),
        };
        Self {
            text,
            bare: None,
            steps: vec![step],
        }
    }
}

impl FromStr for Expr {
    type Err = ParseQuantityError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text, None)
    }
}

/// As it was typed.
impl fmt::Display for Expr {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}
