//! Cards for test strips: a drawing of the strip with its sizes, where it is measured, and boxes for what is read.
//!
//! The strip for a bend gives legs, thickness and angle; the one for the kerf three openings or teeth. Both are the same card: a
//! strip, places to measure on it by letter, and a box for every reading.

mod profile;
mod strip;
#[cfg(test)]
mod tests;

use plane::{Point, Region};

use crate::bench_pages::BenchPages;
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
    /// How often it is read: so many boxes.
    pub times: usize,
}

/// Height of the drawings, mm.
const PICTURE_MM: f64 = 56.0;
/// A box for a reading, mm, and most of them in a row.
const BOX_MM: [f64; 2] = [36.0, 15.0];
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
    acts(&mut pages, &told.acts);
    if told.readings.iter().all(|reading| reading.times <= 1) {
        grid(&mut pages, &told.readings);
    } else {
        boxes(&mut pages, &told.readings);
    }
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
    scale_bar(&mut pages.page, flat);
    pages.y += PICTURE_MM + 3.0;
    if let Some(bent) = &told.bent {
        let side = Frame::new(MARGIN_MM, pages.y, wide, PICTURE_MM);
        profile::draw(&mut pages.page, side, bent);
        pages.y += PICTURE_MM + 3.0;
    }
}

/// What is done, each act with its number, on as many pages as it takes.
fn acts(pages: &mut BenchPages, acts: &[String]) {
    const INDENT_MM: f64 = 6.0;
    if acts.is_empty() {
        return;
    }
    pages.make_room(HEAD.line_mm() + 1.0 + 2.0 * PLAIN.line_mm());
    pages.heading("What to do");
    let wide = pages.inner_mm() - INDENT_MM;
    for (index, act) in acts.iter().enumerate() {
        pages.make_room(PLAIN.line_mm() * PLAIN.wrapped(act, wide).len() as f64);
        let y = pages.y;
        let number = Point::new(MARGIN_MM, y + PLAIN.size_mm * 0.82);
        pages.page.words(number, &format!("{}", index + 1), BOLD);
        let at = Point::new(MARGIN_MM + INDENT_MM, y);
        pages.y = lines(&mut pages.page, at, wide, act, PLAIN) + 0.8;
    }
    pages.y += 2.6;
}

/// Readings that are taken once: their words over their boxes, so many beside each other.
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
        let high = words_mm(row) + BOX_MM[1] + 2.0;
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
            let frame = Frame::new(left, top + words_mm(row), wide, BOX_MM[1]);
            one_box(&mut pages.page, frame, &reading.unit);
        }
        pages.y = top + high;
    }
    pages.y += 2.0;
}

/// A line of 50 mm in the upper right of `frame`: what the printer made of it tells whether the paper is true.
fn scale_bar(page: &mut Canvas, frame: Frame) {
    const LONG_MM: f64 = 50.0;
    const STEP_MM: f64 = 10.0;
    let (right, y) = (frame.right() - 3.0, frame.top + 5.0);
    page.line(Point::new(right - LONG_MM, y), Point::new(right, y), Ink::Edge);
    for step in 0..=(LONG_MM / STEP_MM) as usize {
        let x = right - LONG_MM + STEP_MM * step as f64;
        let up = if step % 5 == 0 { 3.0 } else { 1.6 };
        page.line(Point::new(x, y), Point::new(x, y - up), Ink::Seen);
    }
    let set = Lettering::SMALL.anchored(Anchor::End);
    page.words(Point::new(right, y + 4.0), "50 mm when printed true", set);
}

fn boxes(pages: &mut BenchPages, readings: &[StripReading]) {
    if readings.is_empty() {
        return;
    }
    pages.make_room(HEAD.line_mm() + BOX_MM[1] + 3.0);
    pages.heading("Write here");
    for reading in readings {
        let words_mm = pages.inner_mm() - BOX_MM[0] * MOST_IN_A_ROW as f64 - 4.0;
        let words = PLAIN.wrapped(&reading.what, words_mm - 9.0);
        for row in 0..reading.times.div_ceil(MOST_IN_A_ROW).max(1) {
            let high = if row == 0 {
                BOX_MM[1].max(PLAIN.line_mm() * words.len() as f64 + 3.0)
            } else {
                BOX_MM[1]
            };
            pages.make_room(high);
            let top = pages.y;
            let page = &mut pages.page;
            if row == 0 {
                page.words(Point::new(MARGIN_MM, top + 5.6), &reading.letter, HEAD);
                for (index, words) in words.iter().enumerate() {
                    let y = top + 5.6 + PLAIN.line_mm() * index as f64;
                    page.words(Point::new(MARGIN_MM + 9.0, y), words, PLAIN);
                }
            }
            let here = (reading.times - (row * MOST_IN_A_ROW).min(reading.times)).min(MOST_IN_A_ROW);
            for column in 0..here {
                let left = MARGIN_MM + words_mm + 4.0 + BOX_MM[0] * column as f64;
                one_box(page, Frame::new(left, top, BOX_MM[0], BOX_MM[1]), &reading.unit);
            }
            pages.y = top + high + 1.0;
        }
    }
    pages.y += 3.0;
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
    says.extend(told.readings.iter().map(|reading| {
        format!(
            "{}: {}, in {}, {} times.",
            reading.letter, reading.what, reading.unit, reading.times
        )
    }));
    says.push(format!("{} {}", told.type_into, told.type_lines.join(" ")));
    says.join(" ")
}
