//! Cards for test strips: a drawing of the strip with its sizes, where it is measured, and boxes for what is read.
//!
//! The strip for a bend gives legs, thickness and angle; the one for the kerf three openings or teeth. Both are the same card: a
//! strip, places to measure on it by letter, and a box for every reading.

mod profile;
mod strip;
#[cfg(test)]
mod tests;

use plane::{Point, Region};

use crate::bench_pages::{BenchPages, Listed};
use crate::bench_paper::{BOLD, HEAD, MARGIN_MM, PLAIN, cautions, lines};
use crate::canvas::Canvas;
use crate::frame::Frame;
use crate::ink::{Ink, KRAFT};
use crate::lettering::{Anchor, Lettering};
use crate::template::{PaperSize, PdfFault, bind};

/// What the card is told. Every figure is worked out elsewhere.
#[derive(Debug, Clone, PartialEq)]
pub struct StripCard {
    /// What it is a strip of: "Bend test strip", "Kerf test".
    pub title: String,
    /// For which stock, tool or cutter it counts, in words.
    pub counts_for: String,
    /// The strip as it is cut, mm.
    pub strip: Region,
    /// Middle lines of bends on it, mm.
    pub bend_lines: Vec<[Point; 2]>,
    /// The strip from its side when it is bent; none for one that stays flat.
    pub bent: Option<BentStrip>,
    /// What is read on the flat strip: by letter, from and to.
    pub across: Vec<(String, [Point; 2])>,
    /// What is done, in order.
    pub acts: Vec<String>,
    /// The readings, each with its box.
    pub readings: Vec<StripReading>,
    /// Cautions, the gravest first.
    pub cautions: Vec<String>,
    /// Where the readings are typed.
    pub type_into: String,
    /// The lines to type.
    pub type_lines: Vec<String>,
}

/// A strip with one bend, seen from its side.
#[derive(Debug, Clone, PartialEq)]
pub struct BentStrip {
    /// Outside lengths of the two legs, to where their outsides would meet, mm.
    pub legs_mm: [f64; 2],
    /// The angle bent through, rad: over 0 and under a half turn.
    pub bent_rad: f64,
    /// Inside radius, mm.
    pub radius_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Letters of the readings of both legs, of the angle and of the thickness.
    pub letters: [String; 4],
}

/// A reading.
#[derive(Debug, Clone, PartialEq)]
pub struct StripReading {
    /// Its letter on the drawing.
    pub letter: String,
    /// What is read and with what: "first leg, outside, with the caliper".
    pub what: String,
    /// Its unit: "mm", "deg".
    pub unit: String,
}

/// Height of the drawings, mm.
const PICTURE_MM: f64 = 56.0;
/// Height of a box for a reading, mm, and most of them in a row.
const BOX_HIGH_MM: f64 = 15.0;
const MOST_IN_A_ROW: usize = 3;

/// The card as SVG pages of `paper`. Same input, same bytes.
pub fn strip_card_pages(told: &StripCard, paper: PaperSize) -> Vec<String> {
    let mut pages = BenchPages::new("Test strip", &told.title, "", paper);
    let inner_mm = pages.inner_mm();
    let at = Point::new(MARGIN_MM, pages.y);
    pages.y = lines(&mut pages.page, at, inner_mm, &told.counts_for, PLAIN) + 2.0;
    let at = Point::new(MARGIN_MM, pages.y);
    pages.y = cautions(&mut pages.page, at, inner_mm, &told.cautions);
    pictures(&mut pages, told);
    pages.list("What to do", &told.acts, Listed::Numbered);
    grid(&mut pages, &told.readings);
    typed(&mut pages, told);
    pages.finish("gusset-strip", &in_words(told))
}

/// The card as a PDF: what [`strip_card_pages`] gives, bound.
///
/// # Errors
/// When the PDF writer fails.
pub fn strip_card_pdf(told: &StripCard, paper: PaperSize) -> Result<Vec<u8>, PdfFault> {
    bind(
        &strip_card_pages(told, paper),
        &format!("Test strip: {}", crate::blank::named(&told.title)),
    )
}

fn pictures(pages: &mut BenchPages, told: &StripCard) {
    let wide = pages.inner_mm();
    let flat = Frame::new(MARGIN_MM, pages.y, wide, PICTURE_MM);
    strip::draw(&mut pages.page, flat, told);
    pages.y += PICTURE_MM + 3.0;
    if let Some(bent) = &told.bent {
        let side = Frame::new(MARGIN_MM, pages.y, wide, PICTURE_MM);
        profile::draw(&mut pages.page, side, bent);
        pages.y += PICTURE_MM + 3.0;
    }
}

/// The readings: their words over their boxes, so many beside each other.
fn grid(pages: &mut BenchPages, readings: &[StripReading]) {
    const GAP_MM: f64 = 4.0;
    const LETTER_MM: f64 = 7.0;
    let wide = (pages.inner_mm() - GAP_MM * (MOST_IN_A_ROW - 1) as f64) / MOST_IN_A_ROW as f64;
    let wrapped = |reading: &StripReading| PLAIN.wrapped(&reading.what, wide - LETTER_MM);
    let words_mm = |row: &[StripReading]| {
        let count = row
            .iter()
            .map(|reading| wrapped(reading).len())
            .max()
            .unwrap_or(1);
        PLAIN.line_mm() * count.max(1) as f64 + 2.0
    };
    for (number, row) in readings.chunks(MOST_IN_A_ROW).enumerate() {
        let high = words_mm(row) + BOX_HIGH_MM + 2.0;
        // The heading stays with its first row.
        let head = if number == 0 { HEAD.line_mm() + 1.0 } else { 0.0 };
        pages.make_room(head + high);
        if number == 0 {
            pages.heading("Write here");
        }
        let top = pages.y;
        for (column, reading) in row.iter().enumerate() {
            let left = MARGIN_MM + (wide + GAP_MM) * column as f64;
            pages
                .page
                .words(Point::new(left, top + 4.4), &reading.letter, HEAD);
            for (index, words) in wrapped(reading).iter().enumerate() {
                let y = top + 4.4 + PLAIN.line_mm() * index as f64;
                pages.page.words(Point::new(left + LETTER_MM, y), words, PLAIN);
            }
            let frame = Frame::new(left, top + words_mm(row), wide, BOX_HIGH_MM);
            one_box(&mut pages.page, frame, &reading.unit);
        }
        pages.y = top + high;
    }
    pages.y += 2.0;
}

fn one_box(page: &mut Canvas, frame: Frame, unit: &str) {
    page.rectangle(frame.grown(-0.8), Ink::Edge, None);
    let at = Point::new(frame.right() - 2.6, frame.bottom() - 3.0);
    page.words(at, unit, PLAIN.anchored(Anchor::End));
}

/// What to type, in its box.
fn typed(pages: &mut BenchPages, told: &StripCard) {
    if told.type_lines.is_empty() {
        return;
    }
    const PAD_MM: f64 = 2.4;
    let wide = pages.inner_mm();
    let head = BOLD.wrapped(&told.type_into, wide - 2.0 * PAD_MM);
    let rows: Vec<String> = told
        .type_lines
        .iter()
        .flat_map(|words| PLAIN.wrapped(words, wide - 2.0 * PAD_MM))
        .flat_map(|words| PLAIN.chopped(&words, wide - 2.0 * PAD_MM))
        .collect();
    let high = 2.0 * PAD_MM + (head.len() + rows.len()) as f64 * PLAIN.line_mm() + 1.0;
    pages.make_room(high);
    let frame = Frame::new(MARGIN_MM, pages.y, wide, high);
    let page = &mut pages.page;
    page.rectangle(frame, Ink::Rule, Some(KRAFT));
    let mut y = pages.y + PAD_MM;
    for (words, set) in head
        .iter()
        .map(|words| (words, BOLD))
        .chain(rows.iter().map(|words| (words, PLAIN)))
    {
        page.words(Point::new(MARGIN_MM + PAD_MM, y + set.size_mm * 0.82), words, set);
        y += set.line_mm();
    }
    pages.y += high + 3.0;
}

/// A letter in a ring, at the place it names.
pub(crate) fn letter(page: &mut Canvas, at: Point, words: &str) -> Frame {
    let set = Lettering::SMALL_BOLD.sized(3.8);
    let half = (set.width_mm(words) / 2.0 + 1.2).max(2.7);
    let frame = Frame::new(at.x - half, at.y - 2.7, 2.0 * half, 5.4);
    page.rectangle(frame, Ink::Rule, Some(crate::ink::WHITE));
    page.words(Point::new(at.x, at.y + 1.3), words, set.anchored(Anchor::Middle));
    frame
}

fn in_words(told: &StripCard) -> String {
    let (low, high) = told.strip.bounds();
    let mut says = vec![
        format!("{}: {}", told.title, told.counts_for),
        format!(
            "A strip {} by {}.",
            crate::figures::both(high.x - low.x),
            crate::figures::both(high.y - low.y)
        ),
    ];
    says.extend(told.cautions.iter().cloned());
    says.extend(told.acts.iter().cloned());
    let readings = told.readings.iter();
    says.extend(
        readings.map(|reading| format!("{}: {}, in {}.", reading.letter, reading.what, reading.unit)),
    );
    says.push(format!("{} {}", told.type_into, told.type_lines.join(" ")));
    says.join(" ")
}
