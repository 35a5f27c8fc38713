//! The order of the bends, by what the shop says of its tools.

#[expect(dead_code, reason = "the wrong files have their own tests")]
mod common;

use std::path::Path;

use common::{Texts, folder, text};
use serde_json::Value;

/// A demo with these words in place of its shop's bender.
fn demo(name: &str, bender: &str) -> Value {
    changed(name, bender, |design| design)
}

/// The same with its design changed.
fn changed(name: &str, bender: &str, change: impl Fn(String) -> String) -> Value {
    let root = Path::new("../../examples").join(name);
    let shop = text(&root.join("shop.toml"));
    let from = shop.find("[bender]").expect("the demo says its bender");
    let texts = Texts {
        design: change(text(&root.join("design.toml"))),
        fit: Some(text(&root.join("fits/own.toml"))),
        shop: Some(format!("{}[bender]\n{bender}\n", &shop[..from])),
    };
    let wanted = job::Wanted {
        would_bend: true,
        ..job::Wanted::default()
    };
    let outcome = job::run_with(&folder(&texts), &wanted).expect("a sound job");
    serde_json::to_value(&outcome.summary).expect("a summary is JSON")
}

fn names(summary: &Value) -> Vec<&str> {
    let order = summary["bend"]["order"].as_array().expect("an order");
    order.iter().filter_map(|step| step["bend"].as_str()).collect()
}

#[test]
fn the_hoes_plate_is_bent_in_an_order_that_clears_the_tools() {
    let summary = demo("push-hoe", "process = \"brake\"\ntools = \"starter\"");
    // It is bent, and the V that fits leaves less radius than the metal takes: one finding for all three bends.
    let verdict = &summary["verdicts"]["bend"];
    assert_eq!(verdict["answer"], "care", "{verdict}");
    let findings = summary["findings"].as_array().expect("findings");
    let cracks: Vec<&Value> = findings
        .iter()
        .filter(|finding| finding["code"] == "may-crack")
        .collect();
    assert_eq!(cracks.len(), 1, "{cracks:?}");
    let says = cracks[0]["says"].as_str().expect("words");
    assert!(
        ["b1", "b2", "b3"].iter().all(|bend| says.contains(bend)),
        "{says}"
    );
    for asks in summary["bend"]["asks"].as_array().expect("what each asks for") {
        let number = |key: &str| asks[key].as_f64().unwrap_or_else(|| panic!("{key} of {asks}"));
        assert_eq!(asks["crack"]["likely"], true, "{asks}");
        // The blank is developed for what comes.
        assert!((number("comes_mm") - number("radius_mm")).abs() < 1e-9, "{asks}");
        let force: Vec<f64> = asks["force_n"]
            .as_array()
            .expect("a range")
            .iter()
            .filter_map(Value::as_f64)
            .collect();
        assert!(force[0] < force[1] && force[1] < force[2], "{asks}");
    }
    let mut bends = names(&summary);
    assert_eq!(bends.len(), 3);
    bends.sort_unstable();
    assert_eq!(bends, ["b1", "b2", "b3"]);
    for step in summary["bend"]["order"].as_array().expect("an order") {
        let (bent, loaded) = (&step["bent_deg"], &step["loaded_deg"]);
        assert!(loaded.as_f64() >= bent.as_f64(), "it springs back: {step}");
        // A line on the marked face that goes up is bent with that face up, one that goes down with the other.
        let way = summary["blank"]["parts"][0]["bends"]
            .as_array()
            .expect("bends")
            .iter()
            .find(|bend| bend["name"] == step["bend"])
            .map(|bend| bend["way"].clone());
        let up = if way == Some("up".into()) {
            "marked face"
        } else {
            "far face"
        };
        assert_eq!(step["face_up"], up, "{step}");
    }
}

#[test]
fn a_shop_that_does_not_say_its_tools_gets_an_order_and_no_yes() {
    let summary = demo("push-hoe", "process = \"brake\"");
    let verdict = &summary["verdicts"]["bend"];
    assert_eq!(verdict["answer"], "not checked");
    assert!(
        verdict["says"]
            .as_str()
            .is_some_and(|says| says.contains("the order b")),
        "{verdict}"
    );
    assert_eq!(names(&summary).len(), 3);
}

#[test]
fn the_cradle_with_its_first_lip_is_stuck_and_is_told_what_would_do() {
    let narrow = |design: String| {
        design
            .replace("\"front + 15\"", "\"front + 6\"")
            .replace("round 4 mm", "round 2 mm")
    };
    let summary = changed(
        "camera-cradle",
        "process = \"brake\"\ntools = \"starter\"",
        narrow,
    );
    assert_eq!(
        summary["verdicts"]["bend"]["answer"], "no",
        "{}",
        summary["verdicts"]["bend"]
    );
    let bend = &summary["bend"];
    assert!(names(&summary).is_empty());
    let blocked = bend["blocked"].as_array().expect("reasons");
    assert_eq!(blocked.len(), 1, "the lip alone is reason enough: {bend}");
    assert_eq!(blocked[0]["bend"], "lip");
    let would_do = bend["would_do"].as_array().expect("changes");
    assert!(
        would_do
            .iter()
            .filter_map(Value::as_str)
            .any(|change| change.contains("longer")),
        "{bend}"
    );
    let fix = summary["findings"]
        .as_array()
        .expect("findings")
        .iter()
        .find(|finding| finding["code"] == "no-order")
        .map(|finding| finding["fix"].clone());
    assert_eq!(
        fix.as_ref()
            .and_then(Value::as_str)
            .map(|fix| fix.split("; or ").count()),
        Some(would_do.len())
    );
}

#[test]
fn the_cradle_as_it_is_goes_round_the_punch() {
    let summary = demo("camera-cradle", "process = \"brake\"\ntools = \"starter\"");
    assert_eq!(names(&summary).len(), 4, "{}", summary["bend"]);
    // Something comes nearer than a bend and a gauge are off together.
    assert_eq!(summary["verdicts"]["bend"]["answer"], "care");
    assert!(
        summary["bend"]["least_clearance_mm"]
            .as_f64()
            .is_some_and(|mm| mm < 3.0)
    );
}

#[test]
fn a_plate_without_bends_has_nothing_to_plan() {
    let summary = demo("flat-plate", "process = \"vice\"\ntools = \"starter\"");
    assert!(summary.get("bend").is_none());
    assert_eq!(summary["verdicts"]["bend"]["answer"], "yes");
}
