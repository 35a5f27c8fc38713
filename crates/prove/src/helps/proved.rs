//! What would help a bracket, solved by this room itself.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use rayon::prelude::*;
use sheet::Mockup;
use shell::{Face, PanelForces};

use super::best::{Asked, Effort, Judge, Solved, helps, sort};
use super::change::ExtraPlate;
use super::in_hand::{elements, resultants};
use super::outcome::{Held, HeldCase, Helps};
use super::shelf::Shelf;
use super::strains::{InHand, Patch, Strained};
use super::welds;
use crate::analyse::{Options, Refined, meshed, refined, wanted_still};
use crate::answer::{Answer, Case};
use crate::body;
use crate::bracket::Bracket;
use crate::error::ProveError;
use crate::judge::{Check, What};
use crate::round::{Ask, Round, round};
use crate::told::{told, told_once};

/// Looks for what would help a bracket: solves it once on a mesh of `options.first_unknowns`, ranks the candidates by what
/// that says, and solves the best on meshes of the same size, so that the differences are those of the changes and not of
/// the meshes. Those that pass there are solved again with the mesh refined as `options` ask: only what passes then is told
/// as passing.
///
/// # Errors
/// [`ProveError`] when the bracket as it is cannot be solved; a change that cannot is told among those dropped.
pub fn what_helps(
    bracket: &Bracket<'_>,
    mockup: &Mockup,
    shelf: &Shelf,
    options: &Options,
    effort: Effort,
    judge: &Judge<'_>,
) -> Result<Helps<ProveError>, ProveError> {
    what_helps_while(bracket, mockup, shelf, options, effort, judge, &Arc::default())
}

/// As [`what_helps`], until `stop` is set by whoever no longer wants it: it is looked at between the steps of each solution. The
/// longest step is one factor.
///
/// # Errors
/// [`ProveError::NotWanted`] once it was set; else as [`what_helps`].
pub fn what_helps_while(
    bracket: &Bracket<'_>,
    mockup: &Mockup,
    shelf: &Shelf,
    options: &Options,
    effort: Effort,
    judge: &Judge<'_>,
    stop: &Arc<AtomicBool>,
) -> Result<Helps<ProveError>, ProveError> {
    let (before, falls_n) = solve(bracket, &[], options, None, stop)?;
    let asked = Asked {
        mockup,
        bracket,
        shelf,
        before,
    };
    // A change alters what a fall comes to by little: the blow on the part as it is is a near start for all.
    let mut found = helps(asked, effort, judge, &|bracket, extra| {
        wanted_still(stop)?;
        Ok(solve(bracket, extra, options, Some(&falls_n), stop)?.0)
    });
    wanted_still(stop)?;
    let passing = found.solved.par_iter_mut().filter(|help| help.passes());
    passing.for_each(|help| {
        let extra = &help.changed.extra;
        let changed = heated(&help.changed.bracket(bracket), extra);
        // One that cannot be solved so keeps the answer that it has.
        let solved = wanted_still(stop)
            .and_then(|()| refined(&changed, extra, options, stop))
            .ok();
        help.refined =
            solved.map(|refined| held(&changed, &refined.round, extra, &told_of(&changed, &refined)));
    });
    wanted_still(stop)?;
    sort(&mut found);
    Ok(found)
}

fn told_of(bracket: &Bracket<'_>, refined: &Refined) -> Answer {
    told(bracket, &refined.round, &refined.whole, refined.trust)
}

/// Solves a bracket on one mesh of `options.first_unknowns`, with plates welded on; no error is asked for.
///
/// # Errors
/// [`ProveError`].
pub fn solve_once(
    bracket: &Bracket<'_>,
    extra: &[ExtraPlate],
    options: &Options,
) -> Result<Solved, ProveError> {
    Ok(solve(bracket, extra, options, None, &Arc::default())?.0)
}

fn solve(
    bracket: &Bracket<'_>,
    extra: &[ExtraPlate],
    options: &Options,
    falls_n: Option<&[f64]>,
    stop: &Arc<AtomicBool>,
) -> Result<(Solved, Vec<f64>), ProveError> {
    let ask = Ask {
        extra,
        whole: false,
        falls_n,
        stop: Some(stop),
    };
    let bracket = &heated(bracket, extra);
    let body = meshed(bracket, options)?;
    wanted_still(stop)?;
    let round = round(bracket, body, ask)?;
    wanted_still(stop)?;
    let answer = told_once(bracket, &round);
    let held = held(bracket, &round, extra, &answer);
    let in_hand = in_hand(bracket, &round, &held);
    Ok((Solved { held, in_hand }, round.falls_n))
}

fn held(bracket: &Bracket<'_>, round: &Round, extra: &[ExtraPlate], answer: &Answer) -> Held {
    let cases: Vec<HeldCase> = answer
        .cases
        .iter()
        .enumerate()
        .map(|(index, case)| held_case(bracket, round, extra, &answer.checks, index, case))
        .collect();
    let checked = answer.checks.iter().map(|check| check.used);
    let stressed = cases.iter().map(|case| case.stress_used);
    let welds = cases.iter().filter_map(|case| Some(case.weld?.used));
    Held {
        used: checked.chain(stressed).chain(welds).fold(0.0, f64::max),
        cases,
        welds: welds::known(extra),
    }
}

fn held_case(
    bracket: &Bracket<'_>,
    round: &Round,
    extra: &[ExtraPlate],
    checks: &[Check],
    index: usize,
    case: &Case,
) -> HeldCase {
    let used = |counts: fn(What) -> bool| {
        let of_case = checks
            .iter()
            .filter(|check| check.case == Some(index) && counts(check.what));
        of_case.map(|check| check.used).fold(0.0, f64::max)
    };
    let in_part_mpa = case.peak.map_or(0.0, |peak| peak.mises_mpa);
    let in_extra_mpa = extra_mpa(round, index);
    HeldCase {
        name: case.name.clone(),
        stress_mpa: in_part_mpa.max(in_extra_mpa),
        // What is welded on is narrow, and all of it counts as heated.
        stress_used: used(|what| matches!(what, What::Yield | What::Ultimate)).max(beside_weld_used(
            bracket,
            case,
            in_extra_mpa,
        )),
        moves_mm: case.moves.map_or(0.0, |moves| moves.moves_mm.norm()),
        moves_used: used(|what| matches!(what, What::Moves | What::Turns)),
        bend_rad: case.moves.map_or(0.0, |moves| moves.bend_rad),
        twist_rad: case.moves.map_or(0.0, |moves| moves.twist_rad),
        weld: round.solved.get(index).and_then(|solved| {
            let [_, on_ultimate] = margins(bracket, case);
            let mesh = &round.mounted.model.mesh;
            welds::tightest(extra, &round.welded, mesh, &solved.solution, on_ultimate)
        }),
    }
}

/// How many times a case the plate is to stand: before it yields, before it breaks.
fn margins(bracket: &Bracket<'_>, case: &Case) -> [f64; 2] {
    let margins = bracket.margins;
    if case.sudden {
        [margins.sudden; 2]
    } else {
        [margins.on_yield, margins.on_ultimate]
    }
}

/// A bracket whose metal is as weak beside welds as what is welded on makes it.
fn heated<'a>(bracket: &Bracket<'a>, extra: &[ExtraPlate]) -> Bracket<'a> {
    let mut heated = bracket.clone();
    let added = extra.iter().find_map(|plate| plate.welding?.beside);
    heated.metal.beside_weld = added.or(bracket.metal.beside_weld);
    heated
}

/// A stress beside a weld as a share of what is allowed there.
fn beside_weld_used(bracket: &Bracket<'_>, case: &Case, stress_mpa: f64) -> f64 {
    let [on_yield, on_ultimate] = margins(bracket, case);
    let share =
        |strength_mpa: Option<f64>, margin: f64| strength_mpa.map_or(0.0, |mpa| stress_mpa * margin / mpa);
    let beside = bracket.metal.beside_weld;
    let yields = beside.map(|beside| beside.yield_mpa).or(bracket.metal.yield_mpa);
    let breaks = beside
        .map(|beside| beside.ultimate_mpa)
        .or(bracket.metal.ultimate_mpa);
    share(yields, on_yield).max(share(breaks, on_ultimate))
}

fn at_faces_mpa(forces: &PanelForces) -> [f64; 2] {
    [Face::Upper, Face::Lower].map(|face| forces.stress_at_centre_mpa(face).von_mises())
}

/// Highest stress in the middle of a triangle of what is welded on, MPa: at the welds themselves it depends on the mesh.
fn extra_mpa(round: &Round, case: usize) -> f64 {
    let own = round.body.mesh.triangles.len();
    let forces = round
        .solved
        .get(case)
        .map_or(&[][..], |solved| &solved.forces[own..]);
    forces.iter().flat_map(at_faces_mpa).fold(0.0, f64::max)
}

/// The strains of a solved bracket.
fn in_hand(bracket: &Bracket<'_>, round: &Round, held: &Held) -> InHand {
    let (mesh, blank_at) = (&round.body.mesh, &round.body.blank_at);
    let mut pressed = vec![false; mesh.nodes.len()];
    for &node in &round.mounted.coupled {
        if let Some(pressed) = pressed.get_mut(node as usize) {
            *pressed = true;
        }
    }
    let patch_of = |triangle: usize| {
        let patch = round.body.patches.get(mesh.patches[triangle] as usize)?;
        Some(match patch {
            body::Patch::Panel(panel) => Patch::Panel(*panel),
            body::Patch::Bend(bend) => Patch::Bend(*bend),
        })
    };
    let elements = elements(mesh, blank_at, &patch_of, &|node| !pressed[node as usize]);
    let elastic = super::strains::Elastic::of(bracket);
    let cases = round.solved.iter().zip(&held.cases).map(|(solved, held)| {
        let resultants = resultants(mesh, blank_at, &patch_of, &solved.forces);
        let in_plate: f64 = elements
            .iter()
            .zip(&resultants)
            .map(|(element, held)| elastic.stored_n_mm(held) * element.area_mm2)
            .sum();
        Strained {
            resultants,
            elsewhere_n_mm: (solved.solution.energy_n_mm - in_plate).max(0.0),
            stress_over: held.stress_used,
            moves_over: held.moves_used,
        }
    });
    InHand {
        cases: cases.collect(),
        elements,
    }
}
