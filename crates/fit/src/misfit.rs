//! How far a part at a pose is from mounts and support, as numbers that change smoothly: what a search for open
//! measures makes small.

use nalgebra::{Isometry3, Translation3, UnitQuaternion, Vector3};

use crate::PartHole;
use crate::mount::{self, Mount, MountError};
use crate::seating::{Seating, resting_sign};
use crate::support::{Seat, SupportError, SupportWant, sit};

/// Why there is no misfit to tell.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MisfitError {
    /// The mounts are at fault.
    #[error(transparent)]
    Mount(#[from] MountError),
    /// The support is at fault.
    #[error(transparent)]
    Support(#[from] SupportError),
}

/// A pose moved by a twist: mm along and radians about the equipment's axes, the turn about the pose's own origin.
/// Fewer than six numbers leave the rest at nothing.
pub fn twisted(pose: &Isometry3<f64>, twist: &[f64]) -> Isometry3<f64> {
    let at = |index: usize| twist.get(index).copied().unwrap_or(0.0);
    let turn = UnitQuaternion::from_scaled_axis(Vector3::new(at(3), at(4), at(5)));
    let slide = Translation3::new(
        pose.translation.x + at(0),
        pose.translation.y + at(1),
        pose.translation.z + at(2),
    );
    Isometry3::from_parts(slide, turn * pose.rotation)
}

/// Everything by which the part misses, each over what is allowed: for every mount two offsets across its axis, the gap
/// and the two parts of the tilt; for the support three offsets, three of its facing and three of its length, and its
/// spacing. At most 1 each when all is met. The faces that rest are those that rest at `near`, so that no small move
/// changes them.
///
/// # Errors
/// As [`crate::judge`] and [`sit`].
pub fn misfit(
    holes: &[PartHole],
    mounts: &[Mount],
    support: Option<(&Seat, &SupportWant)>,
    pose: &Isometry3<f64>,
    near: &Isometry3<f64>,
) -> Result<Vec<f64>, MisfitError> {
    mount::check(holes, mounts)?;
    let mut misses = Vec::with_capacity(5 * mounts.len() + 10);
    for mount in mounts {
        let hole = &holes[mount.hole];
        let seating = Seating::new(hole, mount, resting_sign(hole, mount, near));
        let stance = seating.stance(pose);
        // In the direction of the offset, as long as its ratio: over the round play this is the offset itself, scaled.
        let offset = stance
            .offset_mm
            .try_normalize(f64::MIN_POSITIVE)
            .unwrap_or_default()
            * stance.gauge.ratio;
        let lean = seating.flat(stance.outward) / mount.tilt_allowed_rad;
        misses.extend([
            offset.x,
            offset.y,
            stance.gap_mm / mount.gap_allowed_mm,
            lean.x,
            lean.y,
        ]);
    }
    if let Some((seat, want)) = support {
        let state = sit(seat, want, pose)?;
        let (facing, along) = want.frame()?;
        misses.extend((state.off_by / want.allowed_mm).iter());
        misses.extend(((state.facing.into_inner() - facing.into_inner()) / want.allowed_turn_rad).iter());
        let lies = state
            .along
            .map_or(Vector3::zeros(), |is| is.into_inner() - along.into_inner());
        misses.extend((lies / want.allowed_turn_rad).iter());
        if let Some(apart) = &state.apart {
            misses.push(apart.off_mm / apart.allowed_mm);
        }
    }
    Ok(misses)
}

#[cfg(test)]
mod tests {
    use nalgebra::{Point3, Unit};

    use super::*;
    use crate::{Allowance, HoleShape};

    fn one_hole() -> (Vec<PartHole>, Vec<Mount>) {
        let hole = PartHole {
            name: "h".into(),
            at: Point3::new(0.0, 0.0, 1.5),
            axis: Vector3::z_axis(),
            thickness_mm: 3.0,
            shape: HoleShape::Round { dia_mm: 9.0 },
        };
        let mount = Mount {
            name: "m".into(),
            hole: 0,
            at: Point3::origin(),
            axis: Vector3::z_axis(),
            allowance: Allowance::round(0.5),
            gap_allowed_mm: 0.5,
            tilt_allowed_rad: 0.02,
        };
        (vec![hole], vec![mount])
    }

    #[test]
    fn a_plate_that_lies_on_its_seat_misses_nothing() {
        let (holes, mounts) = one_hole();
        let pose = Isometry3::identity();
        let misses = misfit(&holes, &mounts, None, &pose, &pose).expect("sound mounts");
        assert!(misses.iter().all(|miss| miss.abs() < 1e-12), "{misses:?}");
    }

    #[test]
    fn a_slide_and_a_tip_show_over_what_is_allowed() {
        let (holes, mounts) = one_hole();
        let near = Isometry3::identity();
        let slid = twisted(&near, &[0.25, 0.0, 0.1, 0.0, 0.01]);
        let misses = misfit(&holes, &mounts, None, &slid, &near).expect("sound mounts");
        let offset = misses[0].hypot(misses[1]);
        let lean = misses[3].hypot(misses[4]);
        // The tip carries the hole by up to 0.01 of the 0.1 mm it stands off its seat, over 0.5 allowed.
        assert!((offset - 0.5).abs() < 2e-3, "{offset}");
        assert!((misses[2] - 0.2).abs() < 1e-3, "{}", misses[2]);
        assert!((lean - 0.5).abs() < 1e-3, "{lean}");
    }

    #[test]
    fn a_twist_turns_about_the_pose_s_own_origin() {
        let pose = Isometry3::translation(10.0, 0.0, 0.0);
        let turned = twisted(&pose, &[0.0, 0.0, 0.0, 0.0, 0.0, std::f64::consts::FRAC_PI_2]);
        let at = turned * Point3::new(1.0, 0.0, 0.0);
        assert!((at - Point3::new(10.0, 1.0, 0.0)).norm() < 1e-12);
        let axis = turned.rotation * Unit::new_normalize(Vector3::x());
        assert!((axis.y - 1.0).abs() < 1e-12);
    }
}
