//! Cards developed into parts, for the tests of mesh and solid: what the shop folds, and where bends are awkward.

use std::f64::consts::FRAC_PI_2;

use plane::{Outline, Point, Vertex};
use proptest::prelude::*;
use sheet::{Crease, Face, Mockup, Opening, OpeningShape, Part, Relief, Way, develop};

const T_MM: f64 = 3.0;

fn card(outline: Outline) -> Mockup {
    Mockup {
        outline,
        openings: Vec::new(),
        creases: Vec::new(),
        seams: Vec::new(),
        marks: Vec::new(),
        panel_names: Vec::new(),
        root: None,
        lines_on: Face::Marked,
        card_mm: 0.0,
    }
}

fn polygon(corners: &[(f64, f64)]) -> Outline {
    let corners: Vec<Point> = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
    Outline::polygon(&corners).expect("the test's card is an outline")
}

fn crease(name: &str, from: (f64, f64), to: (f64, f64), way: Way) -> Crease {
    Crease {
        name: name.to_owned(),
        from: Point::new(from.0, from.1),
        to: Point::new(to.0, to.1),
        bent_rad: FRAC_PI_2,
        way,
        radius_mm: 3.0,
        neutral_share: 0.4,
        relief: Relief::Auto { least_width_mm: 1.0 },
    }
}

fn opening(name: &str, shape: OpeningShape) -> Opening {
    Opening {
        name: name.to_owned(),
        shape,
    }
}

fn made(mockup: &Mockup) -> Part {
    develop(mockup, T_MM).expect("the test's card develops")
}

/// A channel with one flange up and one down, a window across one bend and a round hole across the other.
pub(crate) fn channel_with_interrupted_bends() -> Part {
    let mut mockup = card(polygon(&[(0.0, 0.0), (120.0, 0.0), (120.0, 110.0), (0.0, 110.0)]));
    mockup.creases = vec![
        crease("b1", (0.0, 30.0), (120.0, 30.0), Way::Up),
        crease("b2", (0.0, 80.0), (120.0, 80.0), Way::Down),
    ];
    let window = polygon(&[(30.0, 18.0), (60.0, 18.0), (60.0, 44.0), (30.0, 44.0)]);
    mockup.openings = vec![
        opening("W1", OpeningShape::Window(window)),
        opening(
            "H1",
            OpeningShape::Round {
                at: Point::new(70.0, 80.0),
                dia_mm: 24.0,
            },
        ),
        opening(
            "H2",
            OpeningShape::Round {
                at: Point::new(90.0, 55.0),
                dia_mm: 8.0,
            },
        ),
    ];
    made(&mockup)
}

/// A tray: four flanges whose bends meet at its corners.
pub(crate) fn tray() -> Part {
    let mut mockup = card(polygon(&[
        (20.0, 0.0),
        (80.0, 0.0),
        (80.0, 20.0),
        (100.0, 20.0),
        (100.0, 70.0),
        (80.0, 70.0),
        (80.0, 90.0),
        (20.0, 90.0),
        (20.0, 70.0),
        (0.0, 70.0),
        (0.0, 20.0),
        (20.0, 20.0),
    ]));
    mockup.creases = vec![
        crease("south", (20.0, 20.0), (80.0, 20.0), Way::Up),
        crease("east", (80.0, 20.0), (80.0, 70.0), Way::Up),
        crease("north", (80.0, 70.0), (20.0, 70.0), Way::Up),
        crease("west", (20.0, 70.0), (20.0, 20.0), Way::Up),
    ];
    made(&mockup)
}

/// A tab that ends inside the plate's edge, freed by slots or torn.
pub(crate) fn tab(relief: Relief) -> Part {
    let mut mockup = card(polygon(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 50.0),
        (70.0, 50.0),
        (70.0, 80.0),
        (30.0, 80.0),
        (30.0, 50.0),
        (0.0, 50.0),
    ]));
    mockup.creases = vec![Crease {
        relief,
        ..crease("b1", (30.0, 50.0), (70.0, 50.0), Way::Up)
    }];
    made(&mockup)
}

/// A leg with slanting sides and a rounded end, whose bend runs slantwise too.
pub(crate) fn slanting_leg(radius_mm: f64) -> Part {
    let corner = |x: f64, y: f64| Vertex::line(Point::new(x, y));
    let outline = Outline::new(vec![
        corner(0.0, 0.0),
        corner(90.0, 0.0),
        Vertex::arc(Point::new(60.0, 100.0), 0.6),
        corner(30.0, 100.0),
    ])
    .expect("the test's card is an outline");
    let mut mockup = card(outline);
    mockup.creases = vec![Crease {
        radius_mm,
        bent_rad: 0.9,
        ..crease("b1", (-10.0, 40.0), (110.0, 55.0), Way::Down)
    }];
    made(&mockup)
}

/// Everything above with its name.
pub(crate) fn every_part() -> Vec<(&'static str, Part)> {
    vec![
        ("channel", channel_with_interrupted_bends()),
        ("tray", tray()),
        ("freed tab", tab(Relief::Auto { least_width_mm: 1.0 })),
        ("torn tab", tab(Relief::None)),
        ("slanting leg", slanting_leg(4.0)),
        ("sharp slanting leg", slanting_leg(0.0)),
    ]
}

/// A ribbon of one to eight bends at any slant, angle and way, on any face.
pub(crate) fn any_ribbon() -> impl Strategy<Value = Part> {
    let bend = (
        28.0..40.0_f64,
        -8.0..8.0_f64,
        5.0..150.0_f64,
        any::<bool>(),
        0.0..3.0_f64,
    );
    (prop::collection::vec(bend, 1..=8), 0..3_usize, 0.0..12.0_f64).prop_filter_map(
        "the card develops",
        |(bends, face, taper)| {
            let mut at = 20.0;
            let mut creases = Vec::new();
            for (i, &(step, slant, deg, up, radius_mm)) in bends.iter().enumerate() {
                let way = if up { Way::Up } else { Way::Down };
                creases.push(Crease {
                    bent_rad: deg.to_radians(),
                    radius_mm,
                    ..crease(&format!("b{i}"), (at - slant, -40.0), (at + slant, 40.0), way)
                });
                at += step;
            }
            let mut mockup = card(polygon(&[
                (-12.0, -28.0),
                (at, -14.0),
                (at, 16.0 + taper),
                (-12.0, 28.0),
            ]));
            mockup.creases = creases;
            mockup.lines_on = [Face::Marked, Face::Middle, Face::Far][face];
            develop(&mockup, 1.5).ok()
        },
    )
}
