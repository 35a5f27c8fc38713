//! Whole jobs: what is said of every example under each of its fits, as text and as JSON, and of the examples with one
//! thing changed as it goes wrong in a shop.

#[expect(dead_code, reason = "the wrong files have their own tests")]
mod common;

use std::path::Path;

use common::{Texts, folder};
use job::{Stopped, check_text, run, wrongs_text};
use serde_json::{Value, json};

/// Figures are held to this many digits after the point: well under what is made, well over what machines differ by.
const DECIMALS: i32 = 4;

fn job(name: &str, fit: &str) -> Texts {
    let root = Path::new("../../examples").join(name);
    Texts {
        design: common::text(&root.join("design.toml")),
        fit: Some(common::text(&root.join("fits").join(fit).with_extension("toml"))),
        shop: Some(common::text(&root.join("shop.toml"))),
    }
}

fn changed(mut texts: Texts, what: &str, into: &str) -> Texts {
    let count = texts.design.matches(what).count();
    assert_eq!(count, 1, "this stands in the design once: {what}");
    texts.design = texts.design.replace(what, into);
    texts
}

fn rounded(value: Value) -> Value {
    match value {
        Value::Number(number) => match number.as_f64() {
            Some(float) if number.is_f64() => {
                let scale = 10_f64.powi(DECIMALS);
                // The sum with 0 takes the sign off a zero.
                json!((float * scale).round() / scale + 0.0)
            }
            _ => Value::Number(number),
        },
        Value::Array(items) => items.into_iter().map(rounded).collect(),
        Value::Object(table) => Value::Object(
            table
                .into_iter()
                .map(|(key, value)| (key, rounded(value)))
                .collect(),
        ),
        plain => plain,
    }
}

/// The text and the JSON of a run; of a run that ends early, what it says.
fn told(texts: &Texts) -> (String, Option<Value>) {
    let folder = folder(texts);
    match run(&folder) {
        Ok(outcome) => {
            let mut json = serde_json::to_value(&outcome.summary).expect("a summary is JSON");
            json["gusset"] = json!("[version]");
            let text = check_text(&outcome.summary).replace(job::VERSION, "[version]");
            (text, Some(rounded(json)))
        }
        Err(Stopped::Wrong(wrongs)) => (wrongs_text(&folder, &wrongs), None),
        Err(Stopped::Refused(refusal)) => (job::refusal_text(&folder, &refusal), None),
    }
}

fn bind(test: impl FnOnce()) {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path("whole_jobs");
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(test);
}

#[test]
fn every_example_says_what_was_agreed() {
    let jobs = [
        ("flat-plate", "own"),
        ("one-bend", "own"),
        ("camera-cradle", "own"),
        ("push-hoe", "own"),
        ("push-hoe", "left-arm"),
    ];
    bind(|| {
        for (name, fit) in jobs {
            let (text, json) = told(&job(name, fit));
            insta::assert_snapshot!(format!("{name}_{fit}"), text);
            if let Some(json) = json {
                insta::assert_json_snapshot!(format!("{name}_{fit}.json"), json);
            }
        }
    });
}

#[test]
fn the_demo_with_one_thing_changed_says_what_was_agreed() {
    let hoe = || job("push-hoe", "own");
    let mut mirrored = hoe();
    mirrored.fit = mirrored
        .fit
        .map(|fit| fit.replace("hand   = \"right\"", "hand   = \"left\""));
    let mut strip = hoe();
    strip.shop = strip.shop.map(|shop| {
        format!(
            "{shop}\n[[strips]]\nplate = \"5052-H32 3/16 in\"\nthickness = \"4.75 mm\"\nradius = \"7.1 mm\"\nbent = \"90 deg\"\nflat = \"150 mm\"\nlegs = [\"79.6 mm\", \"79.5 mm\"]\ndate = \"2026-03-02\"\n"
        )
    });
    let cases = [
        (
            "changed_slip_of_10_mm",
            changed(hoe(), "read    = \"8-13/64\"", "read    = \"218.3 mm\""),
        ),
        (
            "changed_digits_swapped",
            changed(hoe(), "read    = \"8-13/64\"", "read    = \"8-31/64\""),
        ),
        (
            "changed_leg_shortened",
            changed(
                hoe(),
                "T1 = { at = [\"-230 mm\", \"-20 mm\"], exact = true }\nT2 = { at = [\"-230 mm\", \"-60 mm\"], exact = true }",
                "T1 = { at = [\"-212 mm\", \"-20 mm\"], exact = true }\nT2 = { at = [\"-212 mm\", \"-60 mm\"], exact = true }",
            ),
        ),
        (
            "changed_thickness_doubled",
            changed(hoe(), "5052-H32 3/16 in", "5052-H32 3/8 in"),
        ),
        ("changed_steel", changed(hoe(), "5052-H32 3/16 in", "A36 3/16 in")),
        ("changed_hand", mirrored),
        ("changed_test_strip", strip),
        (
            "changed_bend_way",
            changed(
                hoe(),
                "bent = \"45 deg\"\nway  = \"up\"",
                "bent = \"45 deg\"\nway  = \"down\"",
            ),
        ),
    ];
    bind(|| {
        for (name, texts) in cases {
            insta::assert_snapshot!(name, told(&texts).0);
        }
    });
}
