//! Several meshes made one where their nodes meet.

use std::collections::BTreeMap;

use shell::{Mesh, Point};

/// Nodes nearer than this share of the greatest coordinate are one: far under any edge, far over rounding.
const SAME_NODE_SHARE: f64 = 1e-7;

/// One mesh of all these. Nodes at the same place become one; patches stay apart; the sections are those of the first.
pub fn joined(meshes: &[Mesh]) -> Mesh {
    let reach = meshes
        .iter()
        .flat_map(|mesh| &mesh.nodes)
        .map(|p| p.coords.amax())
        .fold(0.0, f64::max);
    let key = |p: &Point| {
        let cell = |x: f64| (x / (SAME_NODE_SHARE * reach)).round() as i64;
        (cell(p.x), cell(p.y), cell(p.z))
    };
    let mut whole = Mesh {
        sections: meshes
            .first()
            .map(|mesh| mesh.sections.clone())
            .unwrap_or_default(),
        ..Mesh::default()
    };
    let mut seen = BTreeMap::new();
    let mut patches_before = 0;
    for mesh in meshes {
        let renumbered: Vec<u32> = mesh
            .nodes
            .iter()
            .map(|p| {
                *seen.entry(key(p)).or_insert_with(|| {
                    whole.nodes.push(*p);
                    (whole.nodes.len() - 1) as u32
                })
            })
            .collect();
        whole
            .triangles
            .extend(mesh.triangles.iter().map(|t| t.map(|n| renumbered[n as usize])));
        whole
            .patches
            .extend(mesh.patches.iter().map(|patch| patch + patches_before));
        whole.section_of.extend(&mesh.section_of);
        patches_before += mesh.patches.iter().max().map_or(0, |patch| patch + 1);
    }
    whole
}
