//! What a part carries, and what acts at once.

use nalgebra::{Point3, Unit, Vector3};

/// Standard gravity, mm/s2.
pub const GRAVITY_MM_S2: f64 = 9_806.65;

/// Where a load comes in.
#[derive(Debug, Clone, PartialEq)]
pub enum At {
    /// At the middle of the support's holes.
    Support,
    /// At a point of the equipment frame, carried into the part through the support's holes.
    Point(Point3<f64>),
    /// At the middle of these openings of the part.
    Openings(Vec<usize>),
    /// At a point, carried in by the plate where it is nearest.
    Plate(Point3<f64>),
}

/// What acts.
#[derive(Debug, Clone, PartialEq)]
pub enum Act {
    /// A force and a moment, in equipment axes.
    Push {
        /// N.
        force_n: Vector3<f64>,
        /// N mm.
        moment_n_mm: Vector3<f64>,
    },
    /// The part, with what hangs on it, falls and lands on the place where the load comes in.
    Drop {
        /// What falls, kg.
        mass_kg: f64,
        /// How far, mm.
        height_mm: f64,
        /// The way in which the blow acts on the part.
        toward: Unit<Vector3<f64>>,
    },
}

/// One load.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// The user's name for it.
    pub name: String,
    /// Where it comes in.
    pub at: At,
    /// What acts.
    pub act: Act,
    /// Dynamic factor, at least 1; a drop has its own and is multiplied as well.
    pub factor: f64,
    /// Comes suddenly and seldom: held to the margin for sudden loads.
    pub sudden: bool,
    /// Acts the other way too: its stress ranges over twice its size.
    pub both_ways: bool,
    /// How many times a day; none is no answer on fatigue.
    pub per_day: Option<f64>,
}

/// Loads that act at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Together {
    /// A name for it.
    pub name: String,
    /// Indices into the loads.
    pub loads: Vec<usize>,
}
