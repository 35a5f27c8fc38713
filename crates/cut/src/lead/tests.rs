//! Starts of plates, holes and windows, in the words of the cutting table.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use plane::{Outline, Place, Point, Region, Segment};

use super::{Avoid, Conditions, Contour, Fits, NoLead, Start, Why, starts};
use crate::kerf::{Edge, paths};
use crate::profile::{LeadKind, Leads, SquareSide};

const KERF_MM: f64 = 1.6;
const PUDDLE_MM: f64 = 2.0;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn leads() -> Leads {
    Leads {
        kinds: vec![LeadKind::Arc, LeadKind::Line],
        line_rad: FRAC_PI_4,
        in_mm: 6.0,
        in_x_t: 0.0,
        least_mm: 2.0,
        over_run_mm: 1.5,
        out_mm: 2.0,
    }
}

fn plate_with(hole: Outline) -> Region {
    let plate = Outline::rectangle(p(-60.0, -60.0), p(60.0, 60.0)).expect("a plate");
    Region::new(plate, vec![hole]).expect("a hole in it")
}

fn round(dia_mm: f64) -> Region {
    plate_with(Outline::circle(p(0.0, 0.0), dia_mm).expect("a hole"))
}

fn begin(
    region: &Region,
    of: Edge,
    leads: &Leads,
    square: SquareSide,
    avoid: &[Avoid],
    others: &[Region],
) -> Result<Vec<Start>, NoLead> {
    let paths = paths(region, KERF_MM, square).unwrap_or_else(|error| panic!("{error}"));
    let (edge, path) = match of {
        Edge::Outline => (&region.outer, &paths.outline),
        Edge::Opening(opening) => (&region.holes[opening], &paths.openings[opening].loops[0]),
    };
    let conditions = Conditions {
        leads,
        t_mm: 3.0,
        kerf_mm: KERF_MM,
        puddle_mm: PUDDLE_MM,
        square,
        avoid,
        others,
        most: 6,
    };
    starts(&Contour { of, edge, path }, &conditions)
}

fn within_hole() -> Leads {
    Leads {
        line_rad: FRAC_PI_2,
        out_mm: 0.0,
        ..leads()
    }
}

#[test]
fn a_hole_with_its_leads_is_one_path_of_arcs_that_begins_in_the_slug() {
    let found = begin(
        &round(20.0),
        Edge::Opening(0),
        &within_hole(),
        SquareSide::Right,
        &[],
        &[],
    );
    let found = found.expect("room for a lead");
    assert_eq!(found.len(), 6, "spread round the hole");
    for start in &found {
        let edges: Vec<Segment> = start.track.segments().collect();
        assert!(
            edges.iter().all(|edge| matches!(edge, Segment::Arc { .. })),
            "{edges:?}"
        );
        // In, half round, half round, and a little on.
        assert_eq!((edges.len(), start.around), (4, [1, 3]));
        assert!((edges[3].length_mm() - 1.5).abs() < 1e-9);
        for pair in edges.windows(2) {
            assert!((pair[0].to() - pair[1].from()).norm() < 1e-9);
            assert!(
                pair[0].tangent_at(1.0).dot(&pair[1].tangent_at(0.0)) > 1.0 - 1e-9,
                "no kink"
            );
            assert!(pair[1].curvature() > 0.0, "counter-clockwise");
        }
        let pierce = start.track.start().expect("a pierce");
        assert!(pierce.coords.norm() < 10.0 - PUDDLE_MM);
    }
}

#[test]
fn a_small_hole_is_pierced_nearer_its_middle_by_a_shorter_lead() {
    let found = begin(
        &round(6.0),
        Edge::Opening(0),
        &within_hole(),
        SquareSide::Right,
        &[],
        &[],
    );
    let best = &found.expect("room for a short lead")[0];
    assert!(best.length_mm < 6.0 && best.length_mm >= 2.0);
    let pierce = best.track.start().expect("a pierce");
    assert!(pierce.coords.norm() <= 3.0 - PUDDLE_MM + 1e-9);
}

#[test]
fn a_hole_with_no_room_for_the_puddle_is_to_be_drilled() {
    let why = begin(
        &round(3.8),
        Edge::Opening(0),
        &within_hole(),
        SquareSide::Right,
        &[],
        &[],
    );
    let why = why.expect_err("the puddle is wider than the hole");
    assert!(
        matches!(why.fits[..], [Fits::DrillHole { dia_mm, .. }] if (dia_mm - 3.8).abs() < 1e-9),
        "{why:?}"
    );
}

#[test]
fn a_slot_too_narrow_for_the_least_lead_says_which_lead_fits_and_what_to_drill() {
    // 5.2 mm wide: the middle is 2.6 mm from the edge, the path 0.8 mm; a lead of 1.2 to 1.8 mm fits.
    let slot = Outline::slot(p(-15.0, 0.0), p(15.0, 0.0), 5.2).expect("a slot");
    let leads = Leads {
        kinds: vec![LeadKind::Line],
        least_mm: 4.5,
        ..within_hole()
    };
    let why = begin(
        &plate_with(slot),
        Edge::Opening(0),
        &leads,
        SquareSide::Right,
        &[],
        &[],
    );
    let why = why.expect_err("4.5 mm goes through the far side");
    let [
        Fits::ShorterLead { at, length_mm },
        Fits::DrillStart { at: middle, dia_mm },
    ] = why.fits[..]
    else {
        panic!("{why:?}");
    };
    assert!(
        (1.2..=2.6).contains(&length_mm) && at.y.abs() < 2.6,
        "{length_mm} at {at}"
    );
    assert!(middle.y.abs() < 0.1 && (dia_mm - 2.4).abs() < 1e-9, "{dia_mm}");
}

#[test]
fn a_plate_is_best_begun_at_a_corner_and_from_outside() {
    let found = begin(&round(20.0), Edge::Outline, &leads(), SquareSide::Right, &[], &[]);
    let found = found.expect("room all round");
    assert_eq!(found.len(), 6);
    let best = found[0].at;
    assert!(
        (best.x.abs() - 60.0).abs() < 1.0 && (best.y.abs() - 60.0).abs() < 1.0,
        "{best}"
    );
    for start in &found {
        let pierce = start.track.start().expect("a pierce");
        let region = round(20.0);
        assert_eq!(region.outer.place_of(pierce), Place::Outside);
        assert!(region.outer.distance_to(pierce).0 >= PUDDLE_MM);
        let off = start.track.end().expect("an end");
        assert!(
            region.outer.distance_to(off).0 > KERF_MM / 2.0 + 0.5,
            "led out into scrap"
        );
    }
}

#[test]
fn the_other_square_side_turns_everything_round() {
    for of in [Edge::Outline, Edge::Opening(0)] {
        let found = begin(&round(20.0), of, &within_hole(), SquareSide::Left, &[], &[]).expect("room");
        for start in found {
            let turned: f64 = start.track.segments().map(|edge| edge.turn_rad()).sum();
            assert_eq!(turned > 0.0, of == Edge::Outline);
        }
    }
}

fn side(from: Point, to: Point, why: Why, weight: f64) -> Avoid {
    Avoid {
        from,
        to,
        within_mm: 0.5,
        why,
        weight,
    }
}

#[test]
fn a_stressed_edge_and_a_seam_come_last() {
    let avoid = [
        side(p(-60.0, -60.0), p(60.0, -60.0), Why::Stressed, 1.0),
        side(p(60.0, -60.0), p(60.0, 60.0), Why::Seam, 2.0),
    ];
    let found = begin(
        &round(20.0),
        Edge::Outline,
        &leads(),
        SquareSide::Right,
        &avoid,
        &[],
    )
    .expect("room");
    let costly = |start: &&Start| start.cost >= 1.0;
    assert!(!costly(&&found[0]) && found[0].cost < 0.1);
    for start in found.iter().filter(costly) {
        assert!(start.at.y < -60.0 || start.at.x > 60.0, "{}", start.at);
    }
    assert!(found.windows(2).all(|pair| pair[0].cost <= pair[1].cost));
}

#[test]
fn where_every_edge_is_barred_the_place_that_would_do_is_named() {
    let all = side(p(-60.0, 0.0), p(60.0, 0.0), Why::Mates, f64::INFINITY);
    let all = Avoid {
        within_mm: 61.0,
        ..all
    };
    let why = begin(
        &round(20.0),
        Edge::Outline,
        &leads(),
        SquareSide::Right,
        &[all],
        &[],
    );
    let why = why.expect_err("no start is allowed");
    assert!(
        matches!(why.fits[0], Fits::OtherStart { length_mm, why: Why::Mates, .. } if length_mm == 6.0),
        "{why:?}"
    );
}

#[test]
fn no_pierce_and_no_lead_touch_the_next_part() {
    // Neighbours on all sides, 6 mm away: a pierce fits between, a long lead only along the gap or not at all.
    let next = |dx: f64, dy: f64| {
        let low = p(-60.0 + dx, -60.0 + dy);
        Region::solid(Outline::rectangle(low, low + plane::Vector::new(120.0, 120.0)).expect("a part"))
    };
    let others = [
        next(126.0, 0.0),
        next(-126.0, 0.0),
        next(0.0, 126.0),
        next(0.0, -126.0),
    ];
    let found = begin(
        &round(20.0),
        Edge::Outline,
        &leads(),
        SquareSide::Right,
        &[],
        &others,
    )
    .expect("room");
    for start in &found {
        let pierce = start.track.start().expect("a pierce");
        let lead = start.track.segments().next().expect("a lead");
        for other in &others {
            assert!(other.distance_to(pierce).0 >= PUDDLE_MM && !other.contains(pierce));
            for step in 0..=20 {
                let at = lead.point_at(f64::from(step) / 20.0);
                assert!(other.distance_to(at).0 >= KERF_MM / 2.0 - 1e-3);
            }
        }
    }
    let tight = [
        next(122.5, 0.0),
        next(-122.5, 0.0),
        next(0.0, 122.5),
        next(0.0, -122.5),
    ];
    let gap = begin(
        &round(20.0),
        Edge::Outline,
        &leads(),
        SquareSide::Right,
        &[],
        &tight,
    );
    // Outside the four corners, where nothing lies, there is room still.
    assert!(gap.is_ok_and(|found| {
        found
            .iter()
            .all(|start| start.at.x.abs() > 59.0 && start.at.y.abs() > 59.0)
    }));
}

#[test]
fn a_part_nested_in_the_window_of_another_is_left_alone_and_leaves_it_alone() {
    let window = Outline::rectangle(p(-50.0, -50.0), p(50.0, 50.0)).expect("a window");
    let frame = plate_with(window);
    let tab = Region::solid(Outline::rectangle(p(-35.0, -35.0), p(35.0, 35.0)).expect("a tab"));
    let in_window = begin(
        &frame,
        Edge::Opening(0),
        &within_hole(),
        SquareSide::Right,
        &[],
        std::slice::from_ref(&tab),
    );
    for start in in_window.expect("room beside the tab") {
        let pierce = start.track.start().expect("a pierce");
        assert!(tab.distance_to(pierce).0 >= PUDDLE_MM && !tab.contains(pierce));
    }
    let of_tab = begin(
        &tab,
        Edge::Outline,
        &leads(),
        SquareSide::Right,
        &[],
        std::slice::from_ref(&frame),
    );
    for start in of_tab.expect("room within the window") {
        let pierce = start.track.start().expect("a pierce");
        assert!(frame.distance_to(pierce).0 >= PUDDLE_MM && !frame.contains(pierce));
    }
}
