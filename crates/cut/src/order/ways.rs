//! How long the torch is on the way from one contour to the next, by what is already cut.
//!
//! From where it left one contour to where it pierces the next the torch has, in this order of preference by time: the
//! straight move; a move round one or two corners of a box about something in the way, resting in each; the straight
//! move with the torch lifted clear. Each but the last is forbidden by the contours it passes over, once they are cut
//! and what is inside may have tipped. The last is always free, so that every order has a time. Where a clamp stands in the
//! way of the straight move, all of these go round it ([`super::clamps`]).

use plane::{Outline, Point};

use super::clamps::{Clamps, Round};
use super::contour::{After, Contour};
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
pub(super) struct Ways {
    rules: TravelRules,
    grounds: Vec<Ground>,
    clamps: Clamps,
    /// Only contours that are kept off, once cut.
    keep_off: Vec<usize>,
    /// The boxes that moves go round, one about each contour.
    round: Vec<RoundAbout>,
    /// What a move from each node to each corner of each box passes over, and from each corner to each node: asked once.
    /// Empty when there would be too many.
    to_corner: Vec<Option<Over>>,
    from_corner: Vec<Option<Over>>,
}

/// The contours that a move passes over.
type Over = Box<[u16]>;

/// As many legs are remembered: 32 MB each way.
const MOST_LEGS: usize = 2_000_000;

/// A box about a contour: its corners in order, and its sides, each from the corner of its number to the next.
struct RoundAbout {
    corners: [Point; 4],
    /// Which of the corners are on the table and clear of the clamps.
    open: [bool; 4],
    side_us: [u32; 4],
    side_over: [Vec<u16>; 4],
}

/// A way by one or two corners of the box about a contour, and the side between them.
#[derive(Debug, Clone, Copy)]
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
        let remembered = if legs <= MOST_LEGS { legs } else { 0 };
        let on_table = |at| rules.on_table(at);
        let straight_us = |from, to| rules.straight_us(from, to);
        let mut ways = Ways {
            rules,
            clamps: Clamps::new(clamps, rules.clear_mm, on_table, straight_us),
            round: Vec::new(),
            to_corner: vec![None; remembered],
            from_corner: vec![None; remembered],
            grounds: contours
                .iter()
                .map(|contour| Ground::of(&contour.shape))
                .collect(),
            keep_off: contours
                .iter()
                .enumerate()
                .filter(|(_, contour)| contour.after == After::KeepOff)
                .map(|(i, _)| i)
                .collect(),
        };
        ways.round = ways
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
            side_over: sides.map(|(from, to)| self.over(at_rest(from), to)),
        }
    }

    pub fn ground(&self, contour: usize) -> &Ground {
        &self.grounds[contour]
    }

    pub fn straight_us(&self, from: Point, to: Point) -> u32 {
        self.rules.straight_us(from, to)
    }

    /// What a straight move passes over. What it starts in it may leave by a near side: no more of it than twice the
    /// depth at which the torch stands.
    fn over(&self, from: Origin, to: Point) -> Vec<u16> {
        let allowed = |contour: usize| match from.stands_in {
            Some((own, depth_mm)) if own == contour => GRAZE_MM + 2.0 * depth_mm,
            _ => GRAZE_MM,
        };
        self.keep_off
            .iter()
            .filter(|contour| self.grounds[**contour].over_mm(from.at, to) > allowed(**contour))
            .map(|contour| *contour as u16)
            .collect()
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
            let straight = without_goal(Way {
                time_us: self.straight_us(from.at, to),
                forbidden_by: self.over(from, to),
                via: Vec::new(),
                lifted: false,
            });
            if straight.forbidden_by.is_empty() {
                return vec![straight];
            }
            let lifted = lifted(&straight);
            let mut by: Vec<ByCorners> = Vec::new();
            for contour in &straight.forbidden_by {
                self.by_corners(usize::from(*contour), from.at, to, lifted.time_us, &mut by);
            }
            by.sort_by_key(|by| by.time_us);
            ways.push(straight);
            for by in by {
                if ways.last().is_some_and(|way| way.forbidden_by.is_empty()) {
                    break;
                }
                if let Some(way) = self.way_by(&by, (from_node, from), (to_node, to)) {
                    add(&mut ways, without_goal(way));
                }
            }
            ways.push(lifted);
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
            let mut forbidden_by = Vec::new();
            for next in round.via.iter().chain([&to]) {
                forbidden_by.extend(self.over(here, *next));
                here = at_rest(*next);
            }
            forbidden_by.sort_unstable();
            forbidden_by.dedup();
            Way {
                time_us: round.time_us,
                forbidden_by,
                via: round.via,
                lifted: false,
            }
        };
        rounds.into_iter().map(way).collect()
    }

    /// The ways by one or two neighbouring corners of the box about a contour that are faster than lifting.
    fn by_corners(&self, contour: usize, from: Point, to: Point, lifted_us: u32, found: &mut Vec<ByCorners>) {
        let RoundAbout {
            corners,
            open,
            side_us,
            ..
        } = &self.round[contour];
        let to_us = corners.map(|corner| self.straight_us(from, corner));
        let on_us = corners.map(|corner| self.straight_us(corner, to));
        for first in 0..4 {
            for (last, side) in [
                (first, None),
                ((first + 1) % 4, Some(first)),
                ((first + 3) % 4, Some((first + 3) % 4)),
            ] {
                let time_us = to_us[first] + side.map_or(0, |side| side_us[side]) + on_us[last];
                if time_us < lifted_us && open[first] && open[last] {
                    found.push(ByCorners {
                        time_us,
                        contour,
                        first,
                        last,
                        side,
                    });
                }
            }
        }
    }

    /// Such a way with what forbids it; none where a clamp stands in it.
    fn way_by(
        &mut self,
        by: &ByCorners,
        (from_node, from): (usize, Origin),
        (to_node, to): (usize, Point),
    ) -> Option<Way> {
        let corners = self.round[by.contour].corners;
        let (first, last) = (corners[by.first], corners[by.last]);
        let let_by = self.clamps.let_by(from.at, first)
            && self.clamps.let_by(first, last)
            && self.clamps.let_by(last, to);
        if !let_by {
            return None;
        }
        let legs = self.round.len() * 4;
        let leg = from_node * legs + by.contour * 4 + by.first;
        let mut forbidden_by = self
            .remembered(leg, |ways| &mut ways.to_corner, from, first)
            .to_vec();
        let leg = to_node * legs + by.contour * 4 + by.last;
        forbidden_by.extend(
            self.remembered(leg, |ways| &mut ways.from_corner, at_rest(last), to)
                .iter(),
        );
        if let Some(side) = by.side {
            forbidden_by.extend(self.round[by.contour].side_over[side].iter().copied());
        }
        forbidden_by.sort_unstable();
        forbidden_by.dedup();
        Some(Way {
            time_us: by.time_us,
            forbidden_by,
            via: if by.first == by.last {
                vec![first]
            } else {
                vec![first, last]
            },
            lifted: false,
        })
    }

    /// What a leg passes over, from memory when it has been asked before.
    fn remembered(
        &mut self,
        leg: usize,
        memory: impl Fn(&mut Ways) -> &mut Vec<Option<Over>>,
        from: Origin,
        to: Point,
    ) -> Over {
        if let Some(Some(over)) = memory(self).get(leg) {
            return over.clone();
        }
        let over: Over = self.over(from, to).into();
        if let Some(place) = memory(self).get_mut(leg) {
            *place = Some(over.clone());
        }
        over
    }
}

fn at_rest(at: Point) -> Origin {
    Origin { at, stands_in: None }
}
