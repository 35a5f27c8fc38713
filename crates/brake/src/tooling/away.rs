//! Sending a bend out.

use super::Capacity;

/// What a willing shop takes: nothing is known of its tools, only what it will not do.
#[derive(Debug, Clone, PartialEq)]
pub struct Away {
    /// Longest bend, mm.
    pub length_mm: f64,
    /// Thickest plate, by metal.
    pub capacity: Vec<Capacity>,
    /// Least leg, in thicknesses, as drawn from the outside of the other leg to its end, or to the outside of the bend it
    /// ends in; the inside radius comes on top.
    pub least_leg_x_t: f64,
    /// Largest angle bent through, rad.
    pub largest_bend_rad: f64,
}
