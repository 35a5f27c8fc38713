//! Whole small models.

mod couple;
mod free;
mod hold;
mod patch;
mod seats;

use nalgebra::{Rotation3, Vector6};

use crate::{Axis, Dof, Mesh, Point, Section, Tie};

/// Aluminium, 3 mm.
pub(crate) const PLATE: Section = Section {
    thickness_mm: 3.0,
    elastic_mpa: 70_000.0,
    poisson: 0.33,
    density_t_mm3: 2.7e-9,
};

/// A rectangle in the plane of x and y, cut into `along` by `across` cells of two triangles each.
pub(crate) fn strip(length: f64, width: f64, along: u32, across: u32, section: Section) -> Mesh {
    let mut mesh = Mesh {
        sections: vec![section],
        ..Mesh::default()
    };
    for i in 0..=along {
        for j in 0..=across {
            let (x, y) = (
                length * f64::from(i) / f64::from(along),
                width * f64::from(j) / f64::from(across),
            );
            mesh.nodes.push(Point::new(x, y, 0.0));
        }
    }
    let at = |i, j| i * (across + 1) + j;
    for i in 0..along {
        for j in 0..across {
            let [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
            let pair = if (i + j) % 2 == 0 {
                [[a, b, c], [a, c, d]]
            } else {
                [[a, b, d], [b, c, d]]
            };
            mesh.triangles.extend(pair);
        }
    }
    mesh.patches = vec![0; mesh.triangles.len()];
    mesh.section_of = vec![0; mesh.triangles.len()];
    mesh
}

/// A plate that is bent up through a right angle along x = `leg`, with two legs.
pub(crate) fn angle(leg: f64, width: f64, cells: u32) -> Mesh {
    let mut mesh = strip(2.0 * leg, width, 2 * cells, cells, PLATE);
    for node in &mut mesh.nodes {
        if node.x > leg {
            *node = Point::new(leg, node.y, node.x - leg);
        }
    }
    for (patch, triangle) in mesh.patches.iter_mut().zip(&mesh.triangles) {
        *patch = u32::from(triangle.iter().any(|&node| mesh.nodes[node as usize].z > 0.0));
    }
    mesh
}

/// Nodes for which something holds.
pub(crate) fn nodes_where(mesh: &Mesh, is: impl Fn(&Point) -> bool) -> Vec<u32> {
    (0..)
        .zip(&mesh.nodes)
        .filter(|(_, place)| is(place))
        .map(|(node, _)| node)
        .collect()
}

/// Ties that build nodes in.
pub(crate) fn built_in(nodes: &[u32]) -> Vec<Tie> {
    nodes.iter().flat_map(|&node| crate::ties_fixing(node)).collect()
}

/// Ties that hold some unknowns of a node.
pub(crate) fn held(node: u32, axes: &[Axis]) -> Vec<Tie> {
    axes.iter().map(|&axis| Tie::fixed(Dof { node, axis })).collect()
}

/// A force.
pub(crate) fn force(x: f64, y: f64, z: f64) -> Vector6<f64> {
    Vector6::new(x, y, z, 0.0, 0.0, 0.0)
}

/// Six values turned together.
pub(crate) fn turned(turn: &Rotation3<f64>, six: &Vector6<f64>) -> Vector6<f64> {
    let mut all = Vector6::zeros();
    all.fixed_rows_mut::<3>(0)
        .copy_from(&(turn * six.fixed_rows::<3>(0)));
    all.fixed_rows_mut::<3>(3)
        .copy_from(&(turn * six.fixed_rows::<3>(3)));
    all
}
