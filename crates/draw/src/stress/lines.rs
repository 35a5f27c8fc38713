//! Edges of the mesh: free ones, those where the shell turns away from the eye, and creases.

use std::collections::BTreeMap;

use nalgebra::Point3;

use super::bands::joined;
use super::layers::{Layers, near_mm};
use crate::folded::views::Picture;
use crate::ink::Ink;

/// The edges of a mesh by their ends, each with the triangles it belongs to.
pub(super) struct Edges {
    of: BTreeMap<[usize; 2], Vec<usize>>,
}

/// An edge to be drawn, by its nodes, with its layer.
pub(super) struct Drawn {
    pub ends: [usize; 2],
    pub ink: Ink,
    pub layer: usize,
}

impl Edges {
    pub fn of(triangles: &[[u32; 3]]) -> Self {
        let mut of: BTreeMap<[usize; 2], Vec<usize>> = BTreeMap::new();
        for (index, corners) in triangles.iter().enumerate() {
            for side in 0..3 {
                let (from, to) = (corners[side] as usize, corners[(side + 1) % 3] as usize);
                of.entry([from.min(to), from.max(to)]).or_default().push(index);
            }
        }
        Self { of }
    }

    /// The free edges as runs of nodes; the short ones (rims of holes) left out, for they would only blacken the paper.
    pub fn outlines(&self, points_mm: &[Point3<f64>]) -> Vec<Vec<usize>> {
        /// A rim shorter than this share of the longest is a hole's.
        const HOLE: f64 = 0.2;
        let free: Vec<[usize; 2]> = self
            .of
            .iter()
            .filter(|(_, triangles)| triangles.len() == 1)
            .map(|(ends, _)| *ends)
            .collect();
        let length = |run: &Vec<usize>| -> f64 {
            run.windows(2)
                .map(|ends| (points_mm[ends[1]] - points_mm[ends[0]]).norm())
                .sum()
        };
        let runs = joined(&free);
        let longest = runs.iter().map(length).fold(0.0, f64::max);
        runs.into_iter()
            .filter(|run| length(run) >= HOLE * longest)
            .collect()
    }

    /// What is drawn in this picture: free edges, edges where more than two triangles meet, edges where the shell turns
    /// from the eye, and creases. An edge is on the front layer of its facets; one of facets that are all seen end on is
    /// drawn when it is in sight.
    pub fn drawn(
        &self,
        picture: &Picture,
        layers: &Layers,
        points_mm: &[Point3<f64>],
        creases: &[[u32; 2]],
    ) -> Vec<Drawn> {
        /// How much of other facets may lie before an edge that is seen end on, mm on paper.
        const CLEAR_MM: f64 = 0.2;
        let mut facet_of: BTreeMap<usize, usize> = BTreeMap::new();
        for (index, facet) in layers.facets.iter().enumerate() {
            facet_of.insert(facet.triangle, index);
        }
        let mut creased: Vec<[usize; 2]> = creases
            .iter()
            .map(|[from, to]| [(*from).min(*to) as usize, (*from).max(*to) as usize])
            .collect();
        creased.sort_unstable();
        let mut drawn = Vec::new();
        for (ends, triangles) in &self.of {
            let facets: Vec<_> = triangles
                .iter()
                .filter_map(|triangle| facet_of.get(triangle))
                .map(|index| &layers.facets[*index])
                .collect();
            let turns =
                triangles.len() == 2 && (facets.len() != 2 || facets[0].faces_eye != facets[1].faces_eye);
            let ink = if triangles.len() != 2 || turns {
                Ink::Seen
            } else if creased.binary_search(ends).is_ok() {
                Ink::Crease
            } else {
                continue;
            };
            let layer = match facets.iter().map(|facet| facet.layer).min() {
                Some(layer) => layer,
                None => {
                    let middle = nalgebra::center(&points_mm[ends[0]], &points_mm[ends[1]]);
                    let at = picture.on_paper(&middle);
                    if !layers.in_sight(at, near_mm(picture, &middle), CLEAR_MM) {
                        continue;
                    }
                    0
                }
            };
            drawn.push(Drawn {
                ends: *ends,
                ink,
                layer,
            });
        }
        drawn
    }
}
