//! Help opens with an example, completions exist, and no colour leaves a terminal.

use crate::bench_of_work::{gusset, job_from, text};

const VERBS: [&str; 7] = ["new", "check", "hold", "make", "show", "schema", "completions"];

#[test]
fn the_help_of_every_verb_opens_with_an_example() {
    let whole = gusset(&["--help"]);
    assert_eq!(whole.code, 0);
    assert!(whole.out.starts_with("Example: gusset "), "{}", whole.out);
    for verb in VERBS {
        assert!(whole.out.contains(verb), "{verb} is not in the help");
        for asked in [vec![verb, "--help"], vec![verb, "-h"], vec!["help", verb]] {
            let run = gusset(&asked);
            assert_eq!(run.code, 0, "{asked:?}");
            let opens = format!("Example: gusset {verb}");
            assert!(
                run.out.starts_with(&opens),
                "{asked:?} opens otherwise:\n{}",
                run.out
            );
        }
    }
}

#[test]
fn the_help_lists_the_exit_codes() {
    let help = gusset(&["--help"]).out;
    assert!(
        help.contains("Exit codes:") && help.contains("4") && help.contains("refused"),
        "{help}"
    );
}

#[test]
fn the_version_is_the_crate_s() {
    let run = gusset(&["--version"]);
    assert_eq!(run.code, 0);
    assert_eq!(run.out.trim(), format!("gusset {}", env!("CARGO_PKG_VERSION")));
}

#[test]
fn completions_know_every_verb_in_every_shell() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let run = gusset(&["completions", shell]);
        assert_eq!(run.code, 0, "{shell}");
        for verb in VERBS {
            assert!(run.out.contains(verb), "{shell} does not know {verb}");
        }
        // Each shell writes an option in its own way; its name stands in all.
        assert!(run.out.contains("measured"), "{shell} does not know --measured");
    }
}

#[test]
fn no_colour_leaves_a_terminal() {
    let job = job_from("camera-cradle", "no_colour");
    let cases = [
        vec!["--help"],
        vec!["make", "--help"],
        vec!["chekc"],
        vec!["check", text(&job)],
        vec!["make", text(&job)],
        vec!["show", text(&job), "findings"],
        vec!["check", "no/such/folder"],
    ];
    for arguments in cases {
        let run = gusset(&arguments);
        assert!(!run.out.contains('\u{1b}'), "{arguments:?} colours stdout");
        assert!(!run.err.contains('\u{1b}'), "{arguments:?} colours stderr");
        assert!(!run.err.contains('\r'), "{arguments:?} animates stderr");
    }
}
