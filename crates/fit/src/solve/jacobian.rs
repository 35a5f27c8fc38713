//! Slopes by differences, and what they say about the unknowns.

use nalgebra::DMatrix;

use super::local::Counted;
use super::{Bound, SolveError};

/// Step of a difference as a share of the unknown: near the cube root of rounding, the best for two-sided differences.
const STEP_SHARE: f64 = 1e-5;
/// An unknown near nothing is stepped as if it were this share of its range.
const LEAST_SHARE_OF_RANGE: f64 = 1e-3;
/// And one without a range as if it were this.
const LEAST_SIZE: f64 = 1e-3;
/// Where the part cannot be made on either side, the step is halved this often before the slope is taken as none.
const HALVINGS: usize = 6;
/// What moves the residuals less than this share of what moves them most is not decided by them.
const UNDECIDED: f64 = 1e-6;
/// An unknown with at least this share in an undecided mixture is named.
const NAMED_SHARE: f64 = 0.05;

/// What the slopes say.
pub(super) struct Rank {
    pub(super) rank: usize,
    pub(super) undetermined: Vec<bool>,
    pub(super) sensitivity: Vec<f64>,
}

/// How well slopes are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sides {
    /// To one side, at half the cost: enough for a step that brings much.
    One,
    /// To both.
    Both,
}

/// Slopes of the residuals, one column for each unknown: two-sided where that is asked for, both sides can be made and they lie
/// within the bounds, else one-sided. None when the evaluations run out.
pub(super) fn slopes(
    counted: &mut Counted<'_>,
    x: &[f64],
    here: &[f64],
    bounds: &[Bound],
    sides: Sides,
) -> Result<Option<DMatrix<f64>>, SolveError> {
    let mut all = DMatrix::zeros(here.len(), x.len());
    counted.ahead(&asked_first(x, bounds, sides));
    for (i, bound) in bounds.iter().enumerate() {
        let mut step = STEP_SHARE * size(x[i], bound);
        for _ in 0..HALVINGS {
            let mut side = |to: Option<f64>| -> Result<Option<(f64, Vec<f64>)>, SolveError> {
                let Some(to) = to else { return Ok(None) };
                Ok(counted.at(&moved(x, i, to))?.map(|r| (to, r)))
            };
            let [up, down] = two_sides(x[i], step, bound);
            let up = side(up)?;
            let down = match (sides, &up) {
                (Sides::One, Some(_)) => None,
                _ => side(down)?,
            };
            let (from, to) = match (up, down) {
                (Some(up), Some(down)) => (down, up),
                (Some(up), None) => ((x[i], here.to_vec()), up),
                (None, Some(down)) => (down, (x[i], here.to_vec())),
                (None, None) if counted.spent() => return Ok(None),
                (None, None) => {
                    step /= 2.0;
                    continue;
                }
            };
            for (k, (a, b)) in from.1.iter().zip(&to.1).enumerate() {
                all[(k, i)] = (b - a) / (to.0 - from.0);
            }
            break;
        }
    }
    Ok(Some(all))
}

/// Where the residuals are asked for first, unknown by unknown.
fn asked_first(x: &[f64], bounds: &[Bound], sides: Sides) -> Vec<Vec<f64>> {
    let most = match sides {
        Sides::One => 1,
        Sides::Both => 2,
    };
    let unknowns = bounds.iter().enumerate().flat_map(|(i, bound)| {
        let there = two_sides(x[i], STEP_SHARE * size(x[i], bound), bound);
        there
            .into_iter()
            .flatten()
            .take(most)
            .map(move |to| moved(x, i, to))
    });
    unknowns.collect()
}

/// A step up from an unknown and a step down, each where it moves and stays within the bounds.
fn two_sides(x: f64, step: f64, bound: &Bound) -> [Option<f64>; 2] {
    [x + step, x - step].map(|to| (to >= bound.low && to <= bound.high && to != x).then_some(to))
}

/// The unknowns with one of them elsewhere.
fn moved(x: &[f64], i: usize, to: f64) -> Vec<f64> {
    let mut moved = x.to_vec();
    moved[i] = to;
    moved
}

fn size(x: f64, bound: &Bound) -> f64 {
    let width = bound.high - bound.low;
    let least = if width.is_finite() {
        width * LEAST_SHARE_OF_RANGE
    } else {
        LEAST_SIZE
    };
    x.abs().max(least).min(if width.is_finite() {
        width * 1e3
    } else {
        f64::INFINITY
    })
}

/// Which unknowns the residuals decide, each measured by its range (or its size where it has none).
pub(super) fn rank(slopes: &DMatrix<f64>, x: &[f64], bounds: &[Bound]) -> Rank {
    let count = x.len();
    let sensitivity = slopes.column_iter().map(|c| c.norm()).collect();
    let mut scaled = slopes.clone();
    for (i, bound) in bounds.iter().enumerate() {
        let width = bound.high - bound.low;
        let range = if width.is_finite() {
            width
        } else {
            x[i].abs().max(1.0)
        };
        scaled.column_mut(i).scale_mut(range);
    }
    // Padded to square so that the decomposition also gives the directions that have no row.
    let rows = scaled.nrows().max(count);
    let svd = scaled.resize_vertically(rows, 0.0).svd(false, true);
    let largest = svd.singular_values.max();
    let mut undetermined = vec![false; count];
    let mut rank = 0;
    for (k, value) in svd.singular_values.iter().enumerate() {
        if *value > UNDECIDED * largest {
            rank += 1;
        } else if let Some(ways) = &svd.v_t {
            for (i, named) in undetermined.iter_mut().enumerate() {
                *named |= ways[(k, i)].abs() >= NAMED_SHARE;
            }
        }
    }
    Rank {
        rank,
        undetermined,
        sensitivity,
    }
}
