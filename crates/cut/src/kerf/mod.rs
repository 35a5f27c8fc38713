//! The middle of the kerf: outlines moved out and openings moved in by half its width, arcs kept as arcs, and what a
//! cut that wide cannot make.

mod corner;
mod left;
#[cfg(test)]
mod tests;

use plane::{OffsetError, Outline, Point, Region};
use thiserror::Error;

use crate::profile::SquareSide;

/// An edge of a blank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Edge {
    /// The outside.
    Outline,
    /// The opening of this index in the region's holes.
    Opening(usize),
}

/// Something the kerf cannot make as drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Left {
    /// An inside corner comes out rounder than drawn.
    Corner {
        /// Of this edge.
        of: Edge,
        /// Where.
        at: Point,
        /// As drawn, mm; 0 when sharp.
        drawn_mm: f64,
        /// As it comes out, mm.
        comes_out_mm: f64,
        /// From the corner as drawn to where the cut comes nearest, mm.
        short_mm: f64,
    },
    /// A gap, slot or neck narrower than the kerf stays shut.
    Gap {
        /// Of this edge.
        of: Edge,
        /// The middle of its mouth, where the cut stops.
        at: Point,
        /// How wide it is there, mm.
        width_mm: f64,
        /// Material that stays in and should have gone, mm2.
        left_mm2: f64,
    },
    /// An opening nowhere wider than the kerf: it is not cut at all.
    Opening {
        /// Which.
        opening: usize,
        /// A place in it.
        at: Point,
    },
    /// An opening that narrows to less than the kerf is cut as several.
    InPieces {
        /// Which.
        opening: usize,
        /// How many.
        pieces: usize,
    },
    /// What stays in could not be worked out: nothing said about gaps of this edge means nothing.
    NotWorkedOut {
        /// Of this edge.
        of: Edge,
    },
}

impl Left {
    /// The edge it is on.
    #[must_use]
    pub fn of(&self) -> Edge {
        match *self {
            Left::Corner { of, .. } | Left::Gap { of, .. } | Left::NotWorkedOut { of } => of,
            Left::Opening { opening, .. } | Left::InPieces { opening, .. } => Edge::Opening(opening),
        }
    }

    /// The same with openings counted otherwise.
    pub(crate) fn renumbered(mut self, number: impl Fn(usize) -> usize) -> Left {
        match &mut self {
            Left::Corner { of, .. } | Left::Gap { of, .. } | Left::NotWorkedOut { of } => {
                if let Edge::Opening(opening) = of {
                    *opening = number(*opening);
                }
            }
            Left::Opening { opening, .. } | Left::InPieces { opening, .. } => *opening = number(*opening),
        }
        self
    }
}

/// One opening's path: one loop, or several where the kerf closes a neck of it.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningPath {
    /// Index in the region's holes.
    pub opening: usize,
    /// The loops, largest first, in the direction of travel; none when the kerf fills it.
    pub loops: Vec<Outline>,
}

/// The middle of the kerf round every edge of a blank.
#[derive(Debug, Clone, PartialEq)]
pub struct Paths {
    /// Round the outside, in the direction of travel.
    pub outline: Outline,
    /// Round each opening, in the order of the region's holes.
    pub openings: Vec<OpeningPath>,
    /// What is not made as drawn: corners and gaps, edge by edge.
    pub left: Vec<Left>,
}

/// Why there is no path.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum NoPath {
    /// A kerf is a width above 0.
    #[error("{kerf_mm} mm is no kerf")]
    NoKerf {
        /// As asked, mm.
        kerf_mm: f64,
    },
    /// An edge could not be moved.
    #[error("the edge could not be moved over by half the kerf: {why}")]
    NotMoved {
        /// Which.
        of: Edge,
        /// Why.
        why: OffsetError,
    },
}

/// The paths that leave the region when a kerf this wide is taken away along them. Those with the square side to the
/// right run clockwise round the outside and counter-clockwise round openings.
pub fn paths(region: &Region, kerf_mm: f64, square: SquareSide) -> Result<Paths, NoPath> {
    if !kerf_mm.is_finite() || kerf_mm <= 0.0 {
        return Err(NoPath::NoKerf { kerf_mm });
    }
    let half_mm = kerf_mm / 2.0;
    // For outlines counter-clockwise and holes clockwise, a positive distance adds material.
    let moved = |edge: &Outline, of: Edge| edge.offset(half_mm).map_err(|why| NoPath::NotMoved { of, why });
    let outer = moved(&region.outer, Edge::Outline)?;
    // The largest is the outside; what else comes of growing is pockets that no torch gets into from there.
    let Some(round) = outer.into_iter().next() else {
        return Err(NoPath::NotMoved {
            of: Edge::Outline,
            why: OffsetError::NotTrusted { distance_mm: half_mm },
        });
    };
    let mut left = left::round_outline(&region.outer, &round, half_mm);
    let mut openings = Vec::with_capacity(region.holes.len());
    for (opening, hole) in region.holes.iter().enumerate() {
        let loops = moved(hole, Edge::Opening(opening))?;
        match loops.len() {
            0 => left.push(Left::Opening {
                opening,
                at: hole.centroid(),
            }),
            1 => {}
            pieces => left.push(Left::InPieces { opening, pieces }),
        }
        if !loops.is_empty() {
            left.extend(left::within_opening(opening, hole, &loops, half_mm));
        }
        openings.push(OpeningPath {
            opening,
            loops: loops
                .iter()
                .map(|path| path.oriented(square == SquareSide::Right))
                .collect(),
        });
    }
    Ok(Paths {
        outline: round.oriented(square == SquareSide::Left),
        openings,
        left,
    })
}
