//! The lines alone, triangulated exactly, and what lies between them.

use nalgebra::Point2;
use spade::handles::FixedVertexHandle;
use spade::{ConstrainedDelaunayTriangulation, Triangulation};

use super::error::PlanError;
use super::web::{NONE, Triangle, Web};
use super::{Beside, Plan};

/// Two points nearer than this share of the plan's extent are one, and a point nearer than this to a line is on it: well
/// over rounding, well under anything that can be cut.
const SAME_PLACE: f64 = 1e-10;

/// Coordinates under this are zero to the triangulation, which refuses numbers that vanish when squared.
const ZERO_MM: f64 = 1e-30;

/// Coordinates beyond this are refused: their fourth powers, which tell whether a point is in a circle, overflow.
const FARTHEST_MM: f64 = 1e60;

type Exact = ConstrainedDelaunayTriangulation<spade::Point2<f64>>;

/// What a face between the lines is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Face {
    Unknown,
    Nothing,
    Region(u32),
}

/// The plan's lines as edges of triangles, nothing added.
pub(super) fn web(plan: &Plan) -> Result<Web, PlanError> {
    let lines = Lines::of(plan)?;
    let exact = triangulated(plan, &lines)?;
    check_clear(plan, &exact, &lines)?;
    let faces = faces(&exact, plan, &lines)?;

    let mut number = vec![NONE; faces.len()];
    let mut count = 0;
    for face in exact.inner_faces() {
        if let Face::Region(_) = faces[face.index()] {
            number[face.index()] = count;
            count += 1;
        }
    }
    if count == 0 {
        return Err(PlanError::Empty);
    }
    let mut triangles = Vec::with_capacity(count as usize);
    for face in exact.inner_faces() {
        let Face::Region(region) = faces[face.index()] else {
            continue;
        };
        let edges = face.adjacent_edges();
        triangles.push(Triangle {
            corners: edges.map(|edge| edge.from().index() as u32),
            beyond: edges.map(|edge| number[edge.rev().face().index()]),
            lines: edges.map(|edge| {
                lines
                    .between(edge.from().index(), edge.to().index())
                    .unwrap_or(NONE)
            }),
            region,
        });
    }
    Ok(Web::new(plan.points.clone(), triangles))
}

/// Lines by their ends.
struct Lines(Vec<([u32; 2], u32)>);

impl Lines {
    fn of(plan: &Plan) -> Result<Lines, PlanError> {
        let count = plan.points.len() as u32;
        let mut ends = Vec::with_capacity(plan.lines.len());
        for (index, line) in plan.lines.iter().enumerate() {
            if line.from == line.to || line.from.max(line.to) >= count {
                return Err(PlanError::NotALine { line: index as u32 });
            }
            ends.push(([line.from.min(line.to), line.from.max(line.to)], index as u32));
        }
        ends.sort_unstable();
        match ends.windows(2).find(|pair| pair[0].0 == pair[1].0) {
            Some(pair) => Err(PlanError::SameLine {
                first: pair[0].1,
                second: pair[1].1,
            }),
            None => Ok(Lines(ends)),
        }
    }

    fn between(&self, a: usize, b: usize) -> Option<u32> {
        let ends = [a.min(b) as u32, a.max(b) as u32];
        self.0
            .binary_search_by_key(&ends, |line| line.0)
            .ok()
            .map(|at| self.0[at].1)
    }
}

fn triangulated(plan: &Plan, lines: &Lines) -> Result<Exact, PlanError> {
    let mut exact = Exact::new();
    let mut handles: Vec<FixedVertexHandle> = Vec::with_capacity(plan.points.len());
    for (index, at) in plan.points.iter().enumerate() {
        let point = index as u32;
        if !at.iter().all(|v| v.is_finite() && v.abs() <= FARTHEST_MM) {
            return Err(PlanError::NotFinite { point });
        }
        let [x, y] = [at.x, at.y].map(|v| if v.abs() < ZERO_MM { 0.0 } else { v });
        let handle = exact
            .insert(spade::Point2::new(x, y))
            .map_err(|_| PlanError::NotFinite { point })?;
        // Twice the same place gives the first handle again.
        if handle.index() != index {
            return Err(PlanError::SamePoint {
                first: handle.index() as u32,
                second: point,
                at: *at,
            });
        }
        handles.push(handle);
    }
    for (index, line) in plan.lines.iter().enumerate() {
        let [from, to] = [line.from, line.to].map(|end| handles[end as usize]);
        let crossed = exact
            .get_conflicting_edges_between_vertices(from, to)
            .next()
            .map(|edge| [edge.from().index(), edge.to().index()]);
        if let Some([a, b]) = crossed {
            let other = lines.between(a, b).unwrap_or(index as u32);
            return Err(cross(plan, index as u32, other));
        }
        exact.add_constraint(from, to);
        // A constraint through another point is split there.
        if !exact.exists_constraint(from, to) {
            return Err(passes_through(plan, index));
        }
    }
    Ok(exact)
}

fn cross(plan: &Plan, line: u32, other: u32) -> PlanError {
    let ends = |line: u32| {
        let line = plan.lines[line as usize];
        [line.from, line.to].map(|end| plan.points[end as usize])
    };
    let ([a, b], [c, d]) = (ends(line), ends(other));
    let share = (d - c).perp(&(a - c)) / (b - a).perp(&(d - c));
    PlanError::LinesCross {
        first: line.min(other),
        second: line.max(other),
        at: if share.is_finite() { a + (b - a) * share } else { a },
    }
}

fn passes_through(plan: &Plan, line: usize) -> PlanError {
    let Stretch { from, to } = Stretch::of(plan, line);
    let ends = [plan.lines[line].from, plan.lines[line].to];
    let on = (0..plan.points.len() as u32)
        .filter(|point| !ends.contains(point))
        .min_by(|&a, &b| {
            let off = |point: u32| Stretch { from, to }.distance(plan.points[point as usize]);
            off(a).total_cmp(&off(b))
        })
        .unwrap_or(ends[0]);
    PlanError::PointOnLine {
        point: on,
        line: line as u32,
        at: plan.points[on as usize],
    }
}

/// The two places a line joins.
struct Stretch {
    from: Point2<f64>,
    to: Point2<f64>,
}

impl Stretch {
    fn of(plan: &Plan, line: usize) -> Stretch {
        Stretch {
            from: plan.points[plan.lines[line].from as usize],
            to: plan.points[plan.lines[line].to as usize],
        }
    }

    fn distance(&self, at: Point2<f64>) -> f64 {
        let along = self.to - self.from;
        let share = ((at - self.from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
        (self.from + along * share - at).norm()
    }
}

/// Points too near to each other or to a line to be told apart, which exact predicates alone would let pass.
fn check_clear(plan: &Plan, exact: &Exact, lines: &Lines) -> Result<(), PlanError> {
    let far = plan
        .points
        .iter()
        .fold(0.0_f64, |far, at| far.max((at - plan.points[0]).amax()));
    let clear_mm = far * SAME_PLACE;
    for edge in exact.undirected_edges() {
        let [a, b] = edge.vertices().map(|vertex| vertex.index());
        if (plan.points[a] - plan.points[b]).norm() <= clear_mm {
            return Err(PlanError::SamePoint {
                first: a.min(b) as u32,
                second: a.max(b) as u32,
                at: plan.points[a.min(b)],
            });
        }
    }
    for edge in exact.directed_edges() {
        let [a, b] = [edge.from(), edge.to()].map(|vertex| vertex.index());
        if let Some(line) = lines.between(a, b)
            && let Some(apex) = edge.opposite_vertex()
        {
            let at = plan.points[apex.index()];
            if Stretch::of(plan, line as usize).distance(at) <= clear_mm {
                return Err(PlanError::PointOnLine {
                    point: apex.index() as u32,
                    line,
                    at,
                });
            }
        }
    }
    Ok(())
}

/// What each face is: told by the lines beside it, and carried over edges that part nothing.
fn faces(exact: &Exact, plan: &Plan, lines: &Lines) -> Result<Vec<Face>, PlanError> {
    let count = exact.num_all_faces();
    let mut faces = vec![Face::Unknown; count];
    let mut open = vec![Vec::new(); count];
    let mut told = vec![(exact.outer_face().index(), Face::Nothing)];
    for edge in exact.directed_edges() {
        let [a, b] = [edge.from(), edge.to()].map(|vertex| vertex.index());
        let (here, over) = (edge.face().index(), edge.rev().face().index());
        let side = match lines.between(a, b) {
            None => Beside::Any,
            Some(index) => {
                let line = &plan.lines[index as usize];
                // Across a line that says nothing on either side the face goes on.
                if line.from as usize == a {
                    line.left
                } else {
                    line.right
                }
            }
        };
        let parts = lines.between(a, b).is_some_and(|index| {
            let line = &plan.lines[index as usize];
            line.left != Beside::Any || line.right != Beside::Any
        });
        match side {
            Beside::Region(region) => told.push((here, Face::Region(region))),
            Beside::Nothing => told.push((here, Face::Nothing)),
            Beside::Any => {}
        }
        if !parts {
            open[here].push(over);
        }
    }
    let disagree = |face: usize| {
        let at = exact.inner_faces().find(|inner| inner.index() == face).map_or(
            plan.points.first().copied().unwrap_or_default(),
            |inner| {
                let middle = inner.center();
                Point2::new(middle.x, middle.y)
            },
        );
        PlanError::SidesDisagree { at }
    };
    for (start, face) in told {
        let mut reached = vec![start];
        while let Some(here) = reached.pop() {
            match faces[here] {
                Face::Unknown => {
                    faces[here] = face;
                    reached.extend(&open[here]);
                }
                found if found != face => return Err(disagree(here)),
                _ => {}
            }
        }
    }
    Ok(faces)
}
