//! What the page asks for, as it comes over the wire, and why it is not done.

use axum::Json;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use job::files::model::FileKind;
use job::files::{Source, Wrong};
use job::revise::{Act, Done, ReviseError, Stamp, Step};
use job::{FolderError, Picture};
use serde::Deserialize;
use serde_json::{Value, json};

/// One of the three files.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum File {
    /// design.toml
    Design,
    /// The fit that is open.
    Fit,
    /// shop.toml
    Shop,
}

impl From<File> for FileKind {
    fn from(file: File) -> FileKind {
        match file {
            File::Design => FileKind::Design,
            File::Fit => FileKind::Fit,
            File::Shop => FileKind::Shop,
        }
    }
}

/// Acts on one file.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Acts {
    pub file: File,
    pub acts: Vec<Act>,
    /// What is done, in a few words, for undoing it.
    #[serde(default)]
    pub says: String,
    /// The texts that they were meant for.
    pub base: Stamp,
}

/// Acts on one file that are not done: what they would come to.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Try {
    pub file: File,
    pub acts: Vec<Act>,
    /// What would be done, in a few words, for undoing it.
    #[serde(default)]
    pub says: String,
    /// The texts that they were meant for.
    pub base: Stamp,
    /// How far it is worked out.
    #[serde(default)]
    pub upto: Upto,
}

/// How far something is worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Upto {
    /// Fit, cut and bends: at once.
    Bend,
    /// The proof too.
    #[default]
    Hold,
}

/// Undoing, or doing again.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Back {
    pub base: Stamp,
}

/// What the page has in sight when it asks for the job.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize)]
pub(crate) struct InSight {
    /// Drawings by their names, with commas between: they are given with the answers.
    #[serde(default)]
    draw: String,
    /// The texts of an act whose answers are shown already: where they are what it comes to, they are not told again.
    shown: Option<Stamp>,
    /// What was still being worked out of those, by its words with commas between.
    #[serde(default)]
    working: String,
}

impl InSight {
    /// Each once. What is no name of a drawing is passed over: nothing hangs on it.
    pub fn pictures(&self) -> Vec<Picture> {
        let names: Vec<&str> = self.draw.split(',').collect();
        let asked = |picture: &Picture| names.contains(&picture.name());
        Picture::ALL.into_iter().filter(asked).collect()
    }

    /// Whether a state is what is shown.
    pub fn has(&self, stamp: &Stamp, working: &[&str]) -> bool {
        self.shown.as_ref() == Some(stamp) && self.working == working.join(",")
    }
}

/// Something typed at a place of a file, to be echoed as it is understood there.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Typed {
    pub file: File,
    pub way: Vec<Step>,
    pub text: String,
}

/// Why something is not done.
#[derive(Debug)]
pub(crate) struct NotDone {
    status: StatusCode,
    says: String,
    more: Option<Value>,
}

impl NotDone {
    pub fn new(status: StatusCode, says: impl Into<String>) -> NotDone {
        NotDone {
            status,
            says: says.into(),
            more: None,
        }
    }

    /// A text is none that can be taken.
    pub fn wrong(says: String, wrongs: &[Wrong], source: &Source) -> NotDone {
        NotDone {
            status: StatusCode::UNPROCESSABLE_ENTITY,
            says,
            more: Some(rows(wrongs, source)),
        }
    }

    /// Something failed after an act had been done: whoever asked must not do it again.
    pub fn after(done: &Done, failed: &NotDone) -> NotDone {
        NotDone::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            format!(
                "\"{}\" was done and stands in the file, but the job could not be shown after it: {}",
                done.says, failed.says
            ),
        )
    }
}

/// What is wrong with a text, with its place.
fn rows(wrongs: &[Wrong], source: &Source) -> Value {
    let rows = wrongs.iter().map(|wrong| {
        let spot = source.spot(wrong.at.span.start);
        json!({ "line": spot.line, "column": spot.column, "says": wrong.says, "expected": wrong.expected, "fix": wrong.fix })
    });
    rows.collect()
}

impl From<ReviseError> for NotDone {
    fn from(error: ReviseError) -> NotDone {
        let status = match &error {
            ReviseError::Stale => StatusCode::CONFLICT,
            ReviseError::Edit(_)
            | ReviseError::Wrong { .. }
            | ReviseError::NotSound { .. }
            | ReviseError::NoFit
            | ReviseError::Refused(_)
            | ReviseError::NoName { .. }
            | ReviseError::Nothing(_) => StatusCode::UNPROCESSABLE_ENTITY,
            ReviseError::Folder(FolderError::NoFit { .. }) => StatusCode::NOT_FOUND,
            ReviseError::Folder(_) | ReviseError::Write(_) => StatusCode::INTERNAL_SERVER_ERROR,
        };
        let more = match &error {
            ReviseError::Wrong { wrongs, source_text } | ReviseError::NotSound { wrongs, source_text } => {
                Some(rows(wrongs, source_text))
            }
            _ => None,
        };
        NotDone {
            status,
            says: error.to_string(),
            more,
        }
    }
}

impl IntoResponse for NotDone {
    fn into_response(self) -> Response {
        let mut body = json!({ "error": self.says });
        if let Some(more) = self.more {
            body["wrong"] = more;
        }
        (self.status, Json(body)).into_response()
    }
}
