//! A cut as a controller wants it that moves the path over by half the kerf itself.

use plane::{OffsetError, Outline, OutlineError, Point, Segment, Vector, Vertex};
use thiserror::Error;

use crate::lead::join::{first_of, once_around_from, track};
use crate::profile::SquareSide;
use crate::track::{Cut, Track};

/// A cut moved from the middle of its kerf onto the edge that stays.
#[derive(Debug, Clone, PartialEq)]
pub struct OnEdge {
    /// Lead-in, edge, over-run, lead-out. Inside corners are as round as the kerf leaves them.
    pub track: Track,
    /// Which of the track's vertices begins the edge, and which ends it.
    pub around: [usize; 2],
}

/// Why a cut cannot be moved onto the edge.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NotOnEdge {
    /// It is not once around a contour: the vertices named are not there or do not make an outline.
    #[error("the cut is not once around a contour: {0}")]
    NotAround(OutlineError),
    /// The contour's vertices are not those of the track.
    #[error("the cut says vertices {around:?} are once around, and it has {vertices}")]
    NoSuchVertices {
        /// As said.
        around: [usize; 2],
        /// How many there are.
        vertices: usize,
    },
    /// The contour could not be moved over.
    #[error(transparent)]
    NotMoved(#[from] OffsetError),
}

/// An edge shorter than this is gone: an arc round a sharp corner that has shrunk to the corner, mm.
const GONE_MM: f64 = 1e-5;
/// What follows the contour runs along it within this, mm, or leads out.
const ALONG_MM: f64 = 1e-5;

impl Cut {
    /// The cut moved sideways by half its kerf, onto the part, which lies on the square side. A controller that
    /// compensates follows this with the tool on the other side.
    pub fn on_edge(&self, square: SquareSide) -> Result<OnEdge, NotOnEdge> {
        let [first, last] = self.around;
        let vertices = &self.track.vertices;
        if first >= last || last >= vertices.len() {
            return Err(NotOnEdge::NoSuchVertices {
                around: self.around,
                vertices: vertices.len(),
            });
        }
        let once: Vec<Vertex> = vertices[first..last].to_vec();
        let middle = Outline::new(once).map_err(NotOnEdge::NotAround)?;
        let half_mm = self.kerf_mm / 2.0;
        // Positive is to the right of the travel.
        let over_mm = match square {
            SquareSide::Right => half_mm,
            SquareSide::Left => -half_mm,
        };
        let edge = middle.offset_to_one(over_mm)?;

        let moved: Vec<Segment> = self
            .track
            .segments()
            .map(|segment| beside(&segment, over_mm))
            .collect();
        let (lead_in, rest) = moved.split_at(first);
        let begins = rest.first().map_or(vertices[first].at, Segment::from);
        let (index, share) = place_on(&edge, begins);
        let around = once_around_from(&edge, index, share, begins);

        let mut segments = lead_in.to_vec();
        segments.extend(&around);
        let after: Vec<Segment> = self.track.segments().skip(last).collect();
        let on_contour = |segment: &Segment| middle.distance_to(segment.point_at(0.5)).0 <= ALONG_MM;
        let over_runs = after.iter().take_while(|segment| on_contour(segment)).count();
        // As far along the edge as the cut went on along the middle: to beside where it ended, corners cut short.
        if over_runs > 0 {
            let stop = moved[last + over_runs - 1].to();
            segments.extend(up_to(&around, stop));
        }
        segments.extend(&moved[last + over_runs..]);
        let lead = lead_in.len();
        segments.retain(|segment| segment.length_mm() > GONE_MM);
        Ok(OnEdge {
            track: track(&segments),
            around: [lead, lead + around.len()],
        })
    }
}

/// A segment moved to its right by a distance; an arc that would turn inside out shrinks to its centre.
fn beside(segment: &Segment, right_mm: f64) -> Segment {
    let right = |ahead: Vector| Vector::new(ahead.y, -ahead.x);
    match *segment {
        Segment::Line { from, to } => {
            let by = right(segment.tangent_at(0.5)) * right_mm;
            Segment::line(from + by, to + by)
        }
        Segment::Arc {
            from,
            to,
            centre,
            radius_mm,
            sweep_rad,
        } => {
            // Right of an arc that turns counter-clockwise is away from its centre.
            let new_mm = (radius_mm + right_mm * sweep_rad.signum()).max(0.0);
            let scaled = |at: Point| centre + (at - centre) * (new_mm / radius_mm);
            Segment::Arc {
                from: scaled(from),
                to: scaled(to),
                centre,
                radius_mm: new_mm,
                sweep_rad,
            }
        }
    }
}

/// Edge and share of an outline nearest to a point; where two edges meet there, the one that begins.
fn place_on(edge: &Outline, at: Point) -> (usize, f64) {
    /// A place this near an edge's end is its end, mm.
    const AT_END_MM: f64 = 1e-5;
    let mut best = (f64::INFINITY, 0, 0.0);
    for (index, segment) in edge.segments().enumerate() {
        let share = segment.share_nearest(at);
        let off_mm = (segment.point_at(share) - at).norm();
        if off_mm < best.0 {
            best = (off_mm, index, share);
        }
    }
    let (_, index, share) = best;
    let length_mm = edge.segment(index).length_mm();
    if (1.0 - share) * length_mm < AT_END_MM {
        ((index + 1) % edge.len(), 0.0)
    } else if share * length_mm < AT_END_MM {
        (index, 0.0)
    } else {
        (index, share)
    }
}

/// The first edges of a run as far as the place nearest to a point.
fn up_to(edges: &[Segment], stop: Point) -> Vec<Segment> {
    let mut best = (f64::INFINITY, 0.0);
    let mut done_mm = 0.0;
    for edge in edges {
        let share = edge.share_nearest(stop);
        let off_mm = (edge.point_at(share) - stop).norm();
        // The first of two places equally near: the run ends where it began.
        if off_mm < best.0 - ALONG_MM {
            best = (off_mm, done_mm + share * edge.length_mm());
        }
        done_mm += edge.length_mm();
    }
    first_of(edges, best.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kerf_test::Comb;
    use crate::track::Of;

    #[test]
    fn a_plate_is_followed_along_its_own_edge() {
        let cuts = Comb::for_kerf(1.6, 5.0, 2000.0)
            .cuts(Point::origin())
            .expect("a comb");
        let outline = cuts.last().expect("the outline comes last");
        let on_edge = outline.on_edge(SquareSide::Right).expect("the edge");
        let [first, last] = on_edge.around;
        let corners: Vec<[f64; 2]> = on_edge.track.vertices[first..=last]
            .iter()
            .map(|vertex| [vertex.at.x, vertex.at.y])
            .collect();
        let [width_mm, height_mm] = Comb::for_kerf(1.6, 5.0, 2000.0).size_mm();
        let expected = [
            [0.0, 0.0],
            [0.0, height_mm],
            [width_mm, height_mm],
            [width_mm, 0.0],
            [0.0, 0.0],
        ];
        for (got, wanted) in corners.iter().zip(expected) {
            assert!(
                (got[0] - wanted[0]).abs() + (got[1] - wanted[1]).abs() < 1e-6,
                "{corners:?}"
            );
        }
    }

    #[test]
    fn a_slot_in_one_pass_is_no_contour() {
        let slot = Cut {
            name: "slot".into(),
            of: Of::Opening { part: 0, opening: 0 },
            track: Track {
                vertices: vec![Vertex::line(Point::origin()), Vertex::line(Point::new(9.0, 0.0))],
            },
            around: [0, 1],
            kerf_mm: 1.6,
            feed_mm_min: 2000.0,
        };
        assert!(matches!(
            slot.on_edge(SquareSide::Right),
            Err(NotOnEdge::NotAround(_))
        ));
        let wrong = Cut {
            around: [1, 7],
            ..slot
        };
        assert!(matches!(
            wrong.on_edge(SquareSide::Right),
            Err(NotOnEdge::NoSuchVertices { vertices: 2, .. })
        ));
    }
}
