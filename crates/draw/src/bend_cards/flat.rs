//! The plate on the tool, seen from above: bend line, gauge, tool, and what already stands up.

use plane::{Point, Vector};

use super::{BendStep, GaugeLine, Stands};
use crate::canvas::Canvas;
use crate::figures;
use crate::frame::{Frame, around};
use crate::ink::{BLUE, Ink, KRAFT, WHITE};
use crate::label::Label;
use crate::lettering::Lettering;
use crate::place::Placer;
use crate::title::Scale;
use crate::trace::{self, View};

/// Room round the plate for names, mm on paper: across, down.
const ROOM_MM: [f64; 2] = [34.0, 26.0];
/// Room at the right of the plate for the gauge's distance, mm on paper.
const DISTANCE_MM: f64 = 42.0;
/// Room at its left for names, where the gauge's distance takes the right.
const LEFT_MM: f64 = 12.0;
/// The gauge's finger is drawn so large, mm on paper.
const FINGER_MM: [f64; 2] = [14.0, 4.0];
/// How far beside the plate the gauge's distance stands, mm on paper.
const ASIDE_MM: f64 = 9.0;

/// "to the middle of the bend".
pub(super) const fn line_word(line: GaugeLine) -> &'static str {
    match line {
        GaugeLine::Middle => "edge to the middle of the bend",
        GaugeLine::Tangent => "edge to where the bend begins",
    }
}

/// Draws it in `area`.
pub(super) fn draw(page: &mut Canvas, area: Frame, step: &BendStep) {
    page.rectangle(area, Ink::Thin, None);
    let set = Lettering::SMALL;
    page.words(
        Point::new(area.left + 2.0, area.top + 4.6),
        "from above: you stand below",
        set,
    );
    let room = Frame::new(area.left, area.top + 6.0, area.width, area.height - 6.0);
    let bounds = bounds(step);
    let (left_mm, right_mm) = match step.stop {
        Some(_) => (LEFT_MM, DISTANCE_MM),
        None => (ROOM_MM[0] / 2.0, ROOM_MM[0] / 2.0),
    };
    let scale = Scale::to_fill(
        [bounds.width, bounds.height],
        [room.width - left_mm - right_mm, room.height - ROOM_MM[1]],
    );
    let factor = scale.factor();
    let view = View {
        scale: [factor, factor],
        origin: Point::new(
            room.centre().x + (left_mm - right_mm) / 2.0 - bounds.centre().x * factor,
            room.centre().y + bounds.centre().y * factor,
        ),
    };
    let mut placer = Placer::new(room);
    plate(page, step, &view, &mut placer);
    lines(page, step, &view, &mut placer);
    gauge(page, step, &view, room, &mut placer);
    names(page, step, &view, room, &mut placer);
}

/// Everything that must be in the picture.
fn bounds(step: &BendStep) -> Frame {
    let pieces = step.flat.pieces.iter().flat_map(|piece| {
        let frame = trace::bounds(&piece.region.outer);
        [
            Point::new(frame.left, frame.top),
            Point::new(frame.right(), frame.bottom()),
        ]
    });
    let line = step
        .flat
        .stretches_mm
        .iter()
        .chain(&step.flat.tool_mm)
        .flatten()
        .map(|&x| Point::new(x, 0.0));
    let stop = step.stop.map(|stop| stop.bears_at);
    let all = pieces.chain(line).chain(stop);
    around(all.filter(|at| at.x.is_finite() && at.y.is_finite())).unwrap_or(Frame::new(0.0, 0.0, 1.0, 1.0))
}

fn plate(page: &mut Canvas, step: &BendStep, view: &View, placer: &mut Placer) {
    page.open("plate");
    for stands in [Stands::Down, Stands::Flat, Stands::Up] {
        for piece in step.flat.pieces.iter().filter(|piece| piece.stands == stands) {
            let (ink, fill) = match stands {
                Stands::Flat => (Ink::Edge, Some(KRAFT)),
                Stands::Up => (Ink::Edge, Some(WHITE)),
                Stands::Down => (Ink::Hidden, None),
            };
            page.path(&trace::region_commands(&piece.region, view), ink, fill);
            for outline in piece.region.outlines() {
                let run: Vec<Point> = outline.flattened(0.3).into_iter().map(|at| view.at(at)).collect();
                for (index, at) in run.iter().enumerate() {
                    placer.avoid(*at, run[(index + 1) % run.len()], 0.8);
                }
            }
        }
    }
    page.close();
}

/// The middle line, where the bend begins and ends, and how far the tool reaches.
fn lines(page: &mut Canvas, step: &BendStep, view: &View, placer: &mut Placer) {
    page.open("bend");
    let half_mm = step.flat.strip_mm / 2.0;
    for &[from, to] in &step.flat.stretches_mm {
        for (y, ink) in [
            (half_mm, Ink::Tangent),
            (-half_mm, Ink::Tangent),
            (0.0, Ink::BendCentre),
        ] {
            let ends = [from, to].map(|x| view.at(Point::new(x, y)));
            page.line(ends[0], ends[1], ink);
            placer.avoid(ends[0], ends[1], 0.8);
        }
    }
    if let Some([from, to]) = step.flat.tool_mm {
        let ends = [from, to].map(|x| view.at(Point::new(x, 0.0)));
        for (end, way) in [(ends[0], -1.0), (ends[1], 1.0)] {
            // A bracket at each end of the tool.
            let back = Vector::new(-1.6 * way, 0.0);
            for half in [Vector::new(0.0, 2.6), Vector::new(0.0, -2.6)] {
                page.line(end, end + half, Ink::Seen);
                page.line(end + half, end + half + back, Ink::Seen);
            }
            placer.take(Frame::new(end.x, end.y, 0.0, 0.0).grown(1.0));
        }
    }
    page.close();
}

/// The gauge's finger against the edge, and the distance to the line it is set by.
fn gauge(page: &mut Canvas, step: &BendStep, view: &View, room: Frame, placer: &mut Placer) {
    let Some(stop) = step.stop else { return };
    page.open("gauge-stop");
    let at = view.at(stop.bears_at);
    // The gauge stands behind the edge, or before it where it is nearer to the person than the bend.
    let away = if stop.bears_at.y >= 0.0 { -1.0 } else { 1.0 };
    let top = if away < 0.0 { at.y - FINGER_MM[1] } else { at.y };
    let finger = Frame::new(at.x - FINGER_MM[0] / 2.0, top, FINGER_MM[0], FINGER_MM[1]);
    page.rectangle(finger, Ink::Clamp, Some(WHITE));
    for step in 0..6 {
        let x = finger.left + 0.3 + 1.9 * f64::from(step);
        page.line(
            Point::new(x, finger.bottom()),
            Point::new(x + FINGER_MM[1], finger.top),
            Ink::Clamp,
        );
    }
    placer.take(finger);

    let line_y = match stop.to {
        GaugeLine::Middle => 0.0,
        GaugeLine::Tangent => step.flat.strip_mm / 2.0 * stop.bears_at.y.signum(),
    };
    let plate = view.frame(bounds(step));
    let x = (plate.right() + ASIDE_MM).min(room.right() - 4.0);
    let (edge, line) = (at.y, view.at(Point::new(0.0, line_y)).y);
    for (y, from) in [(edge, finger.right()), (line, plate.right())] {
        page.line(Point::new(from + 0.8, y), Point::new(x + 1.5, y), Ink::Thin);
    }
    let middle = Point::new(x, (edge + line) / 2.0);
    page.arrow(middle, Point::new(x, edge), Ink::Thin);
    page.arrow(middle, Point::new(x, line), Ink::Thin);
    placer.take(Frame::new(x - 0.8, edge.min(line), 1.6, (edge - line).abs()));
    let set = Lettering::SMALL_BOLD;
    let label = Label::new()
        .boxed(WHITE)
        .line(&format!("{} mm", figures::mm(stop.distance_mm)), set)
        .line(&format!("{} in", figures::inch(stop.distance_mm)), set);
    label.place(page, placer, middle, 1.2, Vector::new(1.0, 0.0));
    Label::new().line("gauge", set).place_at_any(
        page,
        placer,
        &[
            (Point::new(finger.left, finger.centre().y), Vector::new(-1.0, 0.0)),
            (Point::new(finger.centre().x, finger.top), Vector::new(0.0, -1.0)),
        ],
        0.3,
    );
    page.close();
}

fn names(page: &mut Canvas, step: &BendStep, view: &View, room: Frame, placer: &mut Placer) {
    page.open("names");
    let longest = step
        .flat
        .stretches_mm
        .iter()
        .max_by(|one, other| (one[1] - one[0]).total_cmp(&(other[1] - other[0])));
    if let Some(&[from, to]) = longest {
        let ends = [from, to].map(|x| view.at(Point::new(x, 0.0)));
        Label::new()
            .line(&step.bend, Lettering::SMALL_BOLD.coloured(BLUE))
            .place_at_end(page, placer, ends, 3.0);
    }
    if let Some([from, to]) = step.flat.tool_mm {
        let ends = [from, to].map(|x| view.at(Point::new(x, 0.0)));
        Label::new()
            .line("tool", Lettering::SMALL)
            .place_at_end(page, placer, ends, 2.8);
    }
    for piece in step.flat.pieces.iter().filter(|piece| !piece.name.is_empty()) {
        let words = match piece.stands {
            Stands::Flat => piece.name.clone(),
            Stands::Up => format!("{}, stands up", piece.name),
            Stands::Down => format!("{}, hangs down", piece.name),
        };
        let frame = view.frame(trace::bounds(&piece.region.outer));
        let label = Label::new().line(&words, Lettering::SMALL);
        let inside = frame
            .shared(&room)
            .is_some_and(|frame| label.place_within(page, placer, frame));
        if !inside {
            let middle = frame.centre();
            let lean = middle - room.centre();
            label.place(page, placer, middle, 0.6, lean);
        }
    }
    page.close();
}
