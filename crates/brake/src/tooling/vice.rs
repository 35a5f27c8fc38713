//! The bench vice with jaws to bend over, and the hammer.

use plane::Outline;

use super::{Capacity, Lengths};

/// How jaws let go of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum JawsOpen {
    /// They open sideways, and the part is lifted out between them.
    Sideways,
    /// They are bars bolted together past both ends of the plate. Unbolted, the inner one comes off the plate, or is drawn out
    /// along the bend.
    Unbolted {
        /// What a bolt takes of the bars at each end, mm: no plate goes there.
        end_mm: f64,
    },
}

impl JawsOpen {
    /// How much of jaws so long is there for the plate, mm.
    pub fn usable_mm(self, jaws_mm: f64) -> f64 {
        match self {
            JawsOpen::Sideways => jaws_mm,
            JawsOpen::Unbolted { end_mm } => (jaws_mm - 2.0 * end_mm).max(0.0),
        }
    }
}

/// A vice. One leg is clamped between two jaws; the other is drawn over the inner one with a hammer and a block.
#[derive(Debug, Clone, PartialEq)]
pub struct Vice {
    /// What the shop calls it.
    pub name: String,
    /// The jaws and blocks to bend over, along the bend.
    pub jaws: Lengths,
    /// How they let go.
    pub opens: JawsOpen,
    /// How much of a leg goes between the jaws, mm from the bend line; what is longer stands on below, clear of them
    /// only to the sides of the screw.
    pub deep_mm: f64,
    /// Section of the jaw inside the bend: nose at 0, 0, over the clamped leg.
    pub inner: Outline,
    /// Section of the jaw outside the bend, its face at y = 0 against the plate.
    pub outer: Outline,
    /// Radius of the inner jaw's edge, mm.
    pub nose_mm: f64,
    /// How far a leg can be drawn over, rad.
    pub swing_rad: f64,
    /// What a hand draws over for the length given by `drawn_mm`, by metal.
    pub capacity: Vec<Capacity>,
    /// The bend length that the capacity is for, mm: a longer bend takes a thinner plate in the same work.
    pub drawn_mm: f64,
    /// The least that must be between the jaws, mm from the bend line.
    pub least_clamped_mm: f64,
    /// The least that a hammer with a block can draw over, mm from the bend line.
    pub least_drawn_mm: f64,
}
