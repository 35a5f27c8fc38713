//! Every dialect writes the same cuts.

use cut::gcode::*;
use plane::Point;

use crate::sheet::{Lead, Sheet, angle, plate, two_parts};

fn every_dialect() -> Vec<Dialect> {
    let plain = Dialect::default;
    let inch = Dialect {
        unit: ProgramUnit::Inch,
        decimals_n: 5,
        ..plain()
    };
    vec![
        plain(),
        Dialect {
            comments: Comments::Semicolon,
            line_numbers: Some(10),
            end: EndWord::M30,
            ..plain()
        },
        Dialect {
            arc_centres: ArcCentres::Absolute,
            arc_pieces: ArcPieces::QuarterTurns,
            ..plain()
        },
        Dialect {
            heights: Heights::ByMachine,
            pierce_delay: PierceDelay::ByMachine,
            torch: OnOff::new("M64 P0", "M65 P0"),
            height_control: Some(OnOff::new("M64 P1", "M65 P1")),
            decimals_n: 6,
            ..plain()
        },
        Dialect {
            height_control: Some(OnOff::new("M50 P1", "M50 P0")),
            torch: OnOff::new("M3 S1", "M5"),
            ..inch.clone()
        },
        inch.clone(),
        Dialect {
            compensation: Compensation::MachineTable { slot: 7 },
            ..plain()
        },
        Dialect {
            compensation: Compensation::MachineWidth,
            ..inch
        },
        Dialect {
            compensation: Compensation::MachineWidth,
            arc_pieces: ArcPieces::QuarterTurns,
            arc_centres: ArcCentres::Absolute,
            ..plain()
        },
    ]
}

#[test]
fn every_dialect_writes_a_program_that_reads_back_right() {
    for dialect in every_dialect() {
        for zero in [
            Point::new(0.0, 0.0),
            Point::new(1250.0, 0.0),
            Point::new(317.3, 88.8),
        ] {
            let sheet = Sheet { zero, ..two_parts() };
            let text = sheet.text(&dialect);
            assert_eq!(text, sheet.text(&dialect), "the same work gives the same bytes");
            assert!(text.is_ascii());
        }
    }
}

#[test]
fn the_head_says_stock_zero_unit_and_cautions() {
    let sheet = two_parts();
    let cautions = ["Zinc makes fume: keep out of it.".to_owned()];
    let work = Work {
        cautions: &cautions,
        ..sheet.work()
    };
    let program = checked_program(&work, &Dialect::default(), &sheet.on()).expect("it is right");
    let head: Vec<&str> = program
        .text
        .lines()
        .take_while(|line| line.starts_with('('))
        .collect();
    for said in [
        "( Stock: S235 3 mm )",
        "( Zero: the lower left corner of the sheet )",
        "( Units: millimetres, feeds in mm/min )",
        "( Caution: Zinc makes fume: keep out of it. )",
    ] {
        assert!(head.contains(&said), "{said}: {head:#?}");
    }
}

#[test]
fn an_arc_stays_an_arc_and_a_circle_is_two_halves() {
    let sheet = Sheet::new(vec![plate(plane::Vector::new(30.0, 40.0))], 1.5, Lead::Arc);
    let text = sheet.text(&Dialect::default());
    let bolt: Vec<&str> = text
        .split("( Cut ")
        .nth(1)
        .expect("the bolt hole is first")
        .lines()
        .filter(|line| line.starts_with("G2") || line.starts_with("G3"))
        .collect();
    // Lead-in, a quarter, a half, a quarter, and a little over.
    assert_eq!(bolt.len(), 5, "{bolt:#?}");
}

#[test]
fn the_dry_run_never_lights_the_torch_and_stays_up() {
    for dialect in every_dialect() {
        let sheet = two_parts();
        let text = checked_dry_run(&sheet.work(), &dialect, &sheet.on()).expect("the dry run is right");
        assert!(
            !text.lines().any(|line| line.ends_with(&dialect.torch.on)),
            "{text}"
        );
        assert!(text.contains("torch is never lit"));
        assert!(!text.contains("G41") && !text.contains("G42"));
    }
}

#[test]
fn what_lies_off_the_table_or_under_a_clamp_is_not_written() {
    let sheet = two_parts();
    let mut on = sheet.on();
    on.table[1].x = 250.0;
    let wrong = checked_program(&sheet.work(), &Dialect::default(), &on).expect_err("the angle lies off");
    assert!(
        wrong
            .iter()
            .any(|w| matches!(w, cut::verify::Wrong::OffTable { .. })),
        "{wrong:?}"
    );
    let clamp = [plane::Region::solid(
        plane::Outline::rectangle(Point::new(60.0, 20.0), Point::new(80.0, 45.0)).expect("a clamp"),
    )];
    let on = Surroundings {
        clamps: &clamp,
        ..sheet.on()
    };
    let wrong =
        checked_program(&sheet.work(), &Dialect::default(), &on).expect_err("the clamp is in the way");
    assert!(
        wrong
            .iter()
            .any(|w| matches!(w, cut::verify::Wrong::IntoClamp { .. })),
        "{wrong:?}"
    );
    let wrong = checked_dry_run(&sheet.work(), &Dialect::default(), &on).expect_err("the dry run too");
    assert!(
        wrong
            .iter()
            .any(|w| matches!(w, cut::verify::Wrong::IntoClamp { .. })),
        "{wrong:?}"
    );
}

/// A window with a corner cut off so closely that the middle of the kerf has next to nothing of the cut.
fn window_with_a_short_edge(cut_off_mm: f64) -> plane::Region {
    let at = |x: f64, y: f64| Point::new(100.0 + x, 100.0 + y);
    let outer = plane::Outline::rectangle(at(-50.0, -50.0), at(50.0, 50.0)).expect("a plate");
    let window = plane::Outline::polygon(&[
        at(-20.0, -20.0),
        at(20.0, -20.0),
        at(20.0, 20.0 - cut_off_mm),
        at(20.0 - cut_off_mm, 20.0),
        at(-20.0, 20.0),
    ]);
    plane::Region::new(outer, vec![window.expect("a window").reversed()]).expect("a plate with a window")
}

#[test]
fn a_cut_that_the_machine_cannot_shift_is_written_shifted_and_says_so() {
    let machine = Dialect {
        compensation: Compensation::MachineTable { slot: 1 },
        ..Dialect::default()
    };
    let says = "( Kerf: this cut cannot be left to the machine to shift. The path is the middle of a kerf of 1.500 mm.";
    // The shift comes in over a straight line: with a curved lead it cannot.
    let curved = Sheet::new(vec![angle(plane::Vector::new(30.0, 40.0))], 1.5, Lead::Arc);
    assert_eq!(left_to_machine(&curved.cuts[0]), Err(NoEdge::NoStraightLead));
    let text = curved.text(&machine);
    assert!(text.contains(says) && !text.contains("G41"), "{text}");
    // One beside others that it can: only that one is shifted here, and the reader finds all of them right.
    let straight = Sheet::new(vec![angle(plane::Vector::new(30.0, 40.0))], 1.5, Lead::Line);
    let mut mixed = two_parts();
    let last = mixed.cuts.len() - 1;
    assert!(
        mixed.cuts.iter().all(|cut| left_to_machine(cut).is_ok())
            && left_to_machine(&straight.cuts[0]).is_ok()
    );
    mixed.cuts[last] = Sheet::new(mixed.parts.clone(), 1.5, Lead::Arc).cuts[last].clone();
    let Program { text, shifted } = mixed.program(&machine);
    let why = NoEdge::NoStraightLead;
    assert_eq!(shifted, [Shifted { cut: last, why }]);
    assert!(mixed.program(&Dialect::default()).shifted.is_empty());
    assert_eq!(text.matches("G41").count(), last, "{text}");
    assert_eq!(text.matches(says).count(), 1, "{text}");
}

#[test]
fn an_edge_that_the_shift_would_all_but_swallow_is_not_left_to_the_machine() {
    for (cut_off_mm, left) in [(1.5, true), (0.7, true), (0.5, false), (0.46, false)] {
        let sheet = Sheet::new(vec![window_with_a_short_edge(cut_off_mm)], 1.5, Lead::Line);
        let asked = left_to_machine(&sheet.cuts[0]);
        assert_eq!(asked.is_ok(), left, "{cut_off_mm}: {asked:?}");
        let short_in_the_kerf = matches!(
            asked,
            Err(NoEdge::TooShort {
                along: Along::KerfMiddle,
                ..
            })
        );
        assert_eq!(short_in_the_kerf, !left, "{asked:?}");
        for compensation in [Compensation::MachineTable { slot: 1 }, Compensation::MachineWidth] {
            let text = sheet.text(&Dialect {
                compensation,
                ..Dialect::default()
            });
            let shifts = text.matches("G41").count();
            assert_eq!(shifts, if left { 2 } else { 1 }, "{cut_off_mm}: {text}");
        }
    }
    // An outside corner cut off by a hair: the edge of the part itself is too short.
    let at = |x: f64, y: f64| Point::new(100.0 + x, 100.0 + y);
    let hair = [(0.0, 0.0), (40.0, 0.0), (40.0, 29.95), (39.95, 30.0), (0.0, 30.0)].map(|(x, y)| at(x, y));
    let part = plane::Region::solid(plane::Outline::polygon(&hair).expect("a plate"));
    let sheet = Sheet::new(vec![part], 1.5, Lead::Line);
    let asked = left_to_machine(&sheet.cuts[0]);
    assert!(
        matches!(asked, Err(NoEdge::TooShort { along: Along::Part, length_mm, least_mm, .. })
            if length_mm < 0.08 && (least_mm - 0.15).abs() < 1e-9),
        "{asked:?}"
    );
    sheet.text(&Dialect {
        compensation: Compensation::MachineWidth,
        ..Dialect::default()
    });
}

#[test]
fn work_that_cannot_be_written_is_told() {
    let sheet = Sheet::new(vec![angle(plane::Vector::new(30.0, 40.0))], 1.5, Lead::Arc);
    let machine = Dialect {
        compensation: Compensation::MachineTable { slot: 1 },
        ..Dialect::default()
    };
    let none = Work {
        cuts: &[],
        ..sheet.work()
    };
    assert_eq!(
        write_program(&none, &Dialect::default()),
        Err(ProgramError::NoCuts)
    );
    let mut cuts = two_parts().cuts;
    cuts[1].kerf_mm = 1.4;
    let two = Work {
        cuts: &cuts,
        ..sheet.work()
    };
    assert!(matches!(
        write_program(&two, &machine),
        Err(ProgramError::KerfsDiffer { .. })
    ));
    let mut cuts = sheet.cuts.clone();
    cuts[0].feed_mm_min = f64::NAN;
    let wild = Work {
        cuts: &cuts,
        ..sheet.work()
    };
    assert!(matches!(
        write_program(&wild, &Dialect::default()),
        Err(ProgramError::OutOfRange { .. })
    ));
}
