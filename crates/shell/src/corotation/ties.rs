//! Ties when what is tied has turned far.
//!
//! A tie is linear in movements and turns. A node that is tied in all six directions, without offsets, so that it goes with
//! every rigid motion of the nodes it follows (a rigid arm, a distributing coupling, a foot on a surface) is carried: the
//! tie holds in axes that turn with the node, and these are the axes in which the tie gives it no turn. For a rigid arm this
//! is exact; for the others it is as far as the nodes they follow keep their distances. Any other tie (a fixed unknown, a
//! guide) stays as it is in global axes and holds for each small change.

use nalgebra::{Matrix6, UnitQuaternion, Vector6};

use super::State;
use crate::{Axis, Dof, Mesh, Tie, Vector};

/// A node that goes with others.
#[derive(Debug)]
pub(crate) struct CarriedNode {
    node: u32,
    /// The nodes it follows, each with its share (columns) in the node's own six (rows).
    follows: Vec<(u32, Matrix6<f64>)>,
}

/// How far a tie may be from following a rigid motion, as a part of the motion: rounding in shares.
const RIGID: f64 = 1e-9;
/// A turn that is left below this, rad, is rounding.
const NO_TURN: f64 = 1e-15;
/// Rounds for the axes of a carried node; each takes the turn left to its cube, or nearly.
const MOST_ROUNDS: usize = 30;

/// The carried nodes of a model, each after those it follows.
pub(crate) fn carried(mesh: &Mesh, ties: &[Tie]) -> Vec<CarriedNode> {
    let mut order: Vec<u32> = (0..).take(ties.len()).collect();
    order.sort_by_key(|&tie| ties[tie as usize].dof);
    let mut waiting: Vec<CarriedNode> = order
        .chunk_by(|&one, &other| ties[one as usize].dof.node == ties[other as usize].dof.node)
        .filter_map(|of_node| {
            let of_node: Vec<&Tie> = of_node.iter().map(|&tie| &ties[tie as usize]).collect();
            CarriedNode::new(mesh, &of_node)
        })
        .collect();
    let mut ready = Vec::with_capacity(waiting.len());
    while !waiting.is_empty() {
        let still: Vec<u32> = waiting.iter().map(|carried| carried.node).collect();
        let waits = |carried: &CarriedNode| {
            carried
                .follows
                .iter()
                .any(|(node, _)| still.binary_search(node).is_ok())
        };
        let (later, now): (Vec<_>, Vec<_>) = waiting.into_iter().partition(waits);
        // Ties in a circle are refused before.
        if now.is_empty() {
            break;
        }
        ready.extend(now);
        waiting = later;
    }
    ready
}

impl CarriedNode {
    fn new(mesh: &Mesh, ties: &[&Tie]) -> Option<Self> {
        let node = ties.first()?.dof.node;
        if ties.len() != Axis::ALL.len() || ties.iter().any(|tie| tie.offset != 0.0) {
            return None;
        }
        let mut follows: Vec<(u32, Matrix6<f64>)> = Vec::new();
        for (row, tie) in ties.iter().enumerate() {
            for &(dof, share) in &tie.follows {
                let at = match follows.binary_search_by_key(&dof.node, |(node, _)| *node) {
                    Ok(at) => at,
                    Err(at) => {
                        follows.insert(at, (dof.node, Matrix6::zeros()));
                        at
                    }
                };
                follows[at].1[(row, dof.axis.index())] += share;
            }
        }
        let own = mesh.nodes[node as usize];
        let size = follows
            .iter()
            .map(|(other, _)| (mesh.nodes[*other as usize] - own).norm())
            .fold(0.0, f64::max);
        let size = if size > 0.0 { size } else { 1.0 };
        for axis in 0..6 {
            let mut motion = Vector6::zeros();
            motion[axis] = if axis < 3 { 1.0 } else { 1.0 / size };
            let turn: Vector = motion.fixed_rows::<3>(3).into_owned();
            let mut followed = Vector6::zeros();
            for (other, share) in &follows {
                let mut moved = motion;
                let mut movement = moved.fixed_rows_mut::<3>(0);
                movement += turn.cross(&(mesh.nodes[*other as usize] - own));
                followed += share * moved;
            }
            let off = followed - motion;
            if off.fixed_rows::<3>(0).amax() > RIGID || off.fixed_rows::<3>(3).amax() * size > RIGID {
                return None;
            }
        }
        Some(Self { node, follows })
    }

    /// Puts the node where those it follows have taken it.
    pub(crate) fn place(&self, mesh: &Mesh, state: &mut State) {
        let Some(&(base, _)) = self.follows.first() else {
            return;
        };
        let (base_before, base_now) = (mesh.nodes[base as usize], state.places[base as usize]);
        let mut turn = state.turns[self.node as usize];
        let mut moved = Vector::zeros();
        for _ in 0..MOST_ROUNDS {
            let back = turn.inverse();
            let mut own = Vector6::zeros();
            for (node, share) in &self.follows {
                let node = *node as usize;
                let movement = back * (state.places[node] - base_now) - (mesh.nodes[node] - base_before);
                let turned = (back * state.turns[node]).scaled_axis();
                let mut six = Vector6::zeros();
                six.fixed_rows_mut::<3>(0).copy_from(&movement);
                six.fixed_rows_mut::<3>(3).copy_from(&turned);
                own += share * six;
            }
            moved = own.fixed_rows::<3>(0).into_owned();
            let left: Vector = own.fixed_rows::<3>(3).into_owned();
            if left.norm() <= NO_TURN {
                break;
            }
            turn *= UnitQuaternion::from_scaled_axis(left);
        }
        let arm = mesh.nodes[self.node as usize] - base_before;
        state.places[self.node as usize] = base_now + turn * (arm + moved);
        state.turns[self.node as usize] = turn;
    }

    /// The node's ties for small changes from where all is now.
    fn ties(&self, state: &State) -> impl Iterator<Item = Tie> {
        let turn = *state.turns[self.node as usize].to_rotation_matrix().matrix();
        let turned = self.follows.iter().map(|(node, share)| {
            let mut global = Matrix6::zeros();
            for row in [0, 3] {
                for column in [0, 3] {
                    let block = turn * share.fixed_view::<3, 3>(row, column) * turn.transpose();
                    global.fixed_view_mut::<3, 3>(row, column).copy_from(&block);
                }
            }
            (*node, global)
        });
        let turned: Vec<(u32, Matrix6<f64>)> = turned.collect();
        let node = self.node;
        Axis::ALL.into_iter().map(move |axis| Tie {
            dof: Dof { node, axis },
            follows: turned
                .iter()
                .flat_map(|(other, share)| {
                    Axis::ALL.into_iter().map(move |of| {
                        (
                            Dof {
                                node: *other,
                                axis: of,
                            },
                            share[(axis.index(), of.index())],
                        )
                    })
                })
                .filter(|(_, share)| *share != 0.0)
                .collect(),
            offset: 0.0,
        })
    }
}

/// All ties for small changes from where all is now.
pub(crate) fn ties_now(ties: &[Tie], carried: &[CarriedNode], state: &State) -> Vec<Tie> {
    let mut nodes: Vec<u32> = carried.iter().map(|carried| carried.node).collect();
    nodes.sort_unstable();
    let stay = ties
        .iter()
        .filter(|tie| nodes.binary_search(&tie.dof.node).is_err())
        .cloned();
    stay.chain(carried.iter().flat_map(|carried| carried.ties(state)))
        .collect()
}
