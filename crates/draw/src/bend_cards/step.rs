//! One step's card.

use plane::Point;

use super::{BendCards, BendReading, BendStep, ReadBand, flat, gauge, look};
use crate::bench_pages::BenchPages;
use crate::bench_paper::{BOLD, HEAD, MARGIN_MM, PLAIN, cautions, lines, list};
use crate::canvas::Canvas;
use crate::figures;
use crate::frame::Frame;
use crate::ink::{Ink, KRAFT};
use crate::lettering::{Anchor, Lettering};

/// Between two things one under the other, mm.
const GAP_MM: f64 = 2.0;
/// Between two things side by side, mm.
const GUTTER_MM: f64 = 5.0;
/// The drawing of the plate on the tool: its width, and its height at least and as usual, mm.
const FLAT_WIDE_MM: f64 = 98.0;
const FLAT_MM: [f64; 2] = [48.0, 66.0];
/// The two pictures of the part, at least and at most, mm.
const LOOK_MM: [f64; 2] = [30.0, 48.0];
/// The card gauge with its words: its width, and its height at least and as usual, mm.
const GAUGE_WIDE_MM: f64 = 88.0;
const GAUGE_MM: [f64; 2] = [46.0, 56.0];
/// A row of the readings, at least and as usual, and the head over them, mm.
const ROW_MM: [f64; 2] = [11.0, 12.0];
const ROWS_HEAD_MM: f64 = 7.0;
/// Columns of the readings, mm; the place takes what is left.
const SHOULD_MM: f64 = 44.0;
const BETWEEN_MM: f64 = 58.0;
const BOX_MM: f64 = 34.0;

/// Draws the card from the top of the page in hand.
pub(super) fn draw(pages: &mut BenchPages, told: &BendCards, index: usize) {
    let step = &told.steps[index];
    let inner_mm = pages.inner_mm();
    let page = &mut pages.page;
    let large = Lettering::SMALL_BOLD.sized(7.0);
    let words = format!("Step {} of {}: {}", index + 1, told.steps.len(), step.bend);
    let at = Point::new(MARGIN_MM, pages.y);
    let mut y = lines(page, at, inner_mm, &words, large) - 1.0;
    if !step.first.is_empty() {
        let words = format!("First: {}.", step.first.join("; "));
        y = lines(page, Point::new(MARGIN_MM, y), inner_mm, &words, BOLD);
    }
    y += 1.6;
    if !step.cautions.is_empty() {
        y = cautions(page, Point::new(MARGIN_MM, y), inner_mm, &step.cautions) - 2.0;
    }
    pages.y = y;
    let high = Heights::of(step, pages.inner_mm(), pages.bottom() - y);
    set_up(pages, step, high.flat_mm);
    pictures(pages, step, high.look_mm);
    card_gauge(pages, step, high.gauge_mm);
    readings(pages, &step.measure, high.row_mm);
}

/// How high the pieces of a card are, mm: where the paper is short they give way, so that a step stands on one page.
#[derive(Debug, Clone, Copy)]
struct Heights {
    /// The plate on the tool.
    flat_mm: f64,
    /// The two pictures; 0 where there are none.
    look_mm: f64,
    /// The card gauge.
    gauge_mm: f64,
    /// A row of the readings, where its words are not higher.
    row_mm: f64,
}

impl Heights {
    /// In so much room. The pictures give way first, then the plate, the rows and last the gauge, whose arms are then shorter.
    fn of(step: &BendStep, inner_mm: f64, room_mm: f64) -> Heights {
        let looks = !(step.before.faces.is_empty() && step.after.faces.is_empty());
        let mut high = Heights {
            flat_mm: FLAT_MM[1],
            look_mm: if looks { LOOK_MM[1] } else { 0.0 },
            gauge_mm: GAUGE_MM[1],
            row_mm: ROW_MM[1],
        };
        let least = [
            if looks { LOOK_MM[0] } else { 0.0 },
            FLAT_MM[0],
            ROW_MM[0],
            GAUGE_MM[0],
        ];
        let rows = step.measure.len().max(1) as f64;
        for (index, least_mm) in least.into_iter().enumerate() {
            let lacks_mm = high.takes_mm(step, inner_mm) - room_mm;
            if lacks_mm <= 0.0 {
                break;
            }
            // A piece that gives way to under the words beside it stands as high as these.
            let (piece_mm, lacks_mm) = match index {
                0 => (&mut high.look_mm, lacks_mm),
                1 => (&mut high.flat_mm, lacks_mm),
                2 => (&mut high.row_mm, lacks_mm / rows),
                _ => (&mut high.gauge_mm, lacks_mm),
            };
            *piece_mm = (*piece_mm - lacks_mm).max(least_mm);
        }
        high
    }

    /// What all of it takes, one under the other, mm.
    fn takes_mm(&self, step: &BendStep, inner_mm: f64) -> f64 {
        let look_mm = if self.look_mm > 0.0 {
            self.look_mm + GAP_MM
        } else {
            0.0
        };
        set_up_mm(step, inner_mm).max(self.flat_mm)
            + card_gauge_mm(step, inner_mm).max(self.gauge_mm)
            + 2.0 * GAP_MM
            + look_mm
            + readings_mm(&step.measure, inner_mm, self.row_mm)
    }
}

/// What is set, in words, mm.
fn set_up_mm(step: &BendStep, inner_mm: f64) -> f64 {
    let wide = inner_mm - FLAT_WIDE_MM - GUTTER_MM;
    facts(step).iter().map(|(_, says)| fact_mm(says, wide)).sum()
}

/// The plate on the tool, and beside it what is set.
fn set_up(pages: &mut BenchPages, step: &BendStep, flat_mm: f64) {
    let inner_mm = pages.inner_mm();
    let left = MARGIN_MM + FLAT_WIDE_MM + GUTTER_MM;
    let wide = inner_mm - FLAT_WIDE_MM - GUTTER_MM;
    let facts = facts(step);
    let high = set_up_mm(step, inner_mm).max(flat_mm);
    pages.make_room(high);
    let mut y = pages.y;
    for (head, says) in &facts {
        y = fact(&mut pages.page, Point::new(left, y), wide, head, says);
    }
    let area = Frame::new(MARGIN_MM, pages.y, FLAT_WIDE_MM, high);
    flat::draw(&mut pages.page, area, step);
    pages.y += high + GAP_MM;
}

fn facts(step: &BendStep) -> Vec<(&'static str, Vec<String>)> {
    let angles = |bent_rad: f64| figures::bend_angles(bent_rad).join(", ");
    let mut stop = Vec::new();
    if let Some(set) = step.stop {
        stop.push(format!(
            "{}, {}",
            figures::both(set.distance_mm),
            flat::line_word(set.to)
        ));
    }
    stop.extend((!step.stop_says.is_empty()).then(|| step.stop_says.clone()));
    [
        ("Tool", step.tool.clone()),
        ("Gauge stop", stop),
        (
            "Lay it",
            [&step.face_up, &step.round]
                .into_iter()
                .filter(|words| !words.is_empty())
                .cloned()
                .collect(),
        ),
        ("Bend under load to", vec![angles(step.loaded_rad)]),
        ("After release", vec![angles(step.released_rad)]),
    ]
    .into_iter()
    .filter(|(_, says): &(&str, Vec<String>)| !says.is_empty())
    .collect()
}

const FACT: Lettering = Lettering::SMALL.sized(3.9);
const FACT_HEAD: Lettering = FACT.bold();

fn fact_mm(says: &[String], wide: f64) -> f64 {
    let lines: usize = says.iter().map(|words| FACT.wrapped(words, wide).len()).sum();
    FACT_HEAD.line_mm() + FACT.line_mm() * lines as f64 + 1.4
}

fn fact(page: &mut Canvas, at: Point, wide: f64, head: &str, says: &[String]) -> f64 {
    let mut y = lines(page, at, wide, head, FACT_HEAD);
    for words in says {
        y = lines(page, Point::new(at.x, y), wide, words, FACT);
    }
    y + 1.4
}

/// Before and after, at one scale.
fn pictures(pages: &mut BenchPages, step: &BendStep, high: f64) {
    if high == 0.0 {
        return;
    }
    pages.make_room(high);
    let wide = (pages.inner_mm() - GUTTER_MM) / 2.0;
    let frames = [0.0, wide + GUTTER_MM].map(|x| Frame::new(MARGIN_MM + x, pages.y, wide, high));
    let pair = [
        ("before, from where you stand", &step.before),
        ("after", &step.after),
    ];
    look::draw(&mut pages.page, frames, pair);
    pages.y += high + GAP_MM;
}

/// The card gauge, and beside it when to stop and where the free hand is.
fn card_gauge(pages: &mut BenchPages, step: &BendStep, gauge_mm: f64) {
    let left = MARGIN_MM + GAUGE_WIDE_MM + GUTTER_MM;
    let wide = pages.inner_mm() - GAUGE_WIDE_MM - GUTTER_MM;
    let high = card_gauge_mm(step, pages.inner_mm()).max(gauge_mm);
    pages.make_room(high);
    let top = pages.y;
    let page = &mut pages.page;
    let y = list(
        page,
        Point::new(left, top),
        wide,
        "Stop when",
        &step.stop_when,
        false,
    );
    list(
        page,
        Point::new(left, y),
        wide,
        "The free hand",
        &step.free_hand,
        false,
    );
    // Where the words are higher, there is room for its arms.
    let gauge_mm = high.min(GAUGE_MM[1]);
    gauge::draw(page, Frame::new(MARGIN_MM, top, GAUGE_WIDE_MM, gauge_mm), step);
    pages.y = top + high + GAP_MM;
}

/// The words beside the gauge, mm.
fn card_gauge_mm(step: &BendStep, inner_mm: f64) -> f64 {
    let wide = inner_mm - GAUGE_WIDE_MM - GUTTER_MM;
    let count = |items: &[String]| -> f64 {
        if items.is_empty() {
            return 0.0;
        }
        let rows: usize = items
            .iter()
            .map(|words| PLAIN.wrapped(words, wide - 6.0).len())
            .sum();
        HEAD.line_mm() + 0.6 + PLAIN.line_mm() * rows as f64 + 0.8 * items.len() as f64 + 2.6
    };
    count(&step.stop_when) + count(&step.free_hand)
}

/// The words of a reading's place, and the height of its row, mm.
fn place_of(reading: &BendReading, inner_mm: f64, row_mm: f64) -> (Vec<String>, f64) {
    let place_mm = inner_mm - SHOULD_MM - BETWEEN_MM - BOX_MM;
    let place = FACT.wrapped(&reading.place, place_mm - 4.0);
    let high = row_mm.max(FACT.line_mm() * place.len() as f64 + 2.2);
    (place, high)
}

fn readings_mm(readings: &[BendReading], inner_mm: f64, row_mm: f64) -> f64 {
    let rows = readings
        .iter()
        .map(|reading| place_of(reading, inner_mm, row_mm).1);
    if readings.is_empty() {
        0.0
    } else {
        ROWS_HEAD_MM + rows.sum::<f64>()
    }
}

/// Where to measure, the band, and a box to write in.
fn readings(pages: &mut BenchPages, readings: &[BendReading], row_mm: f64) {
    if readings.is_empty() {
        return;
    }
    pages.make_room(ROWS_HEAD_MM + row_mm);
    head(pages);
    for reading in readings {
        let wide = pages.inner_mm();
        let place_mm = wide - SHOULD_MM - BETWEEN_MM - BOX_MM;
        let (place, high) = place_of(reading, wide, row_mm);
        if pages.bottom() - pages.y < high {
            pages.turn();
            head(pages);
        }
        let (top, page) = (pages.y, &mut pages.page);
        for (index, words) in place.iter().enumerate() {
            let y = top + 5.0 + FACT.line_mm() * index as f64;
            page.words(Point::new(MARGIN_MM + 2.0, y), words, FACT);
        }
        let (should, between, unit) = in_words(&reading.band);
        for (x, lines) in [(place_mm, should), (place_mm + SHOULD_MM, between)] {
            for (index, words) in lines.iter().enumerate() {
                let set = if index == 0 { BOLD } else { Lettering::SMALL };
                let y = top + 5.2 + 5.0 * index as f64;
                page.words(Point::new(MARGIN_MM + x, y), words, set);
            }
        }
        let frame = Frame::new(MARGIN_MM + wide - BOX_MM, top, BOX_MM, high);
        page.rectangle(frame.grown(-0.8), Ink::Edge, None);
        let unit_at = Point::new(frame.right() - 2.6, frame.bottom() - 2.8);
        page.words(unit_at, unit, PLAIN.anchored(Anchor::End));
        pages.y = top + high;
        let (from, to) = (
            Point::new(MARGIN_MM, pages.y),
            Point::new(MARGIN_MM + wide, pages.y),
        );
        pages.page.line(from, to, Ink::Thin);
    }
    pages.y += 3.0;
}

fn head(pages: &mut BenchPages) {
    let (top, wide) = (pages.y, pages.inner_mm());
    let page = &mut pages.page;
    page.ground(Frame::new(MARGIN_MM, top, wide, ROWS_HEAD_MM), KRAFT);
    let place_mm = wide - SHOULD_MM - BETWEEN_MM - BOX_MM;
    for (x, words) in [
        (2.0, "measure"),
        (place_mm, "should be"),
        (place_mm + SHOULD_MM, "go on between"),
        (wide - BOX_MM + 1.0, "your reading"),
    ] {
        page.words(Point::new(MARGIN_MM + x, top + 5.0), words, BOLD);
    }
    pages.y += ROWS_HEAD_MM;
}

/// What it should be, the band, and the unit of the box.
fn in_words(band: &ReadBand) -> (Vec<String>, Vec<String>, &'static str) {
    match *band {
        ReadBand::LengthMm([low, should, high]) => (
            vec![
                format!("{} mm", figures::mm(should)),
                format!("{} in", figures::inch(should)),
            ],
            vec![
                format!("{} and {} mm", figures::mm(low), figures::mm(high)),
                format!("{} and {} in", figures::inch(low), figures::inch(high)),
            ],
            "mm",
        ),
        ReadBand::BentRad([low, should, high]) => {
            let other = |bent_rad: f64| figures::deg(std::f64::consts::PI - bent_rad);
            (
                vec![
                    format!("{} bent", figures::deg(should)),
                    format!("{} between legs", other(should)),
                ],
                vec![
                    format!("{} and {}", figures::deg(low), figures::deg(high)),
                    format!("{} and {} between", other(low), other(high)),
                ],
                "deg",
            )
        }
    }
}
