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
/// Readings along one line are drawn this far from each other, so that a figure has room on each, mm on the page.
const APART_MM: f64 = 6.5;
/// Dimension lines nearer than this all along look like one, mm on the page.
const AS_ONE_MM: f64 = 2.5;
/// Lines that only meet at their ends have no more than this in common, mm on the page.
const MEET_MM: f64 = 2.0 * SHORT_MM;
/// A line from a point to its dimension ends this far past it, mm on the page.
const PAST_MM: f64 = 1.2;
/// Lines that cross farther away than this many times the longer of them have the figure between them.
const FAR: f64 = 3.0;

/// The lines of a reading on the page, and where its figure belongs.
#[derive(Debug, Clone)]
pub(super) struct Dimension {
    strokes: Vec<Stroke>,
    /// What it runs between, where it is straight.
    ends: Option<[Point; 2]>,
    /// The places that the figure may stand on, the best first.
    pub on: Vec<Point>,
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
                            ends: None,
                            on: vec![center(&middles[0], &middles[1])],
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

/// Draws each reading that lies along the line of another beside it: the shorter ones stay nearer, as on a drawing that is
/// dimensioned by hand; what stands aside goes to the side away from `middle` first.
pub(super) fn stagger(dimensions: &mut [Dimension], middle: Point) {
    let mut order: Vec<usize> = (0..dimensions.len()).collect();
    let length = |dimension: &Dimension| dimension.ends.map_or(0.0, |[from, to]| (to - from).norm());
    order.sort_by(|one, other| length(&dimensions[*one]).total_cmp(&length(&dimensions[*other])));
    let mut drawn: Vec<[Point; 2]> = Vec::new();
    for index in order {
        let Some([from, to]) = dimensions[index].ends else {
            continue;
        };
        let Some(along) = (to - from).try_normalize(f64::EPSILON) else {
            continue;
        };
        let across = Vector::new(-along.y, along.x);
        let outward = if across.dot(&(center(&from, &to) - middle)) < 0.0 {
            -across
        } else {
            across
        };
        // There are more lanes than lines to keep off.
        let lanes = (0..=drawn.len())
            .flat_map(|lane| [outward, -outward].map(|side| side * (APART_MM * lane as f64)));
        let free = lanes.into_iter().find(|aside| {
            let line = [from + aside, to + aside];
            !drawn.iter().any(|other| looks_like_one(*other, line))
        });
        let aside = free.unwrap_or_default();
        drawn.push([from + aside, to + aside]);
        if aside.norm() > 0.0 {
            dimensions[index] = beside(from, to, aside);
        }
    }
}

/// Whether two lines run so near each other that they look like one.
fn looks_like_one(line: [Point; 2], other: [Point; 2]) -> bool {
    let run = line[1] - line[0];
    let Some(along) = run.try_normalize(f64::EPSILON) else {
        return false;
    };
    // How far along the line, and how far off it.
    let seen = other.map(|at| (along.dot(&(at - line[0])), along.perp(&(at - line[0]))));
    let ([from, to], reach_mm) = (seen.map(|(far, _)| far), run.norm());
    let (low, high) = (from.min(to).max(0.0), from.max(to).min(reach_mm));
    if high - low <= MEET_MM {
        return false;
    }
    let off = |far: f64| {
        let share = (far - from) / (to - from);
        (seen[0].1 + share * (seen[1].1 - seen[0].1)).abs()
    };
    off(low).max(off(high)) < AS_ONE_MM
}

/// A dimension line that stands aside, with a line to it from each of its ends.
fn beside(from: Point, to: Point, aside: Vector) -> Dimension {
    let mut dimension = straight(from + aside, to + aside);
    let way = aside.normalize();
    for end in [from, to] {
        dimension.strokes.push(Stroke::Run(vec![
            end + way * SHORT_MM,
            end + aside + way * PAST_MM,
        ]));
    }
    dimension.toward = aside;
    dimension
}

/// A dimension line with a head at either end.
fn straight(from: Point, to: Point) -> Dimension {
    let middle = center(&from, &to);
    let run_mm = (to - from).norm();
    if run_mm <= 0.0 {
        return Dimension {
            strokes: Vec::new(),
            ends: None,
            on: vec![middle],
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
        ends: Some([from, to]),
        on: FIGURE_AT.map(|share| from + (to - from) * share).to_vec(),
        toward: Vector::new(-along.y, along.x),
    }
}

/// Where along its line a figure stands: in the middle, or near it where that is taken.
const FIGURE_AT: [f64; 5] = [0.5, 0.38, 0.62, 0.28, 0.72];

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
        ends: None,
        on: vec![middle],
        toward: middle - at,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn between(from: f64, to: f64) -> Dimension {
        straight(Point::new(from, 50.0), Point::new(to, 50.0))
    }

    /// How far below the others each dimension line is drawn.
    fn drawn_at(dimensions: &[Dimension]) -> Vec<f64> {
        let of = |dimension: &Dimension| dimension.on[0].y - 50.0;
        dimensions.iter().map(of).collect()
    }

    #[test]
    fn readings_along_one_line_stand_beside_each_other_the_shorter_ones_nearer() {
        let mut all = [between(10.0, 110.0), between(10.0, 60.0), between(110.0, 10.0)];
        stagger(&mut all, Point::new(60.0, 80.0));
        assert_eq!(drawn_at(&all), [-APART_MM, 0.0, APART_MM]);
    }

    #[test]
    fn readings_that_only_meet_cross_or_run_off_from_a_point_stay_where_they_are() {
        let rising = straight(Point::new(10.0, 50.0), Point::new(60.0, 40.0));
        let crossing = straight(Point::new(35.0, 20.0), Point::new(35.0, 80.0));
        let mut all = [between(10.0, 60.0), between(60.0, 110.0), rising, crossing];
        let before = all.clone().map(|dimension| dimension.on);
        stagger(&mut all, Point::new(60.0, 80.0));
        assert_eq!(all.map(|dimension| dimension.on), before);
    }
}
