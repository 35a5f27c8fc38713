//! One descent from one start.

use nalgebra::{DMatrix, DVector};

use super::jacobian::{Sides, slopes};
use super::{Bound, SolveError, Stopped};

/// Damping at the start, as a share of the scaled diagonal (Nielsen's middle value).
const FIRST_DAMPING: f64 = 1e-3;
/// Damping beyond which no step moves anything.
const MOST_DAMPING: f64 = 1e16;
/// A step must bring at least this share of what it promised.
const LEAST_GAIN: f64 = 1e-4;
/// Flat: the cosine between the residuals and every slope is below this.
const FLAT: f64 = 1e-9;
/// Steps below this share of the unknowns do not matter.
const SMALL_STEP: f64 = 1e-12;
/// A step that brings no less than this share of what it promised, and no more than so much more of it, was promised by slopes that
/// serve: slopes to one side do again.
const AS_PROMISED: f64 = 0.5;
/// A step that promises less than this share of the sum of squares is not worth working out: the residuals would change by a
/// hundred-thousandth of their length.
const LEAST_PROMISE: f64 = 1e-10;
/// Residuals whose length is below this are nothing: they are shares of allowances.
const NOTHING: f64 = 1e-12;

/// The residuals with a count and a check on them.
pub(super) struct Counted<'a> {
    residuals: &'a mut dyn FnMut(&[f64]) -> Option<Vec<f64>>,
    ahead: &'a mut dyn FnMut(&[Vec<f64>]),
    most: usize,
    expected: Option<usize>,
    pub(super) evaluations: usize,
}

impl<'a> Counted<'a> {
    pub(super) fn new(
        residuals: &'a mut dyn FnMut(&[f64]) -> Option<Vec<f64>>,
        ahead: &'a mut dyn FnMut(&[Vec<f64>]),
        most: usize,
    ) -> Self {
        Self {
            residuals,
            ahead,
            most,
            expected: None,
            evaluations: 0,
        }
    }

    /// Tells where the residuals are asked for next.
    pub(super) fn ahead(&mut self, places: &[Vec<f64>]) {
        if !self.spent() {
            (self.ahead)(places);
        }
    }

    pub(super) fn spent(&self) -> bool {
        self.evaluations >= self.most
    }

    /// The residuals here; none where it cannot be made, where one is not a number, or when the count is spent.
    pub(super) fn at(&mut self, x: &[f64]) -> Result<Option<Vec<f64>>, SolveError> {
        if self.spent() {
            return Ok(None);
        }
        self.evaluations += 1;
        let Some(r) = (self.residuals)(x) else {
            return Ok(None);
        };
        let expected = *self.expected.get_or_insert(r.len());
        if r.is_empty() {
            return Err(SolveError::NoResiduals);
        }
        if r.len() != expected {
            return Err(SolveError::Uneven {
                expected,
                found: r.len(),
            });
        }
        Ok(r.iter().all(|r| r.is_finite()).then_some(r))
    }
}

/// Where a descent came to.
pub(super) struct Local {
    pub(super) x: Vec<f64>,
    pub(super) residuals: Vec<f64>,
    pub(super) cost: f64,
    pub(super) jacobian: DMatrix<f64>,
    pub(super) stopped: Stopped,
}

impl Local {
    pub(super) fn largest(&self) -> f64 {
        self.residuals.iter().fold(0.0, |most, r| most.max(r.abs()))
    }
}

/// Follows the sum of squares down from `x`, where the residuals are `r`.
pub(super) fn descend(
    counted: &mut Counted<'_>,
    bounds: &[Bound],
    mut x: Vec<f64>,
    mut r: Vec<f64>,
) -> Result<Local, SolveError> {
    let count = x.len();
    let mut cost: f64 = square(&r);
    let mut jacobian = DMatrix::zeros(r.len(), count);
    let mut scale = vec![0.0_f64; count];
    let mut damping = FIRST_DAMPING;
    let mut growth = 2.0;
    let mut stopped = Stopped::Evaluations;
    let mut sides = Sides::One;
    'outer: while let Some(now) = slopes(counted, &x, &r, bounds, sides)? {
        jacobian = now;
        let by = sides;
        for (s, column) in scale.iter_mut().zip(jacobian.column_iter()) {
            *s = s.max(column.norm());
        }
        let end = 'step: {
            if cost.sqrt() <= NOTHING {
                break 'step Some(Stopped::Zero);
            }
            let slope = jacobian.transpose() * DVector::from_column_slice(&r);
            let free: Vec<bool> = (0..count)
                .map(|i| {
                    !(x[i] <= bounds[i].low && slope[i] > 0.0 || x[i] >= bounds[i].high && slope[i] < 0.0)
                })
                .collect();
            let cosine =
                |i: usize| slope[i].abs() / (jacobian.column(i).norm() * cost.sqrt()).max(f64::MIN_POSITIVE);
            if (0..count).all(|i| !free[i] || cosine(i) <= FLAT) {
                break 'step Some(Stopped::Flat);
            }
            let bowl = jacobian.transpose() * &jacobian;
            loop {
                let step = bounded_step(&bowl, &slope, &scale, damping, &x, bounds, &free);
                let moved: Vec<f64> = x
                    .iter()
                    .zip(&step)
                    .zip(bounds)
                    .map(|((x, s), b)| (x + s).clamp(b.low, b.high))
                    .collect();
                let small =
                    (0..count).all(|i| (moved[i] - x[i]).abs() <= SMALL_STEP * x[i].abs().max(SMALL_STEP));
                if small {
                    break 'step Some(Stopped::SmallStep);
                }
                let step = DVector::from_vec(step);
                let promised = -2.0 * slope.dot(&step) - step.dot(&(&bowl * &step));
                if damping <= FIRST_DAMPING && promised.abs() <= LEAST_PROMISE * cost {
                    break 'step Some(Stopped::SmallStep);
                }
                if let Some(found) = counted.at(&moved)? {
                    let before = cost;
                    let lost = before - square(&found);
                    let gain = lost / promised;
                    if promised > 0.0 && gain > LEAST_GAIN {
                        (x, r) = (moved, found);
                        cost = square(&r);
                        damping = (damping * (1.0 - (2.0 * gain - 1.0).powi(3)).max(1.0 / 3.0)).max(1e-15);
                        growth = 2.0;
                        let hardly = lost <= 1e-15 * cost && damping <= FIRST_DAMPING;
                        let as_promised = (gain - 1.0).abs() <= AS_PROMISED;
                        sides = if as_promised { Sides::One } else { Sides::Both };
                        break 'step hardly.then_some(Stopped::SmallStep);
                    }
                }
                if counted.spent() {
                    break 'outer;
                }
                damping *= growth;
                growth *= 2.0;
                if damping > MOST_DAMPING {
                    (damping, growth) = (FIRST_DAMPING, 2.0);
                    break 'step Some(Stopped::NoWayOn);
                }
            }
        };
        // What ends by slopes to one side is held against those to both, and they are what is told.
        match end {
            Some(why) if by == Sides::Both => {
                stopped = why;
                break;
            }
            Some(_) => sides = Sides::Both,
            None => {}
        }
    }
    Ok(Local {
        x,
        residuals: r,
        cost,
        jacobian,
        stopped,
    })
}

fn square(r: &[f64]) -> f64 {
    r.iter().map(|r| r * r).sum()
}

/// The damped step; unknowns that would cross a bound go just to it, and the others are worked out again with that.
fn bounded_step(
    bowl: &DMatrix<f64>,
    slope: &DVector<f64>,
    scale: &[f64],
    damping: f64,
    x: &[f64],
    bounds: &[Bound],
    free: &[bool],
) -> Vec<f64> {
    let mut step = vec![0.0; x.len()];
    let mut open: Vec<usize> = (0..x.len()).filter(|&i| free[i] && scale[i] > 0.0).collect();
    while !open.is_empty() {
        let count = open.len();
        let mut matrix = DMatrix::from_fn(count, count, |a, b| bowl[(open[a], open[b])]);
        let mut right = DVector::from_fn(count, |a, _| -slope[open[a]]);
        for (a, &i) in open.iter().enumerate() {
            matrix[(a, a)] += damping * scale[i] * scale[i];
            for (j, held) in step.iter().enumerate() {
                if !open.contains(&j) {
                    right[a] -= bowl[(i, j)] * held;
                }
            }
        }
        let Some(factor) = matrix.cholesky() else { break };
        let found = factor.solve(&right);
        let mut crossed = Vec::new();
        for (a, &i) in open.iter().enumerate() {
            let to = x[i] + found[a];
            if to < bounds[i].low || to > bounds[i].high {
                step[i] = to.clamp(bounds[i].low, bounds[i].high) - x[i];
                crossed.push(i);
            }
        }
        if crossed.is_empty() {
            for (a, &i) in open.iter().enumerate() {
                step[i] = found[a];
            }
            break;
        }
        open.retain(|i| !crossed.contains(i));
    }
    step
}
