//! Parts to mesh, drawn as cards.

use std::f64::consts::FRAC_PI_2;

use plane::{Corner, Material, Outline, Point, Vertex};
use proptest::prelude::*;
use sheet::{Crease, Face, Mockup, Opening, OpeningShape, Part, Relief, Seam, Way, develop};

pub fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

pub fn card(outline: Outline) -> Mockup {
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

pub fn polygon(corners: &[(f64, f64)]) -> Outline {
    let corners: Vec<Point> = corners.iter().map(|&(x, y)| p(x, y)).collect();
    Outline::polygon(&corners).expect("the test's card is an outline")
}

pub fn crease(name: &str, from: Point, to: Point, way: Way) -> Crease {
    Crease {
        name: name.to_owned(),
        from,
        to,
        bent_rad: FRAC_PI_2,
        way,
        radius_mm: 4.0,
        neutral_share: 0.42,
        relief: Relief::Auto { least_width_mm: 1.5 },
    }
}

pub fn hole(name: &str, at: Point, dia_mm: f64) -> Opening {
    Opening {
        name: name.to_owned(),
        shape: OpeningShape::Round { at, dia_mm },
    }
}

fn made(mockup: &Mockup, thickness_mm: f64) -> Part {
    develop(mockup, thickness_mm).expect("the test's card develops")
}

/// A strip 40 mm wide with one bend and a hole in each leg.
pub fn one_bend() -> Part {
    let mut mockup = card(polygon(&[(0.0, 0.0), (40.0, 0.0), (40.0, 120.0), (0.0, 120.0)]));
    mockup.creases = vec![crease("b1", p(0.0, 60.0), p(40.0, 60.0), Way::Up)];
    mockup.openings = vec![hole("low", p(20.0, 20.0), 8.5), hole("high", p(20.0, 100.0), 6.6)];
    made(&mockup, 3.0)
}

/// A strip whose bend lies this much off square, with a hole of 20 mm in the low leg whose edge is so far from the bend's
/// tangent line. A hole is cut into 16 chords from its right on: where it is nearest hangs on how the bend lies.
pub fn hole_beside_a_bend(off_square_rad: f64, gap_mm: f64) -> Part {
    const DIA_MM: f64 = 20.0;
    let mut mockup = card(polygon(&[(0.0, 0.0), (40.0, 0.0), (40.0, 120.0), (0.0, 120.0)]));
    let rise = off_square_rad.tan();
    mockup.creases = vec![crease(
        "b1",
        p(0.0, 60.0 - 20.0 * rise),
        p(40.0, 60.0 + 20.0 * rise),
        Way::Up,
    )];
    let set_back_mm = made(&mockup, 3.0).bends[0].set_back_mm;
    let off = plane::Vector::new(off_square_rad.sin(), -off_square_rad.cos())
        * (set_back_mm + gap_mm + DIA_MM / 2.0);
    mockup.openings = vec![hole("near", p(20.0, 60.0) + off, DIA_MM)];
    made(&mockup, 3.0)
}

/// A channel with one flange up and one down, a window across one bend and a round hole across the other.
pub fn channel() -> Part {
    let mut mockup = card(polygon(&[(0.0, 0.0), (120.0, 0.0), (120.0, 110.0), (0.0, 110.0)]));
    mockup.creases = vec![
        crease("b1", p(0.0, 30.0), p(120.0, 30.0), Way::Up),
        crease("b2", p(0.0, 80.0), p(120.0, 80.0), Way::Down),
    ];
    let window = polygon(&[(30.0, 18.0), (60.0, 18.0), (60.0, 44.0), (30.0, 44.0)]);
    mockup.openings = vec![
        Opening {
            name: "w".to_owned(),
            shape: OpeningShape::Window(window),
        },
        hole("over", p(70.0, 80.0), 24.0),
        hole("h", p(90.0, 55.0), 8.0),
        Opening {
            name: "slot".to_owned(),
            shape: OpeningShape::Slot {
                from: p(20.0, 55.0),
                to: p(35.0, 60.0),
                width_mm: 6.0,
            },
        },
    ];
    made(&mockup, 3.0)
}

/// A tray: four flanges whose bends meet at its corners, welded there.
pub fn tray() -> Part {
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
        crease("south", p(20.0, 20.0), p(80.0, 20.0), Way::Up),
        crease("east", p(80.0, 20.0), p(80.0, 70.0), Way::Up),
        crease("north", p(80.0, 70.0), p(20.0, 70.0), Way::Up),
        crease("west", p(20.0, 70.0), p(20.0, 20.0), Way::Up),
    ];
    mockup.seams = vec![Seam {
        name: "corner".to_owned(),
        first: [p(80.0, 20.0), p(80.0, 0.0)],
        second: [p(80.0, 20.0), p(100.0, 20.0)],
    }];
    made(&mockup, 2.0)
}

/// A tab that ends inside the plate's edge, freed by slots or torn.
pub fn tab(relief: Relief) -> Part {
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
        ..crease("b1", p(30.0, 50.0), p(70.0, 50.0), Way::Up)
    }];
    made(&mockup, 3.0)
}

/// A leg with slanting sides and a rounded end, whose bend runs slantwise too.
pub fn slanting_leg(radius_mm: f64) -> Part {
    let outline = Outline::new(vec![
        Vertex::line(p(0.0, 0.0)),
        Vertex::line(p(90.0, 0.0)),
        Vertex::arc(p(60.0, 100.0), 0.6),
        Vertex::line(p(30.0, 100.0)),
    ])
    .expect("the test's card is an outline");
    let mut mockup = card(outline);
    mockup.creases = vec![Crease {
        radius_mm,
        bent_rad: 0.9,
        ..crease("b1", p(-10.0, 40.0), p(110.0, 55.0), Way::Down)
    }];
    made(&mockup, 3.0)
}

/// A forearm plate like the worked example's: a pad bent up from a side plate, a joggle to a frame bolt, a window.
pub fn push_hoe() -> Part {
    let slope = 20.0_f64.to_radians();
    let (down, deep) = (
        plane::Vector::new(slope.cos(), -slope.sin()),
        plane::Vector::new(slope.sin(), slope.cos()),
    );
    let kc = p(30.0, 110.0);
    let (k1, k2) = (kc + down * 42.0, kc - down * 42.0);
    let (q1, q2) = (k1 + deep * 84.0, k2 + deep * 84.0);
    let corners = [
        p(48.0, -24.0),
        k1,
        q1,
        q2,
        k2,
        p(-34.0, 40.0),
        p(-86.0, 16.0),
        p(-92.0, -20.0),
        p(-230.0, -20.0),
        p(-230.0, -60.0),
        p(-80.0, -60.0),
    ];
    let round = [
        (0, 15.0),
        (2, 15.0),
        (3, 15.0),
        (5, 20.0),
        (6, 12.0),
        (7, 5.0),
        (8, 18.0),
        (9, 18.0),
        (10, 30.0),
    ]
    .map(|(corner, radius)| (corner, Corner::Round(radius)));
    let outline = Outline::polygon(&corners)
        .expect("the test's card is an outline")
        .with_corners(&round, Material::Inside)
        .expect("the corners round");
    let mut mockup = card(outline);
    mockup.lines_on = Face::Far;
    mockup.root = Some(p(0.0, 0.0));
    let bend = |name: &str, from, to, deg: f64, way| Crease {
        bent_rad: deg.to_radians(),
        radius_mm: 4.8,
        ..crease(name, from, to, way)
    };
    let in_mm = 35.0 / 45.0_f64.to_radians().sin();
    mockup.creases = vec![
        bend("b1", k1, k2, 85.0, Way::Up),
        bend("b2", p(-100.0, 10.0), p(-100.0, -80.0), 45.0, Way::Down),
        bend(
            "b3",
            p(-100.0 - in_mm, 10.0),
            p(-100.0 - in_mm, -80.0),
            45.0,
            Way::Up,
        ),
    ];
    let window = polygon(&[(-12.0, 32.0), (32.0, 24.0), (38.0, 66.0), (2.0, 82.0)]);
    let rounded: Vec<(usize, Corner)> = (0..4).map(|corner| (corner, Corner::Round(10.0))).collect();
    let window = window
        .with_corners(&rounded, Material::Outside)
        .expect("the corners round");
    let pad = kc + deep * 50.0;
    mockup.openings = vec![
        hole("h1", p(0.0, 0.0), 8.4),
        hole("h2", p(-63.5, 0.0), 8.4),
        hole("frame", p(-204.4, -40.0), 10.0),
        hole("p1", pad + down * 20.0, 6.6),
        hole("p2", pad - down * 20.0, 6.6),
        Opening {
            name: "light".to_owned(),
            shape: OpeningShape::Window(window),
        },
    ];
    made(&mockup, 4.76)
}

/// Everything above with its name.
pub fn every_part() -> Vec<(&'static str, Part)> {
    vec![
        ("one bend", one_bend()),
        ("channel", channel()),
        ("tray", tray()),
        ("freed tab", tab(Relief::Auto { least_width_mm: 1.5 })),
        ("torn tab", tab(Relief::None)),
        ("slanting leg", slanting_leg(4.0)),
        ("sharp slanting leg", slanting_leg(0.0)),
        ("push hoe", push_hoe()),
    ]
}

/// A ribbon of one to eight bends at any slant, angle and way, on any face.
pub fn any_ribbon() -> impl Strategy<Value = Part> {
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
                    ..crease(&format!("b{i}"), p(at - slant, -40.0), p(at + slant, 40.0), way)
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
