//! A value that says where it comes from.

use std::fmt;

/// How far a value can be trusted, from best to least: combining values keeps the greater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Status {
    /// Seen in the source named beside it.
    Confirmed,
    /// Set by this shop in place of the built-in value.
    Shop,
    /// What the trade does; no source to cite.
    CommonPractice,
    /// Written down from memory and not yet checked against its source.
    FromMemory,
}

impl Status {
    /// Should a person be told before this value decides something?
    pub fn wants_checking(self) -> bool {
        matches!(self, Status::CommonPractice | Status::FromMemory)
    }

    pub(crate) const WORDS: &[&str] = &["confirmed", "common-practice", "from-memory"];

    pub(crate) fn from_word(word: &str) -> Option<Self> {
        match word {
            "confirmed" => Some(Status::Confirmed),
            "common-practice" => Some(Status::CommonPractice),
            "from-memory" => Some(Status::FromMemory),
            _ => None,
        }
    }
}

/// "confirmed", "this shop's own", "common practice", "from memory, unconfirmed".
impl fmt::Display for Status {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Status::Confirmed => "confirmed",
            Status::Shop => "this shop's own",
            Status::CommonPractice => "common practice",
            Status::FromMemory => "from memory, unconfirmed",
        })
    }
}

/// A value of the handbook with its row, source and status.
#[derive(Debug, Clone, PartialEq)]
pub struct Sourced<T> {
    /// The value.
    pub value: T,
    /// Where it was published, or what else it rests on.
    pub source: String,
    /// How far it can be trusted.
    pub status: Status,
    /// Table and row, as the shop would name them to override it: `least_radii: 5052-H32 1/8 in`.
    pub row: String,
}

impl<T> Sourced<T> {
    /// The same row seen as another value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Sourced<U> {
        Sourced {
            value: change(self.value),
            source: self.source,
            status: self.status,
            row: self.row,
        }
    }

    /// A value that rests on this one and on another: both sources and rows, the weaker status.
    pub fn and<U, V>(self, other: Sourced<U>, join: impl FnOnce(T, U) -> V) -> Sourced<V> {
        let both = |a: String, b: String| if a == b { a } else { format!("{a}; {b}") };
        Sourced {
            value: join(self.value, other.value),
            source: both(self.source, other.source),
            status: self.status.max(other.status),
            row: both(self.row, other.row),
        }
    }
}
