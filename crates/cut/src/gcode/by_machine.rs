//! Whether a machine that shifts the path by half the kerf makes the track again of the edges that it is told.
//!
//! Every edge is shifted out as a machine shifts it, and the track must lie on what comes of it. Outside corners are rounded
//! about the corner; at inside corners the shifted edges are cut where they cross. An edge that would vanish, run backward, or
//! cross its neighbour elsewhere than the track does is nothing to leave to a machine: controllers differ in what they make of it
//! (common practice, no source).

use plane::{Point, Segment, Vector};

use super::compensate::{Along, NoEdge, Shifted, shifted_to_edge};
use crate::track::Cut;

/// The shortest edge that is left to a machine, in half kerfs. Ends are rounded to half a step of the program, and an arc may be
/// written as a chord that stands off it by as much; both turn a short edge. A fifth of half a kerf turns by no more than
/// 0.0007 mm / 0.2 at the coarsest step, 0.000254 mm, and its shifted end is off by less than 0.004 mm.
const SHORTEST_X_HALF_KERF: f64 = 0.2;
/// No kerf is so fine that a shorter edge is left to it: the writer makes chords of arcs half as long.
const SHORTEST_MM: f64 = 0.02;
/// The tightest arc in the middle of the kerf: ten times the tightest that the reader of the program shifts, so that rounding of
/// its ends and its centre, by half a step of 0.000254 mm at the coarsest, does not come near that.
const TIGHTEST_MM: f64 = 0.01;
/// Ends no farther apart are left unjoined. The reader takes ends within 0.005 mm for one; rounding of both, at the coarsest
/// step, brings 0.0004 mm more, and what is let through here is to be taken so there too.
const UNJOINED_MM: f64 = 0.004;
/// The track lies on a shifted edge when it is no farther off.
const ON_MM: f64 = 1e-4;
/// No corner that turns back more sharply is rounded about.
const SHARPEST_RAD: f64 = std::f64::consts::PI - 0.01;

/// Whether a cut can be left to a machine that shifts the path by half the kerf itself.
///
/// # Errors
/// [`NoEdge`]: what stands against it.
pub fn left_to_machine(cut: &Cut) -> Result<(), NoEdge> {
    for_machine(cut).map(|_| ())
}

/// What the machine is told, when it makes the track of it.
pub(super) fn for_machine(cut: &Cut) -> Result<Shifted, NoEdge> {
    let told = shifted_to_edge(cut)?;
    let left_mm = told.out_left_mm;
    let shortest_mm = (SHORTEST_X_HALF_KERF * left_mm.abs()).max(SHORTEST_MM);
    let mut before: Option<Pair> = None;
    for (edge, track) in told.edges[1..].iter().zip(&told.of_track) {
        let pair = Pair::new(edge, track, left_mm, shortest_mm)?;
        match &before {
            Some(before) => before.meets(&pair)?,
            None if off_mm(pair.out.from(), track.from()) > ON_MM => {
                return Err(NoEdge::OffTrack { at: track.from() });
            }
            None => {}
        }
        before = Some(pair);
    }
    match before {
        Some(last) if off_mm(last.out.to(), last.track.to()) > ON_MM => {
            Err(NoEdge::OffTrack { at: last.track.to() })
        }
        _ => Ok(told),
    }
}

/// An edge of the part, what the machine makes of it before it is joined to its neighbours, and the track that it is to be.
struct Pair {
    edge: Segment,
    out: Segment,
    track: Segment,
    left_mm: f64,
}

impl Pair {
    fn new(edge: &Segment, track: &Segment, left_mm: f64, shortest_mm: f64) -> Result<Pair, NoEdge> {
        let at = track.from();
        let long_enough = |along, length_mm| {
            if length_mm >= shortest_mm {
                return Ok(());
            }
            Err(NoEdge::TooShort {
                at,
                along,
                length_mm,
                least_mm: shortest_mm,
            })
        };
        long_enough(Along::Part, edge.length_mm())?;
        match *track {
            Segment::Line { from, to } => {
                long_enough(Along::KerfMiddle, (to - from).norm())?;
                if (edge.to() - edge.from()).dot(&(to - from)) <= 0.0 {
                    return Err(NoEdge::RunsBack { at });
                }
            }
            Segment::Arc {
                centre, radius_mm, ..
            } if radius_mm < TIGHTEST_MM => {
                return Err(NoEdge::TooFine {
                    at: centre,
                    radius_mm,
                    least_mm: TIGHTEST_MM,
                });
            }
            Segment::Arc { .. } => {}
        }
        let out = beside(edge, left_mm);
        let [begins, ends] = [track.from(), track.to()].map(|at| (out.nearest(at).0, out.share_nearest(at)));
        // On it, and from one place of it to a later one with nothing gone round twice. Written so that what is no number is not.
        let on_it = begins.0 <= ON_MM
            && ends.0 <= ON_MM
            && ((ends.1 - begins.1) * out.length_mm() - track.length_mm()).abs() <= 2.0 * ON_MM;
        if !on_it {
            return Err(NoEdge::OffTrack { at });
        }
        Ok(Pair {
            edge: *edge,
            out,
            track: *track,
            left_mm,
        })
    }

    /// Whether the machine joins this edge and the next where the track does.
    fn meets(&self, next: &Pair) -> Result<(), NoEdge> {
        let at = self.track.to();
        if off_mm(self.out.to(), next.out.from()) <= UNJOINED_MM {
            return Ok(());
        }
        let (before, after) = (self.edge.tangent_at(1.0), next.edge.tangent_at(0.0));
        let turn_rad = before.perp(&after).atan2(before.dot(&after));
        let outside = turn_rad * self.left_mm < 0.0;
        let joined = if outside {
            let whole =
                off_mm(self.out.to(), at) <= ON_MM && off_mm(next.out.from(), next.track.from()) <= ON_MM;
            whole && turn_rad.abs() <= SHARPEST_RAD
        } else {
            let met = self.out.meetings(&next.out);
            off_mm(at, next.track.from()) <= ON_MM
                && met.len() == 1
                && met.iter().all(|met| off_mm(met.at, at) <= ON_MM)
        };
        if joined {
            Ok(())
        } else {
            Err(NoEdge::NotJoined { at })
        }
    }
}

fn off_mm(a: Point, b: Point) -> f64 {
    (a - b).norm()
}

/// An edge shifted to the left, not joined to anything.
fn beside(edge: &Segment, left_mm: f64) -> Segment {
    match *edge {
        Segment::Line { from, to } => {
            let along = (to - from).normalize();
            edge.translated(Vector::new(-along.y, along.x) * left_mm)
        }
        Segment::Arc {
            from,
            to,
            centre,
            radius_mm,
            sweep_rad,
        } => {
            let shifted_mm = radius_mm - left_mm * sweep_rad.signum();
            let share = shifted_mm / radius_mm;
            Segment::Arc {
                from: centre + (from - centre) * share,
                to: centre + (to - centre) * share,
                centre,
                radius_mm: shifted_mm,
                sweep_rad,
            }
        }
    }
}
