//! Bolted joints as published, and what must hold of every joint.

use handbook::{Handbook, NutFactor};
use proptest::prelude::*;
use prove::joint::{
    BoltDemand, BoltJoint, BoltShape, BoltSteel, Clamped, Factors, HeadForm, Held, HolePlace, Lacks,
    LeastDistances, Mode, PlateAtHole, Preload, ShearPlane, ThreadForm, bearing_mpa, check_bolt, felt_share,
    opens_at_n, preload_n, slip_n, tightened_to_n, tightening, torque_n_mm,
};
use published::{Row, row, rows_starting};

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

#[test]
fn stress_in_the_bolt_and_on_its_hole() {
    let stress = row("C092");
    assert_eq!(stress.inputs, "F=21.0kN;A=144mm2");
    stress.check(21.0e3 / shape(144.0).sheared_area_mm2());
    let rim = row("C093");
    assert_eq!(rim.inputs, "F=21.0kN;d=16;t=10");
    rim.check(bearing_mpa(21.0e3, 16.0, 10.0));
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
fn a_tightened_joint_opens_after_its_preload() {
    // Shigley 8-7: the bolt feels C of the pull; half of it where bolt and plates are alike.
    let share = felt_share(1e5, 1e5);
    assert_eq!((share, opens_at_n(10e3, share)), (0.5, 20e3));
    let preload = Preload {
        usual_n: 15.9e3,
        low_n: 12.7e3,
        high_n: 21.2e3,
    };
    let asks = tightening(&preload, 580.0, 36.6, Some(42.4e3));
    assert!((asks.of_proof - 0.9987).abs() < 1e-3, "{asks:?}");
    assert_eq!(asks.of_thread, Some(0.5));
}

#[test]
fn float_of_a_bolt_in_its_hole() {
    let row = row("H036");
    let plate = PlateAtHole {
        t_mm: 3.0,
        hole_mm: row.number("hole"),
        yield_mpa: 235.0,
        ultimate_mpa: 360.0,
    };
    row.check(plate.float_mm(row.number("bolt")));
}

#[test]
fn one_row_of_bolts_in_a_lap_bears_less() {
    let demand = BoltDemand {
        shear_n: 1000.0,
        tension_n: 0.0,
        bending_n_mm: 0.0,
    };
    let place = HolePlace {
        end_mm: Some(40.0),
        side_mm: Some(40.0),
        ..HolePlace::default()
    };
    let on_ultimate = |place| {
        let joint = BoltJoint {
            place: Some(place),
            ..m8()
        };
        let judged = check_bolt(&joint, &demand, &FACTORS);
        judged.of(Mode::Bearing).expect("a plate").on_ultimate
    };
    let pitch_mm = Some(100.0);
    assert!((on_ultimate(place) - 1.5 * 360.0 * 8.0 * 3.0 / 1000.0).abs() < 1e-9);
    assert!((on_ultimate(HolePlace { pitch_mm, ..place }) - 2.5 * 360.0 * 8.0 * 3.0 / 1000.0).abs() < 1e-9);
}

#[test]
fn the_handbooks_factors_and_distances_are_the_published_ones() {
    let book = Handbook::builtin();
    assert_eq!(Factors::of(&book), FACTORS);
    assert_eq!(LeastDistances::of(&book), LEAST);
    let bolt = book.bolt("M8").expect("M8");
    let head = book.bolt_head("M8").expect("a head").value;
    let shape = BoltShape::of(bolt, head.hex_mean_mm());
    assert!((shape.face_mm - 14.0).abs() < 0.01);
    assert_eq!(shape.plane, ShearPlane::Thread);
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
fn a_load_that_is_no_number_never_passes() {
    for (shear_n, tension_n) in [(f64::NAN, 0.0), (0.0, f64::NAN)] {
        let demand = BoltDemand {
            shear_n,
            tension_n,
            bending_n_mm: 0.0,
        };
        let judged = check_bolt(&m8(), &demand, &FACTORS);
        let passes = |ratio: &prove::joint::Ratio| ratio.utilisation <= 1.0;
        assert!(!judged.decides().is_some_and(passes));
    }
}

fn cases() -> ProptestConfig {
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(64);
    ProptestConfig::with_cases(cases)
}

proptest! {
    #![proptest_config(cases())]

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
