//! From a bracket to its answer: mesh, mount, solve every case, read the results, and mesh again until they can be
//! believed.

use nalgebra::{Vector3, Vector6};
use rayon::prelude::*;
use shell::{LoadCase, PanelForces, Prepared, Recovered, Singular, Solution, Why};

use crate::answer::{Answer, Trust};
use crate::body::{AdaptError, Body, BodyOptions, Judged, Ring, Stopped, Targets, adapted, body};
use crate::bracket::Bracket;
use crate::cases::{self, Acting};
use crate::edge::{EdgeStress, edge_stress};
use crate::error::ProveError;
use crate::estimate::fallen_n;
use crate::helps::{ExtraPlate, mean_edge_mm, weld_on};
use crate::load::{Act, At, GRAVITY_MM_S2};
use crate::mounting::{self, Mounted};
use crate::told::told;

/// How good the numbers are to be, and how much may be spent on them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// Estimated error of movement, as a share.
    pub movement: f64,
    /// Estimated error of the reported stress, as a share.
    pub stress: f64,
    /// About how many unknowns the first mesh has.
    pub first_unknowns: usize,
    /// Most unknowns of a mesh.
    pub unknowns: usize,
    /// Most meshes.
    pub meshes: usize,
    /// Are cases that move too far for the linear answer followed as they move? On a mesh of
    /// some 3,000 unknowns, as it takes many solutions.
    pub follow: bool,
}

/// mm in a m: kg mm/s2 over it are N.
const MM_PER_M: f64 = 1e3;

/// t/mm3 in a kg/m3.
const T_MM3_PER_KG_M3: f64 = 1e-12;

/// Movements under this share of the largest count as this share when their error is asked for.
const HARDLY_MOVES: f64 = 0.1;

/// A movement that no rule shows, mm: its error is no error.
const NOT_SEEN_MM: f64 = 0.1;

/// Unknowns of the mesh on which large movement is followed.
const FOLLOWED_UNKNOWNS: usize = 3_000;

impl Default for Options {
    fn default() -> Self {
        Options {
            movement: 0.03,
            stress: 0.05,
            first_unknowns: 6_000,
            unknowns: 40_000,
            meshes: 4,
            follow: false,
        }
    }
}

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
    pub solved: Vec<Solved>,
    /// Under its own weight and what hangs on it alone.
    pub rest: Recovered,
    pub rest_edges: EdgeStress,
    /// Where the nodes are before anything pushes: tightened, under its own weight.
    pub rest_moves: Vec<Vector6<f64>>,
    pub unknowns: usize,
}

impl Round {
    /// How a node moves from where it is at rest.
    pub fn moved(&self, solved: &Solved, node: u32) -> Vector6<f64> {
        solved.solution.moves[node as usize] - self.rest_moves[node as usize]
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

/// Forces and moments at the nodes where the loads come in.
type AtNodes = Vec<(u32, Vector6<f64>)>;

fn weight(bracket: &Bracket<'_>) -> Vector3<f64> {
    bracket.down.into_inner() * GRAVITY_MM_S2
}

/// Solves every case on one mesh, with plates welded on.
///
/// What hangs on the whole part is worked out as well when there is somewhere to put it.
pub(crate) fn round(
    bracket: &Bracket<'_>,
    body: Body,
    extra: &[ExtraPlate],
    whole: Option<&mut Whole>,
) -> Result<Round, ProveError> {
    if bracket.loads.is_empty() {
        return Err(ProveError::NoLoads);
    }
    let mut mounted = mounting::mount(bracket, &body)?;
    weld_on(&mut mounted.model, extra, &bracket.pose, mean_edge_mm(&body.mesh))?;
    let prepared = shell::prepare(&mounted.model)?;
    let drops_n = drops(bracket, &mounted, &prepared)?;
    let acting = cases::acting(bracket);
    let solve = |name: &str, at_nodes: AtNodes| {
        let case = LoadCase {
            at_nodes,
            gravity_mm_s2: weight(bracket),
            ..LoadCase::default()
        };
        match prepared.solve(&case) {
            Ok(solution) => Ok((case, solution)),
            Err(error) => Err(ProveError::Solve {
                load: name.to_owned(),
                error,
            }),
        }
    };
    let mesh = &mounted.model.mesh;
    let frames = mesh.frames();
    let (_, rest) = solve("its own weight", Vec::new())?;
    let own = body.mesh.triangles.len();
    let rest_moves = rest.moves;
    let rest = recovered(&body, &shell::forces_in(mesh, &frames, &rest_moves)[..own]);
    let elastic_mpa = bracket.metal.elastic_mpa;
    let rest_edges = edge_stress(&body, elastic_mpa, &rest, &rest_moves);
    // Each case by itself, whatever the number of threads; the first that cannot be solved is told.
    let solved: Vec<Result<Solved, ProveError>> = acting
        .into_par_iter()
        .map(|acting| {
            let at_nodes = at_nodes(bracket, &mounted, &acting.loads, &drops_n);
            let (case, solution) = solve(&acting.name, at_nodes)?;
            let forces = shell::forces_in(mesh, &frames, &solution.moves);
            let recovered = recovered(&body, &forces[..own]);
            let edges = edge_stress(&body, elastic_mpa, &recovered, &solution.moves);
            Ok(Solved {
                acting,
                case,
                solution,
                forces,
                recovered,
                edges,
            })
        })
        .collect();
    let solved = solved.into_iter().collect::<Result<Vec<_>, _>>()?;
    let unknowns = prepared.unknowns();
    if let Some(whole) = whole {
        *whole = of_whole(&prepared, &solved);
    }
    drop(prepared);
    Ok(Round {
        body,
        mounted,
        solved,
        rest,
        rest_edges,
        rest_moves,
        unknowns,
    })
}

fn recovered(body: &Body, forces: &[PanelForces]) -> Recovered {
    shell::recover(&body.mesh, forces)
}

/// Buckling under each case and the lowest frequency. What the iteration does not find is left open.
fn of_whole(prepared: &Prepared<'_>, solved: &[Solved]) -> Whole {
    let first = |found: Result<Vec<shell::Buckling>, shell::EigenError>| {
        found.ok()?.first().map(|buckling| buckling.factor)
    };
    let rest = solved.first().map(|solved| &solved.solution);
    Whole {
        buckles_at: solved
            .par_iter()
            .map(|solved| first(prepared.buckling(&solved.solution, 1)))
            .collect(),
        first_hz: rest.and_then(|solution| {
            let modes = prepared.frequencies_seated(solution, 1).ok()?;
            modes.first().map(|mode| mode.hz)
        }),
    }
}

fn at_nodes(bracket: &Bracket<'_>, mounted: &Mounted, loads: &[usize], drops_n: &[f64]) -> AtNodes {
    loads
        .iter()
        .map(|&load| {
            let node = mounted.load_nodes[load];
            let at = mounted.model.mesh.nodes[node as usize];
            (node, cases::on_node(&bracket.loads[load], at, drops_n[load]))
        })
        .collect()
}

/// What each drop comes to, N; 0 for other loads. The stiffness that a blow meets is that of the part under a steady
/// force of the size found so far, along the blow; a part on its seats is stiffer one way than the other, so it is done
/// twice.
fn drops(bracket: &Bracket<'_>, mounted: &Mounted, prepared: &Prepared<'_>) -> Result<Vec<f64>, ProveError> {
    const TIMES: usize = 2;
    let mut drops_n = vec![0.0; bracket.loads.len()];
    if bracket
        .loads
        .iter()
        .all(|load| !matches!(load.act, Act::Drop { .. }))
    {
        return Ok(drops_n);
    }
    // Tightening moves things too; the blow finds them so.
    let tightened = prepared.solve(&LoadCase::default());
    for (index, load) in bracket.loads.iter().enumerate() {
        let Act::Drop {
            mass_kg,
            height_mm,
            toward,
        } = load.act
        else {
            continue;
        };
        // Ten times the weight: the size of many a fall from the height of a table.
        drops_n[index] = 10.0 * mass_kg * GRAVITY_MM_S2 / MM_PER_M;
        for _ in 0..TIMES {
            let case = LoadCase {
                at_nodes: at_nodes(bracket, mounted, &[index], &drops_n),
                ..LoadCase::default()
            };
            let solution = prepared.solve(&case).map_err(|error| ProveError::Solve {
                load: load.name.clone(),
                error,
            })?;
            let node = mounted.load_nodes[index] as usize;
            let before = tightened
                .as_ref()
                .map_or_else(|_| Vector6::zeros(), |solution| solution.moves[node]);
            let moved_mm = (solution.moves[node] - before)
                .fixed_rows::<3>(0)
                .dot(&toward.into_inner());
            let force_n = drops_n[index] * load.factor;
            if moved_mm > 0.0 && force_n > 0.0 {
                drops_n[index] = fallen_n(mass_kg, height_mm, force_n / moved_mm).value;
            }
        }
    }
    Ok(drops_n)
}

/// What the mesh of a bracket is to be like, with a ring about every hole that something presses on.
fn wanted(bracket: &Bracket<'_>, options: &Options) -> BodyOptions {
    let ring = |opening: usize, across_mm: f64| {
        let panel = bracket.part.panel_of_opening(opening)?;
        let centre = bracket.part.openings[opening].shape.middle() + bracket.part.panels[panel].to_blank;
        Some(Ring {
            centre,
            radius_mm: across_mm / 2.0,
        })
    };
    let mut rings: Vec<Ring> = Vec::new();
    for mount in &bracket.mounts {
        rings.extend(ring(mount.opening, mount.shape.face_mm));
        if mount.seat_mm > mount.shape.face_mm {
            rings.extend(ring(mount.opening, mount.seat_mm));
        }
    }
    if let Some(support) = &bracket.support {
        for &opening in &support.openings {
            rings.extend(ring(opening, support.washer_mm));
        }
    }
    BodyOptions {
        elastic_mpa: bracket.metal.elastic_mpa,
        poisson: bracket.metal.poisson,
        density_t_mm3: bracket.metal.density_kg_m3 * T_MM3_PER_KG_M3,
        target_unknowns: options.first_unknowns,
        most_unknowns: options.unknowns,
        rings,
        ..BodyOptions::default()
    }
}

/// A mesh in equipment axes.
fn posed(bracket: &Bracket<'_>, mut body: Body) -> Body {
    for node in &mut body.mesh.nodes {
        *node = bracket.pose * *node;
    }
    body
}

/// The first mesh of a bracket, in equipment axes.
pub(crate) fn meshed(bracket: &Bracket<'_>, options: &Options) -> Result<Body, ProveError> {
    Ok(posed(bracket, body(bracket.part, &wanted(bracket, options))?))
}

/// Proves a bracket: meshes it, solves every case, and refines until the numbers are as near as asked or the budget is
/// used up, which is said in [`Answer::trust`].
///
/// # Errors
/// [`ProveError`]: what keeps it from an answer.
pub fn analyse(bracket: &Bracket<'_>, options: &Options) -> Result<Answer, ProveError> {
    let targets = Targets {
        moves: options.movement,
        stress: options.stress,
        singular_radius_mm: bracket.part.thickness_mm,
        most_turns: options.meshes,
    };
    let mut whole: Option<Whole> = None;
    let made = wanted(bracket, options);
    let adapted = adapted(bracket.part, &made, targets, |body| {
        let mut first = Whole::default();
        let ask = whole.is_none().then_some(&mut first);
        let round = round(bracket, posed(bracket, body.clone()), &[], ask)?;
        whole.get_or_insert(first);
        Ok(judged(bracket, round))
    });
    let adapted = adapted.map_err(|error: AdaptError<ProveError>| match error {
        AdaptError::Body(error) => ProveError::Body(error),
        AdaptError::Work(error) => error,
    })?;
    let last = adapted.turns.last();
    let trust = Trust {
        unknowns: adapted.answer.unknowns,
        meshes: adapted.turns.len(),
        movement: last.map_or(f64::INFINITY, |turn| turn.moves),
        stress: last.map_or(f64::INFINITY, |turn| turn.stress),
        reached: adapted.stopped == Stopped::Met,
    };
    let mut answer = told(bracket, &adapted.answer, &whole.unwrap_or_default(), trust);
    if options.follow {
        follow(bracket, options, &mut answer)?;
    }
    Ok(answer)
}

/// Follows the cases that move too far, and puts what they come to beside the linear answer.
fn follow(bracket: &Bracket<'_>, options: &Options, answer: &mut Answer) -> Result<(), ProveError> {
    if answer.cases.iter().all(|case| case.large.is_none()) {
        return Ok(());
    }
    let coarse = Options {
        first_unknowns: FOLLOWED_UNKNOWNS,
        ..*options
    };
    let round = round(bracket, meshed(bracket, &coarse)?, &[], None)?;
    for (case, solved) in answer.cases.iter_mut().zip(&round.solved) {
        let (Some(large), Some(&load)) = (&mut case.large, solved.acting.loads.first()) else {
            continue;
        };
        let node = round.mounted.load_nodes[load] as usize;
        let followed = shell::large(&round.mounted.model, &solved.case, shell::LargeOptions::default());
        large.moves_mm = followed
            .ok()
            .filter(|followed| followed.stopped.is_none())
            .map(|followed| followed.moves[node].fixed_rows::<3>(0).norm());
    }
    Ok(())
}

/// A round with its errors.
fn judged(bracket: &Bracket<'_>, round: Round) -> Judged<Round> {
    let mesh = &round.body.mesh;
    let own = mesh.triangles.len();
    let errors = round
        .solved
        .iter()
        .map(|solved| shell::estimate(mesh, &solved.forces[..own], &solved.recovered))
        .collect();
    let mut moves_mm: Vec<f64> = round
        .solved
        .iter()
        .flat_map(|solved| {
            // Where a load is set down on the bare plate, what it moves there hangs on how it is spread, not on the mesh.
            let loads = solved.acting.loads.iter();
            let loads = loads.filter(|&&load| !matches!(bracket.loads[load].at, At::Plate(_)));
            let nodes = loads.map(|&load| round.mounted.load_nodes[load]);
            nodes.map(|node| round.moved(solved, node).fixed_rows::<3>(0).norm())
        })
        .collect();
    // A load that hardly moves the part is not asked for its hundredths: nobody will read them.
    let least_mm = NOT_SEEN_MM.max(HARDLY_MOVES * moves_mm.iter().copied().fold(0.0, f64::max));
    moves_mm.iter_mut().for_each(|moved| *moved = moved.max(least_mm));
    let mut singular = shell::re_entrant_corners(mesh);
    singular.push(Singular {
        nodes: round.mounted.coupled.clone(),
        why: Why::Coupled,
    });
    debug_assert_eq!(
        round.solved.len(),
        cases::acting(bracket).len(),
        "every case is solved"
    );
    Judged {
        errors,
        moves_mm,
        singular,
        answer: round,
    }
}
