//! Welded seams in the model: one edge's nodes tied to the other edge, and what passes through them.

use std::ops::Range;

use nalgebra::{Point3, Vector3};
use shell::{Mesh, Model, Solution};

use crate::answer::WeldForces;
use crate::body::SeamNodes;
use crate::bracket::Bracket;
use crate::error::ProveError;
use crate::weld::{LineForce, Place, worst};

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

/// What each weld carries where it carries most: over the least length that its fillet is counted on, or, when its size is
/// not known, at one node.
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
        let places: Vec<Place> = tied
            .nodes
            .iter()
            .zip(&tied.into_plate)
            .enumerate()
            .filter_map(|(place, ((_, ties), into_plate))| {
                let held: Vec<f64> = ties.clone().map(|tie| solution.ties[tie]).collect();
                let [fx, fy, fz, mx, my, mz] = held[..] else {
                    return None;
                };
                let length_mm = share_of_length(mesh, &nodes, place);
                let through = [Vector3::new(fx, fy, fz), Vector3::new(mx, my, mz)];
                Some(Place {
                    length_mm,
                    line: line_force(through.map(|held| held / length_mm), along, *into_plate),
                })
            })
            .collect();
        let size = |line: &LineForce| match weld.fillet {
            Some(fillet) => line.throat(&fillet).mises_mpa(),
            None => line.size_n_mm(),
        };
        let stretch_mm = weld.fillet.map_or(0.0, |fillet| fillet.stretch_mm());
        let worst = worst(&places, stretch_mm, &size)?;
        let start = mesh.nodes[*nodes.first()? as usize];
        let into_plate = tied.into_plate.first().copied()?;
        Some(WeldForces {
            weld: index,
            line_n_mm: in_space(&worst.line, along, into_plate),
            at: start + along * worst.middle_mm,
            throat: weld.fillet.map(|fillet| worst.line.throat(&fillet)),
        })
    };
    bracket.welds.iter().enumerate().filter_map(of).collect()
}

/// What passes through a mm of a weld, from the force and moment per mm that hold the edge of the standing plate.
pub(crate) fn line_force(
    [force_n_mm, moment_n]: [Vector3<f64>; 2],
    along: Vector3<f64>,
    into_plate: Vector3<f64>,
) -> LineForce {
    LineForce {
        along_n_mm: force_n_mm.dot(&along),
        // What holds the edge pulls out of the plate.
        pull_n_mm: -force_n_mm.dot(&into_plate),
        across_n_mm: force_n_mm.dot(&along.cross(&into_plate)),
        bend_n: moment_n.dot(&along),
    }
}

/// The force of it per mm, in the axes of the directions, N/mm.
fn in_space(line: &LineForce, along: Vector3<f64>, into_plate: Vector3<f64>) -> Vector3<f64> {
    along * line.along_n_mm - into_plate * line.pull_n_mm + along.cross(&into_plate) * line.across_n_mm
}

/// The length of seam that goes with a node: half way to the next on either side.
pub(crate) fn share_of_length(mesh: &Mesh, nodes: &[u32], place: usize) -> f64 {
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
