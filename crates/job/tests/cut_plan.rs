//! The plan of the cut, by what the shop says of its cutter.

#[expect(dead_code, reason = "the wrong files have their own tests")]
mod common;

use common::{Texts, base, folder};
use job::Stopped;
use serde_json::Value;

/// The good job with these lines at the end of its shop, its cutter left out.
fn with_shop(lines: &str) -> Result<Value, Vec<job::files::Wrong>> {
    let mut texts = base();
    texts.shop = Some(format!(
        "gusset = 1\nunits = \"mm\"\n\n[[stock]]\nplate = \"5052-H32 3 mm\"\nsize = [\"600\", \"400\"]\n\n[bender]\nprocess = \"brake\"\n{lines}"
    ));
    told(&texts)
}

fn told(texts: &Texts) -> Result<Value, Vec<job::files::Wrong>> {
    match job::run(&folder(texts)) {
        Ok(outcome) => Ok(serde_json::to_value(&outcome.summary).expect("a summary is JSON")),
        Err(Stopped::Wrong(wrongs)) => Err(wrongs),
        Err(Stopped::Refused(_)) => panic!("refused"),
    }
}

fn plan(lines: &str) -> Value {
    let summary = with_shop(lines).unwrap_or_else(|wrongs| panic!("{wrongs:?}"));
    let cut = summary["cut"].clone();
    assert!(cut.is_object(), "{}", summary["verdicts"]["cut"]);
    assert_eq!(cut["program"], true, "{}", summary["verdicts"]["cut"]);
    cut
}

fn wrong(lines: &str) -> String {
    let wrongs = with_shop(lines).expect_err("this cannot be a cutter");
    let says: Vec<String> = wrongs
        .iter()
        .map(|wrong| format!("{} (expected {:?})", wrong.says, wrong.expected))
        .collect();
    says.join("\n")
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

const PLASMA: &str = "\n[cutter]\nprocess = \"plasma\"\n";

#[test]
fn a_kerf_test_of_this_plate_goes_before_the_table_and_lets_holes_be_cut() {
    let guessed = plan(PLASMA);
    assert_eq!(number(&guessed["kerf_mm"]), 1.8);
    let drilled = |cut: &Value| {
        let holes = cut["holes"].as_array().expect("holes");
        holes.iter().filter(|hole| hole["way"] != "cut").count()
    };
    assert!(drilled(&guessed) > 0, "by the table the cut can be 1.2 mm off");
    let test = format!(
        "{PLASMA}\n[[kerfs]]\nplate = \"5052-H32 3 mm\"\npitch = \"10\"\nteeth = [\"8.48\", \"8.52\", \"8.5\"]\ndate = \"2026-05-04\"\n"
    );
    // A good machine, well kept: class 1.
    let measured = plan(&test.replace("[cutter]", "[cutter]\nsize_class = 1"));
    let guessed = plan(&PLASMA.replace("[cutter]", "[cutter]\nsize_class = 1"));
    assert!((number(&measured["kerf_mm"]) - 1.5).abs() < 1e-6);
    assert!(number(&measured["kerf_sd_mm"]) < 0.05);
    assert!(
        measured["kerf_from"]
            .as_str()
            .is_some_and(|from| from.contains("2026-05-04"))
    );
    assert!(drilled(&measured) < drilled(&guessed));
    // A test of another plate says nothing of this one.
    let other = plan(&test.replace("plate = \"5052-H32 3 mm\"\npitch", "plate = \"A36 3 mm\"\npitch"));
    assert_eq!(number(&other["kerf_mm"]), 1.8);
}

#[test]
fn teeth_that_disagree_are_told_where_they_stand() {
    let says = wrong(&format!(
        "{PLASMA}\n[[kerfs]]\nplate = \"5052-H32 3 mm\"\npitch = \"10\"\nteeth = [\"8.48\", \"8.95\", \"8.5\"]\n"
    ));
    assert!(says.contains("tooth 2 stands out"), "{says}");
}

#[test]
fn the_machines_own_chart_goes_before_the_handbooks() {
    let usual = plan(PLASMA);
    let own = plan(&format!(
        "{PLASMA}\n[[cutter.chart]]\nmetal = \"aluminium\"\nthickness = \"3\"\nfeed = \"150 in/min\"\nsource = \"page 31\"\n"
    ));
    assert!((number(&own["feed_mm_min"]) - 3810.0).abs() < 1e-6);
    assert_eq!(own["feed_from"], "page 31");
    assert!(number(&usual["feed_mm_min"]) != 3810.0);
    // A chart of another metal leaves this one alone.
    let steel = plan(&format!(
        "{PLASMA}\n[[cutter.chart]]\nmetal = \"steel\"\nthickness = \"3\"\nfeed = \"150 in/min\"\n"
    ));
    assert_eq!(steel["feed_mm_min"], usual["feed_mm_min"]);
}

#[test]
fn a_plate_beyond_the_chart_is_not_checked_and_asks_for_its_line() {
    let summary = with_shop(&format!(
        "{PLASMA}\n[[cutter.chart]]\nmetal = \"aluminium\"\nthickness = \"10\"\nfeed = \"900 mm/min\"\ndelay = \"1 s\"\npierce_height = \"4\"\ncut_height = \"2\"\n"
    ))
    .expect("a sound shop");
    assert!(summary.get("cut").is_none());
    assert_eq!(summary["verdicts"]["cut"]["answer"], "not checked");
    let codes: Vec<&str> = summary["findings"]
        .as_array()
        .expect("findings")
        .iter()
        .filter_map(|finding| finding["code"].as_str())
        .collect();
    assert!(codes.contains(&"no-chart-line"), "{codes:?}");
}

#[test]
fn a_flame_does_not_cut_aluminium() {
    let summary = with_shop("\n[cutter]\nprocess = \"oxy\"\n").expect("a sound shop");
    assert_eq!(summary["verdicts"]["cut"]["answer"], "no");
    assert!(summary.get("cut").is_none());
}

#[test]
fn a_saw_follows_no_path_and_is_held_to_its_rules() {
    let summary = with_shop("\n[cutter]\nprocess = \"saw and drill\"\n").expect("a sound shop");
    assert!(summary.get("cut").is_none());
    assert_ne!(summary["verdicts"]["cut"]["answer"], "not checked");
}

#[test]
fn zero_is_set_where_the_shop_says() {
    for (said, words) in [
        ("\"upper right\"", "the upper right corner of the sheet"),
        ("\"lower right\"", "the lower right corner of the sheet"),
        ("[\"0\", \"0\"]", "the lower left corner of the sheet"),
        (
            "[\"100\", \"50\"]",
            "100.0 mm to the right of and 50.0 mm above the lower left corner of the sheet",
        ),
    ] {
        let cut = plan(&format!("{PLASMA}zero = {said}\n"));
        assert_eq!(cut["zero"], words);
    }
    // The sheet may lie anywhere on the table; places in the program are from zero all the same.
    let here = plan(&format!("{PLASMA}table = {{ sheet_at = [\"0\", \"0\"] }}\n"));
    let there = plan(&format!("{PLASMA}table = {{ sheet_at = [\"210\", \"85\"] }}\n"));
    for (one, other) in [(&here, &there)] {
        let pierces = |cut: &Value| -> Vec<f64> {
            let order = cut["order"].as_array().expect("an order");
            order
                .iter()
                .flat_map(|row| [number(&row["pierce_mm"][0]), number(&row["pierce_mm"][1])])
                .collect()
        };
        for (a, b) in pierces(one).into_iter().zip(pierces(other)) {
            assert!((a - b).abs() < 1e-6);
        }
    }
}

#[test]
fn what_is_gone_and_what_is_clamped_stays_clear() {
    let bare = plan(PLASMA);
    let at = |cut: &Value| {
        let placed = &cut["placed"][0];
        [number(&placed["at_mm"][0]), number(&placed["at_mm"][1])]
    };
    let clamped = plan(&format!(
        "{PLASMA}table = {{ clamps = [{{ from = [\"0\", \"0\"], to = [\"60\", \"60\"] }}] }}\n"
    ));
    assert_ne!(at(&bare), at(&clamped));
    let mut texts = base();
    texts.shop = Some(
        "gusset = 1\nunits = \"mm\"\n\n[[stock]]\nplate = \"5052-H32 3 mm\"\nsize = [\"600\", \"400\"]\n\
         gone = [[[\"-1\", \"-1\"], [\"300\", \"-1\"], [\"300\", \"401\"], [\"-1\", \"401\"]]]\n\n[cutter]\nprocess = \"plasma\"\n"
            .into(),
    );
    let summary = told(&texts).unwrap_or_else(|wrongs| panic!("{wrongs:?}"));
    let order = summary["cut"]["order"].as_array().expect("an order");
    for row in order {
        // Zero is the lower left corner of what is left.
        assert!(number(&row["pierce_mm"][0]) >= 0.0, "{row}");
    }
}

#[test]
fn the_smallest_sheet_that_holds_the_part_is_taken() {
    let mut texts = base();
    let sheet = |name: &str, w: u32, h: u32| {
        format!("[[stock]]\nname = \"{name}\"\nplate = \"5052-H32 3 mm\"\nsize = [\"{w}\", \"{h}\"]\n\n")
    };
    texts.shop = Some(format!(
        "gusset = 1\nunits = \"mm\"\n\n{}{}{}{}[cutter]\nprocess = \"plasma\"\n",
        sheet("large", 900, 900),
        sheet("tiny", 40, 30),
        sheet("fits", 300, 250),
        sheet("long and thin", 900, 20),
    ));
    let summary = told(&texts).unwrap_or_else(|wrongs| panic!("{wrongs:?}"));
    assert_eq!(summary["cut"]["sheet"]["name"], "fits");
    assert_eq!(summary["cut"]["sheet"]["number"], 3);
}

#[test]
fn what_cannot_be_a_cutter_is_told_with_the_way_out() {
    for (line, wanted) in [
        ("travel = { speed = \"fast\" }", "3800 mm/min"),
        ("travel = { speed = \"0 mm/min\" }", "more than 0"),
        ("hole_feed = 1.5", "0.01 to 1"),
        ("size_class = 4", "1 to 2"),
        ("program = { decimals = 2 }", "decimals are too few"),
        ("program = { torch = [\"M3\", \"M3\"] }", "stands for two things"),
        ("program = { torch = [\"M2\", \"M5\"] }", "stops the program"),
        (
            "table = { clamps = [{ from = [\"5\", \"5\"], to = [\"5\", \"60\"] }] }",
            "two corners across",
        ),
        ("outside = { angle = \"200 deg\" }", "0 to 180"),
        ("outside = { in = \"-3\" }", "0 or more"),
        ("rates = { set = [9, 6] }", "least and the most"),
        ("kerf = \"0\"", "more than 0"),
        (
            "chart = [{ metal = \"aluminium\", thickness = \"3\", feed = \"3800\" }]",
            "3800 mm/min",
        ),
    ] {
        let says = wrong(&format!("{PLASMA}{line}\n"));
        assert!(says.contains(wanted), "{line}: {says}");
    }
}

#[test]
fn costs_are_ranges_of_the_shops_own_rates() {
    let cut = plan(&format!(
        "{PLASMA}rates = {{ money = \"EUR\", shop_hour = [20, 30], set = 8, set_pierces = [100, 200], plate_kg = 6 }}\n"
    ));
    let bill = &cut["bill"];
    assert_eq!(bill["money"], "EUR");
    let pierces = number(&cut["pierces"]);
    let worn = |end: usize| number(&bill["sets_worn"][end]);
    assert!((worn(0) - pierces / 200.0).abs() < 1e-6 && (worn(1) - pierces / 100.0).abs() < 1e-6);
    assert!((number(&bill["wear"][0]) - 8.0 * pierces / 200.0).abs() < 1e-6);
    let hours = |end: usize| number(&cut["time_s"][end]) / 3600.0;
    assert!((number(&bill["time"][0]) - 20.0 * hours(0)).abs() < 1e-5);
    assert!((number(&bill["time"][1]) - 30.0 * hours(1)).abs() < 1e-5);
    assert!(plan(PLASMA).get("bill").is_none());
}

#[test]
fn a_hole_that_may_come_off_the_table_small_is_a_care_of_the_fit() {
    let root = std::path::Path::new("../../examples/flat-plate");
    let texts = |kerfs: &str| Texts {
        design: common::text(&root.join("design.toml")),
        // The second hole of the bench is 0.35 mm farther than the plate has it: 0.18 mm off at each, 0.30 allowed.
        fit: Some(
            common::text(&root.join("fits/own.toml"))
                .replace("[\"70\", \"0\", \"0\"]", "[\"70.35\", \"0\", \"0\"]"),
        ),
        shop: Some(common::text(&root.join("shop.toml")) + kerfs),
    };
    let guessed = told(&texts("")).unwrap_or_else(|wrongs| panic!("{wrongs:?}"));
    assert_eq!(
        guessed["verdicts"]["fit"]["answer"], "care",
        "{}",
        guessed["verdicts"]["fit"]
    );
    let says = guessed["verdicts"]["fit"]["says"].as_str().unwrap_or_default();
    assert!(says.contains("0.35 mm small"), "{says}");
    let test =
        "\n[[kerfs]]\nplate = \"5052-H32 3 mm\"\npitch = \"10\"\nteeth = [\"9.0\", \"9.0\", \"9.02\"]\n";
    let measured = told(&texts(test)).unwrap_or_else(|wrongs| panic!("{wrongs:?}"));
    assert_eq!(
        measured["verdicts"]["fit"]["answer"], "yes",
        "{}",
        measured["verdicts"]["fit"]
    );
}

#[test]
fn a_machine_that_marks_marks_ends_of_bends_and_centres_when_its_words_are_said() {
    let root = std::path::Path::new("../../examples/push-hoe");
    let cut = |marks: &str| {
        let texts = Texts {
            design: common::text(&root.join("design.toml")),
            fit: Some(common::text(&root.join("fits/own.toml"))),
            shop: Some(
                common::text(&root.join("shop.toml")).replace("[cutter]\n", &format!("[cutter]\n{marks}")),
            ),
        };
        told(&texts).unwrap_or_else(|wrongs| panic!("{wrongs:?}"))["cut"].clone()
    };
    let marks = "marks = { feed = \"5000 mm/min\", tick = \"6 mm\", words = [\"M64 P2\", \"M65 P2\"] }\n";
    let marked = cut(marks);
    // Three bends have two ends each; two holes are too small to be cut and are drilled from their marks.
    assert_eq!(marked["marks"]["bend_ends"], 6);
    assert_eq!(marked["marks"]["centres"], 2);
    assert!(marked["marks"].get("wrong").is_none(), "{}", marked["marks"]);
    let seconds = |value: &Value| [0, 1].map(|k| value[k].as_f64().expect("a time"));
    let (marking_s, whole_s) = (seconds(&marked["marks"]["time_s"]), seconds(&marked["time_s"]));
    assert!(0.0 < marking_s[0] && marking_s[0] < marking_s[1] && marking_s[1] < whole_s[1]);
    // Without words nothing lowers the marker, and marks are made by hand.
    assert!(
        cut(&marks.replace(", words = [\"M64 P2\", \"M65 P2\"]", ""))
            .get("marks")
            .is_none()
    );
    let says = wrong(&format!("{PLASMA}{}", marks.replace("M64 P2", "M3")));
    assert!(says.contains("M3"), "{says}");
}

/// A window with a corner cut off by 0.6 mm, of which the middle of a kerf of 1.8 mm leaves 0.1 mm.
fn window_too_fine_to_shift(program: &str, copies: usize) -> Vec<Value> {
    let mut texts = base();
    texts.design = texts
        .design
        .replace(
            "W3 = [\"90 mm\", \"20 mm\"]",
            "W3 = [\"100 mm\", \"29.4 mm\"]\nW4 = [\"99.4 mm\", \"30 mm\"]\nW5 = [\"80 mm\", \"30 mm\"]",
        )
        .replace(
            "[\"W1\", \"W2\", \"W3\"]",
            "[\"W1\", \"W2\", \"W3\", \"W4\", \"W5\"]",
        );
    let cutter = "[cutter]\nprocess = \"plasma\"\n";
    texts.shop = texts
        .shop
        .map(|shop| shop.replace(cutter, &format!("{cutter}{program}\n")));
    let wanted = job::Wanted {
        cut: job::CutChoice {
            copies,
            ..job::CutChoice::default()
        },
        ..job::Wanted::default()
    };
    let outcome = job::run_with(&folder(&texts), &wanted).expect("a sound job");
    let summary = serde_json::to_value(&outcome.summary).expect("a summary is JSON");
    assert_eq!(summary["cut"]["program"], true, "{}", summary["verdicts"]["cut"]);
    let findings = summary["findings"].as_array().expect("findings");
    let told = findings
        .iter()
        .filter(|finding| finding["code"] == "shifted-here");
    told.cloned().collect()
}

#[test]
fn a_window_that_the_machine_cannot_shift_is_told_once_with_its_cuts_and_its_place_from_zero() {
    assert!(window_too_fine_to_shift("", 2).is_empty());
    let one = window_too_fine_to_shift("program = { kerf_by = \"machine table\", kerf_row = 3 }", 1);
    let [finding] = one.as_slice() else {
        panic!("{one:?}");
    };
    let says = finding["says"].as_str().expect("words");
    assert!(says.starts_with("w1 (cut "), "{says}");
    assert!(
        says.contains("mm from zero is 0.10 mm long in the middle of the kerf"),
        "{says}"
    );
    assert!(
        says.ends_with("and none under 0.18 mm is left to a machine"),
        "{says}"
    );
    let fix = |finding: &Value| finding["fix"].to_string();
    assert!(fix(finding).contains("row 3 of the machine's table"), "{finding}");
    // Places are the program's: the sheet may lie anywhere on the table.
    let there = window_too_fine_to_shift(
        "program = { kerf_by = \"machine table\", kerf_row = 3 }\ntable = { sheet_at = [\"210\", \"85\"] }",
        1,
    );
    assert_eq!(there[0]["says"], finding["says"]);
    // Two parts, one note; a width that stands in the program is not set at the machine.
    let two = window_too_fine_to_shift("program = { kerf_by = \"machine width\" }", 2);
    let [finding] = two.as_slice() else {
        panic!("{two:?}");
    };
    let says = finding["says"].as_str().expect("words");
    assert!(says.starts_with("w1 (2 cuts, the first of them cut "), "{says}");
    assert!(
        fix(finding).contains("[[kerfs]]") && !fix(finding).contains("table"),
        "{finding}"
    );
}
