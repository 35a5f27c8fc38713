//! Places where the stress of an ideal plate has no bound, so that a finer mesh only reads more.

use std::collections::BTreeMap;

use crate::Mesh;

/// A corner turns back sharply when the plate fills more than this about it: 200 degrees. Under it the stress grows so
/// slowly toward the corner (as the distance to the power -0.09) that no practical mesh shows it.
const RE_ENTRANT_RAD: f64 = 200.0 * std::f64::consts::PI / 180.0;

/// A corner is part of a rounding when the next corners of the rim turn back by at least this share of what it does
/// itself: on a chain of chords each turns as much as the next, and at its ends half as much.
const PART_OF_ROUND: f64 = 0.45;

/// A corner that turns back by this, 60 degrees, is sharp whatever comes next to it: roundings are cut finer.
const SURELY_SHARP_RAD: f64 = std::f64::consts::FRAC_PI_3;

/// A node of a rim that turns by less than this, 1 degree, lies within a straight piece.
const STRAIGHT_RAD: f64 = std::f64::consts::PI / 180.0;

/// Why the stress at a place is not to be read from the mesh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Why {
    /// The plate fills this angle about a sharp corner.
    ReEntrant {
        /// Over 200 degrees.
        angle_rad: f64,
    },
    /// The nodes are moved together by a bolt, a clamp or a support.
    Coupled,
    /// The toe of a weld.
    WeldToe,
}

/// Nodes at which the stress has no bound.
#[derive(Debug, Clone, PartialEq)]
pub struct Singular {
    /// One for a corner; those of a rim that is coupled, or along a toe.
    pub nodes: Vec<u32>,
    /// Why.
    pub why: Why,
}

/// The sharp re-entrant corners of a mesh: nodes of its free edges about which triangles fill more than 200 degrees, and
/// which are not part of a rounding. Ordered by node.
#[must_use]
pub fn re_entrant_corners(mesh: &Mesh) -> Vec<Singular> {
    let mut filled = vec![0.0; mesh.nodes.len()];
    let mut ways: BTreeMap<(u32, u32), i32> = BTreeMap::new();
    for (t, nodes) in mesh.triangles.iter().enumerate() {
        let places = mesh.corners(t);
        for i in 0..3 {
            let [at, next, last] = [0, 1, 2].map(|k| places[(i + k) % 3]);
            filled[nodes[i] as usize] += (next - at).angle(&(last - at));
            let (a, b) = (nodes[i], nodes[(i + 1) % 3]);
            *ways.entry((a.min(b), a.max(b))).or_default() += 1;
        }
    }
    let mut along: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for ((a, b), _) in ways.into_iter().filter(|(_, count)| *count == 1) {
        along.entry(a).or_default().push(b);
        along.entry(b).or_default().push(a);
    }
    let turns = |node: u32| filled[node as usize] - std::f64::consts::PI;
    along
        .iter()
        .filter(|&(&node, next)| {
            let own = turns(node);
            let turning = |first: u32| -> f64 {
                let (mut last, mut here) = (node, first);
                // Over straight pieces to the next corner of the rim.
                for _ in 0..along.len() {
                    if here == node || turns(here).abs() >= STRAIGHT_RAD {
                        break;
                    }
                    let on = along
                        .get(&here)
                        .and_then(|next| next.iter().find(|&&next| next != last));
                    let Some(&on) = on else { break };
                    (last, here) = (here, on);
                }
                turns(here)
            };
            filled[node as usize] > RE_ENTRANT_RAD
                && (own >= SURELY_SHARP_RAD || next.iter().all(|&next| turning(next) < PART_OF_ROUND * own))
        })
        .map(|(&node, _)| Singular {
            nodes: vec![node],
            why: Why::ReEntrant {
                angle_rad: filled[node as usize],
            },
        })
        .collect()
}
