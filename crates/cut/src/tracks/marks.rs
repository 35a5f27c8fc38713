//! What is marked on the plate: centres to be drilled, and where bends begin and end.

use nalgebra::Isometry2;
use plane::{Point, Vector};

use super::Blank;
use crate::holes::{Before, HolePlan, HoleWay};
use crate::profile::Profile;

/// Length of a mark by hand at the end of a bend, mm. Common practice, no source.
const TICK_BY_HAND_MM: f64 = 10.0;
/// Marks take no more than this share of a bend from either end, so that two marks are two.
const MOST_OF_BEND: f64 = 0.25;

/// What a mark is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MarkFor {
    /// The centre of a hole that is drilled.
    Centre {
        /// Its name.
        hole: String,
    },
    /// The end of a bend.
    BendEnd {
        /// Its name.
        bend: String,
    },
}

/// Who makes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkedBy {
    /// The machine, without cutting through.
    Machine,
    /// The scriber and the punch, after cutting.
    Hand,
}

/// A mark on the plate, in table coordinates.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// What for.
    pub what: MarkFor,
    /// Where it begins.
    pub from: Point,
    /// Where it ends; the same place for a centre.
    pub to: Point,
    /// Who makes it.
    pub by: MarkedBy,
}

pub(super) fn marks(
    blank: &Blank,
    plans: &[Option<HolePlan>],
    profile: &Profile,
    placed: &Isometry2<f64>,
) -> Vec<Mark> {
    let by = if profile.marker.is_some() {
        MarkedBy::Machine
    } else {
        MarkedBy::Hand
    };
    let mut marks = Vec::new();
    for ((opening, edge), plan) in blank.openings.iter().zip(&blank.region.holes).zip(plans) {
        let marked = match (&opening.hole, plan) {
            (Some(_), None) => true,
            (_, Some(plan)) => matches!(
                plan.way,
                HoleWay::Drill {
                    before: Before::CentreMark,
                    ..
                }
            ),
            (None, None) => false,
        };
        if marked && let Some((centre, _)) = edge.as_circle() {
            marks.push(Mark {
                what: MarkFor::Centre {
                    hole: opening.name.clone(),
                },
                from: placed * centre,
                to: placed * centre,
                by,
            });
        }
    }
    let tick_mm = profile.marker.map_or(TICK_BY_HAND_MM, |marker| marker.tick_mm);
    for bend in &blank.bends {
        let along: Vector = bend.to - bend.from;
        let length_mm = along.norm();
        if length_mm <= plane::SAME_POINT_MM {
            continue;
        }
        let tick = along * (tick_mm / length_mm).min(MOST_OF_BEND);
        for (end, inward) in [(bend.from, tick), (bend.to, -tick)] {
            marks.push(Mark {
                what: MarkFor::BendEnd {
                    bend: bend.name.clone(),
                },
                from: placed * end,
                to: placed * (end + inward),
                by,
            });
        }
    }
    marks
}
