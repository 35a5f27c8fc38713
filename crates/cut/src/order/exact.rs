//! The fastest order and pierces, proven: a dynamic programme over sets of contours that are cut.
//!
//! The state is what is cut and where the torch left the last; the travel from there depends on nothing else. So the
//! least time to each state follows from those with one contour less (Held and Karp, 1962; from memory). A state is
//! not followed when its time and the least that is still to come ([`super::bound`]) are over the time of an order that is
//! already known: none of these can lead to a faster one, so the proof stands.

use super::bound::{Bound, Steps};
use super::net::Net;

/// The most contours for which the order is proven.
pub const MOST_EXACT: usize = 16;
/// The most candidates for each contour for which the order is proven.
pub const MOST_CANDIDATES: usize = LANES;

/// Room for the candidates of a contour, all taken at once.
pub(super) const LANES: usize = 8;
/// Nearly 18 minutes in microseconds, four times what an order of so few takes at most; twice it is still a number.
pub(super) const NEVER: u32 = u32::MAX / 4;

/// One travel that depends on what is cut: the times in order, each with what forbids it.
struct Conditional {
    contour: usize,
    slot: usize,
    ways: Vec<(u32, u32)>,
}

struct Tables {
    contours: usize,
    /// Number of the node in each slot (contour times lanes plus candidate).
    node_of: Vec<Option<usize>>,
    /// Time from slot to slot, own time of the goal included, where nothing can forbid it.
    always: Vec<u32>,
    conditional: Vec<Vec<Conditional>>,
    before: Vec<u32>,
}

impl Tables {
    fn of(net: &mut Net) -> Tables {
        let contours = net.contours();
        let slots = contours * LANES;
        let mut node_of = vec![None; slots];
        for (index, node) in net.nodes.iter().enumerate() {
            node_of[node.contour * LANES + node.candidate] = Some(index);
        }
        let mut always = vec![NEVER; slots * slots];
        let mut conditional: Vec<Vec<Conditional>> = (0..slots).map(|_| Vec::new()).collect();
        for from in 0..slots {
            let Some(from_node) = node_of[from] else { continue };
            for to in 0..slots {
                let Some(to_node) = node_of[to] else { continue };
                if from / LANES == to / LANES {
                    continue;
                }
                let own_us = net.nodes[to_node].own_us;
                let straight_us = net.straight_us(from_node, to_node);
                let ways = net.conditional(from_node, to_node).to_vec();
                let free_us = match ways.first() {
                    None => Some(straight_us),
                    Some(way) => net.forbidding(*way).is_empty().then_some(way.time_us),
                };
                if let Some(free_us) = free_us {
                    always[from * slots + to] = free_us + own_us;
                } else {
                    let masks = |list: &[u16]| list.iter().fold(0u32, |mask, contour| mask | 1 << contour);
                    let priced = ways
                        .iter()
                        .map(|way| (way.time_us + own_us, masks(net.forbidding(*way))));
                    conditional[from].push(Conditional {
                        contour: to / LANES,
                        slot: to,
                        ways: priced.collect(),
                    });
                }
            }
        }
        let before = net
            .before
            .iter()
            .map(|list| list.iter().fold(0u32, |mask, contour| mask | 1 << contour))
            .collect();
        Tables {
            contours,
            node_of,
            always,
            conditional,
            before,
        }
    }

    fn slots(&self) -> usize {
        self.contours * LANES
    }

    fn travel_us(&self, from: usize, to: usize, cut: u32) -> u32 {
        let always = self.always[from * self.slots() + to];
        if always < NEVER {
            return always;
        }
        self.conditional[from]
            .iter()
            .find(|way| way.slot == to)
            .map_or(NEVER, |way| way.under(cut))
    }
}

impl Conditional {
    fn under(&self, cut: u32) -> u32 {
        self.ways
            .iter()
            .find(|(_, forbidden_by)| forbidden_by & cut == 0)
            .map_or(NEVER, |(time_us, _)| *time_us)
    }
}

/// The nodes in the fastest order. `known_us` is the time of an order that exists. At most [`MOST_EXACT`] contours of at
/// most [`MOST_CANDIDATES`] candidates, and a known time under a quarter of [`NEVER`].
pub(super) fn fastest(net: &mut Net, known_us: u64) -> Option<Vec<usize>> {
    let contours = net.contours();
    if contours == 0 {
        return Some(Vec::new());
    }
    if contours > MOST_EXACT || known_us >= u64::from(NEVER / 4) {
        return None;
    }
    let tables = Tables::of(net);
    let slots = tables.slots();
    let sets = 1usize << contours;
    let all = (sets - 1) as u32;
    let home = net.end();
    // What is still to come costs at least this much, by what is cut and where the torch is.
    let mut least = tables.always.clone();
    for (from, ways) in tables.conditional.iter().enumerate() {
        for way in ways {
            least[from * slots + way.slot] = way.ways[0].0;
        }
    }
    let in_slots = |time_us: &mut dyn FnMut(usize) -> u32| -> Vec<u32> {
        tables
            .node_of
            .iter()
            .map(|node| node.map_or(NEVER, &mut *time_us))
            .collect()
    };
    let from_home = in_slots(&mut |node| net.travel_us(home, node, |_| false) + net.nodes[node].own_us);
    let to_park = in_slots(&mut |node| if net.parks { net.straight_us(node, home) } else { 0 });
    let known = known_us as u32;
    let bound = Bound::of(
        &Steps {
            contours,
            least: &least,
            from_home: &from_home,
            to_park: &to_park,
        },
        known,
    );
    let given_back = bound.prices_left();

    // Kept as how much is left until never, so that the untouched, which is most, is 0 and takes no memory to speak of.
    let mut left_until_never = vec![0u32; sets * slots];
    let mut touched = vec![false; sets];
    for (slot, start_us) in from_home.iter().enumerate() {
        if tables.before[slot / LANES] == 0 {
            let set = 1usize << (slot / LANES);
            left_until_never[set * slots + slot] = NEVER - start_us.min(&NEVER);
            touched[set] = true;
        }
    }
    let mut open: Vec<usize> = Vec::with_capacity(contours);
    for set in 1..sets - 1 {
        if !touched[set] {
            continue;
        }
        let cut = set as u32;
        open.clear();
        open.extend((0..contours).filter(|j| cut >> j & 1 == 0 && tables.before[*j] & !cut == 0));
        if open.is_empty() {
            continue;
        }
        // No more than this may have passed, prices of what is left given back.
        let at_most = i64::from(known) + given_back[set];
        let walks = bound.walks(contours - cut.count_ones() as usize);
        let mut next = [[NEVER; LANES]; MOST_EXACT];
        let mut reached = false;
        for last in (0..contours).filter(|i| cut >> i & 1 == 1) {
            for from in last * LANES..(last + 1) * LANES {
                let here = NEVER - left_until_never[set * slots + from];
                if here >= NEVER || i64::from(here) + i64::from(walks[from]) > at_most {
                    continue;
                }
                reached = true;
                let row = &tables.always[from * slots..(from + 1) * slots];
                for &j in &open {
                    let to = &row[j * LANES..(j + 1) * LANES];
                    for (best, step) in next[j].iter_mut().zip(to) {
                        *best = (*best).min(here + step);
                    }
                }
                for way in &tables.conditional[from] {
                    if cut >> way.contour & 1 == 0 {
                        let best = &mut next[way.contour][way.slot % LANES];
                        // The fastest way of all may already be too slow.
                        if here + way.ways[0].0 < *best {
                            *best = (*best).min(here + way.under(cut));
                        }
                    }
                }
            }
        }
        if reached {
            for &j in &open {
                let to = set | 1 << j;
                let row = to * slots + j * LANES;
                for (left, time_us) in left_until_never[row..row + LANES].iter_mut().zip(next[j]) {
                    *left = NEVER - time_us.min(NEVER);
                }
                touched[to] = true;
            }
        }
    }

    let time = |set: usize, slot: usize| NEVER - left_until_never[set * slots + slot];
    // The best end, then back: the state before is one whose time and travel make up the time of this one.
    let mut park = |slot: usize| match tables.node_of[slot] {
        Some(node) if net.parks => net.travel_us(node, net.end(), |_| true),
        _ => 0,
    };
    let mut slot = (0..slots)
        .filter(|slot| time(sets - 1, *slot) < NEVER)
        .min_by_key(|slot| time(sets - 1, *slot) + park(*slot))?;
    let mut set = all;
    let mut order = Vec::with_capacity(contours);
    loop {
        order.push(tables.node_of[slot]?);
        let before = set & !(1 << (slot / LANES));
        if before == 0 {
            break;
        }
        let here = time(set as usize, slot);
        slot = (0..slots).find(|from| {
            let there = time(before as usize, *from);
            there < NEVER && there + tables.travel_us(*from, slot, before) == here
        })?;
        set = before;
    }
    order.reverse();
    Some(order)
}
