//! Forces and moments at nodes, recovered from the triangles about them within one smooth surface.

use nalgebra::{Matrix3, Matrix3x6, RowVector6, Vector3};
use rayon::prelude::*;

use crate::stress::{Face, InPlane, PanelForces};
use crate::{Frame, Mesh};

/// A fit with a smaller determinant than this, where one over round and even places would have about a tenth, hangs on
/// places nearly in line.
const LEAST_SPREAD: f64 = 1e-4;

/// What the plate carries at a node, as a triangle's patch there sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NodeForces {
    /// The node.
    pub node: u32,
    /// The patch.
    pub patch: u32,
    /// Axes of the components, at the node.
    pub frame: Frame,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Force in the plane per length, N/mm; tension is positive.
    pub membrane_n_mm: InPlane,
    /// Moment per length, N; a positive `xx` stretches the upper face along x.
    pub moment_n: InPlane,
}

/// Recovered forces at all nodes, once for each patch and section that meets there.
#[derive(Debug, Clone, PartialEq)]
pub struct Recovered {
    /// By patch, section and node.
    pub nodes: Vec<NodeForces>,
    /// For each triangle, where its corners are in [`Recovered::nodes`].
    pub of_triangle: Vec<[u32; 3]>,
}

impl NodeForces {
    /// Stress at a face, MPa.
    #[must_use]
    pub fn stress_mpa(&self, face: Face) -> InPlane {
        let t = self.thickness_mm;
        let sign = match face {
            Face::Upper => 1.0,
            Face::Lower => -1.0,
        };
        self.membrane_n_mm * (1.0 / t) + self.moment_n * (sign * 6.0 / (t * t))
    }

    /// Membrane force and moment in the axes of another frame, whose plane is turned onto this one the shortest way.
    pub(super) fn seen_in(&self, frame: &Frame) -> [InPlane; 2] {
        [self.membrane_n_mm, self.moment_n].map(|of| turned(&self.frame, frame, of))
    }
}

/// Components in one frame as components in another: the plane of the first is turned onto that of the second the
/// shortest way.
pub(super) fn turned(from: &Frame, to: &Frame, of: InPlane) -> InPlane {
    let x = carried(&from.normal, &to.normal, &from.x);
    let (c, s) = (x.dot(&to.x), x.dot(&to.y));
    InPlane {
        xx: of.xx * c * c + of.yy * s * s - 2.0 * of.xy * c * s,
        yy: of.xx * s * s + of.yy * c * c + 2.0 * of.xy * c * s,
        xy: (of.xx - of.yy) * c * s + of.xy * (c * c - s * s),
    }
}

/// A direction carried along when one unit normal is turned onto another the shortest way (Rodrigues). No angle is taken
/// from a cosine: for normals that are one and the same it may come out a little over 1. Opposite normals turn nothing.
fn carried(from: &Vector3<f64>, to: &Vector3<f64>, direction: &Vector3<f64>) -> Vector3<f64> {
    const OPPOSITE: f64 = 1e-9;
    let (cross, cosine) = (from.cross(to), from.dot(to));
    if 1.0 + cosine < OPPOSITE {
        return *direction;
    }
    let turned = cross.cross(direction);
    direction + turned + cross.cross(&turned) / (1.0 + cosine)
}

/// Recovers forces and moments at the nodes: a plane fitted through what the triangles about the node carry at their
/// centres, where linear triangles are most exact (Zienkiewicz and Zhu 1992, "The superconvergent patch recovery and a
/// posteriori error estimates", IJNME 33, 1331-1382). A node on the rim of its patch takes in the triangles of its
/// neighbours. Nothing is taken across a border of patches or a step in section.
///
/// # Panics
/// If there are fewer forces than triangles.
#[must_use]
pub fn recover(mesh: &Mesh, forces: &[PanelForces]) -> Recovered {
    // Corners by patch, section and node; each run is one node of the result.
    let mut corners: Vec<([u32; 3], u32, usize)> = Vec::with_capacity(3 * mesh.triangles.len());
    for (t, nodes) in mesh.triangles.iter().enumerate() {
        for (corner, &node) in nodes.iter().enumerate() {
            corners.push(([mesh.patches[t], mesh.section_of[t], node], t as u32, corner));
        }
    }
    corners.sort_unstable();
    let mut of_triangle = vec![[0; 3]; mesh.triangles.len()];
    let mut about: Vec<Vec<u32>> = Vec::new();
    for run in corners.chunk_by(|a, b| a.0 == b.0) {
        for &(_, t, corner) in run {
            of_triangle[t as usize][corner] = about.len() as u32;
        }
        about.push(run.iter().map(|&(_, t, _)| t).collect());
    }
    let nodes = (0..about.len())
        .into_par_iter()
        .map(|slot| fitted(mesh, forces, &of_triangle, &about, slot))
        .collect();
    Recovered { nodes, of_triangle }
}

fn fitted(
    mesh: &Mesh,
    forces: &[PanelForces],
    of_triangle: &[[u32; 3]],
    about: &[Vec<u32>],
    slot: usize,
) -> NodeForces {
    let own = &about[slot];
    let first = own[0] as usize;
    let corner = of_triangle[first]
        .iter()
        .position(|&s| s as usize == slot)
        .unwrap_or(0);
    let node = mesh.triangles[first][corner];
    let area = |t: u32| {
        let [a, b, c] = mesh.corners(t as usize);
        (b - a).cross(&(c - a)).norm()
    };
    let normal: Vector3<f64> = own
        .iter()
        .map(|&t| forces[t as usize].frame.normal * area(t))
        .sum();
    let normal = normal.try_normalize(0.0).unwrap_or(forces[first].frame.normal);
    let x = carried(&forces[first].frame.normal, &normal, &forces[first].frame.x);
    let frame = Frame {
        centre: mesh.nodes[node as usize],
        x,
        y: normal.cross(&x),
        normal,
    };
    let samples = samples(of_triangle, about, slot);
    let reach = samples
        .iter()
        .map(|&t| (forces[t as usize].frame.centre - frame.centre).norm())
        .fold(f64::MIN_POSITIVE, f64::max);
    let mut square = Matrix3::zeros();
    let mut right = Matrix3x6::zeros();
    let mut even = RowVector6::zeros();
    let mut areas = 0.0;
    for &t in &samples {
        let panel = &forces[t as usize];
        let arm = (panel.frame.centre - frame.centre) / reach;
        let place = Vector3::new(1.0, arm.dot(&frame.x), arm.dot(&frame.y));
        let [n, m] = [panel.membrane_n_mm, panel.moment_n]
            .map(|[a, b, c]| turned(&panel.frame, &frame, (a + b + c) * (1.0 / 3.0)));
        let says = RowVector6::new(n.xx, n.yy, n.xy, m.xx, m.yy, m.xy);
        square += place * place.transpose();
        right += place * says;
        if own.contains(&t) {
            even += says * area(t);
            areas += area(t);
        }
    }
    let count = samples.len() as f64;
    let spread = square.determinant() / (count * count * count);
    let says = match square.cholesky() {
        Some(factor) if spread > LEAST_SPREAD => factor.solve(&right).row(0).into_owned(),
        _ => even / areas,
    };
    let in_plane = |k: usize| InPlane {
        xx: says[k],
        yy: says[k + 1],
        xy: says[k + 2],
    };
    NodeForces {
        node,
        patch: mesh.patches[first],
        frame,
        thickness_mm: forces[first].thickness_mm,
        membrane_n_mm: in_plane(0),
        moment_n: in_plane(3),
    }
}

/// The triangles at a node, and on the rim of its patch those of its neighbours too.
fn samples(of_triangle: &[[u32; 3]], about: &[Vec<u32>], slot: usize) -> Vec<u32> {
    let own = &about[slot];
    let mut neighbours: Vec<u32> = own
        .iter()
        .flat_map(|&t| of_triangle[t as usize])
        .filter(|&s| s as usize != slot)
        .collect();
    neighbours.sort_unstable();
    // Within a patch every neighbour is met from two triangles.
    let is_inner = neighbours.chunk_by(|a, b| a == b).all(|run| run.len() == 2);
    let mut samples = own.clone();
    if !is_inner {
        neighbours.dedup();
        samples.extend(neighbours.iter().flat_map(|&s| &about[s as usize]));
        samples.sort_unstable();
        samples.dedup();
    }
    samples
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn normals_that_are_one_carry_a_direction_over_as_it_is() {
        // Rounding leaves such a normal a little longer than 1, and its own cosine over 1.
        let normal = Vector3::new(0.6, -0.64, 0.48) * (1.0 + 2e-16);
        let x = Vector3::new(0.8, 0.48, -0.36);
        let carried = carried(&normal, &normal, &x);
        assert!((carried - x).norm() < 1e-15);
    }

    #[test]
    fn a_direction_turns_with_its_plane() {
        let carried = carried(&Vector3::z(), &Vector3::x(), &Vector3::x());
        assert!((carried + Vector3::z()).norm() < 1e-15);
    }
}
