//! `gusset hold`: whether it holds, in full.

use crate::bench_of_work::{gusset, job_from, text};

#[test]
fn the_hoe_s_plate_does_not_hold_and_every_figure_stands_beside_what_is_asked() {
    let job = job_from("push-hoe", "hold");
    let run = gusset(&["hold", text(&job)]);
    assert_eq!(run.code, 1, "{}{}", run.out, run.err);
    assert_eq!(run.err, "");
    // Lines break where they must.
    let said = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "Will it hold? no",
        "asked for",
        "of twist about the arm",
        "by hand: a flat strip",
        "the shell says",
        "Bolts, each under the load",
        "an estimate",
        "Test on the bench",
        "What would help",
        "twist",
        "fits: ",
        "stop when",
        "another person can be more",
        "MPa",
        "ksi",
        "lbf",
    ] {
        assert!(said.contains(words), "{words:?} is not said:\n{}", run.out);
    }
    assert!(
        !run.out.contains("NaN") && !run.out.contains("inf "),
        "{}",
        run.out
    );
}

#[test]
fn hold_prints_the_summary_of_check_as_json_and_what_would_help() {
    let job = job_from("push-hoe", "hold_json");
    let hold = gusset(&["hold", text(&job), "--json"]);
    assert_eq!(hold.code, 1);
    let json = |out: &str| serde_json::from_str::<serde_json::Value>(out).expect("it is JSON");
    let mut held = json(&hold.out);
    let helps = held
        .as_object_mut()
        .and_then(|held| held.remove("helps"))
        .expect("what would help is told");
    assert_eq!(held, json(&gusset(&["check", text(&job), "--json"]).out));
    let changes = helps["changes"].as_array().expect("a list of changes");
    assert!(changes.len() >= 10, "{} changes", changes.len());
    // Whatever passes comes first, the lightest first.
    let passes: Vec<bool> = changes.iter().map(|change| change["passes"] == true).collect();
    assert!(passes.is_sorted_by(|one, next| one >= next), "{passes:?}");
}

#[test]
fn what_the_loads_do_is_drawn_and_there_is_a_card_for_the_bench() {
    let job = job_from("push-hoe", "hold_made");
    let run = gusset(&["make", text(&job)]);
    assert_eq!(run.code, 1, "{}", run.err);
    for name in ["stress.svg", "proof.pdf"] {
        assert!(job.join("out").join(name).is_file(), "{name} was not written");
        assert!(run.err.contains(name), "{name} is not told of:\n{}", run.err);
    }
}
