//! Which distance to measure next: the one that takes most from the variance of what matters.
//!
//! Adding one reading with slopes a and variance s^2 takes Q a^T a Q / (s^2 + a Q a^T) from the covariance Q: the
//! formula of sequential adjustment (Ghilani, Adjustment Computations, chapter 16; the matrix inversion lemma). So each
//! candidate costs a few products and no new adjustment.

use std::collections::BTreeSet;

use nalgebra::{DMatrix, Point3};

use crate::SAME_POINT_MM;
use crate::adjust::Adjusted;
use crate::sparse::Room;

/// At most this many points, those known worst, are paired as candidates: twenty thousand distances, well under a
/// second.
const MOST_POINTS: usize = 200;

/// A distance that is already known this well (share of the new reading's variance) is not worth measuring.
const KNOWN: f64 = 1e-6;

/// A distance worth measuring.
#[derive(Debug, Clone, PartialEq)]
pub struct NextReading {
    /// The points it runs between.
    pub between: [String; 2],
    /// What it should read, mm.
    pub predicted_mm: f64,
    /// Standard deviation of such a reading about that, mm: how well the distance is known now and the instrument
    /// together. Three of these either way hold nearly every good reading.
    pub predicted_sd_mm: f64,
    /// Share of the variance of what matters that it takes away, 0 to 1.
    pub gain: f64,
    /// The point that it makes surer by most.
    pub surer: Surer,
}

/// How much surer a point gets. A point's doubt is the root of the sum of the variances of its coordinates.
#[derive(Debug, Clone, PartialEq)]
pub struct Surer {
    /// The point.
    pub point: String,
    /// Its doubt now, mm.
    pub from_sd_mm: f64,
    /// Its doubt with the reading, mm.
    pub to_sd_mm: f64,
}

impl Adjusted {
    /// The distances not yet measured that would make the points that matter surest, best first, at most `most` of
    /// them. `matter` are numbers of points, all when empty; `sd_mm` is the standard deviation of the new reading.
    /// Equal ones stand in the order of the points.
    #[must_use]
    pub fn next_readings(&self, matter: &[usize], sd_mm: f64, most: usize) -> Vec<NextReading> {
        let net = KnownPoints::new(self);
        let wanted: BTreeSet<usize> = matter.iter().copied().collect();
        let matters = |point: &usize| wanted.is_empty() || wanted.contains(point);
        let watched: Vec<usize> = (0..self.points.len()).filter(matters).collect();
        let variances: Vec<f64> = watched
            .iter()
            .map(|&i| self.sd_mm(i).unwrap_or_default().iter().map(|sd| sd * sd).sum())
            .collect();
        let before: f64 = variances.iter().sum();
        if before <= 0.0 {
            return Vec::new();
        }
        // Covariance of what matters with every coordinate of the candidates.
        let between = net.covariance_with(self, &watched);
        let noise = sd_mm * sd_mm;
        let surer = |candidate: &Candidate| {
            let moved = candidate.times(&between);
            let all = noise + candidate.variance;
            let taken = |k: usize| (3 * k..3 * k + 3).map(|j| moved[j] * moved[j] / all).sum::<f64>();
            let mut most = (0, 0.0);
            for k in 0..watched.len() {
                if taken(k) > most.1 {
                    most = (k, taken(k));
                }
            }
            let (k, taken) = most;
            Surer {
                point: self.names[watched[k]].clone(),
                from_sd_mm: variances[k].sqrt(),
                to_sd_mm: (variances[k] - taken).max(0.0).sqrt(),
            }
        };
        let mut ranked: Vec<(f64, Candidate)> = net
            .candidates(self)
            .into_iter()
            .filter(|candidate| candidate.variance > KNOWN * noise)
            .map(|candidate| {
                let moved = candidate.times(&between);
                (moved.norm_squared() / (noise + candidate.variance), candidate)
            })
            .collect();
        ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.between.cmp(&b.1.between)));
        ranked
            .into_iter()
            .take(most)
            .map(|(drop, candidate)| NextReading {
                between: candidate.between.map(|i| self.names[i].clone()),
                predicted_mm: candidate.length,
                predicted_sd_mm: (noise + candidate.variance).sqrt(),
                gain: (drop / before).clamp(0.0, 1.0),
                surer: surer(&candidate),
            })
            .collect()
    }
}

/// Some of the points with the covariance of all their coordinates.
pub(crate) struct KnownPoints {
    /// Numbers of the points.
    points: Vec<usize>,
    /// Covariance of each of their coordinates, three to a point, with every unknown.
    by_unknown: Vec<Vec<f64>>,
    covariance: DMatrix<f64>,
}

/// A distance that could be measured.
pub(crate) struct Candidate {
    pub between: [usize; 2],
    /// Places of the two among the known points.
    places: [usize; 2],
    pub length: f64,
    unit: [f64; 3],
    pub variance: f64,
}

impl Candidate {
    /// Columns are coordinates of the known points; gives their change along the distance.
    pub fn times(&self, covariance: &DMatrix<f64>) -> nalgebra::DVector<f64> {
        let mut out = nalgebra::DVector::zeros(covariance.nrows());
        for (axis, unit) in self.unit.iter().enumerate().filter(|(_, u)| **u != 0.0) {
            out.axpy(*unit, &covariance.column(3 * self.places[1] + axis), 1.0);
            out.axpy(-unit, &covariance.column(3 * self.places[0] + axis), 1.0);
        }
        out
    }
}

impl KnownPoints {
    /// The points known worst, at most [`MOST_POINTS`].
    pub fn new(adjusted: &Adjusted) -> Self {
        let mut by_variance: Vec<(f64, usize)> = (0..adjusted.points.len())
            .map(|i| {
                let sd = adjusted.sd_mm(i).unwrap_or_default();
                (sd.iter().map(|s| s * s).sum(), i)
            })
            .collect();
        by_variance.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        by_variance.truncate(MOST_POINTS);
        let mut points: Vec<usize> = by_variance.into_iter().map(|(_, i)| i).collect();
        points.sort_unstable();
        let mut room = Room::default();
        let by_unknown = points
            .iter()
            .flat_map(|&i| adjusted.slopes[i].iter())
            .map(|coordinate| adjusted.fitted.covariance_of(&coordinate.slopes, &mut room))
            .collect();
        let mut net = Self {
            points,
            by_unknown,
            covariance: DMatrix::zeros(0, 0),
        };
        net.covariance = net.covariance_with(adjusted, &net.points);
        net
    }

    /// Covariance of the coordinates of `others`, by rows, with the coordinates of these points, by columns.
    fn covariance_with(&self, adjusted: &Adjusted, others: &[usize]) -> DMatrix<f64> {
        let rows: Vec<&[(usize, f64)]> = others
            .iter()
            .flat_map(|&i| adjusted.slopes[i].iter())
            .map(|coordinate| coordinate.slopes.as_slice())
            .collect();
        DMatrix::from_fn(rows.len(), self.by_unknown.len(), |i, j| {
            along(rows[i], &self.by_unknown[j])
        })
    }

    /// Covariance of a row of slopes with every coordinate of these points.
    pub fn with_row(&self, row: &[(usize, f64)]) -> DMatrix<f64> {
        DMatrix::from_fn(1, self.by_unknown.len(), |_, j| along(row, &self.by_unknown[j]))
    }

    /// Every distance between these points that is not measured yet.
    pub fn candidates(&self, adjusted: &Adjusted) -> Vec<Candidate> {
        let measured = adjusted.network.measured_pairs();
        let place = |i: usize| -> Point3<f64> { adjusted.points[self.points[i]] };
        let mut out = Vec::new();
        for i in 0..self.points.len() {
            for j in i + 1..self.points.len() {
                let between = [self.points[i], self.points[j]];
                let apart = place(j) - place(i);
                let length = apart.norm();
                if measured.contains(&between) || length < SAME_POINT_MM {
                    continue;
                }
                let unit = [0, 1, 2].map(|axis| apart[axis] / length);
                let mut candidate = Candidate {
                    between,
                    places: [i, j],
                    length,
                    unit,
                    variance: 0.0,
                };
                candidate.variance = self.variance(&candidate);
                out.push(candidate);
            }
        }
        out
    }

    fn variance(&self, candidate: &Candidate) -> f64 {
        let [i, j] = candidate.places;
        let mut sum = 0.0;
        for a in 0..3 {
            for b in 0..3 {
                let q = |p: usize, r: usize| self.covariance[(3 * p + a, 3 * r + b)];
                sum += candidate.unit[a] * candidate.unit[b] * (q(i, i) + q(j, j) - q(i, j) - q(j, i));
            }
        }
        sum.max(0.0)
    }
}

fn along(row: &[(usize, f64)], by_unknown: &[f64]) -> f64 {
    row.iter().map(|&(i, slope)| slope * by_unknown[i]).sum()
}
