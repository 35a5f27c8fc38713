//! `gusset make`: its files, where they go, and that they are the same each time.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::bench_of_work::{DEMOS, gusset, job_from, place, text};

fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    fs::read_dir(folder)
        .expect("the folder was made")
        .map(|entry| {
            let path = entry.expect("the folder can be listed").path();
            let name = path
                .file_name()
                .expect("it has a name")
                .to_string_lossy()
                .into_owned();
            (name, fs::read(&path).expect("the file can be read"))
        })
        .collect()
}

#[test]
fn making_twice_gives_identical_files() {
    for demo in DEMOS {
        let job = job_from(demo, &format!("twice_{demo}"));
        let (once, again) = (job.join("once"), job.join("again"));
        for out in [&once, &again] {
            let run = gusset(&["make", text(&job), "-o", text(out)]);
            // 1 is done too: some demos do not hold as they stand.
            assert!(run.code <= 1, "{demo}: {}{}", run.out, run.err);
        }
        let (once, again) = (files(&once), files(&again));
        for name in [
            "blank.dxf",
            "blank.svg",
            "template.pdf",
            "folded.step",
            "folded.stl",
            "stress.svg",
            "summary.json",
            "summary.txt",
        ] {
            assert!(
                once.get(name).is_some_and(|bytes| !bytes.is_empty()),
                "{demo} has no {name}"
            );
        }
        for (name, bytes) in &once {
            assert!(
                again.get(name) == Some(bytes),
                "{demo}/{name} differs from one run to the next"
            );
        }
    }
}

#[test]
fn files_go_into_the_job_s_own_folder_unless_told_otherwise() {
    let job = job_from("flat-plate", "own_folder");
    let run = gusset(&["make", text(&job)]);
    assert_eq!(run.code, 0, "{}", run.err);
    let made = files(&job.join("out"));
    assert!(made.contains_key("template.pdf"));
    for name in made.keys() {
        assert!(
            run.err.contains(name.as_str()),
            "{name} is not told of:\n{}",
            run.err
        );
    }
    assert!(
        !made.keys().any(|name| name.starts_with('.')),
        "a half-written file was left"
    );
}

#[test]
fn the_summary_on_disk_is_the_one_that_check_prints() {
    let job = job_from("one-bend", "same_summary");
    let printed = gusset(&["check", text(&job), "--json"]).out;
    gusset(&["make", text(&job)]);
    let written = fs::read_to_string(job.join("out/summary.json")).expect("it was written");
    assert_eq!(printed, written);
}

#[test]
fn a_folder_that_cannot_be_written_is_named() {
    let job = job_from("flat-plate", "unwritable");
    let file = job.join("shop.toml");
    let out = file.join("out");
    let run = gusset(&["make", text(&job), "-o", text(&out)]);
    assert_eq!(run.code, 2, "{}{}", run.out, run.err);
    assert!(run.err.contains("shop.toml"), "{}", run.err);
}

#[test]
fn a_measured_printer_gets_a_template_of_its_own() {
    let job = job_from("flat-plate", "measured");
    let (plain, drawn) = (place("measured_plain"), place("measured_out"));
    assert_eq!(gusset(&["make", text(&job), "-o", text(&plain)]).code, 0);
    let run = gusset(&[
        "make",
        text(&job),
        "-o",
        text(&drawn),
        "--measured",
        "99.2 mm x 99.6 mm",
    ]);
    assert_eq!(run.code, 0, "{}", run.err);
    let (plain, drawn) = (files(&plain), files(&drawn));
    for (name, bytes) in &plain {
        let same = drawn.get(name) == Some(bytes);
        assert_eq!(same, name != "template.pdf", "{name}");
    }
    let far_out = gusset(&["make", text(&job), "--measured", "50 mm x 50 mm"]);
    assert_eq!(far_out.code, 2, "no printer is out by half: {}", far_out.err);
}

#[test]
fn paper_and_cut_file_are_chosen_by_name() {
    let job = job_from("flat-plate", "choices");
    let run = gusset(&[
        "make",
        text(&job),
        "--paper",
        "letter",
        "--dxf",
        "r12",
        "--dxf-units",
        "in",
    ]);
    assert_eq!(run.code, 0, "{}", run.err);
    let dxf = fs::read_to_string(job.join("out/blank.dxf")).expect("it was written");
    assert!(dxf.contains("AC1009"), "not the old form");
    assert_eq!(gusset(&["make", text(&job), "--paper", "a3"]).code, 2);
}
