//! The drawing of the sheet as it lies on the table.

use plane::{Point, Vector};

use super::CutSheet;
use super::marks::{self, KEY_ROW_MM, Shown};
use crate::bench_pages::BenchPages;
use crate::bench_paper::MARGIN_MM;
use crate::canvas::Canvas;
use crate::figures;
use crate::frame::{Frame, around};
use crate::ink::{Ink, WHITE};
use crate::lettering::{Anchor, Lettering};
use crate::place::Placer;
use crate::table::paragraph;
use crate::title::Scale;
use crate::trace::{self, View};

/// Room round the sheet for sizes and numbers, mm on paper: left and right together, top and bottom together.
const ROOM_MM: [f64; 2] = [46.0, 36.0];
/// It goes on a page with words when it gets at least this much of its height, mm.
pub(super) const LEAST_MM: f64 = 128.0;
/// How far off the sheet its sizes stand, mm on paper.
const SIZES_OFF_MM: f64 = 8.0;
/// The drawing is not stretched down a whole page when the sheet is long and low: it gets this much more than it needs.
const SPARE_MM: f64 = 24.0;

/// Pierces stand close: a number is tied to its own by a leader however near it stands.
pub(super) const LEADERS_FROM_MM: f64 = 0.6;

/// Draws it on what is left of the page; says whether it came out so small that its parts are to be drawn again.
pub(super) fn draw(pages: &mut BenchPages, told: &CutSheet) -> bool {
    let area = pages.rest();
    let scale = scale_in(told, area);
    let close_ups = super::close::needed(told, scale);
    let page = &mut pages.page;
    let mut y = head(page, area, told, scale);

    let key_mm = 2.0 * KEY_ROW_MM + 5.0;
    let needs = bounds(told).height * scale.factor() + ROOM_MM[1] + SPARE_MM;
    let high = (area.bottom() - key_mm - y).min(needs).max(40.0);
    let area = Frame::new(area.left, y, area.width, high);
    let view = view(&bounds(told), area, scale);
    let mut placer = Placer::new(area).with_leaders_from(LEADERS_FROM_MM);
    page.rectangle(area, Ink::Thin, None);
    let shown = Shown {
        told,
        view,
        part: None,
        area,
        in_short: if close_ups {
            super::close::crowded(told, scale)
        } else {
            Vec::new()
        },
    };
    let sheet = view.frame(trace::bounds(&told.load.region.outer));
    sizes(page, sheet, told, &mut placer);
    shown.draw(page, &mut placer);
    let missed = shown.label(page, &mut placer, !close_ups);
    y = marks::key(page, Point::new(MARGIN_MM, area.bottom() + 1.6), area.width, told);
    pages.y = unnamed(page, Point::new(MARGIN_MM, y), area.width, &missed);
    close_ups
}

/// Everything that must be in the picture, in table coordinates.
fn bounds(told: &CutSheet) -> Frame {
    let corners = |frame: Frame| {
        [
            Point::new(frame.left, frame.top),
            Point::new(frame.right(), frame.bottom()),
        ]
    };
    let sheet = trace::bounds(&told.load.region.outer);
    let clamps = told
        .load
        .clamps
        .iter()
        .flat_map(|(_, outline)| corners(trace::bounds(outline)));
    let paths = told
        .cuts
        .iter()
        .flat_map(|cut| cut.track.iter().map(|corner| corner.at));
    let all = corners(sheet)
        .into_iter()
        .chain(clamps)
        .chain(paths)
        .chain([told.zero]);
    around(all.filter(|at| at.x.is_finite() && at.y.is_finite())).unwrap_or(sheet)
}

/// The scale at which the sheet is drawn in this area.
fn scale_in(told: &CutSheet, area: Frame) -> Scale {
    let bounds = bounds(told);
    let room = [
        area.width - ROOM_MM[0],
        area.height - ROOM_MM[1] - 2.0 * KEY_ROW_MM - 14.0,
    ];
    Scale::to_fill([bounds.width, bounds.height], room)
}

/// Centred in the area, a little right and up: sizes stand at the left and beneath.
pub(super) fn view(bounds: &Frame, area: Frame, scale: Scale) -> View {
    let factor = scale.factor();
    let middle = area.centre();
    View {
        scale: [factor, factor],
        origin: Point::new(
            middle.x - bounds.centre().x * factor,
            middle.y + bounds.centre().y * factor,
        ),
    }
}

/// What the drawing shows, and which way slats and grain run; gives the y beneath.
fn head(page: &mut Canvas, area: Frame, told: &CutSheet, scale: Scale) -> f64 {
    let set = Lettering::SMALL;
    let words = format!("Seen from above, as it lies on the table. Scale {scale}; go by the figures.");
    let mut y = paragraph(page, Point::new(area.left, area.top), area.width, &words, set);
    let mut x = area.left;
    let slats = told.load.slats.and_then(|slats| {
        let says = format!("slats run this way, {} apart", figures::both(slats.pitch_mm));
        Some((slats.along.try_normalize(0.0)?, says))
    });
    let rolled = told.load.rolled.and_then(|along| {
        Some((
            along.try_normalize(0.0)?,
            "the sheet was rolled this way".to_owned(),
        ))
    });
    let there = slats.is_some() || rolled.is_some();
    if there {
        y += 2.0;
    }
    for (along, says) in slats.into_iter().chain(rolled) {
        const HALF_MM: f64 = 4.0;
        let middle = Point::new(x + 5.0, y + 2.2);
        let arm = Vector::new(along.x, -along.y) * HALF_MM;
        page.arrow(middle, middle + arm, Ink::Seen);
        page.arrow(middle, middle - arm, Ink::Seen);
        page.words(Point::new(x + 11.5, y + 3.3), &says, set);
        x += 11.5 + set.width_mm(&says) + 8.0;
    }
    if there { y + 7.0 } else { y + 1.0 }
}

/// Overall width beneath the sheet and height at its left.
fn sizes(page: &mut Canvas, sheet: Frame, told: &CutSheet, placer: &mut Placer) {
    let set = Lettering::SMALL_BOLD.anchored(Anchor::Middle);
    let size = trace::bounds(&told.load.region.outer);
    page.open("sizes");
    let below = sheet.bottom() + SIZES_OFF_MM;
    let beside = sheet.left - SIZES_OFF_MM;
    for x in [sheet.left, sheet.right()] {
        page.line(
            Point::new(x, sheet.bottom() + 1.0),
            Point::new(x, below + 1.5),
            Ink::Thin,
        );
    }
    for y in [sheet.top, sheet.bottom()] {
        page.line(
            Point::new(sheet.left - 1.0, y),
            Point::new(beside - 1.5, y),
            Ink::Thin,
        );
    }
    let middle = sheet.centre();
    for end in [sheet.left, sheet.right()] {
        page.arrow(Point::new(middle.x, below), Point::new(end, below), Ink::Thin);
    }
    let across = figures::both(size.width);
    let wide = set.width_mm(&across);
    page.words(Point::new(middle.x, below + 4.4), &across, set);
    placer.take(Frame::new(middle.x - wide / 2.0, below + 1.0, wide, 4.4));
    placer.take(Frame::new(sheet.left, below - 1.0, sheet.width, 2.0));

    // In short lines, so that the sheet can be drawn large.
    let inch = units::inch64(size.height);
    let at = inch.find(" in ").map_or(inch.len(), |at| at + 3);
    let (whole, over) = inch.split_at(at);
    let words: Vec<String> = [units::mm(size.height), whole.to_owned(), over.trim().to_owned()]
        .into_iter()
        .filter(|words| !words.is_empty())
        .collect();
    let half = 0.8 + set.line_mm() / 2.0 * words.len() as f64;
    for (tip, from) in [(sheet.top, middle.y - half), (sheet.bottom(), middle.y + half)] {
        // A low sheet has no room for its height between the arrows: the words then stand on the line.
        let from = if (tip - middle.y).abs() < half + 3.0 {
            middle.y
        } else {
            from
        };
        page.arrow(Point::new(beside, from), Point::new(beside, tip), Ink::Thin);
    }
    let widest = words.iter().map(|words| set.width_mm(words)).fold(0.0, f64::max);
    let frame = Frame::new(
        beside + 6.5 - widest,
        middle.y - half + 0.4,
        widest,
        2.0 * half - 0.8,
    );
    page.ground(frame, WHITE);
    for (index, words) in words.iter().enumerate() {
        let y = frame.top + set.size_mm * 0.92 + set.line_mm() * index as f64;
        page.words(Point::new(frame.right(), y), words, set.anchored(Anchor::End));
    }
    placer.take(frame);
    placer.take(Frame::new(beside - 1.0, sheet.top, 2.0, sheet.height));
    page.close();
}

/// Says what found no room on a drawing, rather than leaving it out in silence; gives the y beneath.
pub(super) fn unnamed(page: &mut Canvas, at: Point, width_mm: f64, missed: &[String]) -> f64 {
    if missed.is_empty() {
        return at.y;
    }
    let words = format!(
        "No room on this drawing for {}: find them in the tables.",
        missed.join(", ")
    );
    paragraph(page, at, width_mm, &words, Lettering::SMALL)
}
