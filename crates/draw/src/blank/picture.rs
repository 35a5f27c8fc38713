//! The blank itself: edges, bends, crosses, dimensions and labels.

use nalgebra::center;
use plane::{Point, Vector};
use sheet::{Bend, MarkKind, OpeningShape, Part};

use super::Datum;
use super::tables::{stations, way_word};
use crate::canvas::Canvas;
use crate::figures;
use crate::frame::Frame;
use crate::ink::{BLUE, Ink, KRAFT, WHITE};
use crate::label::Label;
use crate::lettering::{Anchor, Lettering};
use crate::place::Placer;
use crate::title::{FlagAt, Scale, TitleBlock};
use crate::trace::{self, View};

/// How far off the blank the overall dimensions stand, mm on paper.
const DIMENSION_OFF_MM: f64 = 9.0;
/// How far the cross of a hole runs past its edge, mm on paper.
const CROSS_PAST_MM: f64 = 1.6;

/// Draws the blank in `area` with everything that is written on it.
pub(super) fn draw(
    page: &mut Canvas,
    area: Frame,
    part: &Part,
    block: &TitleBlock,
    datum: &Datum,
    scale: Scale,
) {
    let factor = scale.factor();
    let wide = datum.size_mm.map(|size| size * factor);
    let left = area.left + (area.width - wide[0]) / 2.0 + 4.0;
    let low = area.top + (area.height + wide[1]) / 2.0 - 4.0;
    let view = View {
        scale: [factor, factor],
        origin: Point::new(left - datum.corner.x * factor, low + datum.corner.y * factor),
    };
    let mut placer = Placer::new(area);

    plate(page, part, &view, Some(KRAFT), &mut placer);
    let frame = Frame::new(left, low - wide[1], wide[0], wide[1]);
    dimensions(page, frame, datum, &mut placer);
    bend_labels(page, part, &view, &mut placer);
    opening_labels(page, part, &view, frame, &mut placer);
    flag_labels(page, part, block, &view, frame, &mut placer);
    panel_labels(page, part, &view, &mut placer);
}

/// Edges, bends, crosses and marks, in that order; all of them are lines that labels keep off.
pub(crate) fn plate(page: &mut Canvas, part: &Part, view: &View, ground: Option<&str>, placer: &mut Placer) {
    page.open("plate");
    page.path(
        &trace::region_commands(&part.blank.region, view),
        Ink::Edge,
        ground,
    );
    for outline in std::iter::once(&part.blank.region.outer).chain(&part.blank.region.holes) {
        let run: Vec<Point> = outline.flattened(0.2).into_iter().map(|at| view.at(at)).collect();
        for (index, at) in run.iter().enumerate() {
            placer.avoid(*at, run[(index + 1) % run.len()], 1.0);
        }
    }
    page.close();
    page.open("bends");
    for strip in part.bends.iter().flat_map(|bend| &bend.strips) {
        let fixed = strip.fixed.map(|at| view.at(at));
        let moving = strip.moving.map(|at| view.at(at));
        page.line(fixed[0], fixed[1], Ink::Tangent);
        page.line(moving[0], moving[1], Ink::Tangent);
        let middle = [center(&fixed[0], &moving[0]), center(&fixed[1], &moving[1])];
        page.line(middle[0], middle[1], Ink::BendCentre);
        for pair in [fixed, moving, middle] {
            placer.avoid(pair[0], pair[1], 0.8);
        }
    }
    page.close();
    page.open("crosses");
    for shape in part.blank.openings.iter().flatten() {
        match shape {
            OpeningShape::Round { at, dia_mm } => {
                let (centre, radius_mm) = (view.at(*at), dia_mm / 2.0 * view.scale[0]);
                cross(page, placer, centre, radius_mm + CROSS_PAST_MM);
                placer.go_round(centre, radius_mm);
            }
            OpeningShape::Slot { from, to, width_mm } => {
                for end in [from, to] {
                    let (centre, radius_mm) = (view.at(*end), width_mm / 2.0 * view.scale[0]);
                    cross(page, placer, centre, radius_mm + CROSS_PAST_MM);
                    placer.go_round(centre, radius_mm);
                }
                page.line(view.at(*from), view.at(*to), Ink::Cross);
            }
            OpeningShape::Window(_) => {}
        }
    }
    page.close();
    page.open("marks");
    for mark in &part.blank.marks {
        match mark {
            MarkKind::Line { from, to } => {
                page.line(view.at(*from), view.at(*to), Ink::Scribed);
                placer.avoid(view.at(*from), view.at(*to), 0.6);
            }
            MarkKind::Text { at, text, height_mm } => {
                // A capital of this face is 0.67 of its size high.
                let size_mm = height_mm * view.scale[1] / 0.67;
                if size_mm >= crate::lettering::LEAST_SIZE_MM {
                    let set = Lettering::SMALL.sized(size_mm).coloured(BLUE);
                    let base = view.at(*at);
                    placer.take(Frame::new(
                        base.x,
                        base.y - size_mm * 0.8,
                        set.width_mm(text),
                        size_mm,
                    ));
                    page.words(base, text, set);
                }
            }
        }
    }
    page.close();
}

/// Two short lines through a centre.
pub(crate) fn cross(page: &mut Canvas, placer: &mut Placer, at: Point, arm_mm: f64) {
    for arm in [Vector::new(arm_mm, 0.0), Vector::new(0.0, arm_mm)] {
        page.line(at - arm, at + arm, Ink::Cross);
        placer.avoid(at - arm, at + arm, 0.5);
    }
}

/// Overall width beneath, overall height at the left, and the datum corner.
fn dimensions(page: &mut Canvas, frame: Frame, datum: &Datum, placer: &mut Placer) {
    let set = Lettering::SMALL_BOLD.anchored(Anchor::Middle);
    page.open("dimensions");
    let corner = Point::new(frame.left, frame.bottom());
    let below = frame.bottom() + DIMENSION_OFF_MM;
    let beside = frame.left - DIMENSION_OFF_MM;
    page.line(
        Point::new(corner.x - 20.0, corner.y),
        Point::new(corner.x - 0.5, corner.y),
        Ink::Datum,
    );
    page.line(
        Point::new(frame.right() + 0.5, corner.y),
        Point::new(frame.right() + 12.0, corner.y),
        Ink::Datum,
    );
    page.line(
        Point::new(corner.x, corner.y + 18.0),
        Point::new(corner.x, corner.y + 0.5),
        Ink::Datum,
    );
    page.line(
        Point::new(corner.x, frame.top - 0.5),
        Point::new(corner.x, frame.top - 12.0),
        Ink::Datum,
    );
    for (from, to) in [
        (
            Point::new(corner.x - 20.0, corner.y),
            Point::new(frame.right() + 12.0, corner.y),
        ),
        (
            Point::new(corner.x, corner.y + 18.0),
            Point::new(corner.x, frame.top - 12.0),
        ),
    ] {
        placer.avoid(from, to, 1.0);
    }
    page.line(
        Point::new(frame.right(), frame.bottom() + 1.0),
        Point::new(frame.right(), below + 1.5),
        Ink::Thin,
    );
    page.line(
        Point::new(frame.left - 1.0, frame.top),
        Point::new(beside - 1.5, frame.top),
        Ink::Thin,
    );

    let across = figures::both(datum.size_mm[0]);
    let middle = frame.centre().x;
    page.arrow(
        Point::new(middle, below),
        Point::new(frame.left, below),
        Ink::Thin,
    );
    page.arrow(
        Point::new(middle, below),
        Point::new(frame.right(), below),
        Ink::Thin,
    );
    page.words(Point::new(middle, below + 4.0), &across, set);
    let wide = set.width_mm(&across);
    placer.take(Frame::new(middle - wide / 2.0, below + 1.0, wide, 4.0));
    placer.take(Frame::new(frame.left, below - 1.0, frame.width, 2.0));

    let up = figures::both(datum.size_mm[1]);
    let level = frame.centre().y;
    page.arrow(
        Point::new(beside, level - 4.6),
        Point::new(beside, frame.top),
        Ink::Thin,
    );
    page.arrow(
        Point::new(beside, level + 4.6),
        Point::new(beside, frame.bottom()),
        Ink::Thin,
    );
    let lines: Vec<&str> = up.splitn(2, " (").collect();
    let mut widest: f64 = 0.0;
    for (index, line) in lines.iter().enumerate() {
        let words = if index == 0 {
            (*line).to_owned()
        } else {
            format!("({line}")
        };
        widest = widest.max(set.width_mm(&words));
        let set = set.anchored(Anchor::End);
        page.words(
            Point::new(beside + 6.0, level - 0.6 + 4.0 * index as f64),
            &words,
            set,
        );
    }
    placer.take(Frame::new(beside + 6.0 - widest, level - 4.0, widest, 8.4));
    placer.take(Frame::new(beside - 1.0, frame.top, 2.0, frame.height));

    let words = "datum x 0, y 0";
    let set = Lettering::SMALL.anchored(Anchor::End);
    let at = Point::new(corner.x - 2.0, corner.y + 5.0);
    page.words(at, words, set);
    placer.take(Frame::new(
        at.x - set.width_mm(words),
        at.y - 3.0,
        set.width_mm(words),
        4.0,
    ));
    page.close();
}

/// From the middle of the drawing outward, the way labels lean.
fn outward(at: Point, frame: Frame) -> Vector {
    let away = at - frame.centre();
    if away.norm() < 1.0 {
        Vector::new(1.0, -1.0)
    } else {
        away
    }
}

fn bend_labels(page: &mut Canvas, part: &Part, view: &View, placer: &mut Placer) {
    page.open("bend-labels");
    let ends_of = |bend: &Bend| -> Option<[Point; 2]> {
        let strip = bend.strips.iter().max_by(|one, other| {
            (one.fixed[1] - one.fixed[0])
                .norm()
                .total_cmp(&(other.fixed[1] - other.fixed[0]).norm())
        })?;
        let ends = [0, 1].map(|end| center(&strip.fixed[end], &strip.moving[end]));
        Some(ends.map(|at| view.at(at)))
    };
    let label = |bend: &Bend| {
        let [through, between] = figures::bend_angles(bend.bent_rad);
        Label::new()
            .line(
                &format!("{} {}", bend.name, way_word(bend.way)),
                Lettering::SMALL_BOLD.coloured(BLUE),
            )
            .line(&format!("{through} /"), Lettering::SMALL.coloured(BLUE))
            .line(&between, Lettering::SMALL.coloured(BLUE))
            .line(
                &format!("inside r {}", figures::both(bend.radius_mm)),
                Lettering::SMALL.coloured(BLUE),
            )
    };
    let bends = part.bends.iter();
    let labels: Vec<(Label, [Point; 2])> = bends
        .filter_map(|bend| Some((label(bend), ends_of(bend)?)))
        .collect();
    Label::place_at_ends(page, placer, &labels, 1.5);
    page.close();
}

/// More openings than this and each is labelled with its name alone; the table has the rest.
const TERSE_FROM: usize = 13;

fn opening_labels(page: &mut Canvas, part: &Part, view: &View, frame: Frame, placer: &mut Placer) {
    page.open("opening-labels");
    let terse = part.openings.len() >= TERSE_FROM;
    for (opening, on_blank) in part.openings.iter().zip(&part.blank.openings) {
        let Some(shape) = on_blank else { continue };
        let name = Label::new().line(&opening.name, Lettering::SMALL_BOLD);
        let label = if terse {
            name.clone()
        } else {
            name.clone().line(&size_words(shape), Lettering::SMALL)
        };
        let (at, clear_mm) = match shape {
            OpeningShape::Round { at, dia_mm } => (*at, dia_mm / 2.0 * view.scale[0]),
            OpeningShape::Slot { to, width_mm, .. } => (*to, width_mm / 2.0 * view.scale[0]),
            OpeningShape::Window(outline) => {
                let within = view.frame(trace::bounds(outline));
                // A window names itself inside when it is large enough.
                if !label.place_within(page, placer, within) && !name.place_within(page, placer, within) {
                    label.place(page, placer, within.centre(), 0.0, Vector::new(0.0, -1.0));
                }
                continue;
            }
        };
        let at = view.at(at);
        let _named = label.place(page, placer, at, clear_mm, outward(at, frame))
            || name.place(page, placer, at, clear_mm, outward(at, frame));
    }
    page.close();
}

/// An opening's size in a few words.
pub(crate) fn size_words(shape: &OpeningShape) -> String {
    match shape {
        OpeningShape::Round { dia_mm, .. } => format!("dia {} mm", figures::mm(*dia_mm)),
        OpeningShape::Slot { from, to, width_mm } => {
            format!(
                "slot {} x {} mm",
                figures::mm(width_mm + (to - from).norm()),
                figures::mm(*width_mm)
            )
        }
        OpeningShape::Window(_) => "window".to_owned(),
    }
}

/// Where a finding points, on the blank.
pub(crate) fn flag_place(part: &Part, at: &FlagAt) -> Option<Point> {
    match at {
        FlagAt::Bend(name) => {
            let bend = part.bends.iter().find(|bend| bend.name == *name)?;
            let strip = bend.strips.first()?;
            Some(center(
                &center(&strip.fixed[0], &strip.moving[0]),
                &center(&strip.fixed[1], &strip.moving[1]),
            ))
        }
        FlagAt::Opening(name) => stations(part)
            .into_iter()
            .find(|station| part.openings[station.opening].name == *name)
            .map(|station| station.at),
        FlagAt::Panel(name) => {
            let panel = part.panels.iter().find(|panel| panel.name == *name)?;
            Some(trace::bounds(&panel.flat.outer).centre() + panel.to_blank)
        }
        FlagAt::Blank(at) => Some(*at),
        FlagAt::Whole => None,
    }
}

fn flag_labels(
    page: &mut Canvas,
    part: &Part,
    block: &TitleBlock,
    view: &View,
    frame: Frame,
    placer: &mut Placer,
) {
    page.open("flags");
    for (index, flag) in block.flags.iter().enumerate() {
        let Some(at) = flag_place(part, &flag.at) else {
            continue;
        };
        let at = view.at(at);
        Label::new()
            .line(
                &format!("{} {}", flag.level.word(), index + 1),
                Lettering::SMALL_BOLD,
            )
            .boxed(WHITE)
            .place(page, placer, at, 0.0, outward(at, frame));
    }
    page.close();
}

fn panel_labels(page: &mut Canvas, part: &Part, view: &View, placer: &mut Placer) {
    page.open("panel-labels");
    for panel in &part.panels {
        let within = view.frame(trace::bounds(&panel.flat.outer).moved(panel.to_blank));
        let label = Label::new().line(&format!("panel {}", panel.name), Lettering::SMALL);
        if !label.place_within(page, placer, within) {
            label.place(page, placer, within.centre(), 0.0, Vector::new(0.0, 1.0));
        }
    }
    page.close();
}
