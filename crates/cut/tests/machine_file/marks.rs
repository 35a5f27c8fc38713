//! The program that marks: written in several dialects, damaged, and on random sheets.

use cut::gcode::{
    Comments, Dialect, Heights, Marking, MarkingStep, OnOff, Parking, ProgramError, ProgramUnit,
    checked_marks, write_marks,
};
use cut::verify::{AskedMark, AskedMarks, MachineWords, MarkHeights, Wrong, verify, verify_marks};
use plane::{Outline, Point, Region, Vector};
use proptest::prelude::*;

use crate::sheet::{Sheet, TORCH, two_parts};
use crate::sheets::{count, sheet};

const FEED_MM_MIN: f64 = 3000.0;

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn scriber() -> Dialect {
    Dialect {
        marker: Some(OnOff::new("M64 P2", "M65 P2")),
        ..Dialect::default()
    }
}

fn line(name: &str, from: Point, to: Point) -> (MarkingStep, AskedMark) {
    let step = MarkingStep {
        name: name.into(),
        via: Vec::new(),
        strokes: vec![[from, to]],
    };
    (step, AskedMark::Line { from, to })
}

fn cross(name: &str, at: Point, size_mm: f64, turned_rad: f64) -> (MarkingStep, AskedMark) {
    let half = Vector::new(turned_rad.cos(), turned_rad.sin()) * (size_mm / 2.0);
    let across = Vector::new(-half.y, half.x);
    let step = MarkingStep {
        name: name.into(),
        via: Vec::new(),
        strokes: vec![[at - half, at + half], [at + across, at - across]],
    };
    (step, AskedMark::Cross { at, size_mm })
}

/// Two ends of a bend and a centre, on the first plate of the sheet.
fn few() -> (Vec<MarkingStep>, Vec<AskedMark>) {
    [
        line("bend b1, end 1", p(40.0, 60.0), p(46.0, 60.0)),
        cross("the centre of pin", p(50.0, 100.0), 3.0, 0.3),
        line("bend b1, end 2", p(150.0, 60.0), p(144.0, 60.0)),
    ]
    .into_iter()
    .unzip()
}

fn marking(steps: &[MarkingStep]) -> Marking<'_> {
    Marking {
        steps,
        feed_mm_min: FEED_MM_MIN,
        park: Some(Parking {
            via: &[],
            at: Point::new(5.0, 5.0),
            over_mm: None,
        }),
    }
}

fn text_of(sheet: &Sheet, dialect: &Dialect) -> Result<String, Vec<Wrong>> {
    let (steps, asked) = few();
    checked_marks(&sheet.work(), &marking(&steps), &asked, dialect, &sheet.on())
}

fn scriber_words() -> MachineWords {
    MachineWords {
        marker: Some(["M64 P2".into(), "M65 P2".into()]),
        ..MachineWords::default()
    }
}

fn judged(text: &str, asked: &[AskedMark]) -> Result<(), Vec<Wrong>> {
    let sheet = two_parts();
    let asked = AskedMarks {
        marks: asked,
        feed_mm_min: FEED_MM_MIN,
        table: sheet.corners,
        clamps: &[],
        zero: sheet.zero,
        heights: Some(MarkHeights {
            mark_mm: TORCH.cut_height_mm,
            travel_mm: TORCH.travel_height_mm,
        }),
    };
    verify_marks(text, &scriber_words(), &asked).map(|_| ())
}

#[test]
fn the_marks_are_named_drawn_at_their_feed_and_nothing_is_lit() {
    let text = text_of(&two_parts(), &scriber()).expect("the marks are right");
    let from = text.find("( Mark bend b1, end 1 )").expect("the first is named");
    let lines: Vec<&str> = text[from..].lines().skip(1).take(6).collect();
    assert_eq!(
        lines,
        [
            "G0 X40.0000 Y60.0000",
            "G1 Z1.5000 F3000.000",
            "M64 P2",
            "G1 X46.0000 Y60.0000 F3000.000",
            "M65 P2",
            "G0 Z20.0000"
        ]
    );
    assert!(text.contains("( Mark the centre of pin )") && text.contains("before anything is cut"));
    assert_eq!(text.lines().filter(|line| *line == "M64 P2").count(), 4);
    assert!(!text.lines().any(|line| line == "M3"));
}

#[test]
fn each_dialect_that_has_words_for_a_marker_marks() {
    let beam = Dialect {
        torch: OnOff::new("M3 S1000", "M5"),
        marker: Some(OnOff::new("M3 S80", "M5")),
        ..Dialect::default()
    };
    let inch = Dialect {
        unit: ProgramUnit::Inch,
        decimals_n: 5,
        ..scriber()
    };
    let bare = Dialect {
        comments: Comments::None,
        heights: Heights::ByMachine,
        line_numbers: Some(10),
        height_control: Some(OnOff::new("M64 P1", "M65 P1")),
        ..scriber()
    };
    let mut sheet = two_parts();
    sheet.zero = p(300.0, -20.0);
    for dialect in [beam, inch, bare] {
        let text = text_of(&sheet, &dialect).unwrap_or_else(|wrong| panic!("{wrong:#?}"));
        assert!(
            !text.lines().any(|line| line.ends_with(&dialect.torch.on)),
            "{text}"
        );
    }
    let wrong = text_of(&sheet, &Dialect::default()).expect_err("no words");
    assert_eq!(wrong, [Wrong::NotWritten(ProgramError::NoMarker)]);
}

#[test]
fn a_mark_off_the_table_or_under_a_clamp_is_not_written() {
    let sheet = two_parts();
    let (steps, asked) = few();
    let mut on = sheet.on();
    on.table[1].x = 145.0;
    let wrong = checked_marks(&sheet.work(), &marking(&steps), &asked, &scriber(), &on).expect_err("off");
    assert!(
        wrong.iter().any(|w| matches!(w, Wrong::OffTable { .. })),
        "{wrong:?}"
    );
    let clamp = [Region::solid(
        Outline::rectangle(p(42.0, 55.0), p(44.0, 65.0)).expect("a clamp"),
    )];
    let mut on = sheet.on();
    on.clamps = &clamp;
    let wrong = checked_marks(&sheet.work(), &marking(&steps), &asked, &scriber(), &on).expect_err("clamped");
    assert!(
        wrong.iter().any(|w| matches!(w, Wrong::IntoClamp { .. })),
        "{wrong:?}"
    );
}

/// The program after a change to its lines, judged.
fn damaged(change: impl Fn(&mut Vec<String>)) -> Vec<Wrong> {
    let text = text_of(&two_parts(), &scriber()).expect("the marks are right");
    let (_, asked) = few();
    judged(&text, &asked).expect("it is right before it is damaged");
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    change(&mut lines);
    let worse = format!("{}\n", lines.join("\n"));
    assert_ne!(worse, text, "the change changes nothing");
    judged(&worse, &asked).expect_err("the damage must be caught")
}

/// Place of the nth line that is this one, from 0.
fn nth(lines: &[String], line: &str, n: usize) -> usize {
    let mut places = (0..lines.len()).filter(|place| lines[*place] == line);
    places
        .nth(n)
        .unwrap_or_else(|| panic!("{line} stands there {n} times"))
}

#[track_caller]
fn told(wrong: &[Wrong], is: impl Fn(&Wrong) -> bool) {
    assert!(wrong.iter().any(is), "{wrong:?}");
}

#[test]
fn a_mark_left_out_is_caught() {
    let wrong = damaged(|lines| {
        let at = nth(lines, "M64 P2", 0);
        lines.remove(at);
    });
    assert!(
        matches!(
            wrong[..],
            [Wrong::Height { .. }, .., Wrong::MarkLeftOut { mark: 0, .. }]
        ),
        "{wrong:?}"
    );
    // One stroke of a cross is no cross.
    let wrong = damaged(|lines| {
        let at = nth(lines, "M64 P2", 2);
        lines.drain(at - 2..at + 4);
    });
    assert!(
        matches!(wrong[..], [Wrong::MarkLeftOut { mark: 1, .. }]),
        "{wrong:?}"
    );
}

#[test]
fn the_marker_left_on_is_caught() {
    let wrong = damaged(|lines| {
        let at = nth(lines, "M65 P2", 1);
        lines.remove(at);
    });
    told(&wrong, |w| matches!(w, Wrong::TravelMarkerOn { .. }));
    told(&wrong, |w| matches!(w, Wrong::MarkerOnTwice { .. }));
    told(&wrong, |w| matches!(w, Wrong::MarkLeftOut { mark: 0, .. }));
    let wrong = damaged(|lines| {
        let at = nth(lines, "M65 P2", 4);
        lines.truncate(at);
        lines.push("M2".into());
    });
    assert!(matches!(wrong[..], [Wrong::MarkerLeftOn { .. }]), "{wrong:?}");
}

#[test]
fn a_mark_in_the_wrong_place_or_made_twice_is_caught() {
    for (good, bad) in [
        ("G1 X46.0000 Y60.0000 F3000.000", "G1 X46.0300 Y60.0000 F3000.000"),
        ("G1 X46.0000 Y60.0000 F3000.000", "G1 X46.0000 Y59.9700 F3000.000"),
        ("G0 X40.0000 Y60.0000", "G0 X41.0000 Y60.0000"),
        (
            "G1 X46.0000 Y60.0000 F3000.000",
            "G3 X46.0000 Y60.0000 I3 J0 F3000.000",
        ),
    ] {
        let wrong = damaged(|lines| {
            let at = nth(lines, good, 0);
            lines[at] = bad.into();
        });
        assert!(
            matches!(
                wrong[..],
                [Wrong::MarkNotAsked { .. }, Wrong::MarkLeftOut { mark: 0, .. }]
            ),
            "{bad}: {wrong:?}"
        );
    }
    // Aside of the line and back to its end.
    let wrong = damaged(|lines| {
        let at = nth(lines, "G1 X46.0000 Y60.0000 F3000.000", 0);
        lines.insert(at, "G1 X43.0000 Y60.1000 F3000.000".into());
    });
    told(&wrong, |w| matches!(w, Wrong::MarkNotAsked { .. }));
    let wrong = damaged(|lines| {
        let at = nth(lines, "G0 X40.0000 Y60.0000", 0);
        let again: Vec<String> = lines[at..at + 6].to_vec();
        lines.splice(at..at, again);
    });
    assert!(matches!(wrong[..], [Wrong::MarkNotAsked { .. }]), "{wrong:?}");
}

#[test]
fn the_torch_lit_a_wait_on_the_spot_a_wrong_feed_or_height_are_caught() {
    let put = |line: &'static str| {
        damaged(move |lines| {
            let at = nth(lines, "M64 P2", 0) + 1;
            lines.insert(at, line.into());
        })
    };
    told(&put("M3"), |w| matches!(w, Wrong::LitWhileMarking { .. }));
    told(&put("G4 P2"), |w| matches!(w, Wrong::MarkerWaits { .. }));
    told(&put("G0 Z0.5"), |w| matches!(w, Wrong::Height { .. }));
    let change = |good: &'static str, bad: &'static str| {
        damaged(move |lines| {
            let at = nth(lines, good, 0);
            lines[at] = bad.into();
        })
    };
    let slow = change("G1 X46.0000 Y60.0000 F3000.000", "G1 X46.0000 Y60.0000 F300.000");
    told(&slow, |w| matches!(w, Wrong::Feed { .. }));
    let rapid = change("G1 X46.0000 Y60.0000 F3000.000", "G0 X46.0000 Y60.0000");
    told(&rapid, |w| matches!(w, Wrong::TravelMarkerOn { .. }));
    let high = change("G1 Z1.5000 F3000.000", "G1 Z5.0000 F3000.000");
    told(&high, |w| matches!(w, Wrong::Height { .. }));
    let unknown = change("M64 P2", "M64 P3");
    told(&unknown, |w| matches!(w, Wrong::Unreadable(_)));
}

#[test]
fn a_program_that_cuts_may_not_mark() {
    let sheet = two_parts();
    let text = sheet.text(&scriber());
    let marks = text.replacen("M3\n", "M64 P2\nM3\n", 1);
    let asked = cut::verify::Asked {
        parts: &sheet.parts,
        cuts: &[],
        table: sheet.corners,
        clamps: &[],
        tabs: &[],
        zero: sheet.zero,
        pierce_delay_s: None,
        heights: None,
    };
    // Neither to a reader that does not know the words, nor to one that does.
    let wrong = verify(&marks, &MachineWords::default(), &asked).expect_err("unknown");
    told(&wrong, |w| matches!(w, Wrong::Unreadable(_)));
    let wrong = verify(&marks, &scriber_words(), &asked).expect_err("not asked for");
    told(&wrong, |w| matches!(w, Wrong::MarkNotAsked { .. }));
}

fn marks() -> impl Strategy<Value = Vec<(MarkingStep, AskedMark)>> {
    let turned = || 0.0..std::f64::consts::TAU;
    let mark = (
        any::<bool>(),
        60.0..1190.0_f64,
        60.0..1190.0_f64,
        0.4..50.0_f64,
        turned(),
    );
    let mark = mark.prop_map(|(is_line, x, y, size_mm, turned_rad)| {
        let at = p(x, y);
        if is_line {
            let along = Vector::new(turned_rad.cos(), turned_rad.sin());
            line("bend b, end 1", at, at + along * size_mm)
        } else {
            cross("the centre of h", at, size_mm, turned_rad)
        }
    });
    prop::collection::vec(mark, 1..12)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(count()))]

    #[test]
    fn whatever_is_marked_reads_back_right_and_moved_marks_do_not(
        mut sheet in sheet(),
        marks in marks(),
        inch in any::<bool>(),
        which in any::<prop::sample::Index>(),
        (by_mm, toward) in (0.03..40.0_f64, 0.0..std::f64::consts::TAU),
    ) {
        sheet.zero = sheet.corners[0] + (sheet.zero - sheet.corners[0]) / 2.0;
        let (mut steps, asked): (Vec<_>, Vec<_>) = marks.into_iter().unzip();
        let dialect = if inch {
            Dialect { unit: ProgramUnit::Inch, decimals_n: 5, ..scriber() }
        } else {
            scriber()
        };
        let checked = checked_marks(&sheet.work(), &marking(&steps), &asked, &dialect, &sheet.on());
        prop_assert!(checked.is_ok(), "{:#?}\n{}", checked, write_marks(&sheet.work(), &marking(&steps), &dialect)?);
        // One stroke moved by more than the tolerance: another mark may lie there, but never the one that is missing.
        let step = which.index(steps.len());
        let stroke = which.index(steps[step].strokes.len());
        for end in &mut steps[step].strokes[stroke] {
            *end += Vector::new(toward.cos(), toward.sin()) * by_mm;
        }
        let moved = checked_marks(&sheet.work(), &marking(&steps), &asked, &dialect, &sheet.on());
        prop_assert!(moved.is_err());
    }
}
