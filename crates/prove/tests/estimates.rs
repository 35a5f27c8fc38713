//! Hand estimates against published values, exact solutions and each other.

use nalgebra::{Point2, Rotation2};
use proptest::prelude::*;
use prove::estimate::{
    HoledStrip, NotASection, Strip, ThinSection, Unit, Wall, edgewise_second_moment_mm4, edgewise_stress_mpa,
    fallen_n, stopped_n, sudden_n,
};
use published::row;

const STRIP: Strip = Strip {
    width_mm: 40.0,
    t_mm: 5.0,
    length_mm: 200.0,
    elastic_mpa: 70_000.0,
    poisson: 0.33,
};

fn near(a: f64, b: f64, share: f64) -> bool {
    (a - b).abs() <= share * b.abs()
}

#[test]
fn the_bar_of_the_design_book_is_bent_at_its_bolts() {
    let second = row("C094");
    assert_eq!(second.inputs, "b=15;h=200;two 16 mm holes at +-60");
    let second_mm4 = edgewise_second_moment_mm4(15.0, 200.0, &[(16.0, 60.0), (16.0, -60.0)]);
    second.check(second_mm4);
    let stress = row("C095");
    assert_eq!(stress.inputs, "M=16kN*350mm;c=100;I=8.26e6");
    stress.check(edgewise_stress_mpa(16e3 * 350.0, 200.0, second_mm4).value);
}

#[test]
fn a_strip_of_40_by_5_under_100_n() {
    // I = 416.67 mm4: F L^3 / 3 E I = 9.143 mm, F L / (b t^2 / 6) = 120 MPa.
    assert!(near(STRIP.moved_by_force(100.0).value, 9.142_857, 1e-6));
    assert!(near(STRIP.turned_by_force(100.0).value, 0.068_571_4, 1e-6));
    let stress = STRIP.stress_by_force(100.0);
    assert!(near(stress.value, 120.0, 1e-12));
    assert_eq!((stress.unit, stress.formula), (Unit::Mpa, "s = 6 F L / (b t^2)"));
    let names: Vec<&str> = stress.inputs.iter().map(|input| input.name).collect();
    assert_eq!(names, ["F", "L", "b", "t"]);
    assert_eq!(stress.times(150.0), Some(1.25));
}

#[test]
fn what_a_force_turns_a_moment_moves() {
    // Maxwell: the turn by a unit force is the movement by a unit moment.
    let (turn, moved) = (STRIP.turned_by_force(1.0).value, STRIP.moved_by_moment(1.0).value);
    assert!(near(turn, moved, 1e-12));
    let by_moment = STRIP.stress_by_moment(100.0 * 200.0).value;
    assert!(near(by_moment, STRIP.stress_by_force(100.0).value, 1e-12));
    assert!(near(
        STRIP.turned_by_moment(2.0).value,
        2.0 * 12.0 * 200.0 / (70e3 * 40.0 * 125.0),
        1e-12
    ));
}

/// Torsion constant over b t^3, and stress factor T/(b t^2) over stress, of the exact series: Timoshenko and Goodier, Theory
/// of Elasticity, table for rectangular bars, from memory.
const RECTANGLES: [(f64, f64, f64); 5] = [
    (1.0, 0.1406, 0.208),
    (2.0, 0.229, 0.246),
    (3.0, 0.263, 0.267),
    (5.0, 0.291, 0.291),
    (10.0, 0.312, 0.312),
];

#[test]
fn torsion_of_rectangles_follows_the_exact_series() {
    for (sides, constant, stress) in RECTANGLES {
        for (width_mm, t_mm) in [(3.0 * sides, 3.0), (3.0, 3.0 * sides)] {
            let strip = Strip {
                width_mm,
                t_mm,
                ..STRIP
            };
            let scale = 3.0 * sides * 27.0;
            assert!(near(strip.torsion_mm4() / scale, constant, 0.01), "{sides}");
            let factor = 3.0 * sides * 9.0 * strip.stress_by_torque(1.0).value;
            assert!(near(1.0 / factor, stress, 0.05), "{sides}: {}", 1.0 / factor);
        }
    }
    let shear_mpa = 70e3 / 2.66;
    let twist = STRIP.twisted(1000.0).value;
    assert!(near(
        twist,
        1000.0 * 200.0 / (shear_mpa * STRIP.torsion_mm4()),
        1e-12
    ));
}

#[test]
fn the_rim_of_a_hole_in_a_pulled_strip() {
    // Howland 1930, peak over net stress, from memory.
    for (share, howland) in [(0.1, 2.70), (0.2, 2.50), (0.3, 2.35), (0.4, 2.24), (0.5, 2.16)] {
        let strip = HoledStrip {
            width_mm: 100.0,
            t_mm: 5.0,
            hole_mm: 100.0 * share,
        };
        assert!(near(strip.pulled_factor(), howland, 0.01), "{share}");
        let net = strip.net_by_pull(1e3).value;
        assert!(near(
            strip.peak_by_pull(1e3).value,
            strip.pulled_factor() * net,
            1e-12
        ));
    }
}

#[test]
fn the_rim_of_a_hole_in_a_bent_plate() {
    let factor = |hole_mm: f64, t_mm: f64| {
        HoledStrip {
            width_mm: 1e6,
            t_mm,
            hole_mm,
        }
        .bent_factor()
    };
    // A hole small against the thickness is as in a pulled plate, 3; one large against it (5 + 3 nu)/(3 + nu), 1.79.
    assert!(near(factor(0.01, 100.0), 3.0, 0.01));
    assert!(near(factor(1000.0, 1.0), (5.0 + 0.9) / 3.3, 0.01));
}

#[test]
fn a_drop_from_no_height_is_twice_the_weight() {
    let fall = |height_mm: f64, k: f64| fallen_n(2.0, height_mm, k).value;
    assert!(near(fall(0.0, 50.0), sudden_n(2.0 * 9.806_65).value, 1e-12));
    // The spring's energy is the weight's: F^2/2k = m g (h + F/k).
    let (force_n, k, h) = (fall(500.0, 50.0), 50.0, 500.0);
    assert!(near(
        force_n * force_n / 2.0 / k,
        2.0 * 9.806_65 * (h + force_n / k),
        1e-12
    ));
    assert!(fall(500.0, 100.0) > fall(500.0, 50.0) && fall(600.0, 50.0) > fall(500.0, 50.0));
    assert_eq!(fallen_n(0.0, 500.0, 50.0).value, 0.0);
    // Stopped at the speed of a fall on a stiff part, nearly the same.
    let speed_m_s = (2.0 * 9.806_65 * 0.5f64).sqrt();
    assert!(near(
        stopped_n(2.0, speed_m_s, 5000.0).value,
        fall(500.0, 5000.0),
        0.01
    ));
}

fn wall(from: [f64; 2], to: [f64; 2], t_mm: f64) -> Wall {
    Wall {
        from: from.into(),
        to: to.into(),
        t_mm,
    }
}

#[test]
fn a_lip_cures_bending_and_not_twist() {
    let flat = ThinSection::new(vec![wall([0.0, 0.0], [40.0, 0.0], 4.0)]).expect("a section");
    let lipped = ThinSection::new(vec![
        wall([0.0, 0.0], [40.0, 0.0], 4.0),
        wall([0.0, 0.0], [0.0, 15.0], 4.0),
        wall([40.0, 0.0], [40.0, 15.0], 4.0),
    ])
    .expect("a section");
    assert!(near(flat.second_moments_mm4[0], 40.0 * 64.0 / 12.0, 1e-12));
    assert!(near(
        flat.bending_mpa(1000.0, 0.0),
        1000.0 * 6.0 / (40.0 * 16.0),
        1e-12
    ));
    assert!(lipped.second_moments_mm4[0] > 15.0 * flat.second_moments_mm4[0]);
    // Twist gains only with the metal added, 70 of 40 mm.
    assert!(near(lipped.torsion_mm4 / flat.torsion_mm4, 70.0 / 40.0, 1e-12));
    assert_eq!(ThinSection::new(Vec::new()), Err(NotASection));
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
    fn a_turned_section_is_bent_alike(
        legs in prop::collection::vec(([-30.0..30.0f64, -30.0..30.0f64], 1.0..6.0f64), 3..6),
        turn in -3.0..3.0f64,
        mx in -1e4..1e4f64,
        my in -1e4..1e4f64,
    ) {
        let walls = |spin: f64| -> Vec<Wall> {
            let spin = Rotation2::new(spin);
            legs.windows(2)
                .map(|ends| Wall {
                    from: spin * Point2::from(ends[0].0),
                    to: spin * Point2::from(ends[1].0),
                    t_mm: ends[0].1,
                })
                .collect()
        };
        let (Ok(before), Ok(after)) = (ThinSection::new(walls(0.0)), ThinSection::new(walls(turn))) else {
            return Err(TestCaseError::reject("no area"));
        };
        let moment = Rotation2::new(turn) * nalgebra::Vector2::new(mx, my);
        let (a, b) = (before.bending_mpa(mx, my), after.bending_mpa(moment.x, moment.y));
        prop_assert!((a - b).abs() < 1e-6 * (1.0 + a));
        prop_assert!((before.torsion_mm4 - after.torsion_mm4).abs() < 1e-9 * before.torsion_mm4);
    }
}
