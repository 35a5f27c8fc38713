//! A mount of the equipment, and what can be wrong with a set of them.

use nalgebra::{Point3, Unit, Vector3};
use thiserror::Error;

use crate::{Allowance, HoleShape, PartHole};

/// Two mounts whose seats are closer than this are one place: well under what a tape or a caliper tells apart.
const SAME_PLACE_MM: f64 = 1e-6;
/// How far from 1 the length of a unit vector may be: rounding, no more.
const UNIT_SLACK: f64 = 1e-6;
/// A slot whose direction leans out of its plane by more than this (cosine against the axis) was not meant to lie in it.
const ACROSS_SLACK: f64 = 1e-3;

/// A place on the equipment where a hole of the part is bolted, in equipment axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Mount {
    /// Its name in the fit.
    pub name: String,
    /// The hole that comes here, as an index into the part's holes.
    pub hole: usize,
    /// The middle of the seat: where the bolt's line leaves it.
    pub at: Point3<f64>,
    /// Along the bolt, out of the seat and toward the plate.
    pub axis: Unit<Vector3<f64>>,
    /// The play of the bolt.
    pub allowance: Allowance,
    /// The largest gap at the seat that the bolt may pull down (or sinking that the plate may take), above 0.
    pub gap_allowed_mm: f64,
    /// The largest tilt of the plate against the seat, above 0.
    pub tilt_allowed_rad: f64,
}

/// Why a part cannot be placed on a set of mounts.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum MountError {
    /// There is nothing to place the part on.
    #[error("there are no mounts to place the part on")]
    NoMounts,
    /// A mount asks for a hole that the part does not have.
    #[error("mount {mount} asks for hole {hole}, but the part has {holes}")]
    NoSuchHole {
        /// The mount.
        mount: String,
        /// The index it asks for.
        hole: usize,
        /// How many holes there are.
        holes: usize,
    },
    /// Two mounts ask for the same hole.
    #[error("mounts {first} and {second} both ask for hole {hole}")]
    OneHoleForTwo {
        /// One mount.
        first: String,
        /// The other.
        second: String,
        /// The hole's name.
        hole: String,
    },
    /// Two mounts are in the same place.
    #[error("mounts {first} and {second} are in the same place")]
    SamePlace {
        /// One mount.
        first: String,
        /// The other.
        second: String,
    },
    /// A direction is not a unit vector.
    #[error("the direction given for {about} has length {length}, not 1")]
    NotADirection {
        /// The mount or hole.
        about: String,
        /// The length found.
        length: f64,
    },
    /// A slot's length does not lie across its own axis.
    #[error("the slot of {about} does not lie across its axis: it leans {leans_rad:.4} rad out of its plane")]
    SlotNotAcross {
        /// The mount or hole.
        about: String,
        /// By how much.
        leans_rad: f64,
    },
    /// The allowance speaks of a slot in the part, but the hole is round.
    #[error("mount {mount} allows for a slot, but hole {hole} is round")]
    HoleIsRound {
        /// The mount.
        mount: String,
        /// The hole.
        hole: String,
    },
    /// A coordinate or size is not a number.
    #[error("a coordinate or size of {about} is not a finite number")]
    NotFinite {
        /// The mount or hole.
        about: String,
    },
    /// An allowance is not above 0.
    #[error("{what} of mount {mount} is {value}; it must be above 0")]
    NothingAllowed {
        /// The mount.
        mount: String,
        /// Which allowance.
        what: &'static str,
        /// What was given.
        value: f64,
    },
}

/// Everything that must hold before a pose is looked for or judged.
pub(crate) fn check(holes: &[PartHole], mounts: &[Mount]) -> Result<(), MountError> {
    if mounts.is_empty() {
        return Err(MountError::NoMounts);
    }
    for (i, mount) in mounts.iter().enumerate() {
        let Some(hole) = holes.get(mount.hole) else {
            return Err(MountError::NoSuchHole {
                mount: mount.name.clone(),
                hole: mount.hole,
                holes: holes.len(),
            });
        };
        check_mount(mount)?;
        check_hole(hole)?;
        if mount.allowance.hole_half_run_mm > 0.0 && matches!(hole.shape, HoleShape::Round { .. }) {
            return Err(MountError::HoleIsRound {
                mount: mount.name.clone(),
                hole: hole.name.clone(),
            });
        }
        for earlier in &mounts[..i] {
            let (first, second) = (earlier.name.clone(), mount.name.clone());
            if earlier.hole == mount.hole {
                return Err(MountError::OneHoleForTwo {
                    first,
                    second,
                    hole: hole.name.clone(),
                });
            }
            if (earlier.at - mount.at).norm() < SAME_PLACE_MM {
                return Err(MountError::SamePlace { first, second });
            }
        }
    }
    Ok(())
}

fn check_mount(mount: &Mount) -> Result<(), MountError> {
    let Allowance {
        round_mm,
        mount_slot,
        hole_half_run_mm,
    } = mount.allowance;
    let half_run_mm = mount_slot.map_or(0.0, |s| s.half_run_mm);
    finite(
        &mount.name,
        mount.at.iter().copied().chain([half_run_mm, hole_half_run_mm]),
    )?;
    direction(&mount.name, &mount.axis)?;
    for (what, value) in [
        ("the play of the bolt", round_mm),
        ("the gap allowed", mount.gap_allowed_mm),
        ("the tilt allowed", mount.tilt_allowed_rad),
    ] {
        if !(value.is_finite() && value > 0.0) {
            return Err(MountError::NothingAllowed {
                mount: mount.name.clone(),
                what,
                value,
            });
        }
    }
    for value in [half_run_mm, hole_half_run_mm] {
        if value < 0.0 {
            let what = "the run of the slot";
            return Err(MountError::NothingAllowed {
                mount: mount.name.clone(),
                what,
                value,
            });
        }
    }
    mount_slot.map_or(Ok(()), |slot| across(&mount.name, &slot.along, &mount.axis))
}

fn check_hole(hole: &PartHole) -> Result<(), MountError> {
    finite(&hole.name, hole.at.iter().copied().chain([hole.thickness_mm]))?;
    direction(&hole.name, &hole.axis)?;
    match &hole.shape {
        HoleShape::Round { .. } => Ok(()),
        HoleShape::Slot { along, .. } => across(&hole.name, along, &hole.axis),
    }
}

fn finite(about: &str, values: impl IntoIterator<Item = f64>) -> Result<(), MountError> {
    if values.into_iter().all(f64::is_finite) {
        Ok(())
    } else {
        Err(MountError::NotFinite {
            about: about.to_owned(),
        })
    }
}

fn direction(about: &str, unit: &Unit<Vector3<f64>>) -> Result<(), MountError> {
    let length = unit.as_ref().norm();
    if (length - 1.0).abs() < UNIT_SLACK {
        Ok(())
    } else {
        Err(MountError::NotADirection {
            about: about.to_owned(),
            length,
        })
    }
}

fn across(about: &str, along: &Unit<Vector3<f64>>, axis: &Unit<Vector3<f64>>) -> Result<(), MountError> {
    direction(about, along)?;
    let leans = along.dot(axis).abs();
    if leans < ACROSS_SLACK {
        Ok(())
    } else {
        Err(MountError::SlotNotAcross {
            about: about.to_owned(),
            leans_rad: leans.min(1.0).asin(),
        })
    }
}
