//! Stress at the nodes, recovered patch by patch.

use shell::{Face, Frame, InPlane, Mesh, PanelForces};

/// Stress at a node as one patch sees it: the mean of the triangles of the patch that meet there. Where two patches meet,
/// the node has one for each; nothing is averaged across a fold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct AtNode {
    pub node: u32,
    pub patch: u32,
    /// Axes of the components.
    pub frame: Frame,
    /// Upper (marked) face, then lower (far) face, MPa.
    pub mpa: [InPlane; 2],
}

/// The two faces in the order of [`AtNode::mpa`].
pub(crate) const FACES: [Face; 2] = [Face::Upper, Face::Lower];

/// Stresses at every node of every patch, in the order of patch and node; the same for every case of one mesh.
pub(crate) fn field(mesh: &Mesh, forces: &[PanelForces]) -> Vec<AtNode> {
    let mut corners: Vec<(u32, u32, usize, usize)> = Vec::with_capacity(3 * mesh.triangles.len());
    for (index, triangle) in mesh.triangles.iter().enumerate() {
        for (corner, &node) in triangle.iter().enumerate() {
            corners.push((mesh.patches[index], node, index, corner));
        }
    }
    corners.sort_unstable();
    corners
        .chunk_by(|a, b| (a.0, a.1) == (b.0, b.1))
        .map(|around| {
            let share = 1.0 / around.len() as f64;
            let mean = |face: Face| {
                around
                    .iter()
                    .map(|&(_, _, triangle, corner)| forces[triangle].stress_mpa(face)[corner] * share)
                    .fold(InPlane::default(), |sum, part| sum + part)
            };
            let (patch, node, triangle, _) = around[0];
            AtNode {
                node,
                patch,
                frame: forces[triangle].frame,
                mpa: FACES.map(mean),
            }
        })
        .collect()
}
