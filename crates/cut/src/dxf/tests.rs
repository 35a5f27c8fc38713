//! The drawing written and read back: plain parts, both forms of the format, both units, and files that are wrong.

use plane::{Outline, Point, Region, Vector, Vertex};
use proptest::prelude::*;
use sheet::{Bend, Blank, Face, Mark, MarkKind, Opening, OpeningShape, Part, Strip, Way};

use super::*;
use crate::grain::GrainError;

fn line(x: f64, y: f64) -> Vertex {
    Vertex {
        at: Point::new(x, y),
        bulge: 0.0,
    }
}

fn arc(x: f64, y: f64, bulge: f64) -> Vertex {
    Vertex {
        at: Point::new(x, y),
        bulge,
    }
}

fn outline(vertices: Vec<Vertex>) -> Outline {
    Outline::new(vertices).expect("the outline of the test is sound")
}

/// Clockwise, as a hole runs.
fn round(at: Point, dia_mm: f64) -> Outline {
    let radius = dia_mm / 2.0;
    outline(vec![
        arc(at.x - radius, at.y, -1.0),
        arc(at.x + radius, at.y, -1.0),
    ])
}

const ALLOWANCE_MM: f64 = 8.4;

/// A plate of 120 x 80 with one rounded corner, one round hole, one slot, and a bend across it.
fn plate() -> Part {
    let quarter = std::f64::consts::FRAC_PI_8.tan();
    let outer = outline(vec![
        line(0.0, 0.0),
        line(120.0, 0.0),
        arc(120.0, 70.0, quarter),
        line(110.0, 80.0),
        line(0.0, 80.0),
    ]);
    let hole_at = Point::new(20.3, 60.7);
    let slot = outline(vec![
        arc(60.0, 55.0, -1.0),
        line(60.0, 65.0),
        arc(90.0, 65.0, -1.0),
        line(90.0, 55.0),
    ]);
    let openings = vec![
        Opening {
            name: "H1".into(),
            shape: OpeningShape::Round {
                at: hole_at,
                dia_mm: 8.5,
            },
        },
        Opening {
            name: "S1".into(),
            shape: OpeningShape::Slot {
                from: Point::new(60.0, 60.0),
                to: Point::new(90.0, 60.0),
                width_mm: 10.0,
            },
        },
    ];
    let marks = vec![MarkKind::Text {
        at: Point::new(5.0, 5.0),
        text: "b1 up 90\u{b0}".into(),
        height_mm: 4.0,
    }];
    let y = 30.0;
    Part {
        thickness_mm: 3.0,
        lines_on: Face::Marked,
        panels: Vec::new(),
        bends: vec![Bend {
            name: "b1".into(),
            fixed: 0,
            moving: 1,
            bent_rad: std::f64::consts::FRAC_PI_2,
            way: Way::Up,
            radius_mm: 4.0,
            neutral_share: 0.45,
            set_back_mm: 7.0,
            allowance_mm: ALLOWANCE_MM,
            deduction_mm: 14.0 - ALLOWANCE_MM,
            strips: vec![Strip {
                fixed: [Point::new(0.0, y), Point::new(120.0, y)],
                moving: [
                    Point::new(0.0, y + ALLOWANCE_MM),
                    Point::new(120.0, y + ALLOWANCE_MM),
                ],
            }],
            along: Vector::x(),
            axis_at: nalgebra::Point3::new(0.0, y, 4.0),
            axis: nalgebra::Vector3::x_axis(),
        }],
        blank: Blank {
            region: Region {
                outer,
                holes: vec![round(hole_at, 8.5), slot],
            },
            openings: openings
                .iter()
                .map(|opening| Some(opening.shape.clone()))
                .collect(),
            marks: marks.clone(),
        },
        openings,
        marks: vec![Mark {
            name: "note".into(),
            kind: marks[0].clone(),
        }],
        seams: Vec::new(),
        reliefs: Vec::new(),
    }
}

const EVERY_FORM: [DxfOptions; 4] = [
    DxfOptions {
        version: DxfVersion::R2000,
        unit: DxfUnit::Millimetre,
    },
    DxfOptions {
        version: DxfVersion::R2000,
        unit: DxfUnit::Inch,
    },
    DxfOptions {
        version: DxfVersion::R12,
        unit: DxfUnit::Millimetre,
    },
    DxfOptions {
        version: DxfVersion::R12,
        unit: DxfUnit::Inch,
    },
];

/// 120 x 80 less the corner, the hole and the slot.
fn plate_area_mm2() -> f64 {
    let corner = 100.0 - 25.0 * std::f64::consts::PI;
    let hole = std::f64::consts::PI * 8.5 * 8.5 / 4.0;
    let slot = 300.0 + 25.0 * std::f64::consts::PI;
    120.0 * 80.0 - corner - hole - slot
}

#[test]
fn a_plate_reads_back_the_same_in_every_form_and_unit() {
    for options in EVERY_FORM {
        let written = written_and_read_back(&plate(), options).expect("what is written reads back");
        assert!(
            (written.area_mm2() - plate_area_mm2()).abs() < 1e-8,
            "{options:?}: {}",
            written.area_mm2()
        );
        let read = written.read_back();
        assert_eq!(read.words[0].text, "b1 up 90\u{b0}");
        assert!(read.not_read.is_empty(), "{:?}", read.not_read);
        assert!(Layer::ALL.iter().all(|layer| read.layers.contains(layer.name())));
        let [low, high] = read.extent.expect("the header states the extent");
        let mm = options.unit.in_mm();
        assert!((low.coords * mm).norm() < 1e-9 && (high * mm - Point::new(120.0, 80.0)).norm() < 1e-9);
    }
}

#[test]
fn a_rounded_corner_and_a_slot_keep_their_arcs() {
    let written = written_and_read_back(&plate(), DxfOptions::default()).expect("what is written reads back");
    let bulges = |layer: Layer| -> Vec<f64> {
        let loops = &written.read_back().loops;
        let outline = loops
            .iter()
            .find(|outline| outline.layer == layer.name())
            .expect("it is there");
        outline
            .corners
            .iter()
            .map(|&(_, bulge)| bulge)
            .filter(|&bulge| bulge != 0.0)
            .collect()
    };
    assert_eq!(bulges(Layer::Outline), [std::f64::consts::FRAC_PI_8.tan()]);
    assert_eq!(bulges(Layer::Openings), [-1.0, -1.0]);
}

#[test]
fn the_published_rows_of_the_format_hold_in_the_file() {
    let text = write_dxf(&Drawing::of_part(&plate()), DxfOptions::default());
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    let after = |name: &str, skip: usize| {
        let at = lines
            .iter()
            .position(|&line| line == name)
            .unwrap_or_else(|| panic!("{name} is in the file"));
        lines[at + skip]
    };
    published::row("J024").check_text(after("$INSUNITS", 2));
    published::row("J026").check_text(after("$ACADVER", 2));
    let polyline = lines
        .iter()
        .position(|&line| line == "LWPOLYLINE")
        .expect("there is an outline");
    let flags = polyline
        + lines[polyline..]
            .iter()
            .position(|&line| line == "70")
            .expect("it has flags");
    published::row("J027").check_text(lines[flags + 1]);

    let inches = DxfOptions {
        unit: DxfUnit::Inch,
        ..DxfOptions::default()
    };
    let text = write_dxf(&Drawing::of_part(&plate()), inches);
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    let at = lines
        .iter()
        .position(|&line| line == "$INSUNITS")
        .expect("the unit is in the file");
    published::row("J023").check_text(lines[at + 2]);

    // A positive bulge turns counter-clockwise: the belly of an arc from left to right hangs below, so the loop closed
    // by the chord above it has a positive area.
    let read = read_dxf(&write_dxf(
        &Drawing {
            loops: vec![Loop {
                layer: Layer::Outline,
                vertices: vec![arc(0.0, 0.0, 1.0), line(2.0, 0.0)],
            }],
            ..Drawing::default()
        },
        DxfOptions::default(),
    ))
    .expect("a half disc reads back");
    let turns = if read.loops[0].area() > 0.0 { "CCW" } else { "CW" };
    published::row("J022").check_text(turns);
}

#[test]
fn an_unknown_unit_is_told_as_none() {
    let row = published::row("J025");
    let text = write_dxf(&Drawing::of_part(&plate()), DxfOptions::default());
    let unitless = text.replace(
        "$INSUNITS\n 70\n4\n",
        &format!("$INSUNITS\n 70\n{}\n", row.expected),
    );
    assert_ne!(unitless, text);
    assert_eq!(read_dxf(&unitless).expect("it still reads").unit, None);
}

#[test]
fn up_and_down_lie_on_layers_of_their_own() {
    let mut part = plate();
    part.bends[0].way = Way::Down;
    let read = read_dxf(&write_dxf(&Drawing::of_part(&part), DxfOptions::default())).expect("it reads");
    assert_eq!(read.lines[0].layer, Layer::BendDown.name());
    let up = read_dxf(&write_dxf(&Drawing::of_part(&plate()), DxfOptions::default())).expect("it reads");
    assert_eq!(up.lines[0].layer, Layer::BendUp.name());
}

#[test]
fn a_hole_that_is_not_where_the_part_has_it_is_told() {
    let mut part = plate();
    part.blank.openings[0] = Some(OpeningShape::Round {
        at: Point::new(20.3, 60.70001),
        dia_mm: 8.5,
    });
    let told = written_and_read_back(&part, DxfOptions::default());
    assert!(
        matches!(told, Err(DxfMismatch::Hole { ref name, .. }) if name == "H1"),
        "{told:?}"
    );
}

#[test]
fn a_file_cut_short_is_told_with_its_line() {
    let text = write_dxf(&Drawing::of_part(&plate()), DxfOptions::default());
    let half: String = text.lines().take(301).map(|line| format!("{line}\n")).collect();
    assert_eq!(
        read_dxf(&half),
        Err(DxfReadError::Grain(GrainError::EndsEarly { line: 301 }))
    );
    assert_eq!(
        read_dxf(""),
        Err(DxfReadError::Grain(GrainError::EndsEarly { line: 0 }))
    );
    let letters = text.replacen("  0\nSECTION", "zero\nSECTION", 1);
    assert!(matches!(
        read_dxf(&letters),
        Err(DxfReadError::Grain(GrainError::NoCode { .. }))
    ));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_number_in_the_file_reads_back_as_itself(
        x in -1e4..1e4_f64, y in -1e-9..1e-9_f64, bulge in -3.0..3.0_f64, dia in 1e-6..1e3_f64,
    ) {
        let drawing = Drawing {
            loops: vec![Loop { layer: Layer::Outline, vertices: vec![arc(x, y, bulge), line(y, x)] }],
            circles: vec![Circle { layer: Layer::Openings, centre: Point::new(y, x), dia_mm: dia }],
            ..Drawing::default()
        };
        for version in [DxfVersion::R2000, DxfVersion::R12] {
            let options = DxfOptions { version, ..DxfOptions::default() };
            let read = read_dxf(&write_dxf(&drawing, options)).expect("it reads");
            prop_assert_eq!(read.loops[0].corners[0], (Point::new(x, y), bulge));
            prop_assert_eq!(read.circles[0].radius, dia / 2.0);
        }
    }

    #[test]
    fn a_damaged_file_never_panics(cut in 0.0..1.0_f64, at in 0.0..1.0_f64, with in "[ -~\n]{0,6}") {
        let text = write_dxf(&Drawing::of_part(&plate()), DxfOptions::default());
        let from = (text.len() as f64 * at) as usize;
        let to = (from + (20.0 * cut) as usize).min(text.len());
        let damaged = format!("{}{with}{}", &text[..from], &text[to..]);
        let _ = read_dxf(&damaged);
    }
}
