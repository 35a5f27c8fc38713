//! Ends of bends: at the side, inside the plate, at a box corner.

use plane::Place;
use sheet::{Face, Mockup, Relief, ReliefCut, Way, develop};

use crate::card::{card, crease, p};

const T: f64 = 3.0;
const R: f64 = 3.0;

/// A 100 x 60 plate with a 40 x 30 tab in the middle of its upper edge.
fn plate_with_tab(relief: Relief) -> Mockup {
    let mut mockup = card(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 60.0),
        (70.0, 60.0),
        (70.0, 90.0),
        (30.0, 90.0),
        (30.0, 60.0),
        (0.0, 60.0),
    ]);
    mockup.creases.push(crease("b1", (30.0, 60.0), (70.0, 60.0)));
    mockup.creases[0].relief = relief;
    mockup
}

#[test]
fn a_tab_is_freed_by_slots_one_thickness_wide_and_a_radius_past_the_bend() {
    let part = develop(&plate_with_tab(Relief::Auto { least_width_mm: 1.0 }), T).expect("a tab develops");
    let width_least = published::row("A118");
    let slots: Vec<_> = part
        .reliefs
        .iter()
        .filter_map(|relief| match *relief {
            ReliefCut::Slot {
                width_mm,
                depth_mm,
                panel,
                at,
                ..
            } => Some((panel, at, width_mm, depth_mm)),
            _ => None,
        })
        .collect();
    assert_eq!(slots.len(), 2);
    let set_back_mm = part.bends[0].set_back_mm;
    for (panel, _, width_mm, depth_mm) in &slots {
        assert_eq!(*panel, 0);
        width_least.check(*width_mm);
        assert!((depth_mm - (set_back_mm + R)).abs() < 1e-12);
    }
    let flat = &part.panels[0].flat;
    let depth_mm = set_back_mm + R;
    let inside = |x: f64, y: f64| flat.place_of(p(x, y)) == Place::Inside;
    for (x, out) in [(30.0, -1.0), (70.0, 1.0)] {
        assert!(
            !inside(x + out * (T - 0.01), 60.0 - depth_mm + 0.01),
            "the slot is cut"
        );
        assert!(inside(x + out * (T + 0.01), 60.0 - 0.01), "and no wider");
        assert!(inside(x + out * 0.5, 60.0 - depth_mm - 0.01), "nor deeper");
    }
    let cut_mm2 = 40.0 * set_back_mm + 2.0 * T * depth_mm;
    assert!((flat.area_mm2() - (6000.0 - cut_mm2)).abs() < 1e-9);
}

#[test]
fn a_slot_is_as_stated() {
    let part = develop(
        &plate_with_tab(Relief::Slot {
            width_mm: 5.0,
            past_mm: 1.0,
        }),
        T,
    )
    .expect("a tab develops");
    let depth_mm = part.bends[0].set_back_mm + 1.0;
    let cut_mm2 = 40.0 * part.bends[0].set_back_mm + 2.0 * 5.0 * depth_mm;
    assert!((part.panels[0].flat.area_mm2() - (6000.0 - cut_mm2)).abs() < 1e-9);
}

#[test]
fn a_slot_that_would_leave_a_sliver_takes_it_away() {
    // The tab stands 2 mm from the plate's corner: less than a slot's width.
    let mut mockup = card(&[
        (0.0, 0.0),
        (42.0, 0.0),
        (42.0, 60.0),
        (40.0, 60.0),
        (40.0, 90.0),
        (0.0, 90.0),
    ]);
    mockup.creases.push(crease("b1", (0.0, 60.0), (40.0, 60.0)));
    let part = develop(&mockup, T).expect("a tab develops");
    let depth_mm = part.bends[0].set_back_mm + R;
    let wanted = 42.0 * 60.0 - 40.0 * part.bends[0].set_back_mm - 2.0 * depth_mm;
    assert!((part.panels[0].flat.area_mm2() - wanted).abs() < 1e-9);
}

#[test]
fn a_tab_left_to_tear_is_cut_as_drawn_and_reported() {
    for face in [Face::Marked, Face::Far] {
        for way in [Way::Up, Way::Down] {
            let mut mockup = plate_with_tab(Relief::None);
            mockup.lines_on = face;
            mockup.creases[0].way = way;
            let part = develop(&mockup, T).expect("a tab develops");
            let torn = part
                .reliefs
                .iter()
                .filter(|relief| matches!(relief, ReliefCut::Torn { .. }))
                .count();
            assert_eq!(torn, 2);
            let bend = &part.bends[0];
            let grown_mm = bend.allowance_mm - 2.0 * bend.set_back_mm;
            let wanted = 6000.0 + 40.0 * (30.0 + grown_mm);
            assert!(
                (part.blank.region.area_mm2() - wanted).abs() < 1e-9,
                "{face:?} {way:?}"
            );
            assert_eq!(part.blank.region.outer.len(), 8);
        }
    }
}

/// A square base of 80 with a 30 mm flange on each side, cut out square at the corners.
pub fn tray() -> Mockup {
    let mut mockup = card(&[
        (0.0, -30.0),
        (80.0, -30.0),
        (80.0, 0.0),
        (110.0, 0.0),
        (110.0, 80.0),
        (80.0, 80.0),
        (80.0, 110.0),
        (0.0, 110.0),
        (0.0, 80.0),
        (-30.0, 80.0),
        (-30.0, 0.0),
        (0.0, 0.0),
    ]);
    mockup.creases = vec![
        crease("front", (0.0, 0.0), (80.0, 0.0)),
        crease("right", (80.0, 0.0), (80.0, 80.0)),
        crease("back", (80.0, 80.0), (0.0, 80.0)),
        crease("left", (0.0, 80.0), (0.0, 0.0)),
    ];
    mockup
}

#[test]
fn the_corners_of_a_tray_are_rounded_out_where_the_tangent_lines_meet() {
    let part = develop(&tray(), T).expect("a tray develops");
    let s = part.bends[0].set_back_mm;
    let corners: Vec<_> = part
        .reliefs
        .iter()
        .map(|relief| match *relief {
            ReliefCut::Corner {
                at, radius_mm, panel, ..
            } => (panel, at, radius_mm),
            other => panic!("a tray's corners are round: {other:?}"),
        })
        .collect();
    assert_eq!(corners.len(), 4);
    for (panel, at, radius_mm) in &corners {
        assert_eq!((*panel, *radius_mm), (0, R));
        let on_corner = |x: f64| (x - s).abs() < 1e-9 || (x - (80.0 - s)).abs() < 1e-9;
        assert!(on_corner(at.x) && on_corner(at.y), "{at}");
    }
    let side_mm = 80.0 - 2.0 * s;
    let wanted = side_mm * side_mm - std::f64::consts::PI * R * R;
    assert!((part.panels[0].flat.area_mm2() - wanted).abs() < 1e-9);
    // Drawn on the inside face, the inside of the tray is 80 x 80: opposite flanges stand 80 apart.
    let [left, right] = ["left", "right"].map(|name| {
        let bend = part
            .bends
            .iter()
            .position(|bend| bend.name == name)
            .expect("the bend is there");
        part.bend_surface_point(bend, 0, 0.5, 1.0, 0.0).x
    });
    assert!((right - left - 80.0).abs() < 1e-9);
}

#[test]
fn flanges_round_an_inside_corner_need_a_mitre_and_meet_at_the_tangent_lines() {
    // An L whose two inside edges carry mitred flanges.
    let mut mockup = card(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 40.0),
        (95.0, 52.0),
        (64.0, 52.0),
        (40.0, 40.0),
        (52.0, 64.0),
        (52.0, 95.0),
        (40.0, 100.0),
        (0.0, 100.0),
    ]);
    mockup.creases = vec![
        crease("low", (40.0, 40.0), (100.0, 40.0)),
        crease("high", (40.0, 40.0), (40.0, 100.0)),
    ];
    for crease in &mut mockup.creases {
        crease.bent_rad = 0.5;
    }
    let part = develop(&mockup, 1.0).expect("the L develops");
    let s = part.bends[0].set_back_mm;
    let flat = &part.panels[0].flat;
    let has_corner = flat
        .outer
        .vertices()
        .iter()
        .any(|corner| (corner.at - p(40.0 - s, 40.0 - s)).norm() < 1e-9);
    assert!(has_corner, "{:?}", flat.outer);
}

/// The tray with its flanges `gap_mm` short of the corners.
fn tray_with_gaps(gap_mm: f64) -> Mockup {
    let (low, high) = (gap_mm, 80.0 - gap_mm);
    let mut mockup = card(&[
        (low, -30.0),
        (high, -30.0),
        (high, 0.0),
        (80.0, 0.0),
        (80.0, low),
        (110.0, low),
        (110.0, high),
        (80.0, high),
        (80.0, 80.0),
        (high, 80.0),
        (high, 110.0),
        (low, 110.0),
        (low, 80.0),
        (0.0, 80.0),
        (0.0, high),
        (-30.0, high),
        (-30.0, low),
        (0.0, low),
        (0.0, 0.0),
        (low, 0.0),
    ]);
    mockup.creases = vec![
        crease("front", (low, 0.0), (high, 0.0)),
        crease("right", (80.0, low), (80.0, high)),
        crease("back", (high, 80.0), (low, 80.0)),
        crease("left", (0.0, high), (0.0, low)),
    ];
    mockup
}

#[test]
fn flanges_a_little_short_of_the_corner_share_its_round_relief() {
    for relief in [Relief::Auto { least_width_mm: 1.0 }, Relief::None] {
        let mut mockup = tray_with_gaps(2.0);
        mockup
            .creases
            .iter_mut()
            .for_each(|crease| crease.relief = relief);
        let part = develop(&mockup, T).expect("a tray with gaps develops");
        let s = part.bends[0].set_back_mm;
        let side_mm = 80.0 - 2.0 * s;
        let round_mm2 = if relief == Relief::None {
            0.0
        } else {
            std::f64::consts::PI * R * R
        };
        let wanted = side_mm * side_mm - round_mm2;
        assert!(
            (part.panels[0].flat.area_mm2() - wanted).abs() < 1e-9,
            "{relief:?}"
        );
    }
}

#[test]
fn flanges_well_short_of_the_corner_have_slots_of_their_own() {
    let part = develop(&tray_with_gaps(12.0), T).expect("a tray with wide gaps develops");
    let slots = part
        .reliefs
        .iter()
        .filter(|relief| matches!(relief, ReliefCut::Slot { .. }))
        .count();
    assert_eq!(slots, 8);
}

#[test]
fn a_short_set_back_at_a_gapped_corner_takes_the_tip_away() {
    // Set back 1.5 mm, the corner 2 mm past both bends: both slots would reach over the tip.
    let mut mockup = tray_with_gaps(2.0);
    for crease in &mut mockup.creases {
        crease.radius_mm = 1.5;
    }
    let part = develop(&mockup, T).expect("a tray with gaps develops");
    assert!((part.bends[0].set_back_mm - 1.5).abs() < 1e-12);
    let flat = &part.panels[0].flat;
    assert_eq!(flat.place_of(p(79.5, 0.5)), Place::Outside, "the tip is gone");
}

#[test]
fn two_tabs_end_to_end_at_the_foot_of_a_notch_are_rounded_apart() {
    let mut mockup = card(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 60.0),
        (90.0, 90.0),
        (60.0, 90.0),
        (50.0, 60.0),
        (40.0, 90.0),
        (10.0, 90.0),
        (0.0, 60.0),
    ]);
    mockup.creases = vec![
        crease("b1", (0.0, 60.0), (50.0, 60.0)),
        crease("b2", (50.0, 60.0), (100.0, 60.0)),
    ];
    let part = develop(&mockup, T).expect("two tabs develop");
    let s = part.bends[0].set_back_mm;
    let corners: Vec<_> = part
        .reliefs
        .iter()
        .filter(|relief| matches!(relief, ReliefCut::Corner { .. }))
        .collect();
    assert_eq!(corners.len(), 1);
    let wanted = 100.0 * (60.0 - s) - std::f64::consts::PI * R * R / 2.0;
    assert!((part.panels[0].flat.area_mm2() - wanted).abs() < 1e-9);

    // One bent sharper than the other: their tangent lines are stepped.
    mockup.creases[1].bent_rad = 1.0;
    let part = develop(&mockup, T).expect("two tabs develop");
    let backs = [part.bends[0].set_back_mm, part.bends[1].set_back_mm];
    let wanted = 100.0 * 60.0 - 50.0 * (backs[0] + backs[1]);
    assert!((part.panels[0].flat.area_mm2() - wanted).abs() < 1e-9);
}

/// A wall that takes nearly the whole end of a plate, and a lip on its long side that starts far from it.
#[test]
fn a_lip_far_from_the_wall_round_the_corner_keeps_its_own_slot() {
    let mut mockup = card(&[
        (0.0, 0.0),
        (120.0, 0.0),
        (120.0, 64.0),
        (110.0, 64.0),
        (110.0, 79.0),
        (40.0, 79.0),
        (40.0, 64.0),
        (0.0, 64.0),
        (0.0, 62.0),
        (-50.0, 62.0),
        (-50.0, 2.0),
        (0.0, 2.0),
    ]);
    mockup.creases.push(crease("wall", (0.0, 2.0), (0.0, 62.0)));
    mockup.creases.push(crease("lip", (40.0, 64.0), (110.0, 64.0)));
    for crease in &mut mockup.creases {
        crease.relief = Relief::Auto { least_width_mm: 1.0 };
    }
    mockup.root = Some(p(60.0, 30.0));
    let part = develop(&mockup, T).expect("wall and lip develop");
    let lip = &part.bends[1].strips[0];
    let span = |line: [plane::Point; 2]| (line[0] - line[1]).norm();
    assert!(
        (span(lip.fixed) - span(lip.moving)).abs() < 1e-9,
        "the sides of the lip's strip are square"
    );
    let base = &part.panels[0].flat;
    // Between the corner and the slot, the plate goes on to its edge.
    assert_eq!(base.place_of(p(20.0, 63.0)), Place::Inside);
}
