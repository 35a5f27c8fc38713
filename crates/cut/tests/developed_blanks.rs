//! The rules of cutting on blanks developed from a card, as a job makes them.

use cut::rules::{Breach, CutEdge, Limits, SheetAtHand, Weight, check, not_checked};
use handbook::Handbook;
use plane::{Outline, Point};
use sheet::{Crease, Face, Mockup, Opening, OpeningShape, Part, Relief, Way, develop};

const T_MM: f64 = 3.0;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

/// A plate of 160 x 100 mm with a tab 40 mm wide, bent up, both 50 mm out; and these openings.
fn tabbed(openings: Vec<Opening>) -> Part {
    let corners = [
        p(0.0, 0.0),
        p(160.0, 0.0),
        p(160.0, 30.0),
        p(210.0, 30.0),
        p(210.0, 70.0),
        p(160.0, 70.0),
        p(160.0, 100.0),
        p(0.0, 100.0),
    ];
    let crease = |name: &str, from, to, relief| Crease {
        name: name.into(),
        from,
        to,
        bent_rad: std::f64::consts::FRAC_PI_2,
        way: Way::Up,
        radius_mm: 4.5,
        neutral_share: 0.4,
        relief,
    };
    let relief = Relief::Auto { least_width_mm: 1.8 };
    let mockup = Mockup {
        outline: Outline::polygon(&corners).expect("an outline of the test"),
        openings,
        creases: vec![
            crease("b1", p(160.0, 30.0), p(160.0, 70.0), relief),
            crease("b2", p(80.0, 0.0), p(80.0, 100.0), relief),
        ],
        seams: Vec::new(),
        marks: Vec::new(),
        panel_names: Vec::new(),
        root: Some(p(10.0, 10.0)),
        lines_on: Face::Marked,
        card_mm: 0.0,
    };
    develop(&mockup, T_MM).unwrap_or_else(|error| panic!("{error}"))
}

fn round(name: &str, at: Point, dia_mm: f64) -> Opening {
    Opening {
        name: name.into(),
        shape: OpeningShape::Round { at, dia_mm },
    }
}

fn window(name: &str, low: Point, high: Point) -> Opening {
    let outline = Outline::rectangle(low, high).expect("a window of the test");
    Opening {
        name: name.into(),
        shape: OpeningShape::Window(outline),
    }
}

/// What weighs more than a note, and in what it is.
fn graver(part: &Part) -> Vec<(Breach, Weight)> {
    let limits = Limits::of(&Handbook::builtin(), "plasma").expect("plasma");
    let sheets = [SheetAtHand {
        name: "full sheet".into(),
        size_mm: [1200.0, 2400.0],
    }];
    assert_eq!(not_checked(part, &limits, &sheets), []);
    let concerns = check(part, &limits, &sheets).into_iter();
    concerns
        .map(|concern| (concern.what, concern.weight))
        .filter(|(_, weight)| *weight > Weight::Note)
        .collect()
}

fn opening(name: &str) -> CutEdge {
    CutEdge::Opening(name.into())
}

#[test]
fn a_tabbed_blank_with_its_reliefs_has_nothing_grave_against_it() {
    let part = tabbed(vec![
        round("h1", p(40.0, 50.0), 6.6),
        round("h2", p(190.0, 50.0), 6.6),
    ]);
    assert_eq!(graver(&part), []);
}

#[test]
fn a_small_hole_in_the_tab_is_found_where_the_blank_has_it() {
    let part = tabbed(vec![round("h1", p(190.0, 50.0), 4.0)]);
    let limits = Limits::of(&Handbook::builtin(), "plasma").expect("plasma");
    let concerns = check(&part, &limits, &[]);
    let small = concerns
        .iter()
        .find(|concern| concern.what == Breach::SmallHole { hole: opening("h1") });
    let Some(OpeningShape::Round { at, .. }) = &part.blank.openings[0] else {
        panic!("a round hole")
    };
    assert_eq!(small.map(|concern| concern.at), Some(*at));
    assert!(at.x < 190.0, "both bends draw it in: {at}");
}

#[test]
fn a_window_across_a_bend_is_told_by_its_name_from_the_edge_and_from_a_hole() {
    let across = window("w1", p(60.0, 3.0), p(100.0, 60.0));
    let part = tabbed(vec![across, round("h1", p(52.0, 40.0), 12.0)]);
    let told = graver(&part);
    assert_eq!(
        told,
        [
            (
                Breach::NearEdge {
                    opening: opening("w1")
                },
                Weight::Care
            ),
            (
                Breach::ThinWeb {
                    first: opening("w1"),
                    second: opening("h1")
                },
                Weight::Care
            ),
        ]
    );
}
