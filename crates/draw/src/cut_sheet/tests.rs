use plane::{Outline, Point, Region, Vector, Vertex};

use super::{
    CutPart, CutSheet, DrillPlace, SheetCut, SheetToLoad, SlatWay, TabPlace, cut_sheet_pages, cut_sheet_pdf,
};
use crate::look::{show, texts_stand_clear, words_of};
use crate::template::PaperSize;

const KERF_MM: f64 = 1.5;

fn at(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn rectangle(x: f64, y: f64, wide: f64, high: f64) -> Outline {
    Outline::rectangle(at(x, y), at(x + wide, y + high)).expect("a rectangle")
}

/// A hole's path: from its middle to its edge and once round, counter-clockwise, half a kerf inside.
fn hole_cut(name: &str, part: usize, middle: Point, dia_mm: f64) -> SheetCut {
    let arm = Vector::new((dia_mm - KERF_MM) / 2.0, 0.0);
    SheetCut {
        name: name.to_owned(),
        part: Some(part),
        track: vec![
            Vertex::line(middle),
            Vertex::arc(middle + arm, 1.0),
            Vertex::arc(middle - arm, 1.0),
            Vertex::line(middle + arm),
        ],
        waits_s: 0.0,
        notes: Vec::new(),
    }
}

/// An outside's path: a lead from beyond the left edge, once round clockwise, half a kerf outside.
fn outside_cut(part: usize, low: Point, size: [f64; 2]) -> SheetCut {
    let (k, [w, h]) = (KERF_MM / 2.0, size);
    let places = [
        (-6.0 - k, h / 2.0 - 6.0),
        (-k, h / 2.0),
        (-k, h + k),
        (w + k, h + k),
        (w + k, -k),
        (-k, -k),
        (-k, h / 2.0),
    ];
    SheetCut {
        name: "outside".to_owned(),
        part: Some(part),
        track: places
            .iter()
            .map(|&(x, y)| Vertex::line(low + Vector::new(x, y)))
            .collect(),
        waits_s: 0.0,
        notes: Vec::new(),
    }
}

fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|words| (*words).to_owned()).collect()
}

/// A sheet with nothing on it yet.
fn bare(region: Region) -> CutSheet {
    CutSheet {
        title: "Push-hoe forearm bracket".to_owned(),
        made_from: "Revision c41d-07, made from push-hoe, right arm, small shop".to_owned(),
        load: SheetToLoad {
            stock: "5052-H32 aluminium, 3/16 in".to_owned(),
            what: "Remnant r3".to_owned(),
            region,
            thickness_mm: 4.7625,
            goes_on_mm: [4.524_375, 5.000_625],
            clamps: Vec::new(),
            slats: Some(SlatWay {
                along: Vector::y(),
                pitch_mm: 100.0,
            }),
            rolled: Some(Vector::x()),
        },
        zero: at(0.0, 0.0),
        zero_says: "the lower left corner of the sheet".to_owned(),
        dry_run: "Run table-dry.ngc first: the torch stays off and up, and goes round every part. It must stay on the sheet and \
                  clear of every clamp."
            .to_owned(),
        parts: Vec::new(),
        cuts: Vec::new(),
        drills: Vec::new(),
        cautions: owned(&[
            "Aluminium over water makes gas that can explode: follow the machine's book before you cut it on a water table.",
            "The arc blinds and burns, and the fume is poison: shade, gloves, no bare skin, air drawn off. Paint and zinc off first.",
            "Keep a fire extinguisher at hand, and stay at the machine until the plate is cold.",
        ]),
        takes: vec![
            ("Time".to_owned(), "11 to 16 min".to_owned()),
            ("Path".to_owned(), "2.41 m, 9 pierces".to_owned()),
            ("Air".to_owned(), "1.2 to 1.9 m³".to_owned()),
            ("Cost".to_owned(), "6.10 to 9.80".to_owned()),
        ],
        notes: owned(&["Break every edge before the part is handled. The machine's own book comes first."]),
    }
}

/// A part with a row of holes, the holes cut first, the corner ones drilled afterwards.
fn add_part(told: &mut CutSheet, name: &str, low: Point, size: [f64; 2], holes: usize) {
    let part = told.parts.len();
    let columns = holes.clamp(1, 8);
    let rows = holes.div_ceil(8).max(1);
    let places: Vec<Point> = (0..holes)
        .map(|hole| {
            let (column, row) = (hole % columns, hole / columns);
            low + Vector::new(
                size[0] * (column as f64 + 0.7) / (columns as f64 + 0.4),
                size[1] * (row as f64 + 0.7) / (rows as f64 + 0.4),
            )
        })
        .collect();
    let apart = (size[0] / (columns as f64 + 0.4)).min(size[1] / (rows as f64 + 0.4));
    let dia_mm = (apart * 0.6).min(10.0);
    let outlines = places
        .iter()
        .map(|middle| Outline::circle(*middle, dia_mm).expect("a hole"))
        .collect();
    told.parts.push(CutPart {
        name: name.to_owned(),
        region: Region::new(rectangle(low.x, low.y, size[0], size[1]), outlines).expect("a part"),
        tabs: vec![TabPlace {
            at: low + Vector::new(size[0], size[1] * 0.3),
            width_mm: 4.8,
        }],
    });
    for (hole, middle) in places.iter().enumerate() {
        told.cuts
            .push(hole_cut(&format!("hole m{}", hole + 1), part, *middle, dia_mm));
    }
    if let Some(middle) = places.first() {
        told.drills.push(DrillPlace {
            name: format!("{name}: hole m1"),
            at: *middle,
            dia_mm: 8.7,
            drill: "cut to 7.0 mm; drill 8.7 mm (11/32 in)".to_owned(),
        });
    }
    let mut outside = outside_cut(part, low, size);
    outside.waits_s = 12.2;
    outside.notes = owned(&["starts off the bend ends"]);
    told.cuts.push(outside);
}

/// A remnant with a step in its edge and a hole from the job before, two clamps, two parts.
fn remnant() -> CutSheet {
    let outer = Outline::polygon(&[
        at(0.0, 0.0),
        at(620.0, 0.0),
        at(620.0, 260.0),
        at(380.0, 260.0),
        at(380.0, 410.0),
        at(0.0, 410.0),
    ])
    .expect("a remnant");
    let hole = rectangle(180.0, 210.0, 120.0, 90.0);
    let mut told = bare(Region::new(outer, vec![hole]).expect("a remnant with a hole"));
    told.load.clamps = vec![
        ("clamp 1".to_owned(), rectangle(-20.0, 330.0, 60.0, 40.0)),
        ("clamp 2".to_owned(), rectangle(580.0, 180.0, 60.0, 40.0)),
    ];
    add_part(&mut told, "bracket 1", at(30.0, 30.0), [240.0, 130.0], 5);
    add_part(&mut told, "bracket 2", at(300.0, 30.0), [240.0, 130.0], 5);
    told
}

/// Cuts in a square of stock of this size; the part covers a share of it.
fn square(side_mm: f64, share: f64, cuts: usize) -> CutSheet {
    let mut told = bare(Region::solid(rectangle(0.0, 0.0, side_mm, side_mm * 0.5)));
    let size = [side_mm * share, side_mm * 0.5 * share];
    let low = at(side_mm * 0.12, side_mm * 0.06);
    add_part(&mut told, "plate", low, size, cuts.saturating_sub(1));
    told
}

fn all_words(pages: &[String]) -> Vec<String> {
    pages
        .iter()
        .flat_map(|page| words_of(page).1)
        .map(|(words, _)| words)
        .collect()
}

#[test]
fn the_sheet_of_a_remnant_stands_clear_on_both_papers() {
    let told = remnant();
    for paper in [PaperSize::A4, PaperSize::Letter] {
        let pages = cut_sheet_pages(&told, paper);
        for (index, page) in pages.iter().enumerate() {
            show(&format!("table-{}-{index}.svg", paper.word()), page.as_bytes());
            texts_stand_clear(page);
            let (size, _) = words_of(page);
            assert!((size.height - paper.size_mm()[1]).abs() < 1e-9, "fits the paper");
        }
        assert_eq!(
            pages,
            cut_sheet_pages(&told, paper),
            "the same input gives the same bytes"
        );
    }
}

#[test]
fn every_number_is_found_from_one_cut_to_forty_on_stock_from_100_mm_to_3_m() {
    for (side_mm, share) in [(100.0, 0.7), (400.0, 0.6), (3000.0, 0.8), (3000.0, 0.05)] {
        for cuts in [1, 2, 9, 25, 40] {
            let told = square(side_mm, share, cuts);
            assert_eq!(told.cuts.len(), cuts);
            let pages = cut_sheet_pages(&told, PaperSize::A4);
            for (index, page) in pages.iter().enumerate() {
                show(
                    &format!("table-{side_mm}-{share}-{cuts}-{index}.svg"),
                    page.as_bytes(),
                );
                texts_stand_clear(page);
            }
            let words = all_words(&pages);
            for number in 1..=cuts {
                let name = number.to_string();
                let times = words.iter().filter(|words| **words == name).count();
                assert!(
                    times >= 2,
                    "{number} of {cuts} stands {times} times on {side_mm} mm"
                );
            }
            assert!(
                !words.iter().any(|words| words.starts_with("No room")),
                "{side_mm} {cuts}"
            );
        }
    }
}

#[test]
fn the_two_thicknesses_between_which_the_job_goes_on_are_printed_as_a_caliper_shows_them() {
    let pages = cut_sheet_pages(&remnant(), PaperSize::A4);
    let front = words_of(&pages[0]).1;
    let all: Vec<&str> = front.iter().map(|(words, _)| words.as_str()).collect();
    let all = all.join(" ");
    assert!(
        all.contains("only between 4.52 mm (0.178 in) and 5.00 mm (0.197 in)"),
        "{all}"
    );
    assert!(all.contains("I measured"));
    assert!(all.contains("Zero is the lower left corner of the sheet."));
    assert!(all.contains("table-dry.ngc"));
}

#[test]
fn tabs_drills_waits_and_ways_stand_in_the_tables() {
    let words = all_words(&cut_sheet_pages(&remnant(), PaperSize::A4));
    for asked in [
        "T1",
        "T2",
        "D1",
        "D2",
        "wait 13 s before it",
        "clockwise",
        "counter-clockwise",
        "bracket 2: hole m5",
    ] {
        assert!(words.iter().any(|words| words == asked), "{asked} is missing");
    }
    // bracket 2's outside is pierced at x 293.25, y 89: from zero, not from the sheet's own corner.
    let mut moved = remnant();
    moved.zero = at(100.0, 50.0);
    let words = all_words(&cut_sheet_pages(&moved, PaperSize::A4));
    assert!(words.iter().any(|words| words == "193.2" || words == "193.3"));
    assert!(words.iter().any(|words| words == "39.0"));
}

#[test]
fn a_long_order_goes_on_to_further_pages_and_says_so() {
    let pages = cut_sheet_pages(&square(600.0, 0.8, 40), PaperSize::Letter);
    let words = all_words(&pages);
    assert!(words.iter().any(|words| words == "Cuts in order, continued"));
    let count = pages.len();
    for page in 1..=count {
        assert!(words.contains(&format!("page {page} of {count}")));
    }
}

#[test]
fn names_without_spaces_and_hundreds_of_cuts_stay_on_the_page() {
    let mut told = square(1500.0, 0.9, 120);
    told.parts[0].name = "left_outer_bracket_of_the_second_prototype_with_a_very_long_name".to_owned();
    told.cuts[3].name = "a_hole_with_a_name_that_nobody_would_want_to_write_on_a_plate".to_owned();
    for page in cut_sheet_pages(&told, PaperSize::A4) {
        texts_stand_clear(&page);
    }
}

#[test]
fn a_sheet_with_nothing_on_it_and_a_broken_path_are_still_drawn() {
    let mut told = bare(Region::solid(rectangle(0.0, 0.0, 300.0, 200.0)));
    told.cautions.clear();
    told.takes.clear();
    told.notes.clear();
    for page in cut_sheet_pages(&told, PaperSize::A4) {
        texts_stand_clear(&page);
    }
    for track in [
        Vec::new(),
        vec![Vertex::line(at(20.0, 20.0))],
        vec![Vertex::line(at(20.0, 20.0)), Vertex::arc(at(20.0, 20.0), 1.0)],
        vec![Vertex::line(at(f64::NAN, 20.0)), Vertex::line(at(20.0, 20.0))],
    ] {
        told.cuts.push(SheetCut {
            name: "slit".to_owned(),
            part: None,
            track,
            waits_s: 0.0,
            notes: Vec::new(),
        });
    }
    assert!(!cut_sheet_pages(&told, PaperSize::A4).is_empty());
}

#[test]
fn the_sheet_for_the_table_binds_to_a_pdf() {
    let bytes = cut_sheet_pdf(&remnant(), PaperSize::A4).expect("a PDF");
    show("table.pdf", &bytes);
    assert!(bytes.starts_with(b"%PDF"));
}
