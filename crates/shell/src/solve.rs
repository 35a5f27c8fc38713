//! Loads on a model that is ready.

use nalgebra::Vector6;
use rayon::prelude::*;
use thiserror::Error;

use crate::{
    Dof, LoadCase, LoadError, PER_NODE, Prepared, Solution, Vector,
    load::{add_force, by_node, flat},
    prepare::Touching,
    seat::Undecided,
};

/// Why a load cannot be solved for.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum SolveError {
    /// Nobody wanted it any longer: see [`crate::prepare_while`].
    #[error("nobody wanted it any longer")]
    NotWanted,
    /// The load cannot be applied.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// The load acts on something that nothing stiff touches.
    #[error("the load acts on node {}, which nothing holds ({:?})", .dof.node, .dof.axis)]
    Unheld {
        /// The unknown.
        dof: Dof,
    },
    /// Seats only push, and no set of them holds the load by pushing.
    #[error("the load lifts the part off its seats, and nothing else holds it")]
    LiftsOff,
    /// Which seats carry was not decided within the rounds allowed.
    #[error("which of the {seats} seats carry the load was not decided")]
    SeatsUndecided {
        /// Number of seats.
        seats: usize,
    },
}

/// Solutions that leave more than this part of the largest force unbalanced are solved for once more with what is left.
const REFINE_ABOVE: f64 = 1e-9;

/// Solutions whose forces are further out of balance than this are refined: a tenth of what is promised.
const BALANCED: f64 = 1e-9;

/// A load on its way through.
struct Pending {
    forces: Vec<Vector6<f64>>,
    free: Vec<f64>,
}

impl Prepared<'_> {
    /// Solves for one load.
    ///
    /// # Errors
    /// When the load cannot be applied, or the seats cannot hold it.
    pub fn solve(&self, case: &LoadCase) -> Result<Solution, SolveError> {
        let mut free = Vec::new();
        let pending = self.pend(case, &mut free)?;
        self.factor.solve_in_place(&mut free);
        self.finish(case, pending, free)
    }

    /// Solves for several loads, each with the bytes that [`Self::solve`] gives, whatever the number of threads. They go
    /// through the factor together, which costs little more than one: the factor is read once for all.
    pub fn solve_all(&self, cases: &[LoadCase]) -> Vec<Result<Solution, SolveError>> {
        let mut columns = Vec::new();
        let pending: Vec<Result<Pending, SolveError>> =
            cases.iter().map(|case| self.pend(case, &mut columns)).collect();
        self.factor.solve_in_place(&mut columns);
        // One column for each load that could be applied, in order.
        let mut columns = columns.chunks_exact(self.unknowns().max(1));
        let pending: Vec<Result<_, SolveError>> = cases
            .iter()
            .zip(pending)
            .map(|(case, pending)| {
                let pending = pending?;
                let free = columns.next().map_or_else(Vec::new, <[f64]>::to_vec);
                Ok((case, pending, free))
            })
            .collect();
        pending
            .into_par_iter()
            .map(|pending| {
                let (case, pending, free) = pending?;
                if self.is_stopped() {
                    return Err(SolveError::NotWanted);
                }
                self.finish(case, pending, free)
            })
            .collect()
    }

    /// Forces on the free unknowns.
    ///
    /// They are added to `columns` as well; nothing is when the load cannot be applied.
    fn pend(&self, case: &LoadCase, columns: &mut Vec<f64>) -> Result<Pending, SolveError> {
        let forces = self.model.forces(case)?;
        let mut free = self.from_offsets.clone();
        if let Some(dof) = self.reduction.restrict(&flat(&forces), &mut free) {
            return Err(SolveError::Unheld { dof });
        }
        if let Some(&unknown) = self.slack.iter().find(|&&unknown| free[unknown as usize] != 0.0) {
            return Err(SolveError::Unheld {
                dof: Dof::at(self.pattern.place(unknown as usize)),
            });
        }
        columns.extend_from_slice(&free);
        Ok(Pending { forces, free })
    }

    /// Solves once more for what a solution leaves of its right-hand side if that is too much.
    fn refine(&self, columns: &mut [f64], right: &[f64]) {
        let mut left = right.to_vec();
        self.operator().multiply(-1.0, columns, &mut left);
        let largest = |values: &[f64]| values.iter().fold(0.0_f64, |most, value| most.max(value.abs()));
        if largest(&left) > REFINE_ABOVE * largest(right) {
            self.factor.solve_in_place(&mut left);
            for (value, change) in columns.iter_mut().zip(&left) {
                *value += change;
            }
        }
    }

    /// Solves once more for what the forces that the triangles themselves put up leave of a right-hand side. The product
    /// with the assembled stiffness forgets, for a part that moves far as a whole, more of these than this does.
    fn refine_by_triangles(&self, free: &mut [f64], right: &[f64]) {
        let moves = self.reduction.expand_change(free);
        let mut forces = self.resistance(&Touching::all(&self.model), &moves);
        for force in &mut forces {
            *force = -*force;
        }
        let mut left = right.to_vec();
        // Nothing that takes no part is stiff, so nothing acts on it here.
        let _ = self.reduction.restrict(&forces, &mut left);
        self.seats.add_closed(-1.0, free, &mut left);
        self.factor.solve_in_place(&mut left);
        for (value, change) in free.iter_mut().zip(&left) {
            *value += change;
        }
    }

    /// Decides on the seats and recovers what all else does.
    fn finish(
        &self,
        case: &LoadCase,
        mut pending: Pending,
        mut free: Vec<f64>,
    ) -> Result<Solution, SolveError> {
        let mut open = Vec::new();
        if self.seats.count() > 0 {
            let compliance = self
                .compliance
                .get_or_init(|| self.seats.compliance(&self.factor));
            let (added, decided) = self
                .seats
                .decide(compliance, &self.seats.moved_mm(&free))
                .map_err(|undecided| match undecided {
                    Undecided::LiftsOff => SolveError::LiftsOff,
                    Undecided::TooLong => SolveError::SeatsUndecided {
                        seats: self.seats.count(),
                    },
                })?;
            if added.iter().any(|&force| force != 0.0) {
                self.seats.add_forces(&added, &mut pending.free);
                free.copy_from_slice(&pending.free);
                self.factor.solve_in_place(&mut free);
            }
            open = decided;
        }
        self.refine(&mut free, &pending.free);
        let seats_n = self.seats.pushes_n(&free, &open);
        let solution = self.recover(case, &pending.forces, &free, seats_n);
        if self.out_of_balance(case, &solution)? <= BALANCED {
            return Ok(solution);
        }
        self.refine_by_triangles(&mut free, &pending.free);
        let seats_n = self.seats.pushes_n(&free, &open);
        Ok(self.recover(case, &pending.forces, &free, seats_n))
    }

    fn recover(&self, case: &LoadCase, forces: &[Vector6<f64>], free: &[f64], seats_n: Vec<f64>) -> Solution {
        let model = self.model.as_ref();
        let all = self.reduction.expand(free);
        let moves = by_node(&all);

        let mut springs: Vec<Vector6<f64>> = model
            .springs
            .iter()
            .map(|spring| -(spring.stiffness * spring.to_own(&spring.stretch(&moves))))
            .collect();
        for &(spring, preload) in &case.preloads {
            springs[spring as usize] += preload;
        }

        // What is missing for equilibrium at each unknown: only ties can supply it.
        let mut missing = self.resistance(&self.touching_ties, &all);
        let mut applied = flat(forces);
        for (seat, push) in model.seats.iter().zip(&seats_n) {
            for axis in 0..3 {
                applied[seat.node as usize * PER_NODE + axis] += push * seat.push[axis];
            }
        }
        for (missing, applied) in missing.iter_mut().zip(&applied) {
            *missing -= applied;
        }
        let ties = self.reduction.tie_forces(&model.ties, &missing);

        // Work of all forces on what is elastic, half of which it stores; ties only work where they prescribe a movement.
        let of_forces: f64 = applied.iter().zip(&all).map(|(force, moved)| force * moved).sum();
        let of_ties: f64 = model
            .ties
            .iter()
            .zip(&ties)
            .map(|(tie, force)| tie.offset * force)
            .sum();
        let in_seats: f64 = model
            .seats
            .iter()
            .zip(&seats_n)
            .map(|(seat, push)| 0.5 * push * push / seat.stiffness_n_mm)
            .sum();
        Solution {
            moves,
            springs,
            seats_n,
            ties,
            energy_n_mm: 0.5 * (of_forces + of_ties) + in_seats,
        }
    }

    /// How far loads, springs to the ground, seats and ties are from balancing one another: the sum of all forces as a part
    /// of the sum of their sizes, or that of all moments about the middle of the mesh likewise, whichever is larger. 0
    /// when nothing acts.
    ///
    /// # Errors
    /// When the load cannot be applied.
    pub fn out_of_balance(&self, case: &LoadCase, solution: &Solution) -> Result<f64, LoadError> {
        let model = self.model.as_ref();
        let mut acting = model.forces(case)?;
        for (spring, force) in model.springs.iter().zip(&solution.springs) {
            // Between two nodes a spring balances itself, once the preload that `forces` put on both is taken as part of it.
            let turned = spring.to_global(force);
            acting[spring.from as usize] += turned;
            if let Some(to) = spring.to {
                acting[to as usize] -= turned;
            }
        }
        for &(spring, preload) in &case.preloads {
            // Told twice: in the load and in what the spring does.
            let spring = &model.springs[spring as usize];
            let turned = spring.to_global(&preload);
            acting[spring.from as usize] -= turned;
            if let Some(to) = spring.to {
                acting[to as usize] += turned;
            }
        }
        for (seat, push) in model.seats.iter().zip(&solution.seats_n) {
            add_force(&mut acting, seat.node, &(seat.push * *push));
        }
        for (tie, &force) in model.ties.iter().zip(&solution.ties) {
            acting[tie.dof.node as usize][tie.dof.axis.index()] += force;
            for &(dof, share) in &tie.follows {
                acting[dof.node as usize][dof.axis.index()] -= share * force;
            }
        }
        let nodes = &model.mesh.nodes;
        let middle: Vector = nodes.iter().map(|node| node.coords / nodes.len() as f64).sum();
        let (mut force, mut moment) = (Vector::zeros(), Vector::zeros());
        let (mut all_force, mut all_moment) = (0.0, 0.0);
        for (place, acting) in nodes.iter().zip(&acting) {
            let own: Vector = acting.fixed_rows::<3>(0).into_owned();
            let turning: Vector = acting.fixed_rows::<3>(3).into_owned();
            let about = (place.coords - middle).cross(&own);
            force += own;
            moment += about + turning;
            all_force += own.norm();
            all_moment += about.norm() + turning.norm();
        }
        let part = |sum: f64, all: f64| if all > 0.0 { sum / all } else { 0.0 };
        Ok(part(force.norm(), all_force).max(part(moment.norm(), all_moment)))
    }
}
