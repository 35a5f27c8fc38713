//! Outlines of lines and true arcs in the plane: built, checked, offset, joined, measured, flattened.
//!
//! Lengths are mm, angles radians, counter-clockwise positive. An outer outline runs counter-clockwise and a hole
//! clockwise once it is part of a [`Region`]. Arcs stay arcs through every operation here. This crate knows no plate,
//! no bend and no file.
//!
//! [`Outline::new`] is the one door for corners from outside: whatever passes it is closed, finite, encloses material
//! and nowhere crosses or touches itself, and everything else here relies on that.
//!
//! ```
//! use plane::{Corner, Material, Outline, Point, Region};
//!
//! let plate = Outline::rectangle(Point::new(0.0, 0.0), Point::new(80.0, 50.0))?;
//! let plate = plate.with_corners(&[(0, Corner::Round(6.0)), (2, Corner::Chamfer(5.0))], Material::Inside)?;
//! let bolt = Outline::circle(Point::new(40.0, 25.0), 8.5)?;
//! let region = Region::new(plate, vec![bolt])?;
//! assert!(region.area_mm2() < 80.0 * 50.0);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod arc;
mod boolean;
mod corner;
mod distance;
mod fillet;
mod inside;
mod meet;
mod motion;
mod offset;
mod outline;
mod pieces;
mod region;
mod segment;
mod shapes;
mod simplify;
mod size;
mod stitch;
mod tangent;
mod validity;
mod window;

pub use arc::{
    ArcError, Side, bulge_of_radius, bulge_of_sweep, bulge_through, chord_error_mm, radius_of_bulge_mm,
    sweep_of_bulge,
};
pub use boolean::{BooleanFailed, difference, intersection, union, union_all};
pub use corner::{Corner, CornerError, Material};
pub use inside::Place;
pub use meet::{Meeting, crossing_of_lines};
pub use offset::OffsetError;
pub use outline::{Outline, Region, Segment, Vertex};
pub use region::RegionError;
pub use size::Moments;
pub use tangent::{TangentArc, TangentLine, tangent_arcs, tangent_lines, tangent_points};
pub use validity::OutlineError;
pub use window::{WindowError, inset_window};

/// A place in the plane, mm.
pub type Point = nalgebra::Point2<f64>;
/// A displacement or direction in the plane, mm or unitless.
pub type Vector = nalgebra::Vector2<f64>;

/// Two points closer than this are one point: far under a caliper's reading, far over rounding at a metre.
pub const SAME_POINT_MM: f64 = 1e-6;

/// No corner lies farther out than this, in either axis: a kilometre. Beyond it rounding would come near
/// [`SAME_POINT_MM`], and no plate is that large.
pub const FARTHEST_MM: f64 = 1e6;
