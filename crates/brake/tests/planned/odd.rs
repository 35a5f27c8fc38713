//! Parts at the edge of what there is: nothing may panic, and every answer must be one.

use brake::order::Outcome;
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
