//! What stops a run, as text for a person and as JSON for a program.

use serde_json::{Value, json};

use crate::VERSION;
use crate::care::Refusal;
use crate::files::model::Place;
use crate::files::{Spot, Wrong};
use crate::folder::Folder;

/// Everything wrong with the files, one block each, in the order of the files and of their lines.
pub fn wrongs_text(folder: &Folder, wrongs: &[Wrong]) -> String {
    let mut out = String::new();
    for wrong in ordered(wrongs) {
        match folder.source(wrong.at.file) {
            Some(source) => out.push_str(&source.show(wrong)),
            None => out.push_str(&format!("{}\n", wrong.says)),
        }
        out.push('\n');
    }
    let count = wrongs.len();
    let faults = if count == 1 {
        "1 thing is".to_owned()
    } else {
        format!("{count} things are")
    };
    out.push_str(&format!(
        "{faults} to be put right before the job can be worked out. Nothing was written.\n"
    ));
    out
}

/// The same as JSON.
pub fn wrongs_json(folder: &Folder, wrongs: &[Wrong]) -> Value {
    let rows: Vec<Value> = ordered(wrongs)
        .into_iter()
        .map(|wrong| {
            let (file, spot) = place(folder, &wrong.at);
            json!({
                "file": file,
                "line": spot.map(|spot| spot.line),
                "column": spot.map(|spot| spot.column),
                "says": wrong.says,
                "expected": wrong.expected,
                "fix": wrong.fix,
            })
        })
        .collect();
    json!({ "gusset": VERSION, "wrong": rows })
}

pub(crate) fn ordered(wrongs: &[Wrong]) -> Vec<&Wrong> {
    let mut rows: Vec<&Wrong> = wrongs.iter().collect();
    rows.sort_by_key(|wrong| (wrong.at.file, wrong.at.span.start));
    rows.dedup_by(|one, two| one == two);
    rows
}

/// The file as the user would type it, and the spot in it.
pub(crate) fn place(folder: &Folder, at: &Place) -> (Option<String>, Option<Spot>) {
    match folder.source(at.file) {
        Some(source) => (Some(source.path.clone()), Some(source.spot(at.span.start))),
        None => (None, None),
    }
}

/// Why a job is refused.
pub fn refusal_text(folder: &Folder, refusal: &Refusal) -> String {
    let mut out = format!("Gusset does not help with this part: {}.\n", refusal.why);
    if let Some(words) = &refusal.words {
        out.push_str(&format!("That is read from the words \"{words}\". If they mean something else here, say it in other words.\n"));
    }
    if let (Some(file), Some(spot)) = place(folder, &refusal.at) {
        out.push_str(&format!("at: {file}:{}:{}\n", spot.line, spot.column));
    }
    out.push_str(&format!(
        "Ask {}.\nNo switch turns this off. Nothing was written.\n",
        refusal.ask
    ));
    out
}

/// The same as JSON.
pub fn refusal_json(folder: &Folder, refusal: &Refusal) -> Value {
    let (file, spot) = place(folder, &refusal.at);
    json!({
        "gusset": VERSION,
        "refused": {
            "why": refusal.why,
            "ask": refusal.ask,
            "words": refusal.words,
            "file": file,
            "line": spot.map(|spot| spot.line),
            "column": spot.map(|spot| spot.column),
        },
    })
}
