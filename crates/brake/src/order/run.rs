//! The exact search. What remains from every set of finished steps is reckoned as if all went well that is not known; then
//! the strokes on orders that come to no more than that are asked about, and it is reckoned again, until an order of them
//! stands: nothing that was never asked about can be better, as it was counted as going well. A set is only ever come to
//! from smaller ones, so that one pass over the sets in order is enough each time.

use super::effort::Effort;
use super::lattice::{Edge, Lattice, NEVER, bits};
use super::plan::{NoOrder, Outcome, Plan, Proof};
use super::search::{Choice, Search};
use super::told;

/// After a first try at the least that is possible, orders that come to this much more are asked about at once, and twice as
/// much each time: fewer tries, for a few more questions.
const FIRST_MORE: u32 = 8;

/// How a set was come to, with a tool in hand and the part lying in a certain way.
#[derive(Debug, Clone, Copy)]
struct From {
    done: u32,
    slot: u32,
    choice: Choice,
}

/// What was come to of a set.
#[derive(Debug, Clone)]
struct Come {
    efforts: Vec<u32>,
    from: Vec<Option<From>>,
}

/// No order leads to the end: what is known, and the sets that are come to.
pub(crate) struct Nowhere {
    lattice: Lattice,
    reached: Vec<bool>,
}

impl Search<'_> {
    /// The whole search.
    pub fn run(&mut self) -> Outcome {
        match self.found() {
            Ok(plan) => Outcome::Plan(plan),
            Err(mut nowhere) => Outcome::None(self.no_order(&mut nowhere.lattice, &nowhere.reached)),
        }
    }

    /// The best order, or how far any comes.
    pub fn found(&mut self) -> Result<Plan, Box<Nowhere>> {
        let all = self.work.all_done();
        if all == 0 {
            return Ok(Plan {
                steps: Vec::new(),
                effort: Effort::default(),
                proof: Proof::default(),
            });
        }
        let mut lattice = Lattice::of(self);
        let mut more = 0;
        loop {
            let least = lattice.reckon();
            let choices = (least != NEVER)
                .then(|| self.pass(&mut lattice, least.saturating_add(more)))
                .flatten();
            if let Some(choices) = choices {
                let proof = self.proof(&lattice);
                return Ok(told::plan(self, &choices, proof));
            }
            if least == NEVER || more == 0 {
                // Whether there is any order at all is asked once, and costs less than to ask which is best.
                let reached = self.reached(&mut lattice);
                if !reached[all as usize] {
                    return Err(Box::new(Nowhere { lattice, reached }));
                }
            }
            more = if more == 0 {
                FIRST_MORE
            } else {
                more.saturating_mul(2)
            };
        }
    }

    fn proof(&self, lattice: &Lattice) -> Proof {
        let edges = lattice.sets.iter().flatten();
        Proof {
            sets: lattice.sets.iter().filter(|edges| !edges.is_empty()).count() as u64,
            choices: edges.map(|edge| u64::from(edge.asked.count_ones())).sum(),
            sweeps: self.clear.sweeps,
            left_out: self.setup.left_out,
        }
    }

    /// The best of the orders that come to no more than this, if any stands.
    fn pass(&mut self, lattice: &mut Lattice, most: u32) -> Option<Vec<(u32, Choice)>> {
        let all = lattice.sets.len() - 1;
        let mut come: Vec<Option<Come>> = vec![None; all + 1];
        for done in 0..all {
            if done > 0 && come[done].is_none() {
                continue;
            }
            let arrive = come[done].as_ref().map(|come| lattice.arrivals(&come.efforts));
            for index in 0..lattice.sets[done].len() {
                let edge = lattice.sets[done][index];
                let before = |slot: usize| arrive.as_ref().map_or((0, 0), |arrive| arrive[slot]);
                let within = |lattice: &Lattice, edge: &Edge, of: u128| {
                    let holds = |variant: &usize| {
                        let (effort, _) = before(lattice.slot(*variant, edge.pose));
                        effort.saturating_add(lattice.effort_on(edge, *variant)) <= most
                    };
                    bits(of)
                        .filter(holds)
                        .fold(0u128, |of, variant| of | 1 << variant)
                };
                let of = within(lattice, &edge, edge.open);
                if of == 0 {
                    continue;
                }
                self.settle(lattice, done as u32, index, of);
                let edge = lattice.sets[done][index];
                let of = within(lattice, &edge, of & edge.open);
                if of == 0 {
                    continue;
                }
                let width = lattice.width();
                let into = come[edge.next as usize].get_or_insert_with(|| Come {
                    efforts: vec![NEVER; width],
                    from: vec![None; width],
                });
                for variant in bits(of) {
                    let slot = lattice.slot(variant, edge.pose);
                    let (effort, from) = before(slot);
                    let effort = effort.saturating_add(lattice.effort(&edge, variant));
                    if effort < into.efforts[slot] {
                        into.efforts[slot] = effort;
                        into.from[slot] = Some(From {
                            done: done as u32,
                            slot: from,
                            choice: Choice {
                                stroke: edge.stroke,
                                round: edge.round,
                                variant,
                                off_the_end: edge.off_the_end >> variant & 1 == 1,
                            },
                        });
                    }
                }
            }
        }
        let last = come[all].as_ref()?;
        let (mut slot, _) = last
            .efforts
            .iter()
            .enumerate()
            .min_by_key(|(_, effort)| **effort)?;
        let (mut at, mut choices) = (all, Vec::new());
        while let Some(from) = come[at].as_ref().and_then(|come| come.from[slot]) {
            choices.push((from.done, from.choice));
            (at, slot) = (from.done as usize, from.slot as usize);
        }
        choices.reverse();
        Some(choices)
    }

    /// Asks about these variants of an edge, if they are not known.
    fn settle(&mut self, lattice: &mut Lattice, done: u32, index: usize, of: u128) {
        let edge = &mut lattice.sets[done as usize][index];
        let of = of & edge.open & !edge.asked;
        if of == 0 {
            return;
        }
        let ways = self.ways(edge.stroke, edge.round, done, of);
        edge.asked |= of;
        edge.open &= !of | ways.free;
        edge.off_the_end |= ways.off_the_end;
    }

    /// Whether a stroke can be made with any tool either way round: the likeliest first, then all.
    fn goes(&mut self, lattice: &mut Lattice, done: u32, stroke: usize) -> bool {
        let own = |lattice: &Lattice| -> Vec<usize> {
            let edges = lattice.sets[done as usize].iter().enumerate();
            edges
                .filter(|(_, edge)| edge.stroke == stroke)
                .map(|(i, _)| i)
                .collect()
        };
        let indices = own(lattice);
        let known = |lattice: &Lattice, index: usize| {
            let edge = &lattice.sets[done as usize][index];
            edge.open & edge.asked != 0
        };
        if indices.iter().any(|&index| known(lattice, index)) {
            return true;
        }
        for all in [false, true] {
            for &index in &indices {
                let edge = lattice.sets[done as usize][index];
                let likeliest = bits(edge.open).min_by_key(|&variant| lattice.effort_on(&edge, variant));
                let Some(likeliest) = likeliest else { continue };
                let of = if all { edge.open } else { 1 << likeliest };
                self.settle(lattice, done, index, of);
                if known(lattice, index) {
                    return true;
                }
            }
        }
        false
    }

    /// The sets that are come to from the start, all of them unless the last is among them.
    fn reached(&mut self, lattice: &mut Lattice) -> Vec<bool> {
        let all = lattice.sets.len() - 1;
        let mut reached = vec![false; all + 1];
        reached[0] = true;
        let mut waiting = vec![0u32];
        while let Some(&done) = waiting.last() {
            if reached[all] {
                break;
            }
            // What leads on for least is followed first.
            let mut on: Vec<(u32, usize, u32)> = lattice.sets[done as usize]
                .iter()
                .filter(|edge| !reached[edge.next as usize] && edge.open != 0)
                .map(|edge| (lattice.least_on(edge), edge.stroke, edge.next))
                .collect();
            on.sort_unstable();
            let next = on
                .into_iter()
                .find(|&(_, stroke, _)| self.goes(lattice, done, stroke));
            match next {
                Some((_, _, next)) => {
                    reached[next as usize] = true;
                    waiting.push(next);
                }
                None => {
                    waiting.pop();
                }
            }
        }
        reached
    }

    fn no_order(&mut self, lattice: &mut Lattice, reached: &[bool]) -> NoOrder {
        let all = reached.len() - 1;
        let strokes = self.setup.strokes.len();
        let mut ends: Vec<u32> = (0..all)
            .filter(|&done| reached[done])
            .filter(|&done| !(0..strokes).any(|stroke| self.goes(lattice, done as u32, stroke)))
            .map(|done| done as u32)
            .collect();
        ends.sort_by_key(|done| (std::cmp::Reverse(done.count_ones()), *done));
        let blocked = told::blocked(self, &ends);
        let proof = Proof {
            sets: reached.iter().filter(|reached| **reached).count() as u64,
            ..self.proof(lattice)
        };
        NoOrder { ends, blocked, proof }
    }
}
