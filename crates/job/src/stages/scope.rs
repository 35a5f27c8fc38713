//! The measures of a job worked out, and sums on them.

use std::collections::BTreeMap;

use units::{Dim, EvalError, MeasureError, Quantity};

use crate::files::model::{Design, Fit, Measure, Sum, Told};
use crate::files::{Wrong, nearest};

/// No part and no machine it sits on is longer; beyond it, places lose the digits that a caliper reads.
const LONGEST_MM: f64 = 1e6;

/// Values of all measures by name.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Scope {
    values: BTreeMap<String, Quantity>,
}

/// A measure that the program finds.
#[derive(Debug, Clone)]
pub(crate) struct Unknown {
    /// Its name.
    pub name: Told<String>,
    /// Where the search starts.
    pub start: Quantity,
    /// The least it may be, in base units.
    pub low: f64,
    /// The most.
    pub high: f64,
}

impl Scope {
    /// All measures, those to be found at their starts.
    pub(crate) fn new(design: &Design, fit: Option<&Fit>) -> Result<(Self, Vec<Unknown>), Vec<Wrong>> {
        let mut wrongs = Vec::new();
        let told = tell(design, fit, &mut wrongs);
        // The ends of a search may not hang on what is being searched for, so they are worked out without it.
        let (fixed, searched): (Vec<_>, Vec<_>) =
            told.iter().partition(|(measure, _)| measure.solve.is_none());
        let sums: BTreeMap<String, units::Expr> = fixed
            .iter()
            .filter_map(|(measure, sum)| Some((measure.name.value.clone(), sum.as_ref()?.value.clone())))
            .collect();
        let mut unknowns = Vec::new();
        let mut given = BTreeMap::new();
        // Sums that need a searched measure fail here and are worked out below, with its start.
        let known = Scope {
            values: partial(&sums, &BTreeMap::new()),
        };
        for (measure, sum) in &searched {
            match unknown(measure, sum.as_ref(), &known) {
                Ok(unknown) => {
                    given.insert(measure.name.value.clone(), unknown.start);
                    unknowns.push(unknown);
                }
                Err(wrong) => wrongs.push(wrong),
            }
        }
        if !wrongs.is_empty() {
            return Err(wrongs);
        }
        match units::resolve_measures_given(&sums, &given) {
            Ok(values) => Ok((Scope { values }, unknowns)),
            Err(errors) => Err(errors.iter().map(|error| measure_wrong(error, &told)).collect()),
        }
    }

    /// The measures that can be worked out, those to be found at their starts, and what is wrong with the others.
    pub(crate) fn sound(design: &Design, fit: Option<&Fit>) -> (Self, Vec<Wrong>) {
        let wrongs = match Self::new(design, fit) {
            Ok((scope, _)) => return (scope, Vec::new()),
            Err(wrongs) => wrongs,
        };
        let told = tell(design, fit, &mut Vec::new());
        let (fixed, searched): (Vec<_>, Vec<_>) =
            told.iter().partition(|(measure, _)| measure.solve.is_none());
        let sums: BTreeMap<String, units::Expr> = fixed
            .iter()
            .filter_map(|(measure, sum)| Some((measure.name.value.clone(), sum.as_ref()?.value.clone())))
            .collect();
        let known = Scope {
            values: partial(&sums, &BTreeMap::new()),
        };
        let starts: BTreeMap<String, Quantity> = searched
            .iter()
            .filter_map(|(measure, sum)| unknown(measure, sum.as_ref(), &known).ok())
            .map(|unknown| (unknown.name.value, unknown.start))
            .collect();
        let values = partial(&sums, &starts);
        (Scope { values }, wrongs)
    }

    /// The same measures with other values for those to be found.
    pub(crate) fn with(
        &self,
        design: &Design,
        fit: Option<&Fit>,
        found: &BTreeMap<String, Quantity>,
    ) -> Option<Self> {
        let told = tell(design, fit, &mut Vec::new());
        let sums: BTreeMap<String, units::Expr> = told
            .iter()
            .filter(|(measure, _)| !found.contains_key(&measure.name.value))
            .filter_map(|(measure, sum)| Some((measure.name.value.clone(), sum.as_ref()?.value.clone())))
            .collect();
        units::resolve_measures_given(&sums, found)
            .ok()
            .map(|values| Scope { values })
    }

    /// The value of a measure.
    pub(crate) fn get(&self, name: &str) -> Option<Quantity> {
        self.values.get(name).copied()
    }

    fn eval(&self, sum: &Sum) -> Result<Quantity, Wrong> {
        sum.value
            .eval_in(&self.values)
            .map_err(|error| eval_wrong(&error, sum, self.values.keys().map(String::as_str)))
    }

    /// A length, mm.
    pub(crate) fn length_mm(&self, sum: &Sum) -> Result<f64, Wrong> {
        let value = self.eval(sum)?;
        let mm = value.length_mm().map_err(|kind| {
            Wrong::new(sum.at.clone(), kind.to_string()).expected("a length, as 28.5 mm or 1-1/8 in")
        })?;
        if mm.abs() <= LONGEST_MM {
            Ok(mm)
        } else {
            Err(
                Wrong::new(sum.at.clone(), format!("this length comes out as {mm:e} mm"))
                    .expected(format!("at most {} m either way", LONGEST_MM / 1000.0)),
            )
        }
    }

    /// A length above zero, mm.
    pub(crate) fn size_mm(&self, sum: &Sum, what: &str) -> Result<f64, Wrong> {
        let mm = self.length_mm(sum)?;
        if mm > 0.0 {
            Ok(mm)
        } else {
            let says = format!("{what} comes out as {}", units::both(mm));
            Err(Wrong::new(sum.at.clone(), says).expected("more than 0"))
        }
    }

    /// A length of zero or more, mm.
    pub(crate) fn reach_mm(&self, sum: &Sum, what: &str) -> Result<f64, Wrong> {
        let mm = self.length_mm(sum)?;
        if mm >= 0.0 {
            Ok(mm)
        } else {
            let says = format!("{what} comes out as {}", units::both(mm));
            Err(Wrong::new(sum.at.clone(), says).expected("0 or more"))
        }
    }

    /// An angle, radians.
    pub(crate) fn angle_rad(&self, sum: &Sum) -> Result<f64, Wrong> {
        let value = self.eval(sum)?;
        value
            .angle_rad()
            .map_err(|kind| Wrong::new(sum.at.clone(), kind.to_string()).expected("an angle, as 25 deg"))
    }

    /// A mass, kg.
    pub(crate) fn mass_kg(&self, sum: &Sum) -> Result<f64, Wrong> {
        let value = self.eval(sum)?;
        value
            .mass_kg()
            .map_err(|kind| Wrong::new(sum.at.clone(), kind.to_string()).expected("a mass, as 0.9 kg"))
    }

    /// A quantity of a kind that needs no bound of its own, in base units.
    pub(crate) fn of_kind(&self, sum: &Sum, kind: Dim, expected: &str) -> Result<f64, Wrong> {
        self.eval(sum)?
            .as_kind(kind)
            .map_err(|kind| Wrong::new(sum.at.clone(), kind.to_string()).expected(expected))
    }

    /// A quantity of either kind.
    pub(crate) fn quantity(&self, sum: &Sum) -> Result<Quantity, Wrong> {
        self.eval(sum)
    }
}

/// Every measure with the sum in force: the fit's where the design leaves it to a fit.
fn tell(design: &Design, fit: Option<&Fit>, wrongs: &mut Vec<Wrong>) -> Vec<(Measure, Option<Sum>)> {
    let said = fit.map_or(&[][..], |fit| &fit.measures);
    for (name, _) in said {
        let wrong = match design
            .measures
            .iter()
            .find(|measure| measure.name.value == name.value)
        {
            Some(measure) if measure.fit || measure.solve.is_some() => continue,
            Some(_) => Wrong::new(
                name.at.clone(),
                format!("the design does not leave \"{}\" to a fit", name.value),
            )
            .expected(format!(
                "{} = {{ value = ..., fit = true }} in design.toml",
                name.value
            )),
            None => {
                let open = design
                    .measures
                    .iter()
                    .filter(|measure| measure.fit)
                    .map(|m| m.name.value.as_str());
                let mut wrong = Wrong::new(
                    name.at.clone(),
                    format!("the design has no measure \"{}\"", name.value),
                );
                wrong.fix = nearest(&name.value, open).map(str::to_owned);
                wrong
            }
        };
        wrongs.push(wrong);
    }
    let mut told = Vec::new();
    for measure in &design.measures {
        let own = said
            .iter()
            .find(|(name, _)| name.value == measure.name.value)
            .map(|(_, sum)| sum.clone());
        let sum = own.or_else(|| measure.value.clone());
        if sum.is_none() && measure.solve.is_none() {
            let name = &measure.name.value;
            let asks = measure
                .ask
                .as_ref()
                .map_or(String::new(), |ask| format!(": {}", ask.value));
            wrongs.push(
                Wrong::new(
                    measure.name.at.clone(),
                    format!("the measure \"{name}\" waits for a fit to say it{asks}"),
                )
                .expected("a value under [measures] of the fit, or a usual value in the design")
                .fix(format!("{name} = \"20 mm\"")),
            );
        }
        told.push((measure.clone(), sum));
    }
    told
}

fn partial(
    sums: &BTreeMap<String, units::Expr>,
    given: &BTreeMap<String, Quantity>,
) -> BTreeMap<String, Quantity> {
    let mut left = sums.clone();
    loop {
        match units::resolve_measures_given(&left, given) {
            Ok(values) => return values,
            Err(errors) => {
                let before = left.len();
                for error in &errors {
                    match error {
                        MeasureError::Cycle { names } => names.iter().for_each(|name| {
                            left.remove(name);
                        }),
                        MeasureError::Sum { measure, .. } => {
                            left.remove(measure);
                        }
                    }
                }
                if left.len() == before {
                    return given.clone();
                }
            }
        }
    }
}

fn unknown(measure: &Measure, sum: Option<&Sum>, known: &Scope) -> Result<Unknown, Wrong> {
    let name = &measure.name;
    let Some([low_sum, high_sum]) = &measure.solve else {
        return Err(Wrong::new(
            name.at.clone(),
            format!("the measure \"{}\" is not to be found", name.value),
        ));
    };
    let low = known.quantity(low_sum)?.settled();
    let high = known.quantity(high_sum)?.settled();
    if low.dim != high.dim {
        let says = format!("the two ends of \"{}\" are not of one kind", name.value);
        return Err(Wrong::new(high_sum.at.clone(), says).expected("two lengths, or two angles"));
    }
    if low.value >= high.value {
        let says = format!("nothing lies between the two ends of \"{}\"", name.value);
        return Err(Wrong::new(high_sum.at.clone(), says).expected("the least first, then the most"));
    }
    let start = match sum {
        Some(sum) => {
            let start = known.quantity(sum)?.settled();
            if start.dim != low.dim {
                let says = format!("the start of \"{}\" and its ends are not of one kind", name.value);
                return Err(Wrong::new(sum.at.clone(), says));
            }
            Quantity::new(start.value.clamp(low.value, high.value), low.dim)
        }
        None => Quantity::new((low.value + high.value) / 2.0, low.dim),
    };
    Ok(Unknown {
        name: name.clone(),
        start,
        low: low.value,
        high: high.value,
    })
}

fn eval_wrong<'a>(error: &EvalError, sum: &Sum, known: impl Iterator<Item = &'a str>) -> Wrong {
    let mut error = error.clone();
    error.name_nearest(known);
    let start = sum.at.span.start + error.at.start.min(sum.at.span.len());
    let end = sum.at.span.start + error.at.end.min(sum.at.span.len());
    let mut at = sum.at.clone();
    at.span = start..end.max(start);
    let nearest = match &error.problem {
        units::EvalProblem::UnknownName { nearest, .. } => nearest.clone(),
        _ => None,
    };
    let expected = match &error.problem {
        units::EvalProblem::UnknownName { .. } => {
            "a measure under [measures] of the design, or a quantity with its unit"
        }
        units::EvalProblem::KindsDiffer { .. } => "lengths with lengths, angles with angles",
        _ => "a sum that has a value",
    };
    let mut wrong = Wrong::new(at, error.to_string()).expected(expected);
    wrong.fix = nearest;
    wrong
}

fn measure_wrong(error: &MeasureError, told: &[(Measure, Option<Sum>)]) -> Wrong {
    let find = |name: &str| told.iter().find(|(measure, _)| measure.name.value == name);
    match error {
        MeasureError::Cycle { names } => {
            let at = names
                .first()
                .and_then(|name| find(name))
                .map(|(measure, _)| measure.name.at.clone());
            let at = at.unwrap_or_else(nowhere);
            Wrong::new(at, error.to_string()).expected("one of them as a plain value")
        }
        MeasureError::Sum { measure, error } => match find(measure) {
            Some((_, Some(sum))) => eval_wrong(
                error,
                sum,
                told.iter().map(|(measure, _)| measure.name.value.as_str()),
            ),
            _ => Wrong::new(nowhere(), error.to_string()),
        },
    }
}

fn nowhere() -> crate::files::model::Place {
    crate::files::model::Place {
        file: crate::files::model::FileKind::Design,
        span: 0..0,
    }
}
