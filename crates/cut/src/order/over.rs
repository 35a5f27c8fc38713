//! Over what a straight move passes.

use plane::{Outline, Point};

/// What is inside a contour, as straight facets, ready for many questions.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    low: Point,
    high: Point,
    corners: Vec<Point>,
}

/// Facets stay this near to the arcs: a tenth of a thin kerf.
const FACET_MM: f64 = 0.05;

impl Ground {
    pub fn of(shape: &Outline) -> Ground {
        let (low, high) = shape.bounds();
        Ground {
            low,
            high,
            corners: shape.flattened(FACET_MM),
        }
    }

    /// How much of a straight move lies over it, mm.
    pub fn over_mm(&self, from: Point, to: Point) -> f64 {
        let along = to - from;
        let length_mm = along.norm();
        if length_mm == 0.0 || !self.may_meet(from, to) {
            return 0.0;
        }
        // Shares of the move at which it passes an edge; between an odd one and the next it is inside, when the crossings
        // are counted from far behind its start.
        let mut shares: Vec<f64> = Vec::new();
        let mut before = self.corners[self.corners.len() - 1];
        let side = |p: Point| along.perp(&(p - from));
        let mut side_before = side(before);
        for corner in &self.corners {
            let side_here = side(*corner);
            if (side_before < 0.0) != (side_here < 0.0) {
                let at = before + (corner - before) * (side_before / (side_before - side_here));
                shares.push((at - from).dot(&along) / (length_mm * length_mm));
            }
            (before, side_before) = (*corner, side_here);
        }
        shares.sort_by(f64::total_cmp);
        shares
            .chunks_exact(2)
            .map(|pair| (pair[1].min(1.0) - pair[0].max(0.0)).max(0.0) * length_mm)
            .sum()
    }

    /// Whether the move can come near: by the boxes, then by the side of the move on which the corners of the box lie.
    fn may_meet(&self, from: Point, to: Point) -> bool {
        if from.x.max(to.x) <= self.low.x
            || from.x.min(to.x) >= self.high.x
            || from.y.max(to.y) <= self.low.y
            || from.y.min(to.y) >= self.high.y
        {
            return false;
        }
        let along = to - from;
        let side = |x: f64, y: f64| along.x * (y - from.y) - along.y * (x - from.x) < 0.0;
        let first = side(self.low.x, self.low.y);
        side(self.high.x, self.low.y) != first
            || side(self.low.x, self.high.y) != first
            || side(self.high.x, self.high.y) != first
    }

    /// How deep inside a point lies, mm; 0 outside.
    pub fn depth_mm(&self, shape: &Outline, point: Point) -> f64 {
        if shape.contains(point) {
            shape.distance_to(point).0
        } else {
            0.0
        }
    }

    /// The corners of its box grown by a clearance, in order round it.
    pub fn round_about(&self, clear_mm: f64) -> [Point; 4] {
        let (l, h) = (self.low, self.high);
        [
            Point::new(l.x - clear_mm, l.y - clear_mm),
            Point::new(h.x + clear_mm, l.y - clear_mm),
            Point::new(h.x + clear_mm, h.y + clear_mm),
            Point::new(l.x - clear_mm, h.y + clear_mm),
        ]
    }
}
