//! Forces of everything that has moved, and the search for where they balance.

use std::sync::atomic::{AtomicBool, Ordering};

use nalgebra::Vector6;

use super::{
    LargeOptions, State, links,
    ties::{CarriedNode, ties_now},
    triangle::{Carried, Moved, Tangent},
};
use crate::{
    Model, Vector,
    assemble::Pattern,
    element::{Vector18, gathered},
    factor::Factor,
    load::{by_node, flat},
    prepare::{hold_slack, lay_out},
    reduce::Reduction,
};

/// A round that moves nothing by more than this part of the size of the mesh, and turns nothing by more than this, rad, is
/// the last: the error that is left goes with its square.
const SETTLED: f64 = 1e-7;
/// Repeats of a round for the part of the stiffness that is not symmetric.
const MOST_REPEATS: usize = 8;
/// A repeat that changes the largest turn by less than this part is the last: a hundredth of what rounds gain.
const REPEATED: f64 = 1e-4;
/// Turns in later rounds may be larger than the first by this before the step is given up.
const OVERSHOOT: f64 = 4.0;

/// Why a step did not end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Missed {
    /// The first round would turn something by this much, rad: more than allowed.
    TooFar(f64),
    /// Forces balance, but the part gives way there: it buckles or snaps through.
    GivesWay,
    /// The rounds did not settle.
    Unsettled,
    /// Nobody wanted it any longer.
    NotWanted,
}

/// A model with what does not change from step to step.
pub(crate) struct Balance<'a> {
    pub(crate) model: &'a Model,
    pub(crate) carried: Vec<CarriedNode>,
    /// The full load.
    pub(crate) load: Vec<Vector6<f64>>,
    /// Largest distance between nodes along an axis, mm.
    pub(crate) size_mm: f64,
    pub(crate) options: LargeOptions,
    pub(crate) stop: &'a AtomicBool,
}

/// How a step ended.
pub(crate) struct Step {
    pub(crate) iterations: u32,
    /// Largest turn in the first round, rad.
    pub(crate) turn_rad: f64,
}

impl Balance<'_> {
    /// Moves a state that balances a part `before` of the load to where it balances a part `after`.
    pub(crate) fn step(&self, state: &mut State, before: f64, after: f64) -> Result<Step, Missed> {
        let mut first_turn = 0.0;
        let mut bent: Option<Vec<Vector18>> = None;
        for round in 0..self.options.most_iterations {
            if self.stop.load(Ordering::Relaxed) {
                return Err(Missed::NotWanted);
            }
            let (reduction, pattern) = self.reduced(state).ok_or(Missed::Unsettled)?;
            if round == 0 && reduction.has_offsets {
                let moved: Vec<f64> = reduction
                    .offset
                    .iter()
                    .map(|offset| offset * (after - before))
                    .collect();
                self.advance(state, &moved);
            }
            let mut free = vec![0.0; pattern.unknowns()];
            let applied: Vec<Vector6<f64>> = self.load.iter().map(|load| load * after).collect();
            let held = self.forces(state);
            let left: Vec<Vector6<f64>> = applied
                .iter()
                .zip(&held)
                .map(|(load, force)| load - force)
                .collect();
            // What takes no part is not loaded: the linear solution has been through this.
            let _ = reduction.restrict(&flat(&left), &mut free);
            // On the way to balance the full stiffness may be negative for a round; where forces balance it may not.
            let bent_now = bent.as_deref();
            let full = self.factor(state, &pattern, &reduction, Tangent::Full, bent_now);
            let is_stable = full.is_some();
            let factor = full
                .or_else(|| self.factor(state, &pattern, &reduction, Tangent::OfMaterial, bent_now))
                .ok_or(Missed::Unsettled)?;
            let change = with_moments(&factor, &reduction, &free, &applied);
            if change.iter().any(|value| !value.is_finite()) {
                return Err(Missed::Unsettled);
            }
            let (movement, turn) = largest(&change);
            if round == 0 {
                first_turn = turn;
                if turn > self.options.most_turn_rad {
                    return Err(Missed::TooFar(turn));
                }
            } else if turn > OVERSHOOT * self.options.most_turn_rad {
                return Err(Missed::Unsettled);
            }
            bent = Some(self.bent_further(state, &change));
            self.advance(state, &change);
            // Never the first round: its stiffness is that of where the step began.
            if round > 0 && movement <= SETTLED * self.size_mm && turn <= SETTLED {
                if !is_stable {
                    return Err(Missed::GivesWay);
                }
                return Ok(Step {
                    iterations: round + 1,
                    turn_rad: first_turn,
                });
            }
        }
        Err(Missed::Unsettled)
    }

    /// Ties for small changes from a state, and the layout of the stiffness.
    fn reduced(&self, state: &State) -> Option<(Reduction, Pattern)> {
        let ties = ties_now(&self.model.ties, &self.carried, state);
        // The same ties as those of the model but for their shares, which passed when it was made ready.
        let mut reduction = Reduction::new(self.model.mesh.nodes.len(), &ties).ok()?;
        let pattern = lay_out(self.model, &mut reduction)?;
        Some((reduction, pattern))
    }

    /// Adds movements and turns of all nodes.
    fn advance(&self, state: &mut State, change: &[f64]) {
        for ((place, turn), change) in state.places.iter_mut().zip(&mut state.turns).zip(by_node(change)) {
            *place += change.fixed_rows::<3>(0);
            *turn =
                nalgebra::UnitQuaternion::from_scaled_axis(change.fixed_rows::<3>(3).into_owned()) * *turn;
            turn.renormalize();
        }
        for carried in &self.carried {
            carried.place(&self.model.mesh, state);
        }
    }

    /// What each triangle would be bent by if it took a change to first order. Turning lengthens every line to second order
    /// and so pulls; the stiffness of the next round is made without that pull, which the round itself takes away again.
    /// (D. Magisano, L. Leonetti, G. Garcea, Computer Methods in Applied Mechanics and Engineering 313 (2017) 496-514, do so
    /// with stresses at points.)
    fn bent_further(&self, state: &State, change: &[f64]) -> Vec<Vector18> {
        let mesh = &self.model.mesh;
        let change = by_node(change);
        (0..mesh.triangles.len())
            .map(|triangle| {
                let own = gathered(mesh, triangle, &change);
                self.triangle(state, triangle).bent_further(&own)
            })
            .collect()
    }

    /// A triangle as it stands.
    pub(crate) fn triangle(&self, state: &State, triangle: usize) -> Carried {
        let mesh = &self.model.mesh;
        let nodes = mesh.triangles[triangle].map(|node| node as usize);
        Carried::new(&Moved {
            corners: mesh.corners(triangle),
            section: mesh.section(triangle),
            places: nodes.map(|node| state.places[node]),
            turns: nodes.map(|node| state.turns[node]),
        })
    }

    /// What holds everything elastic as it stands, on all nodes.
    pub(crate) fn forces(&self, state: &State) -> Vec<Vector6<f64>> {
        let model = self.model;
        let mut forces = vec![Vector6::zeros(); model.mesh.nodes.len()];
        for (triangle, nodes) in model.mesh.triangles.iter().enumerate() {
            let own = self.triangle(state, triangle).forces();
            for (corner, &node) in nodes.iter().enumerate() {
                forces[node as usize] += own.fixed_rows::<6>(6 * corner);
            }
        }
        for spring in &model.springs {
            let (on_from, on_to, _) = links::spring(spring, &model.mesh, state);
            forces[spring.from as usize] += on_from;
            if let Some(to) = spring.to {
                forces[to as usize] += on_to;
            }
        }
        for seat in &model.seats {
            let pressed = links::pressed_mm(seat, &model.mesh, state);
            if pressed > 0.0 {
                let mut own = forces[seat.node as usize].fixed_rows_mut::<3>(0);
                own -= seat.push * (seat.stiffness_n_mm * pressed);
            }
        }
        forces
    }

    /// The stiffness as everything stands, factored; none when something gives way. What forces add is made from `bent`, or from
    /// how the triangles are bent.
    fn factor(
        &self,
        state: &State,
        pattern: &Pattern,
        reduction: &Reduction,
        which: Tangent,
        bent: Option<&[Vector18]>,
    ) -> Option<Factor> {
        let model = self.model;
        let mut values = pattern.zeros();
        for (triangle, nodes) in model.mesh.triangles.iter().enumerate() {
            let carried = self.triangle(state, triangle);
            let own = carried.tangent(which, bent.map_or(carried.bent(), |bent| &bent[triangle]));
            pattern.add_reduced(&mut values, reduction, nodes, own.as_slice());
        }
        for spring in &model.springs {
            let (_, _, both) = links::spring(spring, &model.mesh, state);
            match spring.to {
                Some(to) => {
                    pattern.add_reduced(&mut values, reduction, &[spring.from, to], both.as_slice());
                }
                None => {
                    let own = links::grounded(&both);
                    pattern.add_reduced(&mut values, reduction, &[spring.from], own.as_slice());
                }
            }
        }
        for seat in &model.seats {
            // One that just touches counts as closed, so that a part which rests on its seats is held at first.
            if links::pressed_mm(seat, &model.mesh, state) >= 0.0 {
                pattern.add_reduced(&mut values, reduction, &[seat.node], seat.stiffness().as_slice());
            }
        }
        hold_slack(pattern, &mut values);
        Factor::new(&pattern.with(&values)).ok()
    }
}

/// Solves for the change that takes away the forces `free`, with the part of the stiffness that is not symmetric: applied
/// moments `m`, which keep their direction, add `-m x turn / 2` to what a node resists. Taken to the other side and repeated; left
/// out when that does not get smaller quickly, which costs further rounds.
fn with_moments(factor: &Factor, reduction: &Reduction, free: &[f64], applied: &[Vector6<f64>]) -> Vec<f64> {
    let mut solved = free.to_vec();
    factor.solve_in_place(&mut solved);
    let plain = reduction.expand_change(&solved);
    if applied.iter().all(|six| six.fixed_rows::<3>(3).norm() == 0.0) {
        return plain;
    }
    let mut change = plain.clone();
    let mut last = f64::INFINITY;
    for _ in 0..MOST_REPEATS {
        let turning: Vec<Vector6<f64>> = by_node(&change)
            .iter()
            .zip(applied)
            .map(|(change, applied)| {
                let moment: Vector = applied.fixed_rows::<3>(3).into_owned();
                let turn: Vector = change.fixed_rows::<3>(3).into_owned();
                let mut six = Vector6::zeros();
                six.fixed_rows_mut::<3>(3).copy_from(&(moment.cross(&turn) * 0.5));
                six
            })
            .collect();
        let mut further = free.to_vec();
        let _ = reduction.restrict(&flat(&turning), &mut further);
        factor.solve_in_place(&mut further);
        let next = reduction.expand_change(&further);
        let moved: Vec<f64> = next.iter().zip(&change).map(|(next, now)| next - now).collect();
        let (_, turn) = largest(&moved);
        if !turn.is_finite() || turn >= 0.7 * last {
            return plain;
        }
        change = next;
        let (_, whole) = largest(&change);
        if turn <= REPEATED * whole {
            break;
        }
        last = turn;
    }
    change
}

/// Largest movement and turn of a node.
fn largest(change: &[f64]) -> (f64, f64) {
    let mut most = (0.0_f64, 0.0_f64);
    for node in by_node(change) {
        most.0 = most.0.max(node.fixed_rows::<3>(0).norm());
        most.1 = most.1.max(node.fixed_rows::<3>(3).norm());
    }
    most
}
