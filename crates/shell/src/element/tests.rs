//! The triangle by itself.

use nalgebra::{Rotation3, SymmetricEigen};

use super::*;

fn section() -> Section {
    Section {
        thickness_mm: 2.0,
        elastic_mpa: 70_000.0,
        poisson: 0.33,
        density_t_mm3: 2.7e-9,
    }
}

fn corners() -> [Point; 3] {
    [
        Point::new(1.0, 2.0, -1.0),
        Point::new(11.0, 3.0, 0.5),
        Point::new(4.0, 9.0, 2.0),
    ]
}

/// Unknowns of a small rigid motion.
fn rigid(corners: &[Point; 3], movement: Vector3<f64>, turn: Vector3<f64>) -> Vector18 {
    let mut own = Vector18::zeros();
    for (node, corner) in corners.iter().enumerate() {
        own.fixed_rows_mut::<3>(6 * node)
            .copy_from(&(movement + turn.cross(&corner.coords)));
        own.fixed_rows_mut::<3>(6 * node + 3).copy_from(&turn);
    }
    own
}

#[test]
fn six_rigid_motions_cost_nothing() {
    let stiffness = stiffness(&corners(), &section());
    for axis in 0..3 {
        let unit = Vector3::ith(axis, 1.0);
        for own in [
            rigid(&corners(), unit, Vector3::zeros()),
            rigid(&corners(), Vector3::zeros(), unit),
        ] {
            let force = stiffness * own;
            assert!(force.amax() <= 1e-9 * stiffness.amax() * own.amax(), "{force}");
        }
    }
}

#[test]
fn what_it_puts_up_is_its_stiffness_and_balances_however_far_it_has_moved() {
    let bent = Vector18::from_fn(|at, _| 1e-3 * ((7 * at + 3) % 11) as f64);
    let exact = stiffness(&corners(), &section()) * bent;
    let far = rigid(
        &corners(),
        Vector3::new(1e3, -2e3, 3e3),
        Vector3::new(10.0, 20.0, -30.0),
    );
    for own in [bent, bent + far] {
        let force = resistance(&corners(), &section(), &own);
        assert!((force - exact).amax() < 1e-8 * exact.amax());
        let sum: Vector3<f64> = (0..3)
            .map(|node| force.fixed_rows::<3>(6 * node).into_owned())
            .sum();
        assert!(sum.norm() < 1e-12 * exact.amax());
    }
}

#[test]
fn nothing_else_is_free() {
    let stiffness = stiffness(&corners(), &section());
    assert!((stiffness - stiffness.transpose()).amax() <= 1e-12 * stiffness.amax());
    let mut values: Vec<f64> = SymmetricEigen::new(stiffness)
        .eigenvalues
        .iter()
        .copied()
        .collect();
    values.sort_by(f64::total_cmp);
    assert!(values[5].abs() < 1e-9 * values[17], "{values:?}");
    assert!(values[6] > 1e-6 * values[17], "{values:?}");
}

#[test]
fn stiffness_turns_with_the_triangle_and_hangs_on_no_first_node() {
    let turn = Rotation3::from_euler_angles(0.3, -1.1, 2.2);
    let still = stiffness(&corners(), &section());
    let turned = stiffness(&corners().map(|corner| turn * corner), &section());
    let mut all = Matrix18::zeros();
    for block in 0..6 {
        all.fixed_view_mut::<3, 3>(3 * block, 3 * block)
            .copy_from(turn.matrix());
    }
    assert!((all * still * all.transpose() - turned).amax() < 1e-9 * still.amax());

    let [a, b, c] = corners();
    let shifted = stiffness(&[b, c, a], &section());
    for i in 0..18 {
        for j in 0..18 {
            let (from_i, from_j) = ((i + 6) % 18, (j + 6) % 18);
            assert!((shifted[(i, j)] - still[(from_i, from_j)]).abs() < 1e-9 * still.amax());
        }
    }
}

/// Felippa 2003, section on the optimal element: pairs of triangles under pure bending in their plane are exact whatever
/// their sides' ratio. Here as a strip of rectangles, each cut both ways with half the stiffness, under a linear pull.
#[test]
fn bending_in_the_plane_is_exact_for_long_rectangles() {
    for ratio in [1.0, 4.0, 16.0] {
        let section = Section {
            poisson: 0.0,
            ..section()
        };
        let (a, b) = (ratio, 1.0);
        let places = [
            Point::new(0.0, 0.0, 0.0),
            Point::new(a, 0.0, 0.0),
            Point::new(a, b, 0.0),
            Point::new(0.0, b, 0.0),
        ];
        // Curvature 1: u = -x (y - b/2), v = x^2 / 2, turn = x. About the middle of its length.
        let moved = |place: &Point| {
            let (x, y) = (place.x - 0.5 * a, place.y - 0.5 * b);
            [-x * y, 0.5 * x * x, 0.0, 0.0, 0.0, x]
        };
        let mut energy = 0.0;
        for nodes in [[0, 1, 2], [0, 2, 3], [0, 1, 3], [1, 2, 3]] {
            let corners = nodes.map(|node: usize| places[node]);
            let own = Vector18::from_iterator(corners.iter().flat_map(moved));
            energy += 0.5 * 0.5 * own.dot(&(stiffness(&corners, &section) * own));
        }
        let exact = 0.5 * section.elastic_mpa * section.thickness_mm * b.powi(3) / 12.0 * a;
        assert!((energy / exact - 1.0).abs() < 1e-9, "{ratio}: {}", energy / exact);
    }
}
