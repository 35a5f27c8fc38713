//! Arcs as RS-274 tells them: by centre, under the rule that both radii agree, or by radius. Worked in the program's unit.

use std::f64::consts::{PI, TAU};

use plane::{Point, Vector};

use super::read_error::ReadError;

/// An arc in the program's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ReadArc {
    pub(super) centre: Point,
    /// Mean of the radii at its two ends.
    pub(super) radius: f64,
    /// Counter-clockwise positive, at most a full turn.
    pub(super) sweep_rad: f64,
}

/// Shorter radii are no arcs: a tenth of a micrometre.
const LEAST_RADIUS: f64 = 1e-4;
/// Larger ones are no arcs of a table, and their centre would not be known.
const MOST_RADIUS: f64 = 1e6;

/// The arc about a centre. Start and end that are one point make a full circle.
pub(super) fn by_centre(
    line: usize,
    from: Point,
    to: Point,
    centre: Point,
    counter_clockwise: bool,
    allowed: f64,
) -> Result<ReadArc, ReadError> {
    let (out, back) = (from - centre, to - centre);
    let (start, end) = (out.norm(), back.norm());
    // A hair for the rounding of the subtraction itself.
    if (start - end).abs() > allowed + 1e-12 * start {
        return Err(ReadError::ArcRadii {
            line,
            start,
            end,
            allowed,
        });
    }
    let radius = f64::midpoint(start, end);
    let no_arc = |why| ReadError::NoArc { line, radius, why };
    if start.min(end) < LEAST_RADIUS {
        return Err(no_arc("the centre is the start or the end"));
    }
    if radius > MOST_RADIUS {
        return Err(no_arc("the radius is out of all measure"));
    }
    Ok(ReadArc {
        centre,
        radius,
        sweep_rad: if from == to {
            if counter_clockwise { TAU } else { -TAU }
        } else {
            sweep(out, back, counter_clockwise)
        },
    })
}

/// The turn from one direction to another the way round that is asked for, within a full turn.
fn sweep(out: Vector, back: Vector, counter_clockwise: bool) -> f64 {
    let turn = out.perp(&back).atan2(out.dot(&back));
    match (counter_clockwise, turn > 0.0) {
        (true, true) | (false, false) if turn != 0.0 => turn,
        (true, _) => turn + TAU,
        (false, _) => turn - TAU,
    }
}

/// The arc of a radius: up to half a turn for a positive one, more for a negative one.
///
/// NISTIR 6556 takes up to 165 degrees and from 195 to 345, because nearer to half a turn and to a full one a small
/// rounding of the end moves the centre far. Outside of that an arc is refused here.
pub(super) fn by_radius(
    line: usize,
    from: Point,
    to: Point,
    signed_radius: f64,
    counter_clockwise: bool,
) -> Result<ReadArc, ReadError> {
    let radius = signed_radius.abs();
    let no_arc = |why| ReadError::NoArc { line, radius, why };
    if from == to {
        return Err(no_arc("start and end are one point"));
    }
    if !(LEAST_RADIUS..=MOST_RADIUS).contains(&radius) {
        return Err(no_arc("the radius is out of all measure"));
    }
    let half = (to - from) / 2.0;
    if half.norm() > radius {
        return Err(no_arc("it does not reach from start to end"));
    }
    let short = 2.0 * (half.norm() / radius).asin();
    let turned = if signed_radius > 0.0 { short } else { TAU - short };
    const OPEN_DEG: f64 = 15.0;
    let off_deg = |from: f64| (turned - from).abs().to_degrees();
    // A hair so that an arc of just 165 degrees is taken.
    if off_deg(PI) < OPEN_DEG - 1e-6 || off_deg(TAU) < OPEN_DEG - 1e-6 {
        return Err(no_arc(
            "so near half a turn or a full one, it must be told by its centre",
        ));
    }
    // The centre of a short arc that turns counter-clockwise lies left of the chord.
    let left = Vector::new(-half.y, half.x) / half.norm();
    let side = if (signed_radius > 0.0) == counter_clockwise {
        1.0
    } else {
        -1.0
    };
    let off = ((radius - half.norm()) * (radius + half.norm())).sqrt();
    Ok(ReadArc {
        centre: from + half + left * (side * off),
        radius,
        sweep_rad: if counter_clockwise { turned } else { -turned },
    })
}
