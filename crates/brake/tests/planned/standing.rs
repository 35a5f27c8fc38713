//! How the part stands on the tool at each step, and the leg that is read then.

use brake::order::{Edge, Plan, Round};
use brake::standing::{GaugedLeg, Moment, Standing, Stands, bears_over_mm};
use brake::tooling::Tooling;
use brake::work::Work;
use nalgebra::{Isometry3, Point3, Vector3};

use crate::card::{RADIUS_MM, T_MM, planned, strip, work};

/// Every panel as it stands in the axes of the first one.
fn together(standing: &Standing) -> Vec<Isometry3<f64>> {
    let first = standing.panels[0].inverse();
    standing.panels.iter().map(|place| first * place).collect()
}

fn plan_of(work: &Work, tooling: &Tooling) -> Plan {
    planned(work, tooling).plan().cloned().expect("an order")
}

#[test]
fn after_the_last_step_the_part_stands_as_it_was_drawn() {
    let zigzag = strip(80.0, &[30.0, 50.0, 60.0, 35.0], &[90.0, -60.0, 75.0]);
    let channel = strip(80.0, &[60.0, 80.0, 35.0], &[90.0, 45.0]);
    let cases = [
        (zigzag, Tooling::starter_brake()),
        (channel, Tooling::starter_folder()),
    ];
    for (card, tooling) in cases {
        let part = sheet::develop(&card, T_MM).expect("a part");
        let work = work(&card);
        let plan = plan_of(&work, &tooling);
        let last = plan.steps.last().expect("a step");
        let standing = Standing::of(&work, &tooling, last, Moment::After).expect("it stands");
        let blank = |panel: usize, place: Isometry3<f64>| {
            let slide = part.panels[panel].to_blank;
            place * nalgebra::Translation3::new(slide.x, slide.y, 0.0)
        };
        let wanted = part.panels[0].to_folded.inverse();
        let from = blank(0, together(&standing)[0]);
        for (panel, place) in together(&standing).into_iter().enumerate() {
            let drawn = wanted * part.panels[panel].to_folded;
            let stands = from.inverse() * blank(panel, place);
            for at in [Point3::origin(), Point3::new(40.0, 10.0, 0.0)] {
                let off_mm = (drawn * at - stands * at).norm();
                assert!(off_mm < 1e-9, "panel {panel} is {off_mm} mm off");
            }
        }
    }
}

#[test]
fn each_step_goes_on_from_where_the_one_before_left() {
    let work = work(&strip(80.0, &[30.0, 50.0, 60.0, 35.0], &[90.0, 60.0, 90.0]));
    let tooling = Tooling::starter();
    let plan = plan_of(&work, &tooling);
    for pair in plan.steps.windows(2) {
        let [after, before] = [(&pair[0], Moment::After), (&pair[1], Moment::Before)]
            .map(|(step, moment)| Standing::of(&work, &tooling, step, moment).expect("it stands"));
        for (a, b) in together(&after).iter().zip(together(&before)) {
            assert!((a.to_homogeneous() - b.to_homogeneous()).norm() < 1e-9);
        }
    }
}

#[test]
fn on_every_machine_the_edge_that_is_gauged_stands_at_the_gauge() {
    let work = work(&strip(80.0, &[40.0, 60.0], &[90.0]));
    for tooling in [
        Tooling::starter_brake(),
        Tooling::starter_folder(),
        Tooling::starter_vice(),
    ] {
        let plan = plan_of(&work, &tooling);
        let step = &plan.steps[0];
        let before = Standing::of(&work, &tooling, step, Moment::Before).expect("it stands");
        if step.gauge.edge != Edge::Mark {
            let over = bears_over_mm(&work, &before, step).expect("it bears on the gauge");
            assert!((over[1] - over[0] - 80.0).abs() < 1e-6, "{over:?}");
        }
    }
}

#[test]
fn before_a_step_the_plate_lies_on_its_inside_at_the_gauge_and_after_it_both_legs_rise() {
    let work = work(&strip(80.0, &[40.0, 60.0], &[90.0]));
    let tooling = Tooling::starter_brake();
    let plan = plan_of(&work, &tooling);
    let step = &plan.steps[0];
    let before = Standing::of(&work, &tooling, step, Moment::Before).expect("it stands");
    assert_eq!(before.stand, [Stands::Flat, Stands::Flat]);
    let over = bears_over_mm(&work, &before, step).expect("it bears on the gauge");
    assert!(
        (over[0] + 40.0).abs() < 1e-6 && (over[1] - 40.0).abs() < 1e-6,
        "{over:?}"
    );
    let after = Standing::of(&work, &tooling, step, Moment::After).expect("it stands");
    for place in &after.panels {
        let up = place * Vector3::z();
        assert!((up.z - std::f64::consts::FRAC_1_SQRT_2).abs() < 1e-9, "{up:?}");
    }
    // The curve hangs together with both legs: its ends lie on their middle planes.
    let curve: Vec<_> = after.facets.iter().collect();
    assert!(curve.len() >= 4);
    let lowest = curve.iter().flat_map(|facet| facet.corners).map(|at| at.z);
    let lowest = lowest.fold(f64::INFINITY, f64::min);
    assert!(lowest > -T_MM && lowest < 0.0, "{lowest}");
}

#[test]
fn a_right_angled_leg_reads_from_the_gauge_to_the_outside_of_the_other() {
    let card = strip(80.0, &[40.0, 60.0], &[90.0]);
    let part = sheet::develop(&card, T_MM).expect("a part");
    let work = work(&card);
    let plan = plan_of(&work, &Tooling::starter_brake());
    let step = &plan.steps[0];
    let leg = GaugedLeg::of(&work, step).expect("a leg lay at the gauge");
    let (panel, other) = if leg.of_moving { (1, 0) } else { (0, 1) };
    assert_eq!(leg.of_moving, step.round == Round::MovingBack);
    // In the folded part: from the edge of the leg to the outside of the other, square to it.
    let folded = |panel: usize, at: Point3<f64>| part.panels[panel].to_folded * at;
    let outline = &part.panels[panel].flat.outer;
    let outside = (part.panels[other].to_folded * Vector3::z()).normalize();
    let on_other = folded(
        other,
        Point3::from(part.panels[other].flat.outer.vertices()[0].at.coords.push(0.0)),
    );
    let faces = part.lines_on.z_range(T_MM);
    let heights: Vec<f64> = outline
        .vertices()
        .iter()
        .map(|vertex| (folded(panel, Point3::new(vertex.at.x, vertex.at.y, 0.0)) - on_other).dot(&outside))
        .collect();
    let reach = heights.iter().fold(
        0.0_f64,
        |far, height| if height.abs() > far.abs() { *height } else { far },
    );
    let far_face = if reach > 0.0 { faces[0] } else { faces[1] };
    let read_mm = (reach - far_face).abs();
    assert!(
        (leg.outside_mm - read_mm).abs() < 1e-9,
        "{} and {read_mm}",
        leg.outside_mm
    );
    assert!(!leg.over_the_bend && step.gauge.edge == Edge::Square);
}

#[test]
fn past_a_right_angle_the_leg_is_read_over_the_round_of_the_bend() {
    let work = work(&strip(80.0, &[40.0, 60.0], &[120.0]));
    let plan = plan_of(&work, &Tooling::starter());
    let step = &plan.steps[0];
    let leg = GaugedLeg::of(&work, step).expect("a leg lay at the gauge");
    assert!(leg.over_the_bend);
    let tangent_mm = step.gauge.to_tangent_mm;
    assert!((leg.outside_mm - tangent_mm - RADIUS_MM - T_MM).abs() < 1e-9);
}

#[test]
fn a_leg_made_before_stands_up_where_the_next_is_bent() {
    let work = work(&strip(80.0, &[40.0, 60.0, 40.0], &[90.0, 90.0]));
    let tooling = Tooling::starter_brake();
    let plan = plan_of(&work, &tooling);
    let second = Standing::of(&work, &tooling, &plan.steps[1], Moment::Before).expect("it stands");
    let up = second
        .stand
        .iter()
        .filter(|stands| **stands == Stands::Up)
        .count();
    assert_eq!(up, 1, "{:?}", second.stand);
    assert!(second.facets.iter().any(|facet| facet.stands == Stands::Up));
}

#[test]
fn the_gauge_stands_at_the_true_outside_of_a_bend_whichever_way_round() {
    // A channel, its second bend with the first one at the gauge, as its legs end nearer than the gauge comes.
    let work = work(&strip(80.0, &[40.0, 60.0, 40.0], &[90.0, 90.0]));
    let mut tooling = Tooling::starter_brake();
    tooling.presses[0].gauge_mm[0] = 45.0;
    let plan = plan_of(&work, &tooling);
    let step = &plan.steps[1];
    assert_eq!(step.gauge.edge, Edge::Bent, "{step:?}");
    // From the middle of one strip to the middle of the other, less half of the bent one, and on to its outside.
    let between_mm = (work.lines[0].middle - work.lines[1].middle).norm();
    let to_outside_mm = between_mm - work.lines[0].strip_mm() / 2.0 + RADIUS_MM + T_MM;
    assert!(
        (step.gauge.to_middle_mm - to_outside_mm).abs() < 1e-9,
        "{:?} and {to_outside_mm}",
        step.gauge
    );
}
