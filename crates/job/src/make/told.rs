//! The files that a job is made into, told: what each is for, and why one was not written.

use std::path::Path;

use serde::Serialize;

use super::bend_cards;
use super::{Made, PROOF, STRESS, cutting};
use crate::run::Outcome;
use crate::stages::bending::Found;
use crate::stages::cutting::NotPlanned;

/// A file that [`super::make`] may write.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct MadeFile {
    /// Its name in the folder.
    pub name: &'static str,
    /// Its media type.
    pub kind: &'static str,
    /// What it is for.
    pub is_for: &'static str,
}

const PDF: &str = "application/pdf";
const SVG: &str = "image/svg+xml";
const TEXT: &str = "text/plain; charset=utf-8";
const DXF: &str = "image/vnd.dxf";

macro_rules! file {
    ($name:expr, $kind:expr, $is_for:expr) => {
        MadeFile {
            name: $name,
            kind: $kind,
            is_for: $is_for,
        }
    };
}

/// All files that a job can be made into, in the order of the work.
pub const MADE_FILES: &[MadeFile] = &[
    file!(
        "template.pdf",
        PDF,
        "the blank at true size on paper, to hold against the card and to mark out by"
    ),
    file!("blank.svg", SVG, "the drawing of the blank, with its tables"),
    file!("folded.svg", SVG, "the drawing of the folded part"),
    file!(
        "blank.dxf",
        DXF,
        "the blank as lines and arcs, for another shop's cutter"
    ),
    file!(
        cutting::TABLE_SHEET,
        PDF,
        "the sheet for the person at the cutting table"
    ),
    file!(cutting::PROGRAM, TEXT, "the program for the cutting table"),
    file!(
        cutting::DRY_RUN,
        TEXT,
        "the same path with the torch off: run it first"
    ),
    file!(
        cutting::MARKS,
        TEXT,
        "what is marked on the plate before the cutting"
    ),
    file!(
        cutting::TRACKS,
        DXF,
        "what the torch follows, for a table that makes its own program"
    ),
    file!(bend_cards::CARDS, PDF, "the bend cards, one step a page"),
    file!(STRESS, SVG, "the picture of stress and movement"),
    file!(
        PROOF,
        PDF,
        "the card of the test on the bench: prove the part before a body depends on it"
    ),
    file!(
        "folded.step",
        "model/step",
        "the folded part as a solid, for a drawing program"
    ),
    file!(
        "folded.stl",
        "model/stl",
        "the folded part as facets, for a printer of mock-ups"
    ),
    file!("summary.txt", TEXT, "all answers and findings, to read"),
    file!("summary.json", "application/json", "the same, for a program"),
];

/// A file that was not written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NotMade {
    /// Its name.
    pub name: &'static str,
    /// What it would be for.
    pub is_for: &'static str,
    /// Why not, as a sentence.
    pub why: String,
    /// One of an older run was taken away, since it is no longer right.
    pub taken_away: bool,
}

/// The file of this name; none where no job is made into one.
pub fn made_file(name: &str) -> Option<&'static MadeFile> {
    MADE_FILES.iter().find(|file| file.name == name)
}

/// Files that this run did not write, each with its reason.
pub fn not_made(outcome: &Outcome, made: &Made) -> Vec<NotMade> {
    let among = |paths: &[std::path::PathBuf], name: &str| {
        let named = |path: &&std::path::PathBuf| path.file_name() == Path::new(name).file_name();
        paths.iter().any(|path| named(&path))
    };
    let missing = MADE_FILES.iter().filter(|file| !among(&made.written, file.name));
    missing
        .map(|file| NotMade {
            name: file.name,
            is_for: file.is_for,
            why: why_not(outcome, file.name),
            taken_away: among(&made.taken_away, file.name),
        })
        .collect()
}

fn why_not(outcome: &Outcome, name: &str) -> String {
    let verdicts = &outcome.summary.verdicts;
    match name {
        cutting::MARKS if outcome.may_cut() => why_no_marks(outcome),
        cutting::TABLE_SHEET | cutting::PROGRAM | cutting::DRY_RUN | cutting::TRACKS | cutting::MARKS => {
            match (&outcome.worked.cut, outcome.why_no_program()) {
                (Err(NotPlanned::ByHand), _) => {
                    "shop.toml names no cutter that follows a path; cut by the template".into()
                }
                (_, Some(why)) => why.to_owned(),
                _ => verdicts.cut.says.clone(),
            }
        }
        bend_cards::CARDS if outcome.worked.part.bends.is_empty() => "the part has no bend".into(),
        bend_cards::CARDS => match &outcome.worked.bent {
            Ok(bending) if matches!(bending.found, Found::Order(_)) => OUR_FAULT.into(),
            _ => verdicts.bend.says.clone(),
        },
        STRESS | PROOF => match outcome.worked.held.answer() {
            None => verdicts.hold.says.clone(),
            Some(answer) if name == PROOF && answer.proof.is_none() => {
                "none of the loads is a push that comes on slowly, which is what can be tried on a bench"
                    .into()
            }
            Some(_) => OUR_FAULT.into(),
        },
        _ => OUR_FAULT.into(),
    }
}

/// Of a file that nothing stands against.
const OUR_FAULT: &str = "this is our fault: it could not be drawn";

/// Why nothing is marked on a plate that is cut.
fn why_no_marks(outcome: &Outcome) -> String {
    let cut = outcome.summary.cut.as_ref();
    let wrong = cut.and_then(|cut| cut.marks.as_ref()?.wrong.as_ref());
    wrong.map_or_else(
        || "nothing is marked before the cutting".into(),
        |wrong| format!("the program that marks, read back, does not do what was asked: {wrong}"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_is_a_plain_one_and_stands_once() {
        for (index, file) in MADE_FILES.iter().enumerate() {
            assert!(
                !file.name.contains(['/', '\\', ':']) && !file.name.starts_with('.'),
                "{}",
                file.name
            );
            assert!(
                MADE_FILES[..index].iter().all(|other| other.name != file.name),
                "{}",
                file.name
            );
        }
        assert_eq!(made_file("../design.toml"), None);
        assert_eq!(made_file("design.toml"), None);
    }
}
