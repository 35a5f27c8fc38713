//! From a bracket to its answer: mesh, mount, solve every case, read the results, and mesh again until they can be
//! believed.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};

use rayon::prelude::*;
use shell::{Singular, Why};

use crate::answer::{Answer, Trust};
use crate::body::{AdaptError, Body, BodyOptions, Judged, Ring, Stopped, Targets, adapted, body};
use crate::bracket::Bracket;
use crate::cases;
use crate::error::ProveError;
use crate::followed::follow;
use crate::helps::ExtraPlate;
use crate::load::At;
use crate::round::{Ask, Round, Whole, round};
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
    /// Are cases that move too far for the linear answer followed as they move? On a coarse mesh, as it takes many
    /// solutions.
    pub follow: bool,
}

/// t/mm3 in a kg/m3.
const T_MM3_PER_KG_M3: f64 = 1e-12;

/// Movements under this share of the largest count as this share when their error is asked for.
const HARDLY_MOVES: f64 = 0.1;

/// A movement that no rule shows, mm: its error is no error.
const NOT_SEEN_MM: f64 = 0.1;

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
    analyse_while(bracket, options, &Arc::default())
}

/// As [`analyse`], until `stop` is set by whoever no longer wants it: it is looked at between the meshes, between the steps
/// of each, between the vectors of a search for buckling, and before every round of what is followed as it moves. The longest
/// step is one factor.
///
/// # Errors
/// [`ProveError::NotWanted`] once it was set; else as [`analyse`].
pub fn analyse_while(
    bracket: &Bracket<'_>,
    options: &Options,
    stop: &Arc<AtomicBool>,
) -> Result<Answer, ProveError> {
    let refined = refined(bracket, &[], options, stop)?;
    wanted_still(stop)?;
    let mut answer = told(bracket, &refined.round, &refined.whole, refined.trust);
    if options.follow {
        wanted_still(stop)?;
        follow(bracket, options, &mut answer, stop)?;
    }
    Ok(answer)
}

/// To be passed on between steps.
pub(crate) fn wanted_still(stop: &AtomicBool) -> Result<(), ProveError> {
    if stop.load(Ordering::Relaxed) {
        Err(ProveError::NotWanted)
    } else {
        Ok(())
    }
}

/// The last of the meshes that a bracket was solved on, and what it may be trusted for.
pub(crate) struct Refined {
    pub round: Round,
    pub whole: Whole,
    pub trust: Trust,
}

/// Meshes a bracket with plates welded on, solves every case, and refines.
pub(crate) fn refined(
    bracket: &Bracket<'_>,
    extra: &[ExtraPlate],
    options: &Options,
    stop: &Arc<AtomicBool>,
) -> Result<Refined, ProveError> {
    let targets = Targets {
        moves: options.movement,
        stress: options.stress,
        singular_radius_mm: bracket.part.thickness_mm,
        most_turns: options.meshes,
    };
    let whole: OnceLock<Whole> = OnceLock::new();
    let mut falls_n: Option<Vec<f64>> = None;
    let made = wanted(bracket, options);
    // What hangs on the whole part is worked out on the first mesh while the next is made and solved.
    let adapted = rayon::scope(|beside| {
        adapted(bracket.part, &made, targets, |body| {
            wanted_still(stop)?;
            let is_first = falls_n.is_none();
            let ask = Ask {
                extra,
                whole: is_first,
                falls_n: falls_n.as_deref(),
                stop: Some(stop),
            };
            let mut round = round(bracket, posed(bracket, body.clone()), ask)?;
            falls_n = Some(round.falls_n.clone());
            if let Some(to_come) = round.whole.take() {
                let whole = &whole;
                beside.spawn(move |_| {
                    whole.get_or_init(|| to_come.worked_out());
                });
            }
            wanted_still(stop)?;
            Ok(judged(bracket, round))
        })
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
    Ok(Refined {
        round: adapted.answer,
        whole: whole.into_inner().unwrap_or_default(),
        trust,
    })
}

/// A round with its errors.
fn judged(bracket: &Bracket<'_>, round: Round) -> Judged<Round> {
    let mesh = &round.body.mesh;
    let own = mesh.triangles.len();
    let (errors, added) = round
        .solved
        .par_iter()
        .map(|solved| {
            let error = shell::estimate(mesh, &solved.forces[..own], &solved.recovered);
            let (forces, recovered) = round.added(solved);
            (error, shell::estimate(mesh, &forces, &recovered).share())
        })
        .unzip();
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
    let mut singular = round.body.sharp_corners();
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
        added,
        moves_mm,
        singular,
        answer: round,
    }
}
