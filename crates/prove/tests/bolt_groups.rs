//! Groups of bolts as published, and what must hold of every group.

use nalgebra::{Point3, Rotation3, Unit, Vector3};
use proptest::prelude::*;
use prove::joint::{GroupBolt, GroupError, OnBolt, Push, group_by_stiffness, group_on_foot};
use published::row;

const N_PER_KN: f64 = 1e3;

fn flat(places: &[[f64; 2]]) -> Vec<GroupBolt> {
    places
        .iter()
        .map(|[x, y]| GroupBolt {
            at: Point3::new(*x, *y, 0.0),
            axis: Vector3::z_axis(),
            axial: 1.0,
            shear: 1.0,
        })
        .collect()
}

fn grid(xs: &[f64], ys: &[f64]) -> Vec<[f64; 2]> {
    xs.iter().flat_map(|&x| ys.iter().map(move |&y| [x, y])).collect()
}

fn down_at(x_mm: f64, force_n: f64) -> Push {
    Push {
        at: Point3::new(x_mm, 0.0, 0.0),
        force_n: Vector3::new(0.0, -force_n, 0.0),
        moment_n_mm: Vector3::zeros(),
    }
}

fn shared(bolts: &[GroupBolt], push: &Push) -> Vec<OnBolt> {
    group_by_stiffness(bolts, push).expect("the group holds")
}

fn largest_shear_n(on: &[OnBolt]) -> f64 {
    on.iter().map(OnBolt::sheared_n).fold(0.0, f64::max)
}

#[test]
fn the_bolt_group_of_the_design_book() {
    let of = |id: &str| {
        let row = row(id);
        assert_eq!(row.inputs, "F=16kN at x=425mm; bolts at (+-75,+-60) mm; n=4");
        row
    };
    let bolts = flat(&grid(&[-75.0, 75.0], &[-60.0, 60.0]));
    let (push, middle) = (down_at(425.0, 16e3), Point3::origin());
    of("C086").check((bolts[0].at - middle).norm());
    of("C087").check(push.about(&middle).norm() / 1e3);
    let straight = shared(&bolts, &down_at(0.0, 16e3));
    of("C088").check(straight[0].sheared_n() / N_PER_KN);
    let turned = Push {
        at: middle,
        force_n: Vector3::zeros(),
        moment_n_mm: push.about(&middle),
    };
    of("C089").check(shared(&bolts, &turned)[0].sheared_n() / N_PER_KN);
    let on = shared(&bolts, &push);
    // The bolts on the load's side, x = 75, take the most.
    of("C090").check(on[2].sheared_n() / N_PER_KN);
    of("C090").check(on[3].sheared_n() / N_PER_KN);
    of("C091").check(on[0].sheared_n() / N_PER_KN);
    of("C091").check(on[1].sheared_n() / N_PER_KN);
}

#[test]
fn six_and_eight_bolts() {
    let six = flat(&grid(&[-40.0, 40.0], &[-70.0, 0.0, 70.0]));
    let squares = |bolts: &[GroupBolt]| bolts.iter().map(|b| b.at.coords.norm_squared()).sum::<f64>();
    row("C096").check(squares(&six));
    let push = down_at(200.0, 120e3);
    row("C097").check(largest_shear_n(&shared(&six, &push)) / N_PER_KN);
    let eight = flat(&grid(&[-45.0, 45.0], &[-112.5, -37.5, 37.5, 112.5]));
    row("C098").check(squares(&eight));
    let on = shared(&eight, &down_at(250.0, 180e3));
    row("C099").check(largest_shear_n(&on) / N_PER_KN);
    let hardest = (0..8).max_by(|&a, &b| on[a].sheared_n().total_cmp(&on[b].sheared_n()));
    assert!(
        hardest.is_some_and(|i| eight[i].at.x > 0.0),
        "the load-side bolt takes the most"
    );
}

#[test]
fn two_bolts_hold_a_tipping_moment_only_with_their_foot() {
    let bolts = flat(&[[0.0, -20.0], [0.0, 20.0]]);
    // 100 N out of the seat direction times 60 mm, tipping about the line of the two bolts.
    let push = Push {
        at: Point3::origin(),
        force_n: Vector3::zeros(),
        moment_n_mm: Vector3::new(0.0, 6000.0, 0.0),
    };
    assert!(matches!(
        group_by_stiffness(&bolts, &push),
        Err(GroupError::CannotHold { .. })
    ));
    let foot: Vec<Point3<f64>> = grid(&[-15.0, 15.0], &[-30.0, 30.0])
        .iter()
        .map(|[x, y]| Point3::new(*x, *y, 0.0))
        .collect();
    let on = group_on_foot(&bolts, &foot, &push).expect("the foot bears");
    // 6000 N mm over 15 mm to the edge, two bolts.
    for bolt in &on {
        assert!((bolt.tension_n - 200.0).abs() < 1e-9, "{bolt:?}");
    }
}

#[test]
fn a_wall_bracket_tips_on_its_lower_edge() {
    let bolts = flat(&[[0.0, 20.0], [0.0, 100.0]]);
    let foot = [Point3::new(0.0, 0.0, 0.0), Point3::new(0.0, 120.0, 0.0)];
    // Hung 150 mm out, 1000 N down: 150000 N mm about the wall.
    let push = Push {
        at: Point3::new(0.0, 0.0, 150.0),
        force_n: Vector3::new(0.0, -1000.0, 0.0),
        moment_n_mm: Vector3::zeros(),
    };
    let on = group_on_foot(&bolts, &foot, &push).expect("the foot bears");
    let squares = 20f64.powi(2) + 100f64.powi(2);
    assert!((on[0].tension_n - 150e3 * 20.0 / squares).abs() < 1e-6);
    assert!((on[1].tension_n - 150e3 * 100.0 / squares).abs() < 1e-6);
    assert!((on[0].sheared_n() - 500.0).abs() < 1e-9);
}

#[test]
fn a_pull_that_lifts_the_foot_is_shared_by_the_bolts_alone() {
    let bolts = flat(&grid(&[-20.0, 20.0], &[-20.0, 20.0]));
    let foot: Vec<Point3<f64>> = bolts.iter().map(|bolt| bolt.at).collect();
    let push = Push {
        at: Point3::new(1.0, 0.0, 0.0),
        force_n: Vector3::new(0.0, 0.0, 4000.0),
        moment_n_mm: Vector3::zeros(),
    };
    let on = group_on_foot(&bolts, &foot, &push).expect("four bolts");
    let sum: f64 = on.iter().map(|bolt| bolt.tension_n).sum();
    assert!((sum - 4000.0).abs() < 1e-6);
    assert!(on[2].tension_n > 1000.0 && on[0].tension_n < 1000.0);
}

fn cases() -> ProptestConfig {
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(64);
    ProptestConfig::with_cases(cases)
}

fn vector(size: f64) -> impl Strategy<Value = Vector3<f64>> {
    [-size..size, -size..size, -size..size].prop_map(Vector3::from)
}

fn bolts() -> impl Strategy<Value = Vec<GroupBolt>> {
    prop::collection::vec((vector(80.0), vector(1.0), 0.1..5.0f64, 0.1..5.0f64), 3..8).prop_map(|all| {
        all.into_iter()
            .map(|(at, axis, axial, shear)| GroupBolt {
                at: Point3::from(at),
                axis: Unit::new_normalize(axis + Vector3::new(0.0, 0.0, 2.0)),
                axial,
                shear,
            })
            .collect()
    })
}

fn force(bolt: &GroupBolt, on: &OnBolt) -> Vector3<f64> {
    on.shear_n + bolt.axis.into_inner() * on.tension_n
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn bolts_hold_the_load_and_turn_with_it(
        group in bolts(),
        at in vector(200.0),
        f in vector(1000.0),
        m in vector(1e5),
        turn in vector(3.0),
        scale in 0.1..10.0f64,
    ) {
        let push = Push { at: Point3::from(at), force_n: f, moment_n_mm: m };
        let Ok(on) = group_by_stiffness(&group, &push) else {
            return Err(TestCaseError::reject("a group near a line"));
        };
        let sum: Vector3<f64> = group.iter().zip(&on).map(|(b, on)| force(b, on)).sum();
        let turned: Vector3<f64> =
            group.iter().zip(&on).map(|(b, on)| b.at.coords.cross(&force(b, on))).sum();
        prop_assert!((sum - f).norm() < 1e-6 * (f.norm() + 1.0));
        prop_assert!((turned - push.about(&Point3::origin())).norm() < 1e-6 * (turned.norm() + 1.0));
        let spin = Rotation3::new(turn);
        let moved: Vec<GroupBolt> =
            group.iter().map(|b| GroupBolt { at: spin * b.at, axis: spin * b.axis, ..*b }).collect();
        let push = Push {
            at: spin * push.at,
            force_n: spin * f * scale,
            moment_n_mm: spin * m * scale,
        };
        let again = group_by_stiffness(&moved, &push).expect("the same group");
        for (before, after) in on.iter().zip(&again) {
            prop_assert!((spin * before.shear_n * scale - after.shear_n).norm() < 1e-5 * (1.0 + after.sheared_n()));
            prop_assert!((before.tension_n * scale - after.tension_n).abs() < 1e-5 * (1.0 + after.tension_n.abs()));
        }
    }
}
