//! Parts built by hand for tests: a row of rectangular panels joined by bends square to the row.

use nalgebra::{Isometry3, Point3, Translation3, UnitQuaternion, Vector3};
use plane::{Outline, Point, Region, Vector, Vertex};
use sheet::{Bend, Blank, Face, Opening, OpeningShape, Panel, Part, Strip, Way};

use crate::title::{Flag, FlagAt, FlagLevel, TitleBlock};

pub(crate) const THICKNESS_MM: f64 = 4.7625;
const RADIUS_MM: f64 = 4.7625;
const NEUTRAL_SHARE: f64 = 0.42;

/// A panel of the row: name, width along the row.
pub(crate) type Leg = (&'static str, f64);

fn polygon(points: &[[f64; 2]]) -> Outline {
    Outline::new(
        points
            .iter()
            .map(|at| Vertex {
                at: Point::new(at[0], at[1]),
                bulge: 0.0,
            })
            .collect(),
    )
    .expect("a rectangle is an outline")
}

/// An upright rectangle with corners rounded to `radius_mm`, counter-clockwise.
pub(crate) fn rounded(low: [f64; 2], high: [f64; 2], radius_mm: f64) -> Outline {
    let bulge = (std::f64::consts::PI / 8.0).tan();
    let r = radius_mm;
    let arc = |x: f64, y: f64| Vertex {
        at: Point::new(x, y),
        bulge,
    };
    let line = |x: f64, y: f64| Vertex {
        at: Point::new(x, y),
        bulge: 0.0,
    };
    Outline::new(vec![
        line(low[0] + r, low[1]),
        arc(high[0] - r, low[1]),
        line(high[0], low[1] + r),
        arc(high[0], high[1] - r),
        line(high[0] - r, high[1]),
        arc(low[0] + r, high[1]),
        line(low[0], high[1] - r),
        arc(low[0], low[1] + r),
    ])
    .expect("a rounded rectangle is an outline")
}

fn cut(shape: &OpeningShape) -> Outline {
    let vertex = |at: Point, bulge: f64| Vertex { at, bulge };
    match shape {
        OpeningShape::Round { at, dia_mm } => {
            let arm = Vector::new(dia_mm / 2.0, 0.0);
            Outline::new(vec![vertex(at + arm, -1.0), vertex(at - arm, -1.0)])
        }
        OpeningShape::Slot { from, to, width_mm } => {
            let along = (to - from).normalize();
            let side = Vector::new(-along.y, along.x) * (width_mm / 2.0);
            Outline::new(vec![
                vertex(from + side, 0.0),
                vertex(to + side, -1.0),
                vertex(to - side, 0.0),
                vertex(from - side, -1.0),
            ])
        }
        OpeningShape::Window(outline) => {
            let count = outline.vertices().len();
            Outline::new(
                (0..count)
                    .rev()
                    .map(|index| {
                        let before = outline.vertices()[(index + count - 1) % count];
                        vertex(outline.vertices()[index].at, -before.bulge)
                    })
                    .collect(),
            )
        }
    }
    .expect("an opening is an outline")
}

fn moved(shape: &OpeningShape, by: Vector) -> OpeningShape {
    match shape {
        OpeningShape::Round { at, dia_mm } => OpeningShape::Round {
            at: at + by,
            dia_mm: *dia_mm,
        },
        OpeningShape::Slot { from, to, width_mm } => OpeningShape::Slot {
            from: from + by,
            to: to + by,
            width_mm: *width_mm,
        },
        OpeningShape::Window(outline) => OpeningShape::Window(
            Outline::new(
                outline
                    .vertices()
                    .iter()
                    .map(|v| Vertex {
                        at: v.at + by,
                        bulge: v.bulge,
                    })
                    .collect(),
            )
            .expect("a moved outline is an outline"),
        ),
    }
}

fn somewhere(shape: &OpeningShape) -> Point {
    match shape {
        OpeningShape::Round { at, .. } | OpeningShape::Slot { from: at, .. } => *at,
        OpeningShape::Window(outline) => outline.vertices()[0].at,
    }
}

/// Legs in a row along x, `height_mm` high, bent between them; openings in mock-up axes.
pub(crate) fn row(legs: &[Leg], bends: &[(f64, Way)], height_mm: f64, openings: Vec<Opening>) -> Part {
    let mut panels: Vec<Panel> = Vec::new();
    let mut made: Vec<Bend> = Vec::new();
    let mut crease_x = 0.0;
    let mut left_x = 0.0;
    let mut shift = 0.0;
    let mut pose = Isometry3::identity();
    for (index, (name, wide_mm)) in legs.iter().enumerate() {
        let start = crease_x;
        crease_x += wide_mm;
        let next = bends.get(index).filter(|_| index + 1 < legs.len());
        let set_back = next.map_or(0.0, |(bent_deg, way)| {
            let deep = if *way == Way::Up {
                RADIUS_MM
            } else {
                RADIUS_MM + THICKNESS_MM
            };
            deep * (bent_deg.to_radians() / 2.0).tan()
        });
        let right_x = crease_x - set_back;
        let inside: Vec<usize> = (0..openings.len())
            .filter(|&which| (start..crease_x).contains(&somewhere(&openings[which].shape).x))
            .collect();
        let rounded_end = 8.0_f64.min(wide_mm / 3.0);
        let outer = if legs.len() == 1 {
            rounded([left_x, 0.0], [right_x, height_mm], rounded_end)
        } else {
            polygon(&[
                [left_x, 0.0],
                [right_x, 0.0],
                [right_x, height_mm],
                [left_x, height_mm],
            ])
        };
        panels.push(Panel {
            name: (*name).to_owned(),
            hangs_on: index.checked_sub(1),
            flat: Region {
                outer,
                holes: inside.iter().map(|&which| cut(&openings[which].shape)).collect(),
            },
            as_marked: polygon(&[
                [start, 0.0],
                [crease_x, 0.0],
                [crease_x, height_mm],
                [start, height_mm],
            ]),
            to_blank: Vector::new(shift, 0.0),
            to_folded: pose,
            openings: inside,
            marks: Vec::new(),
        });
        let Some(&(bent_deg, way)) = next else { break };
        let bent_rad = bent_deg.to_radians();
        let allowance = bent_rad * (RADIUS_MM + NEUTRAL_SHARE * THICKNESS_MM);
        let on_blank = right_x + shift;
        let axis_z = if way == Way::Up {
            RADIUS_MM
        } else {
            -THICKNESS_MM - RADIUS_MM
        };
        let axis = pose * nalgebra::Unit::new_normalize(Vector3::new(0.0, -1.0, 0.0));
        made.push(Bend {
            name: format!("b{}", index + 1),
            fixed: index,
            moving: index + 1,
            bent_rad,
            way,
            radius_mm: RADIUS_MM,
            neutral_share: NEUTRAL_SHARE,
            set_back_mm: set_back,
            allowance_mm: allowance,
            deduction_mm: 2.0 * (RADIUS_MM + THICKNESS_MM) * (bent_rad / 2.0).tan() - allowance,
            strips: vec![Strip {
                fixed: [Point::new(on_blank, height_mm), Point::new(on_blank, 0.0)],
                moving: [
                    Point::new(on_blank + allowance, height_mm),
                    Point::new(on_blank + allowance, 0.0),
                ],
            }],
            along: Vector::new(0.0, -1.0),
            axis_at: pose * Point3::new(right_x, 0.0, axis_z),
            axis,
        });
        let signed = if way == Way::Up { bent_rad } else { -bent_rad };
        let about = Vector3::new(crease_x, 0.0, 0.0);
        let turn = UnitQuaternion::from_axis_angle(&nalgebra::Unit::new_normalize(-Vector3::y()), signed);
        pose = pose * Translation3::from(about) * turn * Translation3::from(-about);
        left_x = crease_x + set_back;
        shift += allowance - 2.0 * set_back;
    }
    let end_x = crease_x + shift;
    let on_blank: Vec<Option<OpeningShape>> = openings
        .iter()
        .enumerate()
        .map(|(which, opening)| {
            let panel = panels.iter().find(|panel| panel.openings.contains(&which))?;
            Some(moved(&opening.shape, panel.to_blank))
        })
        .collect();
    let outer = if legs.len() == 1 {
        panels[0].flat.outer.clone()
    } else {
        polygon(&[[0.0, 0.0], [end_x, 0.0], [end_x, height_mm], [0.0, height_mm]])
    };
    Part {
        thickness_mm: THICKNESS_MM,
        lines_on: Face::Marked,
        panels,
        bends: made,
        blank: Blank {
            region: Region {
                outer,
                holes: on_blank.iter().flatten().map(cut).collect(),
            },
            openings: on_blank,
            marks: Vec::new(),
        },
        openings,
        marks: Vec::new(),
        seams: Vec::new(),
        reliefs: Vec::new(),
    }
}

fn hole(name: &str, x: f64, y: f64, dia_mm: f64) -> Opening {
    Opening {
        name: name.to_owned(),
        shape: OpeningShape::Round {
            at: Point::new(x, y),
            dia_mm,
        },
    }
}

/// A socket bracket of four legs, with holes, a slot and a window.
pub(crate) fn bracket() -> Part {
    let window = Opening {
        name: "w1".to_owned(),
        shape: OpeningShape::Window(rounded([118.0, 22.0], [168.0, 58.0], 6.0)),
    };
    let slot = Opening {
        name: "s1".to_owned(),
        shape: OpeningShape::Slot {
            from: Point::new(196.0, 30.0),
            to: Point::new(196.0, 50.0),
            width_mm: 10.0,
        },
    };
    row(
        &[("foot", 85.0), ("web", 120.0), ("seat", 70.0), ("lip", 24.0)],
        &[(90.0, Way::Up), (62.0, Way::Down), (75.0, Way::Up)],
        80.0,
        vec![
            hole("m1", 14.0, 14.0, 8.7),
            hole("m2", 14.0, 66.0, 8.7),
            hole("m3", 52.0, 40.0, 10.3),
            window,
            slot,
            hole("p1", 240.0, 20.0, 6.6),
            hole("p2", 240.0, 60.0, 6.6),
        ],
    )
}

/// A flat plate with four holes.
pub(crate) fn flat() -> Part {
    row(
        &[("plate", 100.0)],
        &[],
        60.0,
        vec![
            hole("a", 12.0, 12.0, 6.6),
            hole("b", 88.0, 12.0, 6.6),
            hole("c", 88.0, 48.0, 6.6),
            hole("d", 12.0, 48.0, 6.6),
        ],
    )
}

/// Many holes close together: labels must still find room.
pub(crate) fn crowded() -> Part {
    let holes = (0..24)
        .map(|index| {
            hole(
                &format!("h{index}"),
                20.0 + 11.0 * f64::from(index % 8),
                20.0 + 11.0 * f64::from(index / 8),
                5.5,
            )
        })
        .collect();
    row(
        &[("plate", 130.0), ("leg", 40.0)],
        &[(45.0, Way::Down)],
        70.0,
        holes,
    )
}

/// Words to go with [`bracket`].
pub(crate) fn words() -> TitleBlock {
    TitleBlock {
        title: "Push-hoe forearm bracket".to_owned(),
        revision: "c41d-07".to_owned(),
        made_from: "push-hoe, right arm, small shop".to_owned(),
        stock: "5052-H32 aluminium, 3/16 in".to_owned(),
        mass_kg: Some(0.312),
        answers: vec![
            "Does anyone's weight hang on it? no. Could it hold someone under water or to something that moves? no. Does \
             it steer, brake or fire anything? no. Can the person feel the skin it touches? yes. Can the other hand let \
             go of it in two seconds? yes."
                .to_owned(),
        ],
        care: vec![
            "Wear eye protection; clamp the plate before you drill it. Break every edge to at least 0.5 mm, and more where \
             it meets skin. Make the proof test before use. The machine's own book and local rules come first."
                .to_owned(),
        ],
        notes: vec!["Bend b1 before b2.".to_owned()],
        callouts: [
            ("m1", "5/16-18 clear, 8.7 mm drill"),
            ("m2", "5/16-18 clear, 8.7 mm drill"),
            ("m3", "3/8-16 clear, 10.3 mm drill"),
            ("p1", "M6 clear, 6.6 mm drill"),
            ("p2", "M6 clear, 6.6 mm drill"),
        ]
        .into_iter()
        .map(|(name, words)| (name.to_owned(), words.to_owned()))
        .collect(),
        flags: vec![
            Flag {
                level: FlagLevel::Care,
                at: FlagAt::Opening("m3".to_owned()),
                says: "m3 is 14.2 mm from b1; it may draw oval in the bend. Move it 4.5 mm away, or drill it after bending."
                    .to_owned(),
            },
            Flag {
                level: FlagLevel::Stop,
                at: FlagAt::Panel("lip".to_owned()),
                says: "lip is 14.0 mm; the 24 mm die needs 16.8 mm. Lengthen it by 2.8 mm, or use the 16 mm die.".to_owned(),
            },
        ],
        scale: None,
    }
}
