//! Working out named measures that use each other.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use crate::eval::EvalError;
use crate::expr::Expr;
use crate::quantity::Quantity;
use crate::{function::Function, unit::is_unit_word};

/// Why a measure has no value.
#[derive(Debug, Clone, PartialEq)]
pub enum MeasureError {
    /// Measures that need each other: each needs the next, and the last the first.
    Cycle {
        /// The names, the alphabetically first one first, each once.
        names: Vec<String>,
    },
    /// Its sum cannot be worked out.
    Sum {
        /// The measure.
        measure: String,
        /// Why, with the place in its text.
        error: EvalError,
    },
}

impl std::error::Error for MeasureError {}

impl fmt::Display for MeasureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Cycle { names } => {
                f.write_str("these measures need each other: ")?;
                for name in names {
                    write!(f, "{name} -> ")?;
                }
                f.write_str(names.first().map_or("", String::as_str))
            }
            Self::Sum { measure, error } => write!(f, "{measure}: {error}"),
        }
    }
}

/// The value of every measure. A bare number is a length in its file's declared unit, else a plain number.
///
/// All errors come at once, in the order of the names: every cycle, and every sum that fails by itself. A measure that
/// only fails because another does is not reported.
///
/// ```
/// use std::collections::BTreeMap;
/// use units::{Expr, resolve_measures};
///
/// let sums = BTreeMap::from([
///     ("pad_out".to_owned(), Expr::parse("reach / 2 + 3/8 in", None)?),
///     ("reach".to_owned(), Expr::parse("100 mm", None)?),
/// ]);
/// let values = resolve_measures(&sums).expect("both have a value");
/// assert_eq!(values["pad_out"].length_mm()?, 59.525);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn resolve_measures(
    sums: &BTreeMap<String, Expr>,
) -> Result<BTreeMap<String, Quantity>, Vec<MeasureError>> {
    resolve_measures_given(sums, &BTreeMap::new())
}

/// The same, with some measures already known (asked of the user, or tried while solving); they win over a sum of the
/// same name and are part of the result.
pub fn resolve_measures_given(
    sums: &BTreeMap<String, Expr>,
    given: &BTreeMap<String, Quantity>,
) -> Result<BTreeMap<String, Quantity>, Vec<MeasureError>> {
    let mut values: BTreeMap<String, Quantity> = given
        .iter()
        .map(|(name, value)| (name.clone(), value.settled()))
        .collect();
    let known: BTreeSet<&str> = sums.keys().chain(given.keys()).map(String::as_str).collect();
    let mut state: BTreeMap<&str, State> = BTreeMap::new();
    let mut errors = Vec::new();
    for start in sums.keys() {
        // The chain of measures being worked out, each needed by the one before, with the names each still has to visit.
        let mut chain: Vec<(&str, Vec<&str>)> = Vec::new();
        if !values.contains_key(start) && !state.contains_key(start.as_str()) {
            state.insert(start, State::Open);
            chain.push((start, needs(sums, start)));
        }
        while let Some((name, waiting)) = chain.last_mut() {
            let name = *name;
            let Some(next) = waiting.pop() else {
                chain.pop();
                let done = finish(name, sums, &known, &mut values, &mut state, &mut errors);
                state.insert(name, done);
                continue;
            };
            if values.contains_key(next) {
                continue;
            }
            match state.get(next) {
                Some(State::Done | State::Failed) => {}
                Some(State::Open) => {
                    let first = chain.iter().position(|(link, _)| *link == next).unwrap_or(0);
                    let names: Vec<&str> = chain[first..].iter().map(|(link, _)| *link).collect();
                    for link in &names {
                        state.insert(link, State::OnCycle);
                    }
                    errors.push(MeasureError::Cycle {
                        names: from_first(&names),
                    });
                }
                Some(State::OnCycle) => {}
                None => {
                    if let Some((next, _)) = sums.get_key_value(next) {
                        state.insert(next, State::Open);
                        chain.push((next, needs(sums, next)));
                    }
                }
            }
        }
    }
    if errors.is_empty() {
        return Ok(values);
    }
    errors.sort_by(|one, two| one.first_name().cmp(two.first_name()));
    Err(errors)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    Open,
    OnCycle,
    Done,
    Failed,
}

impl MeasureError {
    fn first_name(&self) -> &str {
        match self {
            Self::Cycle { names } => names.first().map_or("", String::as_str),
            Self::Sum { measure, .. } => measure,
        }
    }
}

fn needs<'a>(sums: &'a BTreeMap<String, Expr>, name: &str) -> Vec<&'a str> {
    sums.get(name)
        .map(|sum| sum.names().into_iter().rev().collect())
        .unwrap_or_default()
}

/// Works out a measure whose needs have all been visited.
fn finish(
    name: &str,
    sums: &BTreeMap<String, Expr>,
    known: &BTreeSet<&str>,
    values: &mut BTreeMap<String, Quantity>,
    state: &mut BTreeMap<&str, State>,
    errors: &mut Vec<MeasureError>,
) -> State {
    let Some(sum) = sums.get(name) else {
        return State::Failed;
    };
    if state.get(name) == Some(&State::OnCycle) {
        return State::Failed;
    }
    // A need that is a measure but has no value has failed, and was reported there.
    if sum
        .names()
        .into_iter()
        .any(|need| known.contains(need) && !values.contains_key(need))
    {
        return State::Failed;
    }
    match sum.eval(&|need| values.get(need).copied()) {
        Ok(value) => {
            values.insert(name.to_owned(), value.settled());
            State::Done
        }
        Err(mut error) => {
            error.name_nearest(known.iter().copied().filter(|known| *known != name));
            errors.push(MeasureError::Sum {
                measure: name.to_owned(),
                error,
            });
            State::Failed
        }
    }
}

/// The cycle told from its alphabetically first name.
fn from_first(names: &[&str]) -> Vec<String> {
    let first = (0..names.len()).min_by_key(|index| names[*index]).unwrap_or(0);
    names[first..]
        .iter()
        .chain(&names[..first])
        .map(|name| (*name).to_owned())
        .collect()
}

/// Why a word cannot name a measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum BadName {
    /// It is not a letter followed by letters, digits and underscores.
    #[error("a measure's name is a letter followed by letters, digits and underscores")]
    Shape,
    /// It is a unit.
    #[error("this is a unit; a measure needs another name")]
    Unit,
    /// It is a function.
    #[error("this is a function; a measure needs another name")]
    Function,
}

/// Can this word name a measure?
pub fn check_measure_name(name: &str) -> Result<(), BadName> {
    let mut chars = name.chars();
    let starts_well = chars.next().is_some_and(char::is_alphabetic);
    if !starts_well || !chars.all(|c| c.is_alphabetic() || c.is_ascii_digit() || c == '_') {
        return Err(BadName::Shape);
    }
    if is_unit_word(name) {
        return Err(BadName::Unit);
    }
    if Function::from_name(name).is_some() {
        return Err(BadName::Function);
    }
    Ok(())
}
