//! Measures left open: bounded least squares on whatever the rest of the house works out from them.
//!
//! Levenberg-Marquardt with an active set: unknowns that stand at a bound and are pushed against it are held, a step
//! that would cross a bound stops there and the rest is worked out again. Damping after Nielsen (1999) as in Madsen,
//! Nielsen and Tingleff, Methods for non-linear least squares problems, 2004, and scaling after More (1978), both from
//! memory.

mod jacobian;
mod local;

use thiserror::Error;

use jacobian::Rank;
use local::{Counted, Local};

/// Between which values an unknown is looked for; either end may be infinite.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// The least value.
    pub low: f64,
    /// The greatest.
    pub high: f64,
}

impl Bound {
    /// A bound that does not bind.
    pub const OPEN: Self = Self {
        low: f64::NEG_INFINITY,
        high: f64::INFINITY,
    };

    fn width(&self) -> f64 {
        self.high - self.low
    }
}

/// How hard to look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolveOptions {
    /// Evaluations of the residuals, at most.
    pub max_evaluations: usize,
    /// The largest residual that counts as met: 1 when residuals are scaled by what is allowed.
    pub met: f64,
    /// Further starts along each unknown when the first does not meet; 0 for none.
    pub grid: usize,
}

impl Default for SolveOptions {
    fn default() -> Self {
        Self {
            max_evaluations: 600,
            met: 1.0,
            grid: 4,
        }
    }
}

/// Why the search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stopped {
    /// All residuals are nothing.
    Zero,
    /// No small change of any unknown that may still move makes the sum of squares less.
    Flat,
    /// Steps became too small to matter.
    SmallStep,
    /// Every step, however small, leads to what cannot be made or makes it worse.
    NoWayOn,
    /// The evaluations ran out.
    Evaluations,
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// The unknowns.
    pub x: Vec<f64>,
    /// The residuals there.
    pub residuals: Vec<f64>,
    /// Root of the mean of their squares.
    pub rms: f64,
    /// The largest, without its sign.
    pub largest: f64,
    /// Whether the largest is within [`SolveOptions::met`].
    pub met: bool,
    /// How often the residuals were worked out.
    pub evaluations: usize,
    /// Which unknowns stand at a bound.
    pub at_bound: Vec<bool>,
    /// Why the search ended.
    pub stopped: Stopped,
    /// How many of the unknowns, or mixtures of them, the residuals decide.
    pub rank: usize,
    /// Which unknowns have a part in what the residuals do not decide.
    pub undetermined: Vec<bool>,
    /// How much the residuals change (as a vector's length) per unit of each unknown.
    pub sensitivity: Vec<f64>,
}

/// Why there is nothing to solve.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum SolveError {
    /// Nothing was left open.
    #[error("there is no unknown to solve for")]
    NoUnknowns,
    /// As many bounds as unknowns are needed.
    #[error("{unknowns} unknowns were given {bounds} bounds")]
    NotAsMany {
        /// Unknowns.
        unknowns: usize,
        /// Bounds.
        bounds: usize,
    },
    /// A bound has nothing between its ends, or is not a number.
    #[error("unknown {unknown} is to lie between {low} and {high}, which leaves nothing")]
    EmptyBound {
        /// Index of the unknown.
        unknown: usize,
        /// Its least value.
        low: f64,
        /// Its greatest value.
        high: f64,
    },
    /// A start is not a number.
    #[error("the start of unknown {unknown} is not a finite number")]
    StartNotFinite {
        /// Index of the unknown.
        unknown: usize,
    },
    /// There is nothing to meet.
    #[error("there are no residuals to meet")]
    NoResiduals,
    /// The number of residuals changed on the way.
    #[error("{expected} residuals were expected and {found} came")]
    Uneven {
        /// As at first.
        expected: usize,
        /// As now.
        found: usize,
    },
    /// Nowhere that was tried could the part be made.
    #[error("at none of {tried} places tried between the bounds can it be made")]
    ImpossibleEverywhere {
        /// How many were tried.
        tried: usize,
    },
}

/// Starts on the grid are at most this many in all: beyond four unknowns it thins out.
const MOST_STARTS: usize = 256;
/// Of these, the best few are followed.
const FOLLOWED: usize = 4;

/// The unknowns between their bounds that make the sum of squares of the residuals least.
///
/// `residuals` gives them for a choice of unknowns, each divided by what is allowed, always as many and in the same
/// order; `None` where the part cannot be made. Looked for from `start`, and if that does not meet, from a grid between
/// the bounds, always in the same order.
pub fn solve_bounded(
    residuals: &mut dyn FnMut(&[f64]) -> Option<Vec<f64>>,
    start: &[f64],
    bounds: &[Bound],
    options: &SolveOptions,
) -> Result<Solved, SolveError> {
    solve_bounded_ahead(residuals, &mut |_| {}, start, bounds, options)
}

/// As [`solve_bounded`], telling before each set of slopes where the residuals are asked for next, so that they can be worked
/// out side by side. What is found is the same.
///
/// # Errors
/// As [`solve_bounded`].
pub fn solve_bounded_ahead(
    residuals: &mut dyn FnMut(&[f64]) -> Option<Vec<f64>>,
    ahead: &mut dyn FnMut(&[Vec<f64>]),
    start: &[f64],
    bounds: &[Bound],
    options: &SolveOptions,
) -> Result<Solved, SolveError> {
    check(start, bounds)?;
    let mut counted = Counted::new(residuals, ahead, options.max_evaluations.max(1));
    let start: Vec<f64> = start
        .iter()
        .zip(bounds)
        .map(|(x, b)| x.clamp(b.low, b.high))
        .collect();
    let mut best: Option<Local> = None;
    if let Some(r) = counted.at(&start)? {
        best = Some(local::descend(&mut counted, bounds, start.clone(), r)?);
    }
    let good_enough = |best: &Option<Local>| best.as_ref().is_some_and(|b| b.largest() <= options.met);
    if !good_enough(&best) {
        let mut looks = Vec::new();
        for x in grid(&start, bounds, options.grid) {
            if let Some(r) = counted.at(&x)? {
                looks.push((r.iter().map(|r| r * r).sum::<f64>(), x, r));
            }
        }
        looks.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (_, x, r) in looks.into_iter().take(FOLLOWED) {
            if good_enough(&best) || counted.spent() {
                break;
            }
            let found = local::descend(&mut counted, bounds, x, r)?;
            if best.as_ref().is_none_or(|b| found.cost < b.cost) {
                best = Some(found);
            }
        }
    }
    let Some(best) = best else {
        return Err(SolveError::ImpossibleEverywhere {
            tried: counted.evaluations,
        });
    };
    let at_bound = best
        .x
        .iter()
        .zip(bounds)
        .map(|(x, b)| *x <= b.low || *x >= b.high)
        .collect();
    let Rank {
        rank,
        undetermined,
        sensitivity,
    } = jacobian::rank(&best.jacobian, &best.x, bounds);
    let largest = best.largest();
    Ok(Solved {
        rms: (best.cost / best.residuals.len() as f64).sqrt(),
        largest,
        met: largest <= options.met,
        x: best.x,
        residuals: best.residuals,
        evaluations: counted.evaluations,
        at_bound,
        stopped: best.stopped,
        rank,
        undetermined,
        sensitivity,
    })
}

fn check(start: &[f64], bounds: &[Bound]) -> Result<(), SolveError> {
    if start.is_empty() {
        return Err(SolveError::NoUnknowns);
    }
    if start.len() != bounds.len() {
        return Err(SolveError::NotAsMany {
            unknowns: start.len(),
            bounds: bounds.len(),
        });
    }
    for (unknown, (x, &Bound { low, high })) in start.iter().zip(bounds).enumerate() {
        if low.is_nan() || high.is_nan() || low >= high || low == f64::INFINITY || high == f64::NEG_INFINITY {
            return Err(SolveError::EmptyBound { unknown, low, high });
        }
        if !x.is_finite() {
            return Err(SolveError::StartNotFinite { unknown });
        }
    }
    Ok(())
}

/// Middles of even stretches between the bounds; an unknown without an end keeps its start.
fn grid(start: &[f64], bounds: &[Bound], per_unknown: usize) -> Vec<Vec<f64>> {
    let bounded = bounds.iter().filter(|b| b.width().is_finite()).count() as u32;
    if bounded == 0 || per_unknown == 0 {
        return Vec::new();
    }
    let mut each = per_unknown;
    while each > 1 && each.checked_pow(bounded).is_none_or(|all| all > MOST_STARTS) {
        each -= 1;
    }
    let mut all = vec![Vec::new()];
    for (x, bound) in start.iter().zip(bounds) {
        let stops: Vec<f64> = if bound.width().is_finite() {
            (0..each)
                .map(|k| bound.low + bound.width() * (k as f64 + 0.5) / each as f64)
                .collect()
        } else {
            vec![*x]
        };
        all = all
            .into_iter()
            .flat_map(|head: Vec<f64>| {
                stops
                    .iter()
                    .map(move |stop| [head.as_slice(), &[*stop]].concat())
                    .collect::<Vec<_>>()
            })
            .collect();
    }
    all
}
