//! A bracket solved on one mesh: every case, from one factor.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use nalgebra::{Vector3, Vector6};
use rayon::prelude::*;
use shell::{Frame, InPlane, LoadCase, NodeForces, PanelForces, Prepared, Recovered, Solution};

use crate::analyse::wanted_still;
use crate::body::Body;
use crate::bracket::Bracket;
use crate::cases::{self, Acting};
use crate::edge::{EdgeStress, edge_stress};
use crate::error::ProveError;
use crate::estimate::fallen_n;
use crate::helps::{ExtraPlate, WeldedOn, mean_edge_mm, weld_on};
use crate::load::{Act, GRAVITY_MM_S2};
use crate::mounting::{self, Mounted};

/// mm in a m: kg mm/s2 over it are N.
const MM_PER_M: f64 = 1e3;

/// A blow is first taken as this many times the weight: the size of many a fall from the height of a table.
const BLOW_IN_WEIGHTS: f64 = 10.0;

/// A factor of buckling or a frequency is worked out to within this share: far nearer than the mesh is.
const WHOLE_WITHIN: f64 = 1e-4;

/// A case solved on one mesh.
pub(crate) struct Solved {
    pub acting: Acting,
    pub case: LoadCase,
    pub solution: Solution,
    pub forces: Vec<PanelForces>,
    /// Smoothed within each panel and bend; welded-on plates left out.
    pub recovered: Recovered,
    /// Along free edges.
    pub edges: EdgeStress,
}

/// Everything on one mesh.
pub(crate) struct Round {
    pub body: Body,
    pub mounted: Mounted,
    /// The welded edges of what was added.
    pub welded: Vec<WeldedOn>,
    pub solved: Vec<Solved>,
    /// Under its own weight and what hangs on it alone.
    pub rest: Recovered,
    pub rest_forces: Vec<PanelForces>,
    pub rest_edges: EdgeStress,
    /// Where the nodes are before anything pushes: tightened, under its own weight.
    pub rest_moves: Vec<Vector6<f64>>,
    /// What each fall comes to, N; 0 for other loads.
    pub falls_n: Vec<f64>,
    /// What hangs on the whole part, still to be worked out, when it was asked for.
    pub whole: Option<WholeToCome>,
    pub unknowns: usize,
}

impl Round {
    /// How a node moves from where it is at rest.
    pub fn moved(&self, solved: &Solved, node: u32) -> Vector6<f64> {
        solved.solution.moves[node as usize] - self.rest_moves[node as usize]
    }

    /// The place whose movement tells how far a case moves the part: the support, or where the first load comes in.
    pub fn watched(&self, solved: &Solved) -> Option<u32> {
        let first = || {
            let load = *solved.acting.loads.first()?;
            Some(self.mounted.load_nodes[load])
        };
        self.mounted.support.or_else(first)
    }

    /// How far that place moves by the linear answer, mm.
    pub fn watched_mm(&self, solved: &Solved) -> f64 {
        let node = self.watched(solved);
        node.map_or(0.0, |node| self.moved(solved, node).fixed_rows::<3>(0).norm())
    }

    /// What a case adds to the part at rest, as it was worked out and smoothed; the part itself.
    pub fn added(&self, solved: &Solved) -> (Vec<PanelForces>, Recovered) {
        let less = |a: &InPlane, b: &InPlane| *a - *b;
        let own = self.body.mesh.triangles.len();
        let forces = solved.forces[..own].iter().zip(&self.rest_forces);
        let forces = forces.map(|(now, rest)| PanelForces {
            membrane_n_mm: std::array::from_fn(|at| less(&now.membrane_n_mm[at], &rest.membrane_n_mm[at])),
            moment_n: std::array::from_fn(|at| less(&now.moment_n[at], &rest.moment_n[at])),
            ..*now
        });
        let nodes = solved.recovered.nodes.iter().zip(&self.rest.nodes);
        let nodes = nodes.map(|(now, rest)| NodeForces {
            membrane_n_mm: less(&now.membrane_n_mm, &rest.membrane_n_mm),
            moment_n: less(&now.moment_n, &rest.moment_n),
            ..*now
        });
        let recovered = Recovered {
            nodes: nodes.collect(),
            of_triangle: self.rest.of_triangle.clone(),
        };
        (forces.collect(), recovered)
    }
}

/// What is worked out once, on the first mesh: it hangs on the whole part, and not on any corner of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Whole {
    /// For each case, the factor at which the plate buckles.
    pub buckles_at: Vec<Option<f64>>,
    /// Lowest frequency, Hz.
    pub first_hz: Option<f64>,
}

/// What is asked of a mesh beside its cases.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Ask<'a> {
    /// Plates welded on.
    pub extra: &'a [ExtraPlate],
    /// Is what hangs on the whole part worked out?
    pub whole: bool,
    /// What each fall came to on another mesh of the part, or on one nearly the same, N.
    pub falls_n: Option<&'a [f64]>,
    /// Set by whoever no longer wants it.
    pub stop: Option<&'a Arc<AtomicBool>>,
}

/// Forces and moments at the nodes where the loads come in.
type AtNodes = Vec<(u32, Vector6<f64>)>;

fn weight(bracket: &Bracket<'_>) -> Vector3<f64> {
    bracket.down.into_inner() * GRAVITY_MM_S2
}

/// A mesh ready to be loaded.
struct Ready<'a> {
    bracket: &'a Bracket<'a>,
    body: &'a Body,
    mounted: &'a Mounted,
    prepared: &'a Prepared<'a>,
    frames: &'a [Frame],
}

/// Solves every case on one mesh.
pub(crate) fn round(bracket: &Bracket<'_>, body: Body, ask: Ask<'_>) -> Result<Round, ProveError> {
    if bracket.loads.is_empty() {
        return Err(ProveError::NoLoads);
    }
    let mut mounted = mounting::mount(bracket, &body)?;
    let welded = weld_on(
        &mut mounted.model,
        ask.extra,
        &bracket.pose,
        mean_edge_mm(&body.mesh),
    )?;
    // It may outlive this mesh: see [`WholeToCome`].
    let stop = ask.stop.cloned().unwrap_or_default();
    let prepared = shell::prepare_while(mounted.model.clone(), &stop)?;
    let frames = mounted.model.mesh.frames();
    let ready = Ready {
        bracket,
        body: &body,
        mounted: &mounted,
        prepared: &prepared,
        frames: &frames,
    };
    wanted_still(&stop)?;
    let (rest_moves, falls_n) = ready.at_rest(ask.falls_n)?;
    wanted_still(&stop)?;
    let acting = cases::acting(bracket);
    let loads: Vec<LoadCase> = acting
        .iter()
        .map(|acting| ready.load(&acting.loads, &falls_n))
        .collect();
    let solutions = prepared.solve_all(&loads);
    wanted_still(&stop)?;
    // Each by itself, whatever the number of threads; the first that cannot be solved is told.
    let solved: Vec<Result<Solved, ProveError>> = acting
        .into_par_iter()
        .zip(loads)
        .zip(solutions)
        .map(|((acting, case), solution)| {
            wanted_still(&stop)?;
            let solution = solution.map_err(|error| unsolved(&acting.name, error))?;
            Ok(ready.read(acting, case, solution))
        })
        .collect();
    let solved = solved.into_iter().collect::<Result<Vec<_>, _>>()?;
    let rest_forces = ready.forces(&rest_moves);
    let (rest, rest_edges) = ready.stresses(&rest_forces, &rest_moves);
    let unknowns = prepared.unknowns();
    let whole = ask.whole.then(|| WholeToCome {
        solved: solved
            .iter()
            .map(|solved| (solved.solution.clone(), solved.forces.clone()))
            .collect(),
        prepared,
    });
    Ok(Round {
        body,
        mounted,
        welded,
        solved,
        rest,
        rest_forces,
        rest_edges,
        rest_moves,
        falls_n,
        whole,
        unknowns,
    })
}

fn unsolved(load: &str, error: shell::SolveError) -> ProveError {
    ProveError::Solve {
        load: load.to_owned(),
        error,
    }
}

impl Ready<'_> {
    fn forces(&self, moves: &[Vector6<f64>]) -> Vec<PanelForces> {
        shell::forces_in(&self.mounted.model.mesh, self.frames, moves)
    }

    /// Stresses of the part itself, smoothed, and those along its free edges.
    fn stresses(&self, forces: &[PanelForces], moves: &[Vector6<f64>]) -> (Recovered, EdgeStress) {
        let own = self.body.mesh.triangles.len();
        let recovered = shell::recover(&self.body.mesh, &forces[..own]);
        let edges = edge_stress(self.body, self.bracket.metal.elastic_mpa, &recovered, moves);
        (recovered, edges)
    }

    fn read(&self, acting: Acting, case: LoadCase, solution: Solution) -> Solved {
        let forces = self.forces(&solution.moves);
        let (recovered, edges) = self.stresses(&forces, &solution.moves);
        Solved {
            acting,
            case,
            solution,
            forces,
            recovered,
            edges,
        }
    }

    /// Loads that act at once, with the weight.
    fn load(&self, loads: &[usize], falls_n: &[f64]) -> LoadCase {
        LoadCase {
            at_nodes: self.at_nodes(loads, falls_n),
            gravity_mm_s2: weight(self.bracket),
            ..LoadCase::default()
        }
    }

    fn at_nodes(&self, loads: &[usize], falls_n: &[f64]) -> AtNodes {
        loads
            .iter()
            .map(|&load| {
                let node = self.mounted.load_nodes[load];
                let at = self.mounted.model.mesh.nodes[node as usize];
                (node, cases::on_node(&self.bracket.loads[load], at, falls_n[load]))
            })
            .collect()
    }

    /// Movements under the weight alone, and what each fall comes to, N; 0 for other loads.
    ///
    /// The stiffness that a blow meets is that of the part under a steady force of the size found so far, along the blow; a
    /// part on its seats is stiffer one way than the other, so it is done twice, or once from a size found before.
    fn at_rest(&self, before_n: Option<&[f64]>) -> Result<(Vec<Vector6<f64>>, Vec<f64>), ProveError> {
        let falls: Vec<Fall> = self
            .bracket
            .loads
            .iter()
            .enumerate()
            .filter_map(Fall::of)
            .collect();
        let mut falls_n = vec![0.0; self.bracket.loads.len()];
        for fall in &falls {
            falls_n[fall.load] = fall.mass_kg * GRAVITY_MM_S2 / MM_PER_M * BLOW_IN_WEIGHTS;
        }
        let before_n = before_n.filter(|before| before.len() == falls_n.len());
        if let Some(before_n) = before_n {
            falls_n.copy_from_slice(before_n);
        }
        // Tightening moves things too; the blow finds them so.
        let mut loads = vec![self.load(&[], &falls_n), LoadCase::default()];
        loads.extend(falls.iter().map(|fall| self.blow(fall, &falls_n)));
        let mut solutions = self.prepared.solve_all(&loads);
        let blows = solutions.split_off(loads.len() - falls.len());
        let [rest, tightened] = [solutions.remove(0), solutions.remove(0)];
        let rest = rest.map_err(|error| unsolved("its own weight", error))?;
        let tightened = tightened.map(|solution| solution.moves).unwrap_or_default();
        self.fall(&falls, blows, &tightened, &mut falls_n)?;
        if before_n.is_none() {
            let loads: Vec<LoadCase> = falls.iter().map(|fall| self.blow(fall, &falls_n)).collect();
            self.fall(&falls, self.prepared.solve_all(&loads), &tightened, &mut falls_n)?;
        }
        Ok((rest.moves, falls_n))
    }

    /// From what each blow does, what each fall comes to.
    fn fall(
        &self,
        falls: &[Fall],
        blows: Vec<Result<Solution, shell::SolveError>>,
        tightened: &[Vector6<f64>],
        falls_n: &mut [f64],
    ) -> Result<(), ProveError> {
        for (fall, blow) in falls.iter().zip(blows) {
            let blow = blow.map_err(|error| unsolved(&self.bracket.loads[fall.load].name, error))?;
            falls_n[fall.load] = self.fallen_n(fall, &blow, tightened, falls_n[fall.load]);
        }
        Ok(())
    }

    fn blow(&self, fall: &Fall, falls_n: &[f64]) -> LoadCase {
        LoadCase {
            at_nodes: self.at_nodes(&[fall.load], falls_n),
            ..LoadCase::default()
        }
    }

    /// What a fall comes to on a part that gives way so under a blow of `blow_n`, N.
    fn fallen_n(&self, fall: &Fall, blow: &Solution, tightened: &[Vector6<f64>], blow_n: f64) -> f64 {
        let node = self.mounted.load_nodes[fall.load] as usize;
        let before = tightened.get(node).copied().unwrap_or_default();
        let moved = blow.moves[node] - before;
        let moved_mm = moved.fixed_rows::<3>(0).dot(&fall.toward);
        let force_n = blow_n * self.bracket.loads[fall.load].factor;
        if moved_mm > 0.0 && force_n > 0.0 {
            fallen_n(fall.mass_kg, fall.height_mm, force_n / moved_mm).value
        } else {
            blow_n
        }
    }
}

/// A load that falls.
struct Fall {
    load: usize,
    mass_kg: f64,
    height_mm: f64,
    toward: Vector3<f64>,
}

impl Fall {
    fn of((load, said): (usize, &crate::load::Load)) -> Option<Fall> {
        match said.act {
            Act::Drop {
                mass_kg,
                height_mm,
                toward,
            } => Some(Fall {
                load,
                mass_kg,
                height_mm,
                toward: toward.into_inner(),
            }),
            Act::Push { .. } => None,
        }
    }
}

/// A mesh and its solutions, from which buckling and the lowest frequency can be worked out while the next mesh is made.
pub(crate) struct WholeToCome {
    prepared: Prepared<'static>,
    solved: Vec<(Solution, Vec<PanelForces>)>,
}

impl WholeToCome {
    /// Buckling under each case and the lowest frequency. What the iteration does not find is left open.
    pub fn worked_out(&self) -> Whole {
        let rest = self.solved.first().map(|(solution, _)| solution);
        let first_hz = || self.prepared.first_hz(rest?, WHOLE_WITHIN).ok()?;
        let buckles_at = || {
            let factors = self
                .solved
                .par_iter()
                .map(|(solution, forces)| self.prepared.buckles_at(solution, forces, WHOLE_WITHIN));
            factors.map(|factor| factor.ok()?).collect()
        };
        let (buckles_at, first_hz) = rayon::join(buckles_at, first_hz);
        Whole { buckles_at, first_hz }
    }
}
