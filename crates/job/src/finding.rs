//! What the program has to say: findings, and the four answers.

use serde::Serialize;

use crate::files::model::Place;

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// The part does not come out right like this.
    Stop,
    /// Look at it before going on.
    Care,
    /// Good to know.
    Note,
}

/// Which of the four questions a finding bears on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Question {
    /// Does it fit?
    Fit,
    /// Can it be cut?
    Cut,
    /// Can it be bent?
    Bend,
    /// Will it hold?
    Hold,
    /// None of them.
    Other,
}

impl Question {
    /// As it stands in the summary; none where it is none of the four.
    pub fn word(self) -> Option<&'static str> {
        match self {
            Question::Fit => Some("fit"),
            Question::Cut => Some("cut"),
            Question::Bend => Some("bend"),
            Question::Hold => Some("hold"),
            Question::Other => None,
        }
    }
}

/// One thing the program has to say.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// A short fixed word for programs: "hole-near-bend".
    pub code: &'static str,
    /// Its weight.
    pub level: Level,
    /// The question it bears on.
    pub question: Question,
    /// What it is about: a name in the design, or a few words.
    pub about: String,
    /// Where that was said.
    pub at: Option<Place>,
    /// What, and by how much.
    pub says: String,
    /// What to do, cheapest first.
    pub fix: Vec<String>,
    /// How much of the limit is left, as in [`Verdict::margin`]; none where no limit decided.
    pub margin: Option<f64>,
}

/// The answer to one of the four questions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Answer {
    /// Yes.
    #[serde(rename = "yes")]
    Yes,
    /// Yes, with something to look at.
    #[serde(rename = "care")]
    Care,
    /// No.
    #[serde(rename = "no")]
    No,
    /// It could not be checked, or not all of it.
    #[serde(rename = "not checked")]
    NotChecked,
}

impl Answer {
    /// As printed.
    pub fn word(self) -> &'static str {
        match self {
            Answer::Yes => "yes",
            Answer::Care => "care",
            Answer::No => "no",
            Answer::NotChecked => "not checked",
        }
    }
}

/// An answer with what decides it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Verdict {
    /// The answer.
    pub answer: Answer,
    /// How much of the limit is left at the deciding place: 1 untouched, 0 at the limit, below 0 past it.
    pub margin: Option<f64>,
    /// The deciding place and what is measured there.
    pub decides: Option<String>,
    /// A sentence with the numbers.
    pub says: String,
}

impl Verdict {
    /// Not checked, and why.
    pub fn not_checked(why: impl Into<String>) -> Self {
        Self {
            answer: Answer::NotChecked,
            margin: None,
            decides: None,
            says: why.into(),
        }
    }
}
