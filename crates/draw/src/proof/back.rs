//! The back of the card: steps, figures, boxes for the readings, and how they are typed back.

use plane::Point;

use super::{ProofCard, ProofStep, WritingHand, head};
use crate::bench_paper::{BOLD, MARGIN_MM, PLAIN, lines};
use crate::canvas::{Canvas, Setting};
use crate::figures;
use crate::frame::Frame;
use crate::ink::{Ink, KRAFT};
use crate::lettering::{Anchor, Lettering};
use crate::template::PaperSize;

/// A step: room for three lines of figures, and for a reading written with a heavy hand, mm.
const ROW_MM: f64 = 21.0;
/// Steps are spread to this where there is paper to spare, mm.
const SPREAD_MM: f64 = 27.0;
const HEAD_MM: f64 = 12.0;
/// Columns of figures, mm; the boxes take the rest.
const STEP_MM: f64 = 13.0;
const PULL_MM: f64 = 43.0;
const MOVES_MM: f64 = 36.0;
const BETWEEN_MM: f64 = 42.0;
/// A line to write on, mm.
const LINE_MM: f64 = 13.0;
const PAD_MM: f64 = 2.4;

/// What stands over a column, and how wide it is.
struct Column {
    kind: Kind,
    left: f64,
    width: f64,
}

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Step,
    Pull,
    Moves,
    Between,
    Reading,
}

/// Draws the back, on as many pages as it takes.
pub(super) fn draw(card: &ProofCard, paper: PaperSize) -> Vec<String> {
    let [width, height] = paper.size_mm();
    let inner_mm = width - 2.0 * MARGIN_MM;
    let foot_mm = foot_height(card, inner_mm);
    let mut pages = Vec::new();
    let mut rest: &[ProofStep] = &card.steps;
    let mut first = 1;
    loop {
        let mut page = Canvas::new(width, height, Setting::Bundled);
        let side = if pages.is_empty() {
            "back: write here"
        } else {
            "more steps: write here"
        };
        let top = head(&mut page, card, side);
        let room = height - MARGIN_MM - top - HEAD_MM;
        let whole = (room / ROW_MM).floor().max(1.0) as usize;
        let with_foot = ((room - foot_mm) / ROW_MM).floor().max(0.0) as usize;
        let last = rest.len() <= with_foot;
        let (here, after) = rest.split_at(rest.len().min(if last { with_foot } else { whole }));
        let row_mm = if last {
            ((room - foot_mm) / here.len().max(1) as f64).clamp(ROW_MM, SPREAD_MM)
        } else {
            ROW_MM
        };
        let corner = Point::new(MARGIN_MM, top);
        let mut y = table(&mut page, corner, inner_mm, card.writes_with, here, first, row_mm);
        rest = after;
        first += here.len();
        if last {
            // A foot that no page has room for makes its page longer.
            y = foot(&mut page, Point::new(MARGIN_MM, y), inner_mm, card);
            page.size.height = height.max(y + MARGIN_MM);
        }
        let title = format!("Proof test of {}, back", crate::blank::named(&card.title));
        pages.push(page.finish(
            &format!("gusset-proof-back-{}", pages.len() + 1),
            &title,
            &in_words(card),
        ));
        if last {
            return pages;
        }
    }
}

fn columns(inner_mm: f64, hand: WritingHand) -> Vec<Column> {
    let figures = [
        (Kind::Step, STEP_MM),
        (Kind::Pull, PULL_MM),
        (Kind::Moves, MOVES_MM),
        (Kind::Between, BETWEEN_MM),
    ];
    let box_mm = inner_mm - figures.iter().map(|(_, width)| width).sum::<f64>();
    let reading = (Kind::Reading, box_mm);
    let order: Vec<(Kind, f64)> = match hand {
        WritingHand::Right => figures.into_iter().chain([reading]).collect(),
        WritingHand::Left => [reading].into_iter().chain(figures).collect(),
    };
    let mut left = MARGIN_MM;
    order
        .into_iter()
        .map(|(kind, width)| {
            let column = Column { kind, left, width };
            left += width;
            column
        })
        .collect()
}

fn table(
    page: &mut Canvas,
    at: Point,
    inner_mm: f64,
    hand: WritingHand,
    steps: &[ProofStep],
    first: usize,
    row_mm: f64,
) -> f64 {
    if steps.is_empty() {
        return at.y;
    }
    let columns = columns(inner_mm, hand);
    page.ground(Frame::new(at.x, at.y, inner_mm, HEAD_MM), KRAFT);
    for column in &columns {
        let words: &[&str] = match column.kind {
            Kind::Step => &["step"],
            Kind::Pull => &["pull"],
            Kind::Moves => &["should move"],
            Kind::Between => &["agrees when", "between"],
            Kind::Reading => &["your reading"],
        };
        for (index, words) in words.iter().enumerate() {
            let y = at.y + 4.9 + BOLD.line_mm() * 0.9 * index as f64;
            page.words(Point::new(column.left + PAD_MM, y), words, BOLD);
        }
    }
    let mut y = at.y + HEAD_MM;
    page.line(Point::new(at.x, y), Point::new(at.x + inner_mm, y), Ink::Edge);
    for (index, step) in steps.iter().enumerate() {
        row(page, &columns, [y, row_mm], first + index, step);
        y += row_mm;
        page.line(Point::new(at.x, y), Point::new(at.x + inner_mm, y), Ink::Rule);
    }
    page.rectangle(Frame::new(at.x, at.y, inner_mm, y - at.y), Ink::Edge, None);
    y
}

fn row(page: &mut Canvas, columns: &[Column], [top, high]: [f64; 2], number: usize, step: &ProofStep) {
    let large = Lettering::SMALL_BOLD.sized(5.4);
    for column in columns {
        let x = column.left + PAD_MM;
        let (big, small): (String, Vec<String>) = match column.kind {
            Kind::Step => (number.to_string(), Vec::new()),
            Kind::Pull => {
                let mut small = vec![format!(
                    "{:.1} kgf, {:.1} lbf",
                    step.pull_n / units::NEWTON_PER_KGF,
                    step.pull_n / units::NEWTON_PER_LBF
                )];
                small.extend(step.water_l.map(|litres| format!("{litres:.1} litres of water")));
                (newton(step.pull_n), small)
            }
            Kind::Moves => (
                format!("{} mm", movement(step.moves_mm)),
                vec![format!("{} in", figures::inch(step.moves_mm))],
            ),
            Kind::Between => (
                format!("{} and {} mm", movement(step.low_mm), movement(step.high_mm)),
                vec![
                    format!("{} in", figures::inch(step.low_mm)),
                    format!("and {} in", figures::inch(step.high_mm)),
                ],
            ),
            Kind::Reading => {
                let frame = Frame::new(column.left, top, column.width, high);
                page.rectangle(frame.grown(-1.0), Ink::Edge, None);
                let unit = PLAIN.anchored(Anchor::End);
                page.words(Point::new(frame.right() - 3.2, frame.bottom() - 3.4), "mm", unit);
                continue;
            }
        };
        // The largest size at which the figures keep to their column.
        let room = column.width - 2.0 * PAD_MM;
        let set = [5.4, 5.0, 4.6, 4.2]
            .map(|size| large.sized(size))
            .into_iter()
            .find(|set| set.width_mm(&big) <= room)
            .unwrap_or(large.sized(3.8));
        page.words(Point::new(x, top + 6.4), &big, set);
        for (index, words) in small.iter().enumerate() {
            let y = top + 12.0 + 5.4 * index as f64;
            page.words(Point::new(x, y), words, Lettering::SMALL.sized(3.8));
        }
    }
}

/// N, a tenth only under ten.
fn newton(force_n: f64) -> String {
    if force_n.abs() < 10.0 {
        format!("{force_n:.1} N")
    } else {
        format!("{force_n:.0} N")
    }
}

/// mm, to a tenth, and to a hundredth where a tenth would say too little.
fn movement(length_mm: f64) -> String {
    if length_mm.abs() < 1.0 {
        format!("{:.2}", length_mm + 0.0)
    } else {
        figures::mm(length_mm)
    }
}

const WATER: &str =
    "A litre of water weighs 1 kg. The bucket pulls too: leave out as many litres as it weighs in kg.";
const WHO: [&str; 3] = ["date", "name", "what I saw"];

fn foot_height(card: &ProofCard, inner_mm: f64) -> f64 {
    let mut high = 4.0;
    if card.steps.iter().any(|step| step.water_l.is_some()) {
        high += PLAIN.line_mm() * PLAIN.wrapped(WATER, inner_mm).len() as f64 + 2.0;
    }
    high + 2.0 * LINE_MM + 4.0 + typed_height(card, inner_mm)
}

fn typed_height(card: &ProofCard, inner_mm: f64) -> f64 {
    if card.type_lines.is_empty() {
        return 0.0;
    }
    let head = BOLD.wrapped(&card.type_into, inner_mm - 2.0 * PAD_MM).len() as f64;
    2.0 * PAD_MM + head * BOLD.line_mm() + 1.0 + card.type_lines.len() as f64 * PLAIN.line_mm()
}

/// Notes on the pull, lines for date and name, and what to type; gives the y beneath.
fn foot(page: &mut Canvas, at: Point, inner_mm: f64, card: &ProofCard) -> f64 {
    let right = at.x + inner_mm;
    let mut y = at.y + 3.0;
    if card.steps.iter().any(|step| step.water_l.is_some()) {
        y = lines(page, Point::new(at.x, y), inner_mm, WATER, PLAIN) + 2.0;
    }
    let middle = at.x + inner_mm * 0.42;
    for (words, from, to, low) in [
        (WHO[0], at.x, middle - 4.0, y + LINE_MM),
        (WHO[1], middle, right, y + LINE_MM),
        (WHO[2], at.x, right, y + 2.0 * LINE_MM),
    ] {
        page.words(Point::new(from, low - 1.4), words, PLAIN);
        let start = from + PLAIN.width_mm(words) + 2.0;
        page.line(Point::new(start, low), Point::new(to, low), Ink::Rule);
    }
    y += 2.0 * LINE_MM + 4.0;
    if card.type_lines.is_empty() {
        return y;
    }
    let high = typed_height(card, inner_mm);
    page.rectangle(Frame::new(at.x, y, inner_mm, high), Ink::Rule, Some(KRAFT));
    let left = at.x + PAD_MM;
    let mut inside = lines(
        page,
        Point::new(left, y + PAD_MM),
        inner_mm - 2.0 * PAD_MM,
        &card.type_into,
        BOLD,
    ) + 1.0;
    for words in &card.type_lines {
        page.words(Point::new(left, inside + PLAIN.size_mm * 0.82), words, PLAIN);
        inside += PLAIN.line_mm();
    }
    y + high
}

fn in_words(card: &ProofCard) -> String {
    let mut says: Vec<String> = card
        .steps
        .iter()
        .enumerate()
        .map(|(index, step)| {
            format!(
                "Step {}: pull {}; it should move {}, and agrees between {} and {}.",
                index + 1,
                units::force(step.pull_n),
                figures::both(step.moves_mm),
                figures::both(step.low_mm),
                figures::both(step.high_mm)
            )
        })
        .collect();
    if !card.type_lines.is_empty() {
        says.push(format!("{} {}", card.type_into, card.type_lines.join(" ")));
    }
    says.join(" ")
}
