//! Waiting for the plate to cool, or going elsewhere first.

use plane::Point;

use super::heat::{HotPlate, Plate, PlateError};
use super::net::Net;
use super::plan::{Job, Plan, Step};
use crate::Track;

/// How hot a start may be, and what heats.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooling {
    /// The plate.
    pub plate: Plate,
    /// The most at which a pierce may start, C.
    pub ceiling_c: f64,
    /// How much of the torch's heat stays in the plate, W.
    pub power_w: f64,
    /// From the end of the travel to the start of the track: finding the plate, pierce, s.
    pub pierce_s: f64,
    /// The longest wait, s; what is still hotter then is cut and said.
    pub longest_wait_s: f64,
    /// The track of each candidate of each contour, in the order of the job.
    pub tracks: Vec<Vec<Track>>,
}

/// The start of one contour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    /// Which contour.
    pub contour: usize,
    /// When the torch has come to it, s.
    pub arrives_s: f64,
    /// How hot the plate is there then, C.
    pub arrives_c: f64,
    /// How long is waited, s.
    pub waits_s: f64,
    /// How hot the plate is there when it is pierced, C.
    pub pierced_c: f64,
}

/// A plan with its temperatures.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooled {
    /// The steps in the order that is kept.
    pub steps: Vec<Step>,
    /// The way to the parking place, when there is one.
    pub park: Option<super::Leg>,
    /// How each starts.
    pub starts: Vec<Start>,
    /// All waiting, s.
    pub waits_s: f64,
    /// From leaving home to the end of the last cut, s.
    pub takes_s: f64,
    /// Contours that were brought forward so that others could cool meanwhile.
    pub brought_forward: Vec<usize>,
}

/// As many contours further on are looked at for one to go to first.
const LOOKS_AHEAD: usize = 10;
/// And as often in one plan: each look times what lies between.
const MOST_LOOKS: usize = 200;

/// Times a plan and keeps every start under the ceiling: where one is too hot, a later contour that may come now is cut
/// first, if what lies between is then done sooner; else it waits. Beyond the proof of the plan: nobody says that no other
/// order waits less.
pub fn cooled(job: &Job, plan: &Plan, cooling: &Cooling) -> Result<Cooled, PlateError> {
    let pairs = plan.before.iter().copied().collect();
    let mut net = Net::new(job, &pairs);
    let mut order: Vec<usize> = plan
        .steps
        .iter()
        .map(|step| net.of_contour[step.contour].start + step.candidate)
        .collect();
    let mut table = Table {
        plate: HotPlate::new(cooling.plate)?,
        cut: vec![false; net.contours()],
        here: net.end(),
        now_s: 0.0,
    };
    let mut cooled = Cooled {
        steps: Vec::with_capacity(order.len()),
        park: None,
        starts: Vec::with_capacity(order.len()),
        waits_s: 0.0,
        takes_s: 0.0,
        brought_forward: Vec::new(),
    };
    let mut looks = 0;
    for at in 0..order.len() {
        // Each time around another contour has come to stand here; looks are counted, so it ends.
        while looks < MOST_LOOKS && table.arrives(&mut net, job, order[at], cooling).waits_s > 0.0 {
            let mut best: Option<(f64, usize)> = None;
            for later in at + 1..order.len().min(at + 1 + LOOKS_AHEAD) {
                let contour = net.nodes[order[later]].contour;
                let between = &order[at..later];
                let held_back = net.before[contour]
                    .iter()
                    .any(|c| between.iter().any(|n| net.nodes[*n].contour == *c));
                if held_back {
                    continue;
                }
                looks += 1;
                let next = order.get(later + 1).copied();
                let mut first = order[at..=later].to_vec();
                let as_is_s = table.clone().done_s(&mut net, job, &first, next, cooling);
                first.rotate_right(1);
                let saved_s = as_is_s - table.clone().done_s(&mut net, job, &first, next, cooling);
                /// A hundredth of a second is no reason to leave the planned order.
                const WORTH_S: f64 = 0.01;
                if saved_s > best.map_or(WORTH_S, |(most_s, _)| most_s) {
                    best = Some((saved_s, later));
                }
            }
            let Some((_, later)) = best else { break };
            cooled.brought_forward.push(net.nodes[order[later]].contour);
            order[at..=later].rotate_right(1);
        }
        let node = order[at];
        let leg = net.leg(table.here, node, |contour| table.cut[contour]);
        cooled.steps.push(Step {
            contour: net.nodes[node].contour,
            candidate: net.nodes[node].candidate,
            leg,
        });
        let start = table.cuts(&mut net, job, node, cooling);
        cooled.waits_s += start.waits_s;
        cooled.starts.push(start);
    }
    cooled.takes_s = table.now_s;
    if net.parks && !order.is_empty() {
        cooled.park = Some(net.leg(table.here, net.end(), |_| true));
    }
    Ok(cooled)
}

/// How things stand when some of the order is done.
#[derive(Clone)]
struct Table {
    plate: HotPlate,
    cut: Vec<bool>,
    here: usize,
    now_s: f64,
}

impl Table {
    fn arrives(&self, net: &mut Net, job: &Job, node: usize, cooling: &Cooling) -> Start {
        let at = net.nodes[node];
        let enter = job.contours[at.contour].candidates[at.candidate].enter;
        let travel_us = net.travel_us(self.here, node, |contour| self.cut[contour]);
        let arrives_s = self.now_s + f64::from(travel_us) / 1e6;
        let waits_s = wait_s(&self.plate, enter, arrives_s, cooling);
        Start {
            contour: at.contour,
            arrives_s,
            arrives_c: self.plate.temperature_c(enter, arrives_s),
            waits_s,
            pierced_c: self.plate.temperature_c(enter, arrives_s + waits_s),
        }
    }

    fn cuts(&mut self, net: &mut Net, job: &Job, node: usize, cooling: &Cooling) -> Start {
        let start = self.arrives(net, job, node, cooling);
        let at = net.nodes[node];
        let cut_s = job.contours[at.contour].candidates[at.candidate].cut_s;
        let burns_s = start.arrives_s + start.waits_s + cooling.pierce_s;
        if let Some(track) = cooling
            .tracks
            .get(at.contour)
            .and_then(|tracks| tracks.get(at.candidate))
        {
            self.plate.burn_track(track, burns_s, cut_s, cooling.power_w);
        }
        self.now_s = burns_s + cut_s;
        self.cut[at.contour] = true;
        self.here = node;
        start
    }

    /// When these are cut and the next, if there is one, can be pierced, s.
    fn done_s(
        mut self,
        net: &mut Net,
        job: &Job,
        nodes: &[usize],
        next: Option<usize>,
        cooling: &Cooling,
    ) -> f64 {
        for node in nodes {
            self.cuts(net, job, *node, cooling);
        }
        match next {
            Some(next) => {
                let start = self.arrives(net, job, next, cooling);
                start.arrives_s + start.waits_s
            }
            None => self.now_s,
        }
    }
}

/// How long until a place is under the ceiling, s: the first time found by steps that grow, to a hundredth of a second.
fn wait_s(plate: &HotPlate, at: Point, now_s: f64, cooling: &Cooling) -> f64 {
    const TO_S: f64 = 0.01;
    let cool = |wait_s: f64| plate.temperature_c(at, now_s + wait_s) <= cooling.ceiling_c;
    if cool(0.0) {
        return 0.0;
    }
    let (mut hot, mut step) = (0.0, 0.25);
    while !cool(hot + step) {
        hot += step;
        step *= 1.5;
        if hot >= cooling.longest_wait_s {
            return cooling.longest_wait_s;
        }
    }
    let mut cold = hot + step;
    while cold - hot > TO_S {
        let middle = (hot + cold) / 2.0;
        if cool(middle) {
            cold = middle;
        } else {
            hot = middle;
        }
    }
    cold.min(cooling.longest_wait_s)
}
