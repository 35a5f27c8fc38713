//! What the machine can do: speed, acceleration, jerk, corners.

use thiserror::Error;

use super::corner::CornerRule;
use super::ramp::Ramp;

/// The limits of a machine along its path, as the shop states them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    /// Top speed of a travel move, mm/s. A cut is held to its own feed and to this.
    pub travel_mm_s: f64,
    /// Greatest acceleration along the path, mm/s2.
    pub accel_mm_s2: f64,
    /// Greatest change of acceleration, mm/s3; none when the controller lets the acceleration jump.
    pub jerk_mm_s3: Option<f64>,
    /// Greatest acceleration across the path, in arcs and where corners are cut round, mm/s2.
    pub sideways_mm_s2: f64,
    /// How corners are passed.
    pub corner: CornerRule,
}

/// Why limits are none.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum DriveError {
    /// A limit is not a number above 0.
    #[error("the machine's {which} is given as {value}; it must be above 0")]
    NotPositive {
        /// Which limit.
        which: &'static str,
        /// What was given.
        value: f64,
    },
    /// A feed is not a number above 0.
    #[error("a feed of {feed_mm_min} mm/min cuts nothing")]
    NoFeed {
        /// What was given.
        feed_mm_min: f64,
    },
}

/// Limits that were checked: every one finite and above 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mover {
    drive: Drive,
}

impl Mover {
    /// Takes the limits if each is a number above 0.
    pub fn new(drive: Drive) -> Result<Mover, DriveError> {
        let corner = match drive.corner {
            CornerRule::Stop => 1.0,
            CornerRule::Round { off_mm } => off_mm,
            CornerRule::Step { most_mm_s } => most_mm_s,
        };
        let limits = [
            ("travel speed", drive.travel_mm_s),
            ("acceleration", drive.accel_mm_s2),
            ("jerk", drive.jerk_mm_s3.unwrap_or(1.0)),
            ("sideways acceleration", drive.sideways_mm_s2),
            ("corner limit", corner),
        ];
        for (which, value) in limits {
            if !(value.is_finite() && value > 0.0) {
                return Err(DriveError::NotPositive { which, value });
            }
        }
        Ok(Mover { drive })
    }

    /// The limits.
    #[must_use]
    pub fn drive(&self) -> &Drive {
        &self.drive
    }

    /// The same machine with every acceleration (and the jerk) scaled by a share above 0.
    pub fn livelier(&self, share: f64) -> Result<Mover, DriveError> {
        Mover::new(Drive {
            accel_mm_s2: self.drive.accel_mm_s2 * share,
            jerk_mm_s3: self.drive.jerk_mm_s3.map(|jerk| jerk * share),
            sideways_mm_s2: self.drive.sideways_mm_s2 * share,
            ..self.drive
        })
    }

    pub(super) fn ramp(&self) -> Ramp {
        Ramp {
            accel_mm_s2: self.drive.accel_mm_s2,
            jerk_mm_s3: self.drive.jerk_mm_s3,
        }
    }

    /// How long a straight travel move takes from rest to rest, s: a trapezoid of speed, or with a jerk limit its
    /// rounded form. 0 for no length; lengths below 0 count as 0.
    #[must_use]
    pub fn straight_s(&self, length_mm: f64) -> f64 {
        let (length_mm, v) = (length_mm.max(0.0), self.drive.travel_mm_s);
        let a = self.drive.accel_mm_s2;
        let full_s = self.drive.jerk_mm_s3.map_or(0.0, |jerk| a / jerk);
        let ramp = self.ramp();
        // Up and down at the mean of 0 and v each: together v times one change of speed.
        if v * ramp.change_s(v) <= length_mm {
            return length_mm / v + ramp.change_s(v);
        }
        // The peak that the length allows: v (v / a + a / j) = L with full acceleration, else 2 v sqrt(v / j) = L.
        let peak_mm_s = match self.drive.jerk_mm_s3 {
            Some(jerk) if length_mm < 2.0 * a * full_s * full_s => {
                (length_mm * length_mm * jerk / 4.0).cbrt()
            }
            _ => a * (-full_s + (full_s * full_s + 4.0 * length_mm / a).sqrt()) / 2.0,
        };
        2.0 * ramp.change_s(peak_mm_s)
    }
}
