//! Bend cards: one step a page, for the person who stands at the brake, the folder or the vice.
//!
//! The first page lists the steps and what to have ready. Each step then has its number, bend, tool, gauge stop on the plate as
//! it stands, the angle under load and after release, the part before and after from where the person stands, a gauge of the
//! angle to cut out in card, and boxes for what is measured.

mod flat;
mod front;
mod gauge;
mod look;
mod step;
#[cfg(test)]
mod tests;
mod words;

use nalgebra::Point3;
use plane::{Point, Region};

use crate::bench_pages::BenchPages;
use crate::template::{PaperSize, PdfFault, bind};

/// What the cards are told. Every figure is worked out elsewhere.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BendCards {
    /// The part's name.
    pub title: String,
    /// Which revision of the job, and what it was made from, in words.
    pub made_from: String,
    /// The stock in words, thickness with it.
    pub stock: String,
    /// What to have ready, one thing a line.
    pub ready: Vec<String>,
    /// Cautions for all of the steps, the gravest first.
    pub cautions: Vec<String>,
    /// The steps in order; numbered from 1.
    pub steps: Vec<BendStep>,
    /// Anything else to print, one line each: how readings are typed back.
    pub notes: Vec<String>,
}

/// One step. Places are in the axes of the tool, mm: x along the bend to the right, y away from the person, z up; the middle line
/// of the bend is y = 0.
#[derive(Debug, Clone, PartialEq)]
pub struct BendStep {
    /// Which bend, or bends in one stroke: "b1".
    pub bend: String,
    /// What is done with the part or the tools before this step: "turn it over". One act a line.
    pub first: Vec<String>,
    /// The tool, one line each: "punch p1, 88 deg", "die d24".
    pub tool: Vec<String>,
    /// Where the gauge stands; none when the bend is made to a mark.
    pub stop: Option<GaugeStop>,
    /// The same in words, or how the mark is used.
    pub stop_says: String,
    /// Which face is up: "marked face up".
    pub face_up: String,
    /// Which way round: "web toward you, lip to the back".
    pub round: String,
    /// The angle bent through that is aimed for under load, rad.
    pub loaded_rad: f64,
    /// And after release, rad.
    pub released_rad: f64,
    /// Inside radius of the bend, mm.
    pub radius_mm: f64,
    /// The plate as it stands, seen from above.
    pub flat: FlatPlate,
    /// The part before the step.
    pub before: PartLook,
    /// The part after the step.
    pub after: PartLook,
    /// Which side of the bend the card gauge is held to.
    pub gauge_side: GaugeSide,
    /// Where to measure, and within what.
    pub measure: Vec<BendReading>,
    /// When to stop, one rule a line.
    pub stop_when: Vec<String>,
    /// Where the free hand is, and is not; one line each.
    pub free_hand: Vec<String>,
    /// Cautions of this step.
    pub cautions: Vec<String>,
}

/// Where the gauge stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeStop {
    /// From the edge that bears on it to the line of the bend that the user sets by, mm.
    pub distance_mm: f64,
    /// Which line.
    pub to: GaugeLine,
    /// Where the edge bears.
    pub bears_at: Point,
}

/// The line of a bend that a gauge is set to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GaugeLine {
    /// The middle of the bend.
    Middle,
    /// Where the bend begins, on the side of the gauge.
    Tangent,
}

/// The plate as it stands at a step, seen from above.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FlatPlate {
    /// What lies flat and what stands up or hangs down, by name.
    pub pieces: Vec<FlatPiece>,
    /// Stretches of the middle line that are bent: from and to along x, mm.
    pub stretches_mm: Vec<[f64; 2]>,
    /// Width of the bend's strip, from tangent to tangent, mm.
    pub strip_mm: f64,
    /// Length of the tool on the bend: from and to along x, mm; none when it is not known.
    pub tool_mm: Option<[f64; 2]>,
}

/// A piece of the plate seen from above.
#[derive(Debug, Clone, PartialEq)]
pub struct FlatPiece {
    /// Its name; not printed when empty.
    pub name: String,
    /// What it covers.
    pub region: Region,
    /// How it stands.
    pub stands: Stands,
}

/// How a piece of the plate stands before a bend.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// In the plane of the plate on the tool.
    Flat,
    /// Above it: bent up before.
    Up,
    /// Below it: bent down before.
    Down,
}

/// The part in space, as faces without thickness or with: whatever is given is drawn, and hides what is behind it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PartLook {
    /// The faces.
    pub faces: Vec<LookFace>,
    /// Names to write, each at a place on the part.
    pub names: Vec<(String, Point3<f64>)>,
}

/// A flat face in space.
#[derive(Debug, Clone, PartialEq)]
pub struct LookFace {
    /// Its outline and then the outlines cut out of it; each closes on itself.
    pub rings: Vec<Vec<Point3<f64>>>,
    /// Whether it is one of the strips that stand for the round of a bend: lines between two of them are not drawn.
    pub of_bend: bool,
}

/// Which side of a bend a gauge is held to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GaugeSide {
    /// Into the bend.
    Inside,
    /// Over the bend.
    Outside,
}

/// A place to measure.
#[derive(Debug, Clone, PartialEq)]
pub struct BendReading {
    /// Where: "leg web, outside to outside".
    pub place: String,
    /// What it should be, and the band.
    pub band: ReadBand,
}

/// What should be read: the least allowed, what is aimed for, the most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReadBand {
    /// A length, mm.
    LengthMm([f64; 3]),
    /// The angle bent through, rad.
    BentRad([f64; 3]),
}

/// The cards as SVG pages of `paper`: the list first, then each step on a page of its own, or two when its words need them. Same
/// input, same bytes.
pub fn bend_card_pages(told: &BendCards, paper: PaperSize) -> Vec<String> {
    let mut pages = BenchPages::new("Bend cards", &told.title, &told.made_from, paper);
    front::draw(&mut pages, told);
    for index in 0..told.steps.len() {
        pages.turn();
        step::draw(&mut pages, told, index);
    }
    pages.finish("gusset-bend", &words::of(told))
}

/// The cards as a PDF: what [`bend_card_pages`] gives, bound.
///
/// # Errors
/// When the PDF writer fails.
pub fn bend_card_pdf(told: &BendCards, paper: PaperSize) -> Result<Vec<u8>, PdfFault> {
    bind(
        &bend_card_pages(told, paper),
        &format!("Bend cards: {}", crate::blank::named(&told.title)),
    )
}
