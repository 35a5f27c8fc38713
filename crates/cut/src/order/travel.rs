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
use crate::motion::Mover;

/// How the torch travels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TravelRules {
    /// What the machine can do.
    pub mover: Mover,
    /// What it takes more to lift the torch clear of a tipped part and come down again, s.
    pub lift_s: f64,
    /// How far a move round something stays from it, mm.
    pub clear_mm: f64,
    /// The corners of the table that moves stay on, when they are known.
    pub table: Option<(Point, Point)>,
}

impl TravelRules {
    fn on_table(&self, at: Point) -> bool {
        self.table
            .is_none_or(|(low, high)| low.x <= at.x && at.x <= high.x && low.y <= at.y && at.y <= high.y)
    }

    fn straight_us(&self, from: Point, to: Point) -> u32 {
        microseconds(self.mover.straight_s((to - from).norm()))
    }
}

/// One travel move.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// Where it starts.
    pub from: Point,
    /// Corners that it goes round, in order; none for a straight move.
    pub via: Vec<Point>,
    /// Where it ends.
    pub to: Point,
    /// Whether the torch is lifted clear first.
    pub lifted: bool,
    /// How long it takes, s.
    pub time_s: f64,
}

impl Leg {
    /// Its straight moves.
    pub fn moves(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let places = || {
            std::iter::once(self.from)
                .chain(self.via.iter().copied())
                .chain(std::iter::once(self.to))
        };
        places().zip(places().skip(1))
    }

    /// Its length, mm.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        self.moves().map(|(from, to)| (to - from).norm()).sum()
    }
}

/// Less than this over something is a touch of its edge and no travel over it: the width of a fine kerf.
pub(super) const GRAZE_MM: f64 = 0.2;

/// One way to travel, and what forbids it.
#[derive(Debug, Clone)]
pub(super) struct Way {
    pub time_us: u32,
    pub forbidden_by: Vec<u16>,
    pub via: Vec<Point>,
    pub lifted: bool,
}

/// Times are whole microseconds inside, so that sums are exact and a proof is one. No move takes longer than some four
/// minutes; one that would is taken as that.
pub(super) fn microseconds(time_s: f64) -> u32 {
    (time_s * 1e6).round().clamp(0.0, f64::from(u32::MAX / 16)) as u32
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
    on_table: [bool; 4],
    side_us: [u32; 4],
    side_over: [Vec<u16>; 4],
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
            on_table: corners.map(|corner| self.rules.on_table(corner)),
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
        let without_goal = |mut over: Vec<u16>| {
            over.retain(|contour| Some(usize::from(*contour)) != to_contour);
            over
        };
        let lift_us = microseconds(self.rules.lift_s);
        let mut found: Vec<Way> = Vec::new();
        let first = if self.clamps.let_by(from.at, to) {
            let straight = Way {
                time_us: self.straight_us(from.at, to),
                forbidden_by: without_goal(self.over(from, to)),
                via: Vec::new(),
                lifted: false,
            };
            for contour in &straight.forbidden_by {
                let ends = ((from_node, from), (to_node, to));
                self.ways_round(
                    usize::from(*contour),
                    ends,
                    straight.time_us + lift_us,
                    &mut found,
                );
            }
            straight
        } else {
            found = self.ways_round_clamps(from, to);
            found.remove(0)
        };
        for way in &mut found {
            way.forbidden_by = without_goal(std::mem::take(&mut way.forbidden_by));
        }
        let first = Way {
            forbidden_by: without_goal(first.forbidden_by),
            ..first
        };
        if first.forbidden_by.is_empty() {
            return vec![first];
        }
        let lifted = Way {
            time_us: first.time_us + lift_us,
            forbidden_by: Vec::new(),
            via: first.via.clone(),
            lifted: true,
        };
        found.retain(|way| way.time_us < lifted.time_us);
        found.sort_by_key(|way| way.time_us);
        let mut ways = vec![first];
        for way in found {
            // One that is forbidden whenever a faster one is adds nothing.
            let adds = ways.iter().all(|faster| {
                faster
                    .forbidden_by
                    .iter()
                    .any(|contour| !way.forbidden_by.contains(contour))
            });
            if adds {
                ways.push(way);
            }
        }
        if ways.last().is_some_and(|way| !way.forbidden_by.is_empty()) {
            ways.push(lifted);
        }
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
    fn ways_round(
        &mut self,
        contour: usize,
        ((from_node, from), (to_node, to)): ((usize, Origin), (usize, Point)),
        lifted_us: u32,
        found: &mut Vec<Way>,
    ) {
        let RoundAbout {
            corners,
            on_table,
            side_us,
            ..
        } = self.round[contour];
        let to_us = corners.map(|corner| self.straight_us(from.at, corner));
        let on_us = corners.map(|corner| self.straight_us(corner, to));
        for first in 0..4 {
            for (last, side) in [
                (first, None),
                ((first + 1) % 4, Some(first)),
                ((first + 3) % 4, Some((first + 3) % 4)),
            ] {
                let side_us = side.map_or(0, |side| side_us[side]);
                let time_us = to_us[first] + side_us + on_us[last];
                let let_by = || {
                    self.clamps.let_by(from.at, corners[first])
                        && self.clamps.let_by(corners[first], corners[last])
                        && self.clamps.let_by(corners[last], to)
                };
                if time_us >= lifted_us || !on_table[first] || !on_table[last] || !let_by() {
                    continue;
                }
                let legs = self.round.len() * 4;
                let (at, leg) = (corners[first], from_node * legs + contour * 4 + first);
                let mut forbidden_by = self
                    .remembered(leg, |ways| &mut ways.to_corner, from, at)
                    .to_vec();
                let (at, leg) = (at_rest(corners[last]), to_node * legs + contour * 4 + last);
                forbidden_by.extend(self.remembered(leg, |ways| &mut ways.from_corner, at, to).iter());
                if let Some(side) = side {
                    forbidden_by.extend(self.round[contour].side_over[side].iter().copied());
                }
                forbidden_by.sort_unstable();
                forbidden_by.dedup();
                let mut via = vec![corners[first]];
                if last != first {
                    via.push(corners[last]);
                }
                found.push(Way {
                    time_us,
                    forbidden_by,
                    via,
                    lifted: false,
                });
            }
        }
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
