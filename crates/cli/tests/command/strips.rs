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
    ] {
        let run = read(wrong, &[]);
        assert_eq!(run.code, 2, "{wrong}: {}", run.out);
        assert!(run.err.contains(says), "{wrong}: {}", run.err);
        assert_eq!(fs::read_to_string(&shop).ok().as_ref(), Some(&before));
    }
    let found = read(&format!("{readings}; date = 2026-05-04"), &["--json"]).json();
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
            .is_some_and(|from| from.contains("2026-05-04"))
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
    assert_eq!(good["remaining"].as_array().map(Vec::len), Some(2));
    let mut typed = vec!["bend", text(&job)];
    for bend in ["b2=drawn", "b3=drawn", "b1=95deg"] {
        typed.extend(["--measured", bend]);
    }
    let bad = gusset(&typed);
    assert_eq!(bad.code, 1, "{}", bad.out);
    assert!(bad.out.contains("bend b1 back by 10.0 deg"), "{}", bad.out);
    let unknown = gusset(&["bend", text(&job), "--measured", "b9=95deg", "--json"]);
    assert_eq!(unknown.code, 2);
    assert!(
        unknown.json()["error"]
            .as_str()
            .is_some_and(|says| says.contains("b1"))
    );
}
