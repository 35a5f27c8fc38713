//! The same questions asked one at a time, with nothing kept: for checking the search, and for a single step.

use super::clear::{motion_of, self_motion};
use super::effort::Weights;
use super::moves::{Round, Stroke};
use super::plan::{Plan, What};
use super::search::Search;
use super::setup::Setup;
use crate::needs::Practice;
use crate::sweep::{Mover, TOUCH_MM, gap_at};
use crate::tooling::Tooling;
use crate::work::{Solid, Work};

/// A part and tools of which single steps are asked, each answer found anew.
pub struct Afresh<'a> {
    work: &'a Work,
    tooling: &'a Tooling,
    practice: &'a Practice,
    setup: Setup,
}

impl<'a> Afresh<'a> {
    /// Of these.
    pub fn of(work: &'a Work, tooling: &'a Tooling, practice: &'a Practice) -> Self {
        let setup = Setup::of(work, tooling, practice);
        Afresh {
            work,
            tooling,
            practice,
            setup,
        }
    }

    /// Whether these steps can be made in one stroke with any tool either way round, when those others are done. Steps are
    /// bits of [`Work::stages`].
    pub fn is_possible(&self, steps: u32, done: u32) -> bool {
        let weights = Weights::default();
        let Ok(mut search) = Search::of(self.work, self.tooling, self.practice, &weights, &self.setup) else {
            return false;
        };
        let own = |stroke: &Stroke| stroke.bits == steps && stroke.next_to(done);
        let Some(stroke) = self.setup.strokes.iter().position(own) else {
            return false;
        };
        Round::BOTH
            .into_iter()
            .any(|round| !search.choices(stroke, round, done).is_empty())
    }

    /// Every set of steps that one stroke makes.
    pub fn strokes(&self) -> Vec<u32> {
        self.setup.strokes.iter().map(|stroke| stroke.bits).collect()
    }
}

/// Where a plan's steps, looked at every so often from the angle they start at to that under load, meet deeper than they
/// may touch: the step, the two solids and the angle. None is as it must be.
pub fn steps_meet(
    work: &Work,
    tooling: &Tooling,
    plan: &Plan,
    every_rad: f64,
) -> Option<(usize, Solid, What, f64)> {
    let strokes = super::moves::strokes(work);
    for (index, step) in plan.steps.iter().enumerate() {
        let stroke = strokes
            .iter()
            .find(|stroke| stroke.bits == step.after & !step.before)?;
        let variant = super::clear::Variant::of(tooling, step.means, step.tool_mm, work.thickness_mm)?;
        let motion = motion_of(work, stroke, &variant.station, step.loaded_rad);
        let alone = self_motion(work, stroke);
        let count = ((step.loaded_rad - step.from_rad) / every_rad).ceil().max(1.0) as usize;
        for body in 0..work.bodies.len() {
            let Some(hangs) = &stroke.hangs[body] else {
                continue;
            };
            let (mover, flat) = (
                Stroke::mover(hangs, step.round),
                Stroke::lies_flat(work, hangs, step.before),
            );
            let solid = work.bodies[body].solid;
            for piece in stroke.pieces(work, body, step.round, step.before) {
                for at in (0..=count)
                    .map(|i| step.from_rad + (step.loaded_rad - step.from_rad) * i as f64 / count as f64)
                {
                    let met = variant.pieces.iter().find(|tool| {
                        !(step.closing || flat && tool.holds.flat(mover))
                            && gap_at(&motion, (&piece, mover), (&tool.prism, tool.mover), at) < -TOUCH_MM
                    });
                    if let Some(tool) = met {
                        return Some((index, solid, What::Tool(tool.solid), at));
                    }
                    if mover != Mover::Ahead {
                        continue;
                    }
                    for other in 0..work.bodies.len() {
                        let across = stroke.hangs[other]
                            .as_ref()
                            .is_some_and(|other| Stroke::mover(other, step.round) == Mover::Behind);
                        let meets = across
                            && stroke
                                .pieces(work, other, step.round, step.before)
                                .iter()
                                .any(|other| {
                                    gap_at(&alone, (&piece, mover), (other, Mover::Behind), at) < -TOUCH_MM
                                });
                        if meets {
                            return Some((index, solid, What::Part(work.bodies[other].solid), at));
                        }
                    }
                }
            }
        }
    }
    None
}
