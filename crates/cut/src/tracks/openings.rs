//! What of the openings is left for the cutter, and what for the drill.

use handbook::Handbook;
use plane::{Outline, Region};

use super::blank::Blank;
use super::concern::TrackConcern;
use crate::holes::{Because, Before, HolePlan, HoleWay, drilled, plan};
use crate::kerf::{Edge, Left};
use crate::profile::{Profile, Stock};
use crate::track::Of;

/// The plan of each opening; none for those that are not round, and for those whose thread nobody knows.
pub(super) fn hole_plans(
    blank: &Blank,
    profile: &Profile,
    stock: &Stock,
    book: &Handbook,
    concerns: &mut Vec<TrackConcern>,
) -> Vec<Option<HolePlan>> {
    let plans = blank.openings.iter().map(|opening| {
        let hole = opening.hole.as_ref()?;
        match plan(hole, stock, profile, book) {
            Ok(plan) => Some(plan),
            Err(why) => {
                concerns.push(TrackConcern::NoThread {
                    name: hole.name.clone(),
                    why,
                });
                None
            }
        }
    });
    plans.collect()
}

/// What is left for the cutter: drilled holes left out, those cut under size made smaller.
pub(super) struct CutFirst {
    pub region: Region,
    /// The blank's opening that each hole of the region is.
    pub openings: Vec<usize>,
}

impl CutFirst {
    pub fn in_blank(&self, of: Edge) -> Edge {
        match of {
            Edge::Outline => Edge::Outline,
            Edge::Opening(opening) => Edge::Opening(self.openings[opening]),
        }
    }
}

pub(super) fn cut_first(blank: &Blank, plans: &[Option<HolePlan>]) -> CutFirst {
    let mut holes = Vec::new();
    let mut openings = Vec::new();
    for (opening, edge) in blank.region.holes.iter().enumerate() {
        let wanted = blank.openings.get(opening).and_then(|said| said.hole.as_ref());
        let planned = plans.get(opening).and_then(Option::as_ref);
        let way = planned.map(|plan| &plan.way);
        let edge = match (wanted, way) {
            // A thread nobody knows: not cut, so that nothing is spoilt.
            (Some(_), None) => None,
            (_, None | Some(HoleWay::CutToSize)) => Some(edge.clone()),
            (_, Some(HoleWay::Drill { before, .. })) => match *before {
                Before::CentreMark => None,
                Before::CutTo { dia_mm } => edge
                    .as_circle()
                    .and_then(|(centre, _)| Outline::circle(centre, dia_mm).ok()),
            },
        };
        if let Some(edge) = edge {
            holes.push(edge.oriented(false));
            openings.push(opening);
        }
    }
    CutFirst {
        region: Region {
            outer: blank.region.outer.clone(),
            holes,
        },
        openings,
    }
}

/// The round holes that cannot be begun, or that the kerf would fill, to be drilled instead: the opening of the blank and its
/// plan. Those larger than a small shop drills stay as they are.
pub(super) fn drilled_instead(
    blank: &Blank,
    plans: &[Option<HolePlan>],
    concerns: &[TrackConcern],
    kerf_mm: f64,
    book: &Handbook,
) -> Vec<(usize, HolePlan)> {
    let missing = concerns.iter().filter_map(|concern| match concern {
        TrackConcern::NoLead {
            of: Of::Opening { opening, .. },
            why,
            ..
        } => {
            let because = Because::NoLead {
                longest_mm: why.longest_mm(),
                least_mm: why.least_mm,
            };
            Some((*opening, because))
        }
        TrackConcern::Left {
            left: Left::Opening { opening, .. },
            ..
        } => Some((*opening, Because::TooSmall { least_mm: kerf_mm })),
        _ => None,
    });
    let instead = missing.filter_map(|(opening, because)| {
        blank.region.holes.get(opening)?.as_circle()?;
        let plan = drilled(plans.get(opening)?.as_ref()?, because, book)?;
        Some((opening, plan))
    });
    instead.collect()
}
