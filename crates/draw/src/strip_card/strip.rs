//! The strip as it is cut: outline, bend lines, sizes, and where it is measured.

use plane::{Point, Vector};

use super::StripCard;
use crate::canvas::Canvas;
use crate::figures;
use crate::frame::Frame;
use crate::ink::{BLUE, Ink, KRAFT, WHITE};
use crate::label::Label;
use crate::lettering::{Anchor, Lettering};
use crate::place::Placer;
use crate::title::Scale;
use crate::trace::{self, View};

/// Room round the strip for its sizes and letters, mm on paper: across, down.
const ROOM_MM: [f64; 2] = [56.0, 26.0];
/// How far off the strip its sizes stand, mm on paper.
const OFF_MM: f64 = 6.0;

/// Draws it in `area`.
pub(super) fn draw(page: &mut Canvas, area: Frame, told: &StripCard) {
    page.rectangle(area, Ink::Thin, None);
    let bounds = trace::bounds(&told.strip.outer);
    let scale = Scale::to_fill(
        [bounds.width, bounds.height],
        [area.width - ROOM_MM[0], area.height - ROOM_MM[1]],
    );
    let set = Lettering::SMALL;
    let words = format!("the strip, flat; scale {scale}, go by the figures");
    page.words(Point::new(area.left + 2.0, area.top + 4.6), &words, set);
    let factor = scale.factor();
    let middle = area.centre();
    let view = View {
        scale: [factor, factor],
        origin: Point::new(
            middle.x - bounds.centre().x * factor,
            middle.y + bounds.centre().y * factor,
        ),
    };
    let mut placer = Placer::new(Frame::new(
        area.left,
        area.top + 6.0,
        area.width,
        area.height - 6.0,
    ));
    page.path(
        &trace::region_commands(&told.strip, &view),
        Ink::Edge,
        Some(KRAFT),
    );
    for outline in told.strip.outlines() {
        let run: Vec<Point> = outline.flattened(0.3).into_iter().map(|at| view.at(at)).collect();
        for (index, at) in run.iter().enumerate() {
            placer.avoid(*at, run[(index + 1) % run.len()], 1.0);
        }
    }
    let frame = view.frame(bounds);
    sizes(page, frame, [bounds.width, bounds.height], &mut placer);
    for ends in &told.bend_lines {
        let ends = ends.map(|at| view.at(at));
        page.line(ends[0], ends[1], Ink::BendCentre);
        placer.avoid(ends[0], ends[1], 0.8);
        Label::new()
            .line("bend here", Lettering::SMALL.coloured(BLUE))
            .place_at_end(page, &mut placer, ends, 1.2);
    }
    let ends: Vec<[Point; 2]> = told
        .across
        .iter()
        .map(|(_, ends)| ends.map(|at| view.at(at)))
        .collect();
    for [from, to] in &ends {
        let middle = nalgebra::center(from, to);
        page.arrow(middle, *from, Ink::Seen);
        page.arrow(middle, *to, Ink::Seen);
        placer.avoid(*from, *to, 2.0);
    }
    for ((letter, _), [from, to]) in told.across.iter().zip(&ends) {
        let middle = nalgebra::center(from, to);
        let away = Vector::new(0.0, -1.0);
        Label::new()
            .boxed(WHITE)
            .line(letter, Lettering::SMALL_BOLD.sized(3.8))
            .with_bare_leader()
            .place(page, &mut placer, middle, 0.6, away);
    }
}

/// Length beneath, width at the left.
fn sizes(page: &mut Canvas, frame: Frame, [wide_mm, high_mm]: [f64; 2], placer: &mut Placer) {
    let set = Lettering::SMALL_BOLD;
    let below = frame.bottom() + OFF_MM;
    let middle = frame.centre();
    for x in [frame.left, frame.right()] {
        page.line(
            Point::new(x, frame.bottom() + 0.8),
            Point::new(x, below + 1.2),
            Ink::Thin,
        );
        page.arrow(Point::new(middle.x, below), Point::new(x, below), Ink::Thin);
    }
    let words = figures::both(wide_mm);
    let width = set.width_mm(&words);
    page.words(
        Point::new(middle.x, below + 4.4),
        &words,
        set.anchored(Anchor::Middle),
    );
    placer.take(Frame::new(middle.x - width / 2.0, below + 1.0, width, 4.4));
    placer.take(Frame::new(frame.left, below - 1.0, frame.width, 2.0));

    let beside = frame.left - OFF_MM;
    for y in [frame.top, frame.bottom()] {
        page.line(
            Point::new(frame.left - 0.8, y),
            Point::new(beside - 1.2, y),
            Ink::Thin,
        );
        page.arrow(Point::new(beside, middle.y), Point::new(beside, y), Ink::Thin);
    }
    let lines = [
        format!("{} mm", figures::mm(high_mm)),
        format!("{} in", figures::inch(high_mm)),
    ];
    let width = lines.iter().map(|words| set.width_mm(words)).fold(0.0, f64::max);
    for (index, words) in lines.iter().enumerate() {
        let y = middle.y - 0.6 + set.line_mm() * index as f64;
        page.words(Point::new(beside - 2.0, y), words, set.anchored(Anchor::End));
    }
    placer.take(Frame::new(beside - 2.0 - width, middle.y - 4.0, width + 3.0, 8.4));
    placer.take(Frame::new(beside - 1.0, frame.top, 2.0, frame.height));
}
