//! The card of the proof test: a sheet for the bench, to be printed, followed and written on.
//!
//! The front says what the test stands for, how to hold the part, where to pull and when to stop; the back has the steps with
//! an empty box for every reading. Type is large and the boxes are wide, and they stand on the side of the hand that writes,
//! so that it covers no figure.

mod back;
mod front;
#[cfg(test)]
mod tests;
mod view;

use nalgebra::{Isometry3, Point3, Vector3};
use sheet::Part;

use crate::bench_paper;
use crate::canvas::Canvas;
use crate::template::{PaperSize, PdfFault, bind};

/// What the card is told. Every figure is worked out elsewhere.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ProofCard {
    /// The part's name.
    pub title: String,
    /// Which revision of the job, and what it was made from, in words.
    pub made_from: String,
    /// Which load of the fit this test stands for, in a sentence or two.
    pub stands_for: String,
    /// How to hold the part, one act a line.
    pub hold: Vec<String>,
    /// How to pull: where, which way, with what.
    pub pull: Vec<String>,
    /// Where and how to read the movement.
    pub read: Vec<String>,
    /// The picture of it; none is drawn when absent.
    pub view: Option<ProofView>,
    /// The steps, in order.
    pub steps: Vec<ProofStep>,
    /// Cautions, the gravest first.
    pub cautions: Vec<String>,
    /// When to stop, one rule a line.
    pub stop: Vec<String>,
    /// Where the readings are typed: "Then type the readings into fits/anna.toml:".
    pub type_into: String,
    /// The lines to type, as they stand in the file.
    pub type_lines: Vec<String>,
    /// The hand that writes.
    pub writes_with: WritingHand,
}

/// Where things are in the small view, in the axes of the equipment, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct ProofView {
    /// Where the part sits on the equipment; `None` when the part's own axes are used.
    pub pose: Option<Isometry3<f64>>,
    /// Where the pull takes hold.
    pub pull_at_mm: Point3<f64>,
    /// Which way it pulls; the length does not matter.
    pub pull_toward: Vector3<f64>,
    /// Where the movement is read.
    pub read_at_mm: Point3<f64>,
    /// Which way it is read; the length does not matter.
    pub read_toward: Vector3<f64>,
    /// Where the part is held, by name.
    pub held_at_mm: Vec<(String, Point3<f64>)>,
}

/// One step of the test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProofStep {
    /// How hard to pull, N.
    pub pull_n: f64,
    /// Water that pulls as hard, litres, its bucket left out; absent when a bucket will not do.
    pub water_l: Option<f64>,
    /// Predicted movement, mm.
    pub moves_mm: f64,
    /// The least movement that agrees with the prediction, mm.
    pub low_mm: f64,
    /// The most that does, mm.
    pub high_mm: f64,
}

/// The hand that writes on the card.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum WritingHand {
    /// Boxes stand on the left.
    Left,
    /// Boxes stand on the right.
    #[default]
    Right,
}

/// The card as SVG pages of `paper`, the front first; long tables go on to further pages. Same input, same bytes.
pub fn proof_pages(part: &Part, card: &ProofCard, paper: PaperSize) -> Vec<String> {
    let mut pages = vec![front::draw(part, card, paper)];
    pages.extend(back::draw(card, paper));
    pages
}

/// The card as a PDF: what [`proof_pages`] gives, bound.
///
/// # Errors
/// When the PDF writer fails.
pub fn proof_pdf(part: &Part, card: &ProofCard, paper: PaperSize) -> Result<Vec<u8>, PdfFault> {
    bind(
        &proof_pages(part, card, paper),
        &format!("Proof test of {}", crate::blank::named(&card.title)),
    )
}

/// Title and what page this is; gives the y beneath.
fn head(page: &mut Canvas, card: &ProofCard, side: &str) -> f64 {
    bench_paper::head(page, "Proof test", side, &card.title, &card.made_from)
}
