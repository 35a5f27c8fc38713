//! The interpreter against the published rules of RS-274, and against anything.

use cut::verify::{MachineWords, Move, Program, ReadError, Step, read_program};
use plane::{Point, Segment};
use proptest::prelude::*;

fn read(text: &str) -> Result<Program, ReadError> {
    read_program(text, &MachineWords::default())
}

fn moves(text: &str) -> Vec<Move> {
    read(text)
        .unwrap_or_else(|why| panic!("{why}\n{text}"))
        .moves()
        .copied()
        .collect()
}

#[test]
fn the_published_arc_is_read() {
    let made = moves("G21 G90\nG0 X7 Y7 F100\nG2 X10 Y16 I3 J4\nM2\n");
    let [arc] = made[..] else { panic!("{made:?}") };
    let Segment::Arc {
        centre, radius_mm, ..
    } = arc.path
    else {
        panic!("{arc:?}")
    };
    published::row("J003").check_text(&format!("{},{}", centre.x, centre.y));
    published::row("J004").check(radius_mm);
    let turned: f64 = made.iter().map(|made| made.path.turn_rad()).sum();
    assert!(turned < 0.0, "G2 turns clockwise");
}

#[test]
fn radii_that_differ_by_more_than_the_rule_are_refused() {
    let limit = |id: &str, unit: &str| {
        let by = published::row(id).expected_number();
        for (off, taken) in [(0.99 * by, true), (1.01 * by, false)] {
            let text = format!("{unit} G90\nG0 X0 Y0 F10\nG3 X5 Y{} I5 J0\nM2\n", 5.0 + off);
            assert_eq!(read(&text).is_ok(), taken, "{text}");
        }
    };
    limit("J001", "G20");
    limit("J002", "G21");
    for (id, end) in [("J005", "5.003"), ("J006", "5.001")] {
        let answer = read(&format!("G21 G90\nG0 X0 Y0 F10\nG2 X5 Y{end} I5 J0\nM2\n"));
        published::row(id).check_text(match answer {
            Ok(_) => "ok",
            Err(ReadError::ArcRadii { line: 3, .. }) => "error",
            Err(other) => panic!("{other}"),
        });
    }
}

#[test]
fn a_full_circle_is_told_by_its_centre_and_not_by_its_radius() {
    let at_start = |words: &str| read(&format!("G21 G90\nG0 X0 Y0 F10\nG3 X0 Y0 {words}\nM2\n"));
    published::row("J007").check_text(if at_start("R5").is_err() { "error" } else { "ok" });
    published::row("J008").check_text(if at_start("I5 J0").is_ok() { "ok" } else { "error" });
    let whole = moves("G21 G90\nG0 X0 Y0 F10\nG3 X0 Y0 I5 J0\nM2\n");
    let length_mm: f64 = whole.iter().map(|made| made.path.length_mm()).sum();
    assert!((length_mm - 10.0 * std::f64::consts::PI).abs() < 1e-9);
}

#[test]
fn arcs_by_radius_are_taken_in_the_published_range_alone() {
    assert_eq!(published::row("J009").expected, "<=165 or 195-345");
    assert_eq!(published::row("J010").expected, "180-359.999");
    for (sweep_deg, taken) in [
        (10.0, true),
        (164.9, true),
        (175.0, false),
        (196.0, true),
        (344.0, true),
        (350.0, false),
    ] {
        let half = f64::to_radians(sweep_deg / 2.0);
        // An arc about (0, 0) of radius 10 from -half to half.
        let sign = if sweep_deg > 180.0 { -1.0 } else { 1.0 };
        let text = format!(
            "G21 G90\nG0 X{:.9} Y{:.9} F10\nG3 X{:.9} Y{:.9} R{}\nM2\n",
            10.0 * half.cos(),
            -10.0 * half.sin(),
            10.0 * half.cos(),
            10.0 * half.sin(),
            10.0 * sign
        );
        match read(&text) {
            Ok(program) => {
                assert!(taken, "{text}");
                let turned: f64 = program.moves().map(|made| made.path.turn_rad()).sum();
                assert!((turned.to_degrees() - sweep_deg).abs() < 1e-4, "{text}: {turned}");
                for made in program.moves() {
                    let Segment::Arc { centre, .. } = made.path else {
                        panic!("{made:?}")
                    };
                    assert!(centre.coords.norm() < 1e-5, "{text}: {centre}");
                }
            }
            Err(why) => assert!(!taken && matches!(why, ReadError::NoArc { .. }), "{text}: {why}"),
        }
    }
}

#[test]
fn a_dwell_is_in_seconds() {
    let program = read("G21 G90\nG4 P1.5\nM2\n").expect("it reads");
    let Some(Step::Dwell { s, .. }) = program.steps.first() else {
        panic!("{program:?}")
    };
    published::row("J011").check(*s);
}

#[test]
fn after_the_end_nothing_may_follow() {
    // J012 and J013: the machine falls back to G1 and G90 with the end, so that nothing of this program reaches the next.
    assert_eq!(published::row("J012").expected, "G1");
    assert_eq!(published::row("J013").expected, "G90");
    assert_eq!(
        read("G21 G90\nM2\nG0 X0 Y0\n"),
        Err(ReadError::AfterEnd { line: 3 })
    );
    assert_eq!(read("G21 G90\nG0 X0 Y0\n"), Err(ReadError::NoEnd { line: 2 }));
    assert!(read("%\nG21 G90\nM30\n%\n").is_ok());
}

#[test]
fn the_unit_is_set_before_the_distance_and_the_move_of_its_line() {
    assert!(
        published::row("J014").inputs.contains("length units") || !published::row("J014").inputs.is_empty()
    );
    let made = moves("G21 G90\nG0 X1 Y1\nX2 Y1 G0 G91 G20\nM2\n");
    // 2 inches on from 1 mm.
    assert!(
        (made[0].path.to() - Point::new(51.8, 26.4)).norm() < 1e-9,
        "{made:?}"
    );
}

#[test]
fn words_are_kept_from_line_to_line() {
    let made = moves("G21 G90 G17\nG0 X0 Y0\nG1 X10 F300\nY10\nG91\nX-10\nG90\nX0 Y0\nM2\n");
    let ends: Vec<(f64, f64)> = made
        .iter()
        .map(|made| (made.path.to().x, made.path.to().y))
        .collect();
    assert_eq!(ends, [(10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (0.0, 0.0)]);
    assert!(made.iter().all(|made| made.feed_mm_min == Some(300.0)));
    assert_eq!(made[3].line, 8);
}

#[test]
fn inches_are_inches_in_places_and_feeds() {
    let made = moves("G20 G90\nG0 X0 Y0\nG1 X1 F100\nM2\n");
    assert!((made[0].path.to().x - 25.4).abs() < 1e-12);
    assert_eq!(made[0].feed_mm_min, Some(2540.0));
}

#[test]
fn a_shifted_path_runs_half_a_kerf_beside_its_edges() {
    let words = MachineWords {
        kerf_slots: vec![(1, 2.0)],
        ..MachineWords::default()
    };
    // Clockwise round a square of 20, the torch outside, so on the left.
    let text = "G21 G90\nG0 X-10 Y0 F100\nG41 D1\nG1 X0 Y0\nY20\nX20\nY0\nX0\nG40\nG1 X-10 Y-1\nM2\n";
    let program = read_program(text, &words).expect("it reads");
    let made: Vec<&Move> = program.moves().collect();
    let ends: Vec<(f64, f64)> = made
        .iter()
        .map(|made| (made.path.to().x, made.path.to().y))
        .collect();
    assert_eq!(
        ends,
        [
            (-1.0, 0.0),
            (-1.0, 20.0),
            (0.0, 21.0),
            (20.0, 21.0),
            (21.0, 20.0),
            (21.0, 0.0),
            (20.0, -1.0),
            (0.0, -1.0),
            (-10.0, -1.0)
        ]
    );
    // The other way round and the torch inside: the shifted edges are cut where they meet.
    let text = "G21 G90\nG0 X10 Y10 F100\nG41.1 D2\nG1 X10 Y0\nX20\nY20\nX0\nY0\nX10\nG40\nM2\n";
    let program = read_program(text, &MachineWords::default()).expect("it reads");
    let ends: Vec<(f64, f64)> = program
        .moves()
        .map(|made| (made.path.to().x, made.path.to().y))
        .collect();
    assert_eq!(
        ends,
        [
            (10.0, 1.0),
            (19.0, 1.0),
            (19.0, 19.0),
            (1.0, 19.0),
            (1.0, 1.0),
            (10.0, 1.0)
        ]
    );
}

#[test]
fn what_cannot_be_read_is_told_with_its_line() {
    let told = |body: &str| read(&format!("G21 G90\nG0 X0 Y0 F100\n{body}\nM2\n")).expect_err(body);
    assert!(matches!(
        told("G1 X1 X2"),
        ReadError::Twice { line: 3, letter: 'X' }
    ));
    assert!(matches!(told("G0 G1 X1"), ReadError::SameGroup { line: 3, .. }));
    assert!(matches!(told("G20 G21"), ReadError::SameGroup { line: 3, .. }));
    assert!(matches!(
        told("G18"),
        ReadError::UnknownWord {
            line: 3,
            letter: 'G',
            ..
        }
    ));
    assert!(matches!(
        told("M7"),
        ReadError::UnknownWord {
            line: 3,
            letter: 'M',
            ..
        }
    ));
    assert!(matches!(told("M3 M5"), ReadError::SameGroup { line: 3, .. }));
    assert!(matches!(
        told("A90"),
        ReadError::UnknownWord {
            line: 3,
            letter: 'A',
            ..
        }
    ));
    assert!(matches!(
        told("G1 X1 R5"),
        ReadError::Unused { line: 3, letter: 'R' }
    ));
    assert!(matches!(told("G1"), ReadError::Needs { line: 3, .. }));
    assert!(matches!(told("G4"), ReadError::Needs { line: 3, .. }));
    assert!(matches!(told("G2 X1 Y1"), ReadError::Needs { line: 3, .. }));
    assert!(matches!(
        told("G41 D9\nG1 X1"),
        ReadError::BadValue { line: 3, .. }
    ));
    assert!(matches!(
        told("G41.1 D1\nG1 X5\nX9"),
        ReadError::NoShift { line: 3, .. }
    ));
    assert!(matches!(
        told("G3 X0.00001 Y0 I0 J0"),
        ReadError::NoArc { line: 3, .. }
    ));
    assert!(matches!(
        told("G21 F100"),
        ReadError::BadValue {
            line: 3,
            letter: 'F',
            ..
        }
    ));
    assert!(matches!(told("G1 X1 F0"), ReadError::BadValue { line: 3, .. }));
    assert!(matches!(
        told("G1 X99999999"),
        ReadError::OutOfMeasure { line: 3, .. }
    ));
    assert!(matches!(
        read("G90\nG0 X0 Y0\nM2\n"),
        Err(ReadError::NoUnit { line: 2 })
    ));
    assert!(matches!(
        read("G21\nG0 X0 Y0\nM2\n"),
        Err(ReadError::Needs { line: 2, .. })
    ));
    assert!(matches!(
        read("G21 G90\nG1 X0 Y0 F1\nM2\n"),
        Err(ReadError::NoPlace { line: 2 })
    ));
    assert!(matches!(
        read("G21 G90\nG0 X0 Y0\nG1 X1\nM2\n"),
        Err(ReadError::NoFeed { line: 3 })
    ));
    assert!(matches!(
        read(&"\n".repeat(17 << 20)),
        Err(ReadError::TooLong { .. })
    ));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
        let _ = read(&text);
    }

    #[test]
    fn any_words_are_read_or_refused(
        rows in prop::collection::vec("(G(0|1|2|3|4|20|21|40|41.1|42.1|90|91|90.1)|M[235]|[XYZIJRDFP]-?[0-9.]{1,4}| ){1,7}", 0..24),
    ) {
        let text = format!("G21 G90\nG0 X0 Y0 F10\n{}\nM2\n", rows.join("\n"));
        if let Ok(program) = read(&text) {
            for made in program.moves() {
                prop_assert!(made.path.length_mm().is_finite(), "{:?}\n{}", made, text);
            }
        }
    }
}
