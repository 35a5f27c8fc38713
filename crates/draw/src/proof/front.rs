//! The front of the card: what, how, where, and when to stop.

use plane::Point;
use sheet::Part;

use super::{ProofCard, head, view};
use crate::bench_paper::{HEAD, MARGIN_MM, PLAIN, cautions, lines, list};
use crate::canvas::{Canvas, Setting};
use crate::frame::Frame;
use crate::ink::Ink;
use crate::template::PaperSize;

/// The column of acts beside the view, mm.
const ACTS_MM: f64 = 84.0;
/// Between the two, mm.
const GUTTER_MM: f64 = 5.0;
/// Room in the box of the rules for stopping, mm.
const PAD_MM: f64 = 3.0;
/// The view is at least this high, and higher than it is wide only where the acts are, mm.
const LEAST_VIEW_MM: f64 = 70.0;
const VIEW_MM: f64 = 118.0;

/// Draws the front.
pub(super) fn draw(part: &Part, card: &ProofCard, paper: PaperSize) -> String {
    let [width, height] = paper.size_mm();
    let mut page = Canvas::new(width, height, Setting::Bundled);
    let inner_mm = width - 2.0 * MARGIN_MM;
    let mut y = head(&mut page, card, "front: read this before you pull");
    y = lines(
        &mut page,
        Point::new(MARGIN_MM, y),
        inner_mm,
        &card.stands_for,
        PLAIN,
    ) + 2.0;
    y = cautions(&mut page, Point::new(MARGIN_MM, y), inner_mm, &card.cautions);

    let acts_mm = if card.view.is_some() { ACTS_MM } else { inner_mm };
    let left = MARGIN_MM;
    let top = y;
    y = list(
        &mut page,
        Point::new(left, y),
        acts_mm,
        "Hold the part",
        &card.hold,
        true,
    );
    y = list(&mut page, Point::new(left, y), acts_mm, "Pull", &card.pull, true);
    y = list(&mut page, Point::new(left, y), acts_mm, "Read", &card.read, true);
    let stop_mm = stop_height(card, inner_mm);
    if let Some(told) = &card.view {
        let most = height - MARGIN_MM - stop_mm - 4.0 - top;
        let area = Frame::new(
            left + acts_mm + GUTTER_MM,
            top,
            inner_mm - acts_mm - GUTTER_MM,
            (y - top).max(VIEW_MM).min(most.max(LEAST_VIEW_MM)),
        );
        view::draw(&mut page, area, part, told);
        y = y.max(area.bottom() + 4.0);
    }
    y = stop(&mut page, Point::new(left, y), inner_mm, card);
    // Words that do not fit the sheet make it longer rather than run off it; a printer then shrinks it.
    page.size.height = height.max(y + MARGIN_MM);
    page.finish(
        "gusset-proof-front",
        &format!("Proof test of {}, front", crate::blank::named(&card.title)),
        &in_words(card),
    )
}

fn stop_height(card: &ProofCard, width_mm: f64) -> f64 {
    let count: usize = card
        .stop
        .iter()
        .map(|words| PLAIN.wrapped(words, width_mm - 2.0 * PAD_MM - 6.0).len())
        .sum();
    2.0 * PAD_MM + HEAD.line_mm() - 1.0 + count as f64 * PLAIN.line_mm() + 0.8 * card.stop.len() as f64
}

fn stop(page: &mut Canvas, at: Point, width_mm: f64, card: &ProofCard) -> f64 {
    if card.stop.is_empty() {
        return at.y;
    }
    let high = stop_height(card, width_mm);
    page.rectangle(Frame::new(at.x, at.y, width_mm, high), Ink::Edge, None);
    let inside = Point::new(at.x + PAD_MM, at.y + PAD_MM);
    list(
        page,
        inside,
        width_mm - 2.0 * PAD_MM,
        "Stop and take the pull off when",
        &card.stop,
        false,
    );
    at.y + high
}

fn in_words(card: &ProofCard) -> String {
    let mut says = vec![card.stands_for.clone()];
    for (head, items) in [
        ("Cautions", &card.cautions),
        ("Hold the part", &card.hold),
        ("Pull", &card.pull),
        ("Read", &card.read),
        ("Stop when", &card.stop),
    ] {
        if !items.is_empty() {
            says.push(format!("{head}: {}", items.join(" ")));
        }
    }
    says.join(" ")
}
