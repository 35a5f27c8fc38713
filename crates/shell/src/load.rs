//! What a load puts on the nodes.

use nalgebra::Vector6;
use thiserror::Error;

use crate::{LoadCase, Model, PER_NODE, Vector, element::area_mm2};

/// Why a load cannot be applied.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum LoadError {
    /// A force at a node that is not there.
    #[error("a force acts at node {node}, which is not there")]
    NoNode {
        /// The node.
        node: u32,
    },
    /// Pressure on a triangle that is not there.
    #[error("pressure acts on triangle {triangle}, which is not there")]
    NoTriangle {
        /// The triangle.
        triangle: u32,
    },
    /// Preload of a spring that is not there.
    #[error("spring {spring} is preloaded, but not there")]
    NoSpring {
        /// The spring.
        spring: u32,
    },
    /// A value that is not a number.
    #[error("the load has a value that is not a finite number")]
    NotFinite,
}

impl Model {
    /// Forces and moments on all nodes, in global axes.
    ///
    /// Pressure and weight are lumped: a third of what a triangle carries goes to each of its nodes as a force, without
    /// moments. The discrete Kirchhoff triangle has no deflection inside that would call for another share, and
    /// lumped loads converge to the same answer.
    ///
    /// # Errors
    /// When the load names something that is not there or has a value that is not finite.
    pub fn forces(&self, case: &LoadCase) -> Result<Vec<Vector6<f64>>, LoadError> {
        let mut forces = vec![Vector6::zeros(); self.mesh.nodes.len()];
        for &(node, force) in &case.at_nodes {
            *forces.get_mut(node as usize).ok_or(LoadError::NoNode { node })? += force;
        }
        for &(triangle, pressure) in &case.pressures {
            let nodes = self
                .mesh
                .triangles
                .get(triangle as usize)
                .ok_or(LoadError::NoTriangle { triangle })?;
            let [a, b, c] = self.mesh.corners(triangle as usize);
            let share = (b - a).cross(&(c - a)) * (-pressure / 6.0);
            for &node in nodes {
                add_force(&mut forces, node, &share);
            }
        }
        if case.gravity_mm_s2 != Vector::zeros() {
            for (triangle, nodes) in self.mesh.triangles.iter().enumerate() {
                let section = self.mesh.section(triangle);
                let mass =
                    area_mm2(&self.mesh.corners(triangle)) * section.thickness_mm * section.density_t_mm3;
                for &node in nodes {
                    add_force(&mut forces, node, &(case.gravity_mm_s2 * (mass / 3.0)));
                }
            }
            for mass in &self.masses {
                add_force(&mut forces, mass.node, &(case.gravity_mm_s2 * mass.mass_t));
            }
        }
        for &(index, preload) in &case.preloads {
            let spring = self
                .springs
                .get(index as usize)
                .ok_or(LoadError::NoSpring { spring: index })?;
            let turned = spring.to_global(&preload);
            forces[spring.from as usize] += turned;
            if let Some(to) = spring.to {
                forces[to as usize] -= turned;
            }
        }
        if forces
            .iter()
            .any(|force| !force.iter().all(|value| value.is_finite()))
        {
            return Err(LoadError::NotFinite);
        }
        Ok(forces)
    }
}

/// Adds a force at a node.
pub(crate) fn add_force(forces: &mut [Vector6<f64>], node: u32, force: &Vector) {
    let mut own = forces[node as usize].fixed_rows_mut::<3>(0);
    own += force;
}

/// All unknowns written one after the other.
pub(crate) fn flat(nodes: &[Vector6<f64>]) -> Vec<f64> {
    nodes.iter().flat_map(|node| node.iter().copied()).collect()
}

/// Six for each node.
pub(crate) fn by_node(flat: &[f64]) -> Vec<Vector6<f64>> {
    flat.chunks_exact(PER_NODE)
        .map(Vector6::from_column_slice)
        .collect()
}
