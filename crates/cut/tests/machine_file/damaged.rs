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

#[test]
fn a_hole_cut_after_its_part_has_come_loose() {
    let sheet = two_parts();
    let mut late = sheet.clone();
    late.cuts.swap(0, 3);
    let wrong =
        checked_program(&late.work(), &Dialect::default(), &late.on()).expect_err("the part is loose");
    let late_ones: Vec<Option<usize>> = wrong
        .iter()
        .map(|w| match w {
            Wrong::OutOfOrder { part: 0, opening, .. } => *opening,
            other => panic!("{other}"),
        })
        .collect();
    assert_eq!(late_ones, [Some(0), Some(1), Some(2)]);
}

#[test]
fn a_part_within_an_opening_is_cut_before_the_opening() {
    let ring = plane::Region::new(
        plane::Outline::circle(Point::new(200.0, 200.0), 160.0).expect("a disc"),
        vec![plane::Outline::circle(Point::new(200.0, 200.0), 100.0).expect("its hole")],
    )
    .expect("a ring");
    let disc = plane::Region::solid(plane::Outline::circle(Point::new(190.0, 200.0), 40.0).expect("a disc"));
    let sheet = Sheet::new(vec![disc, ring], 1.5, crate::sheet::Lead::Line);
    sheet.text(&Dialect::default());
    let mut late = sheet.clone();
    late.cuts.swap(0, 1);
    let wrong =
        checked_program(&late.work(), &Dialect::default(), &late.on()).expect_err("the disc is loose");
    assert!(
        matches!(
            wrong[..],
            [Wrong::OutOfOrder {
                part: 0,
                opening: None,
                ..
            }]
        ),
        "{wrong:?}"
    );
}

#[test]
fn an_edge_left_uncut_is_right_only_where_a_tab_is() {
    // A square of 60, cut clockwise from a lead on its lower edge, with a bridge of 3 mm in the middle of its upper edge.
    let square =
        plane::Outline::rectangle(Point::new(100.0, 100.0), Point::new(160.0, 160.0)).expect("a square");
    let parts = vec![plane::Region::solid(square)];
    let mut sheet = Sheet::new(parts, 1.5, crate::sheet::Lead::Line);
    let whole = sheet.cuts.remove(0);
    let edges: Vec<plane::Segment> = whole.track.segments().collect();
    let across = |x: f64| Point::new(x, 160.75);
    let upper = edges
        .iter()
        .position(|edge| edge.from().y > 160.0 && edge.to().y > 160.0 && edge.turn_rad() == 0.0)
        .expect("there is an upper edge");
    let bridge_mm = 3.0;
    let half_gap_mm = bridge_mm / 2.0 + 0.75;
    // Clockwise, so the upper edge runs to the right.
    let vertices = &whole.track.vertices;
    let (mut first, mut second) = (whole.clone(), whole.clone());
    if upper == 1 || upper + 2 == edges.len() {
        // The lead is on the upper edge itself: nothing to part here.
        panic!("the lead is where the bridge should be");
    }
    first.track.vertices = vertices[..=upper].to_vec();
    first
        .track
        .vertices
        .push(plane::Vertex::line(across(130.0 - half_gap_mm)));
    first.around = [1, first.track.vertices.len() - 1];
    second.track.vertices = vec![
        plane::Vertex::line(across(130.0 + half_gap_mm) + Vector::new(0.0, 4.0)),
        plane::Vertex::line(across(130.0 + half_gap_mm)),
    ];
    second.track.vertices.extend_from_slice(&vertices[upper + 1..]);
    second.around = [1, second.track.vertices.len() - 1];
    sheet.cuts = vec![first, second];
    let tab = |x: f64, width_mm: f64| {
        [cut::verify::Tab {
            at: Point::new(x, 160.0),
            width_mm,
        }]
    };
    let judge = |tabs: &[cut::verify::Tab]| {
        let on = cut::gcode::Surroundings { tabs, ..sheet.on() };
        checked_program(&sheet.work(), &Dialect::default(), &on)
    };
    judge(&tab(130.0, bridge_mm)).unwrap_or_else(|wrong| panic!("{wrong:#?}"));
    assert!(judge(&[]).is_err(), "no bridge was asked for");
    let wrong = judge(&tab(131.0, bridge_mm)).expect_err("the bridge is elsewhere");
    assert!(
        matches!(wrong[..], [Wrong::EdgeLeft { part: 0, .. }]),
        "{wrong:?}"
    );
    let wrong = judge(&tab(130.0, 2.0)).expect_err("the bridge is wider than asked");
    assert!(
        wrong.iter().all(|w| matches!(w, Wrong::EdgeLeft { part: 0, .. })),
        "{wrong:?}"
    );
}
