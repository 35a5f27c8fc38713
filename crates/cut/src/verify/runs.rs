//! What is cut in one go, from the torch lit to the torch out, and the loop that it closes.

use std::f64::consts::FRAC_PI_2;

use plane::{Point, Segment};

use super::columns::Columns;
use super::steps::{Program, Step};

/// The kerf's middle from one pierce on.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Line on which the torch is lit.
    pub line: usize,
    /// Where it is lit; none when nobody knows.
    pub at: Option<Point>,
    /// Every move with the torch on, and its line.
    pub edges: Vec<(usize, Segment)>,
}

impl Run {
    /// Length with the torch on, mm.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        self.edges.iter().map(|(_, edge)| edge.length_mm()).sum()
    }
}

/// Everything that is cut, in order.
pub(super) fn runs_of(program: &Program) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for step in &program.steps {
        match step {
            Step::TorchOn { line, place } => runs.push(Run {
                line: *line,
                at: place.at,
                edges: Vec::new(),
            }),
            Step::Move(made) if made.torch => {
                if let Some(run) = runs.last_mut() {
                    run.edges.push((made.line, made.path));
                }
            }
            _ => {}
        }
    }
    runs
}

/// A box that holds an edge, lower left and upper right.
pub(super) type Bounds = (Point, Point);

/// Whether two boxes come within a distance of each other.
pub(super) fn near(a: &Bounds, b: &Bounds, by_mm: f64) -> bool {
    a.0.x <= b.1.x + by_mm && b.0.x <= a.1.x + by_mm && a.0.y <= b.1.y + by_mm && b.0.y <= a.1.y + by_mm
}

/// The box round all of these; none for none.
pub(super) fn bounds_of<'a>(edges: impl IntoIterator<Item = &'a Segment>) -> Option<Bounds> {
    edges
        .into_iter()
        .map(Segment::bounds)
        .reduce(|(low, high), (l, h)| {
            (
                Point::new(low.x.min(l.x), low.y.min(l.y)),
                Point::new(high.x.max(h.x), high.y.max(h.y)),
            )
        })
}

/// Pieces of arcs of at most a quarter turn, so that two on one circle share one stretch at most.
pub(super) fn in_quarters(edge: &Segment) -> Vec<Segment> {
    let pieces = (edge.turn_rad().abs() / FRAC_PI_2 - 1e-9).ceil().max(1.0);
    (0..pieces as u32)
        .map(|i| edge.between(f64::from(i) / pieces, f64::from(i + 1) / pieces))
        .collect()
}

/// A run that stops this near to its own path has closed it: the rounding of a program and of a machine's own shift.
const CLOSED_MM: f64 = 0.02;

/// What a run closes, and what it does after.
pub(super) struct Closed {
    /// Once around, from where it comes back to itself.
    pub(super) edges: Vec<Segment>,
    /// How much of what follows runs along the loop again, mm.
    pub(super) again_mm: f64,
}

/// The first loop that a run closes: from where it comes back to itself, once around. None when it never does.
///
/// A lead-in ends on the contour, so the first return is the contour's own; over-run and lead-out come later.
pub(super) fn loop_of(run: &Run) -> Option<Closed> {
    let edges: Vec<Segment> = run.edges.iter().map(|(_, edge)| *edge).collect();
    let boxes: Vec<Bounds> = edges.iter().map(Segment::bounds).collect();
    let columns = Columns::new(boxes.clone());
    for j in 1..edges.len() {
        // The nearest return along this edge, and of those at one place the latest start.
        let mut found: Option<(f64, usize, f64)> = None;
        let mut before: Vec<usize> = columns.near(&boxes[j], CLOSED_MM).filter(|&i| i < j).collect();
        before.sort_unstable();
        for i in before {
            for meeting in edges[i].meetings(&edges[j]) {
                // Neighbours share a corner; that is no return.
                if i + 1 == j && (meeting.at - edges[j].from()).norm() <= CLOSED_MM {
                    continue;
                }
                let better = found.is_none_or(|(share, _, _)| meeting.on_second <= share + 1e-9);
                if better {
                    found = Some((meeting.on_second, i, meeting.on_first));
                }
            }
        }
        if let Some((end, i, start)) = found {
            return Some(between(&edges, (i, start), (j, end)));
        }
    }
    // It may stop just short of closing, or be off by the rounding of a shift: the kerf closes it all the same.
    let last = edges.len().checked_sub(1)?;
    for j in (1..=last).rev() {
        let end = edges[j].to();
        let closes = columns
            .near(&(end, end), CLOSED_MM)
            .filter(|&i| i + 1 < j && edges[i].nearest(end).0 <= CLOSED_MM)
            .max()
            .map(|i| (i, edges[i].share_nearest(end)));
        if let Some(start) = closes {
            return Some(between(&edges, start, (j, 1.0)));
        }
    }
    None
}

fn between(edges: &[Segment], from: (usize, f64), to: (usize, f64)) -> Closed {
    /// Shorter leftovers are no edges.
    const LEFTOVER_MM: f64 = 1e-6;
    let sizeable = |edge: &Segment| edge.length_mm() > LEFTOVER_MM;
    let first = edges[from.0].between(from.1, 1.0);
    let last = edges[to.0].between(0.0, to.1);
    let once: Vec<Segment> = std::iter::once(first)
        .chain(edges[from.0 + 1..to.0].iter().copied())
        .chain([last])
        .filter(sizeable)
        .collect();
    let along = |at: Point| once.iter().any(|edge| edge.nearest(at).0 <= CLOSED_MM);
    let again_mm = std::iter::once(edges[to.0].between(to.1, 1.0))
        .chain(edges[to.0 + 1..].iter().copied())
        .filter(sizeable)
        .flat_map(|edge| in_quarters(&edge))
        .filter(|edge| {
            [0.0, 0.5, 1.0]
                .into_iter()
                .all(|share| along(edge.point_at(share)))
        })
        .map(|edge| edge.length_mm())
        .sum();
    Closed {
        edges: once,
        again_mm,
    }
}
