//! A number with its unit, and with the smaller unit that may follow it: feet and inches, pounds and ounces, degrees,
//! minutes and seconds.

use std::ops::Range;

use crate::dim::Dim;
use crate::error::{ParseProblem, ParseQuantityError};
use crate::number::{Number, Shape, scan_number};
use crate::quantity::Quantity;
use crate::scan::{Dash, Scanner};
use crate::unit::{LengthUnit, Smaller, Unit, moment_of, nearest_unit, unit_of_sign, unit_of_word};

/// A quantity as written out in the text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Literal {
    pub quantity: Quantity,
    pub shape: Shape,
    /// The unit it is written in.
    pub unit: Option<Unit>,
    /// Its (first) number, without the unit.
    pub number: Range<usize>,
    /// All of it.
    pub at: Range<usize>,
}

/// The literal that starts here, if one does.
pub(crate) fn scan_literal(
    scan: &mut Scanner<'_>,
    bare: Option<LengthUnit>,
    in_function: bool,
) -> Result<Option<Literal>, ParseQuantityError> {
    let Some(number) = scan_number(scan, in_function)? else {
        return Ok(None);
    };
    let start = number.at.start;
    let Some(unit) = scan_unit(scan, &number)? else {
        refuse_second_value(scan, start)?;
        let quantity = Quantity::bare(number.value, bare);
        let at = number.at.clone();
        return Ok(Some(Literal {
            quantity,
            shape: number.shape,
            unit: None,
            number: number.at,
            at,
        }));
    };
    let smaller = scan_smaller(scan, &number, unit, in_function)?;
    refuse_second_value(scan, start)?;
    let value = unit.factor.apply(number.value + smaller.unwrap_or(0.0));
    let at = start..scan.pos;
    if !value.is_finite() {
        return Err(scan.fault(at, ParseProblem::TooLarge, &[]));
    }
    let unit = if smaller.is_some() {
        Unit {
            smaller: Smaller::None,
            ..unit
        }
    } else {
        unit
    };
    let quantity = Quantity::new(value, unit.dim);
    Ok(Some(Literal {
        quantity,
        shape: number.shape,
        unit: Some(unit),
        number: number.at,
        at,
    }))
}

impl Literal {
    /// A whole number without a unit, before which a fraction may be meant to follow.
    pub fn is_bare_whole(&self) -> bool {
        self.unit.is_none() && self.shape == Shape::Whole
    }

    /// Whole feet, after which inches may be meant to follow.
    pub fn is_whole_feet(&self) -> bool {
        self.shape == Shape::Whole
            && self
                .unit
                .is_some_and(|unit| unit.smaller == Smaller::InchesOfFoot)
    }

    /// Written in inches.
    pub fn is_in_inches(&self) -> bool {
        self.unit
            .is_some_and(|unit| unit.dim == Dim::LENGTH && is_inch(unit))
    }
}

/// The unit that a literal, all of the text, is written in; none of a bare number.
pub(crate) fn unit_said(text: &str) -> Option<Unit> {
    let literal = scan_literal(&mut Scanner::new(text), None, false);
    literal.ok()??.unit
}

/// Is this one of the lengths that are counted in inches?
pub(crate) fn is_of_inches(unit: Unit) -> bool {
    let mut known = ["in", "ft", "thou"].into_iter().filter_map(unit_of_word);
    unit.dim == Dim::LENGTH && known.any(|known| known.factor == unit.factor)
}

fn is_inch(unit: Unit) -> bool {
    unit_of_word("in") == Some(unit)
}

/// The unit after a number, with or without a space; `None` when none follows.
fn scan_unit(scan: &mut Scanner<'_>, number: &Number) -> Result<Option<Unit>, ParseQuantityError> {
    let mut ahead = scan.clone();
    ahead.skip_space();
    if let Some((unit, length)) = unit_of_sign(ahead.rest()) {
        scan.pos = ahead.pos + length;
        return Ok(Some(unit));
    }
    let start = ahead.pos;
    if let Some(unit) = take_unit_word(&mut ahead) {
        scan.pos = ahead.pos;
        let unit = moment_unit(scan, unit);
        return Ok(Some(per_unit(scan, unit)));
    }
    let word = ahead.word();
    if word.is_empty() {
        return Ok(None);
    }
    let problem = ParseProblem::UnknownUnit {
        word: word.to_owned(),
    };
    let at = start..ahead.pos;
    if let Some(near) = nearest_unit(word) {
        return Err(scan.fault(at, problem, &[near.to_owned()]));
    }
    let product = format!("{} * {word}", &scan.text[number.at.clone()]);
    let mut fault = scan.fault(number.at.start..at.end, problem, &[product]);
    fault.at = at;
    Err(fault)
}

/// A unit word, or its letters alone when a digit that is no power follows close: the `ft` of `5ft3in`.
fn take_unit_word(scan: &mut Scanner<'_>) -> Option<Unit> {
    let mut whole = scan.clone();
    if let Some(unit) = unit_of_word(whole.word()) {
        scan.pos = whole.pos;
        return Some(unit);
    }
    let mut letters = scan.clone();
    let unit = unit_of_word(letters.run(char::is_alphabetic))?;
    if !letters.peek().is_some_and(|c| c.is_ascii_digit()) {
        return None;
    }
    scan.pos = letters.pos;
    Some(unit)
}

/// `N m`, `lbf-in`, `ft·lbf`: a force and a length, apart by a space, a close dash or a raised dot. No measure can be
/// called as a unit is, so the dash is no minus.
fn moment_unit(scan: &mut Scanner<'_>, unit: Unit) -> Unit {
    let mut ahead = scan.clone();
    if ahead.dash() != Some(Dash::Hyphen) && !ahead.take('\u{b7}') && !ahead.take('\u{22c5}') {
        ahead.skip_space();
    }
    let other = unit_of_word(ahead.word());
    match other.and_then(|other| moment_of(unit, other)) {
        Some(moment) => {
            scan.pos = ahead.pos;
            moment
        }
        None => unit,
    }
}

/// `N/mm2`, `kg/m3`: a unit close after a slash divides, when both are units.
fn per_unit(scan: &mut Scanner<'_>, unit: Unit) -> Unit {
    let mut ahead = scan.clone();
    if !ahead.take('/') {
        return unit;
    }
    let under = unit_of_word(ahead.word());
    match under.and_then(|under| Some((under.factor, unit.dim.over(under.dim)?))) {
        Some((factor, dim)) => {
            scan.pos = ahead.pos;
            Unit {
                factor: unit.factor.per(factor),
                dim,
                smaller: Smaller::None,
            }
        }
        None => unit,
    }
}

/// The smaller unit that follows, as a share of the larger.
fn scan_smaller(
    scan: &mut Scanner<'_>,
    larger: &Number,
    unit: Unit,
    in_function: bool,
) -> Result<Option<f64>, ParseQuantityError> {
    let mut ahead = scan.clone();
    let share = match unit.smaller {
        Smaller::None => return Ok(None),
        Smaller::InchesOfFoot => scan_inches(&mut ahead, larger, in_function)?,
        Smaller::OuncesOfPound => {
            ahead.skip_space();
            let is_ounce = |scan: &mut Scanner<'_>| scan.word() == "oz";
            scan_part(&mut ahead, 16, in_function, is_ounce)?.map(|(ounces, _)| ounces / 16.0)
        }
        Smaller::MinutesOfDegree => scan_minutes(&mut ahead, in_function)?,
    };
    if share.is_some() {
        if larger.shape != Shape::Whole {
            return Err(scan.fault(larger.at.start..ahead.pos, ParseProblem::LargerNotWhole, &[]));
        }
        scan.pos = ahead.pos;
    }
    Ok(share)
}

/// A number of a smaller unit, less than `limit` of them. `mark` takes its unit. `None` when no number, or a number of
/// another unit, follows.
fn scan_part(
    scan: &mut Scanner<'_>,
    limit: u8,
    in_function: bool,
    mark: impl Fn(&mut Scanner<'_>) -> bool,
) -> Result<Option<(f64, Range<usize>)>, ParseQuantityError> {
    let Some(number) = scan_number(scan, in_function)? else {
        return Ok(None);
    };
    scan.skip_space();
    if !mark(scan) {
        return Ok(None);
    }
    if number.value >= f64::from(limit) {
        return Err(scan.fault(number.at, ParseProblem::SmallerTooLarge { limit }, &[]));
    }
    Ok(Some((number.value, number.at)))
}

fn scan_inches(
    scan: &mut Scanner<'_>,
    feet: &Number,
    in_function: bool,
) -> Result<Option<f64>, ParseQuantityError> {
    let feet_end = scan.pos;
    let dash = scan.dash();
    if dash.is_none() {
        scan.skip_space();
    }
    if !scan.at_number() {
        return Ok(None);
    }
    let number_start = scan.pos;
    let takes_inch_mark = |scan: &mut Scanner<'_>| match unit_of_sign(scan.rest()) {
        Some((unit, length)) => {
            scan.pos += length;
            is_inch(unit)
        }
        None => unit_of_word(scan.word()).is_some_and(is_inch),
    };
    let before = scan.clone();
    let part = scan_part(scan, 12, in_function, takes_inch_mark)?;
    let end = scan.pos;
    match (part, dash) {
        (Some(_), Some(Dash::Minus)) => {
            let inches = &scan.text[number_start..end];
            let larger = &scan.text[feet.at.start..feet_end];
            let instead = [format!("{larger} {inches}"), format!("({larger}) - {inches}")];
            Err(scan.fault(feet.at.start..end, ParseProblem::FeetOrMinus, &instead))
        }
        (Some((inches, _)), _) => Ok(Some(inches / 12.0)),
        (None, _) => {
            let mut ahead = before.clone();
            let Some(number) = scan_number(&mut ahead, in_function)? else {
                return Ok(None);
            };
            let mut after = ahead.clone();
            after.skip_space();
            if unit_of_sign(after.rest()).is_none() && after.word().is_empty() {
                let figure = &scan.text[number.at.clone()];
                return Err(scan.fault(number.at, ParseProblem::NoInchMark, &[format!("{figure} in")]));
            }
            if dash.is_some() {
                let at = feet.at.start..number.at.end;
                let instead = format!(
                    "({}) - {}",
                    &scan.text[feet.at.start..feet_end],
                    &scan.text[number.at.start..number.at.end]
                );
                return Err(scan.fault(at, ParseProblem::CloseDash, &[instead]));
            }
            Ok(None)
        }
    }
}

fn scan_minutes(scan: &mut Scanner<'_>, in_function: bool) -> Result<Option<f64>, ParseQuantityError> {
    let is_minute = |scan: &mut Scanner<'_>| {
        ['\'', '\u{2032}', '\u{2019}']
            .into_iter()
            .any(|mark| scan.take(mark))
    };
    let is_second = |scan: &mut Scanner<'_>| {
        ['"', '\u{2033}', '\u{201d}']
            .into_iter()
            .any(|mark| scan.take(mark))
    };
    scan.skip_space();
    let Some((minutes, _)) = scan_part(scan, 60, in_function, is_minute)? else {
        return Ok(None);
    };
    let mut ahead = scan.clone();
    ahead.skip_space();
    match scan_part(&mut ahead, 60, in_function, is_second)? {
        Some((seconds, _)) => {
            scan.pos = ahead.pos;
            Ok(Some((minutes + seconds / 60.0) / 60.0))
        }
        None => Ok(Some(minutes / 60.0)),
    }
}

/// Two values with nothing between mean nothing, or not one thing.
fn refuse_second_value(scan: &Scanner<'_>, first_start: usize) -> Result<(), ParseQuantityError> {
    let mut ahead = scan.clone();
    ahead.skip_space();
    if !ahead.at_number() {
        return Ok(());
    }
    let first = &scan.text[first_start..scan.pos];
    let start = ahead.pos;
    ahead.run(|c| c.is_ascii_digit() || "./".contains(c));
    let second = &scan.text[start..ahead.pos];
    let mut instead = vec![format!("{first} + {second}"), format!("{first} * {second}")];
    // "1 000": thousands parted by a space.
    let digits = |text: &str| text.chars().all(|c| c.is_ascii_digit());
    if digits(first) && digits(second) && second.len() == 3 {
        instead = vec![format!("{first}{second}")];
    }
    Err(scan.fault(first_start..ahead.pos, ParseProblem::SideBySide, &instead))
}
