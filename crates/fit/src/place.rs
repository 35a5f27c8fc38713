//! The best worst-case placement of a part on its mounts.

use std::fmt;

use nalgebra::{Isometry3, Point3, Translation3, Unit, UnitQuaternion, Vector3};
use thiserror::Error;

use crate::PartHole;
use crate::judge::{MountState, states};
use crate::minimax::minimax;
use crate::mount::{self, Mount, MountError};
use crate::seating::seat_at;
use crate::start::{Start, starts};
use crate::support::{self, Seat, SupportError, SupportWant};

/// Placements whose largest ratios differ by less than this (of an allowance) are equally good.
const AS_GOOD: f64 = 1e-6;
/// Seats within this of one line, and axes within this of it, leave the turn about that line open.
const ON_ONE_LINE: f64 = 1e-6;
/// A turn that changes no ratio by more than this is free.
const UNCHANGED: f64 = 1e-6;
/// A start this many times worse than the best placement so far leads to no better one: least squares and the best worst
/// case differ by less.
const HOPELESS: f64 = 30.0;
/// Turns about a free line that are looked at before the best is refined.
const LOOKS_AROUND: u32 = 72;

/// What decides where the mounts do not: the way the plate lies up, or the turn about a single bolt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Settle<'a> {
    /// The least turn from part axes to equipment axes.
    LeastTurn,
    /// The support: least squares of its offset and turn over what is allowed.
    Support {
        /// Where the part carries it.
        seat: &'a Seat,
        /// Where it must sit.
        want: &'a SupportWant,
    },
}

/// A way the part can still move on its mounts without any of them noticing.
#[derive(Debug, Clone, PartialEq)]
pub enum Freedom {
    /// It turns about the bolt of its only mount.
    TurnAboutBolt {
        /// The mount.
        mount: String,
        /// A point of the line it turns about.
        at: Point3<f64>,
        /// The direction of that line.
        axis: Unit<Vector3<f64>>,
    },
    /// All its mounts are on one line, and it turns about that.
    TurnAboutLine {
        /// The mounts.
        mounts: Vec<String>,
        /// A point of the line.
        at: Point3<f64>,
        /// The direction of the line.
        axis: Unit<Vector3<f64>>,
    },
}

impl fmt::Display for Freedom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TurnAboutBolt { mount, .. } => write!(f, "turn about the bolt of {mount}"),
            Self::TurnAboutLine { mounts, .. } => {
                f.write_str("turn about the common line of ")?;
                for (i, mount) in mounts.iter().enumerate() {
                    let joint = match i {
                        0 => "",
                        i if i + 1 == mounts.len() => " and ",
                        _ => ", ",
                    };
                    write!(f, "{joint}{mount}")?;
                }
                Ok(())
            }
        }
    }
}

/// Where the part comes to lie.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    /// From part axes to equipment axes.
    pub pose: Isometry3<f64>,
    /// How every mount stands there, in the order of the mounts.
    pub mounts: Vec<MountState>,
    /// The mount that decides: the first of those with the largest ratio.
    pub deciding: usize,
    /// The largest ratio of all: at most 1 when the part goes on.
    pub ratio: f64,
    /// How the part can still move; empty when the mounts hold it fast.
    pub free: Vec<Freedom>,
}

impl Placement {
    /// What is left of the allowance that decides, as a share of it; below 0 when the part does not go on.
    pub fn margin(&self) -> f64 {
        1.0 - self.ratio
    }
}

/// Why a part cannot be placed.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PlaceError {
    /// The mounts are at fault.
    #[error(transparent)]
    Mount(#[from] MountError),
    /// The support that should settle it is at fault.
    #[error(transparent)]
    Support(#[from] SupportError),
}

/// The pose that makes the largest of offset, gap and tilt over what is allowed, over all mounts, as small as it can be.
///
/// Each hole rests on its seat with the face whose outward normal is opposed to the mount's axis; every way up is tried.
/// Where several poses are equally good to a millionth of an allowance:
/// - those that run into one another are settled by taking the middle of them, where the product of what the other
///   ratios have to spare is greatest;
/// - those that lie apart (the plate either way up), and the turn that mounts on one line leave open, are settled by
///   `settle`.
pub fn place(holes: &[PartHole], mounts: &[Mount], settle: Settle<'_>) -> Result<Placement, PlaceError> {
    mount::check(holes, mounts)?;
    let judge = match settle {
        Settle::LeastTurn => Judge::LeastTurn,
        Settle::Support { seat, want } => Judge::Support {
            seat,
            want,
            frame: want.frame()?,
        },
    };
    let found = best_of_each_start(starts(holes, mounts));
    let best = found
        .iter()
        .map(|(_, ratio)| *ratio)
        .fold(f64::INFINITY, f64::min);
    let line = common_line(mounts);
    let mut chosen: Option<(Isometry3<f64>, bool, f64)> = None;
    for (pose, ratio) in found {
        if ratio > best + AS_GOOD * best.max(1.0) {
            continue;
        }
        let open = line.filter(|&line| turns_freely(holes, mounts, &pose, line));
        let pose = open.map_or(pose, |line| judge.settle(&pose, line));
        let cost = judge.cost(&pose);
        if chosen
            .as_ref()
            .is_none_or(|(.., least)| cost < least - AS_GOOD * least.max(1.0))
        {
            chosen = Some((pose, open.is_some(), cost));
        }
    }
    let (pose, open) = chosen.map_or((Isometry3::identity(), false), |(pose, open, _)| (pose, open));
    let mounts_stand = states(holes, mounts, &pose);
    let ratio = mounts_stand.iter().map(MountState::ratio).fold(0.0, f64::max);
    let deciding = mounts_stand.iter().position(|m| m.ratio() >= ratio).unwrap_or(0);
    let free = line
        .filter(|_| open)
        .map(|line| freedom(mounts, line))
        .into_iter()
        .collect();
    Ok(Placement {
        pose,
        mounts: mounts_stand,
        deciding,
        ratio,
        free,
    })
}

fn best_of_each_start(starts: Vec<Start>) -> Vec<(Isometry3<f64>, f64)> {
    let mut best = f64::INFINITY;
    let mut found = Vec::new();
    for start in starts {
        if start.largest > HOPELESS * best + AS_GOOD {
            break;
        }
        let (pose, ratio) = minimax(&start.seatings, &start.pose);
        best = best.min(ratio);
        found.push((pose, ratio));
    }
    found
}

/// A point and a direction.
type Line = (Point3<f64>, Unit<Vector3<f64>>);

/// The line that all bolts are on, if there is one.
fn common_line(mounts: &[Mount]) -> Option<Line> {
    let first = mounts.first()?;
    let on_line = |m: &Mount| {
        m.axis.cross(&first.axis).norm() < ON_ONE_LINE
            && (m.at - first.at).cross(&first.axis).norm() < ON_ONE_LINE
    };
    mounts.iter().all(on_line).then_some((first.at, first.axis))
}

fn turned_about((at, axis): Line, angle_rad: f64, pose: &Isometry3<f64>) -> Isometry3<f64> {
    let turn = UnitQuaternion::from_axis_angle(&axis, angle_rad);
    Isometry3::from_parts(Translation3::from(at.coords - turn * at.coords), turn) * pose
}

/// Slots may hold what round holes would let turn, so it is tried.
fn turns_freely(holes: &[PartHole], mounts: &[Mount], pose: &Isometry3<f64>, line: Line) -> bool {
    let ratios = |pose: &Isometry3<f64>| -> Vec<f64> {
        let seatings = seat_at(holes, mounts, pose);
        seatings.iter().flat_map(|s| s.ratios(&s.stance(pose))).collect()
    };
    let here = ratios(pose);
    [0.7, 1.9, 4.0].into_iter().all(|angle_rad| {
        let there = ratios(&turned_about(line, angle_rad, pose));
        here.iter()
            .zip(&there)
            .all(|(a, b)| (a - b).abs() <= UNCHANGED * a.max(1.0))
    })
}

fn freedom(mounts: &[Mount], (at, axis): Line) -> Freedom {
    match mounts {
        [only] => Freedom::TurnAboutBolt {
            mount: only.name.clone(),
            at,
            axis,
        },
        several => Freedom::TurnAboutLine {
            mounts: several.iter().map(|m| m.name.clone()).collect(),
            at,
            axis,
        },
    }
}

/// [`Settle`] with the wanted frame worked out once.
enum Judge<'a> {
    LeastTurn,
    Support {
        seat: &'a Seat,
        want: &'a SupportWant,
        frame: support::Frame,
    },
}

impl Judge<'_> {
    fn cost(&self, pose: &Isometry3<f64>) -> f64 {
        match self {
            Self::LeastTurn => pose.rotation.angle(),
            Self::Support { seat, want, frame } => support::state(seat, want, *frame, pose).cost(),
        }
    }

    /// The best turn about a free line: looked for all the way round, then by halving the stretch that holds it.
    fn settle(&self, pose: &Isometry3<f64>, line: Line) -> Isometry3<f64> {
        let cost = |angle_rad: f64| self.cost(&turned_about(line, angle_rad, pose));
        let look = std::f64::consts::TAU / f64::from(LOOKS_AROUND);
        let mut best = (0.0, cost(0.0));
        for k in 1..LOOKS_AROUND {
            let angle_rad = f64::from(k) * look;
            let here = cost(angle_rad);
            if here < best.1 - AS_GOOD * best.1.max(1.0) {
                best = (angle_rad, here);
            }
        }
        turned_about(line, least_between(best.0 - look, best.0 + look, &cost), pose)
    }
}

/// Golden-section search (Kiefer 1953, from memory) down to where rounding hides the rest.
fn least_between(mut low: f64, mut high: f64, cost: &dyn Fn(f64) -> f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let mut inner = [high - (high - low) * GOLDEN, low + (high - low) * GOLDEN];
    let mut costs = inner.map(cost);
    for _ in 0..60 {
        if costs[0] <= costs[1] {
            high = inner[1];
            inner = [high - (high - low) * GOLDEN, inner[0]];
            costs = [cost(inner[0]), costs[0]];
        } else {
            low = inner[0];
            inner = [inner[1], low + (high - low) * GOLDEN];
            costs = [costs[1], cost(inner[1])];
        }
    }
    (low + high) / 2.0
}
