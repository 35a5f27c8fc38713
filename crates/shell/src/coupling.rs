//! Ties for the usual ways in which nodes follow one another.

use nalgebra::{Matrix3, SymmetricEigen, Vector3};
use thiserror::Error;

use crate::{Axis, Dof, Mesh, Tie, Vector};

/// Why nodes cannot be coupled.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum CouplingError {
    /// Nothing to couple to.
    #[error("reference node {reference} is coupled to no node")]
    NoNodes {
        /// The reference node.
        reference: u32,
    },
    /// A node that is not there.
    #[error("node {node} is not there")]
    NoNode {
        /// The node.
        node: u32,
    },
    /// The reference node is itself among the nodes it follows.
    #[error("reference node {reference} cannot follow itself")]
    FollowsItself {
        /// The reference node.
        reference: u32,
    },
    /// A weight that is not a positive number.
    #[error("node {node} has weight {weight}: it must be above 0")]
    BadWeight {
        /// The node.
        node: u32,
        /// Its weight.
        weight: f64,
    },
    /// A triangle that is not there.
    #[error("triangle {triangle} is not there")]
    NoTriangle {
        /// The triangle.
        triangle: u32,
    },
}

/// Nodes whose spread about an axis is less than this part of their widest spread (both squared) do not determine a turn
/// about that axis by their movements; their turns are used. A thousandth in length.
const NARROWEST: f64 = 1e-6;

impl Axis {
    /// Movements along x, y, z, then turns about them: the order in a node.
    pub const ALL: [Self; 6] = [
        Self::X,
        Self::Y,
        Self::Z,
        Self::AboutX,
        Self::AboutY,
        Self::AboutZ,
    ];

    /// Place in a node, from 0 to 5.
    #[must_use]
    pub fn index(self) -> usize {
        self as usize
    }
}

impl Dof {
    /// Where the unknown stands when all six of every node are written one after the other.
    #[must_use]
    pub fn index(self) -> usize {
        self.node as usize * crate::PER_NODE + self.axis.index()
    }

    /// The unknown that stands there.
    pub(crate) fn at(index: usize) -> Self {
        // Meshes of more nodes than u32 can number are refused.
        Self {
            node: (index / crate::PER_NODE) as u32,
            axis: Axis::ALL[index % crate::PER_NODE],
        }
    }
}

impl Tie {
    /// The unknown stays at zero.
    #[must_use]
    pub fn fixed(dof: Dof) -> Self {
        Self::prescribed(dof, 0.0)
    }

    /// The unknown takes a value, mm or rad.
    #[must_use]
    pub fn prescribed(dof: Dof, value: f64) -> Self {
        Self {
            dof,
            follows: Vec::new(),
            offset: value,
        }
    }
}

/// A node that is built in: no movement, no turn.
#[must_use]
pub fn ties_fixing(node: u32) -> [Tie; 6] {
    Axis::ALL.map(|axis| Tie::fixed(Dof { node, axis }))
}

/// Shares of turns (the columns) in the movement (the rows) of a point at the end of an arm: the matrix of
/// `turn x arm`.
fn lever(arm: &Vector) -> Matrix3<f64> {
    -arm.cross_matrix()
}

/// Adds `share x` the unknown, unless the share is zero.
fn follow(list: &mut Vec<(Dof, f64)>, node: u32, axis: usize, share: f64) {
    if share != 0.0 {
        list.push((
            Dof {
                node,
                axis: Axis::ALL[axis],
            },
            share,
        ));
    }
}

/// A node that follows a reference node as if both were part of one rigid body. Exact for small turns. The nodes must be
/// there and must not be the same.
///
/// # Panics
/// If a node is not in the mesh.
#[must_use]
pub fn ties_rigid(mesh: &Mesh, node: u32, reference: u32) -> [Tie; 6] {
    let lever = lever(&(mesh.nodes[node as usize] - mesh.nodes[reference as usize]));
    std::array::from_fn(|row| {
        let mut follows = Vec::new();
        follow(&mut follows, reference, row, 1.0);
        if row < 3 {
            for turn in 0..3 {
                follow(&mut follows, reference, 3 + turn, lever[(row, turn)]);
            }
        }
        Tie {
            dof: Dof {
                node,
                axis: Axis::ALL[row],
            },
            follows,
            offset: 0.0,
        }
    })
}

/// A reference node that takes the mean movement and turn of others without stiffening them: its six unknowns are the
/// rigid motion that fits the weighted movements of the nodes best (least squares). A force and a moment on it are spread
/// over the nodes as forces with exactly that resultant.
///
/// A turn that the movements do not determine, because the nodes lie on a line or in a point, is the weighted mean of the
/// nodes' turns.
///
/// # Errors
/// When there are no nodes, one is not there or is the reference itself, or a weight is not above 0.
pub fn ties_distributing(
    mesh: &Mesh,
    reference: u32,
    nodes: &[(u32, f64)],
) -> Result<Vec<Tie>, CouplingError> {
    let place = |node: u32| {
        mesh.nodes
            .get(node as usize)
            .copied()
            .ok_or(CouplingError::NoNode { node })
    };
    let at = place(reference)?;
    if nodes.is_empty() {
        return Err(CouplingError::NoNodes { reference });
    }
    let mut arms = Vec::with_capacity(nodes.len());
    for &(node, weight) in nodes {
        if node == reference {
            return Err(CouplingError::FollowsItself { reference });
        }
        if !(weight.is_finite() && weight > 0.0) {
            return Err(CouplingError::BadWeight { node, weight });
        }
        arms.push((place(node)? - at, weight));
    }
    let total: f64 = arms.iter().map(|(_, weight)| weight).sum();
    let to_middle: Vector = arms.iter().map(|(arm, weight)| arm * (weight / total)).sum();
    for (arm, weight) in &mut arms {
        *arm -= to_middle;
        *weight /= total;
    }
    let spread: Matrix3<f64> = arms
        .iter()
        .map(|(arm, weight)| (Matrix3::identity() * arm.norm_squared() - arm * arm.transpose()) * *weight)
        .sum();
    let eigen = SymmetricEigen::new(spread);
    let widest = eigen.eigenvalues.max();
    let (mut by_movement, mut by_turn) = (Matrix3::zeros(), Matrix3::zeros());
    for (&value, axis) in eigen.eigenvalues.iter().zip(eigen.eigenvectors.column_iter()) {
        let along = axis * axis.transpose();
        // A set of points in one place has no spread at all.
        if value > NARROWEST * widest && value > f64::MIN_POSITIVE {
            by_movement += along / value;
        } else {
            by_turn += along;
        }
    }
    // The reference hangs on the middle of the nodes by an arm.
    let carried = lever(&-to_middle);
    Ok(Axis::ALL
        .into_iter()
        .enumerate()
        .map(|(row, axis)| {
            let mut follows = Vec::new();
            for (&(node, _), (arm, weight)) in nodes.iter().zip(&arms) {
                // Turn of the whole = by_movement x sum of weight x arm x movement + by_turn x sum of weight x turn.
                let of_movement = by_movement * arm.cross_matrix() * *weight;
                let of_turn = by_turn * *weight;
                let (movement, turn) = if row < 3 {
                    (
                        Matrix3::identity() * *weight + carried * of_movement,
                        carried * of_turn,
                    )
                } else {
                    (of_movement, of_turn)
                };
                for column in 0..3 {
                    follow(&mut follows, node, column, movement[(row % 3, column)]);
                }
                for column in 0..3 {
                    follow(&mut follows, node, 3 + column, turn[(row % 3, column)]);
                }
            }
            Tie {
                dof: Dof {
                    node: reference,
                    axis,
                },
                follows,
                offset: 0.0,
            }
        })
        .collect())
}

/// A node tied to the surface of a triangle, as the edge of one plate is welded to the face of another: it follows the
/// point of the triangle at `share` (area coordinates, which add up to 1) as if on a stiff arm, so that the offset of the
/// half thicknesses is carried by the turns there.
///
/// # Errors
/// When the node or the triangle is not there, or the node is one of the triangle's own.
pub fn ties_to_surface(
    mesh: &Mesh,
    node: u32,
    triangle: u32,
    share: [f64; 3],
) -> Result<[Tie; 6], CouplingError> {
    let at = mesh
        .nodes
        .get(node as usize)
        .ok_or(CouplingError::NoNode { node })?;
    let corners = mesh
        .triangles
        .get(triangle as usize)
        .ok_or(CouplingError::NoTriangle { triangle })?;
    if corners.contains(&node) {
        return Err(CouplingError::FollowsItself { reference: node });
    }
    let places = mesh.corners(triangle as usize);
    let foot: Vector3<f64> = places
        .iter()
        .zip(share)
        .map(|(place, share)| place.coords * share)
        .sum();
    let lever = lever(&(at.coords - foot));
    Ok(std::array::from_fn(|row| {
        let mut follows = Vec::new();
        for (&corner, share) in corners.iter().zip(share) {
            follow(&mut follows, corner, row, share);
            if row < 3 {
                for turn in 0..3 {
                    follow(&mut follows, corner, 3 + turn, share * lever[(row, turn)]);
                }
            }
        }
        Tie {
            dof: Dof {
                node,
                axis: Axis::ALL[row],
            },
            follows,
            offset: 0.0,
        }
    }))
}
