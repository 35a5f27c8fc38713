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

/// The lines of a reading on the page, and where its figure belongs.
#[derive(Debug, Clone)]
pub(super) struct Dimension {
    strokes: Vec<Stroke>,
    /// The place that the figure belongs to.
    pub at: Point,
    /// The way that the figure leans when that is taken.
    pub toward: Vector,
}

#[derive(Debug, Clone)]
enum Stroke {
    Arrow(Point, Point),
    Run(Vec<Point>),
}

impl Dimension {
    /// Of what a reading runs between.
    pub fn of(view: &View, span: &MarkedSpan) -> Dimension {
        match span {
            MarkedSpan::Between(ends) => {
                let [from, to] = ends.map(|at| view.at(at));
                straight(from, to)
            }
            MarkedSpan::Off { point, line } => {
                let [point, a, b] = [*point, line[0], line[1]].map(|at| view.at(at));
                let along = b - a;
                let length = along.norm();
                if length <= 0.0 {
                    return straight(point, point);
                }
                straight(point, a + along * ((point - a).dot(&along) / (length * length)))
            }
            MarkedSpan::Corner(three) => {
                let [a, at, b] = three.map(|at| view.at(at));
                angle(at, a - at, b - at)
            }
            MarkedSpan::Lines(first, second) => {
                let first = first.map(|at| view.at(at));
                let second = second.map(|at| view.at(at));
                let along = [first, second].map(|[a, b]| b - a);
                let near = |at: &Point| {
                    let reach = along[0].norm().max(along[1].norm());
                    (at - first[0]).norm().min((at - second[0]).norm()) < FAR * reach
                };
                match crossing_of_lines(first[0], along[0], second[0], along[1]).filter(near) {
                    Some(at) => angle(at, along[0], along[1]),
                    None => {
                        let middles = [first, second].map(|[a, b]| center(&a, &b));
                        Dimension {
                            strokes: vec![Stroke::Run(middles.to_vec())],
                            at: center(&middles[0], &middles[1]),
                            toward: Vector::zeros(),
                        }
                    }
                }
            }
        }
    }

    /// Labels yet to come keep off its lines.
    pub fn keep_off(&self, placer: &mut Placer) {
        for stroke in &self.strokes {
            match stroke {
                Stroke::Arrow(from, to) => placer.avoid(*from, *to, 0.4),
                Stroke::Run(places) => {
                    for pair in places.windows(2) {
                        placer.avoid(pair[0], pair[1], 0.1);
                    }
                }
            }
        }
    }

    pub fn draw(&self, page: &mut Canvas) {
        for stroke in &self.strokes {
            match stroke {
                Stroke::Arrow(from, to) => page.arrow(*from, *to, Ink::Thin),
                Stroke::Run(places) => page.path(&run(places, false), Ink::Thin, None),
            }
        }
    }
}

/// A dimension line with a head at either end.
fn straight(from: Point, to: Point) -> Dimension {
    let middle = center(&from, &to);
    let run_mm = (to - from).norm();
    if run_mm <= 0.0 {
        return Dimension {
            strokes: Vec::new(),
            at: middle,
            toward: Vector::zeros(),
        };
    }
    let along = (to - from) / run_mm;
    let short = along * SHORT_MM.min(run_mm / 4.0);
    Dimension {
        strokes: vec![
            Stroke::Arrow(middle, from + short),
            Stroke::Arrow(middle, to - short),
        ],
        at: middle,
        toward: Vector::new(-along.y, along.x),
    }
}

/// An arc from one direction to the other, the short way round.
fn angle(at: Point, from: Vector, to: Vector) -> Dimension {
    let start = from.y.atan2(from.x);
    let turn = (from.x * to.y - from.y * to.x).atan2(from.dot(&to));
    let pieces = (turn.abs() / PIECE_RAD).ceil().max(1.0) as usize;
    let place = |share: f64| {
        let angle = start + turn * share;
        at + Vector::new(angle.cos(), angle.sin()) * ARC_MM
    };
    let middle = place(0.5);
    Dimension {
        strokes: vec![Stroke::Run(
            (0..=pieces)
                .map(|piece| place(piece as f64 / pieces as f64))
                .collect(),
        )],
        at: middle,
        toward: middle - at,
    }
}
