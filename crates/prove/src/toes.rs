//! Toes of the welds along seams: where stress is extrapolated and not read.

use nalgebra::{Point3, Vector3};
use shell::{InPlane, Near, Recovered, Toe};

use crate::body::Body;
use crate::seams::into_plate;

/// What lies nearer to a toe than this, in thicknesses, is not read: the first place that the stress at the toe is
/// extrapolated from.
pub(crate) const NOT_READ: f64 = 0.4;

/// A principal stress counts for a toe when it runs within this of square to it (International Institute of Welding,
/// recommendations for fatigue design; from memory).
const SQUARE_WITHIN_RAD: f64 = std::f64::consts::FRAC_PI_3;

/// The toes of a part's welds, node by node, on both plates of each seam.
pub(crate) struct Toes {
    /// Each with its node.
    pub toes: Vec<(u32, Toe)>,
    near: Near,
}

impl Toes {
    /// The toe is taken where the plates meet: the weld itself is not modelled.
    pub fn of(body: &Body) -> Toes {
        let mesh = &body.mesh;
        let mut toes = Vec::new();
        for edge in body.seams.iter().flat_map(|seam| [&seam.first, &seam.second]) {
            for &node in edge {
                let away = into_plate(mesh, edge, node);
                let patch = body.patch_of[node as usize];
                toes.extend(Toe::new(mesh, patch, mesh.nodes[node as usize], away).map(|toe| (node, toe)));
            }
        }
        let near = Near::new(toes.iter().map(|(_, toe)| toe.at));
        Toes { toes, near }
    }

    /// Is a place too near to a toe for its stress to be read?
    pub fn covers(&self, at: Point3<f64>, thickness_mm: f64) -> bool {
        self.near.within(at, NOT_READ * thickness_mm).is_some()
    }
}

/// What counts for the life of a toe, MPa, from the stress there with x square to the toe: the largest principal stress
/// that runs nearly square to it, and no less than what is square to it.
pub(crate) fn across(stress: InPlane) -> f64 {
    let InPlane { xx, yy, xy } = stress;
    let (middle, half) = ((xx + yy) / 2.0, ((xx - yy) / 2.0).hypot(xy));
    // From x to the direction of the first principal stress; the second is a right angle on.
    let first_rad = 0.5 * (2.0 * xy).atan2(xx - yy).abs();
    let second_rad = std::f64::consts::FRAC_PI_2 - first_rad;
    [(middle + half, first_rad), (middle - half, second_rad)]
        .into_iter()
        .filter(|(_, off_rad)| *off_rad <= SQUARE_WITHIN_RAD)
        .map(|(mpa, _)| mpa.abs())
        .fold(xx.abs(), f64::max)
}

/// The range at a toe between two solutions at a face, MPa.
pub(crate) fn range_mpa(toe: &Toe, face: shell::Face, from: &Recovered, to: &Recovered) -> f64 {
    across(toe.stress_mpa(to, face).0 - toe.stress_mpa(from, face).0)
}

/// The principal stress of larger size, MPa, and its direction.
pub(crate) fn larger(principal: shell::Principal, normal: &Vector3<f64>) -> (f64, Vector3<f64>) {
    if principal.second_mpa.abs() > principal.first_mpa.abs() {
        (principal.second_mpa, normal.cross(&principal.direction))
    } else {
        (principal.first_mpa, principal.direction)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pull_along_the_weld_counts_only_by_what_is_square_to_it() {
        let along = InPlane {
            xx: 10.0,
            yy: 100.0,
            xy: 0.0,
        };
        assert_eq!(across(along), 10.0);
        // Shear alone makes principal stresses at 45 degrees: both count.
        let shear = InPlane {
            xx: 0.0,
            yy: 0.0,
            xy: -80.0,
        };
        assert!((across(shear) - 80.0).abs() < 1e-12);
        // A pull at 50 degrees to square is within 60, at 70 it is not.
        let at = |degrees: f64| {
            let (c, s) = (degrees.to_radians().cos(), degrees.to_radians().sin());
            InPlane {
                xx: 100.0 * c * c,
                yy: 100.0 * s * s,
                xy: 100.0 * c * s,
            }
        };
        assert!((across(at(50.0)) - 100.0).abs() < 1e-9);
        assert!((across(at(70.0)) - at(70.0).xx).abs() < 1e-9);
    }
}
