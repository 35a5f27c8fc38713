//! `gusset bend`.

use std::fs;

use crate::bench_of_work::{gusset, job_from, text};

const CARDS: &str = "bend-cards.pdf";

/// How many pages a PDF says it has.
fn pages(bytes: &[u8]) -> usize {
    let body = String::from_utf8_lossy(bytes);
    let counts = body.split("/Count ").skip(1);
    let count = |rest: &str| {
        let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
        digits.parse::<usize>().ok()
    };
    counts.filter_map(count).max().unwrap_or(0)
}

#[test]
fn the_cards_have_the_list_and_a_page_for_each_step_the_same_each_time() {
    for (demo, steps) in [("one-bend", 1), ("push-hoe", 3), ("camera-cradle", 4)] {
        let job = job_from(demo, &format!("bend_{demo}"));
        let cards = |out: &str| {
            let out = job.join(out);
            let run = gusset(&["bend", text(&job), "-o", text(&out)]);
            assert!(run.code <= 1, "{demo}: {}{}", run.out, run.err);
            assert!(run.err.contains(CARDS), "{}", run.err);
            fs::read(out.join(CARDS)).expect("the cards")
        };
        let once = cards("once");
        assert_eq!(pages(&once), 1 + steps, "{demo}");
        assert!(once == cards("again"), "{demo}");
        let made = job.join("made");
        gusset(&["make", text(&job), "-o", text(&made)]);
        assert!(fs::read(made.join(CARDS)).ok() == Some(once), "{demo}");
    }
}

#[test]
fn cards_of_an_older_order_are_taken_away_when_there_is_none() {
    let job = job_from("camera-cradle", "bend_none");
    let out = job.join("out");
    gusset(&["bend", text(&job)]);
    assert!(out.join(CARDS).is_file());
    let design = job.join("design.toml");
    let tight = fs::read_to_string(&design)
        .expect("a design")
        .replace("\"front + 15\"", "\"front + 6\"")
        .replace("round 4 mm", "round 2 mm");
    fs::write(&design, &tight).expect("it is written");
    let run = gusset(&["bend", text(&job)]);
    assert_eq!(run.code, 1, "{}{}", run.out, run.err);
    assert!(run.err.contains("taken away"), "{}", run.err);
    assert!(!out.join(CARDS).exists());
    assert!(run.out.contains("would do"), "{}", run.out);
}
