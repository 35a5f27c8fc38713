//! The spaces a part must stay clear of.

use nalgebra::{Point3, Unit, Vector3};

/// Nearer an axis than this, the way out from it is rounding and any way out will do.
const ON_AXIS_MM: f64 = 1e-9;

/// A space that must stay free, in equipment axes. All are convex.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// A box square to the equipment's axes.
    Box {
        /// Its middle.
        middle: Point3<f64>,
        /// Its sizes along x, y and z, each above 0.
        size_mm: Vector3<f64>,
    },
    /// A cylinder with flat ends.
    Cylinder {
        /// Middle of one end.
        from: Point3<f64>,
        /// Middle of the other.
        to: Point3<f64>,
        /// Radius, above 0.
        radius_mm: f64,
    },
    /// A cylinder with round ends; a ball when both ends are one point.
    Capsule {
        /// Centre of one round end.
        from: Point3<f64>,
        /// Centre of the other.
        to: Point3<f64>,
        /// Radius, above 0.
        radius_mm: f64,
    },
    /// Everything past a plane.
    Beyond {
        /// A point of the plane.
        at: Point3<f64>,
        /// Into what must stay free.
        toward: Unit<Vector3<f64>>,
    },
}

/// Distance from a shape: above 0 outside, below 0 inside, with the unit direction in which it grows fastest.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Depth {
    pub(crate) distance_mm: f64,
    pub(crate) outward: Vector3<f64>,
}

impl Shape {
    /// How far a point is outside, or (below 0) how deep inside. A convex function of the point.
    pub(crate) fn depth(&self, point: Point3<f64>) -> Depth {
        match *self {
            Self::Box { middle, size_mm } => {
                let from = point - middle;
                let past = from.abs() - size_mm * 0.5;
                let outside = past.map(|p| p.max(0.0));
                if outside.norm_squared() > 0.0 {
                    let distance_mm = outside.norm();
                    let outward = outside.zip_map(&from, |o, f| o * f.signum()) / distance_mm;
                    Depth { distance_mm, outward }
                } else {
                    let side = past.imax();
                    Depth {
                        distance_mm: past[side],
                        outward: Vector3::ith(side, from[side].signum()),
                    }
                }
            }
            Self::Cylinder { from, to, radius_mm } => {
                let length = (to - from).norm();
                let axis = (to - from) / length;
                let from_middle = point - nalgebra::center(&from, &to);
                let along = axis.dot(&from_middle);
                let radial = from_middle - axis * along;
                let radial_mm = radial.norm();
                let out = if radial_mm > ON_AXIS_MM {
                    radial / radial_mm
                } else {
                    sideways(axis)
                };
                let end = axis * along.signum();
                let (past_side, past_end) = (radial_mm - radius_mm, along.abs() - length / 2.0);
                if past_side > 0.0 && past_end > 0.0 {
                    let distance_mm = past_side.hypot(past_end);
                    Depth {
                        distance_mm,
                        outward: (out * past_side + end * past_end) / distance_mm,
                    }
                } else if past_side > past_end {
                    Depth {
                        distance_mm: past_side,
                        outward: out,
                    }
                } else {
                    Depth {
                        distance_mm: past_end,
                        outward: end,
                    }
                }
            }
            Self::Capsule { from, to, radius_mm } => {
                let near = crate::nearest::on_segment(point, [from, to]);
                let away = point - near;
                let distance = away.norm();
                let outward = if distance > ON_AXIS_MM {
                    away / distance
                } else {
                    sideways(to - from)
                };
                Depth {
                    distance_mm: distance - radius_mm,
                    outward,
                }
            }
            Self::Beyond { at, toward } => Depth {
                distance_mm: -toward.dot(&(point - at)),
                outward: -toward.into_inner(),
            },
        }
    }

    /// A point inside; none where there is no end to it.
    pub(crate) fn middle(&self) -> Option<Point3<f64>> {
        match *self {
            Self::Box { middle, .. } => Some(middle),
            Self::Cylinder { from, to, .. } | Self::Capsule { from, to, .. } => {
                Some(nalgebra::center(&from, &to))
            }
            Self::Beyond { .. } => None,
        }
    }
}

/// A unit vector square to a way, the same every time; for a point on an axis every way out is as short.
fn sideways(way: Vector3<f64>) -> Vector3<f64> {
    let square = way.cross(&Vector3::ith(way.iamin(), 1.0));
    square.try_normalize(0.0).unwrap_or_else(Vector3::x)
}
