//! Which nodes lie where: on rims, round holes, along free edges and seams.

use std::collections::BTreeMap;

use nalgebra::Point3;
use plane::Point;
use sheet::{OpeningShape, Panel, Part};
use shell::plan::Chain;
use shell::{Mesh, Singular};

use super::lines::Drawing;
use super::{Body, Patch};

/// A node is on a seam's edge when its place on the lines' face is within this of it: a tenth of what a seam's ends may
/// be off the card's edge.
const ON_SEAM_MM: f64 = 0.05;

/// A node on a circle is within it: the share that rounding may put it outside.
const ON_CIRCLE: f64 = 1e-6;

/// The rim of an opening.
#[derive(Debug, Clone, PartialEq)]
pub struct Rim {
    /// Index into [`Part::openings`].
    pub opening: usize,
    /// Index into [`Part::panels`].
    pub panel: usize,
    /// Centre and radius on the blank of a round hole.
    pub round: Option<(Point, f64)>,
    /// Nodes round it, each once, in order of number.
    pub nodes: Vec<u32>,
}

/// Nodes along the two edges of a seam, in the order in which the edges meet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SeamNodes {
    /// Along the first edge.
    pub first: Vec<u32>,
    /// Along the second.
    pub second: Vec<u32>,
}

impl Body {
    /// The sharp re-entrant corners: those of the mesh that are no part of an arc of the plate's edge.
    pub fn sharp_corners(&self) -> Vec<Singular> {
        let mut corners = shell::re_entrant_corners(&self.mesh);
        corners.retain(|corner| !corner.nodes.iter().all(|&node| self.within_arcs[node as usize]));
        corners
    }

    /// Nodes of a panel within a radius of a place on the blank, by number; those on its tangent lines too. With a
    /// [`super::Ring`] of that radius about a hole: the annulus that a washer covers, rim and edge included.
    pub fn within(&self, panel: usize, centre: Point, radius_mm: f64) -> Vec<u32> {
        let reach_mm = radius_mm * (1.0 + ON_CIRCLE);
        (0..self.blank_at.len() as u32)
            .filter(|&node| {
                self.patches[self.patch_of[node as usize] as usize] == Patch::Panel(panel)
                    && (self.blank_at[node as usize] - centre).norm() <= reach_mm
            })
            .collect()
    }

    /// The node of a panel nearest to a place on the blank; none when there is no such panel.
    pub fn nearest(&self, panel: usize, at: Point) -> Option<u32> {
        let far = |node: u32| (self.blank_at[node as usize] - at).norm_squared();
        (0..self.blank_at.len() as u32)
            .filter(|&node| self.patches[self.patch_of[node as usize] as usize] == Patch::Panel(panel))
            .min_by(|&a, &b| far(a).total_cmp(&far(b)))
    }

    /// For each node, a third of the area of the triangles at it, mm2: its share of an even load.
    pub fn node_areas_mm2(&self) -> Vec<f64> {
        let mut areas = vec![0.0; self.mesh.nodes.len()];
        for triangle in &self.mesh.triangles {
            let [a, b, c] = triangle.map(|node| self.mesh.nodes[node as usize]);
            let third = (b - a).cross(&(c - a)).norm() / 6.0;
            for &node in triangle {
                areas[node as usize] += third;
            }
        }
        areas
    }
}

/// Nodes on the rims of openings.
pub(super) fn rims(part: &Part, drawing: &Drawing, chains: &[Chain]) -> Vec<Rim> {
    let mut rims: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for (run, chain) in drawing.run.iter().zip(chains) {
        if let Some(opening) = run {
            rims.entry(*opening)
                .or_default()
                .extend(chain.left.iter().chain(&chain.right));
        }
    }
    let mut found = Vec::new();
    for (opening, mut nodes) in rims {
        let opening = opening as usize;
        nodes.sort_unstable();
        nodes.dedup();
        let Some(panel) = part.panel_of_opening(opening) else {
            continue;
        };
        let round = match part.blank.openings.get(opening) {
            Some(Some(OpeningShape::Round { at, dia_mm })) => Some((*at, dia_mm / 2.0)),
            _ => None,
        };
        found.push(Rim {
            opening,
            panel,
            round,
            nodes,
        });
    }
    found
}

/// Every free edge as a closed run.
pub(super) fn edges(mesh: &Mesh) -> Vec<Vec<u32>> {
    let mut runs: Vec<(u32, u32)> = mesh
        .triangles
        .iter()
        .flat_map(|&[a, b, c]| [(a, b), (b, c), (c, a)])
        .collect();
    runs.sort_unstable();
    let free: Vec<(u32, u32)> = runs
        .iter()
        .copied()
        .filter(|&(a, b)| runs.binary_search(&(b, a)).is_err())
        .collect();
    let mut done = vec![false; free.len()];
    let mut found = Vec::new();
    for start in 0..free.len() {
        if done[start] {
            continue;
        }
        let mut run = Vec::new();
        let mut at = start;
        while !done[at] {
            done[at] = true;
            let (from, to) = free[at];
            run.push(from);
            let first = free.partition_point(|&(from, _)| from < to);
            let next = (first..free.len())
                .take_while(|&i| free[i].0 == to)
                .find(|&i| !done[i]);
            match next {
                Some(next) => at = next,
                None => break,
            }
        }
        found.push(run);
    }
    found
}

/// Nodes along both edges of every seam.
pub(super) fn seams(part: &Part, blank_at: &[Point], patch_of: &[u32], edges: &[Vec<u32>]) -> Vec<SeamNodes> {
    let along = |panel: Option<usize>, [from, to]: [Point3<f64>; 2]| {
        let way = to - from;
        let length = way.norm();
        let mut on: Vec<(f64, u32)> = edges
            .iter()
            .flatten()
            .filter(|&&node| panel.is_some_and(|panel| patch_of[node as usize] as usize == panel))
            .filter_map(|&node| {
                let at = on_lines_face(&part.panels[panel?], blank_at[node as usize]);
                let share = (at - from).dot(&way) / length;
                let off = (at - from - way * (share / length)).norm();
                let within = -ON_SEAM_MM..=length + ON_SEAM_MM;
                (off <= ON_SEAM_MM && within.contains(&share)).then_some((share, node))
            })
            .collect();
        on.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        on.dedup_by_key(|(_, node)| *node);
        on.into_iter().map(|(_, node)| node).collect::<Vec<u32>>()
    };
    part.seams
        .iter()
        .map(|seam| {
            let first = panels_with_edge(part, seam.edges[0]);
            let second = panels_with_edge(part, seam.edges[1]);
            // Edges that meet without a gap are in both panels' planes: then each gets one of the two.
            let one = first.first().copied();
            let other = second.iter().copied().find(|&panel| Some(panel) != one);
            SeamNodes {
                first: along(one, seam.edges[0]),
                second: along(other.or(second.first().copied()), seam.edges[1]),
            }
        })
        .collect()
}

fn on_lines_face(panel: &Panel, at: Point) -> Point3<f64> {
    let at = at - panel.to_blank;
    panel.to_folded * Point3::new(at.x, at.y, 0.0)
}

/// Panels that have an edge along this one.
fn panels_with_edge(part: &Part, edge: [Point3<f64>; 2]) -> Vec<usize> {
    let middle = nalgebra::center(&edge[0], &edge[1]);
    let on = |panel: &Panel| {
        [edge[0], middle, edge[1]].iter().all(|at| {
            let at = panel.to_folded.inverse_transform_point(at);
            at.z.abs() <= ON_SEAM_MM && panel.as_marked.distance_to(at.xy()).0 <= ON_SEAM_MM
        })
    };
    (0..part.panels.len())
        .filter(|&panel| on(&part.panels[panel]))
        .collect()
}
