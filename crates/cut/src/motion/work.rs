//! The work of a whole program in lengths, pierces and times, each time from a low to a high.

use thiserror::Error;

use super::drive::{DriveError, Mover};
use super::marking::MarkingWork;
use crate::Cut;

/// A value known to lie between two: what is stated and what is foretold alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    /// The least.
    pub low: f64,
    /// The most, not under the least.
    pub high: f64,
}

/// Two numbers that are no range.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error("{low} to {high} is no range of numbers from 0 up")]
pub struct NotARange {
    /// The lower one given.
    pub low: f64,
    /// The upper one given.
    pub high: f64,
}

impl Between {
    /// A range of finite numbers from 0 up.
    pub fn new(low: f64, high: f64) -> Result<Between, NotARange> {
        if low.is_finite() && high.is_finite() && 0.0 <= low && low <= high {
            Ok(Between { low, high })
        } else {
            Err(NotARange { low, high })
        }
    }

    /// A value known exactly.
    pub fn exactly(value: f64) -> Result<Between, NotARange> {
        Between::new(value, value)
    }

    pub(super) fn plus(self, other: Between) -> Between {
        Between {
            low: self.low + other.low,
            high: self.high + other.high,
        }
    }

    pub(super) fn times(self, other: Between) -> Between {
        Between {
            low: self.low * other.low,
            high: self.high * other.high,
        }
    }

    pub(super) fn scaled(self, by: f64) -> Between {
        self.times(Between { low: by, high: by })
    }
}

/// What one pierce takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pierce {
    /// From the order to pierce to the start of the track, s: finding the plate, arc, delay.
    pub each_s: Between,
    /// Lifting from the end of a track to the height of travel and coming down for the next, s.
    pub up_and_down_s: Between,
}

/// How well the machine is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubts {
    /// The feed that is really kept, as a share of the one that is set, ends above 0.
    pub feed_share: Between,
    /// The acceleration that is really kept, as a share of the one that is stated, ends above 0.
    pub accel_share: Between,
    /// Loading, setting zero, taking off: per program, s.
    pub handling_s: Between,
}

/// What a program comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Work {
    /// How many pierces.
    pub pierces: usize,
    /// Length with the torch on, leads included, mm.
    pub cut_mm: f64,
    /// Length of the travel moves, mm.
    pub travel_mm: f64,
    /// Time with the torch on a track, s.
    pub cut_s: Between,
    /// Time of the pierces with their ups and downs, s.
    pub pierce_s: Between,
    /// Time of the travel moves and of waits, s.
    pub travel_s: Between,
    /// What is marked before; none where the machine marks nothing.
    pub marking: Option<MarkingWork>,
    /// All of it, marking and handling included, s.
    pub total_s: Between,
}

impl Work {
    /// With what is marked before.
    #[must_use]
    pub fn with_marking(self, marking: Option<MarkingWork>) -> Work {
        let marking_s = marking.map_or(Between { low: 0.0, high: 0.0 }, |marking| marking.total_s);
        Work {
            marking,
            total_s: self.total_s.plus(marking_s),
            ..self
        }
    }
}

/// The work of these cuts and of straight travel moves of these lengths, with waits (for the plate to cool) of
/// `waits_s`, from the least that the doubts allow to the most.
pub fn work(
    cuts: &[Cut],
    travels_mm: &[f64],
    waits_s: f64,
    mover: &Mover,
    pierce: &Pierce,
    doubts: &Doubts,
) -> Result<Work, DriveError> {
    let time = |feed_share: f64, accel_share: f64| -> Result<(f64, f64), DriveError> {
        let mover = mover.livelier(accel_share)?;
        let mut cut_s = 0.0;
        for cut in cuts {
            cut_s += mover.track_time(&cut.track, cut.feed_mm_min * feed_share)?.time_s;
        }
        Ok((cut_s, travels_mm.iter().map(|mm| mover.straight_s(*mm)).sum()))
    };
    let (cut_low, travel_low) = time(doubts.feed_share.high, doubts.accel_share.high)?;
    let (cut_high, travel_high) = time(doubts.feed_share.low, doubts.accel_share.low)?;
    let pierces = cuts.len();
    let cut_s = Between {
        low: cut_low,
        high: cut_high,
    };
    let pierce_s = pierce.each_s.plus(pierce.up_and_down_s).scaled(pierces as f64);
    let travel_s = Between {
        low: travel_low + waits_s,
        high: travel_high + waits_s,
    };
    Ok(Work {
        pierces,
        cut_mm: cuts.iter().map(|cut| cut.track.length_mm()).sum(),
        travel_mm: travels_mm.iter().sum(),
        cut_s,
        pierce_s,
        travel_s,
        marking: None,
        total_s: cut_s.plus(pierce_s).plus(travel_s).plus(doubts.handling_s),
    })
}
