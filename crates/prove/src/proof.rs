//! A bench test with a bucket or a luggage scale: what to hang, what it should move, when to stop; and what the readings
//! say of the model.

use nalgebra::Vector3;

/// Shares of the working load at which a reading is taken, in order; the last is held.
pub const STEPS: [f64; 5] = [0.25, 0.5, 0.75, 1.0, 1.25];

/// A first test of a one-off part of plate against a model of it: thickness within 5 % (bending stiffness 15 %), the
/// give of bolts and seats, how true the pull is. Predicted movement may be out by this share either way before anything
/// is wrong; common practice, no source.
pub const BAND: f64 = 0.3;

/// A part that does not come back to within this share of its largest movement has set; common practice, no source.
pub const COMES_BACK: f64 = 0.1;

/// Readings whose slack is under this share of the largest reading are taken to start at zero.
const NO_SLACK: f64 = 0.1;
/// Readings within this share of a straight line lie on it: a rule read to half a millimetre at a centimetre.
const ON_LINE: f64 = 0.05;
/// From the mean slope of the lower steps to that of the upper ones, more than this is a curve, not scatter.
const CURVED: f64 = 0.2;

/// One step of the test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Pull, N.
    pub force_n: f64,
    /// What the support should move along the pull, mm.
    pub moves_mm: f64,
    /// Least and most that is as it should be, mm.
    pub band_mm: [f64; 2],
}

impl Step {
    /// A step with its band.
    pub fn new(force_n: f64, moves_mm: f64) -> Step {
        Step {
            force_n,
            moves_mm,
            band_mm: [moves_mm * (1.0 - BAND), moves_mm * (1.0 + BAND)],
        }
    }
}

/// A test for the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct ProofTest {
    /// The load that it stands for, as an index into the loads.
    pub load: usize,
    /// The way of the pull, unit, in equipment axes.
    pub toward: Vector3<f64>,
    /// Steps, the last of them held.
    pub steps: Vec<Step>,
}

/// A reading on the bench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Pull, N.
    pub force_n: f64,
    /// What the support moved along the pull, mm.
    pub moved_mm: f64,
}

/// What the difference between readings and model suggests.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suggests {
    /// As it should be.
    AsPredicted,
    /// The plate is thicker, or something helps to carry it that is not in the model.
    StifferThroughout,
    /// The plate is thinner or softer, or what it is bolted to gives.
    SofterThroughout,
    /// It moves at once by some slack and is then as it should be: a hole that is not filled, a bolt that slips.
    SlackFirst,
    /// It grows stiffer as it is loaded: a gap closes.
    Stiffens,
    /// It grows softer as it is loaded: something yields, slips or lifts.
    Softens,
}

/// The model as corrected by the bench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corrected {
    /// Stiffness found over stiffness predicted.
    pub stiffness: f64,
    /// Its standard deviation; none with a single reading.
    pub sd: Option<f64>,
    /// Movement before the part begins to carry, mm.
    pub slack_mm: f64,
    /// What it suggests.
    pub suggests: Suggests,
}

/// Why readings say nothing.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoCorrection {
    /// There are none.
    #[error("there are no readings")]
    NoReadings,
    /// The model does not move under this pull, or the reading is not above 0.
    #[error("at {force_n} N the model moves {predicted_mm} mm and {moved_mm} mm was read")]
    NothingMoves {
        /// Pull.
        force_n: f64,
        /// By the model.
        predicted_mm: f64,
        /// By the reading.
        moved_mm: f64,
    },
}

/// Corrects the model's stiffness by readings; `predicted_mm` gives the model's movement at a pull.
///
/// A straight line `read = slack + predicted / stiffness` by least squares where there are three readings or more and the
/// slack stands out, else through zero.
///
/// # Errors
/// [`NoCorrection`].
pub fn correct(readings: &[Reading], predicted_mm: &dyn Fn(f64) -> f64) -> Result<Corrected, NoCorrection> {
    if readings.is_empty() {
        return Err(NoCorrection::NoReadings);
    }
    let mut pairs: Vec<(f64, f64)> = Vec::with_capacity(readings.len());
    for reading in readings {
        let predicted = predicted_mm(reading.force_n);
        let told = predicted > 0.0 && reading.moved_mm > 0.0;
        if !told || !predicted.is_finite() || !reading.moved_mm.is_finite() {
            return Err(NoCorrection::NothingMoves {
                force_n: reading.force_n,
                predicted_mm: predicted,
                moved_mm: reading.moved_mm,
            });
        }
        pairs.push((predicted, reading.moved_mm));
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let largest_mm = pairs.iter().map(|pair| pair.1).fold(0.0, f64::max);
    let (slope, sd) = through_zero(&pairs);
    let line = if pairs.len() >= 3 { straight(&pairs) } else { None };
    // A slack is only a slack when what comes after it is straight.
    let curve = curvature(&pairs);
    if let Some(curve) = curve
        && curve.abs() > CURVED
    {
        let suggests = if curve > 0.0 {
            Suggests::Softens
        } else {
            Suggests::Stiffens
        };
        let slack_first = suggests == Suggests::Stiffens
            && line.is_some_and(|(slack, slope)| {
                slack > NO_SLACK * largest_mm
                    && (1.0 / slope - 1.0).abs() <= BAND
                    && fits(&pairs, slack, slope)
            });
        if !slack_first {
            return Ok(Corrected {
                stiffness: 1.0 / slope,
                sd: sd.map(|sd| sd / (slope * slope)),
                slack_mm: 0.0,
                suggests,
            });
        }
    }
    if let Some((slack_mm, slope)) = line
        && slack_mm > NO_SLACK * largest_mm
        && slope > 0.0
    {
        return Ok(Corrected {
            stiffness: 1.0 / slope,
            sd: sd.map(|sd| sd / (slope * slope)),
            slack_mm,
            suggests: Suggests::SlackFirst,
        });
    }
    let suggests = if slope > 1.0 + BAND {
        Suggests::SofterThroughout
    } else if slope < 1.0 - BAND {
        Suggests::StifferThroughout
    } else {
        Suggests::AsPredicted
    };
    Ok(Corrected {
        stiffness: 1.0 / slope,
        sd: sd.map(|sd| sd / (slope * slope)),
        slack_mm: 0.0,
        suggests,
    })
}

/// Slope of `read = slope x predicted`, and its standard deviation.
fn through_zero(pairs: &[(f64, f64)]) -> (f64, Option<f64>) {
    let squares: f64 = pairs.iter().map(|(p, _)| p * p).sum();
    let slope = pairs.iter().map(|(p, r)| p * r).sum::<f64>() / squares;
    let sd = (pairs.len() > 1).then(|| {
        let left: f64 = pairs.iter().map(|(p, r)| (r - slope * p).powi(2)).sum();
        (left / (pairs.len() - 1) as f64 / squares).sqrt()
    });
    (slope, sd)
}

/// Intercept and slope of a straight line; none when all readings are at one load.
fn straight(pairs: &[(f64, f64)]) -> Option<(f64, f64)> {
    let count = pairs.len() as f64;
    let mean_p = pairs.iter().map(|pair| pair.0).sum::<f64>() / count;
    let mean_r = pairs.iter().map(|pair| pair.1).sum::<f64>() / count;
    let across: f64 = pairs.iter().map(|(p, _)| (p - mean_p).powi(2)).sum();
    if across <= f64::EPSILON * mean_p * mean_p * count {
        return None;
    }
    let slope = pairs
        .iter()
        .map(|(p, r)| (p - mean_p) * (r - mean_r))
        .sum::<f64>()
        / across;
    Some((mean_r - slope * mean_p, slope))
}

/// By how much the mean ratio of read to predicted grows from the lower half to the upper half, as a share of the whole;
/// none with fewer than four readings.
fn curvature(pairs: &[(f64, f64)]) -> Option<f64> {
    if pairs.len() < 4 {
        return None;
    }
    let ratio = |pairs: &[(f64, f64)]| {
        let (p, r) = pairs
            .iter()
            .fold((0.0, 0.0), |sum, pair| (sum.0 + pair.0, sum.1 + pair.1));
        r / p
    };
    let half = pairs.len() / 2;
    let (low, high) = (ratio(&pairs[..half]), ratio(&pairs[pairs.len() - half..]));
    Some((high - low) / ((high + low) / 2.0))
}

/// Does the line pass through the readings, within what a rule can tell?
fn fits(pairs: &[(f64, f64)], slack: f64, slope: f64) -> bool {
    pairs
        .iter()
        .all(|(p, r)| (r - slack - slope * p).abs() <= ON_LINE * r)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn predicted(force_n: f64) -> f64 {
        force_n * 0.02
    }

    fn read(shape: impl Fn(f64) -> f64) -> Vec<Reading> {
        [50.0, 100.0, 150.0, 200.0, 250.0]
            .into_iter()
            .map(|force_n| Reading {
                force_n,
                moved_mm: shape(predicted(force_n)),
            })
            .collect()
    }

    fn found(shape: impl Fn(f64) -> f64) -> Corrected {
        correct(&read(shape), &predicted).expect("these readings say something")
    }

    #[test]
    fn a_part_that_moves_as_predicted_is_left_alone() {
        let corrected = found(|mm| mm * 1.05);
        assert_eq!(corrected.suggests, Suggests::AsPredicted);
        assert!((corrected.stiffness - 1.0 / 1.05).abs() < 1e-12);
        assert!(corrected.sd.expect("five readings") < 1e-9);
    }

    #[test]
    fn a_plate_of_four_fifths_the_thickness_shows_as_softer_throughout() {
        let corrected = found(|mm| mm / 0.8_f64.powi(3));
        assert_eq!(corrected.suggests, Suggests::SofterThroughout);
        assert!((corrected.stiffness - 0.512).abs() < 1e-9);
    }

    #[test]
    fn a_hole_with_play_shows_as_slack() {
        let corrected = found(|mm| 0.8 + mm);
        assert_eq!(corrected.suggests, Suggests::SlackFirst);
        assert!((corrected.slack_mm - 0.8).abs() < 1e-9);
        assert!((corrected.stiffness - 1.0).abs() < 1e-9);
    }

    #[test]
    fn yielding_shows_as_softening_and_a_closing_gap_as_stiffening() {
        assert_eq!(found(|mm| mm + 0.12 * mm * mm).suggests, Suggests::Softens);
        assert_eq!(found(|mm| 4.0 * mm.sqrt()).suggests, Suggests::Stiffens);
    }

    #[test]
    fn nothing_read_says_nothing() {
        assert_eq!(correct(&[], &predicted), Err(NoCorrection::NoReadings));
        let zero = [Reading {
            force_n: 0.0,
            moved_mm: 0.0,
        }];
        assert!(matches!(
            correct(&zero, &predicted),
            Err(NoCorrection::NothingMoves { .. })
        ));
    }
}
