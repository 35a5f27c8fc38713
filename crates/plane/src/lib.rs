//! Outlines of lines and true arcs in the plane: built, checked, offset, joined, measured, flattened.
//!
//! Lengths are mm, angles radians, counter-clockwise positive. An outer outline runs counter-clockwise and a hole
//! clockwise once it is part of a [`Region`]. Arcs stay arcs through every operation here. This crate knows no plate,
//! no bend and no file.

mod outline;

pub use outline::{Outline, Region, Segment, Vertex};

/// A place in the plane, mm.
pub type Point = nalgebra::Point2<f64>;
/// A displacement or direction in the plane, mm or unitless.
pub type Vector = nalgebra::Vector2<f64>;

/// Two points closer than this are one point: far under a caliper's reading, far over rounding at a metre.
pub const SAME_POINT_MM: f64 = 1e-6;
