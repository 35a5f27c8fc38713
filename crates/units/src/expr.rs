//! A quantity, or a sum of quantities and named measures: read once, kept as typed, worked out when the measures are known.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use crate::dim::Dim;
use crate::error::ParseQuantityError;
use crate::function::{Function, NoResult};
use crate::nearest::nearest;
use crate::parse::{Act, Step, parse_steps};
use crate::quantity::{KindsDiffer, Quantity};
use crate::unit::LengthUnit;

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
/// to write the unit. Zero is zero in any unit. An angle, force, mass or stress always carries its unit.
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

/// Why a sum has no value: which bytes of its text, and what is wrong there.
#[derive(Debug, Clone, PartialEq)]
pub struct EvalError {
    /// Bytes of the text of the sum.
    pub at: Range<usize>,
    /// What is wrong.
    pub problem: EvalProblem,
}

/// The ways in which a sum has no value.
#[derive(Debug, Clone, PartialEq)]
pub enum EvalProblem {
    /// A name that no measure has.
    UnknownName {
        /// The name.
        name: String,
        /// The nearest known name, if any is near.
        nearest: Option<String>,
    },
    /// Two kinds that cannot be added, subtracted or compared.
    KindsDiffer {
        /// "added", "subtracted", or a function's name.
        doing: &'static str,
        /// The two kinds.
        kinds: KindsDiffer,
    },
    /// A function was given another kind than it takes.
    WrongKind {
        /// The function.
        function: Function,
        /// What it takes.
        wanted: Dim,
        /// What it was given.
        found: Dim,
        /// The number, when only its unit is missing.
        no_unit: Option<f64>,
    },
    /// A root of something that has none, as of a length.
    NoRoot {
        /// Its kind.
        of: Dim,
    },
    /// A division by zero.
    OverZero,
    /// A value that the function has no result for: the root of a negative number, a sine above one, a step of zero.
    Outside {
        /// The function.
        function: Function,
        /// The value, in base units.
        value: f64,
    },
    /// A result too large for a number.
    TooLarge,
    /// A product of more lengths, forces and so on than is kept count of.
    TooManyFactors,
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

    /// Works it out with the measures that `lookup` knows.
    pub fn eval(&self, lookup: &dyn Fn(&str) -> Option<Quantity>) -> Result<Quantity, EvalError> {
        let mut values: Vec<Quantity> = Vec::new();
        for step in &self.steps {
            let result = self.work(step, &mut values, lookup);
            let value = result.map_err(|problem| EvalError {
                at: step.at.clone(),
                problem,
            })?;
            if !value.value.is_finite() {
                return Err(EvalError {
                    at: step.at.clone(),
                    problem: EvalProblem::TooLarge,
                });
            }
            values.push(value);
        }
        debug_assert_eq!(values.len(), 1, "the steps of a sum leave one value");
        values.pop().ok_or(EvalError {
            at: 0..self.text.len(),
            problem: EvalProblem::TooLarge,
        })
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

    fn work(
        &self,
        step: &Step,
        values: &mut Vec<Quantity>,
        lookup: &dyn Fn(&str) -> Option<Quantity>,
    ) -> Result<Quantity, EvalProblem> {
        let mut pop = || values.pop().ok_or(EvalProblem::TooLarge);
        match &step.act {
            Act::Value(quantity) => Ok(*quantity),
            Act::Name => {
                let name = &self.text[step.at.clone()];
                let unknown = || EvalProblem::UnknownName {
                    name: name.to_owned(),
                    nearest: None,
                };
                lookup(name).map(Quantity::settled).ok_or_else(unknown)
            }
            Act::Negate => pop().map(|value| value.with_value(-value.value)),
            Act::Add => {
                let (right, left) = (pop()?, pop()?);
                let (one, two, shape) = left.meet(right).map_err(|kinds| differ("added", kinds))?;
                Ok(shape.with_value(one + two))
            }
            Act::Subtract => {
                let (right, left) = (pop()?, pop()?);
                let (one, two, shape) = left.meet(right).map_err(|kinds| differ("subtracted", kinds))?;
                Ok(shape.with_value(one - two))
            }
            Act::Multiply => {
                let (right, left) = (pop()?, pop()?);
                left.times(right).ok_or(EvalProblem::TooManyFactors)
            }
            Act::Divide => {
                let (right, left) = (pop()?, pop()?);
                if right.value == 0.0 {
                    return Err(EvalProblem::OverZero);
                }
                left.over(right).ok_or(EvalProblem::TooManyFactors)
            }
            Act::Call { function, count } => {
                let first = values.len().saturating_sub(*count);
                let arguments = values.split_off(first);
                function
                    .apply(&arguments)
                    .map_err(|none| no_result(*function, none))
            }
        }
    }
}

fn differ(doing: &'static str, kinds: KindsDiffer) -> EvalProblem {
    EvalProblem::KindsDiffer { doing, kinds }
}

fn no_result(function: Function, none: NoResult) -> EvalProblem {
    match none {
        NoResult::Kind {
            wanted,
            found,
            no_unit,
        } => EvalProblem::WrongKind {
            function,
            wanted,
            found,
            no_unit,
        },
        NoResult::Differ(kinds) => EvalProblem::KindsDiffer {
            doing: function.name(),
            kinds,
        },
        NoResult::NoRoot(of) => EvalProblem::NoRoot { of },
        NoResult::Outside(value) => EvalProblem::Outside { function, value },
    }
}

impl EvalError {
    /// Puts the nearest of these names beside a name that is not known.
    pub fn name_nearest<'a>(&mut self, known: impl IntoIterator<Item = &'a str>) {
        if let EvalProblem::UnknownName { name, nearest: near } = &mut self.problem {
            *near = nearest(name, known).map(str::to_owned);
        }
    }
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

impl std::error::Error for EvalError {}

impl fmt::Display for EvalError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.problem.fmt(f)
    }
}

impl fmt::Display for EvalProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownName {
                name,
                nearest: Some(near),
            } => {
                write!(f, "no measure is called `{name}`; did you mean `{near}`?")
            }
            Self::UnknownName { name, nearest: None } => write!(f, "no measure is called `{name}`"),
            Self::KindsDiffer { doing, kinds } => {
                let KindsDiffer { left, right, no_unit } = kinds;
                match *doing {
                    "added" | "subtracted" => write!(f, "{left} and {right} cannot be {doing}")?,
                    function => write!(f, "{function} takes values of one kind, not {left} and {right}")?,
                }
                match no_unit {
                    Some(number) => write!(f, ": write the unit of {number}"),
                    None => Ok(()),
                }
            }
            Self::WrongKind {
                function,
                wanted,
                found,
                no_unit,
            } => {
                write!(f, "{function} takes {wanted}, and this is {found}")?;
                match no_unit {
                    Some(number) if *wanted == Dim::ANGLE => write!(f, ": write {number} deg"),
                    Some(number) => write!(f, ": write the unit of {number}"),
                    None => Ok(()),
                }
            }
            Self::NoRoot { of } => write!(f, "{of} has no square root; an area or a number has"),
            Self::OverZero => f.write_str("this divides by zero"),
            Self::Outside { function, value } => write!(f, "{function} has no value at {value}"),
            Self::TooLarge => f.write_str("this comes out too large to work with"),
            Self::TooManyFactors => f.write_str("this multiplies or divides by too many quantities"),
        }
    }
}
