//! What a drawing is told besides the part: everything in words or numbers that other rooms have worked out.

use std::collections::BTreeMap;

use plane::Point;

/// The words and figures round a drawing. `Default` gives an empty one: a drawing with nothing to say but the part.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TitleBlock {
    /// The part's name.
    pub title: String,
    /// Which revision of the job this is.
    pub revision: String,
    /// Which design, fit and shop it was made from, in words.
    pub made_from: String,
    /// The stock in words: "5052-H32 aluminium, 3/16 in (4.8 mm)".
    pub stock: String,
    /// Mass of the finished part, if known.
    pub mass_kg: Option<f64>,
    /// The five care questions with their answers, one line each; printed first.
    pub answers: Vec<String>,
    /// Cautions that belong to the acts this drawing asks for.
    pub care: Vec<String>,
    /// Anything else to print.
    pub notes: Vec<String>,
    /// What each opening is for and how it is made, by the opening's name: "5/16-18 clear, 8.7 mm drill".
    pub callouts: BTreeMap<String, String>,
    /// Places to point at.
    pub flags: Vec<Flag>,
    /// The scale to draw the blank at; chosen to fit when absent.
    pub scale: Option<Scale>,
}

/// A finding to point at.
#[derive(Debug, Clone, PartialEq)]
pub struct Flag {
    /// How grave.
    pub level: FlagLevel,
    /// Where.
    pub at: FlagAt,
    /// What is the matter, in one sentence.
    pub says: String,
}

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FlagLevel {
    /// Do not cut before this is settled.
    Stop,
    /// Look at this first.
    Care,
    /// Good to know.
    Note,
}

impl FlagLevel {
    /// The word printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Care => "care",
            Self::Note => "note",
        }
    }
}

/// Where a finding is.
#[derive(Debug, Clone, PartialEq)]
pub enum FlagAt {
    /// A bend by its name.
    Bend(String),
    /// A hole, slot or window by its name.
    Opening(String),
    /// A panel by its name.
    Panel(String),
    /// A place on the blank, in blank axes.
    Blank(Point),
    /// The part as a whole.
    Whole,
}

/// So many mm on paper for so many mm of plate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scale {
    /// On paper.
    pub paper: u8,
    /// Of plate.
    pub plate: u8,
}

impl Scale {
    /// mm on paper for one mm of plate.
    pub fn factor(self) -> f64 {
        f64::from(self.paper.max(1)) / f64::from(self.plate.max(1))
    }

    /// The scales drawings are made at, largest first: those of ISO 5455 with 1:3 and 1:4, which a shop rule reads well.
    pub(crate) const USUAL: [Self; 10] = [
        Self::of(5, 1),
        Self::of(2, 1),
        Self::of(1, 1),
        Self::of(1, 2),
        Self::of(1, 3),
        Self::of(1, 4),
        Self::of(1, 5),
        Self::of(1, 10),
        Self::of(1, 20),
        Self::of(1, 50),
    ];

    const fn of(paper: u8, plate: u8) -> Self {
        Self { paper, plate }
    }

    /// Steps close enough that a whole sheet of stock fills its room on upright paper, largest first.
    pub(crate) const CLOSE: [Self; 23] = [
        Self::of(5, 1),
        Self::of(3, 1),
        Self::of(2, 1),
        Self::of(3, 2),
        Self::of(1, 1),
        Self::of(4, 5),
        Self::of(2, 3),
        Self::of(1, 2),
        Self::of(1, 3),
        Self::of(1, 4),
        Self::of(1, 5),
        Self::of(1, 6),
        Self::of(1, 8),
        Self::of(1, 10),
        Self::of(1, 12),
        Self::of(1, 15),
        Self::of(1, 20),
        Self::of(1, 25),
        Self::of(1, 30),
        Self::of(1, 40),
        Self::of(1, 50),
        Self::of(1, 100),
        Self::of(1, 200),
    ];

    /// The largest usual scale at which `plate_mm` fits `paper_mm` both ways; the smallest there is if none does.
    pub(crate) fn to_fit(plate_mm: [f64; 2], paper_mm: [f64; 2]) -> Self {
        Self::largest_of(&Self::USUAL, plate_mm, paper_mm)
    }

    /// The same of scales in closer steps.
    pub(crate) fn to_fill(plate_mm: [f64; 2], paper_mm: [f64; 2]) -> Self {
        Self::largest_of(&Self::CLOSE, plate_mm, paper_mm)
    }

    fn largest_of(scales: &[Self], plate_mm: [f64; 2], paper_mm: [f64; 2]) -> Self {
        scales
            .iter()
            .copied()
            .find(|scale| (0..2).all(|way| plate_mm[way] * scale.factor() <= paper_mm[way]))
            .unwrap_or(scales[scales.len() - 1])
    }
}

impl std::fmt::Display for Scale {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{}:{}", self.paper, self.plate)
    }
}
