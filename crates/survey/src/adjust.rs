//! All readings of a mark-out adjusted together.

use nalgebra::{Matrix3, Point3};

use crate::chance::chance_above;
use crate::least_squares::{Fitted, NoFit, Search, minimise};
use crate::mark::Sure;
use crate::mark_error::MarkError;
use crate::mark_out::MarkOut;
use crate::network::{Network, ReadingError};
use crate::number::Sloped;
use crate::reading::Reading;
use crate::sparse::Room;
use crate::{LEAST_REDUNDANCY, SLIP_W};

/// Why nothing could be adjusted.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AdjustError {
    /// The mark-out itself cannot be drawn.
    #[error(transparent)]
    Mark(#[from] MarkError),
    /// A reading cannot be used.
    #[error(transparent)]
    Reading(#[from] ReadingError),
    /// These points can move together and no reading feels it, the freest first.
    #[error("no reading holds {} in place", points.join(", "))]
    Loose {
        /// Their names.
        points: Vec<String>,
    },
    /// A value said to be exact cannot hold together with the others.
    #[error("an exact value cannot hold with the others: it misses by {misses_by:.3e}")]
    ExactConflict {
        /// The caller's number for it.
        about: usize,
        /// What is left, mm or radians.
        misses_by: f64,
    },
    /// The search did not come to an end.
    #[error("no answer after {steps} steps; the last step was {last_step:.3e} standard deviations")]
    NotConverged {
        /// Steps tried.
        steps: usize,
        /// Size of the last step, in standard deviations.
        last_step: f64,
    },
}

/// What the adjustment says of one reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// The caller's number for it.
    pub about: usize,
    /// Is it an angle, so that the values here are radians and not mm?
    pub is_angle: bool,
    /// What was read.
    pub read: f64,
    /// Its standard deviation as given; 0 when exact, infinite when it was only predicted.
    pub sd: f64,
    /// What it should have read, by all readings together.
    pub adjusted: f64,
    /// Standard deviation of that.
    pub adjusted_sd: f64,
    /// Adjusted less read.
    pub residual: f64,
    /// The share of a slip in it that would show in its residual: 0, nothing checks it; 1, wholly checked. The
    /// redundancies of all readings add up to the degrees of freedom. 0 for exact and predicted ones.
    pub redundancy: f64,
    /// Baarda's standardised residual: residual over its own standard deviation, for unit weight 1. `None` when
    /// nothing checks the reading.
    pub w: Option<f64>,
    /// Left out of this adjustment as a suspect: `adjusted` is what the others say.
    pub left_out: bool,
}

impl Judged {
    /// Is it beyond what one good reading in a thousand does?
    #[must_use]
    pub fn is_suspect(&self) -> bool {
        self.w.is_some_and(|w| w.abs() > SLIP_W)
    }
}

/// The chi-square test of all residuals together against the standard deviations given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GlobalTest {
    /// Sum of squared residuals over their variances.
    pub sum: f64,
    /// Degrees of freedom.
    pub freedom: usize,
    /// The chance of so large a sum from good readings.
    pub chance: f64,
}

/// Below this chance of coming from good readings, the readings as a whole do not fit: the usual one in twenty.
const MISFIT_CHANCE: f64 = 0.05;

impl GlobalTest {
    /// Do the readings fit their standard deviations, at one in twenty?
    #[must_use]
    pub fn passes(&self) -> bool {
        self.chance >= MISFIT_CHANCE
    }
}

/// Points and readings after adjustment.
#[derive(Debug, Clone)]
pub struct Adjusted {
    pub(crate) names: Vec<String>,
    /// Places of the points in mm, in the order of [`MarkOut::names`].
    pub points: Vec<Point3<f64>>,
    /// The readings, those of the marks first in the order of the points (each mark's in the order of its fields,
    /// values that are exact or only a start left out), then the extra ones in the order given.
    pub readings: Vec<Judged>,
    /// Degrees of freedom: readings beyond what is needed.
    pub freedom: usize,
    /// Standard deviation of unit weight from the residuals: near 1 when the standard deviations given are honest.
    /// `None` without freedom.
    pub sigma0: Option<f64>,
    /// All residuals together against the standard deviations given.
    pub test: GlobalTest,
    /// Steps of the search.
    pub steps: usize,
    pub(crate) network: Network,
    pub(crate) fitted: Fitted,
    pub(crate) slopes: Vec<[Sloped; 3]>,
}

/// How [`adjust`] searches.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AdjustOptions {
    /// The search of the least sum.
    pub search: Search,
}

/// Adjusts a mark-out and its extra readings by weighted least squares.
///
/// # Errors
/// A mark-out that cannot be drawn, readings of unknown points, points that nothing holds, exact values that conflict,
/// or a search that does not end.
pub fn adjust(
    mark_out: &MarkOut,
    readings: &[Reading],
    options: AdjustOptions,
) -> Result<Adjusted, AdjustError> {
    let places = mark_out.place_by(|value| value.value)?;
    let mut network = Network::new(mark_out, &places);
    network.add(mark_out, readings)?;
    let start = network.start.clone();
    settle(&mark_out.names, network, &start, options)
}

/// Adjusts a network from a start.
pub(crate) fn settle(
    names: &[String],
    network: Network,
    start: &[f64],
    options: AdjustOptions,
) -> Result<Adjusted, AdjustError> {
    let fitted =
        minimise(&network, start, options.search).map_err(|trouble| explain(names, &network, trouble))?;
    let slopes = network
        .sloped_points(&fitted.at)
        .unwrap_or_else(|| unreachable!("the fitted rows came from these points"));
    let points = slopes
        .iter()
        .map(|[x, y, z]| Point3::new(x.value, y.value, z.value))
        .collect();
    let readings = judge(&network, &fitted);
    let freedom = fitted.freedom;
    Ok(Adjusted {
        names: names.to_vec(),
        points,
        readings,
        freedom,
        sigma0: (freedom > 0).then(|| (fitted.sum / freedom as f64).sqrt()),
        test: GlobalTest {
            sum: fitted.sum,
            freedom,
            chance: chance_above(fitted.sum, freedom),
        },
        steps: fitted.steps,
        network,
        fitted,
        slopes,
    })
}

fn explain(names: &[String], network: &Network, trouble: NoFit) -> AdjustError {
    match trouble {
        NoFit::Loose { unknowns } => {
            let mut points: Vec<usize> = Vec::new();
            for owner in unknowns.into_iter().map(|i| network.owner[i]) {
                if !points.contains(&owner) {
                    points.push(owner);
                }
            }
            AdjustError::Loose {
                points: points.into_iter().map(|i| names[i].clone()).collect(),
            }
        }
        NoFit::Conflict { row, misses_by } => AdjustError::ExactConflict {
            about: network.observed[row].value.about,
            misses_by,
        },
        NoFit::NotConverged { steps, last_step } => AdjustError::NotConverged { steps, last_step },
        NoFit::NoStart => AdjustError::NotConverged {
            steps: 0,
            last_step: f64::INFINITY,
        },
    }
}

fn judge(network: &Network, fitted: &Fitted) -> Vec<Judged> {
    network
        .observed
        .iter()
        .zip(&fitted.rows)
        .zip(fitted.cofactors_of_rows())
        .map(|((observed, row), cofactor)| {
            let variance = cofactor.max(0.0);
            let sd = match observed.value.sure {
                Sure::Exact => 0.0,
                Sure::Sd(sd) => sd,
                Sure::Start => f64::INFINITY,
            };
            let counts = row.weight > 0.0 && row.weight.is_finite();
            let redundancy = if counts {
                (1.0 - row.weight * variance).clamp(0.0, 1.0)
            } else {
                0.0
            };
            let w = (counts && redundancy > LEAST_REDUNDANCY).then(|| row.misfit / (sd * redundancy.sqrt()));
            Judged {
                about: observed.value.about,
                is_angle: observed.watched.is_angle(),
                read: observed.value.value,
                sd,
                adjusted: observed.value.value + row.misfit,
                adjusted_sd: variance.sqrt(),
                residual: row.misfit,
                redundancy,
                w,
                left_out: observed.left_out,
            }
        })
        .collect()
}

impl Adjusted {
    /// Names of the points, in the order of `points`.
    #[must_use]
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// How two points' errors go together: rows x, y, z of the first by columns x, y, z of the second, mm2, by the
    /// standard deviations given (not scaled by `sigma0`). `None` for a number that is no point.
    #[must_use]
    pub fn covariance(&self, first: usize, second: usize) -> Option<Matrix3<f64>> {
        let mut room = Room::default();
        let mut seen = |i: usize| -> Option<Vec<_>> {
            let point = self.slopes.get(i)?;
            Some(
                point
                    .iter()
                    .map(|c| self.fitted.whitened(&c.slopes, &mut room))
                    .collect(),
            )
        };
        let (a, b) = (seen(first)?, seen(second)?);
        Some(Matrix3::from_fn(|i, j| a[i].times(&b[j])))
    }

    /// Standard deviations of a point along x, y and z, mm.
    #[must_use]
    pub fn sd_mm(&self, point: usize) -> Option<[f64; 3]> {
        let covariance = self.covariance(point, point)?;
        Some([0, 1, 2].map(|i| covariance[(i, i)].max(0.0).sqrt()))
    }

    /// Numbers (in `readings`) of the readings that nothing checks: a slip in one of these would not show.
    #[must_use]
    pub fn unchecked(&self) -> Vec<usize> {
        let takes_part = |r: &Judged| r.sd > 0.0 && r.sd.is_finite() && !r.left_out;
        (0..self.readings.len())
            .filter(|&i| takes_part(&self.readings[i]))
            .filter(|&i| self.readings[i].redundancy <= LEAST_REDUNDANCY)
            .collect()
    }
}
