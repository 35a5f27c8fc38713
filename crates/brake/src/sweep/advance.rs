//! Conservative advancement: step by step as far as nothing can have met, however it moved between.

use nalgebra::Vector3;

use super::motion::{Motion, Mover};
use crate::solid::{Prism, gap, gap_along, gap_of_faces, gap_over};

/// Two solids that are in each other by no more than this only touch: under what plate gives, and over what straightened
/// curves add.
pub const TOUCH_MM: f64 = 0.2;
/// Within this of meeting, they meet: the steps would never end otherwise.
const SLACK_MM: f64 = 0.01;
/// Nearer than this, every axis is looked along before two solids are said to meet.
const NEAR_MM: f64 = 2.0 * SLACK_MM;
/// An axis serves again while it shows this much.
const SERVES_MM: f64 = 1.0;
/// The fastest motion is reckoned afresh after this much: a die comes up ever faster.
const WINDOW_RAD: f64 = 0.2;
/// In looking for the least gap, the angle grows by no more than this.
const LOOK_RAD: f64 = 0.0175;

/// Where two solids first meet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meeting {
    /// The angle at which they do, rad.
    pub bent_rad: f64,
}

/// One of two things that may meet: a solid and how it moves.
pub(crate) type Moving<'a> = (&'a Prism, Mover);

/// Room to work in, so that nothing is allocated in the innermost loop.
#[derive(Debug, Clone)]
pub(crate) struct Scratch {
    a: Prism,
}

impl Default for Scratch {
    fn default() -> Self {
        let empty = Prism {
            base: Vec::new(),
            along: Vector3::zeros(),
            normals: Vec::new(),
            edges: Vec::new(),
            centre: Vector3::zeros(),
            reach_mm: 0.0,
        };
        Scratch { a: empty }
    }
}

/// The first angle from one to the other at which the two meet, deeper than they may touch; none when it is certain that
/// they do not.
pub fn first_meeting(
    motion: &Motion,
    a: (&Prism, Mover),
    b: (&Prism, Mover),
    from_rad: f64,
    to_rad: f64,
) -> Option<Meeting> {
    meeting(motion, a, b, from_rad, to_rad, &mut Scratch::default())
}

pub(crate) fn meeting(
    motion: &Motion,
    a: Moving<'_>,
    b: Moving<'_>,
    from_rad: f64,
    to_rad: f64,
    scratch: &mut Scratch,
) -> Option<Meeting> {
    // Along the bend nothing moves.
    if gap_along(a.0, b.0, &Vector3::y()) >= -TOUCH_MM {
        return None;
    }
    let speed = motion.most_speed(a.1, a.0, from_rad, to_rad) + motion.most_speed(b.1, b.0, from_rad, to_rad);
    let with_die = (a.1 == Mover::Lower) != (b.1 == Mover::Lower);
    let reach_mm = a.0.reach_mm + b.0.reach_mm;
    if !with_die && kept_apart(motion, a, b, to_rad) {
        return None;
    }
    let fastest = if with_die {
        speed + motion.die_speed(to_rad)
    } else {
        speed
    };
    let apart = motion.between(a.1, b.1, from_rad).centre_of(a.0) - b.0.centre;
    if apart.norm() - reach_mm > fastest * (to_rad - from_rad) {
        return None;
    }
    // Where all faces stand along the bend or square to it, no cross of edges shows what the faces do not.
    let faces_only = a.0.stands_along(&Vector3::y()) && b.0.stands_along(&Vector3::y());
    let mut at = from_rad;
    let mut seen_along: Option<Vector3<f64>> = None;
    loop {
        let until = to_rad.min(at + WINDOW_RAD);
        let speed = if with_die {
            speed + motion.die_speed(until)
        } else {
            speed
        };
        let place = motion.between(a.1, b.1, at);
        let apart = place.centre_of(a.0) - b.0.centre;
        let mut free_mm = apart.norm() - reach_mm + TOUCH_MM;
        let enough_mm = (speed * (until - at)).max(NEAR_MM);
        if free_mm < enough_mm {
            place.apply_base(a.0, &mut scratch.a);
            if let Some(axis) = seen_along {
                free_mm = free_mm.max(gap_along(&scratch.a, b.0, &axis) + TOUCH_MM);
            }
            // The axis that served last serves again while it still shows a good part of the way.
            if free_mm < enough_mm.min(SERVES_MM) {
                place.apply(a.0, &mut scratch.a);
                let seen = if faces_only {
                    gap_of_faces(&scratch.a, b.0, enough_mm)
                } else {
                    gap_over(&scratch.a, b.0, enough_mm)
                };
                seen_along = Some(seen.axis);
                free_mm = free_mm.max(seen.mm + TOUCH_MM);
            }
        }
        if free_mm <= SLACK_MM {
            return Some(Meeting { bent_rad: at });
        }
        if at >= to_rad {
            return None;
        }
        at = if speed * (until - at) <= free_mm {
            until
        } else {
            at + free_mm / speed
        };
    }
}

/// Whether one of them stays nearer to the bend's axis than the other ever comes, as what turns about it keeps its distance
/// but for what the legs slide.
fn kept_apart(motion: &Motion, a: Moving<'_>, b: Moving<'_>, to_rad: f64) -> bool {
    let slide_mm = to_rad * motion.neutral_mm / 2.0;
    let range = |(prism, mover): Moving<'_>| {
        let slack_mm = if mover == Mover::Still {
            0.0
        } else {
            2.0 * slide_mm
        };
        let from_axis = |p: Vector3<f64>| Vector3::new(p.x, 0.0, p.z - motion.radius_mm);
        let most_mm = prism
            .corners()
            .map(|p| from_axis(p).norm_squared())
            .fold(0.0, f64::max)
            .sqrt();
        let toward = from_axis(prism.centre)
            .try_normalize(SLACK_MM)
            .unwrap_or_else(Vector3::x);
        let least_mm = prism
            .corners()
            .map(|p| from_axis(p).dot(&toward))
            .fold(f64::INFINITY, f64::min);
        (least_mm - slack_mm, most_mm + slack_mm)
    };
    let (a, b) = (range(a), range(b));
    a.0 > b.1 || b.0 > a.1
}

/// The least gap seen from one angle to the other, in steps of a degree or less, mm; below 0 where they overlap. What is
/// not under the limit is not told apart from it.
pub fn least_gap(
    motion: &Motion,
    a: (&Prism, Mover),
    b: (&Prism, Mover),
    from_rad: f64,
    to_rad: f64,
    under_mm: f64,
) -> f64 {
    if gap_along(a.0, b.0, &Vector3::y()) >= under_mm {
        return under_mm;
    }
    let mut scratch = Scratch::default();
    let mut seen_along: Option<Vector3<f64>> = None;
    let steps = ((to_rad - from_rad) / LOOK_RAD).ceil().max(1.0) as usize;
    let mut least = under_mm;
    for step in 0..=steps {
        let at = from_rad + (to_rad - from_rad) * step as f64 / steps as f64;
        let place = motion.between(a.1, b.1, at);
        let apart = (place.centre_of(a.0) - b.0.centre).norm() - a.0.reach_mm - b.0.reach_mm;
        if apart >= least {
            continue;
        }
        // Along the axis that served last they are often far enough apart still.
        place.apply_base(a.0, &mut scratch.a);
        if seen_along.is_some_and(|axis| gap_along(&scratch.a, b.0, &axis) >= least) {
            continue;
        }
        place.apply(a.0, &mut scratch.a);
        let seen = gap_over(&scratch.a, b.0, least);
        seen_along = Some(seen.axis);
        least = least.min(seen.mm);
    }
    least
}

/// The gap at one angle, mm; below 0 where they overlap.
pub(crate) fn gap_at(motion: &Motion, a: Moving<'_>, b: Moving<'_>, at_rad: f64) -> f64 {
    let mut scratch = Scratch::default();
    let place = motion.between(a.1, b.1, at_rad);
    let apart = (place.centre_of(a.0) - b.0.centre).norm() - a.0.reach_mm - b.0.reach_mm;
    if apart > 0.0 {
        return apart;
    }
    place.apply(a.0, &mut scratch.a);
    gap(&scratch.a, b.0).mm
}
