//! The closed outline: corners joined by lines and arcs.

use crate::Point;

/// A corner, and how the outline leaves it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vertex {
    /// Where the corner is.
    pub at: Point,
    /// tan(sweep / 4) of the edge from here to the next corner: 0 for a line, 1 for a half circle, positive when the
    /// arc turns counter-clockwise.
    pub bulge: f64,
}

/// A closed run of lines and arcs; the last corner joins the first. At least two corners (two only with an arc), no
/// edge shorter than [`crate::SAME_POINT_MM`].
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    pub(crate) vertices: Vec<Vertex>,
}

/// One edge of an outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Segment {
    /// A straight edge.
    Line {
        /// Where it starts.
        from: Point,
        /// Where it ends.
        to: Point,
    },
    /// An edge that is part of a circle.
    Arc {
        /// Where it starts.
        from: Point,
        /// Where it ends.
        to: Point,
        /// The circle's centre.
        centre: Point,
        /// The circle's radius.
        radius_mm: f64,
        /// The angle turned from start to end, counter-clockwise positive, within a full turn.
        sweep_rad: f64,
    },
}

/// Material: one outer outline (counter-clockwise) less its holes (clockwise).
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    /// The outside edge.
    pub outer: Outline,
    /// What is cut out of it.
    pub holes: Vec<Outline>,
}
