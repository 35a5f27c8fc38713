//! A reading drawn as a dimension: what it runs between, and where its figure may stand.

use nalgebra::center;
use plane::{Point, Vector, crossing_of_lines};

use super::MarkedSpan;
use crate::canvas::{Canvas, run};
use crate::ink::Ink;
use crate::place::Placer;
use crate::trace::View;

/// Radius of the arc of an angle, mm on the page.
const ARC_MM: f64 = 11.0;
/// An arc is drawn in pieces of this many radians at most; no eye sees them.
const PIECE_RAD: f64 = 0.05;
/// A dimension ends this short of a point, so that the point stays in sight, mm on the page.
const SHORT_MM: f64 = 1.4;
/// Lines that cross farther away than this many times the longer of them have the figure between them.
const FAR: f64 = 3.0;

/// Draws a reading; gives the place that its figure belongs to, and the way that the figure leans.
pub(super) fn draw(
    page: &mut Canvas,
    placer: &mut Placer,
    view: &View,
    span: &MarkedSpan,
) -> (Point, Vector) {
    match span {
        MarkedSpan::Between(ends) => {
            let [from, to] = ends.map(|at| view.at(at));
            straight(page, placer, from, to)
        }
        MarkedSpan::Off { point, line } => {
            let [point, a, b] = [*point, line[0], line[1]].map(|at| view.at(at));
            let along = b - a;
            let length = along.norm();
            if length <= 0.0 {
                return (point, Vector::zeros());
            }
            let foot = a + along * ((point - a).dot(&along) / (length * length));
            straight(page, placer, point, foot)
        }
        MarkedSpan::Corner(three) => {
            let [a, at, b] = three.map(|at| view.at(at));
            angle(page, placer, at, a - at, b - at)
        }
        MarkedSpan::Lines(first, second) => {
            let first = first.map(|at| view.at(at));
            let second = second.map(|at| view.at(at));
            let near = |at: &Point| {
                let reach = (first[1] - first[0]).norm().max((second[1] - second[0]).norm());
                (at - first[0]).norm().min((at - second[0]).norm()) < FAR * reach
            };
            match crossing_of_lines(first[0], first[1] - first[0], second[0], second[1] - second[0])
                .filter(near)
            {
                Some(at) => angle(page, placer, at, first[1] - first[0], second[1] - second[0]),
                None => {
                    let middles = [first, second].map(|[a, b]| center(&a, &b));
                    page.line(middles[0], middles[1], Ink::Thin);
                    placer.avoid(middles[0], middles[1], 0.4);
                    (center(&middles[0], &middles[1]), Vector::zeros())
                }
            }
        }
    }
}

/// A dimension line with a head at either end.
fn straight(page: &mut Canvas, placer: &mut Placer, from: Point, to: Point) -> (Point, Vector) {
    let middle = center(&from, &to);
    let run_mm = (to - from).norm();
    if run_mm <= 0.0 {
        return (middle, Vector::zeros());
    }
    let along = (to - from) / run_mm;
    let short = along * SHORT_MM.min(run_mm / 4.0);
    page.arrow(middle, from + short, Ink::Thin);
    page.arrow(middle, to - short, Ink::Thin);
    placer.avoid(from, to, 0.4);
    (middle, Vector::new(-along.y, along.x))
}

/// An arc from one direction to the other, the short way round.
fn angle(page: &mut Canvas, placer: &mut Placer, at: Point, from: Vector, to: Vector) -> (Point, Vector) {
    let start = from.y.atan2(from.x);
    let turn = (from.x * to.y - from.y * to.x).atan2(from.dot(&to));
    let pieces = (turn.abs() / PIECE_RAD).ceil().max(1.0) as usize;
    let place = |share: f64| {
        let angle = start + turn * share;
        at + Vector::new(angle.cos(), angle.sin()) * ARC_MM
    };
    let arc: Vec<Point> = (0..=pieces)
        .map(|piece| place(piece as f64 / pieces as f64))
        .collect();
    page.path(&run(&arc, false), Ink::Thin, None);
    for pair in arc.windows(2) {
        placer.avoid(pair[0], pair[1], 0.1);
    }
    let middle = place(0.5);
    (middle, middle - at)
}
