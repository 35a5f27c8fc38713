//! How a block lies in the drawing: moved, turned, scaled, mirrored.

use plane::{Point, Segment, Vector};

/// Where (x, y) goes: `origin + along_x x + along_y y`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Placing {
    pub(super) origin: Point,
    pub(super) along_x: Vector,
    pub(super) along_y: Vector,
}

impl Placing {
    /// Everything scaled by one factor.
    pub(super) fn scale(factor: f64) -> Placing {
        Placing {
            origin: Point::origin(),
            along_x: Vector::new(factor, 0.0),
            along_y: Vector::new(0.0, factor),
        }
    }

    /// Seen from below: an entity whose own z axis points down.
    pub(super) fn from_below() -> Placing {
        Placing {
            origin: Point::origin(),
            along_x: Vector::new(-1.0, 0.0),
            along_y: Vector::new(0.0, 1.0),
        }
    }

    fn direction(&self, v: Vector) -> Vector {
        self.along_x * v.x + self.along_y * v.y
    }

    pub(super) fn place(&self, p: Point) -> Point {
        self.origin + self.direction(p.coords)
    }

    /// First `inner`, then this.
    pub(super) fn after(&self, inner: &Placing) -> Placing {
        Placing {
            origin: self.place(inner.origin),
            along_x: self.direction(inner.along_x),
            along_y: self.direction(inner.along_y),
        }
    }

    /// By how much lengths grow, where they grow most.
    pub(super) fn growth(&self) -> f64 {
        self.along_x.norm().max(self.along_y.norm())
    }

    /// Whether circles stay circles.
    fn keeps_circles(&self) -> bool {
        /// Scales that agree to this share are one: a metre keeps its micrometre.
        const SAME_SHARE: f64 = 1e-9;
        let (a, b) = (self.along_x.norm(), self.along_y.norm());
        (a - b).abs() <= SAME_SHARE * a.max(b) && self.along_x.dot(&self.along_y).abs() <= SAME_SHARE * a * b
    }

    /// An edge where it comes to lie; an arc becomes lines within the tolerance (in the units of the result) when it does
    /// not stay an arc.
    pub(super) fn edges(&self, edge: &Segment, tolerance: f64, out: &mut Vec<Segment>) {
        match *edge {
            Segment::Line { from, to } => out.push(Segment::line(self.place(from), self.place(to))),
            Segment::Arc {
                from,
                to,
                centre,
                radius_mm,
                sweep_rad,
            } if self.keeps_circles() => {
                let way = self.along_x.perp(&self.along_y).signum();
                out.push(Segment::Arc {
                    from: self.place(from),
                    to: self.place(to),
                    centre: self.place(centre),
                    radius_mm: radius_mm * self.along_x.norm(),
                    sweep_rad: sweep_rad * way,
                });
            }
            Segment::Arc { to, .. } => {
                let mut points = edge.flattened(tolerance / self.growth());
                points.push(to);
                out.extend(
                    points
                        .windows(2)
                        .map(|pair| Segment::line(self.place(pair[0]), self.place(pair[1]))),
                );
            }
        }
    }
}
