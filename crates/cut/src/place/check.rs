//! Whether a layout keeps its distances: on the true outlines, and by nothing that the search has used.

use plane::{Place, Region};

use super::job::{Gaps, Sheet};
use super::layout::Placed;

/// Something that does not keep its distance. Parts by their number in the job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Breach {
    /// Two parts are too near, or share material (then it is 0).
    Parts {
        /// The one.
        first: usize,
        /// The other.
        second: usize,
        /// How far they are apart, mm.
        apart_mm: f64,
    },
    /// A part is too near an edge of the sheet, or not on it (then it is 0).
    Edge {
        /// Which.
        part: usize,
        /// How far it is from the edge, mm.
        apart_mm: f64,
    },
    /// A part is too near a clamp.
    Clamp {
        /// Which part.
        part: usize,
        /// Which clamp.
        clamp: usize,
        /// How far it is from it, mm.
        apart_mm: f64,
    },
}

/// Distances are kept to this, mm: a rounding of the last digits is no breach.
const KEPT_MM: f64 = 1e-6;

/// Every breach of a layout; empty when all distances are kept.
#[must_use]
pub fn breaches(placed: &[Placed], sheet: &Sheet, gaps: &Gaps) -> Vec<Breach> {
    let mut found = Vec::new();
    for (i, one) in placed.iter().enumerate() {
        let apart_mm = if lies_on(&one.region, &sheet.region) {
            edges_mm(&one.region, &sheet.region)
        } else {
            0.0
        };
        if apart_mm < gaps.edge_mm - KEPT_MM || apart_mm == 0.0 {
            found.push(Breach::Edge {
                part: one.part,
                apart_mm,
            });
        }
        for (clamp, outline) in sheet.clamps.iter().enumerate() {
            let apart_mm = material_mm(&one.region, &Region::solid(outline.clone()));
            if apart_mm < gaps.clamps_mm - KEPT_MM || apart_mm == 0.0 {
                found.push(Breach::Clamp {
                    part: one.part,
                    clamp,
                    apart_mm,
                });
            }
        }
        for other in &placed[..i] {
            let apart_mm = material_mm(&other.region, &one.region);
            if apart_mm < gaps.parts_mm - KEPT_MM || apart_mm == 0.0 {
                found.push(Breach::Parts {
                    first: other.part,
                    second: one.part,
                    apart_mm,
                });
            }
        }
    }
    found
}

/// Every corner and the middle of every edge on the sheet, and no hole of the sheet under the part.
fn lies_on(part: &Region, sheet: &Region) -> bool {
    let mut places = part
        .outer
        .segments()
        .flat_map(|edge| [edge.from(), edge.point_at(0.5)]);
    let mut holes = sheet
        .holes
        .iter()
        .flat_map(|hole| hole.segments().map(|edge| edge.from()));
    places.all(|at| sheet.place_of(at) == Place::Inside)
        && holes.all(|at| part.place_of(at) == Place::Outside)
}

/// 0 when any corner or middle of an edge of one lies in the other.
fn material_mm(a: &Region, b: &Region) -> f64 {
    let within = |a: &Region, b: &Region| {
        a.outer
            .segments()
            .flat_map(|edge| [edge.from(), edge.point_at(0.5)])
            .any(|at| b.place_of(at) != Place::Outside)
    };
    if within(a, b) || within(b, a) {
        0.0
    } else {
        edges_mm(a, b)
    }
}

fn edges_mm(a: &Region, b: &Region) -> f64 {
    let pairs = a
        .outlines()
        .flat_map(|one| b.outlines().map(move |other| (one, other)));
    pairs
        .map(|(one, other)| one.distance_between(other).0)
        .fold(f64::INFINITY, f64::min)
}
