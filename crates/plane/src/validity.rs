//! What makes a run of corners an outline.

use thiserror::Error;

use crate::meet::shared_places;
use crate::outline::{Outline, Segment, Vertex};
use crate::{FARTHEST_MM, Point, SAME_POINT_MM, arc};

/// Why a run of corners is not an outline. Corners count from 0; edge `i` runs from corner `i` to the next.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum OutlineError {
    /// Fewer than three corners, or two joined by lines only.
    #[error("an outline needs at least three corners, or two and an arc; this one has {corners}")]
    TooFew {
        /// How many there are.
        corners: usize,
    },
    /// A coordinate or bulge is not a finite number.
    #[error("corner {corner} has a coordinate or arc that is not a finite number")]
    NotFinite {
        /// Which corner.
        corner: usize,
    },
    /// A corner, or the circle of an arc, lies out of all measure.
    #[error(
        "corner {corner} or the arc that leaves it reaches {reach_mm:.0} mm; the most is {most_mm:.0} mm"
    )]
    OutOfReach {
        /// Which corner.
        corner: usize,
        /// How far out it is.
        reach_mm: f64,
        /// [`FARTHEST_MM`].
        most_mm: f64,
    },
    /// An arc turns so nearly all the way round that its two ends do not tell where its circle is.
    #[error(
        "the arc that leaves corner {corner} turns through {turn_deg:.3} degrees; draw so full a circle as two arcs"
    )]
    NearlyFullTurn {
        /// Which corner.
        corner: usize,
        /// The angle it turns through, degrees.
        turn_deg: f64,
    },
    /// Two neighbouring corners are one point.
    #[error("corners {corner} and {next} are one point ({:.3}, {:.3})", at.x, at.y)]
    ZeroLength {
        /// The first of them.
        corner: usize,
        /// The second.
        next: usize,
        /// Where they are.
        at: Point,
    },
    /// Two edges cross, touch or run along each other.
    #[error("edges {edge} and {other} cross or touch at ({:.3}, {:.3})", at.x, at.y)]
    Crosses {
        /// The lower of the two edges.
        edge: usize,
        /// The higher.
        other: usize,
        /// Where they meet.
        at: Point,
    },
    /// It goes out and comes back the same way.
    #[error("the outline encloses nothing: it comes back along itself")]
    EnclosesNothing,
}

/// The fullest arc taken, 0.02 degrees short of a full turn: its circle is still known to one part in 10^12.
const MOST_BULGE: f64 = 1e4;

/// Everything that can be said of the corners one by one.
pub(crate) fn check_corners(vertices: &[Vertex]) -> Result<(), OutlineError> {
    let count = vertices.len();
    if count < 2 {
        return Err(OutlineError::TooFew { corners: count });
    }
    for (corner, v) in vertices.iter().enumerate() {
        if !(v.at.x.is_finite() && v.at.y.is_finite() && v.bulge.is_finite()) {
            return Err(OutlineError::NotFinite { corner });
        }
        let reach_mm = v.at.x.abs().max(v.at.y.abs());
        if reach_mm > FARTHEST_MM {
            return Err(OutlineError::OutOfReach {
                corner,
                reach_mm,
                most_mm: FARTHEST_MM,
            });
        }
    }
    let mut arcs = 0;
    for (corner, v) in vertices.iter().enumerate() {
        let next = (corner + 1) % count;
        let chord_mm = (vertices[next].at - v.at).norm();
        if chord_mm < SAME_POINT_MM {
            return Err(OutlineError::ZeroLength {
                corner,
                next,
                at: v.at,
            });
        }
        if !arc::is_flat(chord_mm, v.bulge) {
            arcs += 1;
            if v.bulge.abs() > MOST_BULGE {
                return Err(OutlineError::NearlyFullTurn {
                    corner,
                    turn_deg: arc::sweep_of_bulge(v.bulge).to_degrees(),
                });
            }
            let reach_mm = arc::radius_of_bulge_mm(chord_mm, v.bulge);
            if v.bulge.abs() > 1.0 && reach_mm > FARTHEST_MM {
                return Err(OutlineError::OutOfReach {
                    corner,
                    reach_mm,
                    most_mm: FARTHEST_MM,
                });
            }
        }
    }
    if count == 2 && arcs == 0 {
        return Err(OutlineError::TooFew { corners: count });
    }
    Ok(())
}

/// No two edges cross or touch but at the corner they share, and something is enclosed. The crossing reported is the
/// one of the lowest edges.
pub(crate) fn check_crossings(outline: &Outline) -> Result<(), OutlineError> {
    let edges: Vec<Segment> = outline.segments().collect();
    let mut first: Option<(usize, usize, Point)> = None;
    each_near_pair(&edges, |i, j| {
        let (low, high) = (i.min(j), i.max(j));
        if first.is_some_and(|(a, b, _)| (a, b) <= (low, high)) {
            return;
        }
        if let Some(at) = crossing_of_edges(&edges, low, high) {
            first = Some((low, high, at));
        }
    });
    if let Some((edge, other, at)) = first {
        return Err(OutlineError::Crosses { edge, other, at });
    }
    if outline.area_mm2() <= SAME_POINT_MM * outline.length_mm() / 2.0 {
        return Err(OutlineError::EnclosesNothing);
    }
    Ok(())
}

/// Where two edges of one outline meet other than at a corner they share.
fn crossing_of_edges(edges: &[Segment], low: usize, high: usize) -> Option<Point> {
    /// Meetings this near a shared corner are that corner: a crossing of two edges that leave it nearly in line is
    /// known no better.
    const AT_CORNER_MM: f64 = 4.0 * SAME_POINT_MM;
    let (a, b) = (&edges[low], &edges[high]);
    let follows = high == low + 1;
    let closes = low == 0 && high + 1 == edges.len();
    shared_places(a, b, SAME_POINT_MM).into_iter().find(|&at| {
        let shared = (follows && (at - b.from()).norm() <= AT_CORNER_MM)
            || (closes && (at - a.from()).norm() <= AT_CORNER_MM);
        !shared
    })
}

/// Calls `visit` for each pair of edges whose boxes touch. A sweep from left to right.
pub(crate) fn each_near_pair(edges: &[Segment], mut visit: impl FnMut(usize, usize)) {
    let boxes: Vec<_> = edges.iter().map(Segment::bounds).collect();
    let mut order: Vec<usize> = (0..edges.len()).collect();
    order.sort_by(|&a, &b| boxes[a].0.x.total_cmp(&boxes[b].0.x));
    let mut open: Vec<usize> = Vec::new();
    for &edge in &order {
        let (low, high) = boxes[edge];
        open.retain(|&o| boxes[o].1.x >= low.x - SAME_POINT_MM);
        for &other in &open {
            if boxes[other].0.y <= high.y + SAME_POINT_MM && boxes[other].1.y >= low.y - SAME_POINT_MM {
                visit(other, edge);
            }
        }
        open.push(edge);
    }
}
