//! Parts at the edge of what there is: nothing may panic, and every answer must be one.

use brake::needs::Stop;
use brake::order::{Block, Outcome};
use brake::tooling::Tooling;
use brake::work::{Work, WorkError};
use plane::Point;
use sheet::{Face, Mockup, Opening, OpeningShape, Way};

use crate::card::{card, crease, order, part, planned, strip, work};

#[test]
fn a_flat_plate_needs_no_step() {
    let work = work(&strip(50.0, &[80.0], &[]));
    assert_eq!(
        order(&work, &planned(&work, &Tooling::starter())),
        Some(Vec::new())
    );
}

#[test]
fn no_tools_bend_nothing() {
    let work = work(&strip(50.0, &[40.0, 40.0], &[90.0]));
    let Outcome::None(none) = planned(&work, &Tooling::default()) else {
        panic!("bent with nothing")
    };
    assert_eq!(none.ends, [0]);
}

/// Two tabs on one edge of a plate, with a gap between.
fn two_tabs(second_deg: f64) -> Mockup {
    let corners = [
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 60.0),
        (190.0, 60.0),
        (190.0, 90.0),
        (120.0, 90.0),
        (120.0, 60.0),
        (80.0, 60.0),
        (80.0, 90.0),
        (10.0, 90.0),
        (10.0, 60.0),
        (0.0, 60.0),
    ];
    let creases = vec![
        crease("left", (10.0, 60.0), (80.0, 60.0), 90.0, Way::Up),
        crease("right", (120.0, 60.0), (190.0, 60.0), second_deg, Way::Up),
    ];
    card(&corners, creases, Some((100.0, 30.0)))
}

#[test]
fn two_tabs_on_one_line_are_bent_in_one_stroke_and_at_different_angles_in_two() {
    let same = work(&two_tabs(90.0));
    assert_eq!(
        order(&same, &planned(&same, &Tooling::starter_brake())),
        Some(vec!["left+right".to_owned()])
    );
    let other = work(&two_tabs(60.0));
    let steps = order(&other, &planned(&other, &Tooling::starter_brake()));
    assert_eq!(steps.map(|steps| steps.len()), Some(2));
}

#[test]
fn a_bend_across_a_window_is_one_step() {
    let window = plane::Outline::rectangle(Point::new(25.0, 30.0), Point::new(55.0, 70.0)).expect("a window");
    let card = Mockup {
        openings: vec![Opening {
            name: "w".to_owned(),
            shape: OpeningShape::Window(window),
        }],
        ..strip(100.0, &[40.0, 40.0], &[90.0])
    };
    let work = work(&card);
    assert_eq!(work.lines.len(), 1);
    assert_eq!(work.lines[0].spans_mm.len(), 2);
    assert_eq!(
        order(&work, &planned(&work, &Tooling::starter_brake())).map(|steps| steps.len()),
        Some(1)
    );
}

#[test]
fn a_hem_is_bent_with_the_acute_punch_and_then_closed() {
    let mut card = Mockup {
        lines_on: Face::Marked,
        ..strip(80.0, &[60.0, 26.0], &[160.0])
    };
    card.creases[0].radius_mm = 1.0;
    let work = work(&card);
    assert_eq!(work.stages.len(), 2);
    let outcome = planned(&work, &Tooling::starter_brake());
    let plan = outcome.plan().unwrap_or_else(|| panic!("{outcome:?}"));
    assert_eq!(plan.steps.len(), 2);
    assert!(!plan.steps[0].closing && plan.steps[1].closing);
    assert_eq!(plan.steps[1].from_rad, plan.steps[0].to_rad);
    // With no acute punch nothing takes it so far.
    let mut tooling = Tooling::starter_brake();
    tooling.punches.truncate(1);
    assert!(planned(&work, &tooling).plan().is_none());
}

/// A hem so wide, bent first on tools that do that.
fn hem(wide_mm: f64) -> Work {
    let mut card = Mockup {
        lines_on: Face::Marked,
        ..strip(wide_mm, &[60.0, 26.0], &[160.0])
    };
    card.creases[0].radius_mm = 1.0;
    work(&card)
}

#[test]
fn a_hem_longer_than_what_closes_it_is_not_closed() {
    // The folder bends it first under a finger that leans far back, over all its length; the jaws of the vice that presses it
    // shut are 160 mm together.
    let mut tooling = Tooling {
        vices: Tooling::starter_vice().vices,
        ..Tooling::starter_folder()
    };
    let finger = [
        (0.0, 0.0),
        (90.0, 0.0),
        (90.0, 100.0),
        (80.0, 100.0),
        (80.0, 30.0),
        (0.8, 0.8),
    ];
    let finger = finger.map(|(x, y)| Point::new(x, y));
    tooling.folders[0].finger = plane::Outline::polygon(&finger).expect("a finger");
    tooling.folders[0].swing_rad = 150f64.to_radians();
    let short = planned(&hem(150.0), &tooling);
    assert!(short.plan().is_some(), "{short:?}");
    let Outcome::None(long) = planned(&hem(300.0), &tooling) else {
        panic!("closed after all")
    };
    assert_eq!(long.ends, [1], "{long:?}");
}

#[test]
fn a_hem_is_not_sent_to_a_shop_that_does_not_bend_so_far() {
    // Its first step, to less than 150 degrees, is taken in.
    let mut tooling = Tooling {
        away: Some(Tooling::starter_away()),
        ..Tooling::default()
    };
    let Outcome::None(none) = planned(&hem(150.0), &tooling) else {
        panic!("sent out after all")
    };
    assert!(
        matches!(none.blocked[0].why, Block::Stop(Stop::Angle { .. })) && none.ends == [1],
        "{none:?}"
    );
    if let Some(away) = &mut tooling.away {
        away.largest_bend_rad = std::f64::consts::PI;
    }
    assert!(planned(&hem(150.0), &tooling).plan().is_some());
}

#[test]
fn a_leg_at_the_right_upright_meets_it_like_one_at_the_left() {
    // A long plate with a tab at one end or the other, deep enough to reach past the throat.
    let tooling = {
        let mut tooling = Tooling::starter_brake();
        tooling.presses[0].between_uprights_mm = 300.0;
        tooling.presses[0].throat_mm = 60.0;
        tooling
    };
    let tab = |at_mm: f64| {
        let corners = [
            (-250.0, -100.0),
            (250.0, -100.0),
            (250.0, 0.0),
            (at_mm + 30.0, 0.0),
            (at_mm + 30.0, 30.0),
            (at_mm - 30.0, 30.0),
            (at_mm - 30.0, 0.0),
            (-250.0, 0.0),
        ];
        let creases = vec![crease(
            "tab",
            (at_mm - 30.0, 0.0),
            (at_mm + 30.0, 0.0),
            90.0,
            Way::Up,
        )];
        work(&card(&corners, creases, Some((0.0, -50.0))))
    };
    let round = |at_mm: f64| {
        planned(&tab(at_mm), &tooling)
            .plan()
            .map(|plan| plan.steps[0].round)
    };
    // With the plate to the back it reaches past one upright: it is put in with the tab to the back, at either end alike.
    assert_eq!(round(-180.0), round(180.0));
    assert_eq!(round(180.0), Some(brake::order::Round::MovingBack));
}

#[test]
fn twelve_panels_are_planned() {
    let bends: Vec<f64> = [30.0, -30.0].iter().cycle().take(11).copied().collect();
    let work = work(&strip(60.0, &[45.0; 12], &bends));
    let plan = planned(&work, &Tooling::starter_brake());
    assert_eq!(order(&work, &plan).map(|steps| steps.len()), Some(11));
}

#[test]
fn more_bends_than_are_searched_are_refused_with_their_number() {
    let part = part(&strip(60.0, &[45.0; 20], &[30.0; 19]), 2.0);
    assert_eq!(
        Work::of(&part, None, 2.6),
        Err(WorkError::TooManySteps { steps: 19, most: 16 })
    );
}

#[test]
fn the_same_part_gives_the_same_plan_and_a_metal_that_is_not_known_gives_one_too() {
    let card = strip(
        100.0,
        &[30.0, 40.0, 60.0, 40.0, 30.0],
        &[-90.0, 90.0, 90.0, -90.0],
    );
    let (first, second) = (work(&card), work(&card));
    assert_eq!(
        planned(&first, &Tooling::starter()),
        planned(&second, &Tooling::starter())
    );
    let unknown = Work::of(&part(&card, 2.0), None, 2.6).expect("work");
    assert!(planned(&unknown, &Tooling::starter_brake()).plan().is_some());
}
