//! Whether it holds: the demo as it stands, and fits that leave the proof nothing to stand on.

#[expect(dead_code, reason = "the wrong files have their own tests")]
mod common;

use std::path::Path;

use common::{Texts, base, folder};
use serde_json::Value;

fn told(texts: &Texts) -> Value {
    let outcome = job::run(&folder(texts)).expect("a sound job");
    let summary = serde_json::to_value(&outcome.summary).expect("a summary is JSON");
    let text = job::hold_text(&outcome.summary);
    assert!(!text.contains("NaN"), "{text}");
    summary
}

/// The good job with its fit changed, and these lines at its end.
fn with(change: impl Fn(&str) -> String, loads: &str) -> Value {
    let mut texts = base();
    let fit = texts.fit.take().expect("the good job has a fit");
    texts.fit = Some(change(&fit) + loads);
    told(&texts)
}

fn hold(summary: &Value) -> (&str, &str) {
    let word = |key: &str| summary["verdicts"]["hold"][key].as_str().expect("a word");
    (word("answer"), word("says"))
}

/// The one finding of this code.
fn finding<'a>(summary: &'a Value, code: &str) -> &'a Value {
    let findings = summary["findings"].as_array().expect("findings");
    let mut found = findings.iter().filter(|finding| finding["code"] == code);
    let first = found
        .next()
        .unwrap_or_else(|| panic!("no {code} in {findings:?}"));
    assert!(found.next().is_none(), "{code} is told once");
    first
}

const PUSH: &str = "\n[loads.push]\nkind = \"push\"\nforce = \"30 N\"\ntoward = \"x\"\nat = \"post\"\n\
                    [never]\ndrop = \"it is bolted down\"\njam = \"nothing moves\"\n";

#[test]
fn the_hoe_s_plate_does_not_hold_as_it_stands_and_it_is_said_why() {
    let root = Path::new("../../examples/push-hoe");
    let summary = told(&Texts {
        design: common::text(&root.join("design.toml")),
        fit: Some(common::text(&root.join("fits/own.toml"))),
        shop: Some(common::text(&root.join("shop.toml"))),
    });
    let (answer, says) = hold(&summary);
    assert_eq!(answer, "no");
    assert!(says.contains("another person can be more"), "{says}");
    let codes: Vec<&str> = summary["findings"]
        .as_array()
        .expect("findings")
        .iter()
        .filter(|finding| finding["level"] == "stop")
        .filter_map(|finding| finding["code"].as_str())
        .collect();
    for code in ["plate-too-weak", "too-short-a-life"] {
        assert!(codes.contains(&code), "{code} is not among {codes:?}");
    }
    let prove = &summary["prove"];
    let loads = prove["loads"].as_array().expect("loads");
    // Four loads, and two of them at once.
    assert_eq!(loads.len(), 5);
    for load in loads {
        let ratio = load["by_hand"]["ratio"].as_f64().expect("the strip serves");
        assert!((0.5..2.0).contains(&ratio), "shell over strip is {ratio}");
    }
    let used: Vec<f64> = prove["checks"]
        .as_array()
        .expect("checks")
        .iter()
        .filter_map(|check| check["used"].as_f64())
        .collect();
    assert!(
        used.is_sorted_by(|a, b| a >= b),
        "the tightest comes first: {used:?}"
    );
    assert_eq!(
        prove["bolts"].as_array().map(Vec::len),
        Some(15),
        "three bolts, five cases"
    );
}

#[test]
fn readings_on_the_bench_correct_the_model() {
    let root = Path::new("../../examples/push-hoe");
    let fit = common::text(&root.join("fits/own.toml"));
    let texts = |readings: &str| Texts {
        design: common::text(&root.join("design.toml")),
        fit: Some(fit.clone() + readings),
        shop: Some(common::text(&root.join("shop.toml"))),
    };
    assert!(told(&texts(""))["prove"].get("corrected").is_none());
    let plan = told(&texts(""))["prove"]["proof"].clone();
    assert_eq!(plan["load"], "push");
    // A part twice as soft as its model.
    let steps = plan["steps"].as_array().expect("steps");
    let readings: String = steps
        .iter()
        .map(|step| {
            let (force_n, moves_mm) = (&step["force_n"], step["moves_mm"].as_f64().expect("a number"));
            format!(
                "\n[[proof]]\nforce = \"{force_n} N\"\ntoward = \"x\"\nread = \"{} mm\"\n",
                2.0 * moves_mm
            )
        })
        .collect();
    let corrected = told(&texts(&readings))["prove"]["corrected"].clone();
    assert_eq!(corrected["readings"], 5);
    let stiffness = corrected["stiffness"].as_f64().expect("they say something");
    // The weight that always hangs there is in the model's movement, and not in the pull.
    assert!((stiffness - 0.5).abs() < 0.1, "{stiffness}");
    let says = corrected["says"].as_str().expect("words");
    assert!(says.contains("thinner or softer"), "{says}");
    // Pulled where no load comes in, they say nothing.
    let elsewhere = told(&texts(
        "\n[[proof]]\nforce = \"50 N\"\ntoward = \"-z\"\nread = \"1 mm\"\n",
    ));
    let corrected = &elsewhere["prove"]["corrected"];
    assert!(corrected.get("stiffness").is_none(), "{corrected}");
}

#[test]
fn a_fit_without_mounts_is_not_asked_and_says_what_is_missing() {
    let unmounted = |fit: &str| {
        let (before, rest) = fit.split_once("[mounts.base]").expect("one mount");
        let (_, after) = rest.split_once("[keep_outs").expect("a keep-out behind it");
        format!("{before}[keep_outs{after}")
    };
    let summary = with(unmounted, PUSH);
    let (answer, says) = hold(&summary);
    assert_eq!(answer, "not checked");
    assert!(says.contains("[mounts]"), "{says}");
    assert!(summary.get("prove").is_none());
}

#[test]
fn one_bolt_that_is_not_tightened_leaves_the_part_free_to_turn_about_it() {
    let summary = with(str::to_owned, PUSH);
    assert_eq!(
        hold(&summary),
        (
            "not checked",
            "whether it holds could not be worked out: the mounts leave it free to move about z through (0.0, 0.0, 20.2); \
             prove the part with a test on the bench before a body depends on it"
        )
    );
    let finding = finding(&summary, "not-proved");
    assert_eq!(
        finding["fix"],
        "add a mount, or tighten the bolts (torque), so that nothing is left free to move"
    );
    assert_eq!(finding["line"], 33, "where the first load is said");
}

#[test]
fn a_load_a_metre_away_is_worked_out_and_does_not_hold() {
    let far = PUSH
        .replace("\"post\"", "[\"1000 mm\", \"0 mm\", \"0 mm\"]")
        .replace("toward = \"x\"", "toward = \"z\"")
        .replace("30 N", "300 N");
    let tightened = |fit: &str| {
        let bolt = "for  = \"M6\"\n";
        assert_eq!(fit.matches(bolt).count(), 1, "one mount");
        fit.replace(
            bolt,
            &format!("{bolt}torque = \"9 N m\"\ngrade = \"8.8\"\nmetal = \"A36\"\ndepth = \"10 mm\"\n"),
        )
    };
    let summary = with(tightened, &far);
    assert_eq!(
        hold(&summary),
        (
            "no",
            "under \"push\" the plate reaches 6358 MPa (922 ksi) in panel \"base\", far face, at 32, 29 mm on the blank (by the linear answer); it \
             breaks at 0.0 times that, and 5.0 is asked for (1 more stop, 2 more cares); for the loads listed; a fall, a jam \
             or another person can be more, so prove the part with a test on the bench before a body depends on it"
        )
    );
    assert_eq!(
        finding(&summary, "moves-far")["says"],
        "under \"push\" it moves up to 38.3 times its thickness: 1552.1 mm (61-7/64 in - 0.002 in) by the linear answer, \
         which is not to be believed that far"
    );
}

#[test]
fn nothing_carried_is_nothing_asked() {
    let summary = with(str::to_owned, "");
    let (answer, says) = hold(&summary);
    assert_eq!(answer, "not checked");
    assert!(says.contains("[loads]"), "{says}");
}

/// An arm of thin plate, 50 by 1.5 mm, held 150 mm from its tray.
const THIN_ARM: [&str; 3] = [
    "gusset = 1\ntitle = \"Thin arm\"\nunits = \"mm\"\n[plate]\nstock = \"5052-H32 1.5 mm\"\nlines_on = \"marked face\"\n\
     [points]\nA = [\"0\", \"0\"]\nB = [\"240\", \"0\"]\nC = [\"240\", \"50\"]\nD = [\"0\", \"50\"]\nH1 = [\"15\", \"25\"]\n\
     H2 = [\"55\", \"25\"]\nP1 = [\"185\", \"25\"]\nP2 = [\"225\", \"25\"]\n[outline]\nthrough = [\"A\", \"B\", \"C\", \"D\"]\n\
     [holes]\nh1 = { at = \"H1\", for = \"M6\" }\nh2 = { at = \"H2\", for = \"M6\" }\np1 = { at = \"P1\", for = \"M5\" }\n\
     p2 = { at = \"P2\", for = \"M5\" }\n",
    "gusset = 1\ntitle = \"On the bench\"\nunits = \"mm\"\n[care]\npurpose = \"Holds a tool tray.\"\nweight = false\n\
     held = false\ncontrol = \"no\"\nfeels = true\nrelease = true\n[support]\nholes = [\"p1\", \"p2\"]\n\
     at = [\"205\", \"25\", \"1.5\"]\nfor = \"M5\"\n[loads.tray]\nkind = \"carry\"\nmass = \"3 kg\"\nper_day = 20\n\
     [never]\ndrop = \"it is bolted down\"\njam = \"nothing near it moves\"\n",
    "gusset = 1\ntitle = \"Shed\"\nunits = \"mm\"\n[[stock]]\nplate = \"5052-H32 1.5 mm\"\nsize = [\"600\", \"600\"]\n\
     [cutter]\nprocess = \"laser\"\n",
];

fn thin_arm() -> Texts {
    let [design, fit, shop] = THIN_ARM.map(str::to_owned);
    let mount = |name: &str, x_mm: u32| {
        format!(
            "[mounts.{name}]\nkind = \"tapped hole\"\nhole = \"{name}\"\nat = [\"{x_mm}\", \"25\", \"0\"]\naxis = \"z\"\n\
             for = \"M6\"\ntorque = \"8 N m\"\n"
        )
    };
    Texts {
        design,
        fit: Some(fit + &mount("h1", 15) + &mount("h2", 55)),
        shop: Some(shop),
    }
}

#[test]
fn an_arm_that_moves_far_is_followed_as_it_moves_when_that_is_asked() {
    let folder = common::folder(&thin_arm());
    let linear = job::run(&folder).expect("a sound job");
    let followed = job::run_with(
        &folder,
        &job::Wanted {
            movement: job::Movement::Followed,
            ..job::Wanted::default()
        },
    )
    .expect("a sound job");
    let large = |outcome: &job::Outcome| {
        let summary = serde_json::to_value(&outcome.summary).expect("a summary is JSON");
        (
            summary["prove"]["loads"][0]["large"].clone(),
            finding(&summary, "moves-far")["says"]
                .as_str()
                .expect("words")
                .to_owned(),
        )
    };
    let (before, says) = large(&linear);
    assert!(
        before.get("moves_mm").is_none() && before.get("followed_to").is_none(),
        "{before}"
    );
    assert!(
        says.starts_with("under \"tray\" it moves up to ")
            && says.ends_with(" by the linear answer, which is not to be believed that far"),
        "{says}"
    );

    let (after, says) = large(&followed);
    let mm = |key: &str| after[key].as_f64().expect("a number");
    assert_eq!(before["linear_mm"], after["linear_mm"]);
    assert_eq!(after["followed_to"], 1.0);
    // A strip built in at one end, under a force P at the other that keeps its direction: 44.1 N on 150 mm of EI 0.99e6 N mm2
    // has P L^2 / EI = 1, where the tip moves 0.302 L against 0.333 L by the linear formula (Mattiasson, Int. J. Numer. Meth.
    // Eng. 17 (1981) 145, from memory).
    let share = mm("moves_mm") / mm("linear_mm");
    assert!((share - 0.302 / 0.333).abs() < 0.01, "{share}");
    let beside = format!(
        "{} by the linear answer, {} followed as it moves",
        units::both(mm("linear_mm")),
        units::both(mm("moves_mm"))
    );
    assert!(says.ends_with(&beside), "{says}");
    for text in [
        job::hold_text(&followed.summary),
        job::summary_text(&followed.summary),
    ] {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(&beside), "{text}");
    }
    // Nothing else is told differently, but for what is held against the limits.
    let rest = |outcome: &job::Outcome| {
        let mut summary = serde_json::to_value(&outcome.summary).expect("a summary is JSON");
        summary["prove"]["loads"][0]["large"].take();
        summary["prove"]["checks"].take();
        summary["verdicts"]["hold"].take();
        summary["findings"].take();
        summary
    };
    assert_eq!(rest(&linear), rest(&followed));
}

#[test]
fn what_was_followed_is_held_against_the_limits_of_movement_and_turn() {
    // It moves 47 mm and turns 27.6 deg by the linear answer, 42.6 mm and 25 deg when it is followed.
    let limits = "[limits]\nmoves = \"45 mm\"\nturns = \"26 deg\"\n[loads.tray]";
    let mut texts = thin_arm();
    texts.fit = texts.fit.map(|fit| fit.replace("[loads.tray]", limits));
    let folder = common::folder(&texts);
    let told = |movement: job::Movement| {
        let outcome = job::run_with(
            &folder,
            &job::Wanted {
                movement,
                ..job::Wanted::default()
            },
        )
        .expect("a sound job");
        let summary = serde_json::to_value(&outcome.summary).expect("a summary is JSON");
        let checks = summary["prove"]["checks"].as_array().expect("checks").clone();
        ["moves-too-far", "turns-too-far", "plate-too-weak"].map(|code| {
            let check = checks
                .iter()
                .find(|check| check["code"] == code)
                .expect("it is held to that");
            let says = check["says"].as_str().expect("words").to_owned();
            println!("{says}");
            (check["used"].as_f64().expect("a share"), says)
        })
    };
    let [moves, turns, stress] = told(job::Movement::Linear);
    assert!(
        moves.0 > 1.0 && moves.1.contains(" by the linear answer, and 45.0 mm"),
        "{moves:?}"
    );
    assert!(
        turns.0 > 1.0 && turns.1.contains(" by the linear answer"),
        "{turns:?}"
    );
    assert!(
        stress.1.contains("on the blank (by the linear answer)"),
        "{stress:?}"
    );
    let [followed, turned, held] = told(job::Movement::Followed);
    assert!(
        followed.0 < 1.0 && followed.1.contains(", followed as it moves, and 45.0 mm"),
        "{followed:?}"
    );
    assert!(
        turned.0 < 1.0 && turned.1.contains(", followed as it moves"),
        "{turned:?}"
    );
    // The force keeps its direction, so that its arm grows shorter as the strip bends away: no more stress than was told.
    assert!(held.1.contains("no more when followed as it moves"), "{held:?}");
    assert_eq!(held.0, stress.0);
}
