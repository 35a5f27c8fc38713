//! Wrong files, and what is said of each. A case is a small change to one good job, in `bad/cases/NAME`: `@ FILE` picks
//! one of the three files, `-` lines are taken out of it (they stand there once, together), `+` lines take their place
//! or go to its end, `=` lines are a whole file. What is said is in `bad/said`.

#[expect(dead_code, reason = "these files are looked at as text")]
mod common;

use std::path::Path;
use std::time::{Duration, Instant};

use common::{Texts, base, bent_by, folder};
use job::{Stopped, run, wrongs_text};

/// No wrong file keeps a user waiting.
const LONGEST: Duration = Duration::from_secs(2);
/// The corpus does not shrink.
const LEAST_CASES: usize = 90;

/// What is said of a job: every wrong as a user sees it, or how it ended otherwise.
fn said(texts: &Texts) -> String {
    let folder = folder(texts);
    let start = Instant::now();
    let said = match run(&folder) {
        Err(Stopped::Wrong(wrongs)) => wrongs_text(&folder, &wrongs),
        Err(Stopped::Refused(_)) => "refused\n".into(),
        Ok(_) => "no wrong\n".into(),
    };
    let took = start.elapsed();
    assert!(took < LONGEST, "took {took:?}");
    said
}

fn settings() -> insta::Settings {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path("bad/said");
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings
}

#[test]
fn the_good_job_has_no_wrong() {
    assert_eq!(said(&base()), "no wrong\n");
}

#[test]
fn every_wrong_file_is_told_as_agreed() {
    let cases = common::files_in(Path::new("tests/bad/cases"));
    assert!(cases.len() >= LEAST_CASES, "{} cases", cases.len());
    let mut let_through = Vec::new();
    settings().bind(|| {
        for (name, case) in cases {
            let said = said(&bent_by(&base(), &case));
            if !said.contains("to be put right") {
                let_through.push(name.clone());
            }
            insta::assert_snapshot!(name, said);
        }
    });
    assert_eq!(let_through, Vec::<String>::new(), "these are not told as wrong");
}

/// Files that no text editor shows well, made here.
#[test]
fn odd_bytes_and_sizes_are_told_as_agreed() {
    let design = |text: String| {
        let mut texts = base();
        texts.design = text;
        said(&texts)
    };
    let good = base().design;
    let nested = format!("{good}\nx = {}{}\n", "[".repeat(10_000), "]".repeat(10_000));
    let tables = format!("{good}\nx = {}1{}\n", "{a=".repeat(5_000), "}".repeat(5_000));
    let dotted = format!("{good}\n[{}a]\n", "a.".repeat(10_000));
    let brackets = good.replace(
        "\"60 mm + rise\", \"0 mm\"",
        &format!("\"{}rise{}\", \"0 mm\"", "(".repeat(10_000), ")".repeat(10_000)),
    );
    let long = good.replace(
        "bent = \"lean\"",
        &format!("bent = \"lean{}\"", " + lean".repeat(30_000)),
    );
    let cases = [
        (
            "odd_binary",
            "\u{0}\u{1}\u{7f}PK\u{3}\u{4}\u{fffd}\n\u{2}".to_owned(),
        ),
        (
            "odd_crlf",
            good.replace('\n', "\r\n").replace("\"up\"", "\"upp\""),
        ),
        (
            "odd_byte_order_mark",
            format!("\u{feff}{}", good.replace("gusset = 1", "gusset = 2")),
        ),
        ("odd_cr_alone", good.replace('\n', "\r")),
        ("odd_tabs", good.replace("way  = \"up\"", "way\t=\t\t\"upp\"")),
        ("odd_nested_brackets", nested),
        ("odd_nested_tables", tables),
        ("odd_dotted_table", dotted),
        ("odd_nested_sum", brackets),
        ("odd_long_sum", long),
        ("odd_5_mb", format!("{good}# {}\n", "x".repeat(5 << 20))),
        (
            "odd_long_line",
            good.replace(
                "read    = \"39.1 mm\"",
                &format!("read = \"39.1 mm\" # {}\nred = 1", "y".repeat(100_000)),
            ),
        ),
        (
            "odd_long_line_fault_late",
            good.replace(
                "[measures]",
                &format!(
                    "[measures]\nq = {{ ask = \"{}\", value = 90 dge }}",
                    "y".repeat(2000)
                ),
            ),
        ),
        ("odd_right_to_left", good.replace("W1 = ", "\"W\u{202e}1\" = ")),
        (
            "odd_many_unknown_keys",
            format!(
                "{good}\n[extra]\n{}",
                (0..5000).map(|n| format!("k{n} = 1\n")).collect::<String>()
            ),
        ),
        (
            "odd_many_faults",
            format!(
                "{good}{}",
                (0..1000).map(|n| format!("p{n} = 1\n")).collect::<String>()
            ),
        ),
    ];
    settings().bind(|| {
        for (name, text) in cases {
            insta::assert_snapshot!(name, design(text));
        }
    });
}

#[test]
fn a_byte_order_mark_alone_does_no_harm() {
    let mut texts = base();
    texts.design.insert(0, '\u{feff}');
    assert_eq!(said(&texts), "no wrong\n");
}

#[test]
fn windows_line_ends_do_no_harm() {
    let mut texts = base();
    texts.design = texts.design.replace('\n', "\r\n");
    assert_eq!(said(&texts), "no wrong\n");
}
