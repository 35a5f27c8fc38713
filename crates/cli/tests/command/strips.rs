//! `gusset strip bend` and `gusset bend --measured`.

use std::fs;

use serde_json::Value;

use crate::bench_of_work::{gusset, job_from, text};

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn a_bend_strip_is_made_read_and_kept() {
    let job = job_from("push-hoe", "bend_strip");
    let out = job.join("strip");
    let made = gusset(&["strip", "bend", text(&job), "-o", text(&out), "--json"]).json();
    for name in [
        "bend-test.dxf",
        "bend-test.pdf",
        "bend-test.nc",
        "bend-test-dry-run.nc",
    ] {
        assert!(out.join(name).is_file(), "{name}");
    }
    let again = job.join("again");
    gusset(&["strip", "bend", text(&job), "-o", text(&again)]);
    for name in ["bend-test.dxf", "bend-test.pdf", "bend-test.nc"] {
        assert!(
            fs::read(out.join(name)).ok() == fs::read(again.join(name)).ok(),
            "{name}"
        );
    }
    assert!(number(&made["loaded_deg"]) > number(&made["bent_deg"]));
    let shop = job.join("shop.toml");
    let before = fs::read_to_string(&shop).expect("the demo has a shop") + "\n# do not lend the punch\n";
    fs::write(&shop, &before).expect("the shop can be written");
    let readings =
        "flat = 112.1 mm; thickness = 4.75 mm; legs = 60.9 mm, 60,7 mm; angle = 90.5 deg between legs";
    let read = |readings: &str, more: &[&str]| {
        let mut asked = vec!["strip", "bend", text(&job), "--read", readings];
        asked.extend(more);
        gusset(&asked)
    };
    for (wrong, says) in [
        (
            "flat = 112.1; thickness = 4.75 mm; legs = 60.9 mm, 60.7 mm; angle = 90 deg",
            "no unit",
        ),
        (
            "flat = 112.1 mm; legs = 60.9 mm, 60.7 mm; angle = 90 deg",
            "thickness is missing",
        ),
        (
            "flat = 112.1 mm; thickness = 4.75 mm; legs = 56.1 mm, 56.0 mm; angle = 90.5 deg between legs",
            "outside legs",
        ),
        (
            "flat = 112.1 mm; thickness = 4.75 mm; legs = 60.9 mm, 60.7 mm; angle = 93 deg",
            "angle = 93.0 deg between legs",
        ),
        // Between what is told on the way in and what is told on reading there is nothing left.
        (
            "flat = 112.1 mm; thickness = 4.75 mm; legs = 60.9 mm, 60.7 mm; angle = 89.5 deg; loaded = 88.8 deg",
            "a bend opens when it is let go",
        ),
        (
            "flat = 112.1 mm; thickness = 4.75 mm; legs = 60.9 mm, 60.7 mm; angle = 89.5 deg; radius = 1.5 mm",
            "plate has 0.2 to 0.5",
        ),
        (
            "flat = 112.1 mm; thickness = 4.75 mm; legs = 60.9 mm, 60.7 mm; angle = 89.5 deg, 88 deg",
            "angle is one reading, and 2 were typed",
        ),
        (
            "flat = 112.1 mm; thickness = 4.75 mm; legs = 60.9 mm, 60.7 mm; angle = 89.5 deg; tool = V 40, die",
            "\"V 40, die\"",
        ),
    ] {
        let run = read(wrong, &[]);
        assert_eq!(run.code, 2, "{wrong}: {}", run.out);
        assert!(run.err.contains(says), "{wrong}: {}", run.err);
        assert_eq!(fs::read_to_string(&shop).ok().as_ref(), Some(&before));
    }
    let found = read(&format!("{readings}; date = 2026-05-04, evening"), &["--json"]).json();
    assert!((number(&found["bent_deg"]) - 89.5).abs() < 1e-9);
    assert!(number(&found["k_sd"]) > 0.01 && number(&found["radius_sd_mm"]) > 0.1);
    let after = fs::read_to_string(&shop).expect("it is there");
    assert!(
        after.contains("# do not lend the punch") && after.contains("60,7 mm"),
        "{after}"
    );
    let summary = gusset(&["check", text(&job), "--json"]).json();
    let bend = &summary["blank"]["parts"][0]["bends"][0];
    assert!((number(&bend["k"]) - number(&found["k"])).abs() < 1e-6, "{bend}");
    assert!(
        (number(&bend["radius_mm"]) - number(&found["radius_mm"])).abs() < 1e-6,
        "{bend}"
    );
    assert!(
        bend["k_from"]
            .as_str()
            .is_some_and(|from| from.contains("2026-05-04, evening"))
    );
}

#[test]
fn the_command_to_type_holds_all_that_the_strip_was_made_for() {
    let job = job_from("push-hoe", "strip typed");
    let asked = [
        "strip",
        "bend",
        text(&job),
        "--tool",
        "V 40 die",
        "--radius",
        "5 mm",
        "--grain",
        "along",
    ];
    let of = |more: &[&str]| {
        let all: Vec<&str> = asked.iter().chain(more).copied().collect();
        gusset(&all).json()
    };
    let made = of(&["--json"]);
    let typed = made["to_type"].as_str().expect("a command");
    let tool = made["tool"].as_str().expect("a tool");
    for holds in [
        format!("gusset strip bend \"{}\"", text(&job)),
        format!("--tool \"{tool}\""),
        "--radius \"5 mm\"".to_owned(),
        "--grain along".to_owned(),
        format!(
            "loaded = {:.1} deg between legs",
            number(&made["loaded_between_legs_deg"])
        ),
    ] {
        assert!(typed.contains(&holds), "{holds}: {typed}");
    }
    // A tighter bend of the same plate springs less.
    let wider = gusset(&[
        "strip",
        "bend",
        text(&job),
        "--tool",
        "V 40 die",
        "--radius",
        "9 mm",
        "--json",
    ])
    .json();
    assert!(
        number(&wider["loaded_deg"]) > number(&made["loaded_deg"]) + 0.1,
        "{wider}"
    );
    // Typed as it stands, with its blanks filled in, it is read.
    let filled = typed
        .replacen("____", "112.1", 1)
        .replacen("____", "4.75", 1)
        .replacen("____", "60.9", 1)
        .replacen("____", "60.7", 1)
        .replacen("____", "90.5", 1);
    let (_, readings) = filled.split_once("--read \"").expect("readings");
    let read = of(&["--read", readings.trim_end_matches('"'), "--json"]);
    assert!(
        (number(&read["loaded_deg"]) - number(&made["loaded_deg"])).abs() < 0.051,
        "{read}"
    );
    assert_eq!([&read["grain"], &read["tool"]], [&made["grain"], &made["tool"]]);
}

#[test]
fn a_strip_that_cannot_be_written_is_told_with_the_code_of_the_disk() {
    let job = job_from("push-hoe", "strip_nowhere");
    let file = job.join("shop.toml");
    let run = gusset(&["strip", "bend", text(&job), "-o", text(&file), "--json"]);
    assert_eq!(run.code, 2, "{}", run.err);
    assert!(
        run.json()["error"]
            .as_str()
            .is_some_and(|error| error.contains("cannot be written"))
    );
}

#[test]
fn a_strip_of_a_tool_that_is_not_there_is_told() {
    let job = job_from("push-hoe", "no_such_tool");
    for (asked, says) in [
        (["--tool", "V 41 die"], "V 40 die"),
        (["--bend", "b9"], "b1"),
        (["--angle", "170 deg"], "120.0 deg"),
    ] {
        let run = gusset(&["strip", "bend", text(&job), asked[0], asked[1]]);
        assert_eq!(run.code, 2);
        assert!(run.err.contains(says), "{}", run.err);
    }
    let flat = job_from("flat-plate", "no_bends");
    assert_eq!(gusset(&["strip", "bend", text(&flat)]).code, 2);
}

#[test]
fn measured_bends_are_solved_around_or_told_that_they_cannot() {
    let job = job_from("push-hoe", "measured_bends");
    let good = gusset(&[
        "bend",
        text(&job),
        "--measured",
        "b2=135.1deg between legs",
        "--json",
    ]);
    assert_eq!(good.code, 0, "{}{}", good.out, good.err);
    let good = good.json();
    assert_eq!(good["lands"], true);
    assert_eq!(good["gusset"], env!("CARGO_PKG_VERSION"));
    assert_eq!(good["remaining"].as_array().map(Vec::len), Some(2));
    let mut typed = vec!["bend", text(&job)];
    for bend in ["b2=drawn", "b3=drawn", "b1=95deg"] {
        typed.extend(["--measured", bend]);
    }
    let bad = gusset(&typed);
    assert_eq!(bad.code, 1, "{}", bad.out);
    assert!(
        bad.out.contains("begin the part anew, b1 bent to 85.0 deg"),
        "{}",
        bad.out
    );
    let unknown = gusset(&["bend", text(&job), "--measured", "b9=95deg", "--json"]);
    assert_eq!(unknown.code, 2);
    assert!(
        unknown.json()["error"]
            .as_str()
            .is_some_and(|says| says.contains("b1"))
    );
}
