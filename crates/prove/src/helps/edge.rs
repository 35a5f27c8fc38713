//! Straight free edges of the panels: where a lip can be bent, a bar welded, or the plate made wider.

use plane::{Outline, Point, SAME_POINT_MM, Segment, Vector};
use sheet::{Mockup, Part, outside_set_back_mm};

/// An edge of a panel lies on the card's outside edge when both its ends are this near to it; far over rounding, far
/// under a scribed line.
const ON_EDGE_MM: f64 = 1e-3;
/// A crease ends at an edge when it comes this near: the width of a scribed line, as when the card is divided.
const AT_EDGE_MM: f64 = 0.6;
/// Kept free at either end of an edge, thicknesses, so that its corner stays as drawn and a lip's fillet has room; common
/// practice, no source.
const CORNER: f64 = 1.0;

/// A straight run of the card's outside edge along one panel, its ends drawn in so that corners and bends stay free.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct FreeEdge {
    /// Index into [`Part::panels`].
    pub panel: usize,
    /// On the card, counter-clockwise.
    pub ends: [Point; 2],
}

impl FreeEdge {
    pub fn length_mm(&self) -> f64 {
        (self.ends[1] - self.ends[0]).norm()
    }

    pub fn middle(&self) -> Point {
        nalgebra::center(&self.ends[0], &self.ends[1])
    }

    /// Unit, counter-clockwise.
    pub fn along(&self) -> Vector {
        along(self.ends)
    }

    /// Unit, out of the plate.
    pub fn out(&self) -> Vector {
        right_of(self.along())
    }
}

/// Unit direction from the first point to the second.
pub(super) fn along(ends: [Point; 2]) -> Vector {
    (ends[1] - ends[0]).normalize()
}

/// A quarter turn clockwise.
pub(super) fn right_of(along: Vector) -> Vector {
    Vector::new(along.y, -along.x)
}

/// The free edges of at least this length, longest first.
pub(super) fn free_edges(mockup: &Mockup, part: &Part, least_mm: f64) -> Vec<FreeEdge> {
    let outline = mockup.outline.oriented(true);
    let mut found = Vec::new();
    for (panel, held) in part.panels.iter().enumerate() {
        for segment in held.as_marked.oriented(true).segments() {
            let Segment::Line { from, to } = segment else {
                continue;
            };
            if edge_holding(&outline, [from, to]).is_none() {
                continue;
            }
            let length_mm = (to - from).norm();
            let inset = [from, to].map(|end| inset_mm(part, mockup, end));
            if length_mm - inset[0] - inset[1] < least_mm.max(SAME_POINT_MM) {
                continue;
            }
            let way = (to - from) / length_mm;
            let ends = [from + way * inset[0], to - way * inset[1]];
            found.push(FreeEdge { panel, ends });
        }
    }
    found.sort_by(|a, b| b.length_mm().total_cmp(&a.length_mm()));
    found
}

/// How much of an edge is kept free at an end: the corner, or the bend that ends there with room for its tool.
fn inset_mm(part: &Part, mockup: &Mockup, end: Point) -> f64 {
    let bend_at = part
        .bends
        .iter()
        .zip(&mockup.creases)
        .filter_map(|(bend, crease)| {
            let (off_mm, _) = Segment::line(crease.from, crease.to).nearest(end);
            // The tool and the other panel need the whole bend and a thickness beside it.
            let takes_mm =
                outside_set_back_mm(bend.bent_rad, bend.radius_mm, part.thickness_mm) + part.thickness_mm;
            (off_mm < AT_EDGE_MM).then_some(takes_mm)
        });
    bend_at.fold(CORNER * part.thickness_mm, f64::max)
}

/// The edge of an outline that a straight run lies on, as its index.
pub(super) fn edge_holding(outline: &Outline, ends: [Point; 2]) -> Option<usize> {
    outline.segments().position(|edge| {
        let Segment::Line { from, to } = edge else {
            return false;
        };
        let along = to - from;
        ends.iter().all(|&end| edge.nearest(end).0 < ON_EDGE_MM) && along.dot(&(ends[1] - ends[0])) > 0.0
    })
}
