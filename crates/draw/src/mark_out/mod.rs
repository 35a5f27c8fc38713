//! The mock-up as it is marked out: its points, the outside edge, creases, openings and readings, in the design's axes.
//!
//! It is drawn of whatever there is, from one point on. What is not sound is left out and told beneath the picture.

mod dimension;
mod picture;
#[cfg(test)]
mod tests;

use plane::{Point, Segment};
use sheet::OpeningShape;

pub use picture::mark_out_svg;

/// A mock-up as far as it is marked out. Places are mm in the design's axes, y upward.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct MarkedOut {
    /// What the part is called.
    pub title: String,
    /// The points that have a place.
    pub points: Vec<MarkedPoint>,
    /// The outside edge.
    pub outline: MarkedOutline,
    /// The creases.
    pub creases: Vec<MarkedCrease>,
    /// Holes, slots and windows.
    pub openings: Vec<MarkedOpening>,
    /// Lines that are scribed.
    pub scribed: Vec<[Point; 2]>,
    /// Readings between points.
    pub readings: Vec<MarkedReading>,
    /// What is left out and why, a sentence each.
    pub not_drawn: Vec<String>,
}

/// A point with its name.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkedPoint {
    /// Its name.
    pub name: String,
    /// Where it is.
    pub at: Point,
}

/// The outside edge as far as it goes.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct MarkedOutline {
    /// Its edges in order.
    pub edges: Vec<Segment>,
    /// Whether they close and cross nothing.
    pub sound: bool,
}

/// A crease with its name.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkedCrease {
    /// The bend's name.
    pub name: String,
    /// One end.
    pub from: Point,
    /// The other.
    pub to: Point,
    /// How it is bent, in words: "90.0 deg up".
    pub bent: String,
}

/// A hole, slot or window with its name.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkedOpening {
    /// Its name.
    pub name: String,
    /// Its shape.
    pub shape: OpeningShape,
}

/// A reading as a dimension.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkedReading {
    /// Its number among the readings of the design.
    pub index: usize,
    /// What was read, as typed.
    pub read: String,
    /// What it is called, in words: "H1-F".
    pub called: String,
    /// What it runs between.
    pub of: MarkedSpan,
}

/// What a reading runs between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MarkedSpan {
    /// From place to place.
    Between([Point; 2]),
    /// The angle at the middle one.
    Corner([Point; 3]),
    /// Square from a point to a line.
    Off {
        /// The point.
        point: Point,
        /// The line.
        line: [Point; 2],
    },
    /// The angle between two lines.
    Lines([Point; 2], [Point; 2]),
}
