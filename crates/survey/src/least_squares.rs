//! Weighted least squares with exact conditions: Gauss-Newton steps on sparse normal equations, damped when they
//! overshoot.
//!
//! Gauss-Newton and the covariance of its result: C. D. Ghilani, Adjustment Computations, chapters 11 to 15. Damping:
//! D. W. Marquardt, J. SIAM 11 (1963), scaled by the diagonal. Exact conditions by Lagrange multipliers on the normal
//! equations, which the conditions' own outer products may stiffen without changing the answer: J. Nocedal and S. J.
//! Wright, Numerical Optimization, chapters 16 and 18.

use crate::normal::{Normal, Whitened, exact, slope_size, weighing};
use crate::sparse::{Plan, Room};

/// One row of a problem at a trial place.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What the model says less what was read.
    pub misfit: f64,
    /// One over the square of the standard deviation; 0 for a row that only watches, infinite for a condition that
    /// must hold exactly.
    pub weight: f64,
    /// How the misfit moves with each unknown that moves it, sorted by unknown, each once.
    pub slopes: Vec<(usize, f64)>,
}

/// Something to be fitted: unknowns and rows.
pub trait Model {
    /// How many unknowns.
    fn unknowns(&self) -> usize;

    /// The rows for these values of the unknowns, always as many and in one order; `None` where the model has no value
    /// (then the step is shortened). A misfit that is not finite counts as no value.
    fn rows(&self, at: &[f64]) -> Option<Vec<Row>>;

    /// Are the weights truly one over the variance, so that a step can be called small against them? If not, the
    /// scatter of the fit itself is the measure.
    fn weights_are_known(&self) -> bool;
}

/// How the search is run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Search {
    /// Most steps, counting those that were taken back.
    pub steps: usize,
    /// Damping at the start, as a share of the diagonal. 0 for problems with good starts.
    pub damping: f64,
}

impl Default for Search {
    fn default() -> Self {
        Self {
            steps: 200,
            damping: 0.0,
        }
    }
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoFit {
    /// The start has no value.
    #[error("the model has no value at the start")]
    NoStart,
    /// The steps ran out.
    #[error("no answer after {steps} steps; the last step was {last_step:.3e} standard deviations")]
    NotConverged {
        /// Steps tried.
        steps: usize,
        /// Size of the last step, in standard deviations.
        last_step: f64,
    },
    /// These unknowns can move together and no row feels it.
    #[error("nothing determines {} of the unknowns", unknowns.len())]
    Loose {
        /// The unknowns, the freest first.
        unknowns: Vec<usize>,
    },
    /// An exact condition cannot hold together with the others.
    #[error("exact condition {row} misses by {misses_by:.3e}")]
    Conflict {
        /// The row.
        row: usize,
        /// What is left of its misfit.
        misses_by: f64,
    },
}

/// The answer.
#[derive(Debug, Clone)]
pub struct Fitted {
    /// Values of the unknowns.
    pub at: Vec<f64>,
    /// The rows there.
    pub rows: Vec<Row>,
    /// Weighted sum of the squared misfits, exact rows left out.
    pub sum: f64,
    /// Rows that weigh, less unknowns, plus independent exact conditions.
    pub freedom: usize,
    /// Steps taken.
    pub steps: usize,
    normal: Normal,
}

impl Fitted {
    /// Variance of one unknown for unit weight: multiply by the variance of unit weight where weights are not known.
    #[must_use]
    pub fn cofactor(&self, unknown: usize) -> f64 {
        let mut room = Room::default();
        let w = self.normal.whitened(&[(unknown, 1.0)], &mut room);
        w.times(&w)
    }

    pub(crate) fn whitened(&self, row: &[(usize, f64)], room: &mut Room) -> Whitened {
        self.normal.whitened(row, room)
    }

    /// a Q a^T of every row, in order.
    pub(crate) fn cofactors_of_rows(&self) -> Vec<f64> {
        self.normal.cofactors(&self.rows)
    }

    /// The covariance of a row with every unknown.
    pub(crate) fn covariance_of(&self, row: &[(usize, f64)], room: &mut Room) -> Vec<f64> {
        self.normal.covariance_of(row, room)
    }
}

/// A step smaller than this many standard deviations ends the search. The step is still taken, and the error left
/// after it is smaller by the rate at which Gauss-Newton converges.
const SMALL_STEP: f64 = 1e-8;
/// Damping below this is none: it changes a step less than [`SMALL_STEP`] needs.
const NO_DAMPING: f64 = 1e-9;
/// Damping to begin with when an undamped step fails.
const FIRST_DAMPING: f64 = 1e-4;
/// Damping above this leaves steps that no longer move anything.
const MOST_DAMPING: f64 = 1e16;
/// An undamped step smaller than this many standard deviations is taken unasked: the fall that it promises, about its
/// square, is less than rounding leaves in the sum.
const TRUSTED_STEP: f64 = 1e-5;
/// A promise below this share of the sum is lost in the sum's own rounding.
const ROUNDING: f64 = 1e-12;
/// A step is taken when the sum falls by at least this share of what the slopes promised,
const LEAST_KEPT: f64 = 1e-4;
/// damped more when it keeps less than this,
const POORLY_KEPT: f64 = 0.25;
/// and less when it keeps more than this (J. More, Lecture Notes in Mathematics 630, 1978).
const WELL_KEPT: f64 = 0.75;
/// Exact conditions must hold to this share of their slopes' size (mm on mm): far under any reading.
const EXACT_TO: f64 = 1e-7;
/// The least weighted sum of squares near the start.
///
/// # Errors
/// See [`NoFit`].
pub fn minimise(model: &impl Model, start: &[f64], search: Search) -> Result<Fitted, NoFit> {
    let mut at = start.to_vec();
    let mut rows = finite_rows(model, &at).ok_or(NoFit::NoStart)?;
    let mut damping = search.damping;
    let mut widest = vec![0.0; model.unknowns()];
    let mut plan = None;
    let mut price = 0.0_f64;
    let mut last_step = f64::INFINITY;
    for steps in 1..=search.steps {
        let normal = match Normal::new(&rows, &mut widest, damping, plan.take()) {
            Ok(normal) => normal,
            // Singular here, but perhaps not where the search ends: walk on damped until it stands still.
            Err(_) if damping < FIRST_DAMPING && last_step > TRUSTED_STEP => {
                damping = FIRST_DAMPING;
                continue;
            }
            Err(singular) => {
                return Err(NoFit::Loose {
                    unknowns: singular.unknowns,
                });
            }
        };
        let (step, multiplier) = normal.step(&rows);
        price = price.max(2.0 * multiplier);
        let trial: Vec<f64> = at.iter().zip(&step).map(|(x, d)| x + d).collect();
        let before = cost(&rows, price);
        let promised = before - cost(&linear(&rows, &step), price);
        last_step = size(&rows, &step, scale(model, &rows));
        let undamped = damping <= NO_DAMPING;
        let new = finite_rows(model, &trial);
        let kept = new
            .as_ref()
            .map_or(-1.0, |new| (before - cost(new, price)) / promised);
        // A stiff reading bends the way down into a narrow valley where the sum rises along good steps; there a step is
        // good when the one after it is shorter (the natural test of P. Deuflhard, Newton Methods for Nonlinear
        // Problems, chapter 4).
        let closes_in = |new: &[Row]| undamped && normal.closes_in(&step, &rows, new);
        let good = new
            .as_ref()
            .is_some_and(|new| kept > LEAST_KEPT || closes_in(new));
        plan = Some(normal.into_plan());
        match new {
            // So near the end what a step promises is lost in rounding, and Gauss-Newton is to be trusted.
            Some(new) if good || (undamped && last_step <= TRUSTED_STEP) => {
                at = trial;
                rows = new;
                if undamped && last_step <= SMALL_STEP && conflict(&rows).is_none() {
                    return finish(model, at, rows, steps, plan);
                }
                damping = if undamped {
                    0.0
                } else if kept < POORLY_KEPT {
                    damping * 4.0
                } else {
                    damping / if kept > WELL_KEPT { 10.0 } else { 3.0 }
                };
            }
            // What the damped step promises cannot be seen: either this is the end, which an undamped step will tell,
            // or the damping is far too great.
            _ if !undamped && promised <= ROUNDING * before => damping = 0.0,
            _ => {
                damping = (damping * 10.0).max(FIRST_DAMPING);
                if damping > MOST_DAMPING {
                    let stuck = NoFit::NotConverged { steps, last_step };
                    return Err(conflict(&rows).unwrap_or(stuck));
                }
            }
        }
    }
    finish(model, at, rows, search.steps, plan)?;
    Err(NoFit::NotConverged {
        steps: search.steps,
        last_step,
    })
}

/// The variance that steps are measured against.
fn scale(model: &impl Model, rows: &[Row]) -> f64 {
    if model.weights_are_known() {
        1.0
    } else {
        sum(rows) / freedom(rows, model, 0).max(1) as f64
    }
}

/// The rows as the slopes promise them after a step.
fn linear(rows: &[Row], step: &[f64]) -> Vec<Row> {
    rows.iter()
        .map(|r| Row {
            misfit: r.misfit + r.slopes.iter().map(|&(i, s)| s * step[i]).sum::<f64>(),
            weight: r.weight,
            slopes: Vec::new(),
        })
        .collect()
}

fn finish(
    model: &impl Model,
    at: Vec<f64>,
    rows: Vec<Row>,
    steps: usize,
    plan: Option<Plan>,
) -> Result<Fitted, NoFit> {
    let mut widest = vec![0.0; model.unknowns()];
    let normal =
        Normal::new(&rows, &mut widest, 0.0, plan).map_err(|s| NoFit::Loose { unknowns: s.unknowns })?;
    if let Some(conflict) = conflict(&rows) {
        return Err(conflict);
    }
    Ok(Fitted {
        sum: sum(&rows),
        freedom: freedom(&rows, model, normal.conditions()),
        at,
        rows,
        steps,
        normal,
    })
}

fn finite_rows(model: &impl Model, at: &[f64]) -> Option<Vec<Row>> {
    model.rows(at).filter(|rows| {
        rows.iter()
            .all(|r| r.misfit.is_finite() && r.slopes.iter().all(|s| s.1.is_finite()))
    })
}

fn holds(row: &Row) -> bool {
    let slope = slope_size(row);
    row.misfit.abs() <= if slope > 0.0 { EXACT_TO * slope } else { EXACT_TO }
}

fn conflict(rows: &[Row]) -> Option<NoFit> {
    exact(rows)
        .find(|(_, r)| !holds(r))
        .map(|(row, r)| NoFit::Conflict {
            row,
            misses_by: r.misfit,
        })
}

fn sum(rows: &[Row]) -> f64 {
    weighing(rows).map(|r| r.weight * r.misfit * r.misfit).sum()
}

fn freedom(rows: &[Row], model: &impl Model, conditions: usize) -> usize {
    (weighing(rows).count() + conditions).saturating_sub(model.unknowns())
}

/// Half the sum, plus what the exact rows still miss at a price above their multipliers: falls along every step.
fn cost(rows: &[Row], price: f64) -> f64 {
    let missed: f64 = exact(rows).map(|(_, r)| r.misfit.abs()).sum();
    0.5 * sum(rows) + price * missed
}

/// A step in standard deviations: the root of step^T N step over the scale.
fn size(rows: &[Row], step: &[f64], scale: f64) -> f64 {
    let square: f64 = weighing(rows)
        .map(|r| {
            let moved: f64 = r.slopes.iter().map(|&(i, s)| s * step[i]).sum();
            r.weight * moved * moved
        })
        .sum();
    if square == 0.0 {
        0.0
    } else {
        (square / scale).sqrt()
    }
}
