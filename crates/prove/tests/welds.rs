//! Welds as published, and what must hold of every weld group.

use handbook::{Handbook, Sourced, Status, WeldMetal};
use nalgebra::{Point2, Rotation2, Vector2, Vector3};
use proptest::prelude::*;
use prove::weld::{
    BadGroup, Fillet, FilletConcern, FilletStrength, LineForce, Run, WeldGroup, WeldLoad,
    allowable_shear_mpa, fillet_concerns, fillet_n, greatest_leg_mm, least_length_mm,
};
use published::{Row, row, rows};
use std::f64::consts::TAU;

const MM_PER_IN: f64 = 25.4;
const MPA_PER_KSI: f64 = 6.894_757_293_168_361;
const N_PER_KIP: f64 = 4_448.221_615_260_5;
/// Throat over leg as the book rounds it.
const BOOK_THROAT: f64 = 0.707;

fn line(a: [f64; 2], b: [f64; 2]) -> Run {
    Run::Straight {
        from: Point2::new(a[0], a[1]),
        to: Point2::new(b[0], b[1]),
    }
}

fn path(points: &[[f64; 2]]) -> Vec<Run> {
    points.windows(2).map(|ends| line(ends[0], ends[1])).collect()
}

fn group(runs: Vec<Run>) -> WeldGroup {
    WeldGroup::new(runs).expect("a weld group")
}

#[test]
fn load_of_a_fillet() {
    let metric = row("D001");
    assert_eq!(metric.inputs, "h=5;l=100;tau=140MPa");
    metric.check(fillet_n(5.0, 100.0, 140.0) / 1e3);
    let inch = row("D002");
    let (leg_mm, length_mm) = (inch.number("h_in") * MM_PER_IN, inch.number("l_in") * MM_PER_IN);
    inch.check(fillet_n(leg_mm, length_mm, inch.number("tau_ksi") * MPA_PER_KSI) / N_PER_KIP);
    let tau_mpa = allowable_shear_mpa(70.0 * MPA_PER_KSI);
    let unit = row("D003");
    unit.check(fillet_n(unit.number("h_in") * MM_PER_IN, MM_PER_IN, tau_mpa) / N_PER_KIP);
    let four = row("D004");
    let length_mm = four.number("l_in") * MM_PER_IN;
    four.check(fillet_n(four.number("h_in") * MM_PER_IN, length_mm, tau_mpa) / N_PER_KIP);
}

/// One kip down, 7 in from the middle of a group of the design book's solutions, legs 5/16 in: throat stress at a corner per
/// kip of force, as primary, secondary component and resultant in kpsi.
fn per_kip(group: &WeldGroup) -> [f64; 3] {
    let throat_in = BOOK_THROAT * 5.0 / 16.0;
    let load = group.load_at(
        Vector3::new(group.middle().x + 7.0, group.middle().y, 0.0),
        Vector3::new(0.0, -1.0, 0.0),
        Vector3::zeros(),
    );
    let corner = group.middle() + Vector2::new(1.0, 1.0);
    let at = |load: &WeldLoad| group.line_force_n_mm(corner, load).expect("in plane") / throat_in;
    let straight = WeldLoad {
        moment_n_mm: Vector3::zeros(),
        ..load
    };
    let turning = WeldLoad {
        force_n: Vector3::zeros(),
        ..load
    };
    let worst = group.worst(&load).expect("a worst").line_n_mm.norm() / throat_in;
    assert!((worst - at(&load).norm()).abs() < 1e-9, "the corner is the worst");
    [at(&straight).norm(), at(&turning).y.abs(), worst]
}

#[test]
fn two_parallel_welds_and_a_square_all_round() {
    let of = |id: &str, inputs: &str| -> Row {
        let row = row(id);
        assert_eq!(row.inputs, inputs);
        row
    };
    let two = |id| of(id, "two parallel 2 in welds, b=d=2 in, h=5/16 in, load F at 7 in");
    let lines = group(vec![line([0.0, 0.0], [2.0, 0.0]), line([0.0, 2.0], [2.0, 2.0])]);
    two("D005").check(lines.unit_polar_mm3());
    two("D006").check(lines.unit_polar_mm3() * BOOK_THROAT * 5.0 / 16.0);
    let [primary, secondary, worst] = per_kip(&lines);
    two("D007").check(primary);
    two("D008").check(secondary);
    two("D009").check(worst);
    two("D010").check(20.0 / worst);
    two("D011").check(11.0 / worst);
    let square = |id| of(id, "square weld all round b=d=2 in, h=5/16 in, load F at 7 in");
    let round = group(path(&[
        [0.0, 0.0],
        [2.0, 0.0],
        [2.0, 2.0],
        [0.0, 2.0],
        [0.0, 0.0],
    ]));
    square("D012").check(round.unit_polar_mm3());
    let [primary, secondary, worst] = per_kip(&round);
    square("D013").check(primary);
    square("D014").check(secondary);
    square("D015").check(worst);
}

fn circle(radius_mm: f64) -> Run {
    Run::Arc {
        centre: Point2::new(3.0, -7.0),
        radius_mm,
        start_rad: 0.3,
        sweep_rad: TAU,
    }
}

#[test]
fn a_round_weld_in_torque() {
    let of = |id: &str| {
        let row = row(id);
        assert_eq!(
            row.inputs,
            "circular weld r=40 mm, h=5 mm, torque 200F N m (F in kN), 2 welds, tau_all=140 MPa"
        );
        row
    };
    let ring = group(vec![circle(40.0)]);
    of("D016").check(ring.unit_polar_mm3() / 1e3);
    let throat_mm = BOOK_THROAT * 5.0;
    of("D017").check(ring.unit_polar_mm3() * throat_mm / 1e4);
    // Each of the two welds takes half of 200 N m per kN.
    let load = WeldLoad {
        force_n: Vector3::zeros(),
        moment_n_mm: Vector3::new(0.0, 0.0, 100.0e3),
    };
    let worst = ring.worst(&load).expect("a worst").line_n_mm.norm() / throat_mm;
    of("D018").check(140.0 / worst);
}

#[test]
fn a_c_of_welds_carries_a_plate_from_its_back() {
    let of = |id: &str| {
        let row = row(id);
        assert_eq!(
            row.inputs,
            "C-shape: vertical 190, two horizontal 56, h=6, 25 kN at 100 mm from the vertical weld"
        );
        row
    };
    let c = group(path(&[[56.0, 0.0], [0.0, 0.0], [0.0, 190.0], [56.0, 190.0]]));
    let throat_mm = BOOK_THROAT * 6.0;
    of("D019").check(c.length_mm() * throat_mm);
    of("D020").check(c.middle().x);
    of("D022").check(c.unit_polar_mm3() * throat_mm);
    let load = c.load_at(
        Vector3::new(-100.0, 95.0, 0.0),
        Vector3::new(0.0, -25e3, 0.0),
        Vector3::zeros(),
    );
    of("D021").check(25e3 / c.length_mm() / throat_mm);
    of("D023").check(load.moment_n_mm.z / 1e3);
    let mpa = |x: f64, y: f64| {
        c.line_force_n_mm(Point2::new(x, y), &load)
            .expect("in plane")
            .norm()
            / throat_mm
    };
    for y in [0.0, 190.0] {
        of("D024").check(mpa(56.0, y));
        of("D025").check(mpa(0.0, y));
    }
}

#[test]
fn how_much_a_pattern_of_weld_gives_for_its_length() {
    for row in rows("weld pattern merit Ju/l for a x a envelope") {
        let (a, o) = (1.0, 0.0);
        let runs = match row.text("pattern") {
            "single line a" => path(&[[o, o], [o, a]]),
            "two lines a apart a" => vec![line([o, o], [o, a]), line([a, o], [a, a])],
            "corner L a,a" => path(&[[a, o], [o, o], [o, a]]),
            "C shape a" => path(&[[a, o], [o, o], [o, a], [a, a]]),
            "square all round a" => path(&[[o, o], [a, o], [a, a], [o, a], [o, o]]),
            "circle dia a" => vec![circle(a / 2.0)],
            other => panic!("{row}: {other}"),
        };
        let group = group(runs);
        row.check(group.unit_polar_mm3() / group.length_mm());
    }
}

#[test]
fn size_rules_of_fillets() {
    row("D036").check(greatest_leg_mm(row("D036").number("t")));
    row("D037").check(least_length_mm(row("D037").number("leg")));
    assert_eq!(greatest_leg_mm(4.0), 4.0);
}

#[test]
fn a_fillet_that_breaks_the_size_rules_says_which() {
    let least = Handbook::builtin()
        .least_fillet_leg_mm(8.0)
        .expect("a least leg")
        .value;
    assert!(fillet_concerns(5.0, 40.0, least, Some(8.0)).is_empty());
    assert!(matches!(
        fillet_concerns(4.0, 15.0, least, Some(8.0))[..],
        [
            FilletConcern::LegBelowLeast { .. },
            FilletConcern::TooShort { .. }
        ]
    ));
    assert!(matches!(
        fillet_concerns(7.0, 40.0, least, Some(8.0))[..],
        [FilletConcern::LegAboveEdge { .. }]
    ));
}

#[test]
fn the_throat_sees_along_across_and_off() {
    let group = group(path(&[[0.0, 0.0], [0.0, 50.0]]));
    let load = WeldLoad {
        force_n: Vector3::new(-100.0, 200.0, 300.0),
        moment_n_mm: Vector3::zeros(),
    };
    let seen = group.worst(&load).expect("a worst").seen_by_throat();
    assert_eq!(
        [seen.along_n_mm, seen.across_n_mm, seen.pull_n_mm],
        [4.0, 2.0, 6.0]
    );
    // EN 1993-1-8 4.5.3.2 by hand, throat 4 mm on one side: (6+2)/(4 sqrt 2), (6-2)/(4 sqrt 2), 4/4.
    let stress = seen.throat(&Fillet {
        throat_mm: 4.0,
        both_sides_mm: None,
    });
    let close = |a: f64, b: f64| (a - b).abs() < 1e-12;
    assert!(close(stress.square_mpa, 2f64.sqrt()) && close(stress.across_mpa, 0.5f64.sqrt()));
    assert!(close(stress.mises_mpa(), 6.5f64.sqrt()) && close(stress.resultant_mpa(), 3.5f64.sqrt()));
}

fn matching(correlation: f64) -> WeldMetal {
    WeldMetal::Matching(Sourced {
        value: correlation,
        source: "as the row says".to_owned(),
        status: Status::FromMemory,
        row: "weld_metals".to_owned(),
    })
}

#[test]
fn design_shear_strength_of_a_fillet() {
    for id in ["D038", "D039"] {
        let row = row(id);
        let strength = FilletStrength::of(&matching(row.number("bw")), row.number("fu"));
        row.check(strength.shear_mpa() / row.number("gM2"));
    }
}

#[test]
fn aluminium_is_no_stronger_than_the_plate_beside_its_weld() {
    let own = WeldMetal::Own(Sourced {
        value: 190.0,
        source: String::new(),
        status: Status::FromMemory,
        row: String::new(),
    });
    assert_eq!(FilletStrength::of(&own, 165.0).mises_mpa, 165.0);
    assert_eq!(FilletStrength::of(&own, 240.0).mises_mpa, 190.0);
}

#[test]
fn a_fillet_on_one_side_bends_open_far_sooner() {
    let bent = LineForce {
        bend_n: 100.0,
        ..LineForce::default()
    };
    let one = bent.throat(&Fillet::one_side(5.0)).mises_mpa();
    let both = bent.throat(&Fillet::both_sides(5.0, 5.0)).mises_mpa();
    assert!(one > 3.0 * both, "{one} {both}");
}

#[test]
fn welds_that_are_no_group() {
    assert_eq!(WeldGroup::new(Vec::new()), Err(BadGroup::NoLength));
    assert_eq!(
        WeldGroup::new(path(&[[0.0, 0.0], [f64::NAN, 0.0]])),
        Err(BadGroup::NotANumber)
    );
    let single = group(path(&[[0.0, 0.0], [30.0, 40.0]]));
    let load = |moment: Vector3<f64>| WeldLoad {
        force_n: Vector3::zeros(),
        moment_n_mm: moment,
    };
    assert_eq!(
        single.worst(&load(Vector3::new(3.0, 4.0, 0.0))),
        Err(BadGroup::InLine)
    );
    // Across itself a line of 50 mm stands M / (L^2/6).
    let across = single.worst(&load(Vector3::new(-4e3, 3e3, 0.0))).expect("across");
    assert!((across.line_n_mm.norm() - 5e3 * 6.0 / 2500.0).abs() < 1e-9);
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

fn runs() -> impl Strategy<Value = Vec<Run>> {
    let place = || [-50.0..50.0f64, -50.0..50.0f64];
    let straight = (place(), place())
        .prop_filter("a weld has a length", |(a, b)| {
            (a[0] - b[0]).hypot(a[1] - b[1]) > 1.0
        })
        .prop_map(|(a, b)| line(a, b));
    let arc = (place(), 1.0..40.0f64, -3.0..3.0f64, 0.5..6.0f64, any::<bool>()).prop_map(
        |(c, radius_mm, start_rad, sweep, back)| Run::Arc {
            centre: Point2::new(c[0], c[1]),
            radius_mm,
            start_rad,
            sweep_rad: if back { -sweep } else { sweep },
        },
    );
    prop::collection::vec(prop_oneof![straight, arc], 1..5)
}

fn turned(run: &Run, spin: f64) -> Run {
    let r = Rotation2::new(spin);
    match *run {
        Run::Straight { from, to } => Run::Straight {
            from: r * from,
            to: r * to,
        },
        Run::Arc {
            centre,
            radius_mm,
            start_rad,
            sweep_rad,
        } => Run::Arc {
            centre: r * centre,
            radius_mm,
            start_rad: start_rad + spin,
            sweep_rad,
        },
    }
}

/// The run in short straight pieces.
fn chopped(run: &Run, pieces: usize) -> Vec<Run> {
    let at = |share: f64| match *run {
        Run::Straight { from, to } => from + (to - from) * share,
        Run::Arc {
            centre,
            radius_mm,
            start_rad,
            sweep_rad,
        } => {
            let (s, c) = (start_rad + sweep_rad * share).sin_cos();
            centre + Vector2::new(c, s) * radius_mm
        }
    };
    (0..pieces)
        .map(|i| Run::Straight {
            from: at(i as f64 / pieces as f64),
            to: at((i + 1) as f64 / pieces as f64),
        })
        .collect()
}

/// Chopping an arc into straights is too coarse for a group that is far longer than wide.
fn is_nearly_a_line(group: &WeldGroup) -> bool {
    let [xx, yy, xy] = group.unit_second_moments_mm3();
    xx * yy - xy * xy < 1e-3 * group.unit_polar_mm3().powi(2)
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn the_line_forces_hold_the_load(runs in runs(), f in vector(1e3), m in vector(1e5)) {
        let whole = group(runs.clone());
        let load = WeldLoad { force_n: f, moment_n_mm: m };
        if is_nearly_a_line(&whole) {
            return Err(TestCaseError::reject("all in one line"));
        }
        let (mut force, mut moment) = (Vector3::zeros(), Vector3::zeros());
        for piece in runs.iter().flat_map(|run| chopped(run, 2000)) {
            let Run::Straight { from, to } = piece else { unreachable!() };
            let at = nalgebra::center(&from, &to);
            let part = whole.line_force_n_mm(at, &load).expect("held") * piece.length_mm();
            let arm = at - whole.middle();
            force += part;
            moment += Vector3::new(arm.x, arm.y, 0.0).cross(&part);
        }
        // A moment on a short weld is held by forces far larger than the load's own: the chopping errs by a share of those.
        let size_mm = (whole.unit_polar_mm3() / whole.length_mm()).sqrt();
        let scale_n = f.norm() + m.norm() / size_mm;
        prop_assert!((force - f).norm() < 1e-3 * scale_n, "{force} {f}");
        prop_assert!((moment - m).norm() < 1e-3 * scale_n * size_mm, "{moment} {m}");
    }

    #[test]
    fn an_arc_is_the_limit_of_short_straights(runs in runs()) {
        let smooth = group(runs.clone());
        let rough = group(runs.iter().flat_map(|run| chopped(run, 1000)).collect());
        prop_assert!((smooth.middle() - rough.middle()).norm() < 1e-3);
        for (a, b) in smooth.unit_second_moments_mm3().iter().zip(rough.unit_second_moments_mm3()) {
            prop_assert!((a - b).abs() < 1e-4 * smooth.unit_polar_mm3());
        }
    }

    #[test]
    fn a_turned_group_under_a_turned_load_is_as_loaded(runs in runs(), spin in -3.0..3.0f64, f in vector(1e3), m in vector(1e5)) {
        let load = WeldLoad { force_n: f, moment_n_mm: m };
        let before = group(runs.clone());
        if is_nearly_a_line(&before) {
            return Err(TestCaseError::reject("all in one line"));
        }
        let before = before.worst(&load).expect("a worst");
        let about_z = nalgebra::Rotation3::from_axis_angle(&Vector3::z_axis(), spin);
        let load = WeldLoad { force_n: about_z * f, moment_n_mm: about_z * m };
        let again = group(runs.iter().map(|run| turned(run, spin)).collect());
        let after = again.worst(&load).expect("as before");
        prop_assert!((before.line_n_mm.norm() / after.line_n_mm.norm() - 1.0).abs() < 1e-6);
    }

    #[test]
    fn the_simplified_method_never_allows_more(
        along in -100.0..100.0f64, pull in -100.0..100.0f64, across in -100.0..100.0f64, bend in -50.0..50.0f64,
    ) {
        let stress = LineForce { along_n_mm: along, pull_n_mm: pull, across_n_mm: across, bend_n: bend }
            .throat(&Fillet::both_sides(5.0, 4.0));
        // Steel with matching filler: the limit square to the throat is wide enough not to turn this round.
        let strength = FilletStrength::of(&matching(0.9), 470.0);
        prop_assert!(strength.simplified(&stress) <= strength.directional(&stress) * (1.0 + 1e-12));
    }
}
