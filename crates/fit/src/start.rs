//! Poses to start the search from: least squares on points and normals, for every way the plate may lie.

use nalgebra::{Isometry3, Matrix3, Rotation3, UnitQuaternion, Vector3};

use crate::seating::{Seating, largest, resting_sign, seat_at};
use crate::{Mount, PartHole};

/// Up to this many mounts every choice of resting faces is tried; beyond, those that 24 square-on turns lead to.
const EVERY_CHOICE_UP_TO: usize = 5;
/// Rounds of choosing faces and fitting again; they settle in one or two.
const ROUNDS: usize = 4;
/// Two starts that differ by less than this lead to the same answer.
const SAME_TURN_RAD: f64 = 1e-6;
/// See above, for the slide.
const SAME_SLIDE_MM: f64 = 1e-6;

/// A pose and its faces, with the largest ratio there.
pub(crate) struct Start {
    pub(crate) pose: Isometry3<f64>,
    pub(crate) seatings: Vec<Seating>,
    pub(crate) largest: f64,
}

/// All starts worth trying, the best first; never empty when there are mounts.
pub(crate) fn starts(holes: &[PartHole], mounts: &[Mount]) -> Vec<Start> {
    let mut found: Vec<Start> = Vec::new();
    let mut take = |pose: Isometry3<f64>| {
        let start = settle(holes, mounts, pose);
        let known = found.iter().any(|s| {
            s.pose.rotation.angle_to(&start.pose.rotation) < SAME_TURN_RAD
                && (s.pose.translation.vector - start.pose.translation.vector).norm() < SAME_SLIDE_MM
        });
        if !known {
            found.push(start);
        }
    };
    if mounts.len() <= EVERY_CHOICE_UP_TO {
        for choice in 0..1_u32 << mounts.len() {
            let signs = |i: usize| if choice >> i & 1 == 0 { 1.0 } else { -1.0 };
            let seatings: Vec<_> = mounts
                .iter()
                .enumerate()
                .map(|(i, mount)| Seating::new(&holes[mount.hole], mount, signs(i)))
                .collect();
            take(least_squares(&seatings));
        }
    } else {
        for turn in square_turns() {
            take(Isometry3::from_parts(Vector3::zeros().into(), turn));
        }
    }
    found.sort_by(|a, b| a.largest.total_cmp(&b.largest));
    found
}

/// Fits again while the resting faces change.
fn settle(holes: &[PartHole], mounts: &[Mount], mut pose: Isometry3<f64>) -> Start {
    let mut seatings = seat_at(holes, mounts, &pose);
    for _ in 0..ROUNDS {
        let signs = |p: &Isometry3<f64>| -> Vec<bool> {
            mounts
                .iter()
                .map(|m| resting_sign(&holes[m.hole], m, p) > 0.0)
                .collect()
        };
        let before = signs(&pose);
        pose = least_squares(&seatings);
        seatings = seat_at(holes, mounts, &pose);
        if signs(&pose) == before {
            break;
        }
    }
    let largest = largest(&seatings, &pose);
    Start {
        pose,
        seatings,
        largest,
    }
}

/// The pose of least weighted squares of face centres and normals. Kabsch, Acta Crystallographica A32 (1976) 922, with
/// normals added to the sum as directions (from memory).
///
/// Points weigh by the lesser of play and gap allowed, normals by the tilt allowed. One mount, or mounts in a row, leave a turn open: the
/// decomposition then picks one, always the same.
fn least_squares(seatings: &[Seating]) -> Isometry3<f64> {
    let weigh = |s: &Seating| s.gap_allowed_mm.min(s.round_mm).powi(-2);
    let total: f64 = seatings.iter().map(weigh).sum();
    let from = seatings
        .iter()
        .map(|s| s.face.coords * weigh(s))
        .sum::<Vector3<f64>>()
        / total;
    let to = seatings
        .iter()
        .map(|s| s.at.coords * weigh(s))
        .sum::<Vector3<f64>>()
        / total;
    let mut sum = Matrix3::zeros();
    for s in seatings {
        sum += (s.at.coords - to) * (s.face.coords - from).transpose() * weigh(s);
        sum -= s.axis * s.outward.transpose() / (s.tilt_allowed_rad * s.tilt_allowed_rad);
    }
    let turn = nearest_turn(sum);
    Isometry3::from_parts((to - turn * from).into(), turn)
}

/// The turn R with the largest trace of R^T M.
fn nearest_turn(m: Matrix3<f64>) -> UnitQuaternion<f64> {
    let svd = m.svd(true, true);
    let (Some(u), Some(vt)) = (svd.u, svd.v_t) else {
        return UnitQuaternion::identity();
    };
    let mut hand = Matrix3::identity();
    hand[(2, 2)] = (u * vt).determinant().signum();
    UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(u * hand * vt))
}

/// The 24 turns that bring a cube onto itself.
fn square_turns() -> impl Iterator<Item = UnitQuaternion<f64>> {
    use std::f64::consts::{FRAC_PI_2, PI};
    let y = Vector3::y_axis();
    let x = Vector3::x_axis();
    let faces = [
        UnitQuaternion::identity(),
        UnitQuaternion::from_axis_angle(&y, FRAC_PI_2),
        UnitQuaternion::from_axis_angle(&y, PI),
        UnitQuaternion::from_axis_angle(&y, -FRAC_PI_2),
        UnitQuaternion::from_axis_angle(&x, FRAC_PI_2),
        UnitQuaternion::from_axis_angle(&x, -FRAC_PI_2),
    ];
    faces.into_iter().flat_map(|face| {
        (0..4).map(move |k| {
            face * UnitQuaternion::from_axis_angle(&Vector3::z_axis(), FRAC_PI_2 * f64::from(k))
        })
    })
}
