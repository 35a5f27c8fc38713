//! The places a torch goes between, and how long it takes from each to each by what is cut.

use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::Arc;

use plane::Point;

use super::plan::Job;
use super::precedence::{Before, neighbours};
use super::travel::{Leg, microseconds};
use super::ways::{Origin, Way, Ways};

/// One candidate of one contour.
#[derive(Debug, Clone, Copy)]
pub(super) struct Node {
    pub contour: usize,
    /// Which of the contour's candidates.
    pub candidate: usize,
    enter: Point,
    leave: Origin,
    /// How much longer than the contour's fastest it cuts.
    pub own_us: u32,
}

/// One way, with the stretch of contours that forbid it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Packed {
    pub time_us: u32,
    from: u32,
    count: u32,
}

/// All candidates of all contours, home before the first and the parking place after the last.
#[derive(Debug, Clone)]
pub(super) struct Net {
    pub nodes: Vec<Node>,
    /// The nodes of each contour.
    pub of_contour: Vec<Range<usize>>,
    /// Contours directly before and after each.
    pub before: Vec<Vec<usize>>,
    pub after: Vec<Vec<usize>>,
    pub parks: bool,
    home: Origin,
    park: Point,
    ways: Ways,
    /// From each to each the straight move: no way is faster. Apart from what follows, so that more of it stays at hand; never
    /// changed, and so one and the same for searches side by side.
    straight_us: Arc<[u32]>,
    /// 0 not asked yet; 1 nothing can forbid the straight move; from 2 on, where the ways stand.
    listed: Vec<u32>,
    lists: Vec<Range<u32>>,
    /// All ways of all lists, and all contours that forbid any.
    all_ways: Vec<Packed>,
    forbidding: Vec<u16>,
    /// For each of the lists the contours it speaks of, a bit each, shared where there are many.
    bits: Vec<u64>,
}

impl Net {
    pub fn new(job: &Job, pairs: &BTreeSet<Before>) -> Net {
        let contours = &job.contours;
        let count = contours.iter().map(|contour| contour.candidates.len()).sum();
        let ways = Ways::new(contours, &job.clamps, count, job.rules);
        let mut nodes = Vec::new();
        let mut of_contour = Vec::new();
        for (contour, given) in contours.iter().enumerate() {
            let start = nodes.len();
            let fastest_s = given
                .candidates
                .iter()
                .map(|c| c.cut_s)
                .fold(f64::INFINITY, f64::min);
            for (candidate, way) in given.candidates.iter().enumerate() {
                let depth_mm = ways.ground(contour).depth_mm(&given.shape, way.leave);
                nodes.push(Node {
                    contour,
                    candidate,
                    enter: way.enter,
                    leave: Origin {
                        at: way.leave,
                        stands_in: Some((contour, depth_mm)),
                    },
                    own_us: microseconds(way.cut_s - fastest_s),
                });
            }
            of_contour.push(start..nodes.len());
        }
        let home = Origin {
            at: job.home,
            stands_in: None,
        };
        let (before, after) = neighbours(contours.len(), pairs);
        let mut net = Net {
            nodes,
            of_contour,
            before,
            after,
            parks: job.park.is_some(),
            home,
            park: job.park.unwrap_or(job.home),
            ways,
            straight_us: Arc::default(),
            listed: vec![0; (count + 1) * (count + 1)],
            lists: Vec::new(),
            bits: Vec::new(),
            all_ways: Vec::new(),
            forbidding: Vec::new(),
        };
        net.straight_us = (0..=count)
            .flat_map(|from| (0..=count).map(move |to| (from, to)))
            .map(|(from, to)| net.ways.straight_us(net.origin(from).at, net.goal(to)))
            .collect();
        net
    }

    /// How many contours.
    pub fn contours(&self) -> usize {
        self.of_contour.len()
    }

    /// The number of home as an origin and of the parking place as a goal.
    pub fn end(&self) -> usize {
        self.nodes.len()
    }

    fn origin(&self, from: usize) -> Origin {
        self.nodes.get(from).map_or(self.home, |node| node.leave)
    }

    fn goal(&self, to: usize) -> Point {
        self.nodes.get(to).map_or(self.park, |node| node.enter)
    }

    /// The time of the straight move, which no way beats.
    pub fn straight_us(&self, from: usize, to: usize) -> u32 {
        self.straight_us[from * (self.nodes.len() + 1) + to]
    }

    fn looked_up(&mut self, from: usize, to: usize) -> u32 {
        let index = from * (self.nodes.len() + 1) + to;
        match self.listed[index] {
            0 => self.list(from, to, index),
            listed => listed,
        }
    }

    fn list(&mut self, from: usize, to: usize, index: usize) -> u32 {
        let ways = self.worked_out(from, to);
        let at = if ways[0].forbidden_by.is_empty() && ways[0].time_us == self.straight_us[index] {
            1
        } else {
            let contours = ways.iter().flat_map(|way| &way.forbidden_by);
            self.bits
                .push(contours.fold(0, |bits, contour| bits | 1 << (contour % 64)));
            let first = self.all_ways.len() as u32;
            for way in ways {
                self.all_ways.push(Packed {
                    time_us: way.time_us,
                    from: self.forbidding.len() as u32,
                    count: way.forbidden_by.len() as u32,
                });
                self.forbidding.extend(way.forbidden_by);
            }
            self.lists.push(first..self.all_ways.len() as u32);
            self.lists.len() as u32 + 1
        };
        self.listed[index] = at;
        at
    }

    fn worked_out(&mut self, from: usize, to: usize) -> Vec<Way> {
        let to_contour = self.nodes.get(to).map(|node| node.contour);
        let (origin, goal) = (self.origin(from), self.goal(to));
        self.ways.ways((from, origin), (to, goal), to_contour)
    }

    /// How long the torch travels, by which contours are cut.
    pub fn travel_us(&mut self, from: usize, to: usize, is_cut: impl Fn(usize) -> bool) -> u32 {
        let listed = self.looked_up(from, to);
        if listed == 1 {
            return self.straight_us(from, to);
        }
        let list = &self.lists[listed as usize - 2];
        let ways = &self.all_ways[list.start as usize..list.end as usize];
        let free = |way: &&Packed| {
            !self
                .forbidding(**way)
                .iter()
                .any(|contour| is_cut(usize::from(*contour)))
        };
        ways.iter().find(free).map_or(u32::MAX / 16, |way| way.time_us)
    }

    /// The contours that can stand in the way, a bit each (the contour's number modulo 64).
    pub fn in_the_way(&mut self, from: usize, to: usize) -> u64 {
        match self.looked_up(from, to) {
            1 => 0,
            ways => self.bits[ways as usize - 2],
        }
    }

    /// All ways from one to another, fastest first, the last without conditions; empty when the straight move is always free.
    pub fn conditional(&mut self, from: usize, to: usize) -> &[Packed] {
        match self.looked_up(from, to) {
            1 => &[],
            ways => {
                let list = &self.lists[ways as usize - 2];
                &self.all_ways[list.start as usize..list.end as usize]
            }
        }
    }

    /// What forbids a way.
    pub fn forbidding(&self, way: Packed) -> &[u16] {
        &self.forbidding[way.from as usize..(way.from + way.count) as usize]
    }

    /// The move as it is made.
    pub fn leg(&mut self, from: usize, to: usize, is_cut: impl Fn(usize) -> bool) -> Leg {
        let free = |way: &Way| {
            !way.forbidden_by
                .iter()
                .any(|contour| is_cut(usize::from(*contour)))
        };
        let ways = self.worked_out(from, to);
        let way = ways
            .into_iter()
            .find(free)
            .expect("the last way has no conditions");
        Leg {
            from: self.origin(from).at,
            via: way.via,
            to: self.goal(to),
            lifted: way.lifted,
            time_s: f64::from(way.time_us) / 1e6,
        }
    }
}
