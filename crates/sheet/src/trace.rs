//! The panels, found by walking the net with the material on the left and turning off at every crease.

use std::f64::consts::TAU;

use plane::{Place, Segment};

use crate::divide::{CardCrease, CardPanel, Division, EdgeKind, PanelEdge};
use crate::error::SheetError;
use crate::net::{Net, Piece};
use crate::openings::outline_of;
use crate::part::Mockup;

/// Two directions that differ by less than this are one direction, told apart by how their edges curve.
const SAME_DIRECTION_RAD: f64 = 1e-7;

/// Half of an edge: the side with the material on its left.
#[derive(Debug, Clone, Copy)]
struct Half {
    ends: [usize; 2],
    edge: PanelEdge,
    /// For a crease: does it run along the crease's ray?
    forward: bool,
}

fn halves_of(net: &Net) -> Vec<Half> {
    let mut halves = Vec::new();
    for (run, edges) in net.runs.iter().enumerate() {
        for (index, seg) in edges.iter().enumerate() {
            let first = net.first_node[run];
            let mut stops = net.splits[run][index].clone();
            stops.sort_by(|a, b| a.0.total_cmp(&b.0));
            stops.insert(0, (0.0, first + index));
            stops.push((1.0, first + (index + 1) % edges.len()));
            for pair in stops.windows(2) {
                let part = seg.between(pair[0].0, pair[1].0);
                let ends = [pair[0].1, pair[1].1];
                let seg = Segment::new(net.nodes[ends[0]], net.nodes[ends[1]], part.bulge());
                halves.push(Half {
                    ends,
                    edge: PanelEdge {
                        seg,
                        kind: EdgeKind::Rim,
                    },
                    forward: true,
                });
            }
        }
    }
    for &Piece { crease, piece, ends } in &net.pieces {
        let kind = EdgeKind::Crease { crease, piece };
        let seg = Segment::line(net.nodes[ends[0]], net.nodes[ends[1]]);
        halves.push(Half {
            ends,
            edge: PanelEdge { seg, kind },
            forward: true,
        });
        let edge = PanelEdge {
            seg: seg.reversed(),
            kind,
        };
        halves.push(Half {
            ends: [ends[1], ends[0]],
            edge,
            forward: false,
        });
    }
    halves
}

/// Walks the net round every panel.
pub(crate) fn panels(net: &Net, mockup: &Mockup) -> Result<Division, SheetError> {
    let halves = halves_of(net);
    let runs = runs_of(&halves, net.nodes.len());
    let joined = joined_nodes(&halves, net.nodes.len());
    let mut panels = Vec::new();
    let mut panel_of_half = vec![usize::MAX; halves.len()];
    let mut inner = Vec::new();
    for run in &runs {
        if let Some(crease) = gone_back_along(&halves, run) {
            return Err(SheetError::CreaseDoesNotDivide {
                crease: mockup.creases[crease].name.clone(),
            });
        }
        let edges = run.iter().map(|&half| halves[half].edge.seg);
        let outline = outline_of(edges).map_err(|fault| SheetError::PanelOutline { fault })?;
        if !outline.is_counter_clockwise() {
            inner.push(run);
            continue;
        }
        for &half in run {
            panel_of_half[half] = panels.len();
        }
        let edges = run.iter().map(|&half| halves[half].edge).collect();
        panels.push((
            CardPanel {
                outline,
                runs: vec![edges],
            },
            joined[halves[run[0]].ends[0]],
        ));
    }
    for run in inner {
        let piece = joined[halves[run[0]].ends[0]];
        let inside = net.nodes[halves[run[0]].ends[0]];
        let round = (0..panels.len())
            .filter(|&panel| {
                panels[panel].1 != piece && panels[panel].0.outline.place_of(inside) == Place::Inside
            })
            .min_by(|&a, &b| {
                panels[a]
                    .0
                    .outline
                    .area_mm2()
                    .total_cmp(&panels[b].0.outline.area_mm2())
            });
        // Every opening lies in the plate, so some panel is round it; were there none, the crease cuts nothing off.
        let Some(round) = round else {
            let crease = run.iter().find_map(|&half| match halves[half].edge.kind {
                EdgeKind::Crease { crease, .. } => Some(mockup.creases[crease].name.clone()),
                _ => None,
            });
            return Err(SheetError::CreaseDoesNotDivide {
                crease: crease.unwrap_or_default(),
            });
        };
        for &half in run {
            panel_of_half[half] = round;
        }
        panels[round]
            .0
            .runs
            .push(run.iter().map(|&half| halves[half].edge).collect());
    }
    let panels: Vec<CardPanel> = panels.into_iter().map(|(panel, _)| panel).collect();
    let creases = joins(net, mockup, &halves, &panel_of_half)?;
    Ok(Division { panels, creases })
}

/// Which two panels each crease joins.
fn joins(
    net: &Net,
    mockup: &Mockup,
    halves: &[Half],
    panel_of_half: &[usize],
) -> Result<Vec<CardCrease>, SheetError> {
    let mut creases = Vec::new();
    for (index, crease) in mockup.creases.iter().enumerate() {
        let name = || crease.name.clone();
        let sides = |forward: bool| -> Vec<usize> {
            let is_side = |half: &Half| {
                half.forward == forward
                    && matches!(half.edge.kind, EdgeKind::Crease { crease, .. } if crease == index)
            };
            let found = halves.iter().zip(panel_of_half).filter(|(half, _)| is_side(half));
            found.map(|(_, &panel)| panel).collect()
        };
        let (left, right) = (sides(true), sides(false));
        if left.iter().zip(&right).any(|(l, r)| l == r) {
            return Err(SheetError::CreaseDoesNotDivide { crease: name() });
        }
        let legs = |mut panels: Vec<usize>| {
            panels.sort_unstable();
            panels.dedup();
            panels.len()
        };
        let several = legs(left.clone()).max(legs(right.clone()));
        if several > 1 {
            return Err(SheetError::CreaseFoldsSeveral {
                crease: name(),
                legs: several,
            });
        }
        let ray = net.rays[index];
        creases.push(CardCrease {
            ray,
            pieces: left.len(),
            left: left[0],
            right: right[0],
        });
    }
    Ok(creases)
}

/// The closed runs of halves, each keeping its material on the left.
fn runs_of(halves: &[Half], nodes: usize) -> Vec<Vec<usize>> {
    let mut leaving = vec![Vec::new(); nodes];
    for (index, half) in halves.iter().enumerate() {
        leaving[half.ends[0]].push(index);
    }
    let mut done = vec![false; halves.len()];
    let mut runs = Vec::new();
    for start in 0..halves.len() {
        if done[start] {
            continue;
        }
        let mut run = Vec::new();
        let mut at = start;
        while !done[at] {
            done[at] = true;
            run.push(at);
            at = next_clockwise(halves, at, &leaving[halves[at].ends[1]]);
        }
        runs.push(run);
    }
    runs
}

/// A crease of which the run holds both sides.
fn gone_back_along(halves: &[Half], run: &[usize]) -> Option<usize> {
    run.iter()
        .enumerate()
        .find_map(|(i, &half)| match halves[half].edge.kind {
            EdgeKind::Crease { crease, .. } => {
                let twice = run[i + 1..]
                    .iter()
                    .any(|&other| halves[other].edge.kind == halves[half].edge.kind);
                twice.then_some(crease)
            }
            _ => None,
        })
}

/// The half that follows one into a node: the first clockwise from where it came.
fn next_clockwise(halves: &[Half], arriving: usize, leaving: &[usize]) -> usize {
    let seg = &halves[arriving].edge.seg;
    let back = -seg.tangent_at(1.0);
    let back_curvature = -seg.curvature();
    let turn = |half: usize| {
        let next = &halves[half].edge.seg;
        let out = next.tangent_at(0.0);
        let turned = out.perp(&back).atan2(out.dot(&back)).rem_euclid(TAU);
        let same = !(SAME_DIRECTION_RAD..=TAU - SAME_DIRECTION_RAD).contains(&turned);
        if !same {
            turned
        } else if next.curvature() < back_curvature {
            0.0
        } else {
            TAU
        }
    };
    // One arriving at a node can always leave it: every run is closed and a crease can be gone back along.
    let first = leaving.iter().copied().min_by(|&a, &b| {
        let (turn_a, turn_b) = (turn(a), turn(b));
        if (turn_a - turn_b).abs() < SAME_DIRECTION_RAD {
            halves[b]
                .edge
                .seg
                .curvature()
                .total_cmp(&halves[a].edge.seg.curvature())
        } else {
            turn_a.total_cmp(&turn_b)
        }
    });
    first.unwrap_or(arriving)
}

/// For each node, the lowest node it is joined to.
fn joined_nodes(halves: &[Half], nodes: usize) -> Vec<usize> {
    let mut lowest: Vec<usize> = (0..nodes).collect();
    let mut changed = true;
    while changed {
        changed = false;
        for half in halves {
            let [a, b] = half.ends;
            let low = lowest[a].min(lowest[b]);
            changed |= lowest[a] != low || lowest[b] != low;
            lowest[a] = low;
            lowest[b] = low;
        }
    }
    lowest
}
