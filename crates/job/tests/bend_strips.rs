//! Test strips: K, radius and springback from what was read, and the blank that rests on them.

#[expect(dead_code, reason = "the wrong files have their own tests")]
mod common;

use std::path::Path;

use common::{Texts, folder, text};
use serde_json::Value;

/// The hoe with these rows added to its shop, and its design changed.
fn hoe(rows: &str, change: impl Fn(String) -> String) -> Value {
    let root = Path::new("../../examples/push-hoe");
    let texts = Texts {
        design: change(text(&root.join("design.toml"))),
        fit: Some(text(&root.join("fits/own.toml"))),
        shop: Some(format!("{}\n{rows}", text(&root.join("shop.toml")))),
    };
    let outcome = job::run(&folder(&texts)).expect("a sound job");
    serde_json::to_value(&outcome.summary).expect("a summary is JSON")
}

/// What is printed to a millionth, and comes by another way, is the same within this, mm.
const SAME_PLACE_MM: f64 = 1e-4;

fn strip(thickness: &str, tool: &str, radius: &str, date: &str, more: &str) -> String {
    format!(
        "[[strips]]\nplate = \"5052-H32 3/16 in\"\nthickness = \"{thickness}\"\n{radius}\nbent = \"89.5 deg\"\nflat = \"112.1 mm\"\n\
         legs = [\"60.9 mm\", \"60.7 mm\"]\ntool = \"{tool}\"\ndate = \"{date}\"\n{more}\n"
    )
}

fn bends(summary: &Value) -> &Vec<Value> {
    summary["blank"]["parts"][0]["bends"].as_array().expect("bends")
}

fn codes(summary: &Value) -> Vec<&str> {
    let findings = summary["findings"].as_array().expect("findings");
    findings
        .iter()
        .filter_map(|finding| finding["code"].as_str())
        .collect()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn without_a_strip_the_blank_is_for_what_the_v_leaves_and_says_so() {
    let summary = hoe("", |design| design);
    let radius = &summary["bend"]["true_radius"];
    assert_eq!(radius["used"], true);
    let rows = radius["bends"].as_array().expect("bends");
    assert_eq!(rows.len(), 3);
    for (row, bend) in rows.iter().zip(bends(&summary)) {
        assert!(number(&row["comes_mm"]) < number(&row["drawn_mm"]), "{row}");
        assert_eq!(bend["radius_mm"], row["comes_mm"]);
        assert_eq!(bend["k"], row["k"]);
    }
    assert!(!radius["legs"].as_array().expect("legs").is_empty());
    assert!(codes(&summary).contains(&"true-radius"));
    // A radius that the design draws so is the one that comes, and then there is nothing to say.
    let comes = number(&rows[0]["comes_mm"]);
    let drawn = hoe("", |design| {
        design.replace(
            "lines_on = \"far face\"",
            &format!("lines_on = \"far face\"\nradius = \"{comes} mm\""),
        )
    });
    assert!(drawn["bend"].get("true_radius").is_none(), "{}", drawn["bend"]);
    // The holes are where they were, and the panels: what changes is the blank between them.
    for (rows, place) in [("holes", "at_mm"), ("panels", "origin_mm")] {
        let of = |summary: &Value| summary["folded"][rows].as_array().expect("rows").clone();
        let (one, other) = (of(&summary), of(&drawn));
        assert!(!one.is_empty() && one.len() == other.len(), "{one:?} {other:?}");
        for (one, other) in one.iter().zip(&other) {
            let at = |row: &Value| row[place].as_array().expect("a place").clone();
            let (a, b) = (at(one), at(other));
            assert_eq!([a.len(), b.len()], [3, 3], "{one} {other}");
            for (a, b) in a.iter().zip(&b) {
                assert!((number(a) - number(b)).abs() < SAME_PLACE_MM, "{one} {other}");
            }
        }
    }
    let size = |summary: &Value| summary["blank"]["parts"][0]["bounds_mm"].clone();
    assert_eq!(size(&summary), size(&drawn));
}

#[test]
fn a_shop_that_does_not_say_its_tools_keeps_the_drawn_radius() {
    let root = Path::new("../../examples/push-hoe");
    let texts = Texts {
        design: text(&root.join("design.toml")),
        fit: Some(text(&root.join("fits/own.toml"))),
        shop: Some(text(&root.join("shop.toml")).replace("tools   = \"starter\"", "")),
    };
    let outcome = job::run(&folder(&texts)).expect("a sound job");
    let summary = serde_json::to_value(&outcome.summary).expect("JSON");
    assert!(summary["bend"].get("true_radius").is_none());
    for bend in bends(&summary) {
        assert!(number(&bend["radius_mm"]) > 7.0, "{bend}");
    }
}

#[test]
fn the_strip_of_the_same_tool_gives_radius_k_and_springback() {
    let plain = hoe("", |design| design);
    let tool = "V 40 die";
    let rows = [
        strip(
            "4.75 mm",
            tool,
            "radius = \"6.5 mm\"",
            "2026-03-02",
            "loaded = \"93 deg\"\ngrain = \"across\"",
        ),
        // Nearer in time, and of another tool: not asked.
        strip(
            "4.75 mm",
            "V 24 die",
            "radius = \"5.0 mm\"",
            "2026-04-02",
            "loaded = \"90 deg\"",
        ),
    ]
    .concat();
    let summary = hoe(&rows, |design| design);
    for bend in bends(&summary) {
        // By the gauge: what DIN 6935 expects of K moves it by less than a hundredth.
        assert!((number(&bend["radius_mm"]) - 6.5).abs() < 0.01, "{bend}");
        let from = bend["k_from"].as_str().expect("words");
        assert!(
            from.contains("of 2026-03-02") && from.contains("across the grain"),
            "{from}"
        );
        assert!(
            bend["radius_from"]
                .as_str()
                .is_some_and(|from| from.contains("strip of 2026-03-02"))
        );
    }
    let row = &summary["bend"]["true_radius"]["bends"][0];
    assert_eq!(row["from"], "the strip of 2026-03-02");
    let over = |summary: &Value| {
        let step = &summary["bend"]["order"][0];
        number(&step["loaded_deg"]) - number(&step["bent_deg"])
    };
    // It opened by 3.5 degrees in 89.5, and as much in each degree of the first bend.
    let first_deg = number(&summary["bend"]["order"][0]["bent_deg"]);
    assert!(over(&plain) < 1.5);
    assert!(
        (over(&summary) - 3.5 * first_deg / 89.5).abs() < 0.1,
        "{}",
        over(&summary)
    );
}

#[test]
fn a_strip_of_the_same_tool_counts_however_far_its_radius_is_from_what_was_expected() {
    // The V should leave 6 mm in 4.76 mm plate; the strip came 3 mm wider, 0.6 in r/t.
    let row = strip("4.75 mm", "V 40 die", "radius = \"9 mm\"", "2026-03-02", "");
    let wide = row.replace("[\"60.9 mm\", \"60.7 mm\"]", "[\"61.2 mm\", \"61.1 mm\"]");
    for bend in bends(&hoe(&wide, |design| design)) {
        assert!((number(&bend["radius_mm"]) - 9.0).abs() < 0.01, "{bend}");
        let from = bend["k_from"].as_str().expect("words");
        assert!(
            from.contains("2026-03-02") && !from.contains("another tool"),
            "{from}"
        );
    }
    // Of another tool, it is too far off to tell anything.
    let other = wide.replace("V 40 die", "V 24 die");
    for bend in bends(&hoe(&other, |design| design)) {
        assert!((number(&bend["radius_mm"]) - 6.0).abs() < 1e-9, "{bend}");
        assert!(
            bend["k_from"]
                .as_str()
                .is_some_and(|from| from.contains("DIN 6935")),
            "{bend}"
        );
    }
}

#[test]
fn a_strip_that_opened_further_than_plate_does_is_not_asked_how_far_to_bend() {
    let over = |summary: &Value| {
        let step = &summary["bend"]["order"][0];
        number(&step["loaded_deg"]) - number(&step["bent_deg"])
    };
    let row = |loaded: &str| {
        strip(
            "4.75 mm",
            "V 40 die",
            "radius = \"6.5 mm\"",
            "2026-03-02",
            &format!("loaded = \"{loaded}\""),
        )
    };
    let sound = hoe(&row("92 deg"), |design| design);
    assert!(
        !codes(&sound).contains(&"strip-springs-too-far"),
        "{:?}",
        codes(&sound)
    );
    let far = hoe(&row("150 deg"), |design| design);
    assert!(
        codes(&far).contains(&"strip-springs-too-far"),
        "{:?}",
        codes(&far)
    );
    // By the handbook then, at the radius that the strip told all the same.
    let unsaid = hoe(
        &strip("4.75 mm", "V 40 die", "radius = \"6.5 mm\"", "2026-03-02", ""),
        |design| design,
    );
    assert!(
        (over(&far) - over(&unsaid)).abs() < 1e-9,
        "{} {}",
        over(&far),
        over(&unsaid)
    );
    assert!(
        over(&sound) > over(&unsaid) + 0.2,
        "{} {}",
        over(&sound),
        over(&unsaid)
    );
}

#[test]
fn each_step_springs_as_the_strip_of_its_own_tool() {
    // The hoe is bent over one V 40; what a V 24 opens by is not asked as long as there is one of its own.
    let rows = |own: &str, other: &str| {
        [("V 40 die", own), ("V 24 die", other)]
            .map(|(tool, loaded)| {
                strip(
                    "4.75 mm",
                    tool,
                    "radius = \"6.5 mm\"",
                    "2026-03-02",
                    &format!("loaded = \"{loaded}\""),
                )
            })
            .concat()
    };
    let loaded = |rows: &str| {
        let summary = hoe(rows, |design| design);
        let order = summary["bend"]["order"].as_array().expect("an order").clone();
        order
            .iter()
            .map(|step| number(&step["loaded_deg"]))
            .collect::<Vec<_>>()
    };
    let one = loaded(&rows("92 deg", "97 deg"));
    assert_eq!(one, loaded(&rows("92 deg", "90 deg")));
    let further = loaded(&rows("95 deg", "90 deg"));
    assert!(
        one.iter().zip(&further).all(|(one, further)| further > one),
        "{one:?} {further:?}"
    );
}

#[test]
fn stop_distances_are_given_to_the_line_that_the_shop_asks_for() {
    let root = Path::new("../../examples/push-hoe");
    let of = |line: &str| {
        let bender = "process = \"brake\"";
        let shop = text(&root.join("shop.toml")).replace(bender, &format!("{bender}\n{line}"));
        let texts = Texts {
            design: text(&root.join("design.toml")),
            fit: Some(text(&root.join("fits/own.toml"))),
            shop: Some(shop),
        };
        job::run(&folder(&texts)).expect("a sound job")
    };
    let (unsaid, middle) = (of(""), of("gauge_to = \"middle\""));
    let tangent = of("gauge_to = \"tangent\"");
    let first = |outcome: &job::Outcome| outcome.summary.bend.as_ref().expect("a plan").order[0].clone();
    let [to_middle, to_tangent] = [
        first(&tangent).gauge_to_middle_mm.0,
        first(&tangent).gauge_to_tangent_mm.0,
    ];
    assert!(to_middle > to_tangent + 1.0);
    assert_eq!(
        [&unsaid, &middle, &tangent].map(|outcome| first(outcome).gauge_to),
        ["middle", "middle", "tangent"]
    );
    let says = |outcome: &job::Outcome| {
        job::bend_text(&outcome.summary)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    };
    let [by_middle, by_tangent] = [(to_middle, "middle"), (to_tangent, "tangent")]
        .map(|(mm, word)| format!("gauge {} from the {word} (", units::both(mm)));
    assert!(says(&middle).contains(&by_middle) && !says(&middle).contains(&by_tangent));
    assert!(says(&tangent).contains(&by_tangent) && !says(&tangent).contains(&by_middle));
    // The card has the one in its title of the stop, and the other beside it in words.
    let cards = |outcome: &job::Outcome| {
        let pages = job::picture(outcome, job::Picture::BendCards, &job::MakeOptions::default());
        pages.expect("cards").join("\n")
    };
    let (on_middle, on_tangent) = (cards(&middle), cards(&tangent));
    let (middle_words, tangent_words) = ("edge to the middle of the bend", "edge to where the bend begins");
    assert!(on_middle.contains(middle_words) && !on_middle.contains(tangent_words));
    assert!(on_tangent.contains(tangent_words) && !on_tangent.contains(middle_words));
    assert!(on_middle.contains(&format!("{to_tangent:.1} mm to where the bend begins")));
    assert!(on_tangent.contains(&format!("{to_middle:.1} mm to the middle of the bend")));
    // And so has what is worked out around a real part.
    let measured = job::measured_bends(&tangent, &owned(&["b2=drawn"])).expect("bends");
    assert!(measured.remaining.iter().all(|bend| bend.gauge_to == "tangent"));
    assert!(job::measured_text(&measured).contains("from the tangent ("));
    assert_eq!(cards(&unsaid), on_middle);
}

#[test]
fn a_sheet_that_is_not_the_strips_is_asked_about() {
    let tool = "V 40 die";
    let same = hoe(
        &strip("4.75 mm", tool, "expects = \"6 mm\"", "2026-03-02", ""),
        |design| design,
    );
    assert!(!codes(&same).contains(&"other-sheet"), "{:?}", codes(&same));
    let thin = hoe(
        &strip("4.57 mm", tool, "expects = \"6 mm\"", "2026-03-02", ""),
        |design| design,
    );
    assert!(codes(&thin).contains(&"other-sheet"), "{:?}", codes(&thin));
    let row = strip("4.75 mm", tool, "expects = \"6 mm\"", "2026-03-02", "").replace("5052-H32", "6061-T6");
    let metal = hoe(&row, |design| design);
    assert!(
        codes(&metal).contains(&"strips-of-other-plate"),
        "{:?}",
        codes(&metal)
    );
    assert!(codes(&metal).contains(&"no-test-strip"));
}

#[test]
fn a_strip_row_that_cannot_be_is_told_with_its_place() {
    let root = Path::new("../../examples/push-hoe");
    for (more, radius, says) in [
        ("", "", "no inside radius"),
        (
            "loaded = \"80 deg\"",
            "radius = \"6 mm\"",
            "a bend opens when it is let go",
        ),
        ("grain = \"slanted\"", "radius = \"6 mm\"", "slanted"),
    ] {
        let row = strip("4.75 mm", "V 40 die", radius, "2026-03-02", more);
        let texts = Texts {
            design: text(&root.join("design.toml")),
            fit: Some(text(&root.join("fits/own.toml"))),
            shop: Some(format!("{}\n{row}", text(&root.join("shop.toml")))),
        };
        let Err(job::Stopped::Wrong(wrongs)) = job::run(&folder(&texts)) else {
            panic!("{row} is taken");
        };
        assert!(wrongs.iter().any(|wrong| wrong.says.contains(says)), "{wrongs:?}");
    }
}

#[test]
fn a_strip_whose_readings_are_hardly_so_is_asked_about() {
    let tool = "V 40 die";
    let sound = strip("4.75 mm", tool, "radius = \"6.5 mm\"", "2026-03-02", "");
    assert!(!codes(&hoe(&sound, |design| design)).contains(&"strip-in-doubt"));
    // A gauge of another radius makes K what no plate has; and without one, a slipped digit is far from what was to come.
    for (from, to) in [
        ("radius = \"6.5 mm\"", "radius = \"1.5 mm\""),
        (
            "radius = \"6.5 mm\"\nbent = \"89.5 deg\"\nflat = \"112.1 mm\"\nlegs = [\"60.9 mm\", \"60.7 mm\"]",
            "expects = \"6.5 mm\"\nbent = \"89.5 deg\"\nflat = \"112.1 mm\"\nlegs = [\"59.4 mm\", \"59.3 mm\"]",
        ),
    ] {
        let row = sound.replace(from, to);
        assert!(row != sound);
        let summary = hoe(&row, |design| design);
        assert!(
            codes(&summary).contains(&"strip-in-doubt"),
            "{row}: {:?}",
            codes(&summary)
        );
    }
}

fn outcome_of(name: &str) -> job::Outcome {
    let root = Path::new("../../examples").join(name);
    let texts = Texts {
        design: text(&root.join("design.toml")),
        fit: Some(text(&root.join("fits/own.toml"))),
        shop: Some(text(&root.join("shop.toml"))),
    };
    job::run(&folder(&texts)).expect("a sound job")
}

fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|words| (*words).to_owned()).collect()
}

#[test]
fn the_rest_is_only_altered_where_something_is_gained() {
    let outcome = outcome_of("push-hoe");
    let order = &outcome.summary.bend.as_ref().expect("a plan").order;
    let order: Vec<&str> = order.iter().map(|step| step.bend.as_str()).collect();
    assert_eq!(order, ["b2", "b3", "b1"]);
    let found = job::measured_bends(&outcome, &owned(&["b2=drawn", "b3=drawn"])).expect("bends");
    assert_eq!(found.remaining.len(), 1);
    assert_eq!(found.remaining[0].bend, "b1");
    // It lands as it is: it stays as planned.
    let left = &found.remaining[0];
    assert!(found.lands && found.lands_as_planned, "{found:?}");
    assert_eq!(left.bent_deg[0], left.bent_deg[1]);
    assert_eq!(left.gauge_to_middle_mm[0], left.gauge_to_middle_mm[1]);
    // The joggle is far off, and the rest brings the frame's hole nearer than it would come.
    let off = job::measured_bends(&outcome, &owned(&["b2=52deg"])).expect("bends");
    let worst = |of: fn(&job::HoleLands) -> f64| {
        let shares = off.holes.iter().map(|hole| of(hole) / hole.allowed_mm.0);
        shares.fold(0.0, f64::max)
    };
    assert!(
        worst(|hole| hole.off_mm.0) < worst(|hole| hole.before_mm.0),
        "{off:?}"
    );
    let exact = job::measured_bends(&outcome, &owned(&["b2=drawn"])).expect("bends");
    assert!(exact.holes.iter().all(|hole| hole.off_mm.0 < 1e-6), "{exact:?}");
}

#[test]
fn what_cannot_land_is_said_with_what_would() {
    let outcome = outcome_of("push-hoe");
    let typed = ["b2=drawn", "b3=drawn", "b1=95deg"];
    let found = job::measured_bends(&outcome, &owned(&typed)).expect("bends");
    assert!(!found.lands);
    assert!(
        found.would_do[0].contains("begin the part anew, b1 bent to 85.0 deg"),
        "{:?}",
        found.would_do
    );
}

#[test]
fn measured_bends_that_cannot_be_are_told() {
    let outcome = outcome_of("push-hoe");
    for (typed, says) in [
        (&["b9=45deg"][..], "there is no bend \"b9\""),
        (&["b3=45deg"], "b3 is bent after b2"),
        (&["b1=84"], "no unit"),
        (&["b1"], "write b1=88.5deg"),
        (&["b1=84deg", "b1=85deg"], "said twice"),
        (&["b2=drawn", "b3=drawn", "b1=84deg,leg=3in"], "was typed"),
        (&["b1=drawn", "b3=135deg"], "135.0 deg between legs"),
        // Of two readings none is taken in silence.
        (&["b2=44deg,45deg"], "the angle of b2 is said twice"),
        (&["b2=drawn,44deg"], "the angle of b2 is said twice"),
        (&["b2=44deg,drawn"], "the angle of b2 is said twice"),
        (&["b2=44deg,leg=40mm,leg=41mm"], "the leg of b2 is said twice"),
    ] {
        let error = job::measured_bends(&outcome, &owned(typed))
            .expect_err(says)
            .to_string();
        assert!(error.contains(says), "{error}");
    }
    let typed = ["b2=drawn", "b3=drawn", "b1=96deg between legs"];
    let between = job::measured_bends(&outcome, &owned(&typed)).expect("bends");
    assert!((between.measured[2].bent_deg[1].0 - 84.0).abs() < 1e-9);
}
