use nalgebra::{Point3, Vector3};

use super::{ProofCard, ProofStep, ProofView, WritingHand, proof_pages, proof_pdf};
use crate::fixture;
use crate::look::{show, texts_stand_clear, words_of};
use crate::template::PaperSize;

fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|words| (*words).to_owned()).collect()
}

fn card(steps: usize) -> ProofCard {
    ProofCard {
        title: "Push-hoe forearm bracket".to_owned(),
        made_from: "Revision c41d-07, made from push-hoe, right arm, small shop".to_owned(),
        stands_for: "This test stands for the load \"push\": 150 N at the pad, straight down. It is made on a bench, with \
                     the part held as it will be held in use, and goes up to one and a half times that load."
            .to_owned(),
        hold: owned(&[
            "Bolt the foot to a steel bar or a hardwood block with m1 and m2, washers and torque as in use.",
            "Clamp the block to a bench that does not give.",
        ]),
        pull: owned(&[
            "Put a strap through p1 and p2.",
            "Hang a luggage scale or a bucket from the strap. Pull straight down, slowly.",
        ]),
        read: owned(&[
            "Stand a rule beside the seat, between p1 and p2. Read it before the pull and at every step.",
        ]),
        view: Some(ProofView {
            pose: None,
            pull_at_mm: Point3::new(116.0, 40.0, 136.0),
            pull_toward: Vector3::new(0.0, 0.0, -1.0),
            read_at_mm: Point3::new(129.0, 72.0, 143.0),
            read_toward: Vector3::new(0.0, 0.0, 1.0),
            held_at_mm: vec![
                ("m1".to_owned(), Point3::new(14.0, 14.0, 0.0)),
                ("m2".to_owned(), Point3::new(14.0, 66.0, 0.0)),
            ],
        }),
        steps: (1..=steps)
            .map(|step| {
                let pull_n = 45.0 * step as f64;
                ProofStep {
                    pull_n,
                    water_l: Some(pull_n / 9.806_65),
                    moves_mm: 0.37 * step as f64,
                    low_mm: 0.24 * step as f64,
                    high_mm: 0.56 * step as f64,
                }
            })
            .collect(),
        cautions: owned(&[
            "Test on a bench. Never on a body first.",
            "Stand clear: the part or the strap may let go and spring. Wear eye protection. Keep feet from under the load.",
        ]),
        stop: owned(&[
            "it creaks, cracks, slips, or moves when you do not pull harder;",
            "a reading is more than the higher figure of its step;",
            "it does not come back to within 0.2 mm (1/64 in) when you take the pull off.",
        ]),
        type_into: "Then type the readings into fits/right-arm.toml, one block for each step:".to_owned(),
        type_lines: owned(&["[[proof]]", "pull = \"45 N\"", "moved = \"____ mm\""]),
        writes_with: WritingHand::Right,
    }
}

#[test]
fn words_of_the_card_stand_clear_on_both_papers_and_for_both_hands() {
    for paper in [PaperSize::A4, PaperSize::Letter] {
        for hand in [WritingHand::Right, WritingHand::Left] {
            let told = ProofCard {
                writes_with: hand,
                ..card(5)
            };
            let pages = proof_pages(&fixture::bracket(), &told, paper);
            assert_eq!(pages.len(), 2, "one sheet, both sides");
            for (index, page) in pages.iter().enumerate() {
                show(
                    &format!("proof-{}-{hand:?}-{index}.svg", paper.word()),
                    page.as_bytes(),
                );
                texts_stand_clear(page);
                let (size, _) = words_of(page);
                assert!((size.height - paper.size_mm()[1]).abs() < 1e-9, "fits the paper");
            }
            assert_eq!(pages, proof_pages(&fixture::bracket(), &told, paper));
        }
    }
}

#[test]
fn a_step_says_its_pull_in_every_unit_and_has_a_box() {
    let pages = proof_pages(&fixture::bracket(), &card(3), PaperSize::A4);
    let (_, texts) = words_of(&pages[1]);
    for words in [
        "90 N",
        "9.2 kgf, 20.2 lbf",
        "9.2 litres of water",
        "0.74 mm",
        "1/32 -.002 in",
        "0.48 and 1.1 mm",
        "[[proof]]",
        "date",
    ] {
        assert!(texts.iter().any(|(text, _)| text == words), "{words} is missing");
    }
    assert_eq!(
        texts.iter().filter(|(text, _)| text == "mm").count(),
        3,
        "a box a step"
    );
}

#[test]
fn boxes_stand_on_the_side_of_the_hand_that_writes() {
    let place = |hand: WritingHand| {
        let told = ProofCard {
            writes_with: hand,
            ..card(2)
        };
        let pages = proof_pages(&fixture::bracket(), &told, PaperSize::A4);
        let (_, texts) = words_of(&pages[1]);
        texts
            .iter()
            .find(|(text, _)| text == "your reading")
            .map(|(_, frame)| frame.left)
            .expect("a column for readings")
    };
    assert!(place(WritingHand::Left) < 20.0 && place(WritingHand::Right) > 130.0);
}

#[test]
fn many_steps_go_on_to_further_pages_and_none_is_lost() {
    for steps in [0, 1, 6, 7, 8, 9, 10, 11, 12, 25] {
        let pages = proof_pages(&fixture::bracket(), &card(steps), PaperSize::Letter);
        let boxes: usize = pages[1..]
            .iter()
            .map(|page| words_of(page).1.iter().filter(|(text, _)| text == "mm").count())
            .sum();
        assert_eq!(boxes, steps);
        for page in &pages {
            texts_stand_clear(page);
        }
    }
}

#[test]
fn the_card_binds_to_a_pdf() {
    let bytes = proof_pdf(&fixture::bracket(), &card(4), PaperSize::A4).expect("a PDF");
    assert!(bytes.starts_with(b"%PDF"));
}
