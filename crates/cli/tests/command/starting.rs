//! `gusset new`: a job from answers or from a demo, which then checks with nothing wrong.

use std::fs;
use std::path::Path;

use crate::bench_of_work::{DEMOS, gusset, gusset_told, job_from, place, text};

/// Answers to the questions about the job and the five about care, for a part that is not refused.
const CARE: [&str; 8] = [
    "Lamp arm",
    "holds a lamp over the bench",
    "a bench",
    "no",
    "no",
    "no",
    "yes",
    "yes",
];

/// All answers, with what it carries put off.
fn answers<'a>(rest: &[&'a str]) -> Vec<&'a str> {
    CARE.iter().chain(rest).chain(&["later"]).copied().collect()
}

/// All answers, with these about what it carries.
fn answers_with_loads<'a>(loads: &[&'a str]) -> Vec<&'a str> {
    let plate = ["right", "mm", "", "bend", "", "", "", "", "M6"];
    CARE.iter().chain(&plate).chain(loads).copied().collect()
}

/// The new job is read, worked out, and has nothing that stops it.
fn nothing_stops(job: &Path) {
    let run = gusset(&["check", text(job), "--json"]);
    assert!(run.code == 0, "{}{}", run.out, run.err);
    let told = run.json();
    for (question, verdict) in told["verdicts"].as_object().expect("verdicts") {
        assert_ne!(verdict["answer"], "no", "{question}: {}", verdict["says"]);
    }
    for finding in told["findings"].as_array().expect("findings") {
        assert_ne!(finding["level"], "stop", "{}", finding["says"]);
    }
}

#[test]
fn every_shape_in_every_unit_starts_a_job_that_checks() {
    let cases: [(&str, &[&str]); 6] = [
        (
            "flat_mm",
            &["right", "mm", "5052-H32 3 mm", "flat", "40 mm", "90 mm", "M6"],
        ),
        ("flat_bare_mm", &["left", "mm", "", "flat", "40", "90", ""]),
        (
            "flat_in",
            &[
                "right",
                "in",
                "5052-H32 3/16 in",
                "flat",
                "1-1/2 in",
                "3-1/2",
                "1/4-20",
            ],
        ),
        (
            "bend_mm",
            &[
                "left", "mm", "", "one bend", "40 mm", "60 mm", "55,5 mm", "90 deg", "M5",
            ],
        ),
        (
            "bend_in",
            &[
                "right",
                "in",
                "5052-H32 1/8 in",
                "bend",
                "2\"",
                "3\"",
                "2 1/2 in",
                "45 deg",
                "#10-24",
            ],
        ),
        ("bend_usual", &["", "", "", "", "", "", "", "", ""]),
    ];
    for (name, rest) in cases {
        let job = place(&format!("new_{name}"));
        let run = gusset_told(&["new", text(&job)], &answers(rest));
        assert_eq!(run.code, 0, "{name}: {}{}", run.out, run.err);
        assert!(
            run.out.contains("design.toml") && run.out.contains("gusset check"),
            "{}",
            run.out
        );
        nothing_stops(&job);
        let made = gusset(&["make", text(&job)]);
        assert_eq!(made.code, 0, "{name}: {}{}", made.out, made.err);
    }
}

#[test]
fn what_it_carries_is_asked_and_written() {
    let cases: [(&str, &[&str], &[&str]); 4] = [
        (
            "usual",
            &["now", "", "", "", "", "", "", "", ""],
            &["250 N", "[loads.drop]", "[loads.jam]", "per_day = 1000"],
        ),
        (
            "never",
            &[
                "now",
                "carry",
                "3 kg",
                "-z",
                "not known",
                "cannot, because it is chained to the bench",
                "never: nothing near it moves",
            ],
            &[
                "3 kg",
                "drop = \"it is chained to the bench\"",
                "nothing near it moves",
            ],
        ),
        (
            "asked_again",
            &[
                "now", "twist", "250 N", "6 N m", "up", "z", "often", "20", "cannot", "400", "50 N", "2 kg",
                "600 N", "-x",
            ],
            &["6 N m", "per_day = 20", "\"400\"", "600 N"],
        ),
        ("later", &["later"], &["not said yet"]),
    ];
    for (name, loads, written) in cases {
        let job = place(&format!("new_loads_{name}"));
        let run = gusset_told(&["new", text(&job)], &answers_with_loads(loads));
        assert_eq!(run.code, 0, "{name}: {}{}", run.out, run.err);
        nothing_stops(&job);
        let fit = fs::read_to_string(job.join("fits/own.toml")).expect("the fit is there");
        for words in written {
            assert!(fit.contains(words), "{name}: {words} is not in {fit}");
        }
        let hold = &gusset(&["check", text(&job), "--json"]).json()["verdicts"]["hold"]["says"];
        let asked = !hold.as_str().expect("words").contains("does not say");
        assert_eq!(asked, name != "later", "{name}: {hold}");
    }
}

#[test]
fn the_angle_left_between_the_legs_is_echoed() {
    let job = place("new_echo");
    let run = gusset_told(
        &["new", text(&job)],
        &answers(&["", "", "", "", "", "", "", "30 deg", ""]),
    );
    assert!(
        run.err.contains("150"),
        "30 deg bent leaves 150 between the legs: {}",
        run.err
    );
}

#[test]
fn an_answer_that_cannot_be_used_is_asked_again() {
    let job = place("new_again");
    let run = gusset_told(
        &["new", text(&job)],
        &answers(&[
            "sideways",
            "right",
            "mm",
            "unobtanium 3 mm",
            "5052-H32 3 mm",
            "flat",
            "wide",
            "40",
            "90",
            "M6",
        ]),
    );
    assert_eq!(run.code, 0, "{}", run.err);
    nothing_stops(&job);
}

#[test]
fn quotes_and_other_scripts_in_a_title_stay_as_typed() {
    let job = place("new_title");
    let mut typed = answers(&["", "", "", "flat", "", "", ""]);
    typed[0] = "Jarre \"n\u{b0} 2\" \\ \u{5de6}\u{624b}";
    let run = gusset_told(&["new", text(&job)], &typed);
    assert_eq!(run.code, 0, "{}", run.err);
    let told = gusset(&["check", text(&job), "--json"]).json();
    assert_eq!(told["job"]["title"], typed[0]);
}

#[test]
fn what_is_refused_is_refused_before_anything_is_written() {
    let questions: [(usize, &str, &str); 3] = [
        (3, "yes", "weight"),
        (5, "only", "the only control"),
        (1, "a rest for a crossbow", "a weapon"),
    ];
    for (index, answer, why) in questions {
        let job = place("new_refused");
        let mut typed = answers(&["", "", "", "flat", "", "", ""]);
        typed[index] = answer;
        let run = gusset_told(&["new", text(&job)], &typed);
        assert_eq!(run.code, 4, "{why}: {}{}", run.out, run.err);
        assert!(run.err.contains("Nothing was written"), "{why}: {}", run.err);
        assert!(!job.exists(), "{why}");
    }
}

#[test]
fn held_without_a_release_is_refused() {
    let job = place("new_held");
    let mut typed = answers(&["", "", "", "flat", "", "", ""]);
    typed[4] = "yes";
    typed[7] = "no";
    assert_eq!(gusset_told(&["new", text(&job)], &typed).code, 4);
}

#[test]
fn answers_that_end_early_write_nothing() {
    let job = place("new_early");
    let run = gusset_told(&["new", text(&job)], &CARE);
    assert_eq!(run.code, 2, "{}", run.err);
    assert!(!job.exists());
}

#[test]
fn a_job_that_is_there_is_left_as_it_is() {
    let job = job_from("flat-plate", "new_there");
    let was = fs::read(job.join("design.toml")).expect("it is there");
    for arguments in [
        vec!["new", text(&job)],
        vec!["new", text(&job), "--from", "one-bend"],
    ] {
        let run = gusset_told(&arguments, &answers(&["", "", "", "flat", "", "", ""]));
        assert_eq!(run.code, 2, "{}{}", run.out, run.err);
    }
    assert_eq!(fs::read(job.join("design.toml")).expect("it is there"), was);
}

#[test]
fn every_demo_starts_a_job_that_checks() {
    for demo in DEMOS {
        let job = job_from(demo, &format!("from_{demo}"));
        let run = gusset(&["check", text(&job), "--json"]);
        // One does not hold as it stands: that is what it shows.
        let holds = run.code == 0;
        assert_eq!(holds, demo != "push-hoe", "{demo}: {}", run.err);
        let told = run.json();
        for question in ["fit", "cut", "bend"] {
            let verdict = &told["verdicts"][question];
            assert_ne!(verdict["answer"], "no", "{demo}, {question}: {}", verdict["says"]);
        }
    }
    let run = gusset(&["new", text(&place("from_nothing")), "--from", "push-hoo"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("push-hoe"), "{}", run.err);
}
