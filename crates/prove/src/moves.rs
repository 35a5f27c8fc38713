//! How the support moves, told as a person would see it: how far, how much it tips, how much it twists.

use nalgebra::{Point3, Unit, Vector3, Vector6};

use crate::answer::Moves;
use crate::bracket::Bracket;

/// From the middle of the mounts toward the support, unit, in equipment axes: the line about which the part twists. None
/// when one lies on the other.
pub(crate) fn arm(bracket: &Bracket<'_>, to: Point3<f64>) -> Option<Unit<Vector3<f64>>> {
    let mounts: Vec<usize> = bracket.mounts.iter().map(|mount| mount.opening).collect();
    let from = bracket.middle_of(&mounts)?;
    Unit::try_new(to - from, plane::SAME_POINT_MM)
}

/// The movement of a node as movement, twist about the arm and bending across it.
pub(crate) fn moves(node: &Vector6<f64>, arm: Option<Unit<Vector3<f64>>>) -> Moves {
    let moves_mm: Vector3<f64> = node.fixed_rows::<3>(0).into();
    let turns_rad: Vector3<f64> = node.fixed_rows::<3>(3).into();
    let twist_rad = arm.map_or(0.0, |arm| turns_rad.dot(&arm));
    let across = arm.map_or(turns_rad, |arm| turns_rad - arm.into_inner() * twist_rad);
    Moves {
        moves_mm,
        turns_rad,
        twist_rad,
        bend_rad: across.norm(),
    }
}
