//! Large turns as rotation vectors.

use nalgebra::{Matrix3, Rotation3, UnitQuaternion};

use crate::Vector;

/// Below this angle, rad, series serve: their next terms are under the rounding.
const SMALL: f64 = 1e-3;

/// The turn of a rotation matrix.
pub(crate) fn of_matrix(matrix: Matrix3<f64>) -> UnitQuaternion<f64> {
    UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(matrix))
}

/// `eta = (1 - (a / 2) cot(a / 2)) / a^2` for an angle `a`.
fn eta(angle: f64) -> f64 {
    if angle < SMALL {
        1.0 / 12.0 + angle * angle / 720.0
    } else {
        (1.0 - 0.5 * angle / (0.5 * angle).tan()) / (angle * angle)
    }
}

/// How a rotation vector changes with a small further turn: `I - skew(v) / 2 + eta skew(v)^2` (Nour-Omid and Rankin 1991).
pub(crate) fn change(vector: &Vector) -> Matrix3<f64> {
    let skew = vector.cross_matrix();
    Matrix3::identity() - skew * 0.5 + skew * skew * eta(vector.norm())
}

/// How `change(vector)^T moment` changes with a small further turn, `eta` taken as constant (Felippa and Haugen 2005, the
/// matrix L without its term in the slope of eta).
pub(crate) fn change_of_moment(vector: &Vector, moment: &Vector) -> Matrix3<f64> {
    let eta = eta(vector.norm());
    let bracket = Matrix3::identity() * vector.dot(moment) + vector * moment.transpose()
        - moment * vector.transpose() * 2.0;
    (bracket * eta - moment.cross_matrix() * 0.5) * change(vector)
}
