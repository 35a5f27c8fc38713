//! The fuzz targets `program` and `drawing` on their corpus, and on the corpus bent out of shape: the same on every run.
//! GUSSET_CASES raises the number of bent files.

#[path = "../../../fuzz/bodies/machine_files.rs"]
mod machine_files;
#[path = "../../../fuzz/bodies/mutate.rs"]
mod mutate;

use std::panic::catch_unwind;
use std::path::Path;

use mutate::{Dice, corpus};

const PROGRAM_WORDS: &[&str] = &[
    "\n", " ", "G0", "G1", "G2", "G3", "G4", "G20", "G21", "G40", "G41 D1", "G41.1 D", "G42", "G90", "G91",
    "G90.1", "M3", "M5", "M2", "X", "Y", "Z", "I", "J", "R", "F", "P", "N", "-", ".", "0", "9999999", "(",
    ")", ";", "%", "/", "#1",
];

const DRAWING_WORDS: &[&str] = &[
    "\n",
    "0\n",
    "10\n",
    "20\n",
    "11\n",
    "40\n",
    "42\n",
    "70\n1\n",
    "71\n",
    "0\nLINE\n",
    "0\nARC\n",
    "0\nCIRCLE\n",
    "0\nLWPOLYLINE\n",
    "0\nPOLYLINE\n",
    "0\nVERTEX\n",
    "0\nSEQEND\n",
    "0\nSPLINE\n",
    "0\nELLIPSE\n",
    "0\nINSERT\n2\nA\n",
    "0\nENDSEC\n",
    "0\nSECTION\n",
    "230\n-1\n",
    "-",
    ".",
    "1e9",
    "1e-9",
    "nan",
    "inf",
    "$INSUNITS",
];

fn smoke(folder: &str, words: &[&str], check: fn(&[u8])) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../fuzz/corpus")
        .join(folder);
    let seeds = corpus(&folder);
    let run = |name: &str, bytes: &[u8]| {
        let text = String::from_utf8_lossy(bytes);
        assert!(
            catch_unwind(|| check(bytes)).is_ok(),
            "{name} broke a promise with: {text:?}"
        );
    };
    for seed in &seeds {
        run(&seed.name, &seed.bytes);
    }
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|count| count.parse().ok())
        .unwrap_or(2000);
    let mut dice = Dice::new(1);
    for case in 0..cases {
        run(&format!("case {case}"), &mutate::mutate(&seeds, words, &mut dice));
    }
}

#[test]
fn no_program_breaks_a_promise() {
    smoke("program", PROGRAM_WORDS, machine_files::check_program);
}

#[test]
fn no_drawing_breaks_a_promise() {
    smoke("drawing", DRAWING_WORDS, machine_files::check_drawing);
}

#[test]
fn the_corpus_itself_is_read() {
    let folder = |name: &str| {
        Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../fuzz/corpus")
            .join(name)
    };
    let words = cut::verify::MachineWords {
        kerf_slots: vec![(1, 1.5)],
        ..cut::verify::MachineWords::default()
    };
    for seed in corpus(&folder("program")) {
        let text = String::from_utf8_lossy(&seed.bytes);
        let program = cut::verify::read_program(&text, &words);
        assert!(program.is_ok(), "{}: {program:?}", seed.name);
    }
    for seed in corpus(&folder("drawing")) {
        let answer = cut::import::import_dxf(&seed.bytes, &cut::import::ImportOptions::default());
        assert!(
            matches!(answer, Ok(cut::import::Answer::Outlines(_))),
            "{}: {answer:?}",
            seed.name
        );
    }
}
