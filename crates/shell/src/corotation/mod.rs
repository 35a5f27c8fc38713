//! Movements that are not small: the load in steps, each to balance, with triangles that turn as they go.
//!
//! Strains stay small and elastic; movements and turns may be of any size. See `triangle.rs` for the frame that goes with
//! each triangle, `ties.rs` and `links.rs` for what becomes of ties, springs and seats.

mod balance;
mod links;
#[cfg(test)]
mod tests;
mod ties;
mod triangle;
mod turn;

use std::borrow::Cow;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use nalgebra::{UnitQuaternion, Vector6};
use thiserror::Error;

use self::balance::{Balance, Missed};
use crate::prepare::made_ready;
use crate::{
    Frame, LoadCase, LoadError, Mesh, Model, PanelForces, Point, PrepareError, Solution, SolveError,
};

/// Limits of a solution in steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LargeOptions {
    /// Most steps, those that were tried in vain included.
    pub most_steps: u32,
    /// Most rounds in a step.
    pub most_iterations: u32,
    /// Most that a step may turn anything by at first sight, rad.
    pub most_turn_rad: f64,
}

impl Default for LargeOptions {
    fn default() -> Self {
        Self {
            most_steps: 200,
            most_iterations: 30,
            most_turn_rad: 0.35,
        }
    }
}

/// Why the load was not reached in full.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stopped {
    /// The part buckles or snaps through just above the part of the load that was reached.
    GivesWay,
    /// Steps became so small that nothing moves on.
    StepsTooSmall,
    /// The steps allowed were used up.
    MostSteps,
}

/// What a load does when movements are not small.
#[derive(Debug, Clone, PartialEq)]
pub struct LargeSolution {
    /// Movement of every node, mm, and the rotation vector of its turn, rad, in global axes. Turns are told up to half a
    /// turn; one beyond comes round from the other side.
    pub moves: Vec<Vector6<f64>>,
    /// What every triangle carries, in axes that are those of its first edge before it moved and go with it.
    pub forces: Vec<PanelForces>,
    /// What each seat pushes with, N.
    pub seats_n: Vec<f64>,
    /// Steps that were taken.
    pub steps: u32,
    /// Rounds in all, each with one factorisation; those in vain included.
    pub iterations: u32,
    /// The part of the load that is balanced: 1 when all of it.
    pub reached: f64,
    /// Why not all of it; none when it was.
    pub stopped: Option<Stopped>,
}

/// Why there is no solution, not even of a part of the load.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum LargeError {
    /// The model cannot be made ready.
    #[error(transparent)]
    Prepare(#[from] PrepareError),
    /// The load cannot be applied, or not even the linear answer exists.
    #[error(transparent)]
    Solve(#[from] SolveError),
    /// The load cannot be applied.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// A limit that is not above 0.
    #[error("a limit of the steps is not above 0")]
    BadOptions,
}

/// Where all nodes are.
#[derive(Debug, Clone)]
pub(crate) struct State {
    pub(crate) places: Vec<Point>,
    pub(crate) turns: Vec<UnitQuaternion<f64>>,
}

/// A step below this part of the load is none.
const LEAST_STEP: f64 = 1e-4;
/// The part of the turn allowed that a step aims at, so that few overshoot it.
const AIM: f64 = 0.7;
/// A step that took no more rounds than this may be followed by a larger one.
const FEW: u32 = 12;
/// By how much at most.
const GROWTH: f64 = 2.0;

/// Solves for a load with movements and turns of any size, by corotation (Nour-Omid and Rankin 1991; Felippa and Haugen
/// 2005) and Newton's method with load steps that fit themselves.
///
/// Forces, pressure and weight keep the directions they have before anything moves, and so do moments (on small
/// changes from where a node stands). Prescribed movements and preloads grow with the load. Rigid and distributing couplings
/// and feet on surfaces turn with their nodes; other ties hold in global axes for each small change. Springs to the ground
/// keep their axes, springs between nodes turn with the node `to`. Seats keep their place and direction, push where their
/// node presses in, and open and close in every round. Stiffness is made symmetric, and what applied moments add that is not
/// symmetric is put back by repeats: rounds are quadratic where forces balance. Large moments on a part that can twist freely
/// may still end the steps early.
///
/// Where the part buckles or snaps through, the solution ends at the last step before. A perfectly straight column stays
/// straight up to there.
///
/// # Errors
/// When the model or the load cannot be worked with even for small movements. A load that is reached in part is no error: see
/// [`LargeSolution::reached`].
pub fn large(model: &Model, case: &LoadCase, options: LargeOptions) -> Result<LargeSolution, LargeError> {
    large_while(model, case, options, &Arc::default())
}

/// As [`large`], until `stop` is set by whoever no longer wants it: it is looked at before every round.
///
/// # Errors
/// [`SolveError::NotWanted`] or [`PrepareError::NotWanted`] once it was set; else as [`large`].
pub fn large_while(
    model: &Model,
    case: &LoadCase,
    options: LargeOptions,
    stop: &Arc<AtomicBool>,
) -> Result<LargeSolution, LargeError> {
    let positive = options.most_turn_rad > 0.0 && options.most_turn_rad.is_finite();
    if !positive || options.most_steps == 0 || options.most_iterations == 0 {
        return Err(LargeError::BadOptions);
    }
    let linear = made_ready(Cow::Borrowed(model), stop)?.solve(case)?;
    let balance = Balance {
        model,
        carried: ties::carried(&model.mesh, &model.ties),
        load: model.forces(case)?,
        size_mm: size_mm(&model.mesh),
        options,
        stop,
    };
    let mut state = State {
        places: model.mesh.nodes.clone(),
        turns: vec![UnitQuaternion::identity(); model.mesh.nodes.len()],
    };
    let aim = AIM * options.most_turn_rad;
    let mut step = (aim / largest_turn(&linear.moves)).min(1.0);
    let (mut reached, mut steps, mut iterations) = (0.0, 0, 0);
    let mut stopped = None;
    // The least part of the load at which the part was seen to give way.
    let mut gives_way_at = f64::INFINITY;
    for tried in 0.. {
        if reached >= 1.0 {
            break;
        }
        if step < LEAST_STEP || tried >= options.most_steps {
            stopped = Some(if gives_way_at.is_finite() {
                Stopped::GivesWay
            } else if step < LEAST_STEP {
                Stopped::StepsTooSmall
            } else {
                Stopped::MostSteps
            });
            break;
        }
        // No sliver at the end.
        let target = if reached + 1.01 * step >= 1.0 {
            1.0
        } else {
            reached + step
        };
        let mut trial = state.clone();
        match balance.step(&mut trial, reached, target) {
            Ok(done) => {
                state = trial;
                let by_turn = if done.turn_rad > 0.0 {
                    aim / done.turn_rad
                } else {
                    GROWTH
                };
                let growth = if done.iterations <= FEW { GROWTH } else { 1.0 };
                step = (target - reached) * by_turn.min(growth);
                step = step.min(0.5 * (gives_way_at - target));
                reached = target;
                steps += 1;
                iterations += done.iterations;
            }
            Err(missed) => {
                let part = match missed {
                    Missed::TooFar(turn) => (aim / turn).min(0.5),
                    Missed::GivesWay | Missed::Unsettled => 0.5,
                    Missed::NotWanted => return Err(SolveError::NotWanted.into()),
                };
                step = (target - reached) * part;
                iterations += 1;
                if missed == Missed::GivesWay {
                    gives_way_at = target;
                }
            }
        }
    }
    Ok(LargeSolution {
        moves: moves(&model.mesh, &state),
        forces: forces(&balance, &state),
        seats_n: model
            .seats
            .iter()
            .map(|seat| seat.stiffness_n_mm * links::pressed_mm(seat, &model.mesh, &state).max(0.0))
            .collect(),
        steps,
        iterations,
        reached,
        stopped,
    })
}

fn moves(mesh: &Mesh, state: &State) -> Vec<Vector6<f64>> {
    mesh.nodes
        .iter()
        .zip(state.places.iter().zip(&state.turns))
        .map(|(before, (now, turn))| {
            let mut six = Vector6::zeros();
            six.fixed_rows_mut::<3>(0).copy_from(&(now - before));
            six.fixed_rows_mut::<3>(3).copy_from(&turn.scaled_axis());
            six
        })
        .collect()
}

/// What the triangles carry, one by one with the movements that are left when each has been carried along.
fn forces(balance: &Balance<'_>, state: &State) -> Vec<PanelForces> {
    let mesh = &balance.model.mesh;
    (0..mesh.triangles.len())
        .map(|triangle| {
            let frame = Frame::along_edge(&mesh.corners(triangle));
            crate::stress::carried(mesh, triangle, &frame, balance.triangle(state, triangle).bent())
        })
        .collect()
}

fn size_mm(mesh: &Mesh) -> f64 {
    let spread = |axis: usize| {
        let (low, high) = mesh
            .nodes
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), node| {
                (low.min(node[axis]), high.max(node[axis]))
            });
        high - low
    };
    spread(0).max(spread(1)).max(spread(2))
}

fn largest_turn(moves: &[Vector6<f64>]) -> f64 {
    moves
        .iter()
        .map(|six| six.fixed_rows::<3>(3).norm())
        .fold(f64::MIN_POSITIVE, f64::max)
}

/// How large the movements of a linear answer are, and whether it should be believed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Large {
    /// Largest turn of a node, rad.
    pub turn_rad: f64,
    /// Largest movement of a node over the thickness of the plate there.
    pub over_thickness: f64,
}

impl Large {
    /// A turn above this, rad (6 degrees), moves lever arms by half a per cent and more.
    pub const MOST_TURN_RAD: f64 = 0.1;
    /// A movement above so many thicknesses may stretch the plate as well as bend it. Common practice, no source; a plate
    /// that is held all round stiffens by a quarter from one thickness on.
    pub const MOST_OVER_THICKNESS: f64 = 3.0;

    /// Whether the linear answer stands without being marked.
    #[must_use]
    pub fn is_small(&self) -> bool {
        self.turn_rad <= Self::MOST_TURN_RAD && self.over_thickness <= Self::MOST_OVER_THICKNESS
    }
}

/// Measures the movements of a linear answer against what it was made for. Nodes that no triangle touches count with their
/// turn only.
#[must_use]
pub fn believable(mesh: &Mesh, solution: &Solution) -> Large {
    let mut over_thickness = 0.0_f64;
    for (triangle, nodes) in mesh.triangles.iter().enumerate() {
        for &node in nodes {
            if let Some(six) = solution.moves.get(node as usize) {
                let moved = six.fixed_rows::<3>(0).norm();
                over_thickness = over_thickness.max(moved / mesh.section(triangle).thickness_mm);
            }
        }
    }
    let turn_rad = solution
        .moves
        .iter()
        .map(|six| six.fixed_rows::<3>(3).norm())
        .fold(0.0, f64::max);
    Large {
        turn_rad,
        over_thickness,
    }
}
