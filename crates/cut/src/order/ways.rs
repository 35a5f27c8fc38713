//! How long the torch is on the way from one contour to the next, by what is already cut.
//!
//! From where it left one contour to where it pierces the next the torch has, in this order of preference by time: the
//! straight move; a move round one or two corners of a box about something in the way, resting in each; the straight
//! move with the torch lifted clear. Each but the last is forbidden by the contours it passes over, once they are cut
//! and what is inside may have tipped. The last is always free, so that every order has a time. Where a clamp stands in the
//! way of the straight move, all of these go round it ([`super::clamps`]).

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use plane::{Outline, Point};

use super::clamps::{Clamps, Round};
use super::contour::{After, Contour};
use super::legs::{Legs, Words, add_all, is_empty, leave_out, numbers, put, within};
use super::over::Ground;
use super::travel::{TravelRules, microseconds};

/// Less than this over something is a touch of its edge and no travel over it: the width of a fine kerf.
const GRAZE_MM: f64 = 0.2;

/// One way to travel, and what forbids it.
#[derive(Debug, Clone)]
pub(super) struct Way {
    pub time_us: u32,
    pub forbidden_by: Vec<u16>,
    pub via: Vec<Point>,
    pub lifted: bool,
}

/// Where a move starts: at a fixed place, or where a candidate left its contour.
#[derive(Debug, Clone, Copy)]
pub(super) struct Origin {
    pub at: Point,
    /// The contour just cut and how deep inside it the torch stands, mm.
    pub stands_in: Option<(usize, f64)>,
}

/// What travel is asked about.
#[derive(Debug, Clone)]
pub(super) struct Ways {
    rules: TravelRules,
    kept_off: KeptOff,
    clamps: Clamps,
    /// The boxes that moves go round, one about each contour.
    round: Vec<RoundAbout>,
    words: Words,
    /// Moves from each node to each corner of each box, and from each corner to each node: asked once.
    to_corner: Legs,
    from_corner: Legs,
}

/// What is inside each contour, and which of them are kept off once they are cut.
#[derive(Debug, Clone)]
struct KeptOff {
    grounds: Vec<Ground>,
    which: Vec<usize>,
}

impl KeptOff {
    fn new(contours: &[Contour]) -> KeptOff {
        let kept_off = |(i, contour): (usize, &Contour)| (contour.after == After::KeepOff).then_some(i);
        KeptOff {
            grounds: contours
                .iter()
                .map(|contour| Ground::of(&contour.shape))
                .collect(),
            which: contours.iter().enumerate().filter_map(kept_off).collect(),
        }
    }

    /// Adds what a straight move passes over. What it starts in it may leave by a near side: no more of it than twice the
    /// depth at which the torch stands.
    fn over(&self, from: Origin, to: Point, set: &mut [u64]) {
        let allowed = |contour: usize| match from.stands_in {
            Some((own, depth_mm)) if own == contour => GRAZE_MM + 2.0 * depth_mm,
            _ => GRAZE_MM,
        };
        for contour in &self.which {
            if self.grounds[*contour].over_mm(from.at, to) > allowed(*contour) {
                put(set, *contour);
            }
        }
    }
}

/// A box about a contour: its corners in order, and its sides, each from the corner of its number to the next.
#[derive(Debug, Clone)]
struct RoundAbout {
    corners: [Point; 4],
    /// Which of the corners are on the table and clear of the clamps.
    open: [bool; 4],
    side_us: [u32; 4],
    side_over: [Vec<u64>; 4],
}

/// A way by one or two corners of the box about a contour, and the side between them. The faster is the less.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct ByCorners {
    time_us: u32,
    contour: usize,
    first: usize,
    last: usize,
    side: Option<usize>,
}

/// Adds a slower way; one that is forbidden whenever a faster one is adds nothing.
fn add(ways: &mut Vec<Way>, way: Way) {
    let free_of = |faster: &Way| {
        faster
            .forbidden_by
            .iter()
            .any(|contour| !way.forbidden_by.contains(contour))
    };
    if ways.iter().all(free_of) {
        ways.push(way);
    }
}

impl Ways {
    pub fn new(contours: &[Contour], clamps: &[Outline], nodes: usize, rules: TravelRules) -> Ways {
        let legs = (nodes + 1) * contours.len() * 4;
        let words = Words::of(contours.len());
        let on_table = |at| rules.on_table(at);
        let straight_us = |from, to| rules.straight_us(from, to);
        let mut ways = Ways {
            rules,
            clamps: Clamps::new(clamps, rules.clear_mm, on_table, straight_us),
            round: Vec::new(),
            words,
            to_corner: Legs::new(legs, words),
            from_corner: Legs::new(legs, words),
            kept_off: KeptOff::new(contours),
        };
        ways.round = ways
            .kept_off
            .grounds
            .iter()
            .map(|ground| ways.round_about(ground))
            .collect();
        ways
    }

    fn round_about(&self, ground: &Ground) -> RoundAbout {
        let corners = ground.round_about(self.rules.clear_mm);
        let sides = [0, 1, 2, 3].map(|side| (corners[side], corners[(side + 1) % 4]));
        RoundAbout {
            corners,
            open: corners.map(|corner| self.rules.on_table(corner) && self.clamps.stand_clear_of(corner)),
            side_us: sides.map(|(from, to)| self.straight_us(from, to)),
            side_over: sides.map(|(from, to)| {
                let mut set = vec![0; self.words.count()];
                self.kept_off.over(at_rest(from), to, &mut set);
                set
            }),
        }
    }

    pub fn ground(&self, contour: usize) -> &Ground {
        &self.kept_off.grounds[contour]
    }

    pub fn straight_us(&self, from: Point, to: Point) -> u32 {
        self.rules.straight_us(from, to)
    }

    /// The ways from one place to another, fastest first, the last free of conditions. `to_contour` is not yet cut when
    /// the move is made.
    pub fn ways(
        &mut self,
        (from_node, from): (usize, Origin),
        (to_node, to): (usize, Point),
        to_contour: Option<usize>,
    ) -> Vec<Way> {
        let lift_us = microseconds(self.rules.lift_s);
        let lifted = |first: &Way| Way {
            time_us: first.time_us + lift_us,
            forbidden_by: Vec::new(),
            via: first.via.clone(),
            lifted: true,
        };
        let without_goal = |mut way: Way| {
            way.forbidden_by
                .retain(|contour| Some(usize::from(*contour)) != to_contour);
            way
        };
        let mut ways: Vec<Way> = Vec::new();
        if self.clamps.let_by(from.at, to) {
            ways = self.ways_in_the_open((from_node, from), (to_node, to), to_contour);
            if ways[0].forbidden_by.is_empty() {
                return ways;
            }
            ways.push(lifted(&ways[0]));
        } else {
            let rounds = self.ways_round_clamps(from, to);
            let mut rounds = rounds.into_iter().map(without_goal);
            ways.extend(rounds.next());
            let lifted = lifted(&ways[0]);
            for way in rounds.filter(|way| way.time_us < lifted.time_us) {
                add(&mut ways, way);
            }
            ways.push(lifted);
        }
        // What is free makes all slower ones needless.
        let free = ways.iter().position(|way| way.forbidden_by.is_empty());
        ways.truncate(free.map_or(ways.len(), |free| free + 1));
        ways
    }

    /// The ways round the clamps, fastest first; at least one. Where they close a place in it is the straight move, which
    /// whoever reads the program refuses.
    fn ways_round_clamps(&self, from: Origin, to: Point) -> Vec<Way> {
        /// The fastest of them are enough: what more they leave is got over by lifting.
        const MOST: usize = 8;
        let rounds = self
            .clamps
            .rounds(from.at, to, MOST, |from, to| self.straight_us(from, to));
        let straight = Round {
            time_us: self.straight_us(from.at, to),
            via: Vec::new(),
        };
        let rounds = if rounds.is_empty() { vec![straight] } else { rounds };
        let way = |round: Round| {
            let mut here = from;
            let mut set = vec![0; self.words.count()];
            for next in round.via.iter().chain([&to]) {
                self.kept_off.over(here, *next, &mut set);
                here = at_rest(*next);
            }
            Way {
                time_us: round.time_us,
                forbidden_by: numbers(&set),
                via: round.via,
                lifted: false,
            }
        };
        rounds.into_iter().map(way).collect()
    }

    /// The straight move, and where something forbids it the moves by corners, fastest first, up to one that is free. A slower
    /// one that is forbidden whenever a faster one is adds nothing.
    fn ways_in_the_open(
        &mut self,
        (from_node, from): (usize, Origin),
        (to_node, to): (usize, Point),
        to_contour: Option<usize>,
    ) -> Vec<Way> {
        let words = self.words.count();
        let without_goal = |set: &mut [u64]| {
            if let Some(contour) = to_contour {
                leave_out(set, contour);
            }
        };
        // What each of the ways passes over, one after the other.
        let mut sets = vec![0; words];
        self.kept_off.over(from, to, &mut sets);
        without_goal(&mut sets);
        let mut ways = vec![Way {
            time_us: self.straight_us(from.at, to),
            forbidden_by: numbers(&sets),
            via: Vec::new(),
            lifted: false,
        }];
        if ways[0].forbidden_by.is_empty() {
            return ways;
        }
        let lifted_us = ways[0].time_us + microseconds(self.rules.lift_s);
        let mut by: BinaryHeap<Reverse<ByCorners>> = BinaryHeap::new();
        for contour in &ways[0].forbidden_by {
            self.by_corners(
                usize::from(*contour),
                (from_node, from.at),
                (to_node, to),
                lifted_us,
                &mut by,
            );
        }
        while let Some(Reverse(by)) = by.pop() {
            let start = sets.len();
            sets.resize(start + words, 0);
            let (faster, set) = sets.split_at_mut(start);
            let goes = self.way_by(&by, (from_node, from), (to_node, to), set);
            without_goal(set);
            if !goes || faster.chunks_exact(words).any(|faster| within(faster, set)) {
                sets.truncate(start);
                continue;
            }
            let [first, last] = [by.first, by.last].map(|corner| self.round[by.contour].corners[corner]);
            ways.push(Way {
                time_us: by.time_us,
                forbidden_by: numbers(set),
                via: if by.first == by.last {
                    vec![first]
                } else {
                    vec![first, last]
                },
                lifted: false,
            });
            if is_empty(set) {
                break;
            }
        }
        ways
    }

    /// The ways by one or two neighbouring corners of the box about a contour that are faster than lifting.
    fn by_corners(
        &mut self,
        contour: usize,
        (from_node, from): (usize, Point),
        (to_node, to): (usize, Point),
        lifted_us: u32,
        found: &mut BinaryHeap<Reverse<ByCorners>>,
    ) {
        let RoundAbout {
            corners,
            open,
            side_us,
            ..
        } = &self.round[contour];
        let (rules, legs) = (self.rules, self.round.len() * 4);
        let (mut to_us, mut on_us) = ([0; 4], [0; 4]);
        for (k, corner) in corners.iter().enumerate() {
            let leg = contour * 4 + k;
            let takes = || rules.straight_us(from, *corner);
            to_us[k] = self.to_corner.us(from_node * legs + leg, takes);
            let takes = || rules.straight_us(*corner, to);
            on_us[k] = self.from_corner.us(to_node * legs + leg, takes);
        }
        for first in 0..4 {
            for (last, side) in [
                (first, None),
                ((first + 1) % 4, Some(first)),
                ((first + 3) % 4, Some((first + 3) % 4)),
            ] {
                let time_us = to_us[first] + side.map_or(0, |side| side_us[side]) + on_us[last];
                if time_us < lifted_us && open[first] && open[last] {
                    found.push(Reverse(ByCorners {
                        time_us,
                        contour,
                        first,
                        last,
                        side,
                    }));
                }
            }
        }
    }

    /// Adds what forbids such a way; false where a clamp stands in it.
    fn way_by(
        &mut self,
        by: &ByCorners,
        (from_node, from): (usize, Origin),
        (to_node, to): (usize, Point),
        set: &mut [u64],
    ) -> bool {
        let corners = self.round[by.contour].corners;
        let (first, last) = (corners[by.first], corners[by.last]);
        let let_by = self.clamps.let_by(from.at, first)
            && self.clamps.let_by(first, last)
            && self.clamps.let_by(last, to);
        if !let_by {
            return false;
        }
        let legs = self.round.len() * 4;
        let kept_off = &self.kept_off;
        let leg = from_node * legs + by.contour * 4 + by.first;
        self.to_corner
            .add(leg, set, |set| kept_off.over(from, first, set));
        let leg = to_node * legs + by.contour * 4 + by.last;
        self.from_corner
            .add(leg, set, |set| kept_off.over(at_rest(last), to, set));
        if let Some(side) = by.side {
            add_all(set, &self.round[by.contour].side_over[side]);
        }
        true
    }
}

fn at_rest(at: Point) -> Origin {
    Origin { at, stands_in: None }
}
