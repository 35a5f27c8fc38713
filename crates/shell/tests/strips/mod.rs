//! Rectangles of plate, and ways to hold them.

use nalgebra::Vector6;
use shell::{Axis, Dof, Mesh, Point, Section, Tie, ties_fixing};

/// A rectangle in the plane of x and y, cut into `along` by `across` cells of two triangles each.
pub fn strip(length: f64, width: f64, along: u32, across: u32, section: Section) -> Mesh {
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

/// Steel of a thickness.
pub fn steel(thickness_mm: f64, poisson: f64) -> Section {
    Section {
        thickness_mm,
        elastic_mpa: 210_000.0,
        poisson,
        density_t_mm3: 7.85e-9,
    }
}

/// Nodes for which something holds.
pub fn nodes_where(mesh: &Mesh, is: impl Fn(&Point) -> bool) -> Vec<u32> {
    (0..)
        .zip(&mesh.nodes)
        .filter(|(_, place)| is(place))
        .map(|(node, _)| node)
        .collect()
}

/// Ties that hold some unknowns of some nodes; one that is held already is left out.
pub fn hold(ties: &mut Vec<Tie>, nodes: &[u32], axes: &[Axis]) {
    for &node in nodes {
        for &axis in axes {
            let dof = Dof { node, axis };
            if ties.iter().all(|tie| tie.dof != dof) {
                ties.push(Tie::fixed(dof));
            }
        }
    }
}

/// Ties that build nodes in.
pub fn built_in(nodes: &[u32]) -> Vec<Tie> {
    nodes.iter().flat_map(|&node| ties_fixing(node)).collect()
}

/// A line load along an edge, as a total spread over its nodes in order: half shares at the ends.
pub fn spread(nodes: &[u32], total: Vector6<f64>) -> Vec<(u32, Vector6<f64>)> {
    let last = nodes.len() - 1;
    nodes
        .iter()
        .enumerate()
        .map(|(at, &node)| {
            let share = if at == 0 || at == last { 0.5 } else { 1.0 };
            (node, total * (share / last as f64))
        })
        .collect()
}

/// How far from 1 a value over another is.
pub fn off(value: f64, exact: f64) -> f64 {
    (value / exact - 1.0).abs()
}
