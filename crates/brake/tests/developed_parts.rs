//! The rules of bending on parts developed from a card, as a job makes them.

use brake::rules::{Breach, Concern, Limits, check};
use handbook::{Handbook, Sourced, Status};
use plane::{Outline, Point, Vector};
use proptest::prelude::*;
use sheet::{Crease, Face, Mockup, Opening, OpeningShape, Part, Relief, Way, develop};

const T_MM: f64 = 3.0;
const RADIUS_MM: f64 = 4.5;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn limits() -> Limits {
    let die = Sourced {
        value: 24.0,
        source: "the shop's die".into(),
        status: Status::Shop,
        row: "shop".into(),
    };
    Limits::of(&Handbook::builtin(), "5052-H32", T_MM, Some(die)).expect("5052-H32 is in the handbook")
}

fn crease(name: &str, from: Point, to: Point, bent_deg: f64, relief: Relief) -> Crease {
    Crease {
        name: name.into(),
        from,
        to,
        bent_rad: bent_deg.to_radians(),
        way: Way::Up,
        radius_mm: RADIUS_MM,
        neutral_share: 0.4,
        relief,
    }
}

fn auto() -> Relief {
    Relief::Auto { least_width_mm: 1.0 }
}

fn mockup(corners: &[(f64, f64)], creases: Vec<Crease>) -> Mockup {
    let corners: Vec<Point> = corners.iter().map(|(x, y)| p(*x, *y)).collect();
    Mockup {
        outline: Outline::polygon(&corners).expect("an outline of the test"),
        openings: Vec::new(),
        creases,
        seams: Vec::new(),
        marks: Vec::new(),
        panel_names: Vec::new(),
        root: None,
        lines_on: Face::Marked,
        card_mm: 0.0,
    }
}

fn developed(mockup: &Mockup) -> Part {
    develop(mockup, T_MM).unwrap_or_else(|error| panic!("{error}"))
}

fn concerns(mockup: &Mockup) -> Vec<Concern> {
    check(&developed(mockup), &limits())
}

/// A plate of 100 x 80 mm with a tab 40 mm wide on its right side, bent up.
fn tab(relief: Relief) -> Mockup {
    mockup(
        &[
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 20.0),
            (150.0, 20.0),
            (150.0, 60.0),
            (100.0, 60.0),
            (100.0, 80.0),
            (0.0, 80.0),
        ],
        vec![crease("b1", p(100.0, 20.0), p(100.0, 60.0), 90.0, relief)],
    )
}

#[test]
fn a_tab_with_its_reliefs_has_nothing_against_it() {
    assert_eq!(concerns(&tab(auto())), []);
}

#[test]
fn two_bends_that_meet_at_a_relieved_corner_have_nothing_against_them() {
    let box_corner = mockup(
        &[
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 60.0),
            (60.0, 60.0),
            (60.0, 100.0),
            (0.0, 100.0),
        ],
        vec![
            crease("b1", p(60.0, 0.0), p(60.0, 60.0), 90.0, auto()),
            crease("b2", p(0.0, 60.0), p(60.0, 60.0), 90.0, auto()),
        ],
    );
    assert_eq!(concerns(&box_corner), []);
}

#[test]
fn a_window_across_a_bend_is_not_measured_against_it() {
    let mut plate = mockup(
        &[(0.0, 0.0), (160.0, 0.0), (160.0, 100.0), (0.0, 100.0)],
        vec![crease("b1", p(80.0, 0.0), p(80.0, 100.0), 90.0, auto())],
    );
    plate.openings.push(Opening {
        name: "w1".into(),
        shape: OpeningShape::Window(Outline::rectangle(p(60.0, 30.0), p(100.0, 70.0)).expect("a window")),
    });
    let part = developed(&plate);
    assert_eq!(part.bends[0].strips.len(), 2);
    assert_eq!(check(&part, &limits()), []);
}

#[test]
fn a_plate_whose_sides_lean_needs_no_relief() {
    for lean_mm in [-60.0, -20.0, 20.0, 60.0] {
        let leaning = mockup(
            &[
                (0.0, 0.0),
                (160.0, -lean_mm / 2.0),
                (160.0, 100.0 + lean_mm),
                (0.0, 100.0),
            ],
            vec![crease("b1", p(80.0, -200.0), p(80.0, 300.0), 90.0, auto())],
        );
        assert_eq!(concerns(&leaning), [], "leaning {lean_mm}");
    }
}

#[test]
fn a_hole_is_measured_on_the_blank_where_the_bend_has_moved_it() {
    // On the card 20 mm from the crease; on plate the tangent line is 4.5 mm nearer, and the hole's edge 4.
    let mut plate = mockup(
        &[(0.0, 0.0), (160.0, 0.0), (160.0, 100.0), (0.0, 100.0)],
        vec![crease("b1", p(80.0, 0.0), p(80.0, 100.0), 90.0, auto())],
    );
    plate.root = Some(p(10.0, 10.0));
    for at in [p(60.0, 50.0), p(100.0, 50.0)] {
        plate.openings = vec![Opening {
            name: "h1".into(),
            shape: OpeningShape::Round { at, dia_mm: 8.0 },
        }];
        let found = concerns(&plate);
        assert!(
            matches!(&found[..], [Concern { what: Breach::OpeningNearBend { .. }, found, limit, .. }]
            if (found - 11.5).abs() < 1e-9 && (limit - 12.0).abs() < 1e-9),
            "{found:#?}"
        );
        // The way out that is offered: away from the bend by half a millimetre.
        let away = Vector::new(if at.x < 80.0 { -0.5 } else { 0.5 }, 0.0);
        plate.openings = vec![Opening {
            name: "h1".into(),
            shape: OpeningShape::Round {
                at: at + away,
                dia_mm: 8.0,
            },
        }];
        assert_eq!(concerns(&plate), []);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    /// A leg's length is counted to the outside of the other leg whatever face the card's lines are on, and whichever way
    /// it is bent; and it is short exactly when that is less than the die's least.
    #[test]
    fn a_leg_is_short_by_its_outside_length_on_any_face(
        card_leg_mm in 12.0..24.0f64, bent_deg in 30.0..90.0f64, face in 0..3usize, up in any::<bool>(),
    ) {
        let way = if up { Way::Up } else { Way::Down };
        let mut plate = mockup(
            &[(0.0, 0.0), (100.0 + card_leg_mm, 0.0), (100.0 + card_leg_mm, 80.0), (0.0, 80.0)],
            vec![Crease { way, ..crease("b1", p(100.0, 0.0), p(100.0, 80.0), bent_deg, auto()) }],
        );
        plate.lines_on = [Face::Marked, Face::Middle, Face::Far][face];
        let to_outside_share = match (plate.lines_on, way) {
            (Face::Middle, _) => 0.5,
            (Face::Marked, Way::Up) | (Face::Far, Way::Down) => 1.0,
            _ => 0.0,
        };
        let outside_mm = card_leg_mm + to_outside_share * T_MM * (bent_deg.to_radians() / 2.0).tan();
        let short = concerns(&plate).into_iter().find_map(|concern| match concern.what {
            Breach::ShortLeg { .. } => Some(concern.found),
            _ => None,
        });
        match short {
            Some(found_mm) => {
                prop_assert!((found_mm - outside_mm).abs() < 1e-6, "{found_mm} and {outside_mm}");
                prop_assert!(outside_mm < 16.8);
            }
            None => prop_assert!(outside_mm > 16.7, "{outside_mm} passed"),
        }
    }
}

/// How many random legs: a few in a normal run, more where the environment asks.
fn cases() -> u32 {
    std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(64)
}
