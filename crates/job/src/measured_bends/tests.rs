//! Gauges and legs of a real part, and which bends are asked about.

use brake::measured::{Corrected, MeasuredBend};
use brake::needs::Practice;
use brake::order::{Edge, Gauge, Outcome, Plan, Round, Step, Weights, plan};
use brake::tooling::Tooling;
use brake::work::{Stock, Work};
use handbook::Handbook;
use plane::{Outline, Point};
use sheet::{Crease, Face, Mockup, Relief, Way, develop};

use super::gauge::{Real, gauge_by_mm};
use super::*;
use crate::stages::bender::Whose;
use crate::stages::bending::Springs;

const T_MM: f64 = 2.0;
const RADIUS_MM: f64 = 2.4;
const K: f64 = 0.42;

/// A strip 80 mm wide with these legs, bent up between them.
fn work(legs_mm: &[f64], bends_deg: &[f64], lines_on: Face) -> Work {
    let mut x_mm = 0.0;
    let creases = bends_deg.iter().zip(legs_mm).enumerate();
    let creases = creases
        .map(|(index, (deg, leg_mm))| {
            x_mm += leg_mm;
            Crease {
                name: format!("b{}", index + 1),
                from: Point::new(x_mm, -1.0),
                to: Point::new(x_mm, 81.0),
                bent_rad: deg.to_radians(),
                way: Way::Up,
                radius_mm: if *deg > 150.0 { 1.0 } else { RADIUS_MM },
                neutral_share: K,
                relief: Relief::None,
            }
        })
        .collect();
    let card = Mockup {
        outline: Outline::rectangle(Point::origin(), Point::new(legs_mm.iter().sum(), 80.0))
            .expect("a rectangle"),
        openings: Vec::new(),
        creases,
        seams: Vec::new(),
        marks: Vec::new(),
        panel_names: Vec::new(),
        root: Some(Point::new(1.0, 40.0)),
        lines_on,
        card_mm: 0.0,
    };
    let book = Handbook::builtin();
    let part = develop(&card, T_MM).expect("it develops");
    let stock = Stock::of(&book, "5052-H32", T_MM).ok();
    Work::of(&part, stock, Practice::of(&book).closed_past_rad.value).expect("work")
}

fn planned(work: Work) -> Bending {
    let (tooling, practice) = (Tooling::starter_brake(), Practice::of(&Handbook::builtin()));
    let found = match plan(&work, &tooling, &practice, &Weights::default()).expect("a search") {
        Outcome::Plan(plan) => Found::Order(plan),
        Outcome::None(none) => panic!("{none:?}"),
    };
    Bending {
        springs: Springs {
            stock: work.stock.clone(),
            ..Springs::default()
        },
        work,
        tooling,
        practice,
        whose: Whose::Starter,
        gauge_to: None,
        settled: false,
        found,
    }
}

fn order(bending: &Bending) -> &Plan {
    match &bending.found {
        Found::Order(plan) => plan,
        Found::None { .. } => panic!("an order"),
    }
}

/// The step of a line with these lines bent before, as it would stand with a bend made before at its gauge.
fn against(bending: &Bending, line: usize, before: &[usize], round: Round) -> Step {
    let step = order(bending).steps.iter().find(|step| step.lines == [line]);
    let bits = |lines: &[usize]| {
        let stages = bending.work.stages.iter().enumerate();
        stages
            .filter(|(_, stage)| lines.contains(&stage.line))
            .fold(0, |bits, (stage, _)| bits | (1 << stage))
    };
    let step = step.expect("a step").clone();
    Step {
        before: bits(before),
        after: bits(before) | bits(&[line]),
        round,
        gauge: Gauge {
            edge: Edge::Bent,
            ..step.gauge
        },
        ..step
    }
}

/// The panel between two lines lies at the back: it is the moving one of the first, and the fixed one of the next.
const TOWARD_NEXT: Round = Round::MovingBack;
const TOWARD_LAST: Round = Round::FixedBack;

fn placed(line: usize, work: &Work, place_mm: f64) -> Corrected {
    Corrected {
        line,
        bent_rad: work.lines[line].bent_rad,
        place_mm,
    }
}

#[test]
fn a_gauge_against_a_bend_that_is_to_be_made_elsewhere_moves_with_it() {
    let bending = planned(work(&[40.0, 60.0, 60.0, 40.0], &[90.0, 30.0, 90.0], Face::Far));
    let work = &bending.work;
    // Each line's moving side is the one farther along.
    assert!(
        work.lines.iter().all(|line| line.across.x > 0.99),
        "{:?}",
        work.lines
    );
    let step = against(&bending, 1, &[2], TOWARD_NEXT);
    let by = |found: &[Corrected]| gauge_by_mm(work, &step, &Real::of(work, &[], found));
    assert!((by(&[placed(2, work, 0.5)]) - 0.5).abs() < 1e-12);
    // Its own line farther along stands nearer to that bend.
    assert!((by(&[placed(1, work, 0.2), placed(2, work, 0.5)]) - 0.3).abs() < 1e-12);
    // What lies on the other side is not at the gauge.
    let both = against(&bending, 1, &[0, 2], TOWARD_NEXT);
    let real = Real::of(work, &[], &[placed(0, work, 0.7)]);
    assert!(gauge_by_mm(work, &both, &real).abs() < 1e-12);
    let back = against(&bending, 1, &[0, 2], TOWARD_LAST);
    assert!((gauge_by_mm(work, &back, &real) + 0.7).abs() < 1e-12);
    // Past a bend that is not made yet the plate is flat, up to the one that bears.
    let far = against(&bending, 2, &[0], TOWARD_LAST);
    assert!((gauge_by_mm(work, &far, &real) + 0.7).abs() < 1e-12);
    let near = against(&bending, 2, &[0, 1], TOWARD_LAST);
    assert!(gauge_by_mm(work, &near, &real).abs() < 1e-12);
}

#[test]
fn a_bend_at_the_gauge_that_came_flatter_reaches_farther_out() {
    let bending = planned(work(&[40.0, 60.0, 40.0], &[90.0, 90.0], Face::Far));
    let work = &bending.work;
    let step = against(&bending, 0, &[1], TOWARD_NEXT);
    let flatter = MeasuredBend {
        line: 1,
        bent_rad: Some(86f64.to_radians()),
        leg_over_mm: 0.0,
    };
    // 4 degrees less arc on the near side of its line, and the outside of the round not quite as far over.
    let (outer_mm, neutral_mm) = (RADIUS_MM + T_MM, RADIUS_MM + K * T_MM);
    let expected_mm = 4f64.to_radians() * neutral_mm / 2.0 - outer_mm * (1.0 - 86f64.to_radians().sin());
    let by_mm = gauge_by_mm(work, &step, &Real::of(work, &[flatter], &[]));
    assert!((by_mm - expected_mm).abs() < 1e-12 && by_mm > 0.05, "{by_mm}");
}

#[test]
fn a_leg_from_a_bend_that_lies_elsewhere_is_held_against_where_it_lies() {
    let mut bending = planned(work(&[40.0, 60.0, 40.0], &[90.0, 90.0], Face::Far));
    let step = against(&bending, 0, &[1], TOWARD_NEXT);
    let lead = &bending.work.lines[0];
    let planned_mm = super::gauge::leg_mm(lead, &step, lead.bent_rad, T_MM);
    let plan = Plan {
        steps: vec![order(&bending).steps[0].clone(), step],
        ..order(&bending).clone()
    };
    bending.found = Found::Order(plan.clone());
    let typed = |leg_mm| Typed {
        name: "b1".into(),
        line: 0,
        step: 1,
        angle_rad: None,
        leg_mm: Some(leg_mm),
    };
    let leg_mm = |before: &[MeasuredBend]| {
        let read = read_one(&bending, &plan, &typed(planned_mm), before).map_err(|error| error.to_string());
        read.expect("a leg near to it").told.leg_mm.expect("a leg")[0].0
    };
    let shorter = MeasuredBend {
        line: 1,
        bent_rad: None,
        leg_over_mm: -1.2,
    };
    // The leg beyond came out shorter, so its bend lies farther out, and what is gauged from it is longer.
    assert!((leg_mm(&[shorter]) - leg_mm(&[]) - 1.2).abs() < 1e-12);
    let far = read_one(&bending, &plan, &typed(planned_mm + 30.0), &[])
        .err()
        .expect("far off");
    assert!(far.to_string().contains("where the outsides meet"), "{far}");
}

#[test]
fn a_hem_that_is_closed_later_is_asked_about_when_it_is_closed() {
    let bending = planned(work(&[26.0, 60.0, 60.0], &[160.0, 90.0], Face::Marked));
    let plan = order(&bending);
    let steps: Vec<&[usize]> = plan.steps.iter().map(|step| &step.lines[..]).collect();
    assert_eq!(steps, [&[0][..], &[0], &[1]]);
    // The second bend may also be made while the hem still stands open.
    let mut between = plan.clone();
    between.steps.swap(1, 2);
    assert_eq!(unsaid(plan, &[2]), [1], "the hem is closed by then");
    assert_eq!(unsaid(&between, &[1]), [0; 0], "it is closed later");
    assert_eq!(unsaid(plan, &[1, 2]), [0; 0], "it was read when closed");
    assert_eq!(unsaid(&between, &[1, 2]), [0; 0]);
    // Begun, it does not move any more; before that and once it is closed there is nothing begun.
    assert_eq!(left(&between, Some(1)).begun, [0]);
    assert_eq!(left(&between, None).begun, [0; 0]);
    assert_eq!(left(&between, Some(2)).begun, [0; 0]);
    // What is behind is not told again as to be done.
    let found = Resolved {
        bends: vec![placed(0, &bending.work, 0.0)],
        lands: Vec::new(),
    };
    let rows = remaining(&bending, &between, Some(1), &[], &found);
    assert_eq!(rows.iter().map(|row| row.number).collect::<Vec<_>>(), [3]);
}
