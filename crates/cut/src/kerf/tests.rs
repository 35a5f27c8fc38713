//! Plates and windows under a kerf, in the words of the bench.

use plane::{Outline, Point, Region, Vertex};

use super::{Edge, Left, NoPath, paths};
use crate::profile::SquareSide;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn polygon(points: &[Point]) -> Outline {
    Outline::polygon(points).unwrap_or_else(|error| panic!("{error}"))
}

/// 100 x 60 mm, with a notch of this width, 20 mm deep, in the middle of its upper edge.
fn notched(width_mm: f64) -> Outline {
    let half = width_mm / 2.0;
    polygon(&[
        p(0.0, 0.0),
        p(100.0, 0.0),
        p(100.0, 60.0),
        p(50.0 + half, 60.0),
        p(50.0 + half, 40.0),
        p(50.0 - half, 40.0),
        p(50.0 - half, 60.0),
        p(0.0, 60.0),
    ])
}

#[test]
fn the_outside_runs_clockwise_and_holes_the_other_way_when_the_right_side_is_square() {
    let plate = Outline::rectangle(p(0.0, 0.0), p(80.0, 50.0)).expect("a plate");
    let bolt = Outline::circle(p(40.0, 25.0), 12.0).expect("a hole");
    let region = Region::new(plate, vec![bolt]).expect("a region");
    let right = paths(&region, 1.6, SquareSide::Right).expect("paths");
    assert!(!right.outline.is_counter_clockwise());
    assert!(right.openings[0].loops[0].is_counter_clockwise());
    let left = paths(&region, 1.6, SquareSide::Left).expect("paths");
    assert!(left.outline.is_counter_clockwise() && !left.openings[0].loops[0].is_counter_clockwise());
    assert_eq!(right.left, []);
    let (centre, dia_mm) = right.openings[0].loops[0]
        .as_circle()
        .expect("a circle stays one");
    assert!((centre - p(40.0, 25.0)).norm() < 1e-9 && (dia_mm - 10.4).abs() < 1e-9);
    let (low, high) = right.outline.bounds();
    assert!((low - p(-0.8, -0.8)).norm() < 1e-9 && (high - p(80.8, 50.8)).norm() < 1e-9);
}

#[test]
fn square_inside_corners_of_a_wide_notch_come_out_with_half_the_kerf() {
    let region = Region::solid(notched(10.0));
    let told = paths(&region, 1.6, SquareSide::Right).expect("paths").left;
    assert_eq!(told.len(), 2, "{told:?}");
    for corner in told {
        let Left::Corner {
            of: Edge::Outline,
            at,
            drawn_mm,
            comes_out_mm,
            short_mm,
        } = corner
        else {
            panic!("{corner:?}");
        };
        assert!((at.y - 40.0).abs() < 1e-9 && drawn_mm == 0.0 && comes_out_mm == 0.8);
        assert!((short_mm - 0.8 * (2f64.sqrt() - 1.0)).abs() < 1e-9, "{short_mm}");
    }
}

#[test]
fn a_notch_narrower_than_the_kerf_stays_shut_and_is_told_with_its_width() {
    let region = Region::solid(notched(1.2));
    let told = paths(&region, 1.6, SquareSide::Right).expect("paths").left;
    let [
        Left::Gap {
            of: Edge::Outline,
            at,
            width_mm,
            left_mm2,
        },
    ] = told[..]
    else {
        panic!("{told:?}");
    };
    assert!((at - p(50.0, 60.0)).norm() < 0.01 && (width_mm - 1.2).abs() < 0.01);
    assert!((left_mm2 - 24.0).abs() < 0.3, "{left_mm2}");
}

#[test]
fn a_window_with_a_neck_is_cut_in_two_and_the_neck_told() {
    // Two rooms of 20 x 20 mm and a passage 1 mm wide.
    let window = polygon(&[
        p(0.0, 0.0),
        p(20.0, 0.0),
        p(20.0, 9.5),
        p(30.0, 9.5),
        p(30.0, 0.0),
        p(50.0, 0.0),
        p(50.0, 20.0),
        p(30.0, 20.0),
        p(30.0, 10.5),
        p(20.0, 10.5),
        p(20.0, 20.0),
        p(0.0, 20.0),
    ]);
    let plate = Outline::rectangle(p(-20.0, -20.0), p(70.0, 40.0)).expect("a plate");
    let region = Region::new(plate, vec![window]).expect("a region");
    let cut = paths(&region, 1.6, SquareSide::Right).expect("paths");
    assert_eq!(cut.openings[0].loops.len(), 2);
    assert!(cut.left.contains(&Left::InPieces {
        opening: 0,
        pieces: 2
    }));
    let gaps: Vec<&Left> = cut
        .left
        .iter()
        .filter(|l| matches!(l, Left::Gap { .. }))
        .collect();
    let [Left::Gap { width_mm, .. }] = gaps[..] else {
        panic!("{:?}", cut.left);
    };
    assert!((width_mm - 1.0).abs() < 0.01);
    let corners = cut
        .left
        .iter()
        .filter(|l| matches!(l, Left::Corner { .. }))
        .count();
    assert_eq!(corners, 8, "four in each room: {:?}", cut.left);
}

#[test]
fn a_pocket_behind_a_narrow_mouth_stays_in() {
    // A round room 20 mm wide reached from the upper edge through a passage 1 mm wide.
    let plate = notched(1.0);
    let room = Outline::circle(p(50.0, 30.0), 22.0).expect("a room");
    let regions = Region::solid(plate)
        .difference(&Region::solid(room))
        .expect("a keyhole");
    let [region] = &regions[..] else {
        panic!("one piece")
    };
    let cut = paths(region, 1.6, SquareSide::Right).expect("paths");
    let [
        Left::Gap {
            width_mm, left_mm2, ..
        },
        ..,
    ] = cut.left[..]
    else {
        panic!("{:?}", cut.left);
    };
    assert!((width_mm - 1.0).abs() < 0.01);
    assert!(
        left_mm2 > std::f64::consts::PI * 121.0,
        "the room and the passage: {left_mm2}"
    );
}

#[test]
fn a_slot_no_wider_than_the_kerf_is_not_cut() {
    let plate = Outline::rectangle(p(0.0, 0.0), p(80.0, 50.0)).expect("a plate");
    let slot = Outline::slot(p(20.0, 25.0), p(60.0, 25.0), 1.5).expect("a slot");
    let region = Region::new(plate, vec![slot]).expect("a region");
    let cut = paths(&region, 1.6, SquareSide::Right).expect("paths");
    assert!(cut.openings[0].loops.is_empty());
    assert!(matches!(cut.left[..], [Left::Opening { opening: 0, .. }]));
    assert_eq!(
        paths(&region, 0.0, SquareSide::Right),
        Err(NoPath::NoKerf { kerf_mm: 0.0 })
    );
}

#[test]
fn arcs_stay_arcs() {
    let plate = Outline::new(vec![
        Vertex::line(p(0.0, 0.0)),
        Vertex::arc(p(60.0, 0.0), 1.0),
        Vertex::line(p(60.0, 40.0)),
        Vertex::line(p(0.0, 40.0)),
    ])
    .expect("a plate with a round end");
    let cut = paths(&Region::solid(plate), 2.0, SquareSide::Right).expect("paths");
    let round = cut
        .outline
        .segments()
        .filter(|edge| (edge.curvature().abs() - 1.0 / 21.0).abs() < 1e-6)
        .map(|edge| edge.length_mm())
        .sum::<f64>();
    assert!((round - std::f64::consts::PI * 21.0).abs() < 1e-6);
}

#[test]
fn a_pointed_window_comes_short_of_its_points_and_is_whole_otherwise() {
    // 25 degrees at the right.
    let rise = 60.0 * 12.5f64.to_radians().tan();
    let window = polygon(&[p(0.0, -rise), p(60.0, 0.0), p(0.0, rise)]);
    let plate = Outline::rectangle(p(-30.0, -40.0), p(90.0, 40.0)).expect("a plate");
    let region = Region::new(plate, vec![window]).expect("a region");
    let told = paths(&region, 1.6, SquareSide::Right).expect("paths").left;
    let short = told.iter().find_map(|left| match left {
        Left::Corner { at, short_mm, .. } if at.x > 59.0 => Some(*short_mm),
        _ => None,
    });
    // r / sin(half the angle) - r.
    let expected_mm = 0.8 / 12.5f64.to_radians().sin() - 0.8;
    assert!(
        short.is_some_and(|short_mm| (short_mm - expected_mm).abs() < 1e-6),
        "{told:?}"
    );
    assert_eq!(told.len(), 3);
}
