//! The lead itself: an arc or a line that ends on the contour.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_3, PI};

use plane::{Point, Segment, Vector};

use super::Conditions;
use super::places::Place;
use crate::profile::{LeadKind, SquareSide};

/// Each lead tried is this share of the one before.
const SHORTER: f64 = 0.8;
/// Arcs are tried as a quarter and as a half turn: the half gets farther from the edge on less way, which a small hole
/// needs.
const SWEEPS_RAD: [f64; 2] = [FRAC_PI_2, PI];
/// A lead-out turns through this.
const OUT_SWEEP_RAD: f64 = FRAC_PI_3;

/// A lead-in, from the pierce to the contour.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lead {
    pub kind: LeadKind,
    pub segment: Segment,
    pub length_mm: f64,
}

/// Lengths to try, mm: as wanted, then shorter and shorter, the least last.
pub(super) fn lengths(conditions: &Conditions<'_>) -> Vec<f64> {
    let wanted_mm = conditions.leads.length_mm(conditions.t_mm);
    shortened(wanted_mm, conditions.leads.least_mm)
}

/// From one length down to another, both included.
pub(super) fn shortened(from_mm: f64, to_mm: f64) -> Vec<f64> {
    /// Enough to come down to a thousandth.
    const MOST: usize = 32;
    let usable = |length_mm: &f64| length_mm.is_finite() && *length_mm > 0.0;
    let steps = std::iter::successors(Some(from_mm), |length_mm| Some(length_mm * SHORTER))
        .take_while(|length_mm| *length_mm > to_mm)
        .take(MOST);
    steps.chain([to_mm]).filter(usable).collect()
}

/// The leads of a length to a place, best liked first.
pub(super) fn leads_in<'a>(
    place: &'a Place,
    length_mm: f64,
    conditions: &'a Conditions<'_>,
) -> impl Iterator<Item = Lead> + 'a {
    conditions.leads.kinds.iter().flat_map(move |kind| {
        let segments: Vec<Segment> = match kind {
            LeadKind::Arc => SWEEPS_RAD
                .iter()
                .map(|sweep_rad| arc_in(place, length_mm, *sweep_rad, conditions.square))
                .collect(),
            LeadKind::Line => {
                let (sin, cos) = conditions.leads.line_rad.sin_cos();
                let back = place.into_scrap * sin - place.ahead * cos;
                vec![Segment::line(place.at + back * length_mm, place.at)]
            }
        };
        segments.into_iter().map(move |segment| Lead {
            kind: *kind,
            segment,
            length_mm,
        })
    })
}

/// The arc that comes from scrap and meets the contour along its direction.
fn arc_in(place: &Place, length_mm: f64, sweep_rad: f64, square: SquareSide) -> Segment {
    let radius_mm = length_mm / sweep_rad;
    let sweep_rad = sweep_rad * into_scrap_sign(square);
    let centre = place.at + place.into_scrap * radius_mm;
    let back = Segment::arc_about(centre, place.at, -sweep_rad);
    let Segment::Arc { to: from, .. } = back else {
        return back.reversed();
    };
    Segment::Arc {
        from,
        to: place.at,
        centre,
        radius_mm,
        sweep_rad,
    }
}

/// The arc that leaves the contour along its direction into scrap.
pub(super) fn arc_out(at: Point, into_scrap: Vector, length_mm: f64, square: SquareSide) -> Segment {
    let centre = at + into_scrap * (length_mm / OUT_SWEEP_RAD);
    Segment::arc_about(centre, at, OUT_SWEEP_RAD * into_scrap_sign(square))
}

/// Scrap is left of the travel when the square side is right, so arcs into it turn counter-clockwise.
fn into_scrap_sign(square: SquareSide) -> f64 {
    match square {
        SquareSide::Right => 1.0,
        SquareSide::Left => -1.0,
    }
}
