//! A good order of many contours: the nearest next to begin with, then changes that are kept when they are faster, or,
//! while it is still hot, not much slower (simulated annealing). The changes move a run of contours next to a
//! neighbour, turn a run round, or take another pierce. No change is tried that breaks what must hold. At the end the
//! pierces are chosen anew along the order, all at once and exactly.

mod pierces;
mod shift;
mod turn;

use std::sync::atomic::{AtomicBool, Ordering};

use super::net::Net;
use super::seeded::Seeded;

/// How many of the nearest contours each may be moved beside.
const NEIGHBOURS: usize = 12;
/// Where the heat begins and ends, as shares of the mean travel between neighbours in the first order.
const HOT: f64 = 0.3;
const COLD: f64 = 0.015;

struct Order<'a> {
    net: &'a mut Net,
    /// Contours in order, where each stands, and the node each is cut from.
    run: Vec<usize>,
    place: Vec<usize>,
    node: Vec<usize>,
    /// What the travel into each place and its cut take; one more for the way to the parking place.
    spent_us: Vec<i64>,
    /// How much of it is for not going straight, and which contours, when they are cut, stand in the way: each has a bit,
    /// shared where there are many.
    detour_us: Vec<i64>,
    in_the_way: Vec<u64>,
}

/// The bit of a contour.
fn bit(contour: usize) -> u64 {
    1 << (contour % 64)
}

/// The nodes in a good order; in the best so far once `stop` was set.
pub(super) fn anneal(net: &mut Net, seed: u64, tries_each: u32, stop: &AtomicBool) -> Vec<usize> {
    let contours = net.contours();
    let mut order = Order::nearest_next(net);
    if contours > 1 {
        let near = order.neighbours();
        let mut seeded = Seeded::new(seed);
        let mut total_us: i64 = order.spent_us.iter().sum();
        let (mut best_us, mut best) = (total_us, (order.run.clone(), order.node.clone()));
        let tries = u64::from(tries_each) * contours as u64;
        let mean_us = total_us as f64 / contours as f64;
        let (mut heat, last) = (HOT * mean_us, COLD * mean_us);
        const ROUNDS: u64 = 400;
        let cooling = (last / heat.max(1e-9)).powf(1.0 / ROUNDS as f64);
        for _ in 0..ROUNDS {
            if stop.load(Ordering::Relaxed) {
                break;
            }
            for _ in 0..tries / ROUNDS + 1 {
                // How much slower this change may be.
                let may_us = (-heat * (1.0 - seeded.share()).ln()) as i64;
                total_us += order.change(&mut seeded, &near, may_us);
                if total_us < best_us {
                    best_us = total_us;
                    best.0.clone_from(&order.run);
                    best.1.clone_from(&order.node);
                }
            }
            heat *= cooling;
        }
        order.take(best.0, best.1);
    }
    order.choose_pierces();
    order.run.iter().map(|contour| order.node[*contour]).collect()
}

impl<'a> Order<'a> {
    /// From home always to the nearest pierce that may come next.
    fn nearest_next(net: &'a mut Net) -> Order<'a> {
        let contours = net.contours();
        let mut open: Vec<usize> = net.before.iter().map(Vec::len).collect();
        let mut cut = vec![false; contours];
        let (mut run, mut node) = (Vec::with_capacity(contours), vec![0; contours]);
        let mut here = net.end();
        for _ in 0..contours {
            let mut best: Option<(u32, usize)> = None;
            for contour in (0..contours).filter(|c| !cut[*c] && open[*c] == 0) {
                for to in net.of_contour[contour].clone() {
                    let own_us = net.nodes[to].own_us;
                    let least_us = net.straight_us(here, to) + own_us;
                    if best.is_none_or(|(time_us, _)| least_us < time_us) {
                        let time_us = net.travel_us(here, to, |c| cut[c]) + own_us;
                        if best.is_none_or(|(best_us, _)| time_us < best_us) {
                            best = Some((time_us, to));
                        }
                    }
                }
            }
            let Some((_, to)) = best else { break };
            let contour = net.nodes[to].contour;
            cut[contour] = true;
            run.push(contour);
            node[contour] = to;
            for later in &net.after[contour] {
                open[*later] -= 1;
            }
            here = to;
        }
        let mut order = Order {
            place: vec![0; contours],
            spent_us: vec![0; contours + 1],
            detour_us: vec![0; contours + 1],
            in_the_way: vec![0; contours + 1],
            net,
            run: Vec::new(),
            node: Vec::new(),
        };
        order.take(run, node);
        order
    }

    fn take(&mut self, run: Vec<usize>, node: Vec<usize>) {
        self.run = run;
        self.node = node;
        for (at, contour) in self.run.iter().enumerate() {
            self.place[*contour] = at;
        }
        self.refresh(0, self.run.len());
    }

    /// Counts the travel into these places anew; what it comes to.
    fn refresh(&mut self, low: usize, high: usize) -> i64 {
        let mut sum_us = 0;
        for at in low..=high {
            let spent_us = self.spends_us(at);
            let (from, to) = (self.from(at), self.to(at));
            let own_us = to.map_or(0, |node| i64::from(self.net.nodes[node].own_us));
            self.spent_us[at] = spent_us;
            self.detour_us[at] = spent_us - own_us - self.least_us(from, to);
            // On the way to the parking place everything is cut, in any order.
            self.in_the_way[at] = to.map_or(0, |to| self.net.in_the_way(from, to));
            sum_us += spent_us;
        }
        sum_us
    }

    /// For each contour the nearest others, by the fastest straight move from one to the other.
    fn neighbours(&self) -> Vec<Vec<usize>> {
        let contours = self.net.contours();
        let between = |a: usize, b: usize| {
            let from = self.net.of_contour[a].clone();
            let fastest = from.flat_map(|f| self.net.of_contour[b].clone().map(move |t| (f, t)));
            fastest.map(|(f, t)| self.net.straight_us(f, t)).min()
        };
        (0..contours)
            .map(|a| {
                let mut others: Vec<_> = (0..contours)
                    .filter(|b| *b != a)
                    .map(|b| (between(a, b), b))
                    .collect();
                others.sort_unstable();
                others.truncate(NEIGHBOURS);
                others.into_iter().map(|(_, b)| b).collect()
            })
            .collect()
    }

    /// The node the torch comes from at a place.
    fn from(&self, at: usize) -> usize {
        if at == 0 {
            self.net.end()
        } else {
            self.node[self.run[at - 1]]
        }
    }

    fn to(&self, at: usize) -> Option<usize> {
        self.run.get(at).map(|contour| self.node[*contour])
    }

    /// What the travel into a place and its cut take as things stand.
    fn spends_us(&mut self, at: usize) -> i64 {
        let from = self.from(at);
        let place = &self.place;
        match self.run.get(at).map(|contour| self.node[*contour]) {
            Some(to) => {
                let own_us = self.net.nodes[to].own_us;
                i64::from(self.net.travel_us(from, to, |contour| place[contour] < at)) + i64::from(own_us)
            }
            None if self.net.parks => {
                let end = self.net.end();
                i64::from(self.net.travel_us(from, end, |_| true))
            }
            None => 0,
        }
    }

    /// The least that going from one node to another (none: the parking place) can take.
    fn least_us(&self, from: usize, to: Option<usize>) -> i64 {
        match to {
            Some(to) => i64::from(self.net.straight_us(from, to)),
            None if self.net.parks => i64::from(self.net.straight_us(from, self.net.end())),
            None => 0,
        }
    }

    /// Tries one change; what it adds, 0 when it is not kept.
    fn change(&mut self, seeded: &mut Seeded, near: &[Vec<usize>], may_us: i64) -> i64 {
        match seeded.below(11) {
            0..=6 => self.try_moving(seeded, near, may_us),
            7 | 8 => self.try_turning(seeded, near, may_us),
            _ => self.try_other_pierce(seeded, may_us),
        }
    }

    fn renumber(&mut self, low: usize, high: usize) {
        for at in low..high.min(self.run.len()) {
            self.place[self.run[at]] = at;
        }
    }
}
