//! Working out the steps of a sum, and why that can fail.

use std::fmt;
use std::ops::Range;

use crate::dim::Dim;
use crate::function::{Function, NoResult};
use crate::nearest::nearest;
use crate::parse::{Act, Step};
use crate::quantity::{KindsDiffer, Quantity};

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

/// A value and the bytes it comes from.
struct Worked {
    value: Quantity,
    at: Range<usize>,
}

/// The value of the steps of `text`.
pub(crate) fn work_out(
    text: &str,
    steps: &[Step],
    lookup: &dyn Fn(&str) -> Option<Quantity>,
) -> Result<Quantity, EvalError> {
    let mut values: Vec<Worked> = Vec::new();
    for step in steps {
        let value = work(text, step, &mut values, lookup)?;
        if !value.value.is_finite() {
            return Err(EvalError {
                at: step.at.clone(),
                problem: EvalProblem::TooLarge,
            });
        }
        values.push(Worked {
            value,
            at: step.at.clone(),
        });
    }
    let last = values
        .pop()
        .expect("the parser leaves the steps of one whole sum, which leave one value");
    debug_assert!(values.is_empty(), "the steps of a sum leave one value");
    Ok(last.value)
}

fn work(
    text: &str,
    step: &Step,
    values: &mut Vec<Worked>,
    lookup: &dyn Fn(&str) -> Option<Quantity>,
) -> Result<Quantity, EvalError> {
    let count = match &step.act {
        Act::Value(_) | Act::Name => 0,
        Act::Negate => 1,
        Act::Add | Act::Subtract | Act::Multiply | Act::Divide => 2,
        Act::Call { count, .. } => *count,
    };
    let operands = values.split_off(values.len().saturating_sub(count));
    let here = |problem| EvalError {
        at: step.at.clone(),
        problem,
    };
    match (&step.act, operands.as_slice()) {
        (Act::Value(quantity), _) => Ok(*quantity),
        (Act::Name, _) => {
            let name = &text[step.at.clone()];
            let unknown = || {
                here(EvalProblem::UnknownName {
                    name: name.to_owned(),
                    nearest: None,
                })
            };
            lookup(name).map(Quantity::settled).ok_or_else(unknown)
        }
        (Act::Negate, [one]) => Ok(one.value.with_value(-one.value.value)),
        (Act::Add, [one, two]) => {
            let (left, right, shape) = one
                .value
                .meet(two.value)
                .map_err(|kinds| differ("added", kinds, step, &operands))?;
            Ok(shape.with_value(left + right))
        }
        (Act::Subtract, [one, two]) => {
            let (left, right, shape) = one
                .value
                .meet(two.value)
                .map_err(|kinds| differ("subtracted", kinds, step, &operands))?;
            Ok(shape.with_value(left - right))
        }
        (Act::Multiply, [one, two]) => one
            .value
            .times(two.value)
            .ok_or_else(|| here(EvalProblem::TooManyFactors)),
        (Act::Divide, [_, two]) if two.value.value == 0.0 => Err(here(EvalProblem::OverZero)),
        (Act::Divide, [one, two]) => one
            .value
            .over(two.value)
            .ok_or_else(|| here(EvalProblem::TooManyFactors)),
        (Act::Call { function, .. }, operands) => {
            let arguments: Vec<Quantity> = operands.iter().map(|operand| operand.value).collect();
            function
                .apply(&arguments)
                .map_err(|none| no_result(*function, none, step, operands))
        }
        _ => unreachable!("the parser puts the operands of every operator before it"),
    }
}

/// Kinds that differ; the place is the number without a unit, when only that is missing.
fn differ(doing: &'static str, kinds: KindsDiffer, step: &Step, operands: &[Worked]) -> EvalError {
    let bare = operands
        .iter()
        .find(|operand| kinds.no_unit.is_some() && operand.value.is_bare());
    let at = bare.map_or(&step.at, |operand| &operand.at).clone();
    EvalError {
        at,
        problem: EvalProblem::KindsDiffer { doing, kinds },
    }
}

fn no_result(function: Function, none: NoResult, step: &Step, operands: &[Worked]) -> EvalError {
    match none {
        NoResult::Kind { argument, wrong } => {
            let at = operands
                .get(argument)
                .map_or(&step.at, |operand| &operand.at)
                .clone();
            let (wanted, found, no_unit) = (wrong.wanted, wrong.found, wrong.no_unit);
            EvalError {
                at,
                problem: EvalProblem::WrongKind {
                    function,
                    wanted,
                    found,
                    no_unit,
                },
            }
        }
        NoResult::Differ(kinds) => differ(function.name(), kinds, step, operands),
        NoResult::NoRoot(of) => EvalError {
            at: step.at.clone(),
            problem: EvalProblem::NoRoot { of },
        },
        NoResult::Outside(value) => EvalError {
            at: step.at.clone(),
            problem: EvalProblem::Outside { function, value },
        },
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
