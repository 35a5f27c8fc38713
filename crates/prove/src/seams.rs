//! Welded seams in the model: one edge's nodes tied to the other edge, and what passes through them.

use std::ops::Range;

use nalgebra::{Point3, Vector3};
use shell::{Mesh, Model, Solution};

use crate::answer::WeldForces;
use crate::body::SeamNodes;
use crate::bracket::Bracket;
use crate::error::ProveError;
use crate::weld::LineForce;

/// A seam in a model.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Tied {
    /// Nodes of the edge that follows, in order along the seam, with their ties in the model.
    pub nodes: Vec<(u32, Range<usize>)>,
    /// In the plane of the plate that follows, square to the seam and into that plate, at each node.
    pub into_plate: Vec<Vector3<f64>>,
}

/// Ties the edge with more nodes to the other, so that no node of the finer one is left out.
pub(crate) fn tie(model: &mut Model, seam: &SeamNodes) -> Result<Tied, ProveError> {
    let (follows, leads) = if seam.first.len() >= seam.second.len() {
        (&seam.first, &seam.second)
    } else {
        (&seam.second, &seam.first)
    };
    let mut tied = Tied {
        nodes: Vec::new(),
        into_plate: Vec::new(),
    };
    for &node in follows {
        if leads.contains(&node) {
            continue;
        }
        let Some((triangle, share)) = nearest(&model.mesh, leads, model.mesh.nodes[node as usize]) else {
            continue;
        };
        let ties = shell::ties_to_surface(&model.mesh, node, triangle, share)?;
        let first = model.ties.len();
        model.ties.extend(ties);
        tied.nodes.push((node, first..model.ties.len()));
        tied.into_plate.push(into_plate(&model.mesh, follows, node));
    }
    Ok(tied)
}

/// The place of an edge nearest to a point: a triangle at the edge, and shares of its corners.
fn nearest(mesh: &Mesh, edge: &[u32], at: Point3<f64>) -> Option<(u32, [f64; 3])> {
    let (_, [from, to], share) = edge
        .windows(2)
        .map(|pair| {
            let [a, b] = [pair[0], pair[1]].map(|node| mesh.nodes[node as usize]);
            let run = b - a;
            let share = ((at - a).dot(&run) / run.norm_squared()).clamp(0.0, 1.0);
            ((a + run * share - at).norm(), [pair[0], pair[1]], share)
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    let (triangle, corners) = (0u32..)
        .zip(&mesh.triangles)
        .find(|(_, corners)| corners.contains(&from) && corners.contains(&to))?;
    let share = corners.map(|corner| match corner {
        corner if corner == from => 1.0 - share,
        corner if corner == to => share,
        _ => 0.0,
    });
    Some((triangle, share))
}

/// Square to the seam at a node of an edge, into the plate of that edge.
pub(crate) fn into_plate(mesh: &Mesh, edge: &[u32], node: u32) -> Vector3<f64> {
    let at = mesh.nodes[node as usize];
    let along = along(mesh, edge);
    let inward: Vector3<f64> = mesh
        .triangles
        .iter()
        .filter(|corners| corners.contains(&node))
        .flat_map(|corners| corners.iter().map(|&corner| mesh.nodes[corner as usize] - at))
        .sum();
    (inward - along * inward.dot(&along))
        .try_normalize(f64::EPSILON)
        .unwrap_or_default()
}

fn along(mesh: &Mesh, edge: &[u32]) -> Vector3<f64> {
    match edge {
        [first, .., last] => (mesh.nodes[*last as usize] - mesh.nodes[*first as usize])
            .try_normalize(f64::EPSILON)
            .unwrap_or_default(),
        _ => Vector3::zeros(),
    }
}

/// What each weld carries where it carries most.
pub(crate) fn forces(
    bracket: &Bracket<'_>,
    mesh: &Mesh,
    tied: &[Tied],
    solution: &Solution,
) -> Vec<WeldForces> {
    let of = |(index, weld): (usize, &crate::bracket::Weld)| {
        let tied = tied.get(weld.seam)?;
        let nodes: Vec<u32> = tied.nodes.iter().map(|(node, _)| *node).collect();
        let along = along(mesh, &nodes);
        let mut worst: Option<(f64, WeldForces)> = None;
        for (place, (node, ties)) in tied.nodes.iter().enumerate() {
            let held: Vec<f64> = ties.clone().map(|tie| solution.ties[tie]).collect();
            let [fx, fy, fz, mx, my, mz] = held[..] else {
                continue;
            };
            let length_mm = share_of_length(mesh, &nodes, place);
            let line_n_mm = Vector3::new(fx, fy, fz) / length_mm;
            let moment_n = Vector3::new(mx, my, mz) / length_mm;
            let out = along.cross(&tied.into_plate[place]);
            let line = LineForce {
                along_n_mm: line_n_mm.dot(&along),
                // The tie pulls on the plate's edge; out of the plate is a pull.
                pull_n_mm: -line_n_mm.dot(&tied.into_plate[place]),
                across_n_mm: line_n_mm.dot(&out),
                bend_n: moment_n.dot(&along),
            };
            let throat = weld.fillet.map(|fillet| line.throat(&fillet));
            let size = throat.map_or(line_n_mm.norm(), |throat| throat.mises_mpa());
            if worst.as_ref().is_none_or(|(most, _)| size > *most) {
                worst = Some((
                    size,
                    WeldForces {
                        weld: index,
                        line_n_mm,
                        at: mesh.nodes[*node as usize],
                        throat,
                    },
                ));
            }
        }
        worst.map(|(_, forces)| forces)
    };
    bracket.welds.iter().enumerate().filter_map(of).collect()
}

/// The length of seam that goes with a node: half way to the next on either side.
fn share_of_length(mesh: &Mesh, nodes: &[u32], place: usize) -> f64 {
    let at = |place: usize| mesh.nodes[nodes[place] as usize];
    let before = if place > 0 {
        (at(place) - at(place - 1)).norm() / 2.0
    } else {
        0.0
    };
    let after = if place + 1 < nodes.len() {
        (at(place + 1) - at(place)).norm() / 2.0
    } else {
        0.0
    };
    (before + after).max(plane::SAME_POINT_MM)
}
