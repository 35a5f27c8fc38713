//! How far apart two convex pieces are, or how deep one is in the other.

use nalgebra::Vector3;

use super::prism::Prism;

/// Edges nearly parallel cross to no axis worth a look: what it would show, the faces beside them show.
const PARALLEL: f64 = 1e-9;

/// What stands between two pieces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Above 0: they are at least so far apart, and exactly so where faces or edges are nearest. Below 0: by so much must
    /// one be moved to come free, mm.
    pub mm: f64,
    /// The unit axis it was seen along.
    pub axis: Vector3<f64>,
}

/// The gap as seen along one unit axis: never more than the true one.
pub fn gap_along(a: &Prism, b: &Prism, axis: &Vector3<f64>) -> f64 {
    let (a, b) = (a.extent(axis), b.extent(axis));
    (b.0 - a.1).max(a.0 - b.1)
}

/// The gap between two convex pieces, by separating axes: the normals of both and the crosses of their edges. Two convex
/// polyhedra are apart just when one of these shows it, and the least overlap along them is the depth.
pub fn gap(a: &Prism, b: &Prism) -> Gap {
    gap_over(a, b, f64::INFINITY)
}

/// The gap, or the first axis along which they are farther apart than this.
pub fn gap_over(a: &Prism, b: &Prism, enough_mm: f64) -> Gap {
    let best = gap_of_faces(a, b, enough_mm);
    if best.mm > enough_mm {
        return best;
    }
    let crosses = a.edges.iter().flat_map(|first| {
        let crossed = b.edges.iter().map(move |second| first.cross(second));
        crossed.filter_map(|axis| axis.try_normalize(PARALLEL))
    });
    widest(a, b, crosses, best, enough_mm)
}

/// The same along the normals of both alone: enough for two prisms that stand along one line.
pub(crate) fn gap_of_faces(a: &Prism, b: &Prism, enough_mm: f64) -> Gap {
    let none = Gap {
        mm: f64::NEG_INFINITY,
        axis: Vector3::z(),
    };
    let normals = a.normals.iter().chain(&b.normals).copied();
    widest(a, b, normals, none, enough_mm)
}

fn widest(a: &Prism, b: &Prism, axes: impl Iterator<Item = Vector3<f64>>, known: Gap, enough_mm: f64) -> Gap {
    let mut best = known;
    for axis in axes {
        let mm = gap_along(a, b, &axis);
        if mm > best.mm {
            best = Gap { mm, axis };
            if mm > enough_mm {
                break;
            }
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use nalgebra::{Isometry3, UnitQuaternion};
    use proptest::prelude::*;

    use super::*;

    fn cube(at: [f64; 3], side_mm: f64) -> Prism {
        let [x, y, z] = at;
        let base = [(0.0, 0.0), (side_mm, 0.0), (side_mm, side_mm), (0.0, side_mm)];
        let base = base.map(|(dx, dy)| Vector3::new(x + dx, y + dy, z));
        Prism::new(base.to_vec(), Vector3::new(0.0, 0.0, side_mm)).expect("a cube")
    }

    #[test]
    fn cubes_side_by_side_are_as_far_apart_as_their_faces() {
        assert!((gap(&cube([0.0; 3], 10.0), &cube([13.0, 2.0, 1.0], 10.0)).mm - 3.0).abs() < 1e-12);
    }

    #[test]
    fn a_cube_4_mm_into_another_comes_free_by_4_mm() {
        let found = gap(&cube([0.0; 3], 10.0), &cube([1.0, 6.0, -2.0], 10.0));
        assert!(
            (found.mm + 4.0).abs() < 1e-12 && found.axis.y.abs() > 0.999,
            "{found:?}"
        );
    }

    #[test]
    fn two_edges_that_cross_are_seen_along_neither_ones_faces() {
        // Two roofs, ridge over ridge, crossing: apart by 1 mm between the ridges only.
        let roof = [
            Vector3::new(-10.0, -20.0, -10.0),
            Vector3::new(10.0, -20.0, -10.0),
            Vector3::new(0.0, -20.0, 0.0),
        ];
        let below = Prism::new(roof.to_vec(), Vector3::new(0.0, 40.0, 0.0)).expect("a roof");
        let turned =
            UnitQuaternion::from_euler_angles(std::f64::consts::PI, 0.0, std::f64::consts::FRAC_PI_2);
        let above = below.moved(&Isometry3::from_parts(
            nalgebra::Translation3::new(0.0, 0.0, 1.0),
            turned,
        ));
        assert!((gap(&below, &above).mm - 1.0).abs() < 1e-9);
    }

    /// Nearest points of two boxes by alternating projection: slow, simple, and another way altogether.
    fn nearest_mm(a: &Prism, b: &Prism) -> f64 {
        let clamp = |prism: &Prism, p: Vector3<f64>| {
            let edge = |v: Vector3<f64>| (v.normalize(), v.norm());
            let axes = [
                edge(prism.base[1] - prism.base[0]),
                edge(prism.base[3] - prism.base[0]),
                edge(prism.along),
            ];
            let from = p - prism.base[0];
            axes.iter().fold(prism.base[0], |at, (axis, long)| {
                at + axis * from.dot(axis).clamp(0.0, *long)
            })
        };
        let (mut p, mut q) = (a.centre, b.centre);
        for _ in 0..4000 {
            p = clamp(a, q);
            q = clamp(b, p);
        }
        (p - q).norm()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]
        #[test]
        fn never_more_than_the_true_distance_and_apart_just_when_apart(
            turn in prop::array::uniform3(-3.0..3.0f64),
            at in prop::array::uniform3(-18.0..18.0f64),
        ) {
            let a = cube([-5.0; 3], 10.0);
            let b = cube([-4.0; 3], 8.0).moved(&Isometry3::from_parts(
                nalgebra::Translation3::new(at[0], at[1], at[2]),
                UnitQuaternion::from_euler_angles(turn[0], turn[1], turn[2]),
            ));
            let (seen, near) = (gap(&a, &b).mm, nearest_mm(&a, &b));
            prop_assert!(seen <= near + 1e-6, "{seen} {near}");
            if near > 1e-3 {
                prop_assert!(seen > 0.0, "{near} mm apart, and {seen} seen");
                // The worst of it: corner to corner, seen along the nearest face.
                prop_assert!(seen > near / 3f64.sqrt() - 1e-3, "{seen} of {near}");
            } else {
                prop_assert!(seen <= 1e-3);
            }
        }
    }
}
