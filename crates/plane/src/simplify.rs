//! Fewer corners for the same shape.

use crate::bulge_of_sweep;
use crate::outline::{Outline, Segment, Vertex};

/// Merged arcs turn no farther than this: past it an arc's ends come so near each other that its bulge loses digits.
const MOST_TURN_RAD: f64 = 1.75 * std::f64::consts::PI;

impl Outline {
    /// The same shape with neighbouring edges made one where they lie on one line or one circle and run the same way.
    /// No corner that is dropped lies farther than [`crate::SAME_POINT_MM`] from the new edge. A full circle keeps two corners.
    pub fn simplified(&self) -> Outline {
        let count = self.vertices.len();
        let edges: Vec<Segment> = self.segments().collect();
        let runs_on = |i: usize| whole(&[edges[(i + count - 1) % count], edges[i]]).is_some();
        // Start at a corner that stays, so that the last run does not have to be joined to the first.
        let start = (0..count).find(|&i| !runs_on(i)).unwrap_or(0);
        let mut merged: Vec<Segment> = Vec::with_capacity(count);
        let mut run: Vec<Segment> = Vec::new();
        for i in 0..count {
            let index = (start + i) % count;
            if i > 0 && !runs_on(index) {
                merge(&run, &mut merged);
                run.clear();
            }
            run.push(edges[index]);
        }
        merge(&run, &mut merged);
        if merged.len() < 2 {
            return self.clone();
        }
        let vertices = merged
            .iter()
            .map(|edge| Vertex {
                at: edge.from(),
                bulge: edge.bulge(),
            })
            .collect();
        Outline { vertices }
    }
}

/// A run of edges that join two by two, as few edges: one if that passes all its corners, or else by halves.
fn merge(run: &[Segment], merged: &mut Vec<Segment>) {
    match (run, whole(run)) {
        (_, Some(edge)) => merged.push(edge),
        ([] | [_], None) => merged.extend(run),
        (_, None) => {
            let (first, second) = run.split_at(run.len() / 2);
            merge(first, merged);
            merge(second, merged);
        }
    }
}

/// The one edge that a run of edges makes, if it passes every corner and middle they had.
fn whole(run: &[Segment]) -> Option<Segment> {
    let (first, last) = (run.first()?, run.last()?);
    let edge = match first {
        Segment::Line { .. } => {
            let forward = |next: &Segment| {
                matches!(next, Segment::Line { .. }) && first.tangent_at(0.0).dot(&next.tangent_at(0.0)) > 0.0
            };
            if !run.iter().all(forward) {
                return None;
            }
            Segment::line(first.from(), last.to())
        }
        Segment::Arc { radius_mm, .. } => {
            /// A first sieve for circles that differ: the radius of a flat arc is known less well than its edge.
            const LIKE_RADIUS_SHARE: f64 = 1e-3;
            let like =
                |next: &Segment| (next.curvature() - first.curvature()).abs() * radius_mm < LIKE_RADIUS_SHARE;
            let turn_rad: f64 = run.iter().map(Segment::turn_rad).sum();
            if !run.iter().all(like) || turn_rad.abs() > MOST_TURN_RAD {
                return None;
            }
            Segment::new(first.from(), last.to(), bulge_of_sweep(turn_rad))
        }
    };
    run.iter()
        .all(|part| edge.holds(part.from()) && edge.holds(part.point_at(0.5)))
        .then_some(edge)
}
