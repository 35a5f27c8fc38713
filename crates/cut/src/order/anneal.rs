//! A good order of many contours: the nearest next to begin with, then changes that are kept when they are faster, or,
//! while it is still hot, not much slower (simulated annealing). The changes move a short run of contours next to a
//! neighbour, turn a run round, or take another pierce. No change is tried that breaks what must hold. At the end the
//! pierces are chosen anew along the order, all at once and exactly.

use super::net::Net;
use super::seeded::Seeded;

/// How many of the nearest contours each may be moved beside.
const NEIGHBOURS: usize = 12;
/// The longest run that is moved, and that is turned round.
const LONGEST_MOVED: usize = 4;
const LONGEST_TURNED: usize = 40;
/// Where the heat begins and ends, as shares of the mean travel between neighbours in the first order.
const HOT: f64 = 0.3;
const COLD: f64 = 0.01;

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

/// A run of contours, from place `start` to before `end`, that comes to stand before place `to` of the present order.
#[derive(Clone, Copy)]
struct Shift {
    start: usize,
    end: usize,
    to: usize,
}

impl Shift {
    /// The places that change are from `low` to before `high`; the travel into `high` does too.
    fn low(self) -> usize {
        self.start.min(self.to)
    }

    fn high(self) -> usize {
        self.end.max(self.to)
    }

    /// Where what stands at a place stands then.
    fn moved(self, at: usize) -> usize {
        let length = self.end - self.start;
        if self.to > self.end {
            match at {
                _ if at < self.start || at >= self.to => at,
                _ if at < self.end => at + (self.to - self.end),
                _ => at - length,
            }
        } else {
            match at {
                _ if at < self.to || at >= self.end => at,
                _ if at >= self.start => at - (self.start - self.to),
                _ => at + length,
            }
        }
    }
}

/// The nodes in a good order.
pub(super) fn anneal(net: &mut Net, seed: u64, tries_each: u32) -> Vec<usize> {
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
        match seeded.below(10) {
            0..=6 => self.try_moving(seeded, near, may_us),
            7 => self.try_turning(seeded, near, may_us),
            _ => self.try_other_pierce(seeded, may_us),
        }
    }

    /// A run of a few contours moved beside a neighbour of its first or last.
    fn try_moving(&mut self, seeded: &mut Seeded, near: &[Vec<usize>], may_us: i64) -> i64 {
        let count = self.run.len();
        let contour = seeded.below(count);
        let length = 1 + seeded.below(LONGEST_MOVED.min(count - 1));
        let beside = near[contour][seeded.below(near[contour].len())];
        let (here, there) = (self.place[contour], self.place[beside]);
        // Either the run begins at the contour and goes behind the neighbour, or ends at it and goes before.
        let behind = seeded.below(2) == 0;
        let start = if behind {
            here
        } else {
            (here + 1).wrapping_sub(length)
        };
        if start >= count || start + length > count || (start..start + length).contains(&there) {
            return 0;
        }
        let end = start + length;
        // The run comes to stand before place `to` of the present order.
        let to = if behind { there + 1 } else { there };
        if to == start || to == end {
            return 0;
        }
        let allowed = if to > end {
            (start..end).all(|at| {
                self.net.after[self.run[at]]
                    .iter()
                    .all(|c| self.place[*c] >= to || self.place[*c] < end)
            })
        } else {
            (start..end).all(|at| {
                self.net.before[self.run[at]]
                    .iter()
                    .all(|c| self.place[*c] < to || self.place[*c] >= start)
            })
        };
        if !allowed {
            return 0;
        }
        self.try_shift(Shift { start, end, to }, may_us)
    }

    fn try_shift(&mut self, shift: Shift, may_us: i64) -> i64 {
        let Shift { start, end, to } = shift;
        let (low, high) = (shift.low(), shift.high());
        let length = end - start;
        let (left, joined) = (self.from(start), self.to(end));
        let (before, after) = (self.from(to), self.to(to));
        let last = self.node[self.run[end - 1]];
        let first = self.node[self.run[start]];
        let own = |node: usize| i64::from(self.net.nodes[node].own_us);
        // Three joints go and three come. The straight moves tell the least that comes; what else is gained can only be
        // detours that are no longer needed.
        let gone = self.spent_us[start] + self.spent_us[end] + self.spent_us[to];
        let own_kept = joined.map_or(0, own) + after.map_or(0, own);
        let least_in_and_out = if length == 1 {
            let nodes = self.net.of_contour[self.run[start]].clone();
            let in_and_out =
                nodes.map(|node| self.least_us(before, Some(node)) + own(node) + self.least_us(node, after));
            in_and_out.min().unwrap_or(0)
        } else {
            self.least_us(before, Some(first)) + own(first) + self.least_us(last, after)
        };
        let least = self.least_us(left, joined) + least_in_and_out + own_kept - gone;
        if least > may_us {
            let within: i64 = self.detour_us[low..=high].iter().sum();
            if least - within > may_us {
                return 0;
            }
        }
        // The joints as they would be.
        let (at_left, at_in) = if to > end { (start, to - length) } else { (end, to) };
        let mut comes = self.joint_us(shift, left, joined, at_left);
        let mut pierce = first;
        if length == 1 {
            let nodes = self.node_range(start);
            let mut best = i64::MAX;
            for node in nodes {
                let time_us = self.joint_us(shift, before, Some(node), at_in)
                    + self.joint_us(shift, node, after, at_in + 1);
                if time_us < best {
                    (best, pierce) = (time_us, node);
                }
            }
            comes += best;
        } else {
            comes += self.joint_us(shift, before, Some(first), at_in)
                + self.joint_us(shift, last, after, at_in + length);
        }
        // Travel that keeps its ends: within the run, and past it where one of the run stands in the way.
        let mut change = comes - gone;
        let moved_bits = self.run[start..end]
            .iter()
            .fold(0, |bits, contour| bits | bit(*contour));
        let passed = if to > end { end + 1..to } else { to + 1..start };
        for at in start + 1..end {
            if self.in_the_way[at] != 0 {
                let (from, to) = (self.from(at), self.to(at));
                change += self.joint_us(shift, from, to, shift.moved(at)) - self.spent_us[at];
            }
        }
        for at in passed {
            if self.in_the_way[at] & moved_bits != 0 {
                let (from, to) = (self.from(at), self.to(at));
                change += self.joint_us(shift, from, to, shift.moved(at)) - self.spent_us[at];
            }
        }
        if change > may_us {
            return 0;
        }
        self.node[self.run[start]] = pierce;
        let before_us: i64 = self.spent_us[low..=high].iter().sum();
        if to > end {
            self.run[start..to].rotate_left(length);
        } else {
            self.run[to..end].rotate_right(length);
        }
        self.renumber(low, high);
        let after_us = self.refresh(low, high);
        debug_assert_eq!(after_us - before_us, change, "what was foretold is what came");
        after_us - before_us
    }

    /// What the travel from a node into a place and its cut would take after a shift: by what would be cut before it.
    fn joint_us(&mut self, shift: Shift, from: usize, to: Option<usize>, at: usize) -> i64 {
        let place = &self.place;
        match to {
            Some(to) => {
                let travel_us = self
                    .net
                    .travel_us(from, to, |contour| shift.moved(place[contour]) < at);
                i64::from(travel_us) + i64::from(self.net.nodes[to].own_us)
            }
            None if self.net.parks => i64::from(self.net.travel_us(from, self.net.nodes.len(), |_| true)),
            None => 0,
        }
    }

    fn node_range(&self, at: usize) -> std::ops::Range<usize> {
        self.net.of_contour[self.run[at]].clone()
    }

    /// A run turned round so that a contour and a neighbour come together.
    fn try_turning(&mut self, seeded: &mut Seeded, near: &[Vec<usize>], may_us: i64) -> i64 {
        let contour = seeded.below(self.run.len());
        let beside = near[contour][seeded.below(near[contour].len())];
        let (a, b) = (self.place[contour], self.place[beside]);
        let (start, end) = if a < b { (a + 1, b + 1) } else { (b, a) };
        if end - start < 2 || end - start > LONGEST_TURNED {
            return 0;
        }
        let apart = (start..end).all(|at| {
            let later = &self.net.after[self.run[at]];
            later
                .iter()
                .all(|c| self.place[*c] >= end || self.place[*c] < start)
        });
        if !apart {
            return 0;
        }
        let gone: i64 = self.spent_us[start..=end].iter().sum();
        let kept = self.net_state(start, end);
        self.run[start..end].reverse();
        self.renumber(start, end);
        self.keep_or_undo(kept, gone, may_us)
    }

    fn try_other_pierce(&mut self, seeded: &mut Seeded, may_us: i64) -> i64 {
        let contour = seeded.below(self.run.len());
        let nodes = self.net.of_contour[contour].clone();
        if nodes.len() < 2 {
            return 0;
        }
        let other = nodes.start + seeded.below(nodes.len());
        if other == self.node[contour] {
            return 0;
        }
        let at = self.place[contour];
        let gone = self.spent_us[at] + self.spent_us[at + 1];
        let kept = self.net_state(at, at + 1);
        self.node[contour] = other;
        self.keep_or_undo(kept, gone, may_us)
    }

    /// What is needed to put places `low` to before `high` back.
    fn net_state(&self, low: usize, high: usize) -> Kept {
        let high_run = high.min(self.run.len());
        Kept {
            low,
            high,
            run: self.run[low..high_run].to_vec(),
            nodes: self.run[low..high_run]
                .iter()
                .map(|contour| self.node[*contour])
                .collect(),
        }
    }

    fn renumber(&mut self, low: usize, high: usize) {
        for at in low..high.min(self.run.len()) {
            self.place[self.run[at]] = at;
        }
    }

    /// Counts the travel of the changed places, `low` to `high`; puts everything back when it is too slow.
    fn keep_or_undo(&mut self, kept: Kept, gone_us: i64, may_us: i64) -> i64 {
        let (low, high) = (kept.low, kept.high.min(self.run.len()));
        let mut comes_us = 0;
        for at in low..=high {
            comes_us += self.spends_us(at);
            if comes_us > gone_us + may_us {
                for (k, contour) in kept.run.iter().enumerate() {
                    self.run[low + k] = *contour;
                    self.place[*contour] = low + k;
                    self.node[*contour] = kept.nodes[k];
                }
                return 0;
            }
        }
        self.refresh(low, high) - gone_us
    }

    /// The best pierces for the order as it stands: what is cut at each place is settled by it, so the least time to each
    /// pierce follows from those of the place before.
    fn choose_pierces(&mut self) {
        let count = self.run.len();
        let mut least: Vec<(i64, usize)> = vec![(0, self.net.end())];
        let mut came_from: Vec<Vec<(usize, usize)>> = Vec::with_capacity(count);
        for at in 0..count {
            let place = &self.place;
            let mut here = Vec::new();
            let mut links = Vec::new();
            for to in self.net.of_contour[self.run[at]].clone() {
                let own_us = i64::from(self.net.nodes[to].own_us);
                let mut best = (i64::MAX, 0);
                for (k, (time_us, from)) in least.iter().enumerate() {
                    let travel_us = i64::from(self.net.travel_us(*from, to, |c| place[c] < at));
                    best = best.min((time_us + travel_us + own_us, k));
                }
                here.push((best.0, to));
                links.push((to, best.1));
            }
            least = here;
            came_from.push(links);
        }
        let end = self.net.end();
        let mut best: Option<(i64, usize)> = None;
        for (k, (time_us, node)) in least.iter().enumerate() {
            let park_us = if self.net.parks && count > 0 {
                i64::from(self.net.travel_us(*node, end, |_| true))
            } else {
                0
            };
            if best.is_none_or(|(best_us, _)| time_us + park_us < best_us) {
                best = Some((time_us + park_us, k));
            }
        }
        let mut link = best.map_or(0, |(_, k)| k);
        for at in (0..count).rev() {
            let (node, before) = came_from[at][link];
            self.node[self.run[at]] = node;
            link = before;
        }
    }
}

/// A stretch of the order as it was.
struct Kept {
    low: usize,
    high: usize,
    run: Vec<usize>,
    nodes: Vec<usize>,
}
