//! A run of contours moved elsewhere in the order, foretold before it is done.

use super::{Order, bit};
use crate::order::seeded::Seeded;

/// The longest run that is moved, mostly: a hole with its neighbours, or a part with its openings.
const OFTEN_MOVED: usize = 4;
/// The longest run that is moved: a row of parts.
const LONGEST_MOVED: usize = 30;

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

impl Order<'_> {
    /// A run of a few contours moved beside a neighbour of its first or last.
    pub(super) fn try_moving(&mut self, seeded: &mut Seeded, near: &[Vec<usize>], may_us: i64) -> i64 {
        let count = self.run.len();
        let contour = seeded.below(count);
        let longest = if seeded.below(3) == 0 {
            LONGEST_MOVED
        } else {
            OFTEN_MOVED
        };
        let length = 1 + seeded.below(longest.min(count - 1));
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
        // Three joints go and three come. The straight moves tell the least that comes; what else is gained can only be
        // detours that are no longer needed.
        let gone = self.spent_us[start] + self.spent_us[end] + self.spent_us[to];
        let own_kept = joined.map_or(0, |node| self.own_us(node)) + after.map_or(0, |node| self.own_us(node));
        let in_and_out = |node: usize| {
            let on = if length == 1 { node } else { last };
            self.least_us(before, Some(node)) + self.own_us(node) + self.least_us(on, after)
        };
        let (mut least_in_and_out, mut pierce) = (in_and_out(first), first);
        if length == 1 {
            for node in self.node_range(start) {
                let least = in_and_out(node);
                if least < least_in_and_out {
                    (least_in_and_out, pierce) = (least, node);
                }
            }
        }
        let mut least = self.least_us(left, joined) + least_in_and_out + own_kept - gone;
        // Summed only when the straight moves alone are too slow.
        let mut within = None;
        let mut too_slow = |order: &Self, least: i64| {
            least > may_us
                && least - *within.get_or_insert_with(|| order.detour_us[low..=high].iter().sum::<i64>())
                    > may_us
        };
        if too_slow(self, least) {
            return 0;
        }
        // The joints as they would be, one after the other, as long as they can still be fast enough.
        let (at_left, at_in) = if to > end { (start, to - length) } else { (end, to) };
        let joint = self.joint_us(shift, left, joined, at_left);
        least += joint - self.least_us(left, joined) - joined.map_or(0, |node| self.own_us(node));
        if too_slow(self, least) {
            return 0;
        }
        let mut comes = self.joint_us(shift, before, Some(pierce), at_in);
        least += comes - self.least_us(before, Some(pierce)) - self.own_us(pierce);
        if length > 1 && too_slow(self, least) {
            return 0;
        }
        let on = if length == 1 { pierce } else { last };
        comes += self.joint_us(shift, on, after, at_in + length);
        if length == 1 {
            let own_after = after.map_or(0, |node| self.own_us(node));
            for node in self.node_range(start) {
                let on_us = self.least_us(node, after) + own_after;
                if node == pierce || self.least_us(before, Some(node)) + self.own_us(node) + on_us >= comes {
                    continue;
                }
                let in_us = self.joint_us(shift, before, Some(node), at_in);
                if in_us + on_us < comes {
                    let both_us = in_us + self.joint_us(shift, node, after, at_in + 1);
                    if both_us < comes {
                        (comes, pierce) = (both_us, node);
                    }
                }
            }
        }
        comes += joint;
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

    pub(super) fn own_us(&self, node: usize) -> i64 {
        i64::from(self.net.nodes[node].own_us)
    }

    fn node_range(&self, at: usize) -> std::ops::Range<usize> {
        self.net.of_contour[self.run[at]].clone()
    }
}
