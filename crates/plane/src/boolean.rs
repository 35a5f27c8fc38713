//! Material joined, shared and taken away: union, intersection and difference of regions.
//!
//! Both sets of edges are cut where they meet, each piece is judged by where it lies against the other set, and the
//! pieces that bound the answer are stitched into loops. Edges that run along each other are told by their ends, so
//! regions that share an edge (as panels do) join without a trace of it.

use thiserror::Error;

use crate::outline::{Outline, Region};
use crate::pieces::{Against, NODE_TOLERANCES, Piece, cut_up};
use crate::stitch::stitch;
use crate::{Place, Point, SAME_POINT_MM};

/// Why two sets of material could not be combined. The result would have been wrong, so there is none.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum BooleanFailed {
    /// The pieces of edge do not close at a point: edges run so near each other there that they can be taken neither as
    /// one nor as two.
    #[error("the edges run too near each other at ({:.4}, {:.4}) to tell which side of one the other is on", at.x, at.y)]
    LeftOpen {
        /// Where.
        at: Point,
    },
    /// A hole came out that lies in no outer outline.
    #[error("a hole at ({:.3}, {:.3}) came out with no material round it", at.x, at.y)]
    HoleAlone {
        /// A point of it.
        at: Point,
    },
    /// The area of the result is not what the areas of the two make it.
    #[error("the area of the result is out by {off_mm2:.6} mm2")]
    AreaNotKept {
        /// By how much.
        off_mm2: f64,
    },
}

#[derive(Clone, Copy, PartialEq)]
enum Operation {
    Union,
    Intersection,
    Difference,
}

/// All the material of either set. Regions within one set must not overlap nor share edges.
pub fn union(a: &[Region], b: &[Region]) -> Result<Vec<Region>, BooleanFailed> {
    combine(a, b, Operation::Union)
}

/// The material that is in both sets.
pub fn intersection(a: &[Region], b: &[Region]) -> Result<Vec<Region>, BooleanFailed> {
    combine(a, b, Operation::Intersection)
}

/// The material of the first set that is not in the second.
pub fn difference(a: &[Region], b: &[Region]) -> Result<Vec<Region>, BooleanFailed> {
    combine(a, b, Operation::Difference)
}

/// All the material of any of these, which may overlap and share edges.
pub fn union_all(regions: &[Region]) -> Result<Vec<Region>, BooleanFailed> {
    regions.iter().try_fold(Vec::new(), |joined, region| {
        union(&joined, std::slice::from_ref(region))
    })
}

impl Region {
    /// The material of either; see [`union`].
    pub fn union(&self, other: &Region) -> Result<Vec<Region>, BooleanFailed> {
        union(std::slice::from_ref(self), std::slice::from_ref(other))
    }

    /// The material of both; see [`intersection`].
    pub fn intersection(&self, other: &Region) -> Result<Vec<Region>, BooleanFailed> {
        intersection(std::slice::from_ref(self), std::slice::from_ref(other))
    }

    /// What is left of this when the other is cut out; see [`difference`].
    pub fn difference(&self, other: &Region) -> Result<Vec<Region>, BooleanFailed> {
        difference(std::slice::from_ref(self), std::slice::from_ref(other))
    }
}

/// The results are sorted by area, largest first, and their holes too; corners that only marked where edges met are gone.
/// A hole may touch its outer outline or another hole at a single point.
fn combine(a: &[Region], b: &[Region], operation: Operation) -> Result<Vec<Region>, BooleanFailed> {
    /// Edges that run along each other about as far apart as [`SAME_POINT_MM`] are neither clearly one nor clearly two;
    /// held to this instead they are one, and the result is still good to half a micrometre.
    const COARSE_MM: f64 = 100.0 * SAME_POINT_MM;
    combine_within(a, b, operation, SAME_POINT_MM)
        .or_else(|why| combine_within(a, b, operation, COARSE_MM).map_err(|_| why))
}

fn combine_within(
    a: &[Region],
    b: &[Region],
    operation: Operation,
    tolerance_mm: f64,
) -> Result<Vec<Region>, BooleanFailed> {
    let cut = cut_up(a, b, tolerance_mm);
    let node_mm = NODE_TOLERANCES * tolerance_mm;
    let pick = |operation: Operation| -> Vec<Piece> {
        let of_a = cut.of_a.iter().filter(|(_, against)| match operation {
            Operation::Union => matches!(against, Against::Outside | Against::SameWay),
            Operation::Intersection => matches!(against, Against::Inside | Against::SameWay),
            Operation::Difference => matches!(against, Against::Outside | Against::OtherWay),
        });
        let of_b = cut.of_b.iter().filter(|(_, against)| match operation {
            Operation::Union => *against == Against::Outside,
            Operation::Intersection | Operation::Difference => *against == Against::Inside,
        });
        of_a.map(|(piece, _)| *piece)
            .chain(of_b.map(|(piece, _)| {
                if operation == Operation::Difference {
                    piece.reversed()
                } else {
                    *piece
                }
            }))
            .collect()
    };
    let loops = stitch(&pick(operation), &cut.nodes, node_mm)?;
    let regions = assemble(loops)?;

    let area_of = |set: &[Region]| set.iter().map(Region::area_mm2).sum::<f64>();
    let length_mm: f64 = a.iter().chain(b).map(Region::length_mm).sum();
    let (area_a, area_b, got) = (area_of(a), area_of(b), area_of(&regions));
    let expected = match operation {
        Operation::Union => area_a + area_b - area_along(&pick(Operation::Intersection)),
        Operation::Intersection => area_a + area_b - area_along(&pick(Operation::Union)),
        Operation::Difference => area_a - area_along(&pick(Operation::Intersection)),
    };
    let (least, most) = match operation {
        Operation::Union => (area_a.max(area_b), area_a + area_b),
        Operation::Intersection => (0.0, area_a.min(area_b)),
        Operation::Difference => ((area_a - area_b).max(0.0), area_a),
    };
    let off_mm2 = (got - expected).abs().max(least - got).max(got - most);
    // Every node may have been moved by its tolerance, and with it the edges on either side.
    let slack_mm2 = 2.0 * node_mm * length_mm + 1e-12 * (area_a + area_b);
    if off_mm2 > slack_mm2 {
        Err(BooleanFailed::AreaNotKept { off_mm2 })
    } else {
        Ok(regions)
    }
}

/// The area enclosed by pieces that form closed loops, in whatever order.
fn area_along(pieces: &[Piece]) -> f64 {
    let Some(base) = pieces.first().map(|piece| piece.edge.from()) else {
        return 0.0;
    };
    pieces
        .iter()
        .map(|p| (p.edge.from() - base).perp(&(p.edge.to() - base)) / 2.0 + p.edge.area_over_chord_mm2())
        .sum()
}

/// Gives every hole to the smallest outline that holds it.
fn assemble(loops: Vec<Outline>) -> Result<Vec<Region>, BooleanFailed> {
    let (mut outers, mut holes): (Vec<Outline>, Vec<Outline>) =
        loops.into_iter().partition(Outline::is_counter_clockwise);
    let largest_first = |a: &Outline, b: &Outline| {
        let (p, q) = (a.vertices[0].at, b.vertices[0].at);
        b.area_mm2()
            .total_cmp(&a.area_mm2())
            .then(p.x.total_cmp(&q.x))
            .then(p.y.total_cmp(&q.y))
    };
    outers.sort_by(largest_first);
    holes.sort_by(largest_first);
    let mut regions: Vec<Region> = outers
        .into_iter()
        .map(|outer| Region {
            outer,
            holes: Vec::new(),
        })
        .collect();
    for hole in holes {
        // Largest first, so the last that holds it is the smallest.
        match regions.iter_mut().rfind(|region| lies_in(&hole, &region.outer)) {
            Some(region) => region.holes.push(hole),
            None => {
                return Err(BooleanFailed::HoleAlone {
                    at: hole.vertices[0].at,
                });
            }
        }
    }
    regions.sort_by(|a, b| b.area_mm2().total_cmp(&a.area_mm2()));
    Ok(regions)
}

/// Whether a hole lies in an outline that it does not cross but may touch.
fn lies_in(hole: &Outline, outer: &Outline) -> bool {
    hole.segments()
        .map(|edge| outer.place_of(edge.point_at(0.5)))
        .find(|place| *place != Place::On)
        .is_some_and(|place| place == Place::Inside)
}
