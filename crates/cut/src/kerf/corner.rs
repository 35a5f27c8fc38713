//! Inside corners sharper than half the kerf.

use plane::{Outline, Point, Segment};

/// Edges that turn by less than this run on: two degrees, where the kerf rounds off under a thousandth of its width.
const RUNS_ON_RAD: f64 = 0.035;
/// A radius smaller by less than this is round enough, mm: under what a radius gauge tells.
const SAME_RADIUS_MM: f64 = 0.01;

/// Radius as drawn (0 when sharp) and place of every corner of the material that is turned inward and sharper than
/// `half_mm`. The material lies left of the edge, so these are turns to the right.
pub(super) fn sharp(edge: &Outline, half_mm: f64) -> Vec<(f64, Point)> {
    let edges: Vec<Segment> = edge.segments().collect();
    let mut corners = Vec::new();
    for (i, edge) in edges.iter().enumerate() {
        let before = &edges[(i + edges.len() - 1) % edges.len()];
        let (from, to) = (before.tangent_at(1.0), edge.tangent_at(0.0));
        if from.perp(&to).atan2(from.dot(&to)) < -RUNS_ON_RAD && half_mm > SAME_RADIUS_MM {
            corners.push((0.0, edge.from()));
        }
        if let Segment::Arc {
            radius_mm, sweep_rad, ..
        } = edge
            && *sweep_rad < -RUNS_ON_RAD
            && *radius_mm < half_mm - SAME_RADIUS_MM
        {
            corners.push((*radius_mm, edge.point_at(0.5)));
        }
    }
    corners
}
