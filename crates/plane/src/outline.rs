//! The closed outline: corners joined by lines and arcs.

use crate::validity::{self, OutlineError};
use crate::{Point, arc};

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
/// edge shorter than [`crate::SAME_POINT_MM`], nowhere crossing or touching itself.
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

impl Vertex {
    /// A corner left by a straight edge.
    pub fn line(at: Point) -> Vertex {
        Vertex { at, bulge: 0.0 }
    }

    /// A corner left by an arc of this bulge.
    pub fn arc(at: Point, bulge: f64) -> Vertex {
        Vertex { at, bulge }
    }
}

impl Outline {
    /// The closed outline through these corners, checked. Either way round is accepted and kept.
    ///
    /// Corners are counted from 0, and edge `i` runs from corner `i` to the next; the errors speak in these numbers.
    /// An arc that rises less than [`crate::SAME_POINT_MM`] over its chord becomes a line.
    pub fn new(mut vertices: Vec<Vertex>) -> Result<Outline, OutlineError> {
        validity::check_corners(&vertices)?;
        for i in 0..vertices.len() {
            let to = vertices[(i + 1) % vertices.len()].at;
            let corner = &mut vertices[i];
            if arc::is_flat((to - corner.at).norm(), corner.bulge) {
                corner.bulge = 0.0;
            }
        }
        let outline = Outline { vertices };
        validity::check_crossings(&outline)?;
        Ok(outline)
    }

    /// The corners in order.
    pub fn vertices(&self) -> &[Vertex] {
        &self.vertices
    }

    /// How many corners, and so edges, it has.
    #[expect(
        clippy::len_without_is_empty,
        reason = "an outline has at least two corners, so it is never empty"
    )]
    pub fn len(&self) -> usize {
        self.vertices.len()
    }

    /// Edge `index`, which runs from corner `index` to the next.
    ///
    /// # Panics
    /// When there is no such edge, as indexing does.
    pub fn segment(&self, index: usize) -> Segment {
        let corner = self.vertices[index];
        let next = self.vertices[(index + 1) % self.vertices.len()];
        Segment::new(corner.at, next.at, corner.bulge)
    }

    /// The edges in order.
    pub fn segments(&self) -> impl ExactSizeIterator<Item = Segment> + Clone + '_ {
        (0..self.vertices.len()).map(|i| self.segment(i))
    }
}
