//! The shapes a shop asks for by name: polygon, rectangle, circle, slot.

use crate::arc::left_of;
use crate::outline::{Outline, Segment, Vertex};
use crate::validity::OutlineError;
use crate::{Point, SAME_POINT_MM, arc};

impl Outline {
    /// Straight edges through these points, closed, kept the way round they are given.
    pub fn polygon(points: &[Point]) -> Result<Outline, OutlineError> {
        Outline::new(points.iter().copied().map(Vertex::line).collect())
    }

    /// The upright rectangle with these two opposite corners, counter-clockwise from its lower left.
    pub fn rectangle(corner: Point, opposite: Point) -> Result<Outline, OutlineError> {
        let low = Point::new(corner.x.min(opposite.x), corner.y.min(opposite.y));
        let high = Point::new(corner.x.max(opposite.x), corner.y.max(opposite.y));
        Outline::polygon(&[low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)])
    }

    /// A circle of a diameter above 0, counter-clockwise, as two half circles from its rightmost point.
    pub fn circle(centre: Point, dia_mm: f64) -> Result<Outline, OutlineError> {
        let out = crate::Vector::new(dia_mm / 2.0, 0.0);
        Outline::new(vec![
            Vertex::arc(centre + out, 1.0),
            Vertex::arc(centre - out, 1.0),
        ])
    }

    /// A slot with round ends about these two centres, counter-clockwise. Centres that are one point give a circle.
    pub fn slot(from: Point, to: Point, width_mm: f64) -> Result<Outline, OutlineError> {
        let along = to - from;
        if along.norm() < SAME_POINT_MM {
            return Outline::circle(from, width_mm);
        }
        let side = left_of(along.normalize()) * (width_mm / 2.0);
        Outline::new(vec![
            Vertex::line(from - side),
            Vertex::arc(to - side, 1.0),
            Vertex::line(to + side),
            Vertex::arc(from + side, 1.0),
        ])
    }

    /// Centre and diameter, when the outline is one whole circle.
    pub fn as_circle(&self) -> Option<(Point, f64)> {
        let mut edges = self.segments();
        let Some(Segment::Arc {
            centre, radius_mm, ..
        }) = edges.next()
        else {
            return None;
        };
        let same = |edge: Segment| match edge {
            Segment::Arc {
                centre: c,
                radius_mm: r,
                ..
            } => (c - centre).norm() <= SAME_POINT_MM && (r - radius_mm).abs() <= SAME_POINT_MM,
            Segment::Line { .. } => false,
        };
        edges.all(same).then_some((centre, 2.0 * radius_mm))
    }

    /// The corners of straight edges that stay within `chord_error_mm` of the arcs, the way round of the outline; the
    /// outline's own corners are among them. An error below 0.0001 mm, or none at all, is taken as 0.0001 mm.
    pub fn flattened(&self, chord_error_mm: f64) -> Vec<Point> {
        self.segments()
            .flat_map(|edge| edge.flattened(chord_error_mm))
            .collect()
    }
}

impl Segment {
    /// The start and the points on the way (not the end) of straight facets within `chord_error_mm` of the edge.
    pub fn flattened(&self, chord_error_mm: f64) -> Vec<Point> {
        /// Finer facets than this serve nobody and could fill the memory.
        const FINEST_MM: f64 = 1e-4;
        let Segment::Arc {
            radius_mm, sweep_rad, ..
        } = *self
        else {
            return vec![self.from()];
        };
        let error_mm = if chord_error_mm >= FINEST_MM {
            chord_error_mm
        } else {
            FINEST_MM
        };
        // r (1 - cos(step / 2)) = error, by the half angle; never more than a quarter turn to a facet.
        let step_rad =
            (4.0 * (error_mm / (2.0 * radius_mm)).sqrt().min(1.0).asin()).min(std::f64::consts::FRAC_PI_2);
        debug_assert!(arc::chord_error_mm(radius_mm, step_rad) <= error_mm * (1.0 + 1e-9));
        // A whole step is not counted twice for a rounding error.
        let facets = (sweep_rad.abs() / step_rad - 1e-9).ceil().max(1.0);
        (0..facets as u32)
            .map(|i| self.point_at(f64::from(i) / facets))
            .collect()
    }
}
