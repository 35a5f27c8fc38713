//! All the changes worth a look, in a fixed order.

use plane::{Segment, Vector};
use sheet::Mockup;

use super::change::Change;
use super::edge::free_edges;
use super::room::Room;
use super::shelf::Shelf;
use super::{bolt, lip, rib, thickness, window};
use crate::bracket::Bracket;

/// Edges that are looked at, longest first.
const MOST_EDGES: usize = 12;
/// An edge shorter than this many thicknesses is no place for a lip or a bar.
const LEAST_EDGE: f64 = 5.0;
/// Steps by which an edge is moved out, mm.
const WIDER_MM: [f64; 2] = [8.0, 16.0];
/// A straight edge keeps this at either end when the rest is moved out, of what it is moved: room for the fillet.
const KEEP: f64 = 1.0;

/// Changes that could help, in a fixed order: other plates of the shop's list, lips, pairs of lips open and closed, wider
/// strips, windows, bars, gussets, bolts and mounts. None of them is tried out here: [`super::apply`] tells whether one
/// can be made.
pub fn candidates(mockup: &Mockup, bracket: &Bracket<'_>, shelf: &Shelf) -> Vec<Change> {
    let part = bracket.part;
    let room = Room::of(bracket);
    let mut edges = free_edges(mockup, part, LEAST_EDGE * part.thickness_mm);
    edges.truncate(MOST_EDGES);
    let mut found = thickness::candidates(shelf, part.thickness_mm);
    if let Some(own) = shelf.of_thickness(part.thickness_mm) {
        found.extend(lip::candidates(&edges, &shelf.plates[own]));
    }
    found.extend(wider(mockup, LEAST_EDGE * part.thickness_mm));
    found.extend(window::candidates(part, &room.in_use));
    found.extend(rib::gusset_candidates(part, &room));
    found.extend(rib::bar_candidates(part, &edges));
    found.extend(bolt::candidates(bracket, shelf));
    found
}

/// The long straight edges of the card moved out, over whatever bends end there.
fn wider(mockup: &Mockup, least_mm: f64) -> Vec<Change> {
    let mut edges: Vec<Segment> = mockup
        .outline
        .oriented(true)
        .segments()
        .filter(|edge| edge.curvature() == 0.0 && edge.length_mm() > least_mm)
        .collect();
    edges.sort_by(|a, b| b.length_mm().total_cmp(&a.length_mm()));
    edges.truncate(MOST_EDGES);
    let mut found = Vec::new();
    for edge in edges {
        let along: Vector = edge.tangent_at(0.0);
        for by_mm in WIDER_MM {
            let keep_mm = KEEP * by_mm;
            // The slopes at both ends need room.
            if edge.length_mm() - 2.0 * keep_mm > 3.0 * by_mm {
                let edge = [edge.from() + along * keep_mm, edge.to() - along * keep_mm];
                found.push(Change::Wider { edge, by_mm });
            }
        }
    }
    found
}
