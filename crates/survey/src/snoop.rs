//! Data snooping: which readings look slipped, by how much, and what would decide.
//!
//! W. Baarda's test of one reading at a time (A testing procedure for use in geodetic networks, 1968; Ghilani,
//! Adjustment Computations, chapter 21): the reading with the largest standardised residual, if beyond 3.29, is left
//! out and the rest adjusted again, until none is beyond it; then each left out is tried again on what remains.

use crate::adjust::{AdjustError, AdjustOptions, Adjusted, adjust, settle};
use crate::deciding::{Deciding, deciding};
use crate::mark_out::MarkOut;
use crate::reading::Reading;
use crate::slip::{DidYouMean, Writing};
use crate::{LEAST_REDUNDANCY, SLIP_W};

/// Two suspects are told apart when one explains the residuals at odds of twenty to one over the other. The odds are
/// exp((w1^2 - w2^2) / 2), since leaving out a reading takes w^2 off the sum: so when the squares differ by 2 ln 20.
const APART_W_SQUARE: f64 = 5.991_464_547_107_98;

/// Up to this many suspects of one slip are each adjusted anew; beyond, the linear estimate serves.
const MOST_ADJUSTED_ANEW: usize = 8;

/// One reading that may have slipped.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspected {
    /// Its number in [`Adjusted::readings`].
    pub reading: usize,
    /// The caller's number for it.
    pub about: usize,
    /// Its standardised residual when it was found.
    pub w: f64,
    /// Read less expected: the size of the slip if this is the reading that slipped, mm or radians.
    pub slip: f64,
    /// What the other readings say it should read.
    pub expected: f64,
    /// Standard deviation of that.
    pub expected_sd: f64,
    /// Slips that would explain it, likeliest first.
    pub did_you_mean: Vec<DidYouMean>,
}

/// One slip and the readings that it may be in.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// One when the slip is located; several, the likeliest first, when they cannot be told apart.
    pub readings: Vec<Suspected>,
    /// The further distance that would tell them apart, where there is one; otherwise the suspects must be read again.
    pub deciding: Option<Deciding>,
}

impl Suspect {
    /// Is it known which reading slipped?
    #[must_use]
    pub fn is_located(&self) -> bool {
        self.readings.len() == 1
    }
}

/// An adjustment and what looks slipped in it.
#[derive(Debug, Clone)]
pub struct Snooped {
    /// All readings adjusted together, the slipped ones too.
    pub all: Adjusted,
    /// What looks slipped, the worst first. Empty: nothing is beyond what good readings do.
    pub suspects: Vec<Suspect>,
    /// The adjustment without the suspects, when every one of them is located.
    pub without: Option<Adjusted>,
}

/// Adjusts and looks for slips. `sd_mm` is the standard deviation of the distance that may be measured to decide.
///
/// # Errors
/// As [`adjust`].
pub fn find_slips(
    mark_out: &MarkOut,
    readings: &[Reading],
    options: AdjustOptions,
    writing: Writing<'_>,
    sd_mm: f64,
) -> Result<Snooped, AdjustError> {
    let all = adjust(mark_out, readings, options)?;
    let search = Snooping {
        options,
        writing,
        sd_mm,
    };
    let mut suspects = Vec::new();
    let mut left_out = Vec::new();
    let mut current = all.clone();
    while let Some(worst) = worst(&current) {
        suspects.push(search.suspect(&current, worst));
        left_out.push(worst);
        // Without it the rest may hold no longer at the present start; what is found so far still stands.
        let Ok(next) = search.without(&current, worst) else {
            return Ok(Snooped {
                all,
                suspects,
                without: None,
            });
        };
        current = next;
    }
    if left_out.len() > 1 {
        search.take_back(&mut current, &mut suspects, &mut left_out);
    }
    let located = !suspects.is_empty() && suspects.iter().all(Suspect::is_located);
    if located {
        for (suspect, &reading) in suspects.iter_mut().zip(&left_out) {
            // With the other slips gone too, what it should have read is better known.
            suspect.readings[0] = search.suspected(&current, reading, suspect.readings[0].w);
        }
    }
    Ok(Snooped {
        all,
        suspects,
        without: located.then_some(current),
    })
}

/// The reading with the largest w beyond the limit, the first among equals.
fn worst(adjusted: &Adjusted) -> Option<usize> {
    let mut worst = None;
    let mut most = SLIP_W;
    for (index, reading) in adjusted.readings.iter().enumerate() {
        let w = reading.w.unwrap_or(0.0).abs();
        if w > most {
            most = w;
            worst = Some(index);
        }
    }
    worst
}

struct Snooping<'a> {
    options: AdjustOptions,
    writing: Writing<'a>,
    sd_mm: f64,
}

impl Snooping<'_> {
    fn without(&self, adjusted: &Adjusted, reading: usize) -> Result<Adjusted, AdjustError> {
        self.with(adjusted, reading, true)
    }

    fn with(&self, adjusted: &Adjusted, reading: usize, left_out: bool) -> Result<Adjusted, AdjustError> {
        let mut network = adjusted.network.clone();
        network.observed[reading].left_out = left_out;
        settle(&adjusted.names, network, &adjusted.fitted.at, self.options)
    }

    /// The suspects of the slip that shows most in `worst`.
    fn suspect(&self, adjusted: &Adjusted, worst: usize) -> Suspect {
        let square = |i: usize| adjusted.readings[i].w.map_or(0.0, |w| w * w);
        let mut group: Vec<usize> = (0..adjusted.readings.len())
            .filter(|&i| adjusted.readings[i].redundancy > LEAST_REDUNDANCY && !adjusted.readings[i].left_out)
            .filter(|&i| i == worst || square(worst) - square(i) < APART_W_SQUARE)
            .collect();
        group.sort_by(|&a, &b| square(b).total_cmp(&square(a)).then(a.cmp(&b)));
        let anew = group.len() <= MOST_ADJUSTED_ANEW;
        let readings = group
            .iter()
            .map(|&i| {
                let w = adjusted.readings[i].w.unwrap_or(0.0);
                let alone = anew.then(|| self.without(adjusted, i).ok()).flatten();
                self.suspected(alone.as_ref().unwrap_or(adjusted), i, w)
            })
            .collect();
        Suspect {
            readings,
            deciding: deciding(adjusted, &group, self.sd_mm),
        }
    }

    /// What an adjustment says of one suspect, whether it is left out there or only estimated away.
    fn suspected(&self, adjusted: &Adjusted, reading: usize, w: f64) -> Suspected {
        let judged = &adjusted.readings[reading];
        let (expected, expected_sd) = if judged.left_out {
            (judged.adjusted, judged.adjusted_sd)
        } else {
            let r = judged.redundancy;
            (
                judged.read + judged.residual / r,
                judged.sd * ((1.0 - r) / r).sqrt(),
            )
        };
        let sd = judged.sd.hypot(expected_sd);
        Suspected {
            reading,
            about: judged.about,
            w,
            slip: judged.read - expected,
            expected,
            expected_sd,
            did_you_mean: self.writing.did_you_mean(
                (judged.about, judged.read, judged.is_angle),
                expected,
                sd,
                SLIP_W,
            ),
        }
    }

    /// Readings left out early, while other slips still bent the net, may be good after all.
    fn take_back(&self, current: &mut Adjusted, suspects: &mut Vec<Suspect>, left_out: &mut Vec<usize>) {
        let mut at = 0;
        while at < left_out.len() {
            let judged = &current.readings[left_out[at]];
            let fits = judged.residual.abs() <= SLIP_W * judged.sd.hypot(judged.adjusted_sd);
            let back = fits
                .then(|| self.with(current, left_out[at], false).ok())
                .flatten()
                .filter(|back| worst(back).is_none());
            match back {
                Some(back) => {
                    *current = back;
                    suspects.remove(at);
                    left_out.remove(at);
                }
                None => at += 1,
            }
        }
    }
}
