//! Drawings as they come from elsewhere: plain, untidy, broken and hostile.

use std::f64::consts::PI;

use plane::Point;
use proptest::prelude::*;

use super::*;

/// Pairs of code and value as a file writes them.
fn pairs_text(pairs: &[(i32, &str)]) -> String {
    pairs
        .iter()
        .map(|(code, value)| format!("{code:>3}\n{value}\n"))
        .collect()
}

fn header(code: i64) -> String {
    pairs_text(&[
        (0, "SECTION"),
        (2, "HEADER"),
        (9, "$INSUNITS"),
        (70, &code.to_string()),
        (0, "ENDSEC"),
    ])
}

/// A file in mm with these entities.
fn in_mm(entities: &str) -> String {
    format!("{}{}", header(4), bare(entities))
}

/// A file that does not say its unit.
fn bare(entities: &str) -> String {
    format!(
        "{}{entities}{}",
        pairs_text(&[(0, "SECTION"), (2, "ENTITIES")]),
        pairs_text(&[(0, "ENDSEC"), (0, "EOF")])
    )
}

fn entity(kind: &str, groups: &[(i32, f64)]) -> String {
    let numbers: String = groups
        .iter()
        .map(|(code, value)| format!("{code:>3}\n{value}\n"))
        .collect();
    format!("  0\n{kind}\n  8\n0\n{numbers}")
}

fn line(from: (f64, f64), to: (f64, f64)) -> String {
    entity("LINE", &[(10, from.0), (20, from.1), (11, to.0), (21, to.1)])
}

fn circle(x: f64, y: f64, dia: f64) -> String {
    entity("CIRCLE", &[(10, x), (20, y), (40, dia / 2.0)])
}

fn arc(x: f64, y: f64, radius: f64, from_deg: f64, to_deg: f64) -> String {
    entity(
        "ARC",
        &[(10, x), (20, y), (40, radius), (50, from_deg), (51, to_deg)],
    )
}

/// Whole numbers must be written without a point.
fn polyline(corners: &[(f64, f64, f64)], closed: bool) -> String {
    let head = format!(
        "  0\nLWPOLYLINE\n  8\nEDGE\n 90\n{}\n 70\n{}\n",
        corners.len(),
        i32::from(closed)
    );
    let places: String = corners
        .iter()
        .map(|(x, y, bulge)| format!(" 10\n{x}\n 20\n{y}\n 42\n{bulge}\n"))
        .collect();
    format!("{head}{places}")
}

fn rectangle(x: f64, y: f64, width: f64, height: f64) -> String {
    let corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)];
    (0..4).map(|i| line(corners[i], corners[(i + 1) % 4])).collect()
}

fn imported(text: &str) -> Imported {
    match import_dxf(text.as_bytes(), &ImportOptions::default()) {
        Ok(Answer::Outlines(imported)) => imported,
        other => panic!("{other:?}"),
    }
}

fn refused(text: &str) -> ImportError {
    import_dxf(text.as_bytes(), &ImportOptions::default()).expect_err("it must be refused")
}

fn area_mm2(imported: &Imported) -> f64 {
    imported.regions.iter().map(Region::area_mm2).sum()
}

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
fn open_ends_are_joined_up_to_a_twentieth_and_no_farther() {
    let gap = |mm: f64| {
        in_mm(
            &[
                line((0.0, 0.0), (50.0, 0.0)),
                line((50.0, 0.0), (50.0, 30.0)),
                line((50.0, 30.0), (0.0, 30.0)),
                line((0.0, 30.0), (0.0, mm)),
            ]
            .concat(),
        )
    };
    let joined = imported(&gap(0.049));
    let [Note::Joined { at, gap_mm }] = joined.notes[..] else {
        panic!("{:?}", joined.notes)
    };
    assert!((gap_mm - 0.049).abs() < 1e-9 && at.coords.norm() < 0.05);
    assert!((area_mm2(&joined) - 1500.0).abs() < 1.0);
    let ImportError::NothingClosed { notes } = refused(&gap(0.051)) else {
        panic!()
    };
    assert!(
        matches!(notes[..], [Note::LeftOpen { line: 16, .. }]),
        "{notes:?}"
    );
}

#[test]
fn doubled_lines_and_outlines_are_taken_once_and_said() {
    let text = in_mm(
        &[
            rectangle(0.0, 0.0, 50.0, 30.0),
            line((50.0, 0.0), (0.0, 0.0)),
            line((0.0, 30.0), (0.0, 0.004)),
            circle(20.0, 15.0, 10.0),
            circle(20.0, 15.0, 10.0),
            polyline(
                &[
                    (0.0, 0.0, 0.0),
                    (25.0, 0.0, 0.0),
                    (50.0, 0.0, 0.0),
                    (50.0, 30.0, 0.0),
                    (0.0, 30.0, 0.0),
                ],
                true,
            ),
        ]
        .concat(),
    );
    let imported = imported(&text);
    assert!((area_mm2(&imported) - (1500.0 - 25.0 * PI)).abs() < 1e-9);
    // Three sides of the rectangle lie on the polyline, the fourth is split there; it is left open and said.
    let doubled: usize = imported
        .notes
        .iter()
        .map(|note| match note {
            Note::DoubledEdges { count } | Note::DoubledOutlines { count } => *count,
            _ => 0,
        })
        .sum();
    assert!(doubled >= 5, "{:?}", imported.notes);
}

#[test]
fn the_unit_is_asked_when_the_file_is_silent_or_makes_no_plate() {
    let drawn = rectangle(0.0, 0.0, 4.0, 2.0);
    let ask = |text: &str| match import_dxf(text.as_bytes(), &ImportOptions::default()) {
        Ok(Answer::AskUnits {
            why,
            if_mm,
            if_inch_mm,
        }) => (why, if_mm, if_inch_mm),
        other => panic!("{other:?}"),
    };
    let (why, if_mm, if_inch_mm) = ask(&bare(&drawn));
    assert_eq!(why, WhyAsk::Silent);
    assert!((if_mm[0] - 4.0).abs() < 1e-9 && (if_inch_mm[0] - 101.6).abs() < 1e-9);
    assert!((if_mm[1] - 2.0).abs() < 1e-9 && (if_inch_mm[1] - 50.8).abs() < 1e-9);
    assert_eq!(published::row("J025").expected, "0");
    assert_eq!(ask(&format!("{}{}", header(0), bare(&drawn))).0, WhyAsk::Silent);
    let (why, if_mm, _) = ask(&in_mm(&drawn));
    assert_eq!(
        why,
        WhyAsk::Implausible {
            unit: DrawingUnit::Millimetre
        }
    );
    assert!((if_mm[0] - 4.0).abs() < 1e-9);
    let options = ImportOptions {
        unit: Some(DrawingUnit::Inch),
        ..ImportOptions::default()
    };
    let Ok(Answer::Outlines(told)) = import_dxf(bare(&drawn).as_bytes(), &options) else {
        panic!()
    };
    assert!((area_mm2(&told) - 8.0 * 25.4 * 25.4).abs() < 1e-6);
    for (id, unit) in [("J023", DrawingUnit::Inch), ("J024", DrawingUnit::Millimetre)] {
        let code = published::row(id).expected_number() as i64;
        assert_eq!(DrawingUnit::of_code(code), Some(unit));
    }
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
fn words_and_dimensions_are_left_out_and_counted() {
    let text = in_mm(
        &[
            rectangle(0.0, 0.0, 50.0, 30.0),
            "  0\nTEXT\n  8\n0\n  1\nhello\n".repeat(3),
            "  0\nDIMENSION\n  8\n0\n".to_owned(),
            "  0\n3DSOLID\n  8\n0\n".to_owned(),
            line((60.0, 0.0), (70.0, 0.0)),
            circle(10.0, 10.0, 0.0),
            format!("{} 67\n1\n", circle(10.0, 10.0, 5.0)),
        ]
        .concat(),
    );
    let notes = imported(&text).notes;
    let kind = |kind: &str, count| Note::Ignored {
        kind: kind.to_owned(),
        count,
    };
    assert!(notes.contains(&kind("TEXT", 3)), "{notes:?}");
    assert!(notes.contains(&kind("DIMENSION", 1)), "{notes:?}");
    assert!(
        notes.contains(&Note::NotRead {
            kind: "3DSOLID".to_owned(),
            count: 1
        }),
        "{notes:?}"
    );
    assert!(notes.contains(&Note::WithoutSize { count: 1 }), "{notes:?}");
    assert!(notes.contains(&Note::Hidden { count: 1 }), "{notes:?}");
    assert!(
        notes.iter().any(|note| matches!(note, Note::LeftOpen { .. })),
        "{notes:?}"
    );
    assert!(notes.iter().all(|note| !note.to_string().is_empty()));
}

#[test]
fn what_gives_no_outline_is_told_with_its_line() {
    assert!(matches!(
        refused("zero\nSECTION\n"),
        ImportError::NoCode { line: 1, .. }
    ));
    assert!(matches!(refused("  0\n"), ImportError::EndsEarly { line: 1 }));
    assert!(matches!(refused(""), ImportError::NoEntities));
    assert!(matches!(
        refused("  0\nSECTION\n  2\nENTITIES\n"),
        ImportError::EndsEarly { line: 4 }
    ));
    assert!(matches!(refused(&in_mm("")), ImportError::NothingDrawn));
    assert!(matches!(
        refused(&in_mm("  0\nLINE\n 10\nx\n")),
        ImportError::NoNumber {
            code: 10,
            line: 18,
            ..
        }
    ));
    assert!(matches!(
        refused(&in_mm("  0\nLINE\n 10\n1.0\n")),
        ImportError::Missing {
            code: 20,
            line: 16,
            ..
        }
    ));
    assert!(matches!(
        refused(&in_mm("  0\nLINE\n 10\n1e300\n")),
        ImportError::NoNumber { .. }
    ));
    assert!(matches!(
        refused(&in_mm("  0\nVERTEX\n  8\n0\n")),
        ImportError::OutOfPlace { .. }
    ));
    let bow_tie = polyline(
        &[
            (0.0, 0.0, 0.0),
            (50.0, 30.0, 0.0),
            (50.0, 0.0, 0.0),
            (0.0, 30.0, 0.0),
        ],
        true,
    );
    assert!(matches!(
        refused(&in_mm(&bow_tie)),
        ImportError::CrossesItself { line: 16, .. }
    ));
    let overlap = [circle(0.0, 0.0, 20.0), circle(15.0, 0.0, 20.0)].concat();
    assert!(matches!(
        refused(&in_mm(&overlap)),
        ImportError::OutlinesMeet {
            first: 16,
            second: 26,
            ..
        }
    ));
    let fork = [rectangle(0.0, 0.0, 50.0, 30.0), line((0.0, 0.0), (-20.0, 0.0))].concat();
    assert!(matches!(
        refused(&in_mm(&fork)),
        ImportError::Branches { ends: 3, .. }
    ));
    assert_eq!(
        import_dxf(b"ab\0c", &ImportOptions::default()),
        Err(ImportError::NotText)
    );
    assert!(matches!(
        import_dxf(
            in_mm(&circle(0.0, 0.0, 20.0)).as_bytes(),
            &ImportOptions {
                flatten_mm: 0.0,
                ..ImportOptions::default()
            }
        ),
        Err(ImportError::NoTolerance { .. })
    ));
}

#[test]
fn blocks_without_end_and_without_measure_are_refused() {
    let insert =
        |name: &str, more: &str| format!("  0\nINSERT\n  8\n0\n  2\n{name}\n 10\n0.0\n 20\n0.0\n{more}");
    let block = |name: &str, body: &str| format!("  0\nBLOCK\n  8\n0\n  2\n{name}\n{body}  0\nENDBLK\n");
    let file = |blocks: &str| {
        format!(
            "{}  0\nSECTION\n  2\nBLOCKS\n{blocks}  0\nENDSEC\n{}",
            header(4),
            bare(&insert("A", ""))
        )
    };
    assert!(matches!(
        refused(&file(&block("A", &insert("A", "")))),
        ImportError::TooDeep { .. }
    ));
    // Ten of ten of ten and so on, of nothing.
    let doubling: String = (0..12)
        .map(|i| {
            let name = char::from(b'A' + i).to_string();
            let next = char::from(b'B' + i).to_string();
            block(&name, &insert(&next, " 70\n10\n 71\n10\n"))
        })
        .chain([block("M", "")])
        .collect();
    assert!(matches!(refused(&file(&doubling)), ImportError::TooMany { .. }));
    let wide = block("A", &insert("B", " 70\n999999999\n 71\n999999999\n")) + &block("B", "");
    assert!(matches!(refused(&file(&wide)), ImportError::TooMany { .. }));
    let many = block("A", &insert("B", " 70\n900\n 71\n900\n")) + &block("B", &circle(0.0, 0.0, 10.0));
    assert!(matches!(refused(&file(&many)), ImportError::TooMany { .. }));
}

#[test]
fn a_tangle_is_refused_and_takes_no_long_time() {
    // Every line crosses every other.
    let tangle: String = (0..60_000)
        .map(|i| {
            let turn = f64::from(i) / 60_000.0 * PI;
            let (x, y) = (100.0 * turn.cos(), 100.0 * turn.sin());
            let (right, up) = (-0.5 * turn.sin(), 0.5 * turn.cos());
            polyline(&[(x, y, 0.0), (-x, -y, 0.0), (-x + right, -y + up, 0.0)], true)
        })
        .collect();
    let started = std::time::Instant::now();
    let why = refused(&in_mm(&tangle));
    let took = started.elapsed();
    assert!(
        matches!(why, ImportError::TooTangled | ImportError::OutlinesMeet { .. }),
        "{why:?}"
    );
    assert!(took.as_secs() < 20, "{took:?}");
}

#[test]
fn ten_thousand_edges_come_in_within_half_a_second() {
    // 1,200 holes of four lines each, 1,300 circles of two halves, and an outside of 2,600 short lines.
    let mut text = String::new();
    for i in 0..1200 {
        let (column, row) = (f64::from(i % 40), f64::from(i / 40));
        text.push_str(&rectangle(20.0 + 20.0 * column, 20.0 + 20.0 * row, 8.0, 6.0));
    }
    for i in 0..1300 {
        let (column, row) = (f64::from(i % 40), f64::from(i / 40));
        text.push_str(&circle(34.0 + 20.0 * column, 34.0 + 17.0 * row, 4.0));
    }
    let text = {
        let around: Vec<(f64, f64)> = (0..2600)
            .map(|i| {
                let turn = f64::from(i) / 2600.0 * 2.0 * PI;
                (410.0 + 700.0 * turn.cos(), 310.0 + 700.0 * turn.sin())
            })
            .collect();
        let outside: String = (0..2600)
            .map(|i| line(around[i], around[(i + 1) % 2600]))
            .collect();
        in_mm(&format!("{outside}{}", text.replace("zzz", "")))
    };
    // The best of three, because others may be at work on the same machine.
    let timed = || {
        let started = std::time::Instant::now();
        let answer = import_dxf(text.as_bytes(), &ImportOptions::default());
        (started.elapsed(), answer)
    };
    let (first, answer) = timed();
    let took = first.min(timed().0).min(timed().0);
    match answer {
        Ok(Answer::Outlines(imported)) => {
            let edges: usize = imported
                .regions
                .iter()
                .flat_map(Region::outlines)
                .map(plane::Outline::len)
                .sum();
            assert_eq!(edges, 10_000);
        }
        Err(ImportError::OutlinesMeet { .. }) => panic!("the test's own holes meet: {answer:?}"),
        other => panic!("{other:?}"),
    }
    assert!(took.as_millis() < 500, "{took:?}");
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

/// A drawing with one of everything.
fn one_of_each() -> String {
    in_mm(
        &[
            rectangle(0.0, 0.0, 100.0, 80.0),
            circle(20.0, 20.0, 8.0),
            polyline(
                &[
                    (40.0, 10.0, 0.0),
                    (60.0, 10.0, 1.0),
                    (60.0, 20.0, 0.0),
                    (40.0, 20.0, 1.0),
                ],
                true,
            ),
            entity(
                "ELLIPSE",
                &[(10, 50.0), (20, 60.0), (11, 10.0), (21, 0.0), (40, 0.5)],
            ),
            arc(20.0, 60.0, 5.0, 0.0, 180.0),
            line((15.0, 60.0), (25.0, 60.0)),
        ]
        .concat(),
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn any_bytes_give_an_answer_or_an_error(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = import_dxf(&bytes, &ImportOptions::default());
    }

    #[test]
    fn a_damaged_drawing_gives_an_answer_or_an_error(
        at in 0.0..1.0_f64, length in 0..30_usize, with in "[ -~\n]{0,12}",
    ) {
        let text = one_of_each();
        let from = (text.len() as f64 * at) as usize;
        let to = (from + length).min(text.len());
        let damaged = format!("{}{with}{}", &text[..from], &text[to..]);
        let _ = import_dxf(damaged.as_bytes(), &ImportOptions::default());
    }

    #[test]
    fn any_groups_give_an_answer_or_an_error(
        entities in prop::collection::vec(
            (
                prop::sample::select(vec!["LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "VERTEX", "SEQEND", "SPLINE", "ELLIPSE", "INSERT", "TEXT"]),
                prop::collection::vec(
                    (prop::sample::select(vec![2, 10, 20, 11, 21, 40, 41, 42, 44, 45, 50, 51, 70, 71, 210, 230]),
                     prop_oneof![(-50..50_i32).prop_map(|n| n.to_string()), any::<f64>().prop_map(|x| x.to_string()), Just("A".to_owned())]),
                    0..16,
                ),
            ),
            0..12,
        ),
    ) {
        let body: String = entities
            .iter()
            .map(|(kind, groups)| {
                let groups: String = groups.iter().map(|(code, value)| format!("{code}\n{value}\n")).collect();
                format!("0\n{kind}\n{groups}")
            })
            .collect();
        let blocks = format!("0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nA\n{}0\nENDBLK\n0\nENDSEC\n", body);
        let _ = import_dxf(in_mm(&body).as_bytes(), &ImportOptions::default());
        let _ = import_dxf(format!("{}{blocks}{}", header(4), bare(&body)).as_bytes(), &ImportOptions::default());
    }

    #[test]
    fn a_plate_in_any_order_any_way_round_and_any_place_is_the_same_plate(
        order in Just((0..8_usize).collect::<Vec<_>>()).prop_shuffle(),
        backward in prop::collection::vec(any::<bool>(), 8),
        x in -900.0..900.0_f64,
        y in -900.0..900.0_f64,
    ) {
        let corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (40.0, 20.0), (40.0, 50.0), (20.0, 50.0), (20.0, 20.0), (0.0, 20.0)];
        let text: String = order
            .iter()
            .map(|&i| {
                let at = |i: usize| (corners[i % 8].0 + x, corners[i % 8].1 + y);
                // As many drawings are written: three decimals.
                let rounded = |(x, y): (f64, f64)| ((x * 1e3).round() / 1e3, (y * 1e3).round() / 1e3);
                let (from, to) = (rounded(at(i)), rounded(at(i + 1)));
                if backward[i] { line(to, from) } else { line(from, to) }
            })
            .collect();
        let read = imported(&in_mm(&text));
        prop_assert_eq!(read.regions.len(), 1);
        prop_assert!((area_mm2(&read) - 1800.0).abs() < 0.2);
        prop_assert!(read.notes.is_empty());
    }
}
