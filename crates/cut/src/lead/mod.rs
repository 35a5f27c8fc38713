//! Where a contour is begun and how the torch gets there: the pierce in scrap, a lead to the contour, once around, a
//! little on, and off.

mod fits;
mod join;
mod legal;
mod places;
mod shape;
#[cfg(test)]
mod tests;

pub(crate) use join::track as track_of;

use plane::{Outline, Point, Region};
use thiserror::Error;

use crate::kerf::Edge;
use crate::profile::{LeadKind, Leads, SquareSide};
use crate::track::Track;

/// Why a stretch of an edge is better left alone: a start leaves a small scar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Why {
    /// It is among the most stressed.
    Stressed,
    /// A bend runs out there: a scar on the outside of a bend tears.
    BendEnd,
    /// It lies against another part.
    Mates,
    /// It is welded.
    Seam,
    /// Someone wants it so.
    Wanted,
}

/// A stretch of edge to leave alone: all of it within a distance of a straight line, or of a point where both ends are
/// one. Places in the same coordinates as the contours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Avoid {
    /// One end of the line.
    pub from: Point,
    /// The other.
    pub to: Point,
    /// How far from it, mm.
    pub within_mm: f64,
    /// Why.
    pub why: Why,
    /// How much a start there costs beside others, 1 being a lot; without end where none may be.
    pub weight: f64,
}

/// A contour to be begun.
#[derive(Debug, Clone, Copy)]
pub struct Contour<'a> {
    /// Outside or opening.
    pub of: Edge,
    /// The edge that stays on the part.
    pub edge: &'a Outline,
    /// The middle of the kerf along it, in the direction of travel.
    pub path: &'a Outline,
}

/// What a start has to keep to. Lengths mm.
#[derive(Debug, Clone, Copy)]
pub struct Conditions<'a> {
    /// The leads of this kind of contour.
    pub leads: &'a Leads,
    /// Thickness of the plate.
    pub t_mm: f64,
    /// Width of the kerf.
    pub kerf_mm: f64,
    /// Radius of what the pierce spoils.
    pub puddle_mm: f64,
    /// The square side of the cut, which the part is on.
    pub square: SquareSide,
    /// Stretches to leave alone.
    pub avoid: &'a [Avoid],
    /// Other parts and whatever else must not be touched. This part may lie in a hole of theirs, and they in its.
    pub others: &'a [Region],
    /// The most starts wanted, at least 1.
    pub most: usize,
}

/// One way to begin a contour.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// From the pierce to where the torch goes off.
    pub track: Track,
    /// Which of the track's vertices begins the contour, and which ends it.
    pub around: [usize; 2],
    /// Where the contour is met.
    pub at: Point,
    /// How the lead runs.
    pub kind: LeadKind,
    /// How long it is, mm.
    pub length_mm: f64,
    /// How little it is liked, 0 best: stretches to leave alone, the kind of place, a lead shorter than wanted.
    pub cost: f64,
}

/// What would make a start possible.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fits {
    /// Another place, which was to be left alone.
    OtherStart {
        /// Where.
        at: Point,
        /// Length of the lead there, mm.
        length_mm: f64,
        /// Why it was to be left alone.
        why: Why,
    },
    /// A lead shorter than the least.
    ShorterLead {
        /// Where.
        at: Point,
        /// Its length, mm.
        length_mm: f64,
    },
    /// Drill the whole hole.
    DrillHole {
        /// Where.
        at: Point,
        /// Diameter, mm.
        dia_mm: f64,
    },
    /// Drill a hole to start in, so that nothing is pierced.
    DrillStart {
        /// Where.
        at: Point,
        /// Diameter, mm.
        dia_mm: f64,
    },
    /// More room between this part and the next.
    Room {
        /// Least distance between them, mm.
        apart_mm: f64,
    },
}

/// No lead gets to the contour.
#[derive(Debug, Clone, PartialEq, Error)]
#[error(
    "no lead of {least_mm:.2} mm or longer gets from a pierce {puddle_mm:.2} mm clear of the part to the contour"
)]
pub struct NoLead {
    /// The shortest lead tried, mm.
    pub least_mm: f64,
    /// How far a pierce must stay off the part, mm.
    pub puddle_mm: f64,
    /// What would do, best first.
    pub fits: Vec<Fits>,
}

impl NoLead {
    /// The longest lead that fits anywhere, mm; none where none does.
    #[must_use]
    pub fn longest_mm(&self) -> Option<f64> {
        self.fits.iter().find_map(|fits| match fits {
            Fits::ShorterLead { length_mm, .. } => Some(*length_mm),
            _ => None,
        })
    }
}

/// The starts of a contour, best first, spread along it: the best legal one of each of as many stretches of equal length
/// as starts are wanted, where there is one. At least one.
///
/// Legal is a pierce in the scrap of this contour, no nearer to this or another part than the puddle's radius or half
/// the kerf, whichever is more, and a lead whose kerf takes nothing of either. Leads shorter than wanted, down to the
/// least, are taken where longer ones do not fit.
pub fn starts(contour: &Contour<'_>, conditions: &Conditions<'_>) -> Result<Vec<Start>, NoLead> {
    let bounds = legal::Bounds::of(contour, conditions);
    let places = places::along(contour, conditions);
    let most = conditions.most.max(1);
    let mut found: Vec<Start> = Vec::new();
    for stretch in 0..most {
        let (low, high) = (stretch as f64 / most as f64, (stretch + 1) as f64 / most as f64);
        let mut within: Vec<&places::Place> = places
            .iter()
            .filter(|place| place.cost.is_finite() && place.along >= low && place.along < high)
            .collect();
        within.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        let lengths = shape::lengths(conditions);
        found.extend(within.iter().find_map(|place| {
            lengths
                .iter()
                .find_map(|length_mm| bounds.lead_to(place, *length_mm))
                .map(|lead| join::start(contour, conditions, &bounds, place, &lead))
        }));
    }
    if found.is_empty() {
        return Err(NoLead {
            least_mm: conditions.leads.least_mm,
            puddle_mm: bounds.pierce_mm(),
            fits: fits::fits(contour, conditions, &bounds, &places),
        });
    }
    found.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    Ok(found)
}

/// The longest straight lead, square to the path, to a place on it that is passed in this direction, from where a pierce is
/// taken; none when not even the least fits.
pub(crate) fn lead_square(
    contour: &Contour<'_>,
    conditions: &Conditions<'_>,
    at: Point,
    ahead: plane::Vector,
    taken: impl Fn(Point) -> bool,
) -> Option<plane::Segment> {
    let leads = Leads {
        kinds: vec![LeadKind::Line],
        line_rad: std::f64::consts::FRAC_PI_2,
        ..conditions.leads.clone()
    };
    let conditions = Conditions {
        leads: &leads,
        ..*conditions
    };
    let left = plane::Vector::new(-ahead.y, ahead.x);
    let place = places::Place {
        along: 0.0,
        edge: 0,
        share: 0.0,
        at,
        ahead,
        into_scrap: match conditions.square {
            SquareSide::Right => left,
            SquareSide::Left => -left,
        },
        cost: 0.0,
    };
    let bounds = legal::Bounds::of(contour, &conditions);
    let lengths = shape::lengths(&conditions);
    lengths
        .iter()
        .filter_map(|length_mm| bounds.lead_to(&place, *length_mm))
        .map(|lead| lead.segment)
        .find(|lead| taken(lead.from()))
}
