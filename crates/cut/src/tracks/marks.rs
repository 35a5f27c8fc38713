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
/// A cross is no wider than this share of the hole, so that the drill takes all of it away and no scratch is left at the
/// edge of a hole, where a crack would begin.
const CROSS_OF_HOLE: f64 = 0.5;

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
        /// Which of its ends, from 1: a bend in several runs has more than two.
        end: usize,
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
    /// Length of the line, for a centre that of each of the two strokes of its cross, mm.
    pub size_mm: f64,
    /// Who makes it.
    pub by: MarkedBy,
}

pub(super) fn marks(
    blank: &Blank,
    plans: &[Option<HolePlan>],
    profile: &Profile,
    placed: &Isometry2<f64>,
) -> Vec<Mark> {
    let (by, tick_mm) = match profile.marks_with() {
        Some((marker, _)) => (MarkedBy::Machine, marker.tick_mm),
        None => (MarkedBy::Hand, TICK_BY_HAND_MM),
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
        if marked && let Some((centre, dia_mm)) = edge.as_circle() {
            marks.push(Mark {
                what: MarkFor::Centre {
                    hole: opening.name.clone(),
                },
                from: placed * centre,
                to: placed * centre,
                size_mm: tick_mm.min(CROSS_OF_HOLE * dia_mm),
                by,
            });
        }
    }
    for bend in &blank.bends {
        let along: Vector = bend.to - bend.from;
        let length_mm = along.norm();
        if length_mm <= plane::SAME_POINT_MM {
            continue;
        }
        let tick = along * (tick_mm / length_mm).min(MOST_OF_BEND);
        for (at, inward) in [(bend.from, tick), (bend.to, -tick)] {
            let end = 1 + ends_of(&bend.name, &marks);
            marks.push(Mark {
                what: MarkFor::BendEnd {
                    bend: bend.name.clone(),
                    end,
                },
                from: placed * at,
                to: placed * (at + inward),
                size_mm: inward.norm(),
                by,
            });
        }
    }
    marks
}

fn ends_of(name: &str, marks: &[Mark]) -> usize {
    let of_it = |mark: &&Mark| matches!(&mark.what, MarkFor::BendEnd { bend, .. } if bend == name);
    marks.iter().filter(of_it).count()
}
