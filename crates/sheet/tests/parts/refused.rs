//! Cards that cannot become parts are refused by name and by how much.

use std::f64::consts::PI;

use plane::Outline;
use sheet::{BendFault, Face, Mark, MarkKind, Mockup, Relief, Seam, SheetError, Way, develop};

use crate::card::{angle, card, crease, p, window};

const T: f64 = 3.0;

#[track_caller]
fn refused(mockup: &Mockup) -> SheetError {
    match develop(mockup, T) {
        Err(refused) => refused,
        Ok(_) => panic!("this card cannot be folded"),
    }
}

fn plate() -> Mockup {
    card(&[(0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (0.0, 80.0)])
}

#[test]
fn a_crease_that_stops_short_says_by_how_much() {
    let mut mockup = plate();
    mockup.creases.push(crease("b1", (0.0, 40.0), (93.0, 40.0)));
    match refused(&mockup) {
        SheetError::CreaseStops {
            crease,
            at,
            short_by_mm,
        } => {
            assert_eq!(crease, "b1");
            assert!((at - p(93.0, 40.0)).norm() < 1e-12);
            assert!((short_by_mm - 7.0).abs() < 1e-9);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_crease_within_half_a_millimetre_of_the_edge_is_meant_to_reach_it() {
    let mut mockup = plate();
    mockup.creases.push(crease("b1", (0.4, 40.0), (99.6, 40.0)));
    let part = develop(&mockup, T).expect("the crease reaches the edge");
    let strip = part.bends[0].strips[0];
    assert!(((strip.fixed[1] - strip.fixed[0]).norm() - 100.0).abs() < 1e-9);
}

#[test]
fn a_crease_off_the_card_or_along_its_edge_is_named() {
    for (from, to) in [((0.0, 90.0), (100.0, 90.0)), ((0.0, 80.0), (100.0, 80.0))] {
        let mut mockup = plate();
        mockup.creases.push(crease("b1", from, to));
        assert_eq!(
            refused(&mockup),
            SheetError::CreaseOutside {
                crease: "b1".to_owned()
            }
        );
    }
}

#[test]
fn a_crease_from_a_window_to_the_edge_divides_nothing() {
    let mut mockup = plate();
    mockup.openings.push(window(
        "w",
        &[(40.0, 30.0), (60.0, 30.0), (60.0, 50.0), (40.0, 50.0)],
    ));
    mockup.creases.push(crease("b1", (0.0, 40.0), (40.0, 40.0)));
    assert_eq!(
        refused(&mockup),
        SheetError::CreaseDoesNotDivide {
            crease: "b1".to_owned()
        }
    );
}

#[test]
fn a_crease_between_two_windows_divides_nothing() {
    let mut mockup = plate();
    mockup.openings.push(window(
        "v",
        &[(20.0, 30.0), (30.0, 30.0), (30.0, 50.0), (20.0, 50.0)],
    ));
    mockup.openings.push(window(
        "w",
        &[(60.0, 30.0), (70.0, 30.0), (70.0, 50.0), (60.0, 50.0)],
    ));
    mockup.creases.push(crease("b1", (30.0, 40.0), (60.0, 40.0)));
    assert_eq!(
        refused(&mockup),
        SheetError::CreaseDoesNotDivide {
            crease: "b1".to_owned()
        }
    );
}

#[test]
fn creases_that_cross_or_lie_on_each_other_are_named() {
    let mut mockup = plate();
    mockup.creases = vec![
        crease("b1", (0.0, 40.0), (100.0, 40.0)),
        crease("b2", (50.0, 0.0), (50.0, 80.0)),
    ];
    match refused(&mockup) {
        SheetError::CreasesCross { creases, at } => {
            assert_eq!(creases, ["b1".to_owned(), "b2".to_owned()]);
            assert!((at - p(50.0, 40.0)).norm() < 1e-9);
        }
        other => panic!("{other:?}"),
    }
    mockup.creases[1] = crease("b2", (100.0, 40.0), (0.0, 40.0));
    assert!(matches!(refused(&mockup), SheetError::CreasesOverlap { .. }));
}

#[test]
fn one_crease_over_two_prongs_is_two_legs() {
    let mut mockup = card(&[
        (0.0, 0.0),
        (90.0, 0.0),
        (90.0, 80.0),
        (60.0, 80.0),
        (60.0, 40.0),
        (30.0, 40.0),
        (30.0, 80.0),
        (0.0, 80.0),
    ]);
    mockup.creases.push(crease("b1", (0.0, 55.0), (90.0, 55.0)));
    assert_eq!(
        refused(&mockup),
        SheetError::CreaseFoldsSeveral {
            crease: "b1".to_owned(),
            legs: 2
        }
    );
    mockup.creases = vec![
        crease("b1", (0.0, 55.0), (30.0, 55.0)),
        crease("b2", (60.0, 55.0), (90.0, 55.0)),
    ];
    let part = develop(&mockup, T).expect("a fork with a crease for each prong");
    assert_eq!(part.panels.len(), 3);
}

#[test]
fn a_frame_folded_on_all_four_sides_is_a_ring() {
    let mut mockup = plate();
    mockup.openings.push(window(
        "w",
        &[(30.0, 20.0), (70.0, 20.0), (70.0, 60.0), (30.0, 60.0)],
    ));
    mockup.creases = vec![
        crease("south", (50.0, 0.0), (50.0, 20.0)),
        crease("east", (70.0, 40.0), (100.0, 40.0)),
        crease("north", (50.0, 60.0), (50.0, 80.0)),
        crease("west", (0.0, 40.0), (30.0, 40.0)),
    ];
    match refused(&mockup) {
        SheetError::CreaseRing { mut creases } => {
            creases.sort();
            assert_eq!(creases, ["east", "north", "south", "west"]);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn two_creases_on_one_line_that_fold_alike_are_one_hinge() {
    let mut mockup = plate();
    mockup.openings.push(window(
        "w",
        &[(40.0, 30.0), (60.0, 30.0), (60.0, 50.0), (40.0, 50.0)],
    ));
    mockup.creases = vec![
        crease("b1", (0.0, 40.0), (40.0, 40.0)),
        crease("b2", (60.0, 40.0), (100.0, 40.0)),
    ];
    let part = develop(&mockup, T).expect("both fold the same two panels about one line");
    assert_eq!(part.panels.len(), 2);
    assert_eq!(
        part.bends
            .iter()
            .map(|bend| bend.strips.len())
            .collect::<Vec<_>>(),
        [1, 1]
    );
    mockup.creases[1].way = Way::Down;
    assert!(matches!(refused(&mockup), SheetError::CreaseRing { .. }));
}

#[test]
fn a_leg_shorter_than_its_set_back_says_what_it_needs() {
    let mut mockup = angle();
    mockup.creases[0].from.y = 88.0;
    mockup.creases[0].to.y = 88.0;
    match refused(&mockup) {
        SheetError::LegVanishes {
            bend,
            panel,
            leg_mm,
            needs_mm,
        } => {
            assert_eq!((bend.as_str(), panel.as_str()), ("b1", "after b1"));
            assert!((leg_mm - 2.0).abs() < 1e-9 && (needs_mm - 3.0).abs() < 1e-9);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn two_bends_too_near_each_other_say_what_both_need() {
    let mut mockup = plate();
    mockup.creases = vec![
        crease("b1", (0.0, 40.0), (100.0, 40.0)),
        crease("b2", (0.0, 45.0), (100.0, 45.0)),
    ];
    match refused(&mockup) {
        SheetError::LegVanishes {
            panel,
            leg_mm,
            needs_mm,
            ..
        } => {
            assert_eq!(panel, "after b1");
            assert!(
                (leg_mm - 5.0).abs() < 1e-9 && (needs_mm - 6.0).abs() < 1e-9,
                "{leg_mm} {needs_mm}"
            );
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn legs_that_would_be_cut_from_the_same_metal_are_named() {
    // Two tabs whose tips touch nearly on the card; the plate's are longer, drawn on the inside.
    let mut mockup = card(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 40.0),
        (60.0, 40.0),
        (60.0, 68.9),
        (100.0, 68.9),
        (100.0, 110.0),
        (0.0, 110.0),
    ]);
    mockup.outline = Outline::polygon(&[
        p(0.0, 0.0),
        p(100.0, 0.0),
        p(100.0, 40.0),
        p(90.0, 40.0),
        p(90.0, 74.5),
        p(50.0, 74.5),
        p(50.0, 40.0),
        p(40.0, 40.0),
        p(40.0, 75.0),
        p(100.0, 75.0),
        p(100.0, 110.0),
        p(0.0, 110.0),
    ])
    .expect("a tab under an arm is an outline");
    mockup.creases.push(crease("b1", (50.0, 40.0), (90.0, 40.0)));
    mockup.lines_on = Face::Marked;
    mockup.creases[0].radius_mm = 0.0;
    match refused(&mockup) {
        SheetError::BlankOverlaps { panels, .. } => {
            let mut panels = panels;
            panels.sort();
            assert_eq!(panels, ["after b1".to_owned(), "root".to_owned()]);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn figures_out_of_range_are_named() {
    type Spoil = fn(&mut sheet::Crease);
    type IsFault = fn(&BendFault) -> bool;
    let faults: [(Spoil, IsFault); 6] = [
        (|c| c.bent_rad = 0.0, |f| matches!(f, BendFault::Angle { .. })),
        (|c| c.bent_rad = PI, |f| matches!(f, BendFault::Angle { .. })),
        (
            |c| c.radius_mm = f64::NAN,
            |f| matches!(f, BendFault::Radius { .. }),
        ),
        (
            |c| c.neutral_share = 1.2,
            |f| matches!(f, BendFault::NeutralShare { .. }),
        ),
        (|c| c.to = c.from, |f| matches!(f, BendFault::NoLength)),
        (
            |c| {
                c.relief = Relief::Slot {
                    width_mm: -1.0,
                    past_mm: 0.0,
                }
            },
            |f| matches!(f, BendFault::Relief { .. }),
        ),
    ];
    for (spoil, is_fault) in faults {
        let mut mockup = angle();
        spoil(&mut mockup.creases[0]);
        match refused(&mockup) {
            SheetError::BadBend { bend, fault } => assert!(bend == "b1" && is_fault(&fault), "{fault:?}"),
            other => panic!("{other:?}"),
        }
    }
    assert!(matches!(
        develop(&angle(), 0.0),
        Err(SheetError::Thickness { .. })
    ));
    let mockup = Mockup {
        card_mm: -1.0,
        ..angle()
    };
    assert!(matches!(refused(&mockup), SheetError::Card { .. }));
}

#[test]
fn names_and_marks_off_the_plate_are_named() {
    let mut mockup = angle();
    mockup.root = Some(p(200.0, 0.0));
    assert!(matches!(refused(&mockup), SheetError::RootOutside { .. }));

    let mut mockup = angle();
    mockup.panel_names.push(("arm".to_owned(), p(200.0, 0.0)));
    assert!(matches!(refused(&mockup), SheetError::NameOutside { .. }));
    mockup.panel_names = vec![
        ("arm".to_owned(), p(10.0, 60.0)),
        ("leg".to_owned(), p(20.0, 70.0)),
    ];
    assert_eq!(
        refused(&mockup),
        SheetError::NamedTwice {
            names: ["arm".to_owned(), "leg".to_owned()]
        }
    );

    let mut mockup = angle();
    let over = MarkKind::Line {
        from: p(10.0, 40.0),
        to: p(10.0, 60.0),
    };
    mockup.marks.push(Mark {
        name: "m".to_owned(),
        kind: over,
    });
    assert!(matches!(refused(&mockup), SheetError::MarkOutside { .. }));
    mockup.marks[0].kind = MarkKind::Line {
        from: p(10.0, 10.0),
        to: p(10.0, 40.0),
    };
    assert!(develop(&mockup, T).is_ok_and(|part| part.panels[0].marks == [0]));
}

#[test]
fn a_seam_on_no_edge_is_named() {
    let mut mockup = angle();
    let seam = Seam {
        name: "s".to_owned(),
        first: [p(0.0, 60.0), p(0.0, 80.0)],
        second: [p(30.0, 10.0), p(30.0, 40.0)],
    };
    mockup.seams.push(seam);
    assert!(matches!(refused(&mockup), SheetError::SeamEdge { seam, .. } if seam == "s"));
}

#[test]
fn card_thicker_than_the_plate_allows_for_is_refused() {
    let mut mockup = angle();
    mockup.lines_on = Face::Far;
    mockup.creases[0].radius_mm = 0.0;
    mockup.card_mm = 40.0;
    match develop(&mockup, 1.0) {
        Err(SheetError::CardTooThick { bend, over_mm, .. }) => assert!(bend == "b1" && over_mm > 0.0),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_notch_that_comes_down_into_the_bend_is_named() {
    let mut mockup = card(&[
        (0.0, 0.0),
        (60.0, 0.0),
        (60.0, 90.0),
        (35.0, 90.0),
        (35.0, 52.0),
        (25.0, 52.0),
        (25.0, 90.0),
        (0.0, 90.0),
    ]);
    mockup.creases.push(crease("b1", (0.0, 50.0), (60.0, 50.0)));
    match refused(&mockup) {
        SheetError::EdgeInBend { bend, panel, .. } => {
            assert_eq!((bend.as_str(), panel.as_str()), ("b1", "after b1"));
        }
        other => panic!("{other:?}"),
    }
}
