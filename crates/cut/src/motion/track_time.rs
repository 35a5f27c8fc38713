//! How long a track takes: the speeds at its joints by a pass forward and a pass backward, then each piece.

use plane::Segment;

use super::corner::{SMOOTH_RAD, corner_mm_s};
use super::drive::{DriveError, Mover};
use crate::Track;

/// One stretch of a track as it is passed; pieces that join smoothly under one limit are one stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passed {
    /// Its length, mm.
    pub length_mm: f64,
    /// Speed at its start, mm/s.
    pub enters_mm_s: f64,
    /// Greatest speed on it, mm/s.
    pub peak_mm_s: f64,
    /// Speed at its end, mm/s.
    pub leaves_mm_s: f64,
    /// How long it takes, s.
    pub time_s: f64,
}

/// A whole track from rest to rest.
#[derive(Debug, Clone, PartialEq)]
pub struct TrackTime {
    /// How long it takes, s.
    pub time_s: f64,
    /// Its length, mm.
    pub length_mm: f64,
    /// Its stretches in order.
    pub passed: Vec<Passed>,
}

struct Stretch {
    length_mm: f64,
    most_mm_s: f64,
    /// Speed allowed at the joint to the next.
    joint_mm_s: f64,
}

impl Mover {
    /// How long the torch takes over a track at a feed, from rest to rest. Arcs are held to the speed at which the pull
    /// sideways is what the machine allows; the acceleration along the path is held by itself, as controllers do.
    ///
    /// With a jerk limit the acceleration comes back to 0 at each joint of two stretches: never faster than the machine,
    /// a little slower than the best controller.
    pub fn track_time(&self, track: &Track, feed_mm_min: f64) -> Result<TrackTime, DriveError> {
        if !(feed_mm_min.is_finite() && feed_mm_min > 0.0) {
            return Err(DriveError::NoFeed { feed_mm_min });
        }
        let stretches = self.stretches(track, feed_mm_min / 60.0);
        let ramp = self.ramp();
        // Speeds at the joints, start and end included: first what the joints allow, then what can be reached going
        // forward, then what can be left in time going backward.
        let mut joints = vec![0.0; stretches.len() + 1];
        for (i, stretch) in stretches.iter().enumerate() {
            let allowed = if i + 1 == stretches.len() {
                0.0
            } else {
                stretch.joint_mm_s
            };
            joints[i + 1] = ramp.reach_mm_s(joints[i], stretch.length_mm).min(allowed);
        }
        for (i, stretch) in stretches.iter().enumerate().rev() {
            joints[i] = ramp.reach_mm_s(joints[i + 1], stretch.length_mm).min(joints[i]);
        }
        let passed: Vec<Passed> = stretches
            .iter()
            .enumerate()
            .map(|(i, stretch)| {
                let (enters_mm_s, leaves_mm_s) = (joints[i], joints[i + 1]);
                let pass = ramp.pass(stretch.length_mm, enters_mm_s, leaves_mm_s, stretch.most_mm_s);
                Passed {
                    length_mm: stretch.length_mm,
                    enters_mm_s,
                    peak_mm_s: pass.peak_mm_s,
                    leaves_mm_s,
                    time_s: pass.time_s,
                }
            })
            .collect();
        Ok(TrackTime {
            time_s: passed.iter().map(|stretch| stretch.time_s).sum(),
            length_mm: passed.iter().map(|stretch| stretch.length_mm).sum(),
            passed,
        })
    }

    fn stretches(&self, track: &Track, feed_mm_s: f64) -> Vec<Stretch> {
        let drive = self.drive();
        let top_mm_s = feed_mm_s.min(drive.travel_mm_s);
        let mut stretches: Vec<Stretch> = Vec::new();
        let mut before: Option<Segment> = None;
        for edge in track.segments().filter(|edge| edge.length_mm() > 0.0) {
            let most_mm_s = match edge {
                Segment::Line { .. } => top_mm_s,
                Segment::Arc { radius_mm, .. } => top_mm_s.min((drive.sideways_mm_s2 * radius_mm).sqrt()),
            };
            let length_mm = edge.length_mm();
            if let (Some(before), Some(last)) = (before, stretches.last_mut()) {
                let turn_rad = turn_between(&before, &edge);
                let corner = corner_mm_s(drive, turn_rad, before.length_mm(), length_mm);
                if turn_rad <= SMOOTH_RAD && last.most_mm_s == most_mm_s {
                    last.length_mm += length_mm;
                } else {
                    last.joint_mm_s = corner.min(last.most_mm_s).min(most_mm_s);
                    stretches.push(Stretch {
                        length_mm,
                        most_mm_s,
                        joint_mm_s: 0.0,
                    });
                }
            } else {
                stretches.push(Stretch {
                    length_mm,
                    most_mm_s,
                    joint_mm_s: 0.0,
                });
            }
            before = Some(edge);
        }
        stretches
    }
}

/// By how much the direction changes from the end of one edge to the start of the next, 0 to pi.
fn turn_between(before: &Segment, after: &Segment) -> f64 {
    let (a, b) = (before.tangent_at(1.0), after.tangent_at(0.0));
    a.perp(&b).abs().atan2(a.dot(&b))
}
