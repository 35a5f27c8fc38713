//! What every drawing has round it: the head with the care answers, the column of tables, the title strip.

use plane::Point;

use crate::canvas::Canvas;
use crate::figures;
use crate::frame::Frame;
use crate::ink::{Ink, KRAFT};
use crate::lettering::{Anchor, Lettering};
use crate::table::paragraph;
use crate::title::{FlagLevel, TitleBlock};

/// Width of a drawing: A3 across.
pub(crate) const WIDTH_MM: f64 = 420.0;
/// Least height: A3 across. A drawing with long tables is taller.
pub(crate) const LEAST_HEIGHT_MM: f64 = 297.0;
/// Free paper at the edges: what office printers leave white.
pub(crate) const MARGIN_MM: f64 = 10.0;
/// Width of the column of tables.
pub(crate) const COLUMN_MM: f64 = 150.0;
/// Between the picture and the column.
pub(crate) const GUTTER_MM: f64 = 6.0;

/// Left edge of the column of tables.
pub(crate) const COLUMN_LEFT_MM: f64 = WIDTH_MM - MARGIN_MM - COLUMN_MM;

/// Draws the head: title, what the drawing shows, the care answers. Gives the y beneath it.
pub(crate) fn head(page: &mut Canvas, block: &TitleBlock, shows: &str) -> f64 {
    let inner_mm = page.size.width - 2.0 * MARGIN_MM;
    let large = Lettering::SMALL_BOLD.sized(7.0);
    let medium = Lettering::SMALL.sized(4.2).anchored(Anchor::End);
    let shows_mm = medium.width_mm(shows);
    let mut y = MARGIN_MM;
    for line in large.wrapped(&block.title, inner_mm - shows_mm - GUTTER_MM) {
        page.words(Point::new(MARGIN_MM, y + 6.0), &line, large);
        y += 8.0;
    }
    y = y.max(MARGIN_MM + 8.0);
    page.words(
        Point::new(page.size.width - MARGIN_MM, MARGIN_MM + 6.0),
        shows,
        medium,
    );
    page.line(
        Point::new(MARGIN_MM, y + 0.8),
        Point::new(page.size.width - MARGIN_MM, y + 0.8),
        Ink::Rule,
    );
    y += 2.6;
    let mut x = MARGIN_MM;
    for answer in &block.answers {
        let set = Lettering::SMALL;
        let wide = set.width_mm(answer);
        // Short answers share a line; one too long for a line of its own is broken.
        if x > MARGIN_MM && x + wide > MARGIN_MM + inner_mm {
            x = MARGIN_MM;
            y += set.line_mm();
        }
        if wide > inner_mm {
            y = paragraph(page, Point::new(MARGIN_MM, y), inner_mm, answer, set);
            continue;
        }
        page.words(Point::new(x, y + set.size_mm * 0.82), answer, set);
        x += wide + GUTTER_MM;
    }
    if x > MARGIN_MM {
        y += Lettering::SMALL.line_mm();
    }
    if !block.answers.is_empty() {
        page.line(
            Point::new(MARGIN_MM, y + 0.8),
            Point::new(page.size.width - MARGIN_MM, y + 0.8),
            Ink::Thin,
        );
        y += 1.6;
    }
    y + 2.0
}

/// A heading in the column; gives the y beneath it.
pub(crate) fn heading(page: &mut Canvas, at: Point, words: &str) -> f64 {
    let set = Lettering::SMALL_BOLD.sized(4.2);
    page.words(Point::new(at.x, at.y + 3.6), words, set);
    at.y + 5.4
}

/// The list of findings, numbered as they are marked on the drawing, and the notes; gives the y beneath.
pub(crate) fn findings_and_notes(page: &mut Canvas, at: Point, block: &TitleBlock, more: &[String]) -> f64 {
    let mut y = at.y;
    if !block.flags.is_empty() {
        y = heading(page, Point::new(at.x, y), "Look here first");
        for (index, flag) in block.flags.iter().enumerate() {
            let words = format!("{} {}: {}", flag.level.word(), index + 1, flag.says);
            let set = if flag.level == FlagLevel::Stop {
                Lettering::SMALL_BOLD
            } else {
                Lettering::SMALL
            };
            y = paragraph(page, Point::new(at.x, y), COLUMN_MM, &words, set) + 0.8;
        }
        y += 3.0;
    }
    if !block.notes.is_empty() || !more.is_empty() {
        y = heading(page, Point::new(at.x, y), "Notes");
        for note in more.iter().chain(&block.notes) {
            y = paragraph(page, Point::new(at.x, y), COLUMN_MM, note, Lettering::SMALL) + 0.8;
        }
        y += 3.0;
    }
    y
}

/// How tall the title strip will be.
pub(crate) fn strip_height(block: &TitleBlock) -> f64 {
    let inner_mm = WIDTH_MM - 2.0 * MARGIN_MM;
    let lines: usize = block
        .care
        .iter()
        .map(|line| Lettering::SMALL.wrapped(line, inner_mm).len())
        .sum();
    STRIP_MM
        + if lines == 0 {
            0.0
        } else {
            2.0 + lines as f64 * Lettering::SMALL.line_mm()
        }
}

/// The row of facts.
const STRIP_MM: f64 = 16.0;

/// Draws the title strip from `top`: facts in a row (head and value), cautions beneath.
pub(crate) fn strip(page: &mut Canvas, top: f64, block: &TitleBlock, facts: &[(&str, String)]) {
    let inner_mm = WIDTH_MM - 2.0 * MARGIN_MM;
    let value = Lettering::SMALL_BOLD;
    let frame = Frame::new(MARGIN_MM, top, inner_mm, STRIP_MM);
    page.ground(frame, KRAFT);
    page.rectangle(frame, Ink::Rule, None);
    // Each fact gets room by the length of its words, and at least enough for its head.
    let wish: Vec<f64> = facts
        .iter()
        .map(|(head, words)| {
            (value.width_mm(words) * 0.55)
                .clamp(16.0, 70.0)
                .max(Lettering::SMALL.width_mm(head))
                + 3.0
        })
        .collect();
    let total: f64 = wish.iter().sum();
    let mut x = MARGIN_MM;
    for (index, ((head, words), wish)) in facts.iter().zip(&wish).enumerate() {
        let width = wish / total * inner_mm;
        if index > 0 {
            page.line(Point::new(x, top), Point::new(x, top + STRIP_MM), Ink::Thin);
        }
        page.words(Point::new(x + 1.5, top + 4.2), head, Lettering::SMALL);
        for (line, words) in value.wrapped(words, width - 3.0).iter().take(2).enumerate() {
            page.words(Point::new(x + 1.5, top + 9.0 + 4.0 * line as f64), words, value);
        }
        x += width;
    }
    let mut y = top + STRIP_MM + 2.0;
    for line in &block.care {
        y = paragraph(page, Point::new(MARGIN_MM, y), inner_mm, line, Lettering::SMALL);
    }
}

/// The facts every strip opens with.
pub(crate) fn common_facts(block: &TitleBlock, thickness_mm: f64) -> Vec<(&'static str, String)> {
    let mut facts = Vec::new();
    if !block.made_from.is_empty() {
        facts.push(("Made from", block.made_from.clone()));
    }
    if !block.revision.is_empty() {
        facts.push(("Revision", block.revision.clone()));
    }
    if !block.stock.is_empty() {
        facts.push(("Stock", block.stock.clone()));
    }
    facts.push(("Plate", figures::both(thickness_mm)));
    if let Some(mass_kg) = block.mass_kg {
        facts.push(("Mass", figures::mass(mass_kg)));
    }
    facts
}

/// The key of the lines used on a drawing, in rows from `at` no wider than `width_mm`; gives the frame it takes.
pub(crate) fn key(page: &mut Canvas, at: Point, width_mm: f64, lines: &[(Ink, &str)]) -> Frame {
    const SAMPLE_MM: f64 = 13.0;
    let set = Lettering::SMALL;
    let (mut x, mut y) = (at.x, at.y);
    for (ink, words) in lines {
        let wide = SAMPLE_MM + 1.5 + set.width_mm(words) + 5.0;
        if x > at.x && x + wide > at.x + width_mm {
            x = at.x;
            y += set.line_mm() + 0.6;
        }
        page.line(Point::new(x, y + 2.0), Point::new(x + SAMPLE_MM, y + 2.0), *ink);
        page.words(Point::new(x + SAMPLE_MM + 1.5, y + 3.0), words, set);
        x += wide;
    }
    Frame::new(at.x, at.y, width_mm, y + set.line_mm() - at.y)
}
