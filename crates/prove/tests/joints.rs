//! Bolted joints as published, and what must hold of every joint.

use handbook::{Handbook, NutFactor};
use nalgebra::{Point3, Rotation3, Unit, Vector3};
use proptest::prelude::*;
use prove::joint::{
    BoltDemand, BoltJoint, BoltShape, BoltSteel, Clamped, Factors, GroupBolt, GroupError, HeadForm, Held,
    HolePlace, Lacks, LeastDistances, Mode, OnBolt, PlateAtHole, Push, ShearPlane, ThreadForm, bearing_mpa,
    check_bolt, group_by_stiffness, group_on_foot, preload_n, slip_n, tightened_to_n, torque_n_mm,
};
use published::{Row, row, rows, rows_between, rows_starting};

const MM_PER_IN: f64 = 25.4;
const N_PER_LBF: f64 = 4.448_221_615_260_5;
const N_PER_KN: f64 = 1e3;

fn steel(row: &Row) -> BoltSteel {
    BoltSteel {
        yield_mpa: 0.8 * row.number("fub"),
        ultimate_mpa: row.number("fub"),
        shear_share: if row.inputs.contains("alpha_v") {
            row.number("alpha_v")
        } else {
            0.6
        },
    }
}

fn shape(stress_area_mm2: f64) -> BoltShape {
    BoltShape {
        diameter_mm: 8.0,
        stress_area_mm2,
        plane: ShearPlane::Thread,
        head: HeadForm::Raised,
        face_mm: 16.0,
    }
}

#[test]
fn resistance_of_the_bolt() {
    for row in rows_starting("bolt shear resistance") {
        let shear_n = shape(row.number("As")).shear_n(&steel(&row));
        row.check(shear_n / row.number("gM2") / N_PER_KN);
    }
    for row in rows_starting("bolt tension resistance") {
        let tension_n = shape(row.number("As")).tension_n(&steel(&row));
        row.check(tension_n / row.number("gM2") / N_PER_KN);
    }
}

#[test]
fn grades_of_the_handbook_are_the_published_ones() {
    let book = Handbook::builtin();
    for row in rows_starting("bolt shear resistance") {
        let size = row.text("size");
        let bolt = book.bolt(size).unwrap_or_else(|e| panic!("{row}: {e}"));
        let grade = if row.topic.contains("10.9") { "10.9" } else { "8.8" };
        let grade = book
            .bolt_grade(grade, bolt.diameter_mm)
            .unwrap_or_else(|e| panic!("{row}: {e}"));
        let shear_n = shape(bolt.stress_area_mm2.value).shear_n(&BoltSteel::from(grade));
        row.check(shear_n / row.number("gM2") / N_PER_KN);
    }
}

#[test]
fn bearing() {
    let k1 = row("C080");
    let place = HolePlace {
        side_mm: Some(k1.number("e2")),
        ..HolePlace::default()
    };
    k1.check(place.k1(k1.number("d0")));
    let alpha = row("C081");
    let place = HolePlace {
        end_mm: Some(alpha.number("e1")),
        side_mm: Some(k1.number("e2")),
        ..HolePlace::default()
    };
    alpha.check(place.alpha_b(alpha.number("d0"), alpha.number("fub"), alpha.number("fu")));
    let bears = row("C082");
    let plate = PlateAtHole {
        t_mm: bears.number("t"),
        hole_mm: 9.0,
        yield_mpa: 235.0,
        ultimate_mpa: bears.number("fu"),
    };
    bears.check(place.bearing_n(&plate, bears.number("d"), 800.0) / bears.number("gM2") / N_PER_KN);
}

const LEAST: LeastDistances = LeastDistances {
    edge_x_d0: 1.2,
    pitch_x_d0: 2.2,
    gauge_x_d0: 2.4,
};

const FACTORS: Factors = Factors {
    joint: 1.25,
    slip: 1.25,
};

/// An M8 8.8 in 3 mm of S235, 18 mm from the end, tapped 12 mm deep in aluminium.
fn m8() -> BoltJoint {
    BoltJoint {
        shape: shape(36.6),
        steel: Some(BoltSteel {
            yield_mpa: 640.0,
            ultimate_mpa: 800.0,
            shear_share: 0.6,
        }),
        plate: Some(PlateAtHole {
            t_mm: 3.0,
            hole_mm: 9.0,
            yield_mpa: 235.0,
            ultimate_mpa: 360.0,
        }),
        place: Some(HolePlace {
            end_mm: Some(18.0),
            side_mm: Some(15.0),
            ..HolePlace::default()
        }),
        held: Some(Held::Tapped {
            thread: ThreadForm::loose(8.0, 1.25),
            engaged_mm: 12.0,
            ultimate_mpa: Some(290.0),
        }),
        gap_mm: 0.0,
        clamped: Some(Clamped {
            preload_n: 12_000.0,
            friction: 0.15,
        }),
        least: LEAST,
    }
}

#[test]
fn shear_and_tension_at_once() {
    let row = row("C083");
    let demand = BoltDemand {
        shear_n: row.number("Fv") * N_PER_KN,
        tension_n: row.number("Ft") * N_PER_KN,
        bending_n_mm: 0.0,
    };
    let judged = check_bolt(&m8(), &demand, &FACTORS);
    row.check(
        judged
            .of(Mode::ShearAndTension)
            .expect("grade is known")
            .utilisation,
    );
}

#[test]
fn least_distances_of_the_hole() {
    let (end, pitch) = (row("C084"), row("C085"));
    let place = HolePlace {
        end_mm: Some(10.0),
        pitch_mm: Some(19.0),
        side_mm: Some(11.0),
        gauge_mm: None,
    };
    let near = place.too_near(end.number("d0"), &LEAST);
    assert_eq!(near.len(), 2);
    end.check(near[0].least_mm);
    pitch.check(near[1].least_mm);
}

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
    let stress = row("C092");
    assert_eq!(stress.inputs, "F=21.0kN;A=144mm2");
    stress.check(21.0e3 / shape(144.0).sheared_area_mm2());
    let rim = row("C093");
    assert_eq!(rim.inputs, "F=21.0kN;d=16;t=10");
    rim.check(bearing_mpa(21.0e3, 16.0, 10.0));
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
fn torque_and_preload() {
    for id in ["C100", "C101"] {
        let row = row(id);
        let (d_mm, force_n) = (row.number("d_in") * MM_PER_IN, row.number("F_lb") * N_PER_LBF);
        let torque = torque_n_mm(row.number("K"), d_mm, force_n);
        row.check(torque / (N_PER_LBF * 12.0 * MM_PER_IN));
    }
    let row_102 = row("C102");
    assert_eq!(row_102.inputs, "Sp=85ksi;At=0.0775");
    let book = Handbook::builtin();
    let bolt = book.bolt("3/8-16").expect("3/8-16");
    let grade = book.bolt_grade("grade 5", bolt.diameter_mm).expect("grade 5");
    let preload = tightened_to_n(0.75, grade.tightening_mpa().value, bolt.stress_area_mm2.value);
    row_102.check(preload / N_PER_LBF);
    let row_103 = row("C103");
    assert_eq!(row_103.inputs, "K=0.20;d=8mm;F=15.9kN");
    row_103.check(torque_n_mm(0.20, 8.0, 15.9e3) / 1e3);
    let k = NutFactor {
        usual: 0.2,
        low: 0.15,
        high: 0.25,
    };
    let back = preload_n(torque_n_mm(0.2, 8.0, 15.9e3), 8.0, k);
    assert!((back.usual_n - 15.9e3).abs() < 1e-6);
    assert!(back.low_n < back.usual_n && back.usual_n < back.high_n);
    // Friction holds nothing once the pull has opened the joint.
    assert_eq!(slip_n(0.2, 10e3, 13e3), 0.0);
}

#[test]
fn threads_strip_as_in_the_handbook() {
    let row_108 = row("C108");
    let thread = ThreadForm {
        pitch_mm: 1.5,
        bolt_major_mm: row_108.number("DsMin"),
        bolt_pitch_dia_mm: 8.862,
        nut_pitch_dia_mm: row_108.number("EnMax"),
        nut_minor_mm: 8.676,
    };
    row_108.check(thread.nut_shear_area_mm2_per_mm());
    let row_107 = row("C107");
    row_107.check(thread.engagement_mm(row_107.number("bolt_load"), row_107.number("tau_nut")));
    let row_109 = row("C109");
    row_109.check(thread.engagement_mm(row_109.number("load"), row_109.number("tau")));
    // The tolerance formulas give the same area by themselves.
    let loose = ThreadForm::loose(10.0, 1.5);
    assert!((loose.bolt_major_mm - 9.968).abs() < 0.002, "{loose:?}");
    assert!((loose.nut_pitch_dia_mm - 9.206).abs() < 0.005, "{loose:?}");
    assert!(
        (loose.nut_minor_mm - 8.676).abs() < 0.01,
        "ISO 965 6H from memory: {loose:?}"
    );
    assert!(
        (loose.bolt_pitch_dia_mm - 8.862).abs() < 0.005,
        "ISO 965 6g from memory: {loose:?}"
    );
}

#[test]
fn what_is_not_known_is_not_checked() {
    let demand = BoltDemand {
        shear_n: 500.0,
        tension_n: 800.0,
        bending_n_mm: 0.0,
    };
    let unknown = BoltJoint {
        held: Some(Held::Tapped {
            thread: ThreadForm::loose(8.0, 1.25),
            engaged_mm: 12.0,
            ultimate_mpa: None,
        }),
        clamped: None,
        ..m8()
    };
    let judged = check_bolt(&unknown, &demand, &FACTORS);
    assert!(judged.of(Mode::NutStrips).is_none());
    let lacks: Vec<Lacks> = judged.not_checked.iter().map(|n| n.lacks).collect();
    assert_eq!(lacks, [Lacks::TappedMetal, Lacks::Clamping]);
    let bare = BoltJoint {
        steel: None,
        plate: None,
        held: None,
        clamped: None,
        ..m8()
    };
    let judged = check_bolt(&bare, &demand, &FACTORS);
    assert!(judged.ratios.is_empty() && judged.decides().is_none());
    assert_eq!(judged.not_checked.len(), 10);
}

#[test]
fn a_bolt_over_a_gap_bends_first() {
    let demand = BoltDemand {
        shear_n: 1000.0,
        tension_n: 0.0,
        bending_n_mm: 0.0,
    };
    let stood_off = BoltJoint { gap_mm: 20.0, ..m8() };
    let judged = check_bolt(&stood_off, &demand, &FACTORS);
    let yields = judged.least_on_yield().expect("a grade");
    assert!(matches!(yields.mode, Mode::Bending | Mode::ShearAndTension));
    // 1000 N x 10 mm on the bar of the stress area, 31.2 mm3: 320 MPa of 640.
    let bending = judged
        .of(Mode::Bending)
        .and_then(|r| r.on_yield)
        .expect("bending");
    assert!((bending - 2.0).abs() < 0.05, "{bending}");
    let flush = check_bolt(&m8(), &demand, &FACTORS);
    assert_eq!(flush.of(Mode::Bending).map(|r| r.utilisation), Some(0.0));
    assert_eq!(flush.decides().map(|r| r.mode), Some(Mode::Bearing));
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

#[test]
fn every_row_on_bolts_is_driven() {
    // Areas, loads, holes and washers are driven by the handbook's own tests.
    let mine: Vec<String> = rows_between("C074", "C109").into_iter().map(|r| r.id).collect();
    assert_eq!(mine.len(), 36);
    assert_eq!(rows("nut factor K typical").len(), 3);
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

    #[test]
    fn twice_the_load_is_half_the_safety(shear in 1.0..5e3f64, tension in 0.0..5e3f64, gap in 0.0..20.0f64) {
        let joint = BoltJoint { gap_mm: gap, ..m8() };
        let demand = |x: f64| BoltDemand { shear_n: shear * x, tension_n: tension * x, bending_n_mm: 0.0 };
        let (one, two) = (check_bolt(&joint, &demand(1.0), &FACTORS), check_bolt(&joint, &demand(2.0), &FACTORS));
        for (a, b) in one.ratios.iter().zip(&two.ratios).filter(|(a, _)| a.mode != Mode::Slip) {
            prop_assert!((a.utilisation * 2.0 - b.utilisation).abs() < 1e-9 * (1.0 + b.utilisation));
            prop_assert!(a.on_ultimate.is_infinite() || (a.on_ultimate / b.on_ultimate - 2.0).abs() < 1e-9);
            if let (Some(a), Some(b)) = (a.on_yield, b.on_yield) {
                prop_assert!(a.is_infinite() || (a / b - 2.0).abs() < 1e-9);
            }
        }
    }
}
