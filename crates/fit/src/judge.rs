//! How every mount stands at a pose.

use nalgebra::Isometry3;

use crate::PartHole;
use crate::mount::{self, Mount, MountError};
use crate::seating::{Seating, resting_sign};

/// Which face of the plate lies on the seat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rests {
    /// The face whose outward normal is the hole's axis.
    AxisFace,
    /// The other one.
    OtherFace,
}

/// What stands nearest its allowance, or furthest over it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deciding {
    /// The offset of the hole from the bolt.
    Offset,
    /// The gap at the seat.
    Gap,
    /// The tilt of the plate against the seat.
    Tilt,
}

/// How one mount stands.
///
/// Offset and gap are those of the hole's centre on the face that rests on the seat. Where there is both a gap and a
/// tilt, the hole is brought down to the seat along the mean of the bolt's line and the plate's normal before the offset
/// is taken: it differs from the plain distance across the bolt by gap x tan(tilt / 2), 0.004 mm for 0.5 mm and 1 degree.
/// Without that, a plate whose holes are too far apart would seem to fit better the more it leans.
#[derive(Debug, Clone, PartialEq)]
pub struct MountState {
    /// The mount's name.
    pub mount: String,
    /// The hole's name.
    pub hole: String,
    /// The face that rests on the seat.
    pub rests: Rests,
    /// Distance of the hole's centre from the bolt's line, across it, once brought to the seat.
    pub offset_mm: f64,
    /// What is allowed in the direction of that offset (a slot allows more along itself than across).
    pub allowed_mm: f64,
    /// From the seat to the plate, along the bolt: above 0 the plate stands off, below 0 it would sink in.
    pub gap_mm: f64,
    /// The gap allowed.
    pub gap_allowed_mm: f64,
    /// Between the plate and the seat.
    pub tilt_rad: f64,
    /// The tilt allowed.
    pub tilt_allowed_rad: f64,
    /// Offset over allowed.
    pub offset_ratio: f64,
    /// Gap over allowed, without its sign.
    pub gap_ratio: f64,
    /// Tilt over allowed.
    pub tilt_ratio: f64,
}

impl MountState {
    /// The largest of the three ratios: at most 1 when the bolt goes in and pulls the plate down.
    pub fn ratio(&self) -> f64 {
        self.offset_ratio.max(self.gap_ratio).max(self.tilt_ratio)
    }

    /// Which of the three it is; the offset before the gap before the tilt where they are equal.
    pub fn deciding(&self) -> Deciding {
        let ratio = self.ratio();
        if self.offset_ratio >= ratio {
            Deciding::Offset
        } else if self.gap_ratio >= ratio {
            Deciding::Gap
        } else {
            Deciding::Tilt
        }
    }

    /// Whether all three are within what is allowed.
    pub fn within(&self) -> bool {
        self.ratio() <= 1.0
    }

    /// The tilt in degrees.
    pub fn tilt_deg(&self) -> f64 {
        self.tilt_rad.to_degrees()
    }
}

/// How every mount stands at `pose` (part axes to equipment axes), in the order of the mounts.
pub fn judge(
    holes: &[PartHole],
    mounts: &[Mount],
    pose: &Isometry3<f64>,
) -> Result<Vec<MountState>, MountError> {
    mount::check(holes, mounts)?;
    Ok(states(holes, mounts, pose))
}

/// The same, once the mounts are known to be sound.
pub(crate) fn states(holes: &[PartHole], mounts: &[Mount], pose: &Isometry3<f64>) -> Vec<MountState> {
    mounts
        .iter()
        .map(|mount| state(&holes[mount.hole], mount, pose))
        .collect()
}

fn state(hole: &PartHole, mount: &Mount, pose: &Isometry3<f64>) -> MountState {
    let sign = resting_sign(hole, mount, pose);
    let seating = Seating::new(hole, mount, sign);
    let stance = seating.stance(pose);
    let [offset_ratio, gap_ratio, tilt_ratio] = seating.ratios(&stance);
    let offset_mm = stance.offset_mm.norm();
    MountState {
        mount: mount.name.clone(),
        hole: hole.name.clone(),
        rests: if sign > 0.0 {
            Rests::AxisFace
        } else {
            Rests::OtherFace
        },
        offset_mm,
        allowed_mm: if offset_ratio > 0.0 {
            offset_mm / offset_ratio
        } else {
            mount.allowance.round_mm
        },
        gap_mm: stance.gap_mm,
        gap_allowed_mm: mount.gap_allowed_mm,
        tilt_rad: stance.tilt_rad,
        tilt_allowed_rad: mount.tilt_allowed_rad,
        offset_ratio,
        gap_ratio,
        tilt_ratio,
    }
}
