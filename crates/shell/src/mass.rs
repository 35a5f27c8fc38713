//! Mass at the nodes.

use nalgebra::Vector6;

use crate::{Model, element::area_mm2};

/// Mass (t) and moment of inertia (t mm2) of every node, along and about the global axes.
///
/// Lumped: a third of each triangle's mass goes to each of its nodes, with the inertia `t^2 / 12` of the plate's thickness for
/// every turn, so that nothing is without. A lump of mass is a point. Frequencies come out low, by a part that falls with the
/// square of the size of the triangles.
pub(crate) fn at_nodes(model: &Model) -> Vec<Vector6<f64>> {
    let mesh = &model.mesh;
    let mut masses = vec![Vector6::zeros(); mesh.nodes.len()];
    for (triangle, nodes) in mesh.triangles.iter().enumerate() {
        let section = mesh.section(triangle);
        let third = area_mm2(&mesh.corners(triangle)) * section.thickness_mm * section.density_t_mm3 / 3.0;
        let turning = third * section.thickness_mm.powi(2) / 12.0;
        for &node in nodes {
            masses[node as usize] += Vector6::new(third, third, third, turning, turning, turning);
        }
    }
    for mass in &model.masses {
        let own = mass.mass_t;
        masses[mass.node as usize] += Vector6::new(own, own, own, 0.0, 0.0, 0.0);
    }
    masses
}
