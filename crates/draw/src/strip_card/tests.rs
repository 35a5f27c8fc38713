use plane::{Outline, Point, Region};

use super::{BentStrip, StripCard, StripReading, strip_card_pages, strip_card_pdf};
use crate::look::{show, texts_stand_clear, words_of};
use crate::template::PaperSize;

fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|words| (*words).to_owned()).collect()
}

fn reading(letter: &str, what: &str, unit: &str) -> StripReading {
    StripReading {
        letter: letter.to_owned(),
        what: what.to_owned(),
        unit: unit.to_owned(),
    }
}

fn bend_strip(bent_deg: f64, legs_mm: [f64; 2]) -> StripCard {
    let outer = Outline::rectangle(Point::new(0.0, 0.0), Point::new(100.0, 30.0)).expect("a strip");
    StripCard {
        title: "Bend test strip".to_owned(),
        counts_for: "5052-H32 aluminium, 3/16 in; punch p1, die d24; along the grain".to_owned(),
        strip: Region::solid(outer),
        bend_lines: vec![[Point::new(50.0, 0.0), Point::new(50.0, 30.0)]],
        bent: Some(BentStrip {
            legs_mm,
            bent_rad: bent_deg.to_radians(),
            radius_mm: 5.0,
            thickness_mm: 4.8,
            letters: ["A", "B", "C", "D"].map(str::to_owned),
        }),
        across: vec![("L".to_owned(), [Point::new(0.0, 8.0), Point::new(100.0, 8.0)])],
        acts: owned(&[
            "Cut it, break its edges, write the way of rolling on it.",
            "Bend it on the line to 90 deg.",
        ]),
        readings: vec![
            reading("L", "the flat strip, before it is bent", "mm"),
            reading("A", "one leg, outside to outside", "mm"),
            reading("B", "the other leg", "mm"),
            reading("C", "the angle between the legs", "deg"),
            reading("D", "thickness", "mm"),
        ],
        cautions: owned(&["The strip swings up: keep clear of it."]),
        type_into: "Then type the readings into shop.toml:".to_owned(),
        type_lines: owned(&[
            "[[strips.bend]]",
            "legs = [\"____ mm\", \"____ mm\"]",
            "angle = \"____ deg\"",
        ]),
    }
}

/// A comb of three teeth.
fn kerf_strip() -> StripCard {
    let mut corners = vec![Point::new(0.0, 0.0), Point::new(50.0, 0.0)];
    for slot in [40.0, 30.0, 20.0, 10.0] {
        corners.extend([
            Point::new(slot + 0.75, 35.0),
            Point::new(slot + 0.75, 10.0),
            Point::new(slot - 0.75, 10.0),
            Point::new(slot - 0.75, 35.0),
        ]);
    }
    corners.insert(2, Point::new(50.0, 35.0));
    corners.push(Point::new(0.0, 35.0));
    let teeth = [15.0, 25.0, 35.0].into_iter().zip(["1", "2", "3"]);
    StripCard {
        title: "Kerf test".to_owned(),
        counts_for: "5052-H32 aluminium, 3/16 in; 45 A, 3000 mm/min".to_owned(),
        strip: Region::solid(Outline::polygon(&corners).expect("a comb")),
        bend_lines: Vec::new(),
        bent: None,
        across: teeth
            .map(|(middle, letter)| {
                let ends = [middle - 4.25, middle + 4.25].map(|x| Point::new(x, 25.0));
                (letter.to_owned(), ends)
            })
            .collect(),
        acts: owned(&[
            "Cut it and let it cool.",
            "Measure each tooth in the middle of its length.",
        ]),
        readings: ["1", "2", "3"]
            .map(|letter| reading(letter, "width of the tooth", "mm"))
            .to_vec(),
        cautions: Vec::new(),
        type_into: "Then type them:".to_owned(),
        type_lines: owned(&["gusset strip kerf --measured \"____ mm, ____ mm, ____ mm\""]),
    }
}

#[test]
fn strips_for_bend_and_kerf_stand_clear_with_a_box_for_every_reading() {
    for (name, told, asked) in [
        ("bend", bend_strip(90.0, [52.0, 54.0]), 4),
        ("kerf", kerf_strip(), 3),
    ] {
        for paper in [PaperSize::A4, PaperSize::Letter] {
            let pages = strip_card_pages(&told, paper);
            let mut boxes = 0;
            for (index, page) in pages.iter().enumerate() {
                show(
                    &format!("strip-{name}-{}-{index}.svg", paper.word()),
                    page.as_bytes(),
                );
                texts_stand_clear(page);
                boxes += words_of(page).1.iter().filter(|(words, _)| words == "mm").count();
            }
            assert_eq!(boxes, asked);
            assert_eq!(pages, strip_card_pages(&told, paper));
        }
    }
}

#[test]
fn the_angles_and_both_systems_are_printed() {
    let pages = strip_card_pages(&bend_strip(90.0, [52.0, 54.0]), PaperSize::A4);
    let all: Vec<String> = pages
        .iter()
        .flat_map(|page| words_of(page).1)
        .map(|(words, _)| words)
        .collect();
    let all = all.join(" ");
    for asked in [
        "90.0 deg bent through, 90.0 deg between legs",
        "100.0 mm (3-15/16 in",
        "bend here",
        "30.0 mm",
    ] {
        assert!(all.contains(asked), "{asked} is missing from {all}");
    }
}

#[test]
fn a_strip_bent_to_any_angle_with_any_legs_is_drawn_or_left_out() {
    for bent_deg in [0.0, 5.0, 30.0, 60.0, 120.0, 150.0, 175.0, 180.0, f64::NAN] {
        for legs_mm in [[30.0, 30.0], [20.0, 120.0], [120.0, 20.0]] {
            for page in strip_card_pages(&bend_strip(bent_deg, legs_mm), PaperSize::A4) {
                texts_stand_clear(&page);
            }
        }
    }
}

#[test]
fn the_card_of_a_strip_binds_to_a_pdf() {
    let bytes = strip_card_pdf(&kerf_strip(), PaperSize::A4).expect("a PDF");
    assert!(bytes.starts_with(b"%PDF"));
}

#[test]
fn a_card_with_much_to_do_goes_on_to_the_next_page() {
    let mut told = bend_strip(90.0, [52.0, 54.0]);
    told.acts = (0..16)
        .map(|act| format!("Act {act}: clamp one leg, the other standing up, and read it on the outside, from its end to the corner."))
        .collect();
    for paper in [PaperSize::A4, PaperSize::Letter] {
        let pages = strip_card_pages(&told, paper);
        assert!(pages.len() > 1);
        for page in &pages {
            texts_stand_clear(page);
        }
    }
}
