//! The fuzz targets of the three files on their corpus and on the corpus bent out of shape, and whole jobs with every
//! value replaced: the same on every run. GUSSET_CASES raises the number of bent texts.

#[expect(dead_code, reason = "the wrong files have their own tests")]
mod common;
#[path = "../../../fuzz/bodies/files.rs"]
mod files;
#[path = "../../../fuzz/bodies/mutate.rs"]
mod mutate;

use std::ops::Range;
use std::panic::catch_unwind;
use std::path::Path;
use std::time::{Duration, Instant};

use common::{Texts, base, folder};
use mutate::{Dice, corpus};

/// No job keeps a user waiting, whatever stands in it.
const LONGEST: Duration = Duration::from_secs(5);
const USUAL_CASES: usize = 300;

const WORDS: &[&str] = &[
    "\"",
    "'",
    "[",
    "]",
    "{",
    "}",
    "[[",
    "]]",
    "=",
    ",",
    ".",
    "#",
    "\n",
    "\r\n",
    "\t",
    "\\",
    "\"\"\"",
    "true",
    "false",
    "1",
    "-0",
    "1e308",
    "nan",
    "inf",
    "2026-03-02",
    "\"0 mm\"",
    "\"-5 mm\"",
    "\"90 deg\"",
    "\"A-B\"",
    "\"A\"",
    "[points]",
    "[[readings]]",
    "at = ",
    "swing = ",
    "\u{feff}",
    "\u{202e}",
    "\u{e9}",
    "\u{1f527}",
];

fn cases() -> usize {
    let told = std::env::var("GUSSET_CASES").ok();
    told.and_then(|cases| cases.parse().ok()).unwrap_or(USUAL_CASES)
}

fn try_bytes(what: &str, bytes: &[u8], check: fn(&[u8])) {
    assert!(
        catch_unwind(|| check(bytes)).is_ok(),
        "{what}: {}",
        String::from_utf8_lossy(bytes)
    );
}

fn smoke(target: &str, check: fn(&[u8])) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../fuzz/corpus")
        .join(target);
    let seeds = corpus(&folder);
    for seed in &seeds {
        try_bytes(&seed.name, &seed.bytes, check);
    }
    let mut dice = Dice::new(1);
    for _ in 0..cases() {
        try_bytes(target, &mutate::mutate(&seeds, WORDS, &mut dice), check);
    }
}

#[test]
fn a_bent_design_is_read_or_told() {
    smoke("design", files::check_design);
}

#[test]
fn a_bent_fit_is_read_or_told() {
    smoke("fit", files::check_fit);
}

#[test]
fn a_bent_shop_is_read_or_told() {
    smoke("shop", files::check_shop);
}

/// Values that are hard on geometry.
const HARD: &[&str] = &[
    "0 mm",
    "-5 mm",
    "1e5 mm",
    "1e-7 mm",
    "60 mm",
    "30 mm",
    "0 deg",
    "179.9 deg",
    "-30 deg",
    "1e-9 deg",
    "A",
    "E",
    "H1",
    "A-B",
];

/// The bytes between the quotes of every value, the title and the words of care left out.
fn quoted(text: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let value = line.split_once('=').map_or("", |(_, value)| value);
        let at = start + (line.len() - value.len());
        start += line.len();
        if ["title", "purpose", "about", "units"]
            .iter()
            .any(|key| line.starts_with(key))
        {
            continue;
        }
        let marks: Vec<usize> = value.match_indices('"').map(|(byte, _)| at + byte).collect();
        found.extend(marks.chunks_exact(2).map(|pair| pair[0] + 1..pair[1]));
    }
    found
}

/// Runs a job to its end; it may say what it likes, in time.
fn run_whole(texts: &Texts, what: &str) {
    let folder = folder(texts);
    let start = Instant::now();
    let ran = catch_unwind(|| {
        job::run(&folder)
            .map(|outcome| job::check_text(&outcome.summary))
            .map_err(drop)
    });
    assert!(ran.is_ok(), "{what} ends in a panic");
    let took = start.elapsed();
    assert!(took < LONGEST, "{what} took {took:?}");
}

#[test]
fn a_job_with_any_one_value_replaced_comes_to_an_end() {
    let good = base();
    for span in quoted(&good.design) {
        for hard in HARD {
            let mut texts = good.clone();
            let old = texts.design[span.clone()].to_owned();
            texts.design.replace_range(span.clone(), hard);
            let line = good.design[..span.start].matches('\n').count() + 1;
            run_whole(
                &texts,
                &format!("\"{old}\" in line {line} of the design as \"{hard}\""),
            );
        }
    }
}

#[test]
fn a_fit_with_any_one_value_replaced_comes_to_an_end() {
    let good = base();
    let fit = good.fit.clone().expect("the good job has a fit");
    for span in quoted(&fit) {
        for hard in HARD {
            let mut changed = fit.clone();
            changed.replace_range(span.clone(), hard);
            let texts = Texts {
                fit: Some(changed),
                ..good.clone()
            };
            run_whole(
                &texts,
                &format!("\"{}\" of the fit as \"{hard}\"", &fit[span.clone()]),
            );
        }
    }
}

#[test]
fn a_shop_with_any_one_value_replaced_comes_to_an_end() {
    let good = base();
    let shop = good.shop.clone().expect("the good job has a shop");
    for span in quoted(&shop) {
        for hard in HARD {
            let mut changed = shop.clone();
            changed.replace_range(span.clone(), hard);
            let texts = Texts {
                shop: Some(changed),
                ..good.clone()
            };
            run_whole(
                &texts,
                &format!("\"{}\" of the shop as \"{hard}\"", &shop[span.clone()]),
            );
        }
    }
}
