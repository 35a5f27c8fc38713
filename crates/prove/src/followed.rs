//! Parts that move too far for the linear answer, followed as they move.

use rayon::prelude::*;

use crate::analyse::{Options, meshed};
use crate::answer::{Answer, Followed};
use crate::bracket::Bracket;
use crate::round::{Ask, Round, Solved, round};

/// Unknowns of the mesh on which large movement is followed: each step takes several solutions.
const UNKNOWNS: usize = 3_000;

/// Follows the cases that move too far, and puts what they come to beside the linear answer. The answer stands when that
/// mesh cannot be solved: then nothing is followed.
///
/// A coarse mesh gives a little less than a fine one. What is told is therefore the share that following takes off, or
/// adds to, the linear movement of the same mesh, put to the linear movement of the fine one.
pub(crate) fn follow(bracket: &Bracket<'_>, options: &Options, answer: &mut Answer) {
    if answer.cases.iter().all(|case| case.large.is_none()) {
        return;
    }
    let coarse = Options {
        first_unknowns: UNKNOWNS,
        ..*options
    };
    let Ok(round) = meshed(bracket, &coarse).and_then(|body| round(bracket, body, Ask::default())) else {
        return;
    };
    // Each case by itself, whatever the number of threads.
    answer
        .cases
        .par_iter_mut()
        .zip(&round.solved)
        .for_each(|(case, solved)| {
            if let Some(large) = &mut case.large {
                large.followed = Some(followed(&round, solved, large.linear_mm));
            }
        });
}

fn followed(round: &Round, solved: &Solved, linear_mm: f64) -> Followed {
    let large = shell::large(&round.mounted.model, &solved.case, shell::LargeOptions::default());
    let (Ok(large), Some(node)) = (large, round.watched(solved)) else {
        return Followed::Lost { at: 0.0 };
    };
    match large.stopped {
        None => {
            // From where it is at rest, as the linear answer is told.
            let moved = large.moves[node as usize] - round.rest_moves[node as usize];
            let moves_mm = moved.fixed_rows::<3>(0).norm();
            let coarse_mm = round.watched_mm(solved);
            let share = if coarse_mm > 0.0 {
                moves_mm / coarse_mm
            } else {
                1.0
            };
            Followed::Moves {
                moves_mm: share * linear_mm,
            }
        }
        Some(shell::Stopped::GivesWay) => Followed::GivesWay { at: large.reached },
        Some(shell::Stopped::StepsTooSmall | shell::Stopped::MostSteps) => {
            Followed::Lost { at: large.reached }
        }
    }
}
