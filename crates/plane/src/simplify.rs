//! Fewer corners for the same shape.

use crate::outline::{Outline, Segment, Vertex};
use crate::{Point, SAME_POINT_MM};

/// Merged arcs turn no farther than this: past it an arc's ends come so near each other that its bulge loses digits.
const MOST_SWEEP_RAD: f64 = 1.75 * std::f64::consts::PI;

impl Outline {
    /// The same shape with neighbouring edges made one where they lie on one line or one circle and run the same way.
    /// No corner that is dropped lies farther than [`SAME_POINT_MM`] from the new edge.
    pub fn simplified(&self) -> Outline {
        let count = self.vertices.len();
        let edges: Vec<Segment> = self.segments().collect();
        // Start at a corner that stays, so that the last run does not have to be joined to the first.
        let start = (0..count)
            .find(|&i| join(&edges[(i + count - 1) % count], &edges[i], &[]).is_none())
            .unwrap_or(0);
        let mut merged: Vec<Segment> = Vec::with_capacity(count);
        let mut dropped: Vec<Point> = Vec::new();
        for i in 0..count {
            let edge = edges[(start + i) % count];
            if let Some(last) = merged.last_mut() {
                dropped.push(edge.from());
                if let Some(longer) = join(last, &edge, &dropped) {
                    *last = longer;
                    continue;
                }
            }
            dropped.clear();
            merged.push(edge);
        }
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

/// The one edge that two in a row make, if it passes the corners they had.
fn join(first: &Segment, second: &Segment, corners: &[Point]) -> Option<Segment> {
    let whole = match (*first, *second) {
        (Segment::Line { from, to }, Segment::Line { to: end, .. }) => {
            if (to - from).dot(&(end - to)) <= 0.0 {
                return None;
            }
            Segment::line(from, end)
        }
        (
            Segment::Arc {
                from,
                centre,
                radius_mm,
                sweep_rad,
                ..
            },
            Segment::Arc {
                to: end,
                centre: next_centre,
                radius_mm: next_radius_mm,
                sweep_rad: next_sweep_rad,
                ..
            },
        ) => {
            let sweep_rad = sweep_rad + next_sweep_rad;
            // Centres of flat arcs are known less well than their edges: this is only a first sieve.
            let loose_mm = 1e-4 * radius_mm.max(1.0);
            if first.curvature() * second.curvature() <= 0.0
                || sweep_rad.abs() > MOST_SWEEP_RAD
                || (next_centre - centre).norm() > loose_mm
                || (next_radius_mm - radius_mm).abs() > loose_mm
            {
                return None;
            }
            Segment::new(from, end, crate::bulge_of_sweep(sweep_rad))
        }
        _ => return None,
    };
    let passes = |p: &Point| whole.nearest(*p).0 <= SAME_POINT_MM;
    let middles = [first.point_at(0.5), second.point_at(0.5)];
    (passes(&second.from()) && corners.iter().all(passes) && middles.iter().all(passes)).then_some(whole)
}
