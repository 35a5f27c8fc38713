//! What is written on a picture of stress: the values of its lines, the loads, the bolts, the place that decides.

use nalgebra::Point3;
use plane::{Point, Vector};

use super::view::{Contour, View};
use super::{Arrow, Spot};
use crate::canvas::{Canvas, run};
use crate::folded::notes::lean;
use crate::frame::Frame;
use crate::ink::{INK, Ink, WHITE};
use crate::label::Label;
use crate::lettering::Lettering;
use crate::place::Placer;

/// An arrow of a load along the paper, mm.
const ARROW_MM: f64 = 22.0;
/// A direction this short in the picture is drawn as an arrow seen end on.
const END_ON: f64 = 0.25;
/// The ring round a bolt and round the place that decides, mm.
const BOLT_MM: f64 = 1.5;
const WORST_MM: f64 = 2.4;
/// Words of the place that decides and of loads are broken to this width, mm.
const WORDS_MM: f64 = 46.0;

/// Draws every mark; the most important words choose their place first.
pub(super) fn draw(
    view: &View<'_>,
    page: &mut Canvas,
    placer: &mut Placer,
    contours: &[Contour],
    shown: &dyn Fn(&Point3<f64>) -> Option<bool>,
) {
    let about = view.frame.centre();
    page.open("marks");
    let loads: Vec<(&Arrow, bool, LoadMark)> = view
        .told
        .loads
        .iter()
        .filter_map(|load| {
            let behind = shown(&load.at_mm)?;
            Some((load, behind, load_mark(view, page, placer, load)))
        })
        .collect();
    let marked = |spot: &Spot| shown(&spot.at_mm).map(|behind| (view.picture.on_paper(&spot.at_mm), behind));
    let bolts: Vec<(&Spot, Point, bool)> = view
        .told
        .bolts
        .iter()
        .filter_map(|bolt| marked(bolt).map(|(at, behind)| (bolt, at, behind)))
        .collect();
    for (_, at, _) in &bolts {
        ring(page, placer, *at, BOLT_MM, Some(WHITE));
    }
    let worst = view
        .told
        .worst
        .as_ref()
        .and_then(|worst| marked(worst).map(|(at, behind)| (worst, at, behind)));
    if let Some((_, at, _)) = worst {
        ring(page, placer, at, WORST_MM, None);
        page.dot(at);
    }
    page.close();

    page.open("words");
    if let Some((worst, at, behind)) = worst {
        let bold = Lettering::SMALL_BOLD;
        words(&worst.label, behind, bold, bold).place(page, placer, at, WORST_MM, lean(at, about));
    }
    for (load, behind, mark) in &loads {
        let mut says = load.label.clone();
        if let Some(way) = mark.way {
            says = format!("{says}, {way}");
        }
        words(&says, *behind, Lettering::SMALL_BOLD, Lettering::SMALL).place(
            page,
            placer,
            mark.tail,
            mark.gap_mm,
            mark.lean,
        );
    }
    values(view, page, placer, contours);
    for (bolt, at, behind) in bolts {
        words(&bolt.label, behind, Lettering::SMALL, Lettering::SMALL).place(
            page,
            placer,
            at,
            BOLT_MM,
            lean(at, about),
        );
    }
    page.close();
}

fn words(says: &str, behind: bool, first: Lettering, rest: Lettering) -> Label {
    let says = if behind {
        format!("{says} (behind)")
    } else {
        says.to_owned()
    };
    let mut label = Label::new().boxed(WHITE);
    for (index, line) in first.wrapped(&says, WORDS_MM).iter().enumerate() {
        label = label.line(line, if index == 0 { first } else { rest });
    }
    label
}

fn ring(page: &mut Canvas, placer: &mut Placer, at: Point, radius_mm: f64, fill: Option<&str>) {
    page.circle(at, radius_mm, Ink::Edge, fill);
    placer.take(within_ring(at, radius_mm));
}

/// What labels keep off at a ring: small enough that the ring's own leader begins outside it.
fn within_ring(at: Point, radius_mm: f64) -> Frame {
    let half = 0.65 * radius_mm;
    Frame::new(at.x - half, at.y - half, 2.0 * half, 2.0 * half)
}

/// Where a load's words belong.
struct LoadMark {
    tail: Point,
    lean: Vector,
    gap_mm: f64,
    /// In words, when the arrow is seen end on.
    way: Option<&'static str>,
}

/// An arrow whose head is where the load acts; a ring with a dot or a cross for one that points at or from the eye.
fn load_mark(view: &View<'_>, page: &mut Canvas, placer: &mut Placer, load: &Arrow) -> LoadMark {
    let eye = view.picture.eye;
    let at = view.picture.on_paper(&load.at_mm);
    let toward = load
        .toward
        .try_normalize(0.0)
        .unwrap_or_else(nalgebra::Vector3::zeros);
    let seen = Vector::new(eye.right.dot(&toward), -eye.up.dot(&toward));
    if seen.norm() < END_ON {
        return end_on(page, placer, at, eye.toward.dot(&toward) > 0.0);
    }
    let aim = seen.normalize();
    let tail = at - seen * ARROW_MM;
    let across = Vector::new(-aim.y, aim.x);
    let neck = at - aim * 4.6;
    let head = run(&[at, neck + across * 1.7, neck - across * 1.7], true);
    let shaft = run(&[tail, neck], false);
    page.cased(&shaft, 1.6);
    page.cased(&head, 0.8);
    page.path(&shaft, Ink::Load, None);
    page.filled(&head, INK);
    placer.avoid(tail, at, 2.0);
    LoadMark {
        tail,
        lean: -seen,
        gap_mm: 0.6,
        way: None,
    }
}

fn end_on(page: &mut Canvas, placer: &mut Placer, at: Point, at_eye: bool) -> LoadMark {
    const RADIUS_MM: f64 = 2.4;
    page.circle(at, RADIUS_MM, Ink::Edge, Some(WHITE));
    if at_eye {
        page.circle(at, 0.6, Ink::Edge, Some(INK));
    } else {
        let arm = RADIUS_MM * std::f64::consts::FRAC_1_SQRT_2;
        for across in [Vector::new(arm, arm), Vector::new(arm, -arm)] {
            page.line(at - across, at + across, Ink::Edge);
        }
    }
    placer.take(within_ring(at, RADIUS_MM));
    LoadMark {
        tail: at,
        lean: Vector::new(1.0, -1.0),
        gap_mm: RADIUS_MM,
        way: Some(if at_eye { "toward you" } else { "away from you" }),
    }
}

/// The value of every line between bands, on its longest runs in sight.
fn values(view: &View<'_>, page: &mut Canvas, placer: &mut Placer, contours: &[Contour]) {
    /// Between places tried along a line, mm.
    const STEP_MM: f64 = 1.5;
    /// A second run of one line longer than this gets its value too, mm.
    const LONG_MM: f64 = 60.0;
    /// Shorter ones get none: the value would hide the line.
    const SHORT_MM: f64 = 6.0;
    /// Most values of one line in one picture.
    const MOST: usize = 2;
    let mut runs: Vec<(f64, f64, Vec<Point>)> = contours
        .iter()
        .map(|contour| {
            let points: Vec<Point> = spaced(&contour.run, STEP_MM)
                .into_iter()
                .filter(|at| view.layers.front_at(*at, contour.layer))
                .collect();
            (points.len() as f64 * STEP_MM, contour.limit, points)
        })
        .filter(|(length, _, _)| *length >= SHORT_MM)
        .collect();
    runs.sort_by(|one, other| other.0.total_cmp(&one.0));
    let mut written: Vec<(f64, usize)> = Vec::new();
    for (length, limit, points) in runs {
        let before = written.iter().position(|(of, _)| *of == limit);
        let count = before.map_or(0, |index| written[index].1);
        if count >= MOST || (count > 0 && length < LONG_MM) {
            continue;
        }
        let allowed = view
            .told
            .allowed
            .as_ref()
            .is_some_and(|allowed| allowed.level == limit);
        let set = if allowed {
            Lettering::SMALL_BOLD
        } else {
            Lettering::SMALL
        };
        let label = Label::new().boxed(WHITE).line(&view.told.unit.short(limit), set);
        if label.place_on(page, placer, &from_the_middle(&points)) {
            match before {
                Some(index) => written[index].1 += 1,
                None => written.push((limit, 1)),
            }
        }
    }
}

/// Points along a run at equal steps.
fn spaced(run: &[Point], step_mm: f64) -> Vec<Point> {
    let mut points = Vec::new();
    let mut due = step_mm / 2.0;
    for ends in run.windows(2) {
        let along = ends[1] - ends[0];
        let length = along.norm();
        while due <= length {
            points.push(ends[0] + along * (due / length));
            due += step_mm;
        }
        due -= length;
    }
    points
}

/// The middle first, then by turns to either side.
fn from_the_middle(points: &[Point]) -> Vec<Point> {
    let middle = points.len() / 2;
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by_key(|index| (index.abs_diff(middle), *index));
    order.into_iter().map(|index| points[index]).collect()
}
