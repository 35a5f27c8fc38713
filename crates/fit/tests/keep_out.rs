//! Keep-outs: worked distances, and every shape against a close-meshed search of the same triangles.

use fit::{ClearanceError, Shape, Triangle, clearance};
use nalgebra::{Isometry3, Point3, Vector3};
use proptest::prelude::*;

/// How finely the oracle divides each triangle.
const MESH: usize = 60;

/// A plate 100 x 60 x 4, its lower face on z = 0, as twelve triangles turned outward.
fn plate() -> Vec<Triangle> {
    let p = |k: usize| {
        Point3::new(
            if k & 1 == 0 { 0.0 } else { 100.0 },
            if k & 2 == 0 { 0.0 } else { 60.0 },
            if k & 4 == 0 { 0.0 } else { 4.0 },
        )
    };
    let quads = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 4, 6, 2],
        [1, 3, 7, 5],
    ];
    quads
        .iter()
        .flat_map(|&[a, b, c, d]| [[p(a), p(b), p(c)], [p(a), p(c), p(d)]])
        .collect()
}

fn clear(shape: Shape) -> f64 {
    clearance(&plate(), &Isometry3::identity(), &shape)
        .expect("sound")
        .clearance_mm
}

fn point(x: f64, y: f64, z: f64) -> Point3<f64> {
    Point3::new(x, y, z)
}

#[test]
fn a_door_beside_the_plate_is_cleared_by_the_gap_between_them() {
    let door = Shape::Box {
        middle: point(110.0, 30.0, 2.0),
        size_mm: Vector3::new(10.0, 32.0, 22.0),
    };
    assert!((clear(door) - 5.0).abs() < 1e-6);
    let corner = Shape::Box {
        middle: point(108.0, 69.0, 12.0),
        size_mm: Vector3::new(10.0, 10.0, 12.0),
    };
    assert!(
        (clear(corner) - (9.0_f64 + 16.0 + 4.0).sqrt()).abs() < 1e-6,
        "from corner to corner"
    );
}

#[test]
fn a_box_through_the_plate_is_in_it_by_half_its_narrow_way() {
    let post = Shape::Box {
        middle: point(50.0, 30.0, 2.0),
        size_mm: Vector3::new(8.0, 20.0, 60.0),
    };
    assert!((clear(post) + 4.0).abs() < 1e-6);
}

#[test]
fn a_tube_over_the_plate_is_cleared_by_its_side_and_by_its_end() {
    let lying = Shape::Cylinder {
        from: point(-20.0, 30.0, 30.0),
        to: point(150.0, 30.0, 30.0),
        radius_mm: 14.3,
    };
    assert!((clear(lying) - 11.7).abs() < 1e-6);
    let standing = Shape::Cylinder {
        from: point(50.0, 30.0, 9.0),
        to: point(50.0, 30.0, 90.0),
        radius_mm: 14.3,
    };
    assert!((clear(standing) - 5.0).abs() < 1e-6);
    let rim = Shape::Cylinder {
        from: point(110.0, 30.0, 8.0),
        to: point(110.0, 30.0, 90.0),
        radius_mm: 7.0,
    };
    assert!(
        (clear(rim) - 5.0).abs() < 1e-6,
        "3 out and 4 up from the edge to the rim"
    );
    let through = Shape::Cylinder {
        from: point(50.0, 30.0, -50.0),
        to: point(50.0, 30.0, 50.0),
        radius_mm: 6.0,
    };
    assert!((clear(through) + 6.0).abs() < 1e-6);
}

#[test]
fn a_cable_is_cleared_to_its_round() {
    let cable = Shape::Capsule {
        from: point(110.0, 30.0, 2.0),
        to: point(150.0, 30.0, 2.0),
        radius_mm: 3.0,
    };
    let found = clearance(&plate(), &Isometry3::identity(), &cable).expect("sound");
    assert!((found.clearance_mm - 7.0).abs() < 1e-9);
    assert!((found.on_part - point(100.0, 30.0, 2.0)).norm() < 1e-9);
    assert!((found.on_shape - point(107.0, 30.0, 2.0)).norm() < 1e-9);
}

#[test]
fn a_wall_is_cleared_by_the_corner_that_comes_nearest() {
    let wall = Shape::Beyond {
        at: point(130.0, 0.0, 0.0),
        toward: Vector3::x_axis(),
    };
    assert!((clear(wall) - 30.0).abs() < 1e-12);
    let crossed = Shape::Beyond {
        at: point(90.0, 0.0, 0.0),
        toward: Vector3::x_axis(),
    };
    assert!((clear(crossed) + 10.0).abs() < 1e-12);
}

#[test]
fn the_pose_moves_the_part_and_not_the_shape() {
    let wall = Shape::Beyond {
        at: point(0.0, 0.0, 50.0),
        toward: Vector3::z_axis(),
    };
    let raised = Isometry3::translation(0.0, 0.0, 40.0);
    let found = clearance(&plate(), &raised, &wall).expect("sound").clearance_mm;
    assert!((found - 6.0).abs() < 1e-12);
}

#[test]
fn a_pin_wholly_inside_the_metal_is_not_clear() {
    let pin = Shape::Capsule {
        from: point(40.0, 30.0, 2.0),
        to: point(60.0, 30.0, 2.0),
        radius_mm: 0.5,
    };
    let found = clearance(&plate(), &Isometry3::identity(), &pin).expect("sound");
    assert!(found.swallowed && found.clearance_mm < 0.0, "{found:?}");
}

#[test]
fn shapes_without_a_size_are_refused() {
    let flat = Shape::Box {
        middle: Point3::origin(),
        size_mm: Vector3::new(1.0, 0.0, 1.0),
    };
    let found = clearance(&plate(), &Isometry3::identity(), &flat);
    assert_eq!(
        found,
        Err(ClearanceError::NoSize {
            what: "the depth",
            mm: 0.0
        })
    );
    assert_eq!(
        clearance(&[], &Isometry3::identity(), &flat),
        Err(ClearanceError::NoTriangles)
    );
}

/// The distance of a point from a shape by another road than the room's: straight from what the shape is.
fn outside(shape: &Shape, p: Point3<f64>) -> f64 {
    match *shape {
        Shape::Box { middle, size_mm } => {
            let past = (p - middle).abs() - size_mm / 2.0;
            let out = past.map(|x| x.max(0.0)).norm();
            if out > 0.0 { out } else { past.max() }
        }
        Shape::Cylinder { from, to, radius_mm } => {
            let axis = (to - from).normalize();
            let z = (p - from).dot(&axis);
            let r = (p - from).cross(&axis).norm();
            let (side, end) = (r - radius_mm, (-z).max(z - (to - from).norm()));
            let out = side.max(0.0).hypot(end.max(0.0));
            if out > 0.0 { out } else { side.max(end) }
        }
        Shape::Capsule { from, to, radius_mm } => {
            let share = ((p - from).dot(&(to - from)) / (to - from).norm_squared()).clamp(0.0, 1.0);
            (p - (from + (to - from) * share)).norm() - radius_mm
        }
        Shape::Beyond { at, toward } => -(p - at).dot(&toward),
    }
}

/// The least of that over points strewn evenly over each triangle: never less than the truth, and no further from it
/// than the strewing is wide.
fn strewn(triangles: &[Triangle], shape: &Shape) -> f64 {
    let mut least = f64::INFINITY;
    for [a, b, c] in triangles {
        for i in 0..=MESH {
            for j in 0..=MESH - i {
                let (s, t) = (i as f64 / MESH as f64, j as f64 / MESH as f64);
                least = least.min(outside(shape, a + (b - a) * s + (c - a) * t));
            }
        }
    }
    least
}

fn some_point(size: f64) -> impl Strategy<Value = Point3<f64>> {
    (-size..size, -size..size, -size..size).prop_map(|(x, y, z)| Point3::new(x, y, z))
}

fn some_shape() -> impl Strategy<Value = Shape> {
    prop_oneof![
        (some_point(40.0), some_point(20.0)).prop_map(|(middle, size)| Shape::Box {
            middle,
            size_mm: size.coords.abs().add_scalar(1.0),
        }),
        (some_point(40.0), some_point(40.0), 0.5..15.0).prop_map(|(from, to, radius_mm)| Shape::Cylinder {
            from,
            to,
            radius_mm,
        }),
        (some_point(40.0), some_point(40.0), 0.5..15.0).prop_map(|(from, to, radius_mm)| Shape::Capsule {
            from,
            to,
            radius_mm,
        }),
        (some_point(40.0), some_point(1.0))
            .prop_filter("a direction", |(_, way)| way.coords.norm() > 0.1)
            .prop_map(|(at, way)| Shape::Beyond {
                at,
                toward: nalgebra::Unit::new_normalize(way.coords)
            }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: std::env::var("GUSSET_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(128),
        ..ProptestConfig::default()
    })]

    #[test]
    fn no_point_of_the_part_is_nearer_than_the_clearance(
        corners in prop::collection::vec([some_point(30.0), some_point(30.0), some_point(30.0)], 1..5),
        shape in some_shape(),
    ) {
        // A few loose triangles can stand round half of a shape and bound nothing: each is a leaf with two faces.
        let leaves: Vec<_> = corners.iter().flat_map(|&[a, b, c]| [[a, b, c], [a, c, b]]).collect();
        let found = clearance(&leaves, &Isometry3::identity(), &shape).expect("sound");
        let near = strewn(&corners, &shape);
        let wide = corners.iter().map(|[a, b, c]| (b - a).norm().max((c - a).norm())).fold(0.0, f64::max);
        prop_assert!(found.clearance_mm <= near + 1e-6, "{found:?} but {near}");
        prop_assert!(found.clearance_mm >= near - wide / MESH as f64 * 1.01, "{found:?} but {near}");
        prop_assert!((outside(&shape, found.on_part) - found.clearance_mm).abs() < 1e-9);
        prop_assert!(outside(&shape, found.on_shape).abs() < 1e-6, "{found:?}");
        prop_assert!(!found.swallowed);
    }
}
