//! Drawings as they come: gaps, doubled lines, words, no unit.

use std::f64::consts::PI;

use super::*;

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
fn a_line_over_a_part_of_another_is_dropped() {
    let text = in_mm(
        &[
            line((0.0, 0.0), (20.0, 0.0)),
            rectangle(0.0, 0.0, 50.0, 30.0),
            line((50.0, 10.0), (50.0, 30.004)),
            arc(80.0, 15.0, 10.0, 0.0, 180.0),
            line((70.0, 15.0), (90.0, 15.0)),
            arc(80.0, 15.0, 10.0, 90.0, 180.0),
        ]
        .concat(),
    );
    let imported = imported(&text);
    assert_eq!(imported.notes, [Note::DoubledEdges { count: 3 }]);
    assert!((area_mm2(&imported) - (1500.0 + 50.0 * std::f64::consts::PI)).abs() < 0.1);
}
