//! The same questions asked one at a time, with nothing kept: for checking the search, and for a single step.

use std::collections::BTreeMap;

use super::clear::{motion_of, self_motion};
use super::effort::Weights;
use super::moves::{Round, Stroke};
use super::plan::{Plan, What};
use super::search::Search;
use super::setup::Setup;
use crate::needs::Practice;
use crate::sweep::{Mover, Station, TOUCH_MM, gap_at};
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
        search.can_be_made(stroke, done)
    }

    /// The least effort that makes all steps, found the plain way: from every set of finished steps that is come to, every
    /// stroke with every tool is asked about, and nothing is left out for being dear.
    pub fn least_effort(&self, weights: &Weights) -> Option<u32> {
        let mut search = Search::of(self.work, self.tooling, self.practice, weights, &self.setup).ok()?;
        let all = self.work.all_done();
        // For each set, the least with each tool in hand and way of lying.
        let mut come: BTreeMap<u32, BTreeMap<(usize, usize), u32>> = BTreeMap::new();
        come.insert(0, BTreeMap::new());
        while let Some((done, nodes)) = come.pop_first() {
            if done == all {
                return nodes.into_values().min().or(Some(0));
            }
            for stroke in 0..self.setup.strokes.len() {
                let made = &self.setup.strokes[stroke];
                if !made.next_to(done) {
                    continue;
                }
                for round in Round::BOTH {
                    let ways = search.ways(stroke, round, done, u128::MAX);
                    let ahead = search.reach(stroke, round, Mover::Ahead, done);
                    let (lie, own) = (
                        search.pose(stroke, round),
                        search.own_effort(stroke, round, done).total(),
                    );
                    for variant in
                        (0..self.setup.variants.len()).filter(|variant| ways.free >> variant & 1 == 1)
                    {
                        let off_the_end = ways.off_the_end >> variant & 1 == 1;
                        let gauge = search.gauge_effort(search.bears(stroke, variant, &ahead));
                        let own = own + gauge + search.tool_effort(stroke, variant, off_the_end).total();
                        let before = nodes.iter().map(|((tool, lay), effort)| {
                            let change = search.change_effort(*tool, variant).total();
                            effort + change + search.turn_effort(*lay, lie).total()
                        });
                        let first = || search.first_effort(variant).total();
                        let effort = own + before.min().unwrap_or_else(first);
                        let known = come.entry(done | made.bits).or_default();
                        let least = known.entry((variant, lie)).or_insert(effort);
                        *least = effort.min(*least);
                    }
                }
            }
        }
        None
    }

    /// Every set of steps that one stroke makes.
    pub fn strokes(&self) -> Vec<u32> {
        self.setup.strokes.iter().map(|stroke| stroke.bits).collect()
    }
}

/// What is wrong with a step of a plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StepFault {
    /// No stroke of the work makes what it says is made.
    NoStroke {
        /// Index into [`Plan::steps`].
        step: usize,
    },
    /// Two solids are in each other deeper than they may touch.
    Meets {
        /// Index into [`Plan::steps`].
        step: usize,
        /// The part's solid.
        part: Solid,
        /// What it meets.
        with: What,
        /// The angle, rad.
        at_rad: f64,
    },
}

/// The first fault of a plan's steps, looked at every so often from the angle they start at to that under load. None is as
/// it must be.
pub fn steps_meet(work: &Work, tooling: &Tooling, plan: &Plan, every_rad: f64) -> Option<StepFault> {
    let strokes = super::moves::strokes(work);
    for (index, step) in plan.steps.iter().enumerate() {
        let own = |stroke: &&Stroke| stroke.bits == step.after & !step.before && stroke.next_to(step.before);
        let Some(stroke) = strokes.iter().find(own) else {
            return Some(StepFault::NoStroke { step: index });
        };
        let variant = super::variants::Variant::of(
            tooling,
            Station::of(tooling, step.means, step.tool_mm),
            work.thickness_mm,
        );
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
                    let meets = |with: What| StepFault::Meets {
                        step: index,
                        part: solid,
                        with,
                        at_rad: at,
                    };
                    if let Some(tool) = met {
                        return Some(meets(What::Tool(tool.solid)));
                    }
                    if mover != Mover::Ahead {
                        continue;
                    }
                    for other in 0..work.bodies.len() {
                        let across = stroke.hangs[other]
                            .as_ref()
                            .is_some_and(|other| Stroke::mover(other, step.round) == Mover::Behind);
                        let both = across
                            && stroke
                                .pieces(work, other, step.round, step.before)
                                .iter()
                                .any(|other| {
                                    gap_at(&alone, (&piece, mover), (other, Mover::Behind), at) < -TOUCH_MM
                                });
                        if both {
                            return Some(meets(What::Part(work.bodies[other].solid)));
                        }
                    }
                }
            }
        }
    }
    None
}
