//! A mesh with what holds it and what it carries.

use nalgebra::{Matrix6, Rotation3, Vector6};

use crate::{Mesh, Vector};

/// A direction of movement or turn at a node, in global axes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Axis {
    /// Along x.
    X,
    /// Along y.
    Y,
    /// Along z.
    Z,
    /// About x.
    AboutX,
    /// About y.
    AboutY,
    /// About z.
    AboutZ,
}

/// One unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Dof {
    /// Index of the node.
    pub node: u32,
    /// Which of its six.
    pub axis: Axis,
}

/// An unknown that follows others exactly: `value = offset + sum of share x other`. With no others it is fixed at the
/// offset. The others may follow further ones, but never in a circle. It is removed before solving, not penalised.
#[derive(Debug, Clone, PartialEq)]
pub struct Tie {
    /// What follows.
    pub dof: Dof,
    /// What it follows, and by how much.
    pub follows: Vec<(Dof, f64)>,
    /// Added.
    pub offset: f64,
}

/// An elastic link between two nodes, or a node and the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Spring {
    /// A node.
    pub from: u32,
    /// The other, at the same place for the forces to balance in moment; the ground when absent.
    pub to: Option<u32>,
    /// From the spring's own axes to global ones.
    pub axes: Rotation3<f64>,
    /// In the spring's axes, N/mm for movements and N mm/rad for turns: symmetric, no negative eigenvalue.
    pub stiffness: Matrix6<f64>,
}

/// A place where a node may rest on something that only pushes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// The node.
    pub node: u32,
    /// Unit direction in which the seat can push the node.
    pub push: Vector,
    /// Stiffness of the seat there, N/mm, above 0.
    pub stiffness_n_mm: f64,
    /// Open by this much before loading, mm; below 0 it is strained against the node by as much (a preload).
    pub gap_mm: f64,
}

/// A lump of mass at a node, without stiffness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointMass {
    /// The node.
    pub node: u32,
    /// Mass, t.
    pub mass_t: f64,
}

/// A mesh, and all that is the same for every load.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Model {
    /// The shell.
    pub mesh: Mesh,
    /// Unknowns that are fixed or follow others.
    pub ties: Vec<Tie>,
    /// Elastic links.
    pub springs: Vec<Spring>,
    /// Places that only push.
    pub seats: Vec<Seat>,
    /// Lumps of mass.
    pub masses: Vec<PointMass>,
}

/// One load.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LoadCase {
    /// Forces, N, and moments, N mm, at nodes, in global axes. Several at one node add up.
    pub at_nodes: Vec<(u32, Vector6<f64>)>,
    /// Pressure on triangles, MPa, toward the side from which their nodes run clockwise (into the upper face).
    pub pressures: Vec<(u32, f64)>,
    /// Acceleration that the mass feels as weight, mm/s2: (0, 0, -9810) on the ground with z up.
    pub gravity_mm_s2: Vector,
    /// Forces with which springs were strained beforehand, in their own axes, on `from`: N and N mm. A preload.
    pub preloads: Vec<(u32, Vector6<f64>)>,
}
