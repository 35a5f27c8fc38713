//! Parts that move too far for the linear answer, followed as they move.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use nalgebra::{Rotation3, Vector3, Vector6};
use rayon::prelude::*;
use shell::PanelForces;

use crate::analyse::{Options, meshed, wanted_still};
use crate::answer::{Answer, Followed};
use crate::bracket::Bracket;
use crate::error::ProveError;
use crate::judge;
use crate::reading::Reader;
use crate::round::{Ask, Solved, round};

/// Unknowns of the mesh on which large movement is followed: each step takes several solutions.
const UNKNOWNS: usize = 3_000;

/// Follows the cases that move too far, puts what they come to beside the linear answer, and holds the limits against it.
/// The answer stands when that mesh cannot be solved: then nothing is followed.
///
/// A coarse mesh gives a little less than a fine one. What is told is therefore the share that following takes off, or
/// adds to, the linear movement of the same mesh, put to the linear movement of the fine one; and so for turn and stress.
///
/// # Errors
/// [`ProveError::NotWanted`] once `stop` was set; the answer is then of no use.
pub(crate) fn follow(
    bracket: &Bracket<'_>,
    options: &Options,
    answer: &mut Answer,
    stop: &Arc<AtomicBool>,
) -> Result<(), ProveError> {
    if answer.cases.iter().all(|case| case.large.is_none()) {
        return Ok(());
    }
    let coarse = Options {
        first_unknowns: UNKNOWNS,
        ..*options
    };
    let ask = Ask {
        stop: Some(stop),
        ..Ask::default()
    };
    let round = meshed(bracket, &coarse).and_then(|body| round(bracket, body, ask));
    wanted_still(stop)?;
    let Ok(round) = round else { return Ok(()) };
    let reader = Reader::new(bracket, &round);
    // Each case by itself, whatever the number of threads.
    answer
        .cases
        .par_iter_mut()
        .zip(&round.solved)
        .for_each(|(case, solved)| {
            let turns_rad = case.moves.as_ref().map_or(0.0, |moves| moves.turns_rad.norm());
            if let Some(large) = &mut case.large {
                large.followed = Some(followed(&reader, solved, [large.linear_mm, turns_rad], stop));
            }
        });
    wanted_still(stop)?;
    answer.checks = judge::checks(bracket, &answer.cases, &answer.lasts, answer.first_hz);
    answer.missing = judge::missing(bracket, &answer.cases, &answer.trust);
    Ok(())
}

fn followed(
    reader: &Reader<'_>,
    solved: &Solved,
    [linear_mm, linear_rad]: [f64; 2],
    stop: &Arc<AtomicBool>,
) -> Followed {
    let round = reader.round;
    let options = shell::LargeOptions::default();
    let large = shell::large_while(&round.mounted.model, &solved.case, options, stop);
    let (Ok(large), Some(node)) = (large, round.watched(solved)) else {
        return Followed::Lost { at: 0.0 };
    };
    match large.stopped {
        None => {
            // From where it is at rest, as the linear answer is told.
            let (now, rest) = (large.moves[node as usize], round.rest_moves[node as usize]);
            let moves_mm = (now - rest).fixed_rows::<3>(0).norm();
            let turned = |moved: &Vector6<f64>| Rotation3::new(Vector3::from(moved.fixed_rows::<3>(3)));
            let turns_rad = (turned(&now) * turned(&rest).inverse()).angle();
            let coarse = round.moved(solved, node);
            Followed::Moves {
                moves_mm: linear_mm * share(moves_mm, coarse.fixed_rows::<3>(0).norm()).unwrap_or(1.0),
                turns_rad: linear_rad * share(turns_rad, coarse.fixed_rows::<3>(3).norm()).unwrap_or(1.0),
                stress: stress(reader, solved, &large.forces),
            }
        }
        Some(shell::Stopped::GivesWay) => Followed::GivesWay { at: large.reached },
        Some(shell::Stopped::StepsTooSmall | shell::Stopped::MostSteps) => {
            Followed::Lost { at: large.reached }
        }
    }
}

fn share(followed: f64, linear: f64) -> Option<f64> {
    (linear > 0.0).then(|| followed / linear)
}

/// The highest stress as it is followed over that of the linear answer, both read from the elements by the same rule. The
/// stretch of free edges is left out of both: it is had from small movements.
fn stress(reader: &Reader<'_>, solved: &Solved, forces: &[PanelForces]) -> Option<f64> {
    let mesh = &reader.body.mesh;
    let own = mesh.triangles.len();
    let no_edges = vec![None; solved.edges.len()];
    let recovered = shell::recover(mesh, &forces[..own]);
    let followed = reader.peak_of(&recovered, &no_edges)?;
    let linear = reader.peak_of(&solved.recovered, &no_edges)?;
    share(followed.mises_mpa, linear.mises_mpa)
}
