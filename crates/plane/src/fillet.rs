//! What one corner treatment takes from the two edges it stands between.

use std::f64::consts::TAU;

use crate::corner::Corner;
use crate::outline::Segment;
use crate::tangent::tangent_arcs;
use crate::{Side, bulge_of_sweep};

/// Edges that turn less than this run on smoothly: over a 100 mm edge it is a tenth of a micrometre.
const SMOOTH_RAD: f64 = 1e-6;

/// How two edges meet at their corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Joint {
    /// They run on in one direction.
    Smooth,
    /// They turn to a side.
    Turns(Side),
    /// The second runs back beside the first.
    Cusp,
}

pub(crate) fn joint(arriving: &Segment, leaving: &Segment) -> Joint {
    let (came, goes) = (arriving.tangent_at(1.0), leaving.tangent_at(0.0));
    let turn_rad = came.perp(&goes).atan2(came.dot(&goes));
    if turn_rad.abs() < SMOOTH_RAD {
        Joint::Smooth
    } else if turn_rad.abs() > std::f64::consts::PI - SMOOTH_RAD {
        Joint::Cusp
    } else {
        Joint::Turns(if turn_rad > 0.0 { Side::Left } else { Side::Right })
    }
}

/// A treated corner: how much it takes off each edge, and what it puts there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Treated {
    /// Length taken off the end of the arriving edge.
    pub off_arriving_mm: f64,
    /// Length taken off the start of the leaving edge.
    pub off_leaving_mm: f64,
    /// What joins the two ends that are left.
    pub joins_by: Segment,
}

/// The treatment of a corner between two edges, if whole edges leave room for it. `bites_left` is the side of the
/// direction of travel into which a notch goes.
pub(crate) fn treat(
    arriving: &Segment,
    leaving: &Segment,
    corner: Corner,
    bites_left: bool,
) -> Option<Treated> {
    match corner {
        Corner::Round(radius_mm) => {
            let Joint::Turns(side) = joint(arriving, leaving) else {
                return None;
            };
            tangent_arcs(arriving, leaving, radius_mm)
                .into_iter()
                .filter(|t| t.turns == side)
                .map(|t| Treated {
                    off_arriving_mm: (1.0 - t.leaves_first_at) * arriving.length_mm(),
                    off_leaving_mm: t.joins_second_at * leaving.length_mm(),
                    joins_by: t.arc,
                })
                .min_by(|a, b| {
                    (a.off_arriving_mm + a.off_leaving_mm).total_cmp(&(b.off_arriving_mm + b.off_leaving_mm))
                })
        }
        Corner::Chamfer(back_mm) => {
            let (from, to) = (
                point_back(arriving, back_mm)?,
                point_back(&leaving.reversed(), back_mm)?,
            );
            Some(Treated {
                off_arriving_mm: back_mm,
                off_leaving_mm: back_mm,
                joins_by: Segment::line(from, to),
            })
        }
        Corner::Notch(radius_mm) => {
            let off_arriving_mm = back_to_radius_mm(arriving, radius_mm)?;
            let off_leaving_mm = back_to_radius_mm(leaving, radius_mm)?;
            let from = point_back(arriving, off_arriving_mm)?;
            let to = point_back(&leaving.reversed(), off_leaving_mm)?;
            let (out, end) = (from - leaving.from(), to - leaving.from());
            // Passing the corner on its left leaves it on the right, so the bite turns clockwise.
            let turn = end.perp(&out).atan2(end.dot(&out));
            let left_rad = if turn < 0.0 { turn + TAU } else { turn };
            let sweep_rad = if bites_left { -left_rad } else { TAU - left_rad };
            Some(Treated {
                off_arriving_mm,
                off_leaving_mm,
                joins_by: Segment::new(from, to, bulge_of_sweep(sweep_rad)),
            })
        }
    }
}

/// The point a length back from the end of an edge.
fn point_back(edge: &Segment, back_mm: f64) -> Option<crate::Point> {
    let share = 1.0 - back_mm / edge.length_mm();
    (share >= -1e-12).then(|| edge.point_at(share.max(0.0)))
}

/// The length along an edge, from either end, at which it is a straight distance away from that end.
fn back_to_radius_mm(edge: &Segment, away_mm: f64) -> Option<f64> {
    let back_mm = match *edge {
        Segment::Line { .. } => away_mm,
        Segment::Arc { radius_mm, .. } if away_mm <= 2.0 * radius_mm => {
            2.0 * radius_mm * (away_mm / (2.0 * radius_mm)).asin()
        }
        Segment::Arc { .. } => return None,
    };
    (back_mm <= edge.length_mm() * (1.0 + 1e-12)).then_some(back_mm)
}
