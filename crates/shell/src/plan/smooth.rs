//! Free nodes moved to where their triangles are rounder.

use nalgebra::{Point2, Vector2};

use super::quality::least_angle_rad;
use super::web::{NONE, Web, twice_area};

const PASSES: usize = 4;

/// Flipping after a pass settles in a few rounds.
const FLIP_PASSES: usize = 8;

/// A move that leaves no angle under this is taken even when the smallest grows smaller: 35 degrees.
const GOOD_RAD: f64 = 0.61;

/// Moves nodes that are neither of the plan nor on a line toward the centre of the triangles about them, each triangle
/// weighed by its height over the edge across from the node. A node stays where the smallest angle about it would shrink
/// to one that is not good.
pub(super) fn smooth(web: &mut Web, points: usize) {
    for _ in 0..PASSES {
        for node in points as u32..web.nodes.len() as u32 {
            if web.on_line[node as usize] == NONE {
                relax(web, node);
            }
        }
        web.make_delaunay(FLIP_PASSES);
    }
}

fn relax(web: &mut Web, node: u32) {
    let round = web.round(node);
    let here = web.nodes[node as usize];
    let mut sum = Vector2::zeros();
    let mut weights = 0.0;
    let mut before = f64::INFINITY;
    let mut edges: Vec<[Point2<f64>; 2]> = Vec::with_capacity(round.len());
    for &t in &round {
        let corners = web.triangles[t as usize].corners;
        let Some(i) = corners.iter().position(|&corner| corner == node) else {
            return;
        };
        let [p, q] = [1, 2].map(|k| web.nodes[corners[(i + k) % 3] as usize]);
        before = before.min(least_angle_rad([here, p, q]));
        let height = twice_area(here, p, q) / (q - p).norm().max(f64::MIN_POSITIVE);
        sum += ((p - here) + (q - here)) / 3.0 * height;
        weights += height;
        edges.push([p, q]);
    }
    if weights <= 0.0 {
        return;
    }
    let at = here + sum / weights;
    let after = edges
        .iter()
        .map(|&[p, q]| least_angle_rad([at, p, q]))
        .fold(f64::INFINITY, f64::min);
    if after > before || after >= GOOD_RAD {
        web.nodes[node as usize] = at;
    }
}
