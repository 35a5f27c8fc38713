//! What the sheets that are followed at the bench have in common: a large head, words to be read at arm's length, lists of
//! acts, the box of cautions.

use plane::Point;

use crate::canvas::Canvas;
use crate::frame::Frame;
use crate::ink::{Ink, KRAFT};
use crate::lettering::{Anchor, Lettering};
use crate::table::paragraph;

/// Free paper at the edges, mm.
pub(crate) const MARGIN_MM: f64 = 12.0;
/// Words to be read at arm's length across a bench: 12.5 pt.
pub(crate) const PLAIN: Lettering = Lettering::SMALL.sized(4.4);
pub(crate) const BOLD: Lettering = PLAIN.bold();
pub(crate) const HEAD: Lettering = Lettering::SMALL_BOLD.sized(5.4);
/// Room inside a box, mm.
pub(crate) const PAD_MM: f64 = 3.0;

/// What the sheet is, which of its pages this is, the part's title and what it was made from; gives the y beneath.
pub(crate) fn head(page: &mut Canvas, what: &str, side: &str, title: &str, made_from: &str) -> f64 {
    let right = page.size.width - MARGIN_MM;
    let inner_mm = right - MARGIN_MM;
    let large = Lettering::SMALL_BOLD.sized(8.0);
    page.words(Point::new(MARGIN_MM, MARGIN_MM + 6.6), what, large);
    page.words(
        Point::new(right, MARGIN_MM + 6.6),
        side,
        PLAIN.anchored(Anchor::End),
    );
    let mut y = MARGIN_MM + 9.6;
    y = lines(page, Point::new(MARGIN_MM, y), inner_mm, title, HEAD);
    y = lines(
        page,
        Point::new(MARGIN_MM, y),
        inner_mm,
        made_from,
        Lettering::SMALL,
    );
    page.line(
        Point::new(MARGIN_MM, y + 1.0),
        Point::new(right, y + 1.0),
        Ink::Edge,
    );
    y + 4.0
}

/// The head of a further page, in one line; gives the y beneath.
pub(crate) fn head_again(page: &mut Canvas, what: &str, title: &str) -> f64 {
    /// What is left for the number of the page, mm.
    const SIDE_MM: f64 = 40.0;
    let right = page.size.width - MARGIN_MM;
    let words = if title.trim().is_empty() {
        what.to_owned()
    } else {
        format!("{what}: {title}")
    };
    let room = right - MARGIN_MM - SIDE_MM;
    let first = HEAD.wrapped(&words, room).into_iter().next().unwrap_or_default();
    let first = HEAD.chopped(&first, room).into_iter().next().unwrap_or_default();
    page.words(Point::new(MARGIN_MM, MARGIN_MM + 4.4), &first, HEAD);
    let y = MARGIN_MM + 6.6;
    page.line(Point::new(MARGIN_MM, y), Point::new(right, y), Ink::Edge);
    y + 3.0
}

/// Words broken to a width; gives the y beneath.
pub(crate) fn lines(page: &mut Canvas, at: Point, width_mm: f64, words: &str, set: Lettering) -> f64 {
    paragraph(page, at, width_mm, words, set)
}

/// A heading and its acts, each with its number or dot; gives the y beneath.
pub(crate) fn list(
    page: &mut Canvas,
    at: Point,
    width_mm: f64,
    title: &str,
    items: &[String],
    numbered: bool,
) -> f64 {
    if items.is_empty() {
        return at.y;
    }
    const INDENT_MM: f64 = 6.0;
    let mut y = lines(page, at, width_mm, title, HEAD) + 0.6;
    for (index, item) in items.iter().enumerate() {
        let mark = if numbered {
            format!("{}", index + 1)
        } else {
            "-".to_owned()
        };
        page.words(Point::new(at.x, y + PLAIN.size_mm * 0.82), &mark, BOLD);
        y = lines(
            page,
            Point::new(at.x + INDENT_MM, y),
            width_mm - INDENT_MM,
            item,
            PLAIN,
        ) + 0.8;
    }
    y + 2.6
}

/// The box of cautions; gives the y beneath, free paper with it.
pub(crate) fn cautions(page: &mut Canvas, at: Point, width_mm: f64, cautions: &[String]) -> f64 {
    if cautions.is_empty() {
        return at.y;
    }
    let room = width_mm - 2.0 * PAD_MM;
    let count: usize = cautions.iter().map(|words| BOLD.wrapped(words, room).len()).sum();
    let gaps = 1.0 * (cautions.len() - 1) as f64;
    let high = 2.0 * PAD_MM + count as f64 * BOLD.line_mm() + gaps - (BOLD.line_mm() - BOLD.size_mm);
    page.rectangle(Frame::new(at.x, at.y, width_mm, high), Ink::Edge, Some(KRAFT));
    let mut y = at.y + PAD_MM;
    for words in cautions {
        y = lines(page, Point::new(at.x + PAD_MM, y), room, words, BOLD) + 1.0;
    }
    at.y + high + 5.0
}
