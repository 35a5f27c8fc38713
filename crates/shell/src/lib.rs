//! Thin elastic shells by finite elements: a mesh of flat triangles with six unknowns at each node.
//!
//! A general solver that knows no bracket. Any consistent units serve; names and documents use mm, N, MPa and tonnes
//! (so that N = t mm/s2). Rotations are small and in radians, about the global axes, right-handed.
//!
//! # Flow
//! A [`Mesh`] with sections, joined by ties, held by springs and fixed unknowns, makes a [`Model`]. Preparing it removes
//! what is tied by exact elimination, assembles and factors once; each [`LoadCase`] is then one pair of triangular solves
//! and gives a [`Solution`], from which stresses are recovered patch by patch. The same factor gives the factors at which a
//! load buckles the part ([`Prepared::buckling`]) and the frequencies at which it swings ([`Prepared::frequencies`]). Where
//! movements are not small ([`believable`] measures them), [`large`] takes the load in steps.

mod assemble;
mod buckling;
mod corotation;
mod coupling;
mod element;
mod error;
mod factor;
mod free;
mod frequency;
mod geometric;
mod lanczos;
mod load;
mod mass;
mod mesh;
mod model;
mod order;
pub mod plan;
mod prepare;
mod reduce;
mod seat;
mod solution;
mod solve;
mod spring;
mod stress;
mod sweep;
#[cfg(test)]
mod tests;

pub use buckling::{Buckling, EigenError};
pub use corotation::{
    Large, LargeError, LargeOptions, LargeSolution, Stopped, believable, large, large_while,
};
pub use coupling::{CouplingError, ties_distributing, ties_fixing, ties_rigid, ties_to_surface};
pub use element::Frame;
pub use error::{
    ErrorEstimate, Near, NodeForces, Peak, Recovered, Singular, Toe, Why, Zones, estimate,
    re_entrant_corners, recover,
};
pub use free::{Free, FreeMode, FreeMotion};
pub use frequency::Mode;
pub use load::LoadError;
pub use mesh::{Mesh, MeshError, Section};
pub use model::{Axis, Dof, LoadCase, Model, PointMass, Seat, Spring, Tie};
pub use prepare::{PrepareError, Prepared, prepare, prepare_owned, prepare_while};
pub use reduce::TieError;
pub use solution::Solution;
pub use solve::SolveError;
pub use stress::{Face, InPlane, PanelForces, Principal, forces, forces_in};

/// A place in space, mm.
pub type Point = nalgebra::Point3<f64>;
/// A movement, force or direction in space.
pub type Vector = nalgebra::Vector3<f64>;

/// Unknowns at a node: three movements, three turns.
pub const PER_NODE: usize = 6;
