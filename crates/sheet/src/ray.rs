//! A straight line without ends, and where edges meet it.

use std::f64::consts::{PI, TAU};

use plane::{Point, SAME_POINT_MM, Segment, Vector};

/// A line through a point; `along` is a unit vector.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ray {
    pub at: Point,
    pub along: Vector,
}

/// The vector turned a quarter turn counter-clockwise.
pub(crate) fn left_of(v: Vector) -> Vector {
    Vector::new(-v.y, v.x)
}

impl Ray {
    /// How far left of the line a point is.
    pub fn off(&self, p: Point) -> f64 {
        self.along.perp(&(p - self.at))
    }

    /// How far along the line a point is.
    pub fn reach(&self, p: Point) -> f64 {
        self.along.dot(&(p - self.at))
    }

    /// The point of the line at a reach.
    pub fn point(&self, reach_mm: f64) -> Point {
        self.at + self.along * reach_mm
    }

    /// The line beside it, this far to the left.
    pub fn beside(&self, off_mm: f64) -> Self {
        Self {
            at: self.at + left_of(self.along) * off_mm,
            along: self.along,
        }
    }

    /// Shares of the edge at which it meets the line, in order. An edge that lies in the line meets it nowhere, and one
    /// that ends on it from the left does not count its end, so that a run of edges counts each crossing once.
    pub fn crossings(&self, edge: &Segment) -> Vec<f64> {
        match *edge {
            Segment::Line { from, to } => {
                let (a, b) = (self.off(from), self.off(to));
                if (a <= 0.0) == (b <= 0.0) {
                    Vec::new()
                } else {
                    vec![(a / (a - b)).clamp(0.0, 1.0)]
                }
            }
            Segment::Arc {
                from,
                centre,
                radius_mm,
                sweep_rad,
                ..
            } => {
                // Off the line at an angle from its direction: off(centre) + radius sin(angle).
                let sine = -self.off(centre) / radius_mm;
                if sine.abs() > 1.0 {
                    return Vec::new();
                }
                let arm = from - centre;
                let start = self.along.perp(&arm).atan2(self.along.dot(&arm));
                let slack = SAME_POINT_MM / radius_mm;
                let mut shares: Vec<f64> = [sine.asin(), PI - sine.asin()]
                    .into_iter()
                    .filter_map(|angle| {
                        let turned = ((angle - start) * sweep_rad.signum()).rem_euclid(TAU);
                        let turned = if turned > TAU - slack { 0.0 } else { turned };
                        (turned <= sweep_rad.abs() + slack).then(|| (turned / sweep_rad.abs()).min(1.0))
                    })
                    .collect();
                shares.sort_by(f64::total_cmp);
                shares
            }
        }
    }
}
