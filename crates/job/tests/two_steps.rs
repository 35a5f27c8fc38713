//! A run in two steps, with what stands from earlier runs, comes to what a run from the start comes to, to the last bit.

#[expect(dead_code, reason = "the wrong files have their own tests")]
mod common;

use common::{Texts, folder};
use job::{DEMOS, NotWanted, Outcome, Stop, Wanted, begin, prove, run};

fn demo(name: &str) -> Texts {
    let (_, files) = DEMOS.iter().find(|(known, _)| *known == name).expect("a demo");
    let text = |path: &str| {
        let of = files.iter().find(|(known, _)| *known == path);
        of.map(|(_, text)| (*text).to_owned())
    };
    Texts {
        design: text("design.toml").expect("a design"),
        fit: text("fits/own.toml"),
        shop: text("shop.toml"),
    }
}

fn begun(texts: &Texts, before: &[&Outcome]) -> Outcome {
    begin(&folder(texts), &Wanted::default(), before, &Stop::default())
        .expect("nobody stops it")
        .expect("a sound job")
}

fn proven(texts: &Texts, begun: &Outcome) -> Outcome {
    prove(&folder(texts), begun, &Stop::default()).expect("nobody stops it")
}

/// Every number to the last bit: what is printed can be read back.
fn all_of(outcome: &Outcome) -> String {
    format!("{outcome:?}")
}

fn same(one: &Outcome, other: &Outcome, what: &str) {
    let (one, other) = (all_of(one), all_of(other));
    if one != other {
        let at = one.bytes().zip(other.bytes()).take_while(|(a, b)| a == b).count();
        let from = at.saturating_sub(200);
        let (one, other) = (one.get(from..at + 80), other.get(from..at + 80));
        panic!(
            "{what}:\n{}\n{}",
            one.unwrap_or_default(),
            other.unwrap_or_default()
        );
    }
}

#[test]
fn both_steps_come_to_what_one_run_comes_to_on_every_demo() {
    for (name, _) in DEMOS {
        let texts = demo(name);
        let whole = run(&folder(&texts)).expect("a demo is a sound job");
        let first = begun(&texts, &[]);
        if whole.summary.prove.is_some() {
            let hold = &first.summary.verdicts.hold;
            assert!(!first.is_whole() && first.summary.prove.is_none(), "{name}");
            assert_eq!(hold.answer, job::Answer::NotChecked, "{name}");
            assert!(hold.says.contains("is being worked out"), "{name}: {}", hold.says);
        }
        same(&proven(&texts, &first), &whole, name);
        // All of it stands from before: nothing is left to be proven.
        let again = begun(&texts, &[&whole]);
        assert!(again.is_whole(), "{name}");
        same(&again, &whole, name);
    }
}

/// One act on a file: what stands there, and what may stand instead.
type Choice = (&'static str, &'static [&'static str]);

const ACTS: [Choice; 9] = [
    (
        "title    = ",
        &[
            "\"Mallet holder angle\"",
            "\"A far longer name for the same angle\"",
            "\"-\"",
        ],
    ),
    ("width = ", &["\"45\"", "\"52\"", "\"40.5\""]),
    ("bent = ", &["\"90 deg\"", "\"85 deg\"", "\"88 deg\""]),
    ("rise = \"", &["60\"", "60.0\"", "61\""]),
    ("force  = ", &["\"150 N\"", "\"400 N\"", "\"90 N\""]),
    ("per_day = ", &["60", "6"]),
    ("torque = ", &["\"12 N m\"", "\"9 N m\""]),
    (
        "size  = ",
        &["[\"600\", \"600\"]", "[\"300\", \"200\"]", "[\"60\", \"60\"]"],
    ),
    ("process = ", &["\"plasma\"", "\"laser\"", "\"saw and drill\""]),
];

/// The value that follows the first place of `key` in any of the files is made `to`.
fn put(texts: &mut Texts, key: &str, to: &str) {
    let files = [Some(&mut texts.design), texts.fit.as_mut(), texts.shop.as_mut()];
    for file in files.into_iter().flatten() {
        let Some(at) = file.find(key).map(|at| at + key.len()) else {
            continue;
        };
        let end = file[at..].find(['\n', '#']).map_or(file.len(), |end| at + end);
        file.replace_range(at..end, to);
        return;
    }
    panic!("{key} stands nowhere");
}

#[test]
fn what_stands_from_before_is_what_would_be_worked_out_again_whatever_was_done_between() {
    let mut texts = demo("one-bend");
    let (mut whole, mut first): (Option<Outcome>, Option<Outcome>) = (None, None);
    // Knuth's multiplier of a linear congruential row; any row of acts does.
    let mut row: u64 = 20_261_128;
    let mut next = |below: usize| {
        row = row.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (row >> 33) as usize % below
    };
    for step in 0..14 {
        let (key, values) = ACTS[next(ACTS.len())];
        let to = values[next(values.len())];
        put(&mut texts, key, to);
        let before: Vec<&Outcome> = first.iter().chain(&whole).collect();
        let now = begun(&texts, &before);
        let fresh = begun(&texts, &[]);
        let what = format!("{step}: {key}{to}");
        if !now.is_whole() {
            same(&now, &fresh, &what);
        }
        // Every other proof is overtaken by the next act, as on the page.
        if step % 2 == 0 {
            let proven = proven(&texts, &now);
            same(&proven, &run(&folder(&texts)).expect("a sound job"), &what);
            whole = Some(proven);
        }
        first = Some(now);
    }
}

#[test]
fn a_title_and_a_load_are_changed_without_what_does_not_hang_on_them() {
    let mut texts = demo("one-bend");
    let whole = run(&folder(&texts)).expect("a demo is a sound job");
    put(&mut texts, "title    = ", "\"Another\"");
    assert!(
        begun(&texts, &[&whole]).is_whole(),
        "a title proves nothing again"
    );
    put(&mut texts, "force  = ", "\"151 N\"");
    assert!(
        !begun(&texts, &[&whole]).is_whole(),
        "another load is another proof"
    );
}

#[test]
fn what_is_no_longer_wanted_comes_to_nothing() {
    let texts = demo("one-bend");
    let stop = Stop::default();
    let first = begun(&texts, &[]);
    stop.stop();
    let begun = begin(&folder(&texts), &Wanted::default(), &[], &stop);
    assert_eq!(begun.err(), Some(NotWanted));
    assert_eq!(prove(&folder(&texts), &first, &stop).err(), Some(NotWanted));
    // On its way, wherever it then is: nothing, or the whole.
    let whole = run(&folder(&texts)).expect("a sound job");
    for after_ms in [1, 5, 20, 80] {
        let stop = Stop::default();
        let came = std::thread::scope(|scope| {
            let came = scope.spawn(|| prove(&folder(&texts), &first, &stop));
            std::thread::sleep(std::time::Duration::from_millis(after_ms));
            stop.stop();
            came.join().expect("it does not panic")
        });
        if let Ok(came) = came {
            same(&came, &whole, "a whole proof");
        }
    }
}
