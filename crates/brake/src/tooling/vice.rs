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

/// What stands about the jaws of a vice: the two halves of its body behind them, and the screw with its slide between the halves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ViceBody {
    /// How wide the halves are along the bend, mm.
    pub wide_mm: f64,
    /// How far each half stands out behind its jaw, mm.
    pub out_mm: f64,
    /// How far under the bend line the halves begin, mm: the jaws stand up out of them by so much.
    pub under_mm: f64,
    /// How wide screw and slide are along the bend, mm, in the middle of the body.
    pub screw_mm: f64,
}

/// A short tool stands so far beside the screw, mm: common practice, no source.
const BESIDE_SCREW_MM: f64 = 2.0;

impl ViceBody {
    /// How far beside the middle of the screw a bend with so much of the jaws is made, mm: beside the screw, so that a long leg goes
    /// past it, where the middle of the bend is then still over the body; else in the middle.
    pub fn beside_mm(&self, jaws_mm: f64) -> f64 {
        let beside_mm = (self.screw_mm + jaws_mm) / 2.0 + BESIDE_SCREW_MM;
        if beside_mm <= self.wide_mm / 2.0 {
            beside_mm
        } else {
            0.0
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
    /// How much of a leg goes between the jaws, mm from the bend line: there the screw begins, and what is longer goes past it
    /// only to one side.
    pub deep_mm: f64,
    /// What stands about the jaws; none where they are held so that nothing does.
    pub body: Option<ViceBody>,
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
