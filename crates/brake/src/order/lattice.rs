//! Every stroke from every set of finished steps, with what is known of it so far, and the least effort that remains from
//! each set if all that is not known goes well.

use super::held::Edge as Bears;
use super::moves::Round;
use super::search::Search;
use crate::sweep::Mover;

/// What no way leads to.
pub(super) const NEVER: u32 = u32::MAX;

/// A stroke, one way round, from a set of finished steps.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    pub stroke: usize,
    pub round: Round,
    /// How the part lies for it.
    pub pose: usize,
    /// Nothing is done before it.
    first: bool,
    /// The steps done after it.
    pub next: u32,
    /// What it costs with any tool, but for the gauge.
    pub own: u32,
    /// What the gauge costs where it can stand, and where it cannot.
    gauge: [u32; 2],
    /// The variants whose gauge cannot stand.
    marked: u128,
    /// The variants it is not known to be impossible with.
    pub open: u128,
    /// The variants that were asked about.
    pub asked: u128,
    /// Those with which the part comes on or off along the bend only.
    pub off_the_end: u128,
}

/// The sets, by their bits, with their edges in the order of strokes; empty for a set that is never come to.
pub(super) struct Lattice {
    pub sets: Vec<Vec<Edge>>,
    /// For each set, and each tool in hand and way of lying, the least effort that remains.
    least: Vec<Vec<u32>>,
    /// What each stroke costs with each variant in itself.
    pub tool: Vec<Vec<u32>>,
    /// What it costs to begin with each variant.
    first: Vec<u32>,
    change: Vec<Vec<u32>>,
    turn: Vec<Vec<u32>>,
    off_the_end: u32,
}

impl Lattice {
    /// Nothing moved yet: every stroke that tools and legs allow.
    pub fn of(search: &mut Search<'_>) -> Lattice {
        let all = search.work.all_done();
        let (variants, lies) = (search.setup.variants.len(), search.setup.lies.len());
        let mut sets: Vec<Vec<Edge>> = vec![Vec::new(); all as usize + 1];
        let mut comes = vec![false; all as usize + 1];
        comes[0] = true;
        for done in 0..all {
            if !comes[done as usize] {
                continue;
            }
            for stroke in 0..search.setup.strokes.len() {
                if !search.setup.strokes[stroke].next_to(done) {
                    continue;
                }
                let next = done | search.setup.strokes[stroke].bits;
                for round in Round::BOTH {
                    let open = search.held(stroke, round, done);
                    if open == 0 {
                        continue;
                    }
                    comes[next as usize] = true;
                    let ahead = search.reach(stroke, round, Mover::Ahead, done);
                    let marked = bits(open)
                        .filter(|&variant| search.bears(stroke, variant, &ahead) != ahead.edge)
                        .fold(0u128, |of, variant| of | 1 << variant);
                    sets[done as usize].push(Edge {
                        stroke,
                        round,
                        pose: search.pose(stroke, round),
                        first: done == 0,
                        next,
                        own: search.own_effort(stroke, round, done).total(),
                        gauge: [ahead.edge, Bears::Mark].map(|edge| search.gauge_effort(edge)),
                        marked,
                        open,
                        asked: 0,
                        off_the_end: 0,
                    });
                }
            }
        }
        let search = &*search;
        let table = |rows: usize, row: &dyn Fn(usize) -> Vec<u32>| (0..rows).map(row).collect::<Vec<_>>();
        let tool = table(search.setup.strokes.len(), &|stroke| {
            let with = |variant| search.tool_effort(stroke, variant, false).total();
            (0..variants).map(with).collect()
        });
        let change = table(variants, &|from| {
            (0..variants)
                .map(|to| search.change_effort(from, to).total())
                .collect()
        });
        let turn = table(lies, &|from| {
            (0..lies).map(|to| search.turn_effort(from, to).total()).collect()
        });
        Lattice {
            least: vec![Vec::new(); all as usize + 1],
            sets,
            tool,
            first: (0..variants)
                .map(|variant| search.first_effort(variant).total())
                .collect(),
            change,
            turn,
            off_the_end: search.weights.off_the_end,
        }
    }

    fn variants(&self) -> usize {
        self.change.len()
    }

    pub fn lies(&self) -> usize {
        self.turn.len()
    }

    /// A variant in hand and a way of lying, as one number.
    pub fn slot(&self, variant: usize, lie: usize) -> usize {
        variant * self.lies() + lie
    }

    /// How many slots there are.
    pub fn width(&self) -> usize {
        self.variants() * self.lies()
    }

    /// What an edge costs with a variant, as far as is known.
    pub fn effort(&self, edge: &Edge, variant: usize) -> u32 {
        let off_the_end = u32::from(edge.off_the_end >> variant & 1 == 1) * self.off_the_end;
        let gauge = edge.gauge[usize::from(edge.marked >> variant & 1 == 1)];
        let first = if edge.first { self.first[variant] } else { 0 };
        edge.own
            .saturating_add(first)
            .saturating_add(gauge)
            .saturating_add(self.tool[edge.stroke][variant])
            .saturating_add(off_the_end)
    }

    /// What an edge costs with a variant and all that comes after it, at the least.
    pub fn effort_on(&self, edge: &Edge, variant: usize) -> u32 {
        let rest = match self.least[edge.next as usize].get(self.slot(variant, edge.pose)) {
            Some(rest) => *rest,
            None => NEVER,
        };
        rest.saturating_add(self.effort(edge, variant))
    }

    /// The least that any variant makes of an edge and what comes after.
    pub fn least_on(&self, edge: &Edge) -> u32 {
        let with = bits(edge.open).map(|variant| self.effort_on(edge, variant));
        with.min().unwrap_or(NEVER)
    }

    /// Reckons what remains from every set, from the last to the first; and what all of it comes to.
    pub fn reckon(&mut self) -> u32 {
        let width = self.width();
        let all = self.sets.len() - 1;
        self.least[all] = vec![0; width];
        for done in (0..all).rev() {
            if self.sets[done].is_empty() {
                continue;
            }
            let mut on = vec![NEVER; width];
            for edge in &self.sets[done] {
                if self.least[edge.next as usize].is_empty() {
                    continue;
                }
                for variant in bits(edge.open) {
                    let slot = self.slot(variant, edge.pose);
                    on[slot] = on[slot].min(self.effort_on(edge, variant));
                }
            }
            self.least[done] = if done == 0 || on.iter().all(|effort| *effort == NEVER) {
                // At the start, what is wanted first is put up first.
                on
            } else {
                self.before(&on)
            };
        }
        self.least[0].iter().copied().min().unwrap_or(NEVER)
    }

    /// For every tool in hand and way of lying, the least that remains, when so much does with what comes next.
    fn before(&self, on: &[u32]) -> Vec<u32> {
        let (variants, lies) = (self.variants(), self.lies());
        let mut turned = vec![NEVER; variants * lies];
        let mut any: Vec<usize> = Vec::with_capacity(variants);
        for variant in 0..variants {
            let own = &on[variant * lies..(variant + 1) * lies];
            if own.iter().all(|effort| *effort == NEVER) {
                continue;
            }
            any.push(variant);
            for from in 0..lies {
                let with = own
                    .iter()
                    .zip(&self.turn[from])
                    .map(|(effort, turn)| effort.saturating_add(*turn));
                turned[variant * lies + from] = with.min().unwrap_or(NEVER);
            }
        }
        let mut least = vec![NEVER; variants * lies];
        for from in 0..variants {
            for &to in &any {
                let change = self.change[from][to];
                for lie in 0..lies {
                    let effort = turned[to * lies + lie].saturating_add(change);
                    let slot = from * lies + lie;
                    least[slot] = least[slot].min(effort);
                }
            }
        }
        least
    }

    /// For every tool and way of lying, the least effort to have it so when these nodes were come to, and from which slot.
    pub fn arrivals(&self, efforts: &[u32]) -> Vec<(u32, u32)> {
        let (variants, lies) = (self.variants(), self.lies());
        let mut turned = vec![(NEVER, 0); variants * lies];
        let mut any: Vec<usize> = Vec::with_capacity(variants);
        for variant in 0..variants {
            let own = &efforts[variant * lies..(variant + 1) * lies];
            if own.iter().all(|effort| *effort == NEVER) {
                continue;
            }
            any.push(variant);
            for to in 0..lies {
                for (from, effort) in own.iter().enumerate() {
                    let effort = effort.saturating_add(self.turn[from][to]);
                    let slot = variant * lies + to;
                    if effort < turned[slot].0 {
                        turned[slot] = (effort, self.slot(variant, from) as u32);
                    }
                }
            }
        }
        let mut arrive = vec![(NEVER, 0); variants * lies];
        for to in 0..variants {
            for &from in &any {
                let change = self.change[from][to];
                for lie in 0..lies {
                    let (effort, slot) = turned[from * lies + lie];
                    let effort = effort.saturating_add(change);
                    if effort < arrive[to * lies + lie].0 {
                        arrive[to * lies + lie] = (effort, slot);
                    }
                }
            }
        }
        arrive
    }
}

/// The places of the bits that are set, ascending.
pub(super) fn bits(mut of: u128) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        (of != 0).then(|| {
            let bit = of.trailing_zeros() as usize;
            of &= of - 1;
            bit
        })
    })
}
