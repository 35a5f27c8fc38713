//! Drawings as they should be: every kind of entity, blocks, curves, holes within holes.

use std::f64::consts::PI;

use plane::Point;

use super::*;

#[test]
fn lines_arcs_and_circles_become_a_plate_with_its_holes() {
    // A plate of 100 x 60 with one corner of 10, drawn in no order and some lines backward.
    let text = in_mm(
        &[
            line((100.0, 50.0), (100.0, 0.0)),
            arc(90.0, 50.0, 10.0, 0.0, 90.0),
            line((0.0, 0.0), (100.0, 0.0)),
            circle(20.0, 30.0, 8.5),
            line((0.0, 60.0), (90.0, 60.0)),
            line((0.0, 0.0), (0.0, 60.0)),
        ]
        .concat(),
    );
    let imported = imported(&text);
    let [plate] = &imported.regions[..] else {
        panic!("{imported:?}")
    };
    let wanted = 6000.0 - (100.0 - 25.0 * PI) - PI * 8.5 * 8.5 / 4.0;
    assert!((plate.area_mm2() - wanted).abs() < 1e-9);
    assert_eq!(
        plate.holes[0].as_circle().map(|(at, _)| at),
        Some(Point::new(20.0, 30.0))
    );
    assert_eq!(
        plate
            .outer
            .segments()
            .filter(|edge| edge.turn_rad() != 0.0)
            .count(),
        1,
        "the corner stays an arc"
    );
    assert!(imported.notes.is_empty(), "{:?}", imported.notes);
    Region::new(plate.outer.clone(), plate.holes.clone()).expect("it is a region by every rule");
}

#[test]
fn polylines_of_both_kinds_read_alike() {
    let light = polyline(
        &[
            (0.0, 0.0, 0.0),
            (40.0, 0.0, 1.0),
            (40.0, 20.0, 0.0),
            (0.0, 20.0, 1.0),
        ],
        true,
    );
    let vertex = |x: f64, y: f64, bulge: f64| entity("VERTEX", &[(10, x), (20, y), (42, bulge)]);
    let old = [
        "  0\nPOLYLINE\n  8\nEDGE\n 66\n1\n 70\n1\n".to_owned(),
        vertex(0.0, 0.0, 0.0),
        vertex(40.0, 0.0, 1.0),
        vertex(40.0, 20.0, 0.0),
        vertex(0.0, 20.0, 1.0),
        "  0\nSEQEND\n  8\nEDGE\n".to_owned(),
    ]
    .concat();
    let (light, old) = (imported(&in_mm(&light)), imported(&in_mm(&old)));
    assert_eq!(light.regions, old.regions);
    assert!((area_mm2(&light) - (800.0 + 100.0 * PI)).abs() < 1e-9);
    assert_eq!(light.layers, ["EDGE"]);
}

#[test]
fn outlines_nest_to_any_depth() {
    let text = in_mm(
        &[
            rectangle(0.0, 0.0, 100.0, 100.0),
            rectangle(10.0, 10.0, 80.0, 80.0),
            rectangle(20.0, 20.0, 60.0, 60.0),
            circle(50.0, 50.0, 10.0),
            rectangle(200.0, 0.0, 30.0, 30.0),
        ]
        .concat(),
    );
    let imported = imported(&text);
    let areas: Vec<f64> = imported
        .regions
        .iter()
        .map(|region| region.area_mm2().round())
        .collect();
    assert_eq!(areas, [3600.0, 3521.0, 900.0]);
}

#[test]
fn bulges_turn_through_the_published_angles() {
    for row in published::rows("bulge = tan(angle/4)") {
        let sweep_deg = row.number("sweep_deg");
        let text = in_mm(&polyline(
            &[(0.0, 0.0, row.expected_number()), (20.0, 0.0, 0.0)],
            true,
        ));
        let region = &imported(&text).regions[0];
        let turned = region
            .outer
            .segments()
            .map(|edge| edge.turn_rad().to_degrees())
            .fold(0.0, |sum: f64, turn| sum + turn);
        assert!((turned.abs() - sweep_deg.abs()).abs() < 1e-4, "{row}: {turned}");
        // A positive bulge turns counter-clockwise, so the belly of an arc from left to right hangs below.
        let belly = region.bounds().0.y;
        assert_eq!(belly < -1.0, sweep_deg > 0.0, "{row}");
    }
}

#[test]
fn splines_and_ellipses_lie_within_the_tolerance() {
    let whole = entity(
        "ELLIPSE",
        &[(10, 5.0), (20, -3.0), (11, 30.0), (21, 40.0), (40, 0.5)],
    );
    for flatten_mm in [0.1, 0.02, 0.001] {
        let options = ImportOptions {
            flatten_mm,
            ..ImportOptions::default()
        };
        let Ok(Answer::Outlines(round)) = import_dxf(in_mm(&whole).as_bytes(), &options) else {
            panic!()
        };
        assert_eq!(
            round.notes,
            [Note::Flattened {
                count: 1,
                within_mm: flatten_mm
            }]
        );
        let outline = &round.regions[0].outer;
        let major = plane::Vector::new(30.0, 40.0);
        let minor = plane::Vector::new(-40.0, 30.0) * 0.5;
        for i in 0..5000 {
            let u = f64::from(i) / 5000.0 * 2.0 * PI;
            let at = Point::new(5.0, -3.0) + major * u.cos() + minor * u.sin();
            let off = outline.distance_to(at).0;
            assert!(off <= flatten_mm, "{flatten_mm}: {off}");
        }
    }
    // A closed cubic of four equal arcs' worth of control points, with a line across it to close half of it.
    let spline = [
        "  0\nSPLINE\n  8\n0\n 70\n8\n 71\n3\n 72\n8\n 73\n4\n".to_owned(),
        [0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0]
            .map(|k| format!(" 40\n{k}\n"))
            .concat(),
        [(0.0, 0.0), (0.0, 40.0), (60.0, 40.0), (60.0, 0.0)]
            .map(|(x, y)| format!(" 10\n{x}\n 20\n{y}\n 30\n0.0\n"))
            .concat(),
        line((0.0, 0.0), (60.0, 0.0)),
    ]
    .concat();
    let bow = imported(&in_mm(&spline));
    // Area under the cubic of Bernstein: the integral of y dx = 60 * 40 * 3 / 5 ... by sampling.
    let at = |u: f64| {
        let (a, b, c, d) = (
            (1.0 - u).powi(3),
            3.0 * u * (1.0 - u).powi(2),
            3.0 * u * u * (1.0 - u),
            u.powi(3),
        );
        Point::new(60.0 * (c + d), 40.0 * (b + c)) + plane::Vector::new(0.0 * a, 0.0)
    };
    for i in 0..=2000 {
        let off = bow.regions[0].outer.distance_to(at(f64::from(i) / 2000.0)).0;
        assert!(off <= 0.02, "{off}");
    }
}

#[test]
fn blocks_are_laid_out_turned_scaled_mirrored_and_repeated() {
    let block = |name: &str, entities: &str| {
        format!(
            "{}{entities}{}",
            pairs_text(&[
                (0, "BLOCK"),
                (8, "0"),
                (2, name),
                (70, "0"),
                (10, "5.0"),
                (20, "0.0")
            ]),
            pairs_text(&[(0, "ENDBLK"), (8, "0")])
        )
    };
    let half_moon = [arc(5.0, 0.0, 10.0, 0.0, 180.0), line((-5.0, 0.0), (15.0, 0.0))].concat();
    let blocks = format!(
        "{}{}{}{}",
        pairs_text(&[(0, "SECTION"), (2, "BLOCKS")]),
        block("MOON", &half_moon),
        block(
            "PAIR",
            "  0\nINSERT\n  8\n0\n  2\nMOON\n 10\n5.0\n 20\n0.0\n 41\n-1.0\n 50\n90.0\n"
        ),
        pairs_text(&[(0, "ENDSEC")])
    );
    let file = |insert: &str| format!("{}{blocks}{}", header(4), bare(insert));
    let moon_mm2 = 50.0 * PI;
    let plain = imported(&file("  0\nINSERT\n  8\n0\n  2\nMOON\n 10\n100.0\n 20\n50.0\n"));
    let (low, high) = plain.regions[0].bounds();
    assert!((low - Point::new(90.0, 50.0)).norm() < 1e-9 && (high - Point::new(110.0, 60.0)).norm() < 1e-9);
    // Mirrored about its own y axis, then turned by a quarter: the belly looks left.
    let turned = imported(&file("  0\nINSERT\n  8\n0\n  2\nPAIR\n 10\n0.0\n 20\n0.0\n"));
    let (low, high) = turned.regions[0].bounds();
    assert!((low - Point::new(-10.0, -10.0)).norm() < 1e-9, "{low}");
    assert!((high - Point::new(0.0, 10.0)).norm() < 1e-9, "{high}");
    assert!((area_mm2(&turned) - moon_mm2).abs() < 1e-9);
    // Twice as wide as high: no circle any more.
    let wide = imported(&file(
        "  0\nINSERT\n  8\n0\n  2\nMOON\n 10\n0.0\n 20\n0.0\n 41\n2.0\n",
    ));
    assert!((area_mm2(&wide) - 2.0 * moon_mm2).abs() < 1.0);
    let rows = imported(&file(
        "  0\nINSERT\n  8\n0\n  2\nMOON\n 10\n0.0\n 20\n0.0\n 70\n3\n 71\n2\n 44\n30.0\n 45\n20.0\n",
    ));
    assert_eq!(rows.regions.len(), 6);
    assert!(matches!(
        refused(&file("  0\nINSERT\n  8\n0\n  2\nSUN\n 10\n0.0\n 20\n0.0\n")),
        ImportError::NoBlock { .. }
    ));
}

#[test]
fn what_is_seen_from_below_is_mirrored() {
    let text = in_mm(
        "  0\nLWPOLYLINE\n  8\n0\n 70\n1\n 10\n0.0\n 20\n0.0\n 10\n40.0\n 20\n0.0\n 10\n40.0\n 20\n10.0\n210\n0.0\n220\n0.0\n230\n-1.0\n",
    );
    let (low, high) = imported(&text).regions[0].bounds();
    assert_eq!((low, high), (Point::new(-40.0, 0.0), Point::new(0.0, 10.0)));
}

#[test]
fn a_blank_of_our_own_comes_back() {
    use crate::dxf::{Circle, Drawing, DxfOptions, DxfUnit, DxfVersion, Layer, Line, Loop, write_dxf};
    let outer =
        plane::Outline::rectangle(Point::new(0.0, 0.0), Point::new(120.0, 80.0)).expect("a rectangle");
    let drawing = Drawing {
        loops: vec![Loop {
            layer: Layer::Outline,
            vertices: outer.vertices().to_vec(),
        }],
        circles: vec![Circle {
            layer: Layer::Openings,
            centre: Point::new(20.0, 20.0),
            dia_mm: 8.5,
        }],
        lines: vec![Line {
            layer: Layer::BendUp,
            from: Point::new(0.0, 40.0),
            to: Point::new(120.0, 40.0),
        }],
        ..Drawing::default()
    };
    for version in [DxfVersion::R2000, DxfVersion::R12] {
        for unit in [DxfUnit::Millimetre, DxfUnit::Inch] {
            let text = write_dxf(&drawing, DxfOptions { version, unit });
            let options = ImportOptions {
                unit: Some(match unit {
                    DxfUnit::Millimetre => DrawingUnit::Millimetre,
                    DxfUnit::Inch => DrawingUnit::Inch,
                }),
                ..ImportOptions::default()
            };
            let Ok(Answer::Outlines(read)) = import_dxf(text.as_bytes(), &options) else {
                panic!()
            };
            let wanted = 9600.0 - PI * 8.5 * 8.5 / 4.0;
            assert!((area_mm2(&read) - wanted).abs() < 1e-8);
            assert!(
                matches!(read.notes[..], [Note::LeftOpen { .. }]),
                "{:?}",
                read.notes
            );
            let without = ImportOptions {
                without_layers: vec![Layer::BendUp.name().to_owned()],
                ..options
            };
            let Ok(Answer::Outlines(read)) = import_dxf(text.as_bytes(), &without) else {
                panic!()
            };
            assert_eq!(read.notes, [Note::Hidden { count: 1 }]);
        }
    }
}
