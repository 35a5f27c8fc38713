//! What a program is held against.

use plane::{Point, Region};

/// One cut as it should be made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AskedCut {
    /// Width of the kerf, mm.
    pub kerf_mm: f64,
    /// Feed, mm/min.
    pub feed_mm_min: f64,
}

/// A bridge that holds a part: there the edge may stay uncut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tab {
    /// Its middle, on the edge.
    pub at: Point,
    /// Its width where it is narrowest, between the round ends of the kerf, mm.
    pub width_mm: f64,
}

/// Heights over the sheet, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AskedHeights {
    /// Where the torch is lit.
    pub pierce_mm: f64,
    /// Where it cuts.
    pub cut_mm: f64,
    /// The least between cuts.
    pub travel_mm: f64,
}

/// What the program should do, in table coordinates, mm.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The parts as they should come off the table.
    pub parts: &'a [Region],
    /// The cuts in their order: one for each pierce.
    pub cuts: &'a [AskedCut],
    /// Lower left and upper right of what the torch can reach.
    pub table: [Point; 2],
    /// Where clamps stand.
    pub clamps: &'a [Region],
    /// Where edges stay uncut.
    pub tabs: &'a [Tab],
    /// The machine's zero.
    pub zero: Point,
    /// The least wait after lighting, s; none when the machine waits by itself.
    pub pierce_delay_s: Option<f64>,
    /// Heights; none when the machine keeps them by itself.
    pub heights: Option<AskedHeights>,
}
