//! Openings: in panels, across creases, at a crease's end.

use plane::{Outline, Vertex};
use sheet::{Opening, OpeningShape, SheetError, develop, panels_of};

use crate::card::{angle, card, crease, hole, p, window};

const T: f64 = 3.0;

#[test]
fn a_window_across_a_crease_parts_the_bend_in_two_strips() {
    let mut mockup = angle();
    mockup.openings.push(window(
        "w",
        &[(20.0, 40.0), (35.0, 40.0), (35.0, 62.0), (20.0, 62.0)],
    ));
    let part = develop(&mockup, T).expect("an angle with a window develops");
    assert_eq!(part.panels.len(), 2);
    let bend = &part.bends[0];
    let lengths: Vec<f64> = bend
        .strips
        .iter()
        .map(|strip| (strip.fixed[1] - strip.fixed[0]).norm())
        .collect();
    let mut sorted = lengths.clone();
    sorted.sort_by(f64::total_cmp);
    assert!(
        (sorted[0] - 20.0).abs() < 1e-9 && (sorted[1] - 25.0).abs() < 1e-9,
        "{lengths:?}"
    );
    for pair in bend.strips.windows(2) {
        let along = |at: plane::Point| bend.along.dot(&at.coords);
        assert!(
            along(pair[0].fixed[1]) < along(pair[1].fixed[0]),
            "strips run in order along the bend"
        );
    }
    // On the blank the window is a hole of its own, shortened with the bend.
    assert_eq!(part.blank.openings, vec![None]);
    assert!(part.opening_in_space(0).is_none());
    assert_eq!(part.blank.region.holes.len(), 1);
    let grown_mm = bend.allowance_mm - 2.0 * bend.set_back_mm;
    assert!((part.blank.region.holes[0].area_mm2() - 15.0 * (22.0 + grown_mm)).abs() < 1e-9);
}

#[test]
fn a_hole_within_the_bend_is_named_with_what_it_must_reach_past() {
    let mut mockup = angle();
    mockup.openings.push(hole("w", (30.0, 50.0), 4.0));
    match develop(&mockup, T) {
        Err(SheetError::OpeningWithinBend {
            opening,
            bend,
            set_back_mm,
        }) => {
            assert_eq!((opening.as_str(), bend.as_str()), ("w", "b1"));
            assert!((set_back_mm - 3.0).abs() < 1e-9);
        }
        other => panic!("{other:?}"),
    }
    mockup.openings[0] = hole("w", (30.0, 50.0), 6.5);
    let part = develop(&mockup, T).expect("a hole that reaches past both tangent lines interrupts the bend");
    assert_eq!(part.bends[0].strips.len(), 2);
    assert_eq!(part.blank.region.holes.len(), 1);
}

#[test]
fn a_crease_may_stop_at_a_relief_hole_whose_slit_frees_the_leg() {
    // The left half of the plate is bent: a slit comes down to a relief hole at the crease's end.
    let mut mockup = card(&[
        (0.0, 0.0),
        (80.0, 0.0),
        (80.0, 90.0),
        (42.0, 90.0),
        (42.0, 54.0),
        (38.0, 54.0),
        (38.0, 90.0),
        (0.0, 90.0),
    ]);
    mockup.creases.push(crease("b1", (0.0, 50.0), (40.0, 50.0)));
    let stopped = develop(&mockup, T);
    assert!(
        matches!(&stopped, Err(SheetError::CreaseStops { short_by_mm, .. }) if (short_by_mm - 40.0).abs() < 1e-9),
        "{stopped:?}"
    );
    mockup.outline = Outline::new(vec![
        Vertex::line(p(0.0, 0.0)),
        Vertex::line(p(80.0, 0.0)),
        Vertex::line(p(80.0, 90.0)),
        Vertex::line(p(42.0, 90.0)),
        Vertex::arc(p(42.0, 54.0), -3.0),
        Vertex::line(p(38.0, 54.0)),
        Vertex::line(p(38.0, 90.0)),
        Vertex::line(p(0.0, 90.0)),
    ])
    .expect("a keyhole slit is an outline");
    let part = develop(&mockup, T).expect("the leg is free");
    assert_eq!(part.panels.len(), 2);
}

#[test]
fn a_tongue_bends_out_of_the_middle_of_a_plate() {
    let mut mockup = card(&[(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]);
    // A slit 4 mm wide on three sides of a 30 x 40 tongue.
    mockup.openings.push(window(
        "slit",
        &[
            (31.0, 30.0),
            (35.0, 30.0),
            (35.0, 70.0),
            (65.0, 70.0),
            (65.0, 30.0),
            (69.0, 30.0),
            (69.0, 74.0),
            (31.0, 74.0),
        ],
    ));
    mockup.openings.push(hole("h", (50.0, 60.0), 6.0));
    mockup.creases.push(crease("b1", (35.0, 30.0), (65.0, 30.0)));
    let part = develop(&mockup, T).expect("a tongue develops");
    assert_eq!(part.panels.len(), 2);
    assert_eq!(part.panels[0].flat.holes.len(), 1);
    assert_eq!(part.panel_at(p(50.0, 60.0)), Some(1));
    let placed = part.opening_in_space(0).is_none();
    assert!(placed, "the slit is in no panel");
    let hole = part.opening_in_space(1).expect("the hole is in the tongue");
    assert!(
        (hole.at - nalgebra::Point3::new(50.0, 30.0, 30.0)).norm() < 1e-9,
        "{hole:?}"
    );
}

#[test]
fn a_hole_too_near_a_bend_is_named_with_how_far_it_reaches_in() {
    let mut mockup = angle();
    mockup.openings.push(hole("h", (30.0, 44.0), 8.0));
    let refused = develop(&mockup, T);
    match refused {
        Err(SheetError::OpeningInBend { opening, bend, by_mm }) => {
            assert_eq!((opening.as_str(), bend.as_str()), ("h", "b1"));
            assert!((by_mm - 1.0).abs() < 1e-9, "{by_mm}");
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn openings_off_the_plate_over_its_edge_or_over_each_other_are_named() {
    let cases: [(Vec<Opening>, &str); 4] = [
        (
            vec![hole("h", (200.0, 20.0), 8.0)],
            "opening h lies outside the plate",
        ),
        (vec![hole("h", (60.0, 20.0), 8.0)], "opening h runs over the edge"),
        (
            vec![hole("h", (20.0, 20.0), 8.0), hole("k", (25.0, 20.0), 8.0)],
            "openings h and k overlap",
        ),
        (
            vec![hole("h", (20.0, 20.0), 20.0), hole("k", (21.0, 20.0), 4.0)],
            "openings h and k overlap",
        ),
    ];
    for (openings, says) in cases {
        let mut mockup = angle();
        mockup.openings = openings;
        let refused = develop(&mockup, T)
            .expect_err("the openings are wrong")
            .to_string();
        assert!(refused.contains(says), "{refused}");
    }
    let mut mockup = angle();
    let flat = OpeningShape::Round {
        at: p(20.0, 20.0),
        dia_mm: 0.0,
    };
    mockup.openings = vec![Opening {
        name: "h".to_owned(),
        shape: flat,
    }];
    assert!(matches!(
        develop(&mockup, T),
        Err(SheetError::OpeningShape { .. })
    ));
}

#[test]
fn panels_are_known_by_name_before_their_windows_are_cut() {
    let mut mockup = angle();
    mockup.panel_names.push(("arm".to_owned(), p(10.0, 70.0)));
    let panels = panels_of(&mockup).expect("an angle has panels");
    let names: Vec<&str> = panels.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["root", "arm"]);
    assert!((panels[1].1.area_mm2() - 60.0 * 40.0).abs() < 1e-9);
}

#[test]
fn a_window_whose_corner_touches_a_crease_is_named() {
    let mut mockup = angle();
    mockup.openings.push(window(
        "w",
        &[(30.0, 50.0), (40.0, 60.0), (30.0, 70.0), (20.0, 60.0)],
    ));
    let refused = develop(&mockup, T);
    assert!(
        matches!(&refused, Err(SheetError::OpeningTouchesCrease { opening, .. }) if opening == "w"),
        "{refused:?}"
    );
}
