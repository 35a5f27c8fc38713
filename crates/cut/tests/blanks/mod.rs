//! Blanks for tests: a cradle as a job makes it, and plates with random openings.

#![allow(dead_code, reason = "each test takes of it what it needs")]

use std::f64::consts::{PI, TAU};

use cut::holes::{Hole, Purpose};
use cut::tracks::{Blank, BlankOpening};
use nalgebra::Vector2;
use plane::{Corner, Material, Outline, Point, Region};
use proptest::prelude::*;
use sheet::{Crease, Face, Mockup, Opening, OpeningShape, Part, Relief, Seam, Way, develop};

pub fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

/// A base with a wall, a lip and a rear wall, holes for bolts, a slot and a window with small corners: about what the
/// camera cradle of the examples is.
pub fn cradle() -> Part {
    let corners = [
        (-72.0, -32.0),
        (42.0, -32.0),
        (42.0, -72.0),
        (32.0, -190.0),
        (114.0, -190.0),
        (104.0, -72.0),
        (104.0, -32.0),
        (108.0, -32.0),
        (108.0, 32.0),
        (100.0, 32.0),
        (100.0, 47.0),
        (-30.0, 47.0),
        (-30.0, 32.0),
        (-72.0, 32.0),
        (-72.0, 30.0),
        (-138.0, 30.0),
        (-138.0, -30.0),
        (-72.0, -30.0),
    ]
    .map(|(x, y)| p(x, y));
    let rounded = [
        (3, 12.0),
        (4, 12.0),
        (8, 6.0),
        (10, 4.0),
        (11, 4.0),
        (15, 8.0),
        (16, 8.0),
    ]
    .map(|(corner, radius_mm)| (corner, Corner::Round(radius_mm)));
    let outline = Outline::polygon(&corners)
        .expect("an outline")
        .with_corners(&rounded, Material::Inside)
        .expect("round corners");
    let crease = |name: &str, from: (f64, f64), to: (f64, f64), way| Crease {
        name: name.into(),
        from: p(from.0, from.1),
        to: p(to.0, to.1),
        bent_rad: PI / 2.0,
        way,
        radius_mm: 3.0,
        neutral_share: 0.4,
        relief: Relief::Auto { least_width_mm: 1.0 },
    };
    let round = |name: &str, x: f64, y: f64, dia_mm: f64| Opening {
        name: name.into(),
        shape: OpeningShape::Round { at: p(x, y), dia_mm },
    };
    let all: Vec<(usize, Corner)> = (0..4).map(|corner| (corner, Corner::Round(1.5))).collect();
    let door = Outline::rectangle(p(8.0, -11.75), p(42.0, 11.75))
        .expect("a door")
        .with_corners(&all, Material::Outside)
        .expect("its corners");
    let mockup = Mockup {
        outline,
        openings: vec![
            round("base", 0.0, 0.0, 6.8),
            round("grip1", -117.0, -20.0, 5.5),
            round("grip2", -117.0, 20.0, 5.5),
            round("p1", 55.0, -150.0, 6.6),
            round("p2", 95.0, -150.0, 6.6),
            Opening {
                name: "lug".into(),
                shape: OpeningShape::Slot {
                    from: p(-124.0, -3.5),
                    to: p(-124.0, 3.5),
                    width_mm: 3.0,
                },
            },
            Opening {
                name: "door".into(),
                shape: OpeningShape::Window(door),
            },
        ],
        creases: vec![
            crease("wall", (-72.0, -30.0), (-72.0, 30.0), Way::Up),
            crease("lip", (-30.0, 32.0), (100.0, 32.0), Way::Up),
            crease("rear", (42.0, -32.0), (104.0, -32.0), Way::Down),
            crease("trough", (42.0, -72.0), (104.0, -72.0), Way::Up),
        ],
        seams: Vec::new(),
        marks: Vec::new(),
        panel_names: Vec::new(),
        root: Some(p(0.0, 0.0)),
        lines_on: Face::Marked,
        card_mm: 0.0,
    };
    develop(&mockup, 3.0).unwrap_or_else(|error| panic!("{error}"))
}

/// A corner of a tray: two walls that meet in a weld.
pub fn tray_corner() -> Part {
    let corners = [
        (0.0, -40.0),
        (100.0, -40.0),
        (100.0, 0.0),
        (140.0, 0.0),
        (140.0, 80.0),
        (0.0, 80.0),
    ];
    let corners = corners.map(|(x, y)| p(x, y));
    let crease = |name: &str, from: Point, to: Point| Crease {
        name: name.into(),
        from,
        to,
        bent_rad: PI / 2.0,
        way: Way::Up,
        radius_mm: 3.0,
        neutral_share: 0.4,
        relief: Relief::Auto { least_width_mm: 1.0 },
    };
    let mockup = Mockup {
        outline: Outline::polygon(&corners).expect("an outline"),
        openings: Vec::new(),
        creases: vec![
            crease("front", p(0.0, 0.0), p(100.0, 0.0)),
            crease("side", p(100.0, 0.0), p(100.0, 80.0)),
        ],
        seams: vec![Seam {
            name: "corner".into(),
            first: [p(100.0, 0.0), p(100.0, -40.0)],
            second: [p(100.0, 0.0), p(140.0, 0.0)],
        }],
        marks: Vec::new(),
        panel_names: Vec::new(),
        root: Some(p(50.0, 40.0)),
        lines_on: Face::Marked,
        card_mm: 0.0,
    };
    develop(&mockup, 3.0).unwrap_or_else(|error| panic!("{error}"))
}

/// An opening about a point, no farther out than 24 mm.
#[derive(Debug, Clone)]
pub enum Shape {
    Round {
        dia_mm: f64,
        tolerance_mm: Option<f64>,
    },
    Slot {
        long_mm: f64,
        wide_mm: f64,
        turn_rad: f64,
    },
    Window {
        reaches_mm: Vec<f64>,
        turn_rad: f64,
        round_mm: f64,
    },
}

fn shape() -> impl Strategy<Value = Shape> {
    let tolerance = prop_oneof![Just(None), (0.02..1.0f64).prop_map(Some)];
    prop_oneof![
        (1.5..40.0f64, tolerance).prop_map(|(dia_mm, tolerance_mm)| Shape::Round { dia_mm, tolerance_mm }),
        (2.0..30.0f64, 2.0..14.0f64, 0.0..PI).prop_map(|(long_mm, wide_mm, turn_rad)| Shape::Slot {
            long_mm,
            wide_mm,
            turn_rad,
        }),
        (prop::collection::vec(9.0..24.0f64, 3..9), 0.0..TAU, 0.0..4.0f64).prop_map(
            |(reaches_mm, turn_rad, round_mm)| Shape::Window {
                reaches_mm,
                turn_rad,
                round_mm,
            }
        ),
    ]
}

/// A point of a star about a centre.
fn star(centre: Point, reaches_mm: &[f64], turn_rad: f64) -> Vec<Point> {
    let count = reaches_mm.len() as f64;
    let corners = reaches_mm.iter().enumerate();
    corners
        .map(|(i, reach_mm)| {
            let angle = turn_rad + TAU * i as f64 / count;
            centre + Vector2::new(angle.cos(), angle.sin()) * *reach_mm
        })
        .collect()
}

impl Shape {
    fn outline(&self, at: Point) -> Outline {
        let made = match self {
            Shape::Round { dia_mm, .. } => Outline::circle(at, *dia_mm),
            Shape::Slot {
                long_mm,
                wide_mm,
                turn_rad,
            } => {
                let half = Vector2::new(turn_rad.cos(), turn_rad.sin()) * (*long_mm / 2.0);
                Outline::slot(at - half, at + half, *wide_mm)
            }
            Shape::Window {
                reaches_mm,
                turn_rad,
                round_mm,
            } => {
                let sharp = Outline::polygon(&star(at, reaches_mm, *turn_rad));
                sharp.map(|sharp| {
                    let all: Vec<(usize, Corner)> = (0..sharp.len())
                        .map(|corner| (corner, Corner::Round(*round_mm)))
                        .collect();
                    if *round_mm < 0.1 {
                        return sharp;
                    }
                    sharp.with_corners(&all, Material::Outside).unwrap_or(sharp)
                })
            }
        };
        made.unwrap_or_else(|error| panic!("{self:?}: {error}"))
    }

    fn opening(&self, name: String) -> BlankOpening {
        let hole = match self {
            Shape::Round { dia_mm, tolerance_mm } => Some(Hole {
                name: name.clone(),
                dia_mm: *dia_mm,
                purpose: Purpose::Clearance,
                tolerance_mm: *tolerance_mm,
            }),
            _ => None,
        };
        BlankOpening { name, hole }
    }
}

pub fn blank() -> impl Strategy<Value = Blank> {
    let edge = prop::collection::vec(105.0..160.0f64, 8..16);
    (edge, prop::collection::vec(shape(), 4), 0.0..TAU).prop_map(|(edge, shapes, turn_rad)| {
        let places = [p(30.0, 30.0), p(-30.0, 30.0), p(-30.0, -30.0), p(30.0, -30.0)];
        let outer = Outline::polygon(&star(Point::origin(), &edge, turn_rad)).expect("a plate");
        let holes: Vec<Outline> = shapes
            .iter()
            .zip(places)
            .map(|(shape, at)| shape.outline(at))
            .collect();
        let openings = shapes.iter().enumerate();
        Blank {
            name: "plate".into(),
            region: Region::new(outer, holes).expect("holes apart"),
            openings: openings
                .map(|(i, shape)| shape.opening(format!("h{i}")))
                .collect(),
            bends: Vec::new(),
        }
    })
}

/// How many random sheets: as many as in a plain run, or as many as `GUSSET_CASES` asks for a long soak.
pub fn cases(in_a_plain_run: u32) -> u32 {
    let asked = std::env::var("GUSSET_CASES").ok();
    asked
        .and_then(|count| count.parse().ok())
        .unwrap_or(in_a_plain_run)
}
