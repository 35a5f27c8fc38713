use nalgebra::Point3;
use plane::{Outline, Point, Region};

use super::{
    BendCards, BendReading, BendStep, FlatPiece, FlatPlate, GaugeLine, GaugeSide, GaugeStop, LookFace,
    PartLook, ReadBand, Stands, bend_card_pages, bend_card_pdf,
};
use crate::look::{show, texts_stand_clear, words_of};
use crate::template::PaperSize;

const WIDE_MM: f64 = 80.0;
const RADIUS_MM: f64 = 4.0;

fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|words| (*words).to_owned()).collect()
}

fn region(x: f64, y: f64, wide: f64, high: f64) -> Region {
    Region::solid(Outline::rectangle(Point::new(x, y), Point::new(x + wide, y + high)).expect("a rectangle"))
}

/// Legs in a row, bent between them, as a sheet without thickness: leg `on` lies flat, its far end at the bend over y = 0.
fn row(legs_mm: &[f64], bent_rad: &[f64], on: usize) -> PartLook {
    let mut places = vec![(0.0, 0.0)];
    let mut starts = Vec::new();
    let mut of_bend = Vec::new();
    let mut way = 0.0_f64;
    for (leg, long) in legs_mm.iter().enumerate() {
        let (y, z) = places[places.len() - 1];
        starts.push((y, z, way));
        places.push((y + long * way.cos(), z + long * way.sin()));
        of_bend.push(false);
        let Some(bent) = bent_rad.get(leg).filter(|_| leg + 1 < legs_mm.len()) else {
            break;
        };
        if bent.abs() < 1e-6 {
            continue;
        }
        for _ in 0..6 {
            let (y, z) = places[places.len() - 1];
            let step = bent / 6.0;
            let chord = 2.0 * RADIUS_MM * (step.abs() / 2.0).sin();
            way += step / 2.0;
            places.push((y + chord * way.cos(), z + chord * way.sin()));
            of_bend.push(true);
            way += step / 2.0;
        }
    }
    let (y0, z0, turned) = starts[on];
    let moved = |(y, z): (f64, f64)| {
        let (y, z) = (y - y0, z - z0);
        let (sine, cosine) = (-turned).sin_cos();
        (y * cosine - z * sine - legs_mm[on], y * sine + z * cosine)
    };
    let faces = places
        .windows(2)
        .zip(of_bend)
        .map(|(pair, of_bend)| {
            let [(y, z), (to_y, to_z)] = [moved(pair[0]), moved(pair[1])];
            LookFace {
                rings: vec![vec![
                    Point3::new(0.0, y, z),
                    Point3::new(WIDE_MM, y, z),
                    Point3::new(WIDE_MM, to_y, to_z),
                    Point3::new(0.0, to_y, to_z),
                ]],
                of_bend,
            }
        })
        .collect();
    let (y, z) = moved((starts[on].0, starts[on].1));
    PartLook {
        faces,
        names: vec![("toward you".to_owned(), Point3::new(WIDE_MM / 2.0, y, z))],
    }
}

fn step(index: usize, bent_deg: f64) -> BendStep {
    let bent = bent_deg.to_radians();
    let done = [60.0_f64.to_radians(), bent];
    BendStep {
        bend: format!("b{}", index + 1),
        first: owned(&["turn the part over, left edge to the right", "change to die d24"]),
        tool: owned(&[
            "punch p1: 85 deg, nose 1.0 mm",
            "die d24: V 24 mm, 85 deg, 120 mm long",
        ]),
        stop: Some(GaugeStop {
            distance_mm: 62.4,
            to: GaugeLine::Tangent,
            bears_at: Point::new(40.0, 66.2),
        }),
        stop_says: "The long straight edge of the web bears on both fingers.".to_owned(),
        face_up: "marked face up".to_owned(),
        round: "foot toward you, web to the back".to_owned(),
        loaded_rad: bent + 0.035,
        released_rad: bent,
        radius_mm: RADIUS_MM,
        flat: FlatPlate {
            pieces: vec![
                FlatPiece {
                    name: "foot".to_owned(),
                    region: region(0.0, -90.0, WIDE_MM, 86.2),
                    stands: Stands::Flat,
                },
                FlatPiece {
                    name: "web".to_owned(),
                    region: region(0.0, 3.8, WIDE_MM, 62.4),
                    stands: Stands::Flat,
                },
                FlatPiece {
                    name: "lip".to_owned(),
                    region: region(0.0, -94.0, WIDE_MM, 5.0),
                    stands: Stands::Up,
                },
            ],
            stretches_mm: vec![[0.0, WIDE_MM]],
            strip_mm: 7.6,
            tool_mm: Some([-20.0, 100.0]),
        },
        before: row(&[24.0, 90.0, 62.0], &[done[0], 0.0], 1),
        after: row(&[24.0, 90.0, 62.0], &done, 1),
        gauge_side: if index.is_multiple_of(2) {
            GaugeSide::Inside
        } else {
            GaugeSide::Outside
        },
        measure: vec![
            BendReading {
                place: "leg web, outside to outside".to_owned(),
                band: ReadBand::LengthMm([68.6, 69.1, 69.6]),
            },
            BendReading {
                place: "angle at the middle of b1".to_owned(),
                band: ReadBand::BentRad([bent - 0.0175, bent, bent + 0.0175]),
            },
        ],
        stop_when: owned(&[
            "the plate slips off the gauge;",
            "the leg is out of its band: do not bend it back, plan the rest again.",
        ]),
        free_hand: owned(&[
            "Holds the foot in front, palm under it, 90 mm from the punch.",
            "Never between punch and plate, and never behind the gauge.",
        ]),
        cautions: owned(&["The web swings up fast: keep your face out of its way."]),
    }
}

fn cards(steps: usize) -> BendCards {
    BendCards {
        title: "Push-hoe forearm bracket".to_owned(),
        made_from: "Revision c41d-07, made from push-hoe, right arm, small shop".to_owned(),
        stock: "5052-H32 aluminium, 3/16 in (4.8 mm)".to_owned(),
        ready: owned(&[
            "Punch p1, dies d24 and d16.",
            "A caliper, a protractor, a felt pen; the card gauges, cut out.",
        ]),
        cautions: owned(&[
            "Two-hand controls and guards stay as they are. The machine's own book comes first.",
        ]),
        steps: (0..steps)
            .map(|index| step(index, 90.0 - 4.0 * index as f64))
            .collect(),
        notes: owned(&["Type what you measure: gusset bend --measured b1=88.5deg,leg=41.2mm"]),
    }
}

fn words(page: &str) -> Vec<String> {
    words_of(page).1.into_iter().map(|(words, _)| words).collect()
}

#[test]
fn a_step_stands_on_one_page_and_its_words_stand_clear_on_both_papers() {
    for paper in [PaperSize::A4, PaperSize::Letter] {
        let told = cards(3);
        let pages = bend_card_pages(&told, paper);
        for (index, page) in pages.iter().enumerate() {
            show(&format!("bend-{}-{index}.svg", paper.word()), page.as_bytes());
            texts_stand_clear(page);
            let (size, _) = words_of(page);
            assert!((size.height - paper.size_mm()[1]).abs() < 1e-9, "fits the paper");
        }
        assert_eq!(pages.len(), 4, "the list, and a page for each step");
        assert_eq!(pages, bend_card_pages(&told, paper));
    }
}

#[test]
fn a_step_says_tool_stop_face_both_angles_and_the_band() {
    let pages = bend_card_pages(&cards(1), PaperSize::A4);
    let all = words(&pages[1]).join(" ");
    for asked in [
        "Step 1 of 1: b1",
        "First: turn the part over",
        "punch p1: 85 deg",
        "62.4 mm",
        "marked face up",
        "92.0 deg bent through, 88.0 deg between legs",
        "90.0 deg bent through, 90.0 deg between legs",
        "68.6 and 69.6 mm",
        "89.0 deg and 91.0 deg",
        "must be 50.0 mm",
        "Never between punch and plate",
        "lip, stands up",
    ] {
        assert!(all.contains(asked), "{asked} is missing from {all}");
    }
    assert!(words(&pages[0]).iter().any(|words| words == "Have ready"));
}

#[test]
fn the_bar_of_the_card_gauge_is_fifty_millimetres_on_paper() {
    let page = &bend_card_pages(&cards(1), PaperSize::Letter)[1];
    let bar = page.split("<g class=\"bar\">").nth(1).expect("a bar");
    let commands = bar.split('"').nth(1).expect("a path");
    let numbers: Vec<f64> = commands
        .split(['M', 'L', ' '])
        .filter_map(|word| word.parse().ok())
        .collect();
    assert!((numbers[2] - numbers[0] - 50.0).abs() < 1e-6, "{commands}");
    assert!((numbers[3] - numbers[1]).abs() < 1e-6);
}

#[test]
fn a_leg_that_stands_up_hides_what_is_behind_it() {
    // Seen from the front, right and above, a tall leg toward the person hides part of the flat behind it.
    let lines = |look: PartLook| {
        let mut told = cards(1);
        told.steps[0].before = look;
        told.steps[0].after = PartLook::default();
        let page = &bend_card_pages(&told, PaperSize::A4)[1];
        let part = page.split("<g class=\"part\">").nth(1).expect("a picture");
        let part = part.split("</g>").next().expect("it ends");
        part.matches("<path").count()
    };
    let flat = lines(row(&[80.0, 60.0], &[0.0], 1));
    let bent = lines(row(&[80.0, 60.0], &[90.0_f64.to_radians()], 1));
    assert!(flat > 0 && bent > flat, "{flat} lines flat, {bent} bent");
}

#[test]
fn many_steps_long_words_and_strange_parts_stay_on_the_page() {
    let mut told = cards(12);
    told.steps[2].free_hand =
        vec!["Holds the foot in front with the palm under it, well away from the punch. ".repeat(9)];
    told.steps[3].stop = None;
    told.steps[3].stop_says = "Bend to the scribed line: it lies under the nose of the punch.".to_owned();
    told.steps[4].released_rad = std::f64::consts::PI;
    told.steps[5].before = PartLook::default();
    told.steps[6].flat = FlatPlate::default();
    told.steps[6].measure.clear();
    told.steps[7].before.faces[0].rings[0][0].x = f64::NAN;
    told.steps[8].measure = (0..24).map(|_| told.steps[0].measure[0].clone()).collect();
    let pages = bend_card_pages(&told, PaperSize::Letter);
    for page in &pages {
        texts_stand_clear(page);
    }
    for number in 1..=12 {
        let head = format!("Step {number} of 12: b{number}");
        assert!(pages.iter().any(|page| words(page).contains(&head)), "{head}");
    }
    let boxes: usize = pages
        .iter()
        .map(|page| words(page).iter().filter(|words| *words == "mm").count())
        .sum();
    assert_eq!(boxes, 10 + 24, "one for each length");
}

#[test]
fn cards_of_a_flat_part_say_that_nothing_is_bent_and_bind_to_a_pdf() {
    let pages = bend_card_pages(&cards(0), PaperSize::A4);
    assert_eq!(pages.len(), 1);
    assert!(words(&pages[0]).iter().any(|words| words == "Nothing is bent."));
    let bytes = bend_card_pdf(&cards(2), PaperSize::A4).expect("a PDF");
    show("bend.pdf", &bytes);
    assert!(bytes.starts_with(b"%PDF"));
}
