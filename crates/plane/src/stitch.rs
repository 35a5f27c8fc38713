//! Pieces of edge joined end to end into closed loops, none of which passes a node twice.

use std::f64::consts::TAU;

use crate::boolean::BooleanFailed;
use crate::outline::{Outline, Vertex};
use crate::pieces::Piece;
use crate::{Point, Vector};

/// The loops that the pieces make, material on the left, slivers dropped.
pub(crate) fn stitch(pieces: &[Piece], nodes: &[Point], node_mm: f64) -> Result<Vec<Outline>, BooleanFailed> {
    let mut leaving: Vec<Vec<usize>> = vec![Vec::new(); nodes.len()];
    for (i, piece) in pieces.iter().enumerate() {
        leaving[piece.from].push(i);
    }
    let mut used = vec![false; pieces.len()];
    let mut step_at: Vec<Option<usize>> = vec![None; nodes.len()];
    let mut loops = Vec::new();
    for start in 0..pieces.len() {
        if used[start] {
            continue;
        }
        let mut path: Vec<usize> = Vec::new();
        let mut current = start;
        loop {
            used[current] = true;
            step_at[pieces[current].from] = Some(path.len());
            path.push(current);
            let node = pieces[current].to;
            // Wherever the path comes back to itself a loop is done, so that loops touch each other but not themselves.
            if let Some(step) = step_at[node] {
                let closed = path.split_off(step);
                for &piece in &closed {
                    step_at[pieces[piece].from] = None;
                }
                loops.extend(to_outline(closed.iter().map(|&i| &pieces[i]), node_mm));
                if path.is_empty() {
                    break;
                }
            }
            let open: Vec<usize> = leaving[node].iter().copied().filter(|&i| !used[i]).collect();
            match sharpest_left(pieces, current, &open) {
                Some(next) => current = next,
                None => return Err(BooleanFailed::LeftOpen { at: nodes[node] }),
            }
        }
    }
    Ok(loops)
}

/// The piece to go on with so that the material on the left stays in one: the first met when looking round clockwise
/// from where the path came.
fn sharpest_left(pieces: &[Piece], arriving: usize, open: &[usize]) -> Option<usize> {
    if open.len() < 2 {
        return open.first().copied();
    }
    // Directions are taken a little way out, so that edges that leave in one direction and then part are told apart.
    let shortest_mm = open
        .iter()
        .chain([&arriving])
        .map(|&i| pieces[i].edge.length_mm())
        .fold(f64::INFINITY, f64::min);
    let look_mm = shortest_mm / 2.0;
    let came = &pieces[arriving].edge;
    let back = came.point_at(1.0 - look_mm / came.length_mm()) - came.to();
    let turn = |i: usize| {
        let edge = &pieces[i].edge;
        clockwise_rad(back, edge.point_at(look_mm / edge.length_mm()) - edge.from())
    };
    open.iter().copied().min_by(|&a, &b| turn(a).total_cmp(&turn(b)))
}

/// The angle turned clockwise from one direction to another, 0 to a full turn.
fn clockwise_rad(from: Vector, to: Vector) -> f64 {
    let counter_clockwise = from.perp(&to).atan2(from.dot(&to));
    if counter_clockwise > 0.0 {
        TAU - counter_clockwise
    } else {
        -counter_clockwise
    }
}

fn to_outline<'a>(pieces: impl Iterator<Item = &'a Piece>, node_mm: f64) -> Option<Outline> {
    let vertices: Vec<Vertex> = pieces
        .map(|piece| Vertex {
            at: piece.edge.from(),
            bulge: piece.edge.bulge(),
        })
        .collect();
    if vertices.len() < 2 {
        return None;
    }
    let outline = Outline { vertices };
    (outline.area_mm2() > node_mm * outline.length_mm()).then(|| outline.simplified())
}
