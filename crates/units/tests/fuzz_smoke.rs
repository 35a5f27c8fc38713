//! The fuzz target `quantity` on its corpus, and on the corpus bent out of shape: the same on every run. GUSSET_CASES
//! raises the number of bent texts.

#[path = "../../../fuzz/bodies/mutate.rs"]
mod mutate;
#[path = "../../../fuzz/bodies/quantity.rs"]
mod quantity;

use std::panic::catch_unwind;
use std::path::Path;

use mutate::{Dice, corpus};

const WORDS: &[&str] = &[
    " ",
    "-",
    "/",
    "1/8",
    "1-1/8",
    ",",
    ".",
    ";",
    "(",
    ")",
    "+",
    "*",
    "'",
    "\"",
    "mm",
    "in",
    "ft",
    "deg",
    "\u{b0}",
    "N",
    "kg",
    "lb",
    "oz",
    "max(",
    "sqrt(",
    "sin(",
    "atan2(",
    "round_up(",
    "wrist",
    "\u{bd}",
    "\u{2032}",
    "\u{2212}",
    "\u{2013}",
    "e308",
    "e-5",
    "%",
    "MPa",
    "#",
    "M6x",
    "UNC",
    " ga",
    "mm2",
    "0",
];

fn run(name: &str, bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    assert!(
        catch_unwind(|| quantity::check(bytes)).is_ok(),
        "{name} broke a promise with: {text:?}"
    );
}

#[test]
fn no_text_breaks_a_promise() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fuzz/corpus/quantity");
    let seeds = corpus(&folder);
    for seed in &seeds {
        run(&seed.name, &seed.bytes);
    }
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|count| count.parse().ok())
        .unwrap_or(3000);
    let mut dice = Dice::new(1);
    for case in 0..cases {
        run(&format!("case {case}"), &mutate::mutate(&seeds, WORDS, &mut dice));
    }
}
