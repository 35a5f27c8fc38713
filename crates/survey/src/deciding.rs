//! Which further distance tells two suspects apart.

use crate::SLIP_W;
use crate::adjust::Adjusted;
use crate::next::{Candidate, KnownPoints};

/// A distance that reads differently according to which suspect slipped.
#[derive(Debug, Clone, PartialEq)]
pub struct Deciding {
    /// The points it runs between.
    pub between: [String; 2],
    /// What it should read, mm, if each suspect in turn were the one that slipped, in the suspects' order.
    pub expected_mm: Vec<f64>,
    /// How far apart the nearest two of these are, in standard deviations of such a reading. Above about 3 it decides.
    pub apart_sd: f64,
}

/// A distance that separates no two suspects by this many standard deviations is not worth the walk.
const LEAST_APART_SD: f64 = 1.0;

/// What leaving out one suspect does to the candidates.
struct Without {
    moved: Vec<f64>,
    variance: Vec<f64>,
}

/// The distance not yet measured, with this standard deviation, that separates most pairs of the suspects, which are
/// numbers of readings. `None` when none separates any.
///
/// Leaving out a reading with slopes a, weight p, residual v and redundancy r moves the points by Q a^T p v / r and adds
/// Q a^T a Q p / r to their covariance (the formula of `next`, with the reading taken away).
pub(crate) fn deciding(adjusted: &Adjusted, suspects: &[usize], sd_mm: f64) -> Option<Deciding> {
    if suspects.len() < 2 {
        return None;
    }
    let net = KnownPoints::new(adjusted);
    let candidates = net.candidates(adjusted);
    let without: Vec<Without> = suspects
        .iter()
        .map(|&suspect| leave_out(adjusted, &net, &candidates, suspect))
        .collect();
    let mut best: Option<(f64, usize, f64)> = None;
    for c in 0..candidates.len() {
        let (mut told, mut nearest) = (0.0, f64::INFINITY);
        for (k, one) in without.iter().enumerate() {
            for other in &without[k + 1..] {
                let noise = sd_mm * sd_mm + one.variance[c].max(other.variance[c]);
                let apart = (one.moved[c] - other.moved[c]).abs() / noise.sqrt();
                // A pair once told apart is worth no more by being told twice over.
                told += apart.min(2.0 * SLIP_W);
                nearest = f64::min(nearest, apart);
            }
        }
        if best.is_none_or(|(most, ..)| told > most) {
            best = Some((told, c, nearest));
        }
    }
    let (told, chosen, nearest) = best?;
    (told >= LEAST_APART_SD).then(|| {
        let candidate = &candidates[chosen];
        Deciding {
            between: candidate.between.map(|i| adjusted.names[i].clone()),
            expected_mm: without
                .iter()
                .map(|w| candidate.length + w.moved[chosen])
                .collect(),
            apart_sd: nearest,
        }
    })
}

fn leave_out(adjusted: &Adjusted, net: &KnownPoints, candidates: &[Candidate], suspect: usize) -> Without {
    let reading = &adjusted.readings[suspect];
    let row = &adjusted.fitted.rows[suspect];
    let covariance = net.with_row(&row.slopes);
    let factor = row.weight / reading.redundancy;
    let seen: Vec<f64> = candidates.iter().map(|c| c.times(&covariance)[0]).collect();
    Without {
        moved: seen.iter().map(|q| q * factor * reading.residual).collect(),
        variance: seen
            .iter()
            .zip(candidates)
            .map(|(q, c)| c.variance + q * q * factor)
            .collect(),
    }
}
