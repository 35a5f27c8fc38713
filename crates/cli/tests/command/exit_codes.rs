//! 0 done; 1 a question answered no; 2 wrong use; 3 a file is wrong; 4 refused.

use std::process::Stdio;

use crate::bench_of_work::{command, edit, gusset, job_from, place, text};

#[test]
fn a_plate_that_fits_closes_with_0() {
    let job = job_from("flat-plate", "closes_with_0");
    let run = gusset(&["check", text(&job)]);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    for question in [
        "Does it fit?",
        "Can it be cut?",
        "Can it be bent?",
        "Will it hold?",
    ] {
        assert!(
            run.out.contains(question),
            "{question} is not asked:\n{}",
            run.out
        );
    }
    assert_eq!(run.err, "", "nothing but the result was to be said");
}

#[test]
fn a_mount_10_mm_off_its_hole_is_a_no_and_closes_with_1() {
    let job = job_from("flat-plate", "closes_with_1");
    edit(
        &job.join("fits/own.toml"),
        "[\"70\", \"0\", \"0\"]",
        "[\"80\", \"0\", \"0\"]",
    );
    let run = gusset(&["check", text(&job)]);
    assert_eq!(run.code, 1, "{}{}", run.out, run.err);
    let fits = run.out.lines().find(|line| line.starts_with("Does it fit?"));
    assert!(fits.is_some_and(|line| line.contains(" no ")), "{}", run.out);
    // Two holes 10 mm too near each other: the best placement leaves each 5 mm off.
    let offset = gusset(&["check", text(&job), "--json"]).json()["fit"]["mounts"][0]["offset_mm"].as_f64();
    assert!(offset.is_some_and(|mm| (mm - 5.0).abs() < 0.01), "{offset:?}");
}

#[test]
fn make_writes_its_files_even_when_an_answer_is_no() {
    let job = job_from("flat-plate", "no_but_made");
    edit(
        &job.join("fits/own.toml"),
        "[\"70\", \"0\", \"0\"]",
        "[\"80\", \"0\", \"0\"]",
    );
    let run = gusset(&["make", text(&job)]);
    assert_eq!(run.code, 1, "{}", run.err);
    assert!(job.join("out/blank.dxf").is_file());
}

#[test]
fn wrong_use_closes_with_2_and_says_what_is_there() {
    let nothing = place("nothing_here");
    let job = job_from("flat-plate", "wrong_use");
    let no_design = job.join("fits");
    let cases: [(&[&str], &str); 6] = [
        (&["chekc", "x"], "chekc"),
        (&[], "Usage"),
        (&["check", text(&nothing)], "no folder"),
        (&["check", text(&no_design)], "design.toml"),
        (&["check", text(&job), "--fit", "left-arm"], "own"),
        (&["make", text(&job), "--measured", "99"], "99.2 mm x 99.6 mm"),
    ];
    for (arguments, says) in cases {
        let run = gusset(arguments);
        assert_eq!(run.code, 2, "{arguments:?}: {}{}", run.out, run.err);
        assert!(
            run.err.contains(says),
            "{arguments:?} does not say {says:?}: {}",
            run.err
        );
    }
}

#[test]
fn a_file_that_is_wrong_closes_with_3_and_tells_place_and_mend_of_every_fault() {
    let job = job_from("flat-plate", "closes_with_3");
    let design = job.join("design.toml");
    edit(&design, "\"100\", \"0\"", "\"100\", \"O\"");
    edit(&design, "for = \"M6\"", "fro = \"M6\"");
    let run = gusset(&["check", text(&job)]);
    assert_eq!(run.code, 3, "{}{}", run.out, run.err);
    assert_eq!(run.out, "");
    assert!(run.err.contains("design.toml:"), "{}", run.err);
    assert!(run.err.contains('^'), "no caret:\n{}", run.err);
    assert!(
        run.err.contains("fro"),
        "the second fault is not told:\n{}",
        run.err
    );
    let told = gusset(&["check", text(&job), "--json"]);
    assert_eq!(told.code, 3);
    assert!(told.json().is_object());
}

#[test]
fn a_part_that_carries_a_body_is_refused_with_4_and_nothing_is_made() {
    let job = job_from("flat-plate", "closes_with_4");
    edit(&job.join("fits/own.toml"), "weight  = false", "weight  = true");
    let run = gusset(&["make", text(&job)]);
    assert_eq!(run.code, 4, "{}{}", run.out, run.err);
    assert!(run.err.contains("Ask "), "who to ask is not said: {}", run.err);
    assert!(!job.join("out").exists());
    assert_eq!(gusset(&["show", text(&job), "bends", "--json"]).code, 4);
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let job = job_from("flat-plate", "broken_pipe");
    for arguments in [
        vec!["check", text(&job)],
        vec!["check", text(&job), "--json"],
        vec!["show", text(&job), "points"],
        vec!["schema", "design"],
        vec!["completions", "bash"],
        vec!["--help"],
    ] {
        let mut child = command(&arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the command starts");
        drop(child.stdout.take());
        let output = child.wait_with_output().expect("the command ends");
        assert_eq!(output.status.code(), Some(0), "{arguments:?}");
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{arguments:?}");
    }
}
