//! Numbers as the shop writes them: whole, decimal with point or comma, fraction, whole and fraction.

use std::ops::Range;

use crate::error::{ParseProblem, ParseQuantityError};
use crate::scan::{Dash, Scanner, vulgar_fraction};

/// A number before its unit.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Number {
    pub value: f64,
    pub shape: Shape,
    pub at: Range<usize>,
}

/// How a number is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shape {
    Whole,
    Decimal,
    Fraction,
    /// A whole number and a fraction, side by side.
    Mixed,
    /// A whole number and a fraction, joined by a dash.
    MixedByDash,
}

/// The number that starts here, if one does. Inside a function a comma between digits is refused, since it may be
/// meant to part two values.
pub(crate) fn scan_number(
    scan: &mut Scanner<'_>,
    in_function: bool,
) -> Result<Option<Number>, ParseQuantityError> {
    if !scan.at_number() {
        return Ok(None);
    }
    let start = scan.pos;
    let (value, shape) = match scan_fraction(scan)? {
        Some((value, _)) => (value, Shape::Fraction),
        None => {
            let whole = scan.digits();
            match scan_decimals(scan, start, whole, in_function)? {
                Some(value) => (value, Shape::Decimal),
                None => {
                    let whole: f64 = read(scan, start)?;
                    match scan_after_whole(scan, start)? {
                        Some((fraction, shape)) => (whole + fraction, shape),
                        None => (whole, Shape::Whole),
                    }
                }
            }
        }
    };
    let at = start..scan.pos;
    if !value.is_finite() {
        return Err(scan.fault(at, ParseProblem::TooLarge, &[]));
    }
    refuse_close_dash(scan, &at)?;
    Ok(Some(Number { value, shape, at }))
}

/// What stands from `start` to here, with its decimal comma as a point.
fn read(scan: &Scanner<'_>, start: usize) -> Result<f64, ParseQuantityError> {
    let digits = scan.text[start..scan.pos].replace(',', ".");
    digits
        .parse()
        .map_err(|_| scan.fault(start..scan.pos, ParseProblem::SeveralPoints, &[]))
}

/// `3/8` or a one-character fraction: its value, and whether it is less than one. Nothing is taken when what starts here
/// is another kind of number.
fn scan_fraction(scan: &mut Scanner<'_>) -> Result<Option<(f64, bool)>, ParseQuantityError> {
    let start = scan.pos;
    if let Some((over, under)) = scan.peek().and_then(vulgar_fraction) {
        scan.pos = scan.next_char_range().end;
        return Ok(Some((f64::from(over) / f64::from(under), true)));
    }
    let mut ahead = scan.clone();
    let over = ahead.digits();
    if over.is_empty() || !(ahead.take('/') || ahead.take('\u{2044}')) {
        return Ok(None);
    }
    let under = ahead.digits();
    let is_decimal = matches!(ahead.peek(), Some('.' | ','))
        && ahead.rest().chars().nth(1).is_some_and(|c| c.is_ascii_digit());
    if under.is_empty() || is_decimal || has_exponent(&ahead) {
        return Ok(None);
    }
    let at = start..ahead.pos;
    let too_large = || scan.fault(at.clone(), ParseProblem::TooLarge, &[]);
    let over: f64 = over.parse().map_err(|_| too_large())?;
    let under: f64 = under.parse().map_err(|_| too_large())?;
    if !over.is_finite() || !under.is_finite() {
        return Err(too_large());
    }
    if under == 0.0 {
        return Err(scan.fault(at, ParseProblem::OverZero, &[]));
    }
    scan.pos = ahead.pos;
    Ok(Some((over / under, over < under)))
}

/// The decimals and power of ten after a whole part; `None` when there are neither.
fn scan_decimals(
    scan: &mut Scanner<'_>,
    start: usize,
    whole: &str,
    in_function: bool,
) -> Result<Option<f64>, ParseQuantityError> {
    let mut decimal = false;
    if scan.take('.') {
        decimal = true;
        if scan.digits().is_empty() {
            let instead = [whole.to_owned(), format!("{whole}.0")];
            return Err(scan.fault(start..scan.pos, ParseProblem::BarePoint, &instead));
        }
    } else if comma_before_digit(scan) {
        scan.take(',');
        let decimals = scan.digits();
        let at = start..scan.pos;
        if in_function {
            let instead = [format!("{whole}, {decimals}"), format!("{whole}.{decimals}")];
            return Err(scan.fault(at, ParseProblem::CommaInFunction, &instead));
        }
        if decimals.len() == 3 && whole.len() <= 3 && !whole.starts_with('0') {
            let instead = [format!("{whole}.{decimals}"), format!("{whole}{decimals}")];
            return Err(scan.fault(at, ParseProblem::ThousandsComma, &instead));
        }
        decimal = true;
    }
    if decimal && (comma_before_digit(scan) || (scan.peek() == Some('.'))) {
        scan.run(|c| c.is_ascii_digit() || c == '.' || c == ',');
        let problem = if in_function {
            ParseProblem::CommaInFunction
        } else {
            ParseProblem::SeveralPoints
        };
        let instead = scan.text[start..scan.pos].replace(',', ", ");
        let fixes = if in_function { vec![instead] } else { Vec::new() };
        return Err(scan.fault(start..scan.pos, problem, &fixes));
    }
    if has_exponent(scan) {
        scan.pos += 1;
        scan.run(|c| c == '+' || c == '-');
        scan.digits();
        decimal = true;
    }
    if decimal {
        read(scan, start).map(Some)
    } else {
        Ok(None)
    }
}

fn comma_before_digit(scan: &Scanner<'_>) -> bool {
    let mut chars = scan.rest().chars();
    chars.next() == Some(',') && chars.next().is_some_and(|c| c.is_ascii_digit())
}

/// Does `e5`, `E-5` or `e+5` stand here?
fn has_exponent(scan: &Scanner<'_>) -> bool {
    let rest = scan.rest().as_bytes();
    let digit = |index: usize| rest.get(index).is_some_and(u8::is_ascii_digit);
    matches!(rest.first(), Some(b'e' | b'E'))
        && (digit(1) || (matches!(rest.get(1), Some(b'+' | b'-')) && digit(2)))
}

/// The fraction that belongs to a whole number just read: `1 1/8`, `1-1/8`, and the one-character fractions.
fn scan_after_whole(
    scan: &mut Scanner<'_>,
    start: usize,
) -> Result<Option<(f64, Shape)>, ParseQuantityError> {
    let whole_end = scan.pos;
    let mut ahead = scan.clone();
    let dash = ahead.dash();
    let shape = if dash.is_some() {
        Shape::MixedByDash
    } else {
        Shape::Mixed
    };
    if dash.is_none() {
        ahead.skip_space();
    }
    let close = ahead.pos == whole_end;
    if close && ahead.peek().is_some_and(|c| c.is_ascii_digit()) {
        return Ok(None);
    }
    let fraction_start = ahead.pos;
    let Some((fraction, proper)) = scan_fraction(&mut ahead)? else {
        return Ok(None);
    };
    let whole = &scan.text[start..whole_end];
    let part = &scan.text[fraction_start..ahead.pos];
    if dash == Some(Dash::Minus) {
        let instead = [format!("{whole}-{part}"), format!("{whole} - ({part})")];
        return Err(scan.fault(start..ahead.pos, ParseProblem::AndOrMinus, &instead));
    }
    if !proper {
        return Err(scan.fault(start..ahead.pos, ParseProblem::ImproperFraction, &[]));
    }
    scan.pos = ahead.pos;
    Ok(Some((fraction, shape)))
}

/// A dash straight after a number and before another, with no unit between, is a range, a thread, a slip or a minus.
fn refuse_close_dash(scan: &Scanner<'_>, number: &Range<usize>) -> Result<(), ParseQuantityError> {
    let mut ahead = scan.clone();
    if ahead.dash().is_none() || !ahead.at_number() {
        return Ok(());
    }
    let right = ahead.pos;
    ahead.run(|c| c.is_ascii_digit() || "./".contains(c) || vulgar_fraction(c).is_some());
    let left = &scan.text[number.clone()];
    let instead = [format!("{left} - {}", &scan.text[right..ahead.pos])];
    Err(scan.fault(number.start..ahead.pos, ParseProblem::CloseDash, &instead))
}
