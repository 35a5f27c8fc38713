//! What the torch follows: one continuous path for each contour, lead-in to lead-out.

use plane::{Point, Segment, Vertex};

/// An open run of lines and true arcs, in table coordinates, mm. At least two places; the bulge of the last is 0.
#[derive(Debug, Clone, PartialEq)]
pub struct Track {
    /// Corners in the order in which they are passed; each says how it is left.
    pub vertices: Vec<Vertex>,
}

impl Track {
    /// Its pieces in order.
    pub fn segments(&self) -> impl Iterator<Item = Segment> + '_ {
        self.vertices
            .windows(2)
            .map(|pair| Segment::new(pair[0].at, pair[1].at, pair[0].bulge))
    }

    /// How long it is, mm.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        self.segments().map(|segment| segment.length_mm()).sum()
    }

    /// Where it begins; none when it is empty.
    #[must_use]
    pub fn start(&self) -> Option<Point> {
        self.vertices.first().map(|vertex| vertex.at)
    }

    /// Where it ends; none when it is empty.
    #[must_use]
    pub fn end(&self) -> Option<Point> {
        self.vertices.last().map(|vertex| vertex.at)
    }
}

/// What a cut is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Of {
    /// The outline of a part on the sheet.
    Outline {
        /// Which part.
        part: usize,
    },
    /// An opening of a part.
    Opening {
        /// Which part.
        part: usize,
        /// Which of its openings.
        opening: usize,
    },
}

/// One contour, cut in one go.
#[derive(Debug, Clone, PartialEq)]
pub struct Cut {
    /// What people call it.
    pub name: String,
    /// What it is of.
    pub of: Of,
    /// From the pierce to where the torch goes off: lead-in, contour, over-run, lead-out; the middle of the kerf.
    pub track: Track,
    /// Which of the track's vertices begins the contour itself, and which ends it: what lies between is once around.
    pub around: [usize; 2],
    /// Width of the kerf, mm.
    pub kerf_mm: f64,
    /// Feed along the track, mm/min.
    pub feed_mm_min: f64,
}
