//! The plan of a sheet: every contour once, in an order that keeps what must hold.

use std::sync::atomic::{AtomicBool, Ordering};

use plane::{Outline, Point};
use thiserror::Error;

use super::anneal::anneal;
use super::contour::Contour;
use super::exact::{MOST_CANDIDATES, MOST_EXACT, fastest};
use super::net::Net;
use super::precedence::{Before, precedence};
use super::travel::{Leg, TravelRules};

/// What is to be ordered.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// The contours.
    pub contours: Vec<Contour>,
    /// What must come before what, beside the insides, which are found here.
    pub before: Vec<Before>,
    /// Where the torch starts.
    pub home: Point,
    /// Where it goes at the end, if that counts.
    pub park: Option<Point>,
    /// How it travels.
    pub rules: TravelRules,
    /// What stands on the table and is gone round, in the same coordinates.
    pub clamps: Vec<Outline>,
}

/// How hard to look beyond [`MOST_EXACT`] contours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Search {
    /// The same seed gives the same order.
    pub seed: u64,
    /// How many changes are tried for each contour, in each of two searches side by side.
    pub tries_each: u32,
}

impl Default for Search {
    fn default() -> Search {
        Search {
            seed: 1,
            tries_each: 20_000,
        }
    }
}

/// How an order was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Found {
    /// No order of these contours and pierces travels less (to a microsecond a move).
    Proven,
    /// The best that a search came upon.
    Searched,
}

/// One contour of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Which contour.
    pub contour: usize,
    /// Which of its candidates.
    pub candidate: usize,
    /// The travel to its pierce.
    pub leg: Leg,
}

/// The order in which a sheet is cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Every contour once.
    pub steps: Vec<Step>,
    /// The way to the parking place, when there is one.
    pub park: Option<Leg>,
    /// Time of all travel, s.
    pub travel_s: f64,
    /// Travel, and what slower pierces cost over the fastest of their contours, s: what the plan makes least.
    pub counted_s: f64,
    /// Whether it is proven.
    pub found: Found,
    /// Everything that had to come before something, those found included.
    pub before: Vec<Before>,
}

/// Why there is no order.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum OrderError {
    /// A pair speaks of a contour that is not there.
    #[error("contour {contour} is to be ordered, but there are only {contours}, counted from 0")]
    NoSuchContour {
        /// Which was named.
        contour: usize,
        /// How many there are.
        contours: usize,
    },
    /// Contours that must each come before the other.
    #[error("the contours {contours:?} would each have to be cut before another of them")]
    Circle {
        /// Those that wait for each other, or for one that does.
        contours: Vec<usize>,
    },
    /// A contour without a pierce.
    #[error("contour {contour} has no pierce to be cut from")]
    NoCandidate {
        /// Which.
        contour: usize,
    },
    /// A place or time that is no number.
    #[error("contour {contour} has a pierce at no place, or that takes no time one can name")]
    NotFinite {
        /// Which.
        contour: usize,
    },
    /// Nobody wanted it any longer.
    #[error("nobody wanted it any longer")]
    NotWanted,
    /// More pierces than are ordered at once.
    #[error("{candidates} pierces are more than the {most} that are ordered at once")]
    TooMany {
        /// How many there are.
        candidates: usize,
        /// How many are taken.
        most: usize,
    },
}

/// Two tables of this squared are looked into all the time: the straight moves, 16 MB, which searches side by side share, and
/// where the ways stand, 16 MB for each of two. The ways themselves come on top, as many as are asked about.
const MOST_NODES: usize = 2000;

/// The order and pierces of least travel: proven up to [`MOST_EXACT`] contours of up to [`MOST_CANDIDATES`] candidates,
/// searched for beyond. Nothing to cut is a plan without steps.
pub fn plan(job: &Job, search: Search) -> Result<Plan, OrderError> {
    plan_while(job, search, &AtomicBool::new(false))
}

/// As [`plan`], until `stop` is set by whoever no longer wants it: it is looked at all through the search, and before the proof.
///
/// # Errors
/// [`OrderError::NotWanted`] once it was set; else as [`plan`].
pub fn plan_while(job: &Job, search: Search, stop: &AtomicBool) -> Result<Plan, OrderError> {
    check(job)?;
    let pairs = precedence(&job.contours, &job.before)?;
    let mut net = Net::new(job, &pairs);
    let small = job.contours.len() <= MOST_EXACT
        && job.contours.iter().all(|c| c.candidates.len() <= MOST_CANDIDATES);
    // For a proof the search only has to come near: what it finds tells which states can be left out.
    const TRIES_FOR_A_PROOF: u32 = 3000;
    let known = if small {
        anneal(&mut net, search.seed, TRIES_FOR_A_PROOF, stop)
    } else {
        better_of_two(&mut net, search, stop)
    };
    if stop.load(Ordering::Relaxed) {
        return Err(OrderError::NotWanted);
    }
    let known_us = length_us(&mut net, &known);
    let (order, found) = match small.then(|| fastest(&mut net, known_us)).flatten() {
        Some(order) => (order, Found::Proven),
        None => (known, Found::Searched),
    };
    let counted_us = length_us(&mut net, &order);
    debug_assert!(
        counted_us <= known_us,
        "the proven order is no slower than a known one"
    );
    let mut cut = vec![false; net.contours()];
    let mut here = net.end();
    let mut steps = Vec::with_capacity(order.len());
    for node in order {
        let leg = net.leg(here, node, |contour| cut[contour]);
        let at = net.nodes[node];
        steps.push(Step {
            contour: at.contour,
            candidate: at.candidate,
            leg,
        });
        cut[at.contour] = true;
        here = node;
    }
    let parks = net.parks && !steps.is_empty();
    let park = parks.then(|| net.leg(here, net.end(), |_| true));
    Ok(Plan {
        travel_s: steps
            .iter()
            .map(|step| &step.leg)
            .chain(&park)
            .map(|leg| leg.time_s)
            .sum(),
        counted_s: counted_us as f64 / 1e6,
        steps,
        park,
        found,
        before: pairs.into_iter().collect(),
    })
}

/// The faster of two orders that are searched for side by side, each with a seed of its own; the first where they are alike, so
/// that it is the same on any number of threads.
fn better_of_two(net: &mut Net, search: Search, stop: &AtomicBool) -> Vec<usize> {
    let mut other = net.clone();
    let (first, second) = rayon::join(
        || anneal(net, search.seed, search.tries_each, stop),
        || anneal(&mut other, !search.seed, search.tries_each, stop),
    );
    if length_us(&mut other, &second) < length_us(net, &first) {
        second
    } else {
        first
    }
}

/// What an order comes to, microseconds.
fn length_us(net: &mut Net, order: &[usize]) -> u64 {
    let mut cut = vec![false; net.contours()];
    let mut here = net.end();
    let mut total_us = 0;
    for &node in order {
        total_us += u64::from(net.travel_us(here, node, |contour| cut[contour]));
        total_us += u64::from(net.nodes[node].own_us);
        cut[net.nodes[node].contour] = true;
        here = node;
    }
    if net.parks && !order.is_empty() {
        total_us += u64::from(net.travel_us(here, net.end(), |_| true));
    }
    total_us
}

fn check(job: &Job) -> Result<(), OrderError> {
    for (contour, given) in job.contours.iter().enumerate() {
        if given.candidates.is_empty() {
            return Err(OrderError::NoCandidate { contour });
        }
        let finite = given.candidates.iter().all(|c| {
            [c.enter.x, c.enter.y, c.leave.x, c.leave.y, c.cut_s]
                .iter()
                .all(|v| v.is_finite())
        });
        if !finite {
            return Err(OrderError::NotFinite { contour });
        }
    }
    let candidates = job.contours.iter().map(|c| c.candidates.len()).sum();
    if candidates > MOST_NODES {
        return Err(OrderError::TooMany {
            candidates,
            most: MOST_NODES,
        });
    }
    Ok(())
}
