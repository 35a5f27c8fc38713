//! Lines on the blank gathered from panels and strips, which tell of the same edges twice: points that are one are
//! joined, edges are cut where others end on them, and what lies beside them is put together.

use std::collections::BTreeMap;

use plane::{Point, Vector};
use shell::plan::{Beside, Line, Plan};

/// Points nearer than this are one: ten times [`plane::SAME_POINT_MM`], because panel and strip were cut from the same
/// numbers by two routes.
const SAME_MM: f64 = 10.0 * plane::SAME_POINT_MM;

/// Points by place.
#[derive(Debug, Default)]
struct Places {
    points: Vec<Point>,
    cells: BTreeMap<[i64; 2], Vec<u32>>,
}

impl Places {
    /// Wide against [`SAME_MM`], narrow against anything drawn.
    const CELL_MM: f64 = 1e-2;

    /// The point at a place; the first that came within reach of it.
    fn point(&mut self, at: Point) -> u32 {
        let cell = |v: f64| (v / Self::CELL_MM).floor() as i64;
        let mut reach = [[0; 2]; 2];
        for axis in 0..2 {
            reach[axis] = [cell(at[axis] - SAME_MM), cell(at[axis] + SAME_MM)];
        }
        for x in reach[0][0]..=reach[0][1] {
            for y in reach[1][0]..=reach[1][1] {
                for &point in self.cells.get(&[x, y]).into_iter().flatten() {
                    if (self.points[point as usize] - at).norm() <= SAME_MM {
                        return point;
                    }
                }
            }
        }
        self.points.push(at);
        let point = (self.points.len() - 1) as u32;
        self.cells
            .entry([cell(at.x), cell(at.y)])
            .or_default()
            .push(point);
        point
    }
}

/// What a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// An edge of this region, which lies to its left.
    Rim(u32),
    /// Where two regions are one piece: left, right.
    Joint(u32, u32),
    /// Drawn within a region.
    Within,
}

/// The circle that a line is a chord of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Round {
    pub centre: Point,
    pub radius_mm: f64,
}

#[derive(Debug, Clone, Copy)]
struct Raw {
    from: u32,
    to: u32,
    kind: Kind,
    round: Option<Round>,
    /// What the caller calls the run of lines it is part of.
    run: Option<u32>,
}

/// All lines so far.
#[derive(Debug, Default)]
pub(super) struct Lines {
    places: Places,
    raw: Vec<Raw>,
}

/// The plan of a blank.
#[derive(Debug, Default)]
pub(super) struct Drawing {
    pub plan: Plan,
    /// For each line of the plan, the circle it is a chord of.
    pub round: Vec<Option<Round>>,
    /// For each line of the plan, the run it is part of.
    pub run: Vec<Option<u32>>,
    /// Rings that were left out.
    pub rings_left_out: Vec<usize>,
}

impl Lines {
    pub fn add(&mut self, from: Point, to: Point, kind: Kind, round: Option<Round>, run: Option<u32>) {
        let [from, to] = [from, to].map(|at| self.places.point(at));
        if from != to {
            self.raw.push(Raw {
                from,
                to,
                kind,
                round,
                run,
            });
        }
    }

    /// Cuts rims where other lines end on them, and puts lines that are the same together.
    pub fn drawn(self) -> Drawing {
        /// What is known of one line, from its lower point to its higher.
        #[derive(Debug, Clone, Copy, Default)]
        struct Known {
            left: Option<u32>,
            right: Option<u32>,
            is_joint: bool,
            round: Option<Round>,
            run: Option<u32>,
        }
        let mut known: BTreeMap<(u32, u32), Known> = BTreeMap::new();
        for raw in &self.raw {
            let mut last = raw.from;
            for next in self.on(raw).into_iter().chain([raw.to]) {
                let turned = last > next;
                let here = known.entry((last.min(next), last.max(next))).or_default();
                let (left, right) = match raw.kind {
                    Kind::Rim(region) => (Some(region), None),
                    Kind::Joint(left, right) => (Some(left), Some(right)),
                    Kind::Within => (None, None),
                };
                let (left, right) = if turned { (right, left) } else { (left, right) };
                here.left = here.left.or(left);
                here.right = here.right.or(right);
                here.is_joint |= matches!(raw.kind, Kind::Joint(..));
                here.round = here.round.or(raw.round);
                here.run = here.run.or(raw.run);
                last = next;
            }
        }
        let mut drawing = Drawing {
            plan: Plan {
                points: self.places.points,
                lines: Vec::with_capacity(known.len()),
            },
            ..Drawing::default()
        };
        for ((from, to), line) in known {
            let one_sided = line.left.is_some() != line.right.is_some();
            let beside = |side: Option<u32>| match side {
                Some(region) => Beside::Region(region),
                None if one_sided => Beside::Nothing,
                None => Beside::Any,
            };
            drawing.plan.lines.push(Line {
                from,
                to,
                left: beside(line.left),
                right: beside(line.right),
                is_cut: !line.is_joint && line.left.is_some() && line.right.is_some(),
            });
            drawing.round.push(line.round);
            drawing.run.push(line.run);
        }
        drawing
    }

    /// Points that lie on a straight rim between its ends, in order.
    fn on(&self, raw: &Raw) -> Vec<u32> {
        if raw.kind == Kind::Within || raw.round.is_some() {
            return Vec::new();
        }
        let [from, to] = [raw.from, raw.to].map(|point| self.places.points[point as usize]);
        let along: Vector = to - from;
        let length = along.norm();
        let reach = Vector::new(SAME_MM, SAME_MM);
        let (low, high) = (from.inf(&to) - reach, from.sup(&to) + reach);
        let mut on: Vec<(f64, u32)> = Vec::new();
        for (point, at) in self.places.points.iter().enumerate() {
            let point = point as u32;
            let near = at.x >= low.x && at.x <= high.x && at.y >= low.y && at.y <= high.y;
            if near
                && point != raw.from
                && point != raw.to
                && (along.perp(&(at - from)) / length).abs() <= SAME_MM
            {
                let share = along.dot(&(at - from)) / length;
                if share > 0.0 && share < length {
                    on.push((share, point));
                }
            }
        }
        on.sort_by(|a, b| a.0.total_cmp(&b.0));
        on.into_iter().map(|(_, point)| point).collect()
    }
}
