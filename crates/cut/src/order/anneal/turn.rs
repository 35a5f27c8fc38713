//! Changes that are made, counted, and undone when they are too slow: a run turned round, another pierce.

use super::Order;
use crate::order::seeded::Seeded;

/// The longest run that is turned round.
const LONGEST_TURNED: usize = 60;

/// A stretch of the order as it was.
struct Kept {
    low: usize,
    high: usize,
    run: Vec<usize>,
    nodes: Vec<usize>,
}

impl Order<'_> {
    /// A run turned round so that a contour and a neighbour come together. Contours of which one must come before the other
    /// stay as they stand to each other, with all between them: what is turned round is the order of such blocks.
    pub(super) fn try_turning(&mut self, seeded: &mut Seeded, near: &[Vec<usize>], may_us: i64) -> i64 {
        let contour = seeded.below(self.run.len());
        let beside = near[contour][seeded.below(near[contour].len())];
        let (a, b) = (self.place[contour], self.place[beside]);
        let (start, end) = if a < b { (a + 1, b + 1) } else { (b, a) };
        if end - start < 2 || end - start > LONGEST_TURNED {
            return 0;
        }
        let Some(turned) = self.blocks_turned(start, end) else {
            return 0;
        };
        // The two joints that change for certain tell most of it.
        let (left, joined) = (self.from(start), self.to(end));
        let (first, last) = (self.node[turned[0]], self.node[turned[turned.len() - 1]]);
        let was_first = self.to(start).map_or(0, |node| self.own_us(node));
        let ends = self.least_us(left, Some(first))
            + was_first
            + self.least_us(last, joined)
            + joined.map_or(0, |node| self.own_us(node));
        let within: i64 = self.detour_us[start..=end].iter().sum();
        if ends - self.spent_us[start] - self.spent_us[end] - within > may_us {
            return 0;
        }
        let gone: i64 = self.spent_us[start..=end].iter().sum();
        let kept = self.net_state(start, end);
        self.run[start..end].copy_from_slice(&turned);
        self.renumber(start, end);
        self.keep_or_undo(kept, gone, may_us)
    }

    /// The contours of a run with its blocks in the other order; none when it is one block.
    fn blocks_turned(&self, start: usize, end: usize) -> Option<Vec<usize>> {
        let mut turned = Vec::with_capacity(end - start);
        let mut high = end;
        while high > start {
            let mut low = high - 1;
            let mut at = high;
            // Down to the lowest place that something of the block waits for.
            while at > low {
                at -= 1;
                for first in &self.net.before[self.run[at]] {
                    let place = self.place[*first];
                    if place >= start && place < low {
                        low = place;
                    }
                }
            }
            if low == start && high == end {
                return None;
            }
            turned.extend_from_slice(&self.run[low..high]);
            high = low;
        }
        Some(turned)
    }

    pub(super) fn try_other_pierce(&mut self, seeded: &mut Seeded, may_us: i64) -> i64 {
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
        let (from, to) = (self.from(at), self.to(at + 1));
        let least = self.least_us(from, Some(other))
            + self.own_us(other)
            + self.least_us(other, to)
            + to.map_or(0, |node| self.own_us(node));
        if least - gone > may_us {
            return 0;
        }
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
}
