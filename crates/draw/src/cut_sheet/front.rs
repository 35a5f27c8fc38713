//! The first page: what is done before the torch is lit.

use plane::Point;

use super::CutSheet;
use crate::bench_pages::BenchPages;
use crate::bench_paper::{BOLD, HEAD, MARGIN_MM, PAD_MM, PLAIN, cautions, lines};
use crate::figures;
use crate::frame::Frame;
use crate::ink::{Ink, KRAFT};
use crate::lettering::{Anchor, Lettering};
use crate::trace;

/// The box for the caliper's reading, mm.
const BOX_MM: [f64; 2] = [52.0, 17.0];

/// Draws it; the drawing of the sheet goes beneath, or on a page of its own.
pub(super) fn draw(pages: &mut BenchPages, told: &CutSheet) {
    let inner_mm = pages.inner_mm();
    let page = &mut pages.page;
    let left = MARGIN_MM;
    let mut y = cautions(page, Point::new(left, pages.y), inner_mm, &told.cautions);

    y = load(page, Point::new(left, y), inner_mm, told);
    y = act(page, Point::new(left, y), inner_mm, "2", "Set zero", &zero(told));
    let mut number = 3;
    if !told.dry_run.is_empty() {
        let words = std::slice::from_ref(&told.dry_run);
        y = act(page, Point::new(left, y), inner_mm, "3", "Run it dry", words);
        number = 4;
    }
    let cut = [if told.cuts.is_empty() {
        "Nothing is cut on this sheet.".to_owned()
    } else {
        format!(
            "In the order of the numbers, 1 to {}. Each number stands at its pierce; the arrows show the way of the torch.",
            told.cuts.len()
        )
    }];
    y = act(
        page,
        Point::new(left, y),
        inner_mm,
        &number.to_string(),
        "Cut",
        &cut,
    );
    if !told.drills.is_empty() {
        let words = [format!(
            "When the parts are cold: D1 to D{}, as in the table. A cut edge can be hard; go by the table's sizes.",
            told.drills.len()
        )];
        let number = (number + 1).to_string();
        y = act(page, Point::new(left, y), inner_mm, &number, "Drill", &words);
    }
    pages.y = takes(page, Point::new(left, y + 0.6), inner_mm, &told.takes);
}

const INDENT_MM: f64 = 8.0;

/// A numbered act with what it says; gives the y beneath.
fn act(
    page: &mut crate::canvas::Canvas,
    at: Point,
    width_mm: f64,
    number: &str,
    name: &str,
    says: &[String],
) -> f64 {
    page.words(Point::new(at.x, at.y + HEAD.size_mm * 0.82), number, HEAD);
    let inside = Point::new(at.x + INDENT_MM, at.y);
    let mut y = lines(page, inside, width_mm - INDENT_MM, name, HEAD) + 0.2;
    for words in says {
        y = lines(page, Point::new(inside.x, y), width_mm - INDENT_MM, words, PLAIN);
    }
    y + 2.0
}

/// What to load, and the caliper's box beside it.
fn load(page: &mut crate::canvas::Canvas, at: Point, width_mm: f64, told: &CutSheet) -> f64 {
    let load = &told.load;
    let size = trace::bounds(&load.region.outer);
    let [least, most] = load.goes_on_mm.map(caliper);
    let says = [
        load.stock.clone(),
        format!(
            "{}: {} by {} over all.",
            if load.what.is_empty() { "Sheet" } else { &load.what },
            figures::both(size.width),
            figures::both(size.height)
        ),
        format!(
            "Measure the plate with a caliper, clean and away from an edge, and write it down. Go on only between {least} and \
             {most}: speed, height and kerf are for {}. Else stop, and plan again for what you have.",
            caliper(load.thickness_mm)
        ),
    ];
    let frame = Frame::new(at.x + width_mm - BOX_MM[0], at.y + 5.6, BOX_MM[0], BOX_MM[1]);
    page.rectangle(frame, Ink::Edge, None);
    page.words(Point::new(frame.left, at.y + 3.8), "I measured", PLAIN);
    let unit = PLAIN.anchored(Anchor::End);
    page.words(Point::new(frame.right() - 2.4, frame.bottom() - 2.8), "mm", unit);
    let y = act(
        page,
        at,
        width_mm - BOX_MM[0] - 5.0,
        "1",
        "Load and measure",
        &says,
    );
    y.max(frame.bottom() + 3.0)
}

/// To a hundredth of a mm and a thousandth of an inch: what a caliper shows.
fn caliper(length_mm: f64) -> String {
    format!("{length_mm:.2} mm ({:.3} in)", length_mm / units::MM_PER_INCH)
}

fn zero(told: &CutSheet) -> Vec<String> {
    let mut says = Vec::new();
    if !told.zero_says.is_empty() {
        says.push(format!("Zero is {}.", told.zero_says.trim_end_matches('.')));
    }
    says.push("It is marked on the drawing: x runs to the right and y upward as drawn.".to_owned());
    vec![says.join(" ")]
}

/// Time, gas and money in one strip; gives the y beneath.
fn takes(page: &mut crate::canvas::Canvas, at: Point, width_mm: f64, takes: &[(String, String)]) -> f64 {
    const MOST_IN_A_ROW: usize = 4;
    let head = Lettering::SMALL.sized(3.8);
    let mut y = at.y;
    for row in takes.chunks(MOST_IN_A_ROW) {
        let cell_mm = width_mm / row.len() as f64;
        let cells: Vec<Vec<String>> = row
            .iter()
            .map(|(_, words)| BOLD.wrapped(words, cell_mm - 2.0 * PAD_MM))
            .collect();
        let most = cells.iter().map(Vec::len).max().unwrap_or(1).max(1);
        let high = 9.0 + BOLD.line_mm() * most as f64;
        page.rectangle(Frame::new(at.x, y, width_mm, high), Ink::Rule, Some(KRAFT));
        for (index, ((name, _), words)) in row.iter().zip(&cells).enumerate() {
            let x = at.x + cell_mm * index as f64;
            if index > 0 {
                page.line(Point::new(x, y), Point::new(x, y + high), Ink::Thin);
            }
            let name = head.chopped(name, cell_mm - 2.0 * PAD_MM);
            page.words(Point::new(x + PAD_MM, y + 5.0), &name[0], head);
            for (line, words) in words.iter().enumerate() {
                let y = y + 10.4 + BOLD.line_mm() * line as f64;
                page.words(Point::new(x + PAD_MM, y), words, BOLD);
            }
        }
        y += high;
    }
    if takes.is_empty() { y } else { y + 4.0 }
}
