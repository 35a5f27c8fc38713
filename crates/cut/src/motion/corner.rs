//! How fast a corner is passed.

use super::drive::Drive;

/// How the controller passes a corner. Common practice, no source; what follows from each rule is derived.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CornerRule {
    /// It stops in every corner (exact stop).
    Stop,
    /// It passes as if round a circle that touches both edges and leaves the corner by at most this, mm; on that circle
    /// the sideways acceleration is held. The path itself is not changed.
    Round {
        /// How far the circle leaves the corner, mm.
        off_mm: f64,
    },
    /// The velocity may jump by this much in a corner, mm/s.
    Step {
        /// The greatest jump, mm/s.
        most_mm_s: f64,
    },
}

/// Edges that meet within this angle are one smooth path: finer than an imported tangent is true, and at a metre a
/// second it is a jump of 1 mm/s.
pub(super) const SMOOTH_RAD: f64 = 1e-3;

/// The speed in a corner that turns by `turn_rad` (0 straight on, pi back on itself) between edges of these lengths,
/// mm/s; without end for a smooth joint.
///
/// Rounded: with the half angle between the edges h = (pi - turn) / 2, the circle that leaves the corner by d has the
/// radius r = d sin h / (1 - sin h) and touches the edges r / tan h from the corner. It must touch each within its own
/// half, or two circles would share an edge; so r <= tan h L / 2. v^2 = r times the sideways acceleration.
pub(super) fn corner_mm_s(drive: &Drive, turn_rad: f64, before_mm: f64, after_mm: f64) -> f64 {
    if turn_rad <= SMOOTH_RAD {
        return f64::INFINITY;
    }
    match drive.corner {
        CornerRule::Stop => 0.0,
        CornerRule::Round { off_mm } => {
            let half_rad = (std::f64::consts::PI - turn_rad) / 2.0;
            let by_off_mm = off_mm * half_rad.sin() / (1.0 - half_rad.sin());
            let by_edges_mm = half_rad.tan() * before_mm.min(after_mm) / 2.0;
            (by_off_mm.min(by_edges_mm).max(0.0) * drive.sideways_mm_s2).sqrt()
        }
        CornerRule::Step { most_mm_s } => most_mm_s / (2.0 * (turn_rad / 2.0).sin()),
    }
}
