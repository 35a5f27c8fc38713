//! A program damaged in every way that can happen to one: each must be caught.

use cut::gcode::{Dialect, checked_program};
use cut::verify::{Asked, AskedCut, AskedHeights, MachineWords, Wrong, verify};
use plane::{Point, Vector};

use crate::sheet::{Sheet, TORCH, two_parts};

fn judged(sheet: &Sheet, text: &str) -> Result<(), Vec<Wrong>> {
    let cuts: Vec<AskedCut> = sheet
        .cuts
        .iter()
        .map(|cut| AskedCut {
            kerf_mm: cut.kerf_mm,
            feed_mm_min: cut.feed_mm_min,
        })
        .collect();
    let asked = Asked {
        parts: &sheet.parts,
        cuts: &cuts,
        table: sheet.corners,
        clamps: &[],
        tabs: &[],
        zero: sheet.zero,
        pierce_delay_s: Some(TORCH.pierce_delay_s),
        heights: Some(AskedHeights {
            pierce_mm: TORCH.pierce_height_mm,
            cut_mm: TORCH.cut_height_mm,
            travel_mm: TORCH.travel_height_mm,
        }),
    };
    verify(text, &MachineWords::default(), &asked).map(|_| ())
}

/// The program after a change to its lines, judged.
fn damaged(change: impl Fn(&mut Vec<String>)) -> Vec<Wrong> {
    let sheet = two_parts();
    let text = sheet.text(&Dialect::default());
    judged(&sheet, &text).expect("it is right before it is damaged");
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    change(&mut lines);
    let worse = format!("{}\n", lines.join("\n"));
    assert_ne!(worse, text, "the change changes nothing");
    judged(&sheet, &worse).expect_err("the damage must be caught")
}

/// Lines of cut number `n`, from 1.
fn cut_lines(lines: &[String], n: usize) -> std::ops::Range<usize> {
    let from = lines
        .iter()
        .position(|line| line.starts_with(&format!("( Cut {n}:")))
        .expect("the cut is there");
    let length = lines[from..]
        .iter()
        .position(|line| line == "M5")
        .expect("it ends");
    from..from + length + 1
}

/// Adds to every word of a letter.
fn add_to(line: &str, letter: char, by: f64) -> String {
    line.split(' ')
        .map(
            |word| match word.strip_prefix(letter).and_then(|n| n.parse::<f64>().ok()) {
                Some(value) => format!("{letter}{:.4}", value + by),
                None => word.to_owned(),
            },
        )
        .collect::<Vec<_>>()
        .join(" ")
}

fn first_with(lines: &[String], start: &str) -> usize {
    lines
        .iter()
        .position(|line| line.starts_with(start))
        .unwrap_or_else(|| panic!("a line starts with {start}"))
}

#[test]
fn the_torch_left_on_between_cuts() {
    let wrong = damaged(|lines| {
        let at = cut_lines(lines, 1).end - 1;
        lines.remove(at);
    });
    assert!(
        wrong.iter().any(|w| matches!(w, Wrong::TravelTorchOn { .. })),
        "{wrong:?}"
    );
    assert!(
        wrong.iter().any(|w| matches!(w, Wrong::LitTwice { .. })),
        "{wrong:?}"
    );
}

#[test]
fn the_torch_left_on_at_the_end() {
    let wrong = damaged(|lines| {
        let last = cut_lines(lines, 6).end - 1;
        for at in (last..lines.len()).rev() {
            if lines[at] == "M5" {
                lines.remove(at);
            }
        }
    });
    assert!(
        wrong.iter().any(|w| matches!(w, Wrong::TorchLeftOn { .. })),
        "{wrong:?}"
    );
}

#[test]
fn coordinates_swapped() {
    let wrong = damaged(|lines| {
        for line in lines {
            if !line.starts_with('(') {
                *line = line.replace('X', "?").replace('Y', "X").replace('?', "Y");
            }
        }
    });
    assert!(!wrong.is_empty());
}

#[test]
fn one_line_with_its_coordinates_swapped() {
    damaged(|lines| {
        let at = cut_lines(lines, 5).start;
        let line = first_with(&lines[at..], "G1 X") + at;
        lines[line] = lines[line].replace('X', "?").replace('Y', "X").replace('?', "Y");
    });
}

#[test]
fn the_wrong_unit() {
    let wrong = damaged(|lines| {
        for line in lines {
            *line = line.replace("G21", "G20");
        }
    });
    assert!(
        wrong
            .iter()
            .any(|w| matches!(w, Wrong::OffTable { .. } | Wrong::Unreadable(_))),
        "{wrong:?}"
    );
}

#[test]
fn distances_read_as_steps() {
    damaged(|lines| {
        for line in lines {
            *line = line.replace("G90", "G91");
        }
    });
}

#[test]
fn every_arc_reversed_by_turns() {
    let sheet = two_parts();
    let text = sheet.text(&Dialect::default());
    let lines: Vec<&str> = text.lines().collect();
    let arcs: Vec<usize> = (0..lines.len())
        .filter(|&i| lines[i].starts_with("G2 ") || lines[i].starts_with("G3 "))
        .collect();
    assert!(arcs.len() > 10);
    for at in arcs {
        let mut worse: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
        let turned = if lines[at].starts_with("G2") { "G3" } else { "G2" };
        worse[at].replace_range(0..2, turned);
        assert!(judged(&sheet, &worse.join("\n")).is_err(), "{}", lines[at]);
    }
}

#[test]
fn a_hole_moved_by_a_tenth() {
    for (letter, n) in [('X', 1), ('Y', 1), ('X', 2), ('Y', 3), ('X', 5)] {
        let wrong = damaged(|lines| {
            for at in cut_lines(lines, n) {
                if !lines[at].starts_with('(') {
                    lines[at] = add_to(&lines[at], letter, 0.1);
                }
            }
        });
        let told = wrong.iter().any(|w| {
            matches!(
                w,
                Wrong::Hole { .. } | Wrong::EdgeLeft { .. } | Wrong::CutsIntoPart { .. }
            )
        });
        assert!(told, "{letter} {n}: {wrong:?}");
    }
}

#[test]
fn a_hole_cut_wider_or_narrower_by_five_hundredths() {
    for by_mm in [0.05, -0.05] {
        let mut sheet = two_parts();
        let kerf_mm = sheet.cuts[0].kerf_mm;
        let mut other = sheet.clone();
        let hole = &other.parts[0].holes[0];
        let (centre, dia_mm) = hole.as_circle().expect("it is round");
        other.parts[0].holes[0] = plane::Outline::circle(centre, dia_mm + by_mm)
            .expect("a circle")
            .reversed();
        let other = Sheet::new(other.parts, kerf_mm, crate::sheet::Lead::Line);
        sheet.cuts = other.cuts;
        let wrong =
            checked_program(&sheet.work(), &Dialect::default(), &sheet.on()).expect_err("the hole is off");
        assert!(wrong.iter().any(|w| matches!(w, Wrong::Hole { .. })), "{wrong:?}");
    }
}

#[test]
fn the_end_cut_off() {
    let wrong = damaged(|lines| {
        let length = lines.len();
        lines.truncate(length - 20);
    });
    assert!(matches!(wrong[..], [Wrong::Unreadable(_)]), "{wrong:?}");
}

#[test]
fn every_line_of_a_contour_left_out_by_turns() {
    let sheet = two_parts();
    let text = sheet.text(&Dialect::default());
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for n in 1..=sheet.cuts.len() {
        let range = cut_lines(&lines, n);
        // A cut without its over-run is still right, and a straight over-run closes what the line before it leaves open.
        let edges: Vec<usize> = range
            .filter(|&at| {
                lines[at].starts_with("G1 X") || lines[at].starts_with("G2") || lines[at].starts_with("G3")
            })
            .collect();
        for &at in &edges[1..edges.len() - 2] {
            let mut worse = lines.clone();
            worse.remove(at);
            assert!(judged(&sheet, &worse.join("\n")).is_err(), "{}", lines[at]);
        }
    }
}

#[test]
fn a_pierce_in_the_part() {
    let wrong = damaged(|lines| {
        let at = cut_lines(lines, 4).start;
        let travel = first_with(&lines[at..], "G0 X") + at;
        lines[travel] = "G0 X60.0000 Y50.0000".to_owned();
    });
    assert!(
        wrong
            .iter()
            .any(|w| matches!(w, Wrong::PierceInPart { part: 0, .. })),
        "{wrong:?}"
    );
    assert!(
        wrong
            .iter()
            .any(|w| matches!(w, Wrong::CutsIntoPart { part: 0, .. })),
        "{wrong:?}"
    );
}

#[test]
fn no_wait_for_the_pierce() {
    let wrong = damaged(|lines| {
        let at = first_with(lines, "G4");
        lines[at] = "G4 P0.060".to_owned();
    });
    assert!(matches!(wrong[..], [Wrong::ShortDelay { .. }]), "{wrong:?}");
}

#[test]
fn another_feed() {
    let wrong = damaged(|lines| {
        let at = cut_lines(lines, 2).start;
        let line = lines[at..]
            .iter()
            .position(|line| line.contains('F'))
            .expect("a feed")
            + at;
        lines[line] = lines[line].replace("F2400", "F240");
        // The feed is said again with the first edge.
        lines[line + 1] = lines[line + 1].replace("F2400", "F240");
    });
    assert!(wrong.iter().all(|w| matches!(w, Wrong::Feed { .. })), "{wrong:?}");
}

#[test]
fn travel_at_cutting_height() {
    let wrong = damaged(|lines| {
        let at = cut_lines(lines, 1).end;
        assert!(lines[at].starts_with("G0 Z"));
        lines.remove(at);
    });
    assert!(matches!(wrong[..], [Wrong::Height { .. }]), "{wrong:?}");
}

#[test]
fn a_cut_left_out() {
    let wrong = damaged(|lines| {
        let range = cut_lines(lines, 2);
        lines.drain(range);
    });
    assert!(
        wrong.iter().any(|w| matches!(w, Wrong::Pierces { .. })),
        "{wrong:?}"
    );
}

#[test]
fn the_zero_set_elsewhere() {
    let sheet = two_parts();
    let text = sheet.text(&Dialect::default());
    for by in [
        Vector::new(0.05, 0.0),
        Vector::new(0.0, -3.0),
        Vector::new(-200.0, 0.0),
    ] {
        let mut moved = sheet.clone();
        moved.zero = Point::origin() + by;
        assert!(judged(&moved, &text).is_err(), "{by}");
    }
}

#[test]
fn a_feed_move_become_a_rapid_one() {
    let wrong = damaged(|lines| {
        let at = cut_lines(lines, 5).start;
        let line = first_with(&lines[at..], "G1 X") + at;
        lines[line].replace_range(0..2, "G0");
    });
    assert!(
        wrong.iter().any(|w| matches!(w, Wrong::TravelTorchOn { .. })),
        "{wrong:?}"
    );
}
