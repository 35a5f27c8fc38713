//! Plans that cannot be filled.

use std::time::{Duration, Instant};

use nalgebra::Point2;
use shell::plan::{Beside, Line, Plan, PlanError};

use crate::drawn::{At, plate_with_hole, rectangle, run};

fn told(plan: &Plan) -> PlanError {
    plan.fill(&|_| 3.0, 10_000).expect_err("the plan is wrong")
}

fn square() -> Plan {
    let mut plan = Plan::default();
    run(
        &mut plan,
        &rectangle(10.0, 10.0),
        Beside::Region(0),
        Beside::Nothing,
    );
    plan
}

fn within(from: u32, to: u32) -> Line {
    Line {
        from,
        to,
        left: Beside::Any,
        right: Beside::Any,
        is_cut: false,
    }
}

#[test]
fn lines_that_cross_are_named_with_the_place() {
    let mut plan = square();
    plan.lines.extend([within(0, 2), within(1, 3)]);
    let PlanError::LinesCross {
        first: 4,
        second: 5,
        at,
    } = told(&plan)
    else {
        panic!("{:?}", told(&plan))
    };
    assert!((at - At::new(5.0, 5.0)).norm() < 1e-9);
}

#[test]
fn points_twice_the_same_or_next_to_it_are_named() {
    let mut plan = square();
    plan.points.push(At::new(10.0, 10.0));
    assert!(matches!(
        told(&plan),
        PlanError::SamePoint {
            first: 2,
            second: 4,
            ..
        }
    ));
    plan.points[4].x += 1e-12;
    assert!(matches!(
        told(&plan),
        PlanError::SamePoint {
            first: 2,
            second: 4,
            ..
        }
    ));
}

#[test]
fn a_point_on_a_line_is_named() {
    for off in [0.0, 1e-12, -1e-12] {
        let mut plan = square();
        plan.points.push(At::new(4.0, off));
        let told = told(&plan);
        assert!(
            matches!(
                told,
                PlanError::PointOnLine {
                    point: 4,
                    line: 0,
                    ..
                }
            ),
            "{told:?}"
        );
    }
}

#[test]
fn lines_that_join_nothing_or_the_same_are_named() {
    let mut plan = square();
    plan.lines.push(within(1, 1));
    assert_eq!(told(&plan), PlanError::NotALine { line: 4 });
    plan.lines[4] = within(1, 9);
    assert_eq!(told(&plan), PlanError::NotALine { line: 4 });
    plan.lines[4] = within(1, 0);
    assert_eq!(told(&plan), PlanError::SameLine { first: 0, second: 4 });
}

#[test]
fn what_is_not_a_place_is_named() {
    for x in [f64::NAN, f64::INFINITY, 1e300] {
        let mut plan = square();
        plan.points[3].x = x;
        assert_eq!(told(&plan), PlanError::NotFinite { point: 3 });
    }
}

#[test]
fn lines_that_do_not_close_or_contradict_are_told() {
    let mut open = square();
    open.lines.pop();
    assert!(matches!(told(&open), PlanError::SidesDisagree { .. }));
    let mut two = square();
    two.lines[2].left = Beside::Region(1);
    assert!(matches!(told(&two), PlanError::SidesDisagree { .. }));
    assert_eq!(told(&Plan::default()), PlanError::Empty);
    let mut lines = square();
    for line in &mut lines.lines {
        line.left = Beside::Nothing;
    }
    assert_eq!(told(&lines), PlanError::Empty);
}

#[test]
fn a_size_that_is_not_above_0_is_told_with_its_place() {
    for size_mm in [0.0, -1.0, f64::NAN] {
        let wanted = |at: Point2<f64>| if at.x > 30.0 { size_mm } else { 2.0 };
        let told = plate_with_hole().fill(&wanted, 10_000).expect_err("no such size");
        assert!(
            matches!(told, PlanError::Size { at, .. } if at.x > 30.0),
            "{told:?}"
        );
    }
}

#[test]
fn a_million_elements_are_refused_at_once_with_their_number() {
    let start = Instant::now();
    let told = plate_with_hole().fill(&|_| 0.05, 20_000).expect_err("too many");
    let PlanError::OverBudget {
        estimated,
        most: 20_000,
    } = told
    else {
        panic!("{told:?}")
    };
    assert!((800_000..1_500_000).contains(&estimated), "{estimated}");
    assert!(start.elapsed() < Duration::from_millis(500));
    // A fine place too small to be seen beforehand stops the work when it comes to it.
    let pin = |at: At| 1e-5_f64.max(0.3 * (at - At::new(33.3, 21.7)).norm());
    let told = plate_with_hole().fill(&pin, 300).expect_err("too many");
    assert!(
        matches!(told, PlanError::OverBudget { most: 300, .. }),
        "{told:?}"
    );
}
