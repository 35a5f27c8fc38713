//! One thing that stands against cutting, with numbers.

use handbook::Sourced;
use plane::{Point, Vector};

/// How much it weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// Worth knowing.
    Note,
    /// It may come out badly; it can be cut.
    Care,
    /// It cannot be cut so.
    Stop,
}

/// Which cut edge is meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CutEdge {
    /// The outside of the blank.
    Outside,
    /// The opening of this name.
    Opening(String),
    /// A hole of the blank that is no opening of the design alone: its place in the blank's list.
    Hole(usize),
}

/// One thing that stands against cutting.
#[derive(Debug, Clone, PartialEq)]
pub struct Concern {
    /// What, and between which edges.
    pub what: Breach,
    /// Where, on the blank.
    pub at: Point,
    /// How much it weighs.
    pub weight: Weight,
    /// What the blank has, mm.
    pub found_mm: f64,
    /// What it must at least have, mm; for [`Breach::LargerThanEverySheet`], what the sheet has of it.
    pub limit_mm: f64,
    /// The row of the handbook, or the shop's own word, that the limit was worked out from. Its value is the row's (a
    /// factor of the thickness, say), not the limit.
    pub rests_on: Sourced<f64>,
    /// Ways out, cheapest first; two at least.
    pub fixes: Vec<Fix>,
}

/// What stands against cutting.
#[derive(Debug, Clone, PartialEq)]
pub enum Breach {
    /// A round hole smaller than the process cuts cleanly.
    SmallHole {
        /// The hole.
        hole: CutEdge,
    },
    /// A slot or window, or a neck of it, narrower than the process cuts.
    NarrowOpening {
        /// The opening.
        opening: CutEdge,
    },
    /// An opening too near the outside edge.
    NearEdge {
        /// The opening.
        opening: CutEdge,
    },
    /// Too little plate between two openings.
    ThinWeb {
        /// One opening.
        first: CutEdge,
        /// The other.
        second: CutEdge,
    },
    /// Inside corners sharper than the cut is wide.
    SharpCorners {
        /// Of this edge.
        of: CutEdge,
        /// How many.
        corners: usize,
    },
    /// No sheet at hand holds the blank.
    LargerThanEverySheet {
        /// The sheet that comes nearest.
        nearest: String,
        /// The blank as it would lie on that sheet, across and along, without margin, mm.
        blank_mm: [f64; 2],
    },
}

/// A rule that could not be held against the part.
#[derive(Debug, Clone, PartialEq)]
pub enum NotChecked {
    /// No sheet was said to be at hand.
    NoSheetSaid,
    /// How narrow the window gets could not be worked out.
    WindowWidth(CutEdge),
}

/// A way out. Lengths mm, directions on the blank.
#[derive(Debug, Clone, PartialEq)]
pub enum Fix {
    /// Mark the centre and drill it; do not cut it.
    Drill {
        /// Diameter, mm.
        dia_mm: f64,
    },
    /// Drill both ends and saw or file between them; do not cut it.
    DrillEnds {
        /// Diameter, mm.
        dia_mm: f64,
    },
    /// Make the opening this wide.
    Widen {
        /// Diameter or width, mm.
        to_mm: f64,
    },
    /// Cut by another process, whose limit is met.
    OtherProcess {
        /// Its name.
        name: String,
        /// Its limit in the same place, mm.
        limit_mm: f64,
    },
    /// A plate no thicker than this.
    Thinner {
        /// Thickness, mm.
        at_most_mm: f64,
    },
    /// Move an opening.
    Move {
        /// Which.
        opening: CutEdge,
        /// By how much, mm.
        by_mm: f64,
        /// Unit direction on the blank.
        toward: Vector,
    },
    /// Move the outside edge out.
    MoveEdge {
        /// By how much, mm.
        by_mm: f64,
        /// Unit direction on the blank.
        toward: Vector,
    },
    /// Round the corners in the design.
    RoundCorners {
        /// Radius, mm.
        radius_mm: f64,
    },
    /// Leave them: they come out with this radius.
    LeaveRound {
        /// Radius, mm.
        radius_mm: f64,
    },
    /// A sheet at least this large.
    LargerSheet {
        /// Across and along, mm.
        size_mm: [f64; 2],
    },
    /// Make the blank shorter.
    Shorten {
        /// By how much, mm.
        by_mm: f64,
        /// Unit direction on the blank along which it is too long.
        along: Vector,
    },
}
