//! One thing that stands against a bend, with numbers.

use handbook::{RadiusError, Sourced};
use plane::{Point, Vector};

/// How much it weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// Worth knowing.
    Note,
    /// It may come out badly; it can be done.
    Care,
    /// It cannot be bent so.
    Stop,
}

/// One thing that stands against a bend.
#[derive(Debug, Clone, PartialEq)]
pub struct Concern {
    /// What, and between which named things.
    pub what: Breach,
    /// Where, on the blank.
    pub at: Point,
    /// How much it weighs.
    pub weight: Weight,
    /// What the part has: mm, or radians for [`Breach::BentTooFar`].
    pub found: f64,
    /// What it must at least have (at most, for [`Breach::BentTooFar`]), in the same unit.
    pub limit: f64,
    /// The row of the handbook, or the shop's own word, that the limit was worked out from. Its value is the row's (a
    /// factor of the thickness, say), not the limit.
    pub rests_on: Sourced<f64>,
    /// Ways out, cheapest first; two at least.
    pub fixes: Vec<Fix>,
}

/// What stands against a bend.
#[derive(Debug, Clone, PartialEq)]
pub enum Breach {
    /// The inside radius is smaller than the metal takes.
    TightRadius {
        /// The bend.
        bend: String,
    },
    /// The leg is too short for the tool to hold.
    ShortLeg {
        /// The bend.
        bend: String,
        /// The panel that is the leg.
        panel: String,
        /// What the leg ends at.
        ends_at: LegEnd,
        /// The share of the bend's length over which the leg is short, above 0 to 1.
        share_of_bend: f64,
    },
    /// An opening's edge is so near that the bend pulls it out of shape.
    OpeningNearBend {
        /// The opening.
        opening: String,
        /// The bend.
        bend: String,
    },
    /// The bend ends in the plate, which tears there.
    NoRelief {
        /// The bend.
        bend: String,
        /// The end: 0 where its strips start, 1 where they end.
        end: usize,
    },
    /// The legs come closer than the tools close.
    BentTooFar {
        /// The bend.
        bend: String,
    },
}

/// A rule that could not be held against the part.
#[derive(Debug, Clone, PartialEq)]
pub enum NotChecked {
    /// The handbook has no least inside radius for this stock.
    Radii(RadiusError),
}

/// What a leg ends at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LegEnd {
    /// The edge of the plate.
    Edge,
    /// The next bend.
    Bend(String),
}

/// A way out. Lengths mm, angles radians, directions on the blank.
#[derive(Debug, Clone, PartialEq)]
pub enum Fix {
    /// Bend to this inside radius.
    Radius {
        /// Inside radius, mm.
        radius_mm: f64,
    },
    /// Another temper or alloy of the same family, which takes the radius.
    Metal {
        /// Its name.
        name: String,
        /// Its least radius at this thickness, mm.
        least_radius_mm: f64,
    },
    /// A plate no thicker than this (for a short leg: and the die that goes with it).
    Thinner {
        /// Thickness, mm.
        at_most_mm: f64,
    },
    /// Make the leg longer.
    LengthenLeg {
        /// The panel.
        panel: String,
        /// By how much, mm.
        by_mm: f64,
    },
    /// A V-die with this opening.
    Die {
        /// Opening, mm.
        opening_mm: f64,
    },
    /// Leave this much on the leg, bend, and trim it off.
    TrimAfter {
        /// The panel.
        panel: String,
        /// Length left on, mm.
        by_mm: f64,
    },
    /// Move the opening.
    MoveOpening {
        /// The opening.
        opening: String,
        /// By how much, mm.
        by_mm: f64,
        /// Unit direction on the blank.
        toward: Vector,
    },
    /// Cut or drill the opening after bending.
    OpenAfterBending {
        /// The opening.
        opening: String,
        /// Its diameter when it is round, mm.
        dia_mm: Option<f64>,
    },
    /// Cut a slot at the bend's end.
    CutRelief {
        /// Along the bend, mm.
        width_mm: f64,
        /// Past the tangent line, mm.
        past_mm: f64,
    },
    /// Drill a hole at the bend's end, centred on the bend line.
    DrillRelief {
        /// Diameter, mm.
        dia_mm: f64,
    },
    /// Bend no further than this.
    BendLess {
        /// Angle bent through, rad.
        to_rad: f64,
    },
    /// Two bends of this angle each in place of one.
    TwoBends {
        /// Angle bent through by each, rad.
        each_rad: f64,
    },
}
