//! What a fit says of loads, as it is understood: directions, weights, what is usual.

#[expect(dead_code, reason = "the wrong files have their own tests")]
mod common;

use common::{base, folder};
use serde_json::{Value, json};

/// `carries` of the good job with these lines at the end of its fit and these at its head.
fn carries(head: &str, loads: &str) -> Value {
    let mut texts = base();
    let fit = texts.fit.take().expect("the good job has a fit");
    texts.fit = Some(fit.replace("units  = \"mm\"\n", &format!("units  = \"mm\"\n{head}\n")) + loads);
    let outcome = job::run(&folder(&texts)).expect("a sound job");
    let summary = serde_json::to_value(&outcome.summary).expect("a summary is JSON");
    summary["carries"].clone()
}

#[test]
fn a_weight_goes_down_and_a_drop_pushes_up_whichever_way_down_is() {
    let loads = "\n[loads.tray]\nkind = \"carry\"\nmass = \"2 kg\"\nat = \"post\"\n\
                 [loads.fall]\nkind = \"drop\"\nmass = \"2 kg\"\nheight = \"0.5 m\"\nat = \"post\"\n";
    let usual = carries("", loads);
    assert_eq!(usual["down_said"], false);
    assert_eq!(usual["loads"][0]["force_n"], json!([0.0, 0.0, -19.6133]));
    assert_eq!(usual["loads"][1]["toward"], json!([0.0, 0.0, 1.0]));
    let said = carries("down = [0, 2, 0]", loads);
    assert_eq!(said["down_said"], true);
    assert_eq!(said["loads"][0]["force_n"], json!([0.0, 19.6133, 0.0]));
    assert_eq!(said["loads"][1]["toward"], json!([0.0, -1.0, 0.0]));
    assert_eq!(said["loads"][1]["height_mm"], 500.0);
    assert_eq!(
        said["loads"][1]["factor"], 1.0,
        "how hard a drop is follows from its height"
    );
}

#[test]
fn pounds_and_torque_wrenches_come_out_in_n_and_n_mm() {
    let said = carries(
        "",
        "\n[loads.push]\nkind = \"push\"\nforce = \"55 lbf\"\ntoward = [3, 0, 4]\nat = \"post\"\n\
         [loads.turn]\nkind = \"twist\"\nmoment = \"10 ft-lb\"\nabout = \"-z\"\nat = \"post\"\nfactor = 1\n",
    );
    let near = |value: &Value, wanted: f64| {
        let value = value.as_f64().expect("a number");
        assert!((value - wanted).abs() < 1e-3, "{value} is not {wanted}");
    };
    // 55 x 4.448222 N, three fifths and four fifths of it.
    near(&said["loads"][0]["force_n"][0], 146.791);
    near(&said["loads"][0]["force_n"][2], 195.722);
    // 10 x 1355.818 N mm.
    near(&said["loads"][1]["moment_n_mm"][2], -13_558.179);
    assert_eq!(said["loads"][0]["factor_said"], false);
    assert_eq!(said["loads"][1]["factor_said"], true);
}

#[test]
fn the_kind_says_what_is_usual_and_the_fit_may_say_otherwise() {
    let of = |kind: &str, more: &str| {
        let text = format!(
            "\n[loads.a]\nkind = \"{kind}\"\nforce = \"50 N\"\ntoward = \"x\"\nat = \"post\"\n{more}\n"
        );
        carries("", &text)["loads"][0].clone()
    };
    assert_eq!(of("shake", "")["both_ways"], true);
    assert_eq!(of("shake", "both_ways = false")["both_ways"], false);
    assert_eq!(of("jam", "")["sudden"], true);
    assert_eq!(of("jam", "sudden = false")["sudden"], false);
    assert_eq!(of("push", "")["sudden"], false);
    assert_eq!(of("push", "factor = 3.5")["factor"], 3.5);
    assert_eq!(of("push", "").get("per_day"), None);
}

#[test]
fn a_fit_without_loads_carries_nothing_that_is_known() {
    assert_eq!(carries("", ""), Value::Null);
}
