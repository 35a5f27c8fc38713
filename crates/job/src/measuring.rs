//! Every measured value of a job, in the order that helps most: what is not said yet, what looks slipped, then what most
//! hangs on; each with what the others say it should be.

mod items;
mod network;
mod tried;

use serde::Serialize;

use crate::revise::Step;

pub use tried::{SlipAsked, SlipTried, slip};

use crate::folder::Folder;
use crate::run::Outcome;
use crate::sound_files::SoundFiles;

use network::Measured;

/// What there is to measure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Measuring {
    /// The values, the one that helps most first.
    pub items: Vec<MeasureItem>,
    /// Further readings that would help most, best first.
    pub next: Vec<NextToMeasure>,
    /// Why nothing is foretold, where the readings cannot be taken together.
    pub told: Option<String>,
}

/// A value that a person measures and types.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasureItem {
    /// Its row among the readings of its file, from 0; none of a number of a point or a measure.
    pub index: Option<usize>,
    /// Where it is typed.
    pub file: MeasureFile,
    /// The way to it in that file.
    pub way: Vec<Step>,
    /// A short name: "H1-F".
    pub label: String,
    /// What it is, in words.
    pub about: String,
    /// As typed; none where it is not said yet.
    pub typed: Option<String>,
    /// The instrument.
    pub with: Option<String>,
    /// What kind of value it is.
    pub kind: MeasureKind,
    /// As understood, in both systems.
    pub understood: Option<String>,
    /// What it should be without itself; the design's usual value for a measure that is left to a fit.
    pub expected: Option<String>,
    /// Where nearly every good reading would lie.
    pub band: Option<String>,
    /// The band's ends, mm; none for an angle.
    pub low_mm: Option<f64>,
    /// The upper one.
    pub high_mm: Option<f64>,
    /// How far it is off what the others say.
    pub off: Option<String>,
    /// It looks slipped.
    pub suspect: bool,
    /// Slips that would explain it, likeliest first.
    pub did_you_mean: Vec<Meant>,
    /// The question put to the person.
    pub ask: Option<String>,
    /// The points or places that it runs between.
    pub points: Vec<String>,
    /// The share of the doubt of all points that comes from it, 0 to 1; none where that is not known.
    pub decides: Option<f64>,
    /// Nothing else checks it: a slip in it would not show.
    pub unchecked: bool,
    /// The program finds it, and nobody need say it.
    pub found: bool,
}

/// The file that a value is typed into.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MeasureFile {
    /// design.toml
    Design,
    /// The fit.
    Fit,
}

/// What kind of value is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MeasureKind {
    /// A named measure.
    Measure,
    /// A number that a point is found by.
    Point,
    /// A further reading of the mock-up.
    Reading,
    /// A distance between places on the equipment.
    Place,
}

/// What may have been meant.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Meant {
    /// What to type instead.
    pub text: String,
    /// What went wrong then.
    pub why: String,
}

/// A further reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextToMeasure {
    /// The points that it runs between.
    pub between: [String; 2],
    /// Why it helps.
    pub why: String,
    /// What it should read.
    pub expected: String,
    /// Where nearly every good reading would lie; none where what it reads decides between several.
    pub band: Option<String>,
    /// The band's ends, mm.
    pub low_mm: Option<f64>,
    /// The upper one.
    pub high_mm: Option<f64>,
}

/// Every measured value of a job. With what it came to where it was worked out; else of what is sound in its files.
pub fn measuring(folder: &Folder, outcome: Option<&Outcome>) -> Measuring {
    match measured(folder, outcome) {
        Some(measured) => items::measuring(folder, &measured),
        None => Measuring {
            items: Vec::new(),
            next: Vec::new(),
            told: None,
        },
    }
}

/// The readings taken together; none of a job that this program does not help with, or of which nothing can be read.
fn measured(folder: &Folder, outcome: Option<&Outcome>) -> Option<Measured> {
    if let Some(outcome) = outcome {
        return Some(Measured::worked_out(outcome));
    }
    let files = SoundFiles::read(folder).ok()?;
    (!files.is_refused()).then(|| Measured::of(files))
}
