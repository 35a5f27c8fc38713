//! Mesh, solve, judge, mesh again: until the numbers are as near as asked, or the budget is used up.

use nalgebra::Point3;
use plane::Point;
use sheet::Part;
use shell::{ErrorEstimate, Near, Singular};

use super::{Body, BodyError, BodyOptions, body, refined_body};

/// Cells of the map of sizes along the blank's longer side: finer than the triangles of any mesh that is refined by it.
const CELLS: f64 = 160.0;

/// Sizes aim at this share of the target at first: they are kept small at bends and holes whatever the error asks for, so
/// that a mesh comes out at less than half the error aimed at (measured on the examples).
const AIM: f64 = 2.2;

/// Where a mesh misses the target, the next aims lower by as much, and by this.
const LOWER: f64 = 0.85;

/// A finer mesh has at least this many times the nodes: one with hardly more tells nothing new.
const FINER: f64 = 1.1;

/// Near singular places a mesh is only made finer when movements are not near enough: their stress is not read. Then it
/// shrinks to no less than this share at once, for there the error asks for more than it is worth.
const NEAR_SHRINK: f64 = 0.6;

/// How often the aim is lowered until the mesh is finer.
const LOWERED: usize = 6;

/// When the sizes would take too many unknowns they are stretched until they fit, and a little more.
const STRETCH_SPARE: f64 = 1.05;
const STRETCHES: usize = 4;

/// How near the numbers are to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Targets {
    /// Movements, as a share of themselves.
    pub moves: f64,
    /// Stresses, as a share of themselves, on average over the part and outside singular places.
    pub stress: f64,
    /// What lies nearer to a singular place than this counts for nothing, mm.
    pub singular_radius_mm: f64,
    /// No more meshes than this, at least 1.
    pub most_turns: usize,
}

impl Targets {
    /// 3 % on movement, 5 % on stress, in at most four meshes; one thickness about singular places.
    #[must_use]
    pub fn usual(thickness_mm: f64) -> Targets {
        Targets {
            moves: 0.03,
            stress: 0.05,
            singular_radius_mm: thickness_mm,
            most_turns: 4,
        }
    }
}

/// What was found on one mesh.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged<T> {
    /// The answer itself, passed on.
    pub answer: T,
    /// Error of each load.
    pub errors: Vec<ErrorEstimate>,
    /// For each load, the error of what it adds to the part at rest, as a share in the energy norm: what tightening does under
    /// a washer is no error of a movement.
    pub added: Vec<f64>,
    /// The movements that will be reported, mm, in one order on every mesh.
    pub moves_mm: Vec<f64>,
    /// Where stress has no bound.
    pub singular: Vec<Singular>,
}

/// One mesh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// Its unknowns.
    pub unknowns: usize,
    /// Error of stresses in the energy norm outside singular places, the worst load's, as a share of all.
    pub stress: f64,
    /// Error of movements as a share of them: the square of the error in the energy norm of what the load adds (exact for the
    /// movement of a load along itself), or what the change since the mesh before says, whichever is more.
    pub moves: f64,
}

/// Why no finer mesh was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stopped {
    /// Both targets are met.
    Met,
    /// No mesh that is finer by enough to tell anything new is within the unknowns allowed.
    Budget,
    /// As many meshes were made as allowed.
    Turns,
}

/// The last mesh, what was found on it, and how it came to be.
#[derive(Debug, Clone, PartialEq)]
pub struct Adapted<T> {
    /// The mesh.
    pub body: Body,
    /// What was found on it.
    pub answer: T,
    /// All meshes; the last one's errors are what was reached.
    pub turns: Vec<Turn>,
    /// Why it is the last.
    pub stopped: Stopped,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AdaptError<E> {
    /// No mesh.
    #[error(transparent)]
    Body(BodyError),
    /// No solution on a mesh.
    #[error("{0}")]
    Work(E),
}

/// Meshes a part, has `work` solve and judge it, and refines where the errors are until `targets` are met or
/// [`BodyOptions::most_unknowns`] is reached.
///
/// # Errors
/// [`AdaptError`]: of the first mesh, or of any solution.
pub fn adapted<T, E>(
    part: &Part,
    options: &BodyOptions,
    targets: Targets,
    mut work: impl FnMut(&Body) -> Result<Judged<T>, E>,
) -> Result<Adapted<T>, AdaptError<E>> {
    let mut mesh = body(part, options).map_err(AdaptError::Body)?;
    let mut turns: Vec<Turn> = Vec::new();
    let mut before: Option<Before> = None;
    let mut aim = AIM;
    loop {
        let judged = work(&mesh).map_err(AdaptError::Work)?;
        let is_near = near_singular(&mesh, &judged.singular, targets.singular_radius_mm);
        let stress = judged
            .errors
            .iter()
            .map(|error| share_outside(error, &is_near))
            .fold(0.0, f64::max);
        let added = judged.added.iter().copied().fold(0.0, f64::max);
        let unknowns = shell::PER_NODE * mesh.mesh.nodes.len();
        let moves = added
            .powi(2)
            .max(change(before.as_ref(), unknowns, &judged.moves_mm));
        turns.push(Turn {
            unknowns,
            stress,
            moves,
        });
        let finished = |stopped, body, turns| {
            Ok(Adapted {
                body,
                answer: judged.answer,
                turns,
                stopped,
            })
        };
        if stress <= targets.stress && moves <= targets.moves {
            return finished(Stopped::Met, mesh, turns);
        }
        if turns.len() >= targets.most_turns {
            return finished(Stopped::Turns, mesh, turns);
        }
        // Movements hang on all of the error, stresses on what lies outside the singular places.
        let reached = (stress / targets.stress).max((moves / targets.moves).sqrt());
        if turns.len() > 1 {
            aim *= LOWER / reached.max(1.0);
        }
        let target = targets.stress.min(targets.moves.sqrt());
        let least = (FINER * mesh.mesh.nodes.len() as f64) as usize;
        let near_floor = if moves > targets.moves { NEAR_SHRINK } else { 1.0 };
        let mut finer = None;
        for _ in 0..LOWERED {
            let sizes = Sizes::of(&mesh, &judged.errors, (&is_near, near_floor), aim * target);
            finer = self::finer(part, options, &sizes).filter(|finer| finer.mesh.nodes.len() >= least);
            if finer.is_some() {
                break;
            }
            aim *= LOWER;
        }
        let Some(finer) = finer else {
            return finished(Stopped::Budget, mesh, turns);
        };
        before = Some(Before {
            unknowns,
            moves_mm: judged.moves_mm,
        });
        mesh = finer;
    }
}

/// A mesh of the sizes wanted, stretched until it is within the budget.
fn finer(part: &Part, options: &BodyOptions, sizes: &Sizes) -> Option<Body> {
    let mut stretch: f64 = 1.0;
    for _ in 0..STRETCHES {
        match refined_body(part, options, &|at| stretch * sizes.at(at)) {
            Ok(body) => return Some(body),
            Err(BodyError::TooMany { estimated, most }) => {
                stretch *= STRETCH_SPARE * (estimated as f64 / most.max(1) as f64).sqrt().max(1.0);
            }
            Err(_) => return None,
        }
    }
    None
}

/// For each triangle, whether its centre is near a singular place.
fn near_singular(body: &Body, singular: &[Singular], radius_mm: f64) -> Vec<bool> {
    let nodes = singular.iter().flat_map(|place| &place.nodes);
    let near = Near::new(nodes.map(|&node| body.mesh.nodes[node as usize]));
    (0..body.mesh.triangles.len())
        .map(|t| {
            let [a, b, c] = body.mesh.corners(t).map(|at| at.coords);
            let centre = Point3::from((a + b + c) / 3.0);
            near.within(centre, radius_mm).is_some_and(|far| far < radius_mm)
        })
        .collect()
}

fn share_outside(error: &ErrorEstimate, is_near: &[bool]) -> f64 {
    let outside: f64 = error
        .of_triangle
        .iter()
        .zip(is_near)
        .filter(|(_, near)| !**near)
        .map(|(error, _)| error * error)
        .sum();
    if error.of_solution > 0.0 {
        outside.sqrt() / error.of_solution
    } else {
        0.0
    }
}

/// The error of movements that their change since the mesh before tells of: where a mesh is refined to the errors it
/// makes, that of movements falls as its unknowns grow (so with singular places too), and what is left is to the change as
/// the unknowns before are to those added.
fn change(before: Option<&Before>, unknowns: usize, moves_mm: &[f64]) -> f64 {
    let Some(before) = before else {
        return 0.0;
    };
    let largest = moves_mm
        .iter()
        .fold(f64::MIN_POSITIVE, |most, moved| most.max(moved.abs()));
    let changed = moves_mm
        .iter()
        .zip(&before.moves_mm)
        .map(|(now, then)| (now - then).abs())
        .fold(0.0, f64::max);
    let added = unknowns.saturating_sub(before.unknowns).max(1);
    changed / largest * before.unknowns as f64 / added as f64
}

/// What is kept of the mesh before.
struct Before {
    unknowns: usize,
    moves_mm: Vec<f64>,
}

/// Sizes go in steps of this many to a doubling. Errors carry the rounding of a solution; a size that followed it to the
/// last digit would give another mesh, and other digits of every answer, for a load that differs by nothing.
const STEPS_PER_DOUBLING: f64 = 4.0;

/// The step nearest to a size; one that is not bounded stays so.
fn stepped(size_mm: f64) -> f64 {
    ((size_mm.log2() * STEPS_PER_DOUBLING).round() / STEPS_PER_DOUBLING).exp2()
}

/// Sizes wanted as a map over the blank.
struct Sizes {
    low: Point,
    cell_mm: f64,
    columns: usize,
    rows: usize,
    sizes_mm: Vec<f64>,
}

impl Sizes {
    /// The least that any load wants; near singular places no less than a share of what there is.
    fn of(
        body: &Body,
        errors: &[ErrorEstimate],
        (is_near, near_floor): (&[bool], f64),
        target: f64,
    ) -> Sizes {
        let first = body.blank_at.first().copied().unwrap_or_default();
        let (low, high) = body
            .blank_at
            .iter()
            .fold((first, first), |(low, high), at| (low.inf(at), high.sup(at)));
        let cell_mm = ((high - low).amax() / CELLS).max(f64::MIN_POSITIVE);
        let count = |length: f64| (length / cell_mm).floor() as usize + 1;
        let mut sizes = Sizes {
            low,
            cell_mm,
            columns: count(high.x - low.x),
            rows: count(high.y - low.y),
            sizes_mm: Vec::new(),
        };
        sizes.sizes_mm = vec![f64::NAN; sizes.columns * sizes.rows];
        let wanted: Vec<Vec<f64>> = errors
            .iter()
            .map(|error| error.size_wanted_mm(&body.mesh, target))
            .collect();
        let mut reached = Vec::new();
        for (t, nodes) in body.mesh.triangles.iter().enumerate() {
            let [a, b, c] = nodes.map(|node| body.blank_at[node as usize]);
            let now_mm = ((b - a).perp(&(c - a)) * 2.0 / 3.0_f64.sqrt()).sqrt();
            let mut size_mm = wanted.iter().map(|sizes| sizes[t]).fold(f64::INFINITY, f64::min);
            if is_near[t] {
                size_mm = size_mm.max(near_floor * now_mm);
            }
            let size_mm = stepped(size_mm);
            let cell = sizes.cell(Point::from((a.coords + b.coords + c.coords) / 3.0));
            if sizes.sizes_mm[cell].is_nan() {
                reached.push(cell);
            }
            // `min` passes over the NaN of an empty cell.
            sizes.sizes_mm[cell] = sizes.sizes_mm[cell].min(size_mm);
        }
        sizes.fill(reached);
        sizes
    }

    fn cell(&self, at: Point) -> usize {
        let along = |v: f64, count: usize| ((v / self.cell_mm).floor().max(0.0) as usize).min(count - 1);
        along(at.y - self.low.y, self.rows) * self.columns + along(at.x - self.low.x, self.columns)
    }

    /// Gives empty cells what their nearest neighbours have, ring by ring.
    fn fill(&mut self, mut reached: Vec<usize>) {
        let mut next = 0;
        while let Some(&cell) = reached.get(next) {
            next += 1;
            let (row, column) = (cell / self.columns, cell % self.columns);
            let beside = [
                (row > 0).then(|| cell - self.columns),
                (row + 1 < self.rows).then(|| cell + self.columns),
                (column > 0).then(|| cell - 1),
                (column + 1 < self.columns).then(|| cell + 1),
            ];
            for other in beside.into_iter().flatten() {
                if self.sizes_mm[other].is_nan() {
                    self.sizes_mm[other] = self.sizes_mm[cell];
                    reached.push(other);
                }
            }
        }
    }

    fn at(&self, at: Point) -> f64 {
        self.sizes_mm[self.cell(at)]
    }
}
