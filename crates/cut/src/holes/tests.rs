//! Holes as a shop wants them, and how they are made.

use handbook::{Family, Handbook};

use super::{Because, Before, Hole, HolePlan, HoleWay, Purpose, plan};
use crate::profile::{Kerf, KerfFrom, Process, Profile, Stock};

fn stock(family: Family, thickness_mm: f64) -> Stock {
    Stock {
        name: "plate".into(),
        family,
        thickness_mm,
    }
}

fn hole(dia_mm: f64, purpose: Purpose, tolerance_mm: Option<f64>) -> Hole {
    Hole {
        name: "m1".into(),
        dia_mm,
        purpose,
        tolerance_mm,
    }
}

fn planned(hole: &Hole, family: Family, t_mm: f64, process: Process) -> HolePlan {
    let book = Handbook::builtin();
    let profile = Profile::of(&book, process).expect("a profile");
    plan(hole, &stock(family, t_mm), &profile, &book).unwrap_or_else(|error| panic!("{error}"))
}

fn names(plan: &HolePlan) -> [String; 3] {
    let HoleWay::Drill { drills, .. } = &plan.way else {
        panic!("{plan:?}");
    };
    [&drills.metric, &drills.inch, &drills.numbered]
        .map(|drill| drill.as_ref().map_or(String::new(), |drill| drill.name.clone()))
}

#[test]
fn a_bolt_hole_wide_enough_is_cut() {
    let bolt = hole(13.5, Purpose::Clearance, None);
    let plan = planned(&bolt, Family::Steel, 6.0, Process::Plasma);
    assert_eq!(plan.way, HoleWay::CutToSize);
    assert!(plan.expected_mm.is_some_and(|expected| expected.value > 0.0) && !plan.hard_edge);
}

#[test]
fn a_bolt_hole_too_small_for_the_torch_is_marked_and_drilled_with_a_named_drill() {
    let plan = planned(
        &hole(6.6, Purpose::Clearance, None),
        Family::Steel,
        6.0,
        Process::Plasma,
    );
    assert_eq!(plan.because, Because::TooSmall { least_mm: 9.0 });
    assert!(matches!(
        plan.way,
        HoleWay::Drill {
            before: Before::CentreMark,
            ream_to_mm: None,
            ..
        }
    ));
    // 17/64 in is 6.75 mm.
    assert_eq!(names(&plan), ["6.6 mm", "17/64 in", "letter G"]);
    assert!(!plan.hard_edge, "the drill meets no cut edge");
}

#[test]
fn a_tapped_hole_is_never_cut_to_size() {
    for process in Process::ALL {
        let family = if process == Process::Oxy {
            Family::Steel
        } else {
            Family::Aluminium
        };
        for (thread, dia_mm, drills) in [
            ("M6", 6.0, ["5.0 mm", "13/64 in", "#9"]),
            ("M10", 10.0, ["8.5 mm", "11/32 in", "letter R"]),
            ("1/4-20", 6.35, ["5.1 mm", "13/64 in", "#7"]),
        ] {
            let tapped = hole(
                dia_mm,
                Purpose::Tapped {
                    thread: thread.into(),
                },
                None,
            );
            let plan = planned(&tapped, family, 6.0, process);
            assert_eq!(names(&plan), drills, "{thread}");
            assert!(matches!(plan.because, Because::Tapped { .. }));
        }
    }
    let unknown = hole(7.0, Purpose::Tapped { thread: "M7".into() }, None);
    let book = Handbook::builtin();
    let plasma = Profile::of(&book, Process::Plasma).expect("plasma");
    assert!(plan(&unknown, &stock(Family::Steel, 6.0), &plasma, &book).is_err());
}

#[test]
fn a_hole_held_closer_than_the_cut_comes_out_is_cut_small_and_drilled() {
    let pin = hole(20.0, Purpose::Clearance, Some(0.3));
    let plan = planned(&pin, Family::Steel, 6.0, Process::Plasma);
    let HoleWay::Drill {
        before: Before::CutTo { dia_mm },
        beyond_mm,
        ream_to_mm,
        ..
    } = plan.way
    else {
        panic!("{plan:?}");
    };
    let Because::HeldCloser { expected_mm, .. } = plan.because else {
        panic!("{:?}", plan.because);
    };
    // Even when the cut comes out as wide as it may, the drill still takes something all round.
    assert!(dia_mm + expected_mm <= 20.0 && dia_mm <= 20.0 - 1.5);
    assert!(plan.hard_edge, "plasma on steel");
    assert_eq!((beyond_mm, ream_to_mm), (Some(13.0), None));
    assert!(!planned(&pin, Family::Aluminium, 6.0, Process::Plasma).hard_edge);
}

#[test]
fn a_dowel_hole_is_reamed() {
    let dowel = hole(8.0, Purpose::Clearance, Some(0.02));
    let plan = planned(&dowel, Family::Aluminium, 3.0, Process::Waterjet);
    let HoleWay::Drill { ream_to_mm, .. } = plan.way else {
        panic!("{plan:?}");
    };
    assert_eq!(ream_to_mm, Some(8.0));
    assert_eq!(names(&plan), ["7.8 mm", "19/64 in", "letter N"]);
}

#[test]
fn a_window_is_cut_whatever_its_size() {
    let plan = planned(
        &hole(5.0, Purpose::Window, Some(0.01)),
        Family::Steel,
        6.0,
        Process::Plasma,
    );
    assert_eq!(plan.way, HoleWay::CutToSize);
}

#[test]
fn a_kerf_that_nobody_measured_sends_a_hole_to_the_drill_that_a_test_strip_sends_to_the_torch() {
    let book = Handbook::builtin();
    let mut plasma = Profile::of(&book, Process::Plasma).expect("plasma");
    let (wanted, plate) = (
        hole(20.0, Purpose::Clearance, Some(1.0)),
        stock(Family::Steel, 6.0),
    );
    let by_table = plan(&wanted, &plate, &plasma, &book).expect("a plan");
    assert!(matches!(by_table.because, Because::HeldCloser { expected_mm, .. } if expected_mm > 1.0));
    plasma.kerf = Kerf {
        width_mm: 1.7,
        sd_mm: 0.035,
        from: KerfFrom::Measured {
            on: "2026-05-04".into(),
        },
    };
    let measured = plan(&wanted, &plate, &plasma, &book).expect("a plan");
    assert_eq!(measured.way, HoleWay::CutToSize);
    assert!((measured.by_kerf_mm - 0.07).abs() < 1e-12);
}
