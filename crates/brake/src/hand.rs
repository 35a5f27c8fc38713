//! What one hand does in each step of a plan, and what must hold in place of the other.
//!
//! Two-hand controls and guards are part of the machine and stay as they are: a machine that asks for two hands is worked by
//! someone with two, and [`Aid::TwoHandControl`] says so of every press brake step.

use crate::needs::Practice;
use crate::order::{Edge, Plan, Step};
use crate::tooling::Means;
use crate::work::Work;

/// What holds where a second hand would.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aid {
    /// A stop or gauge that the edge is pushed against and that the part stays square by.
    Stop,
    /// A stop made for a point or a slanting edge, or a mark to bend to: the part must be fastened there before both hands
    /// are off it.
    Clamp,
    /// A magnet on the bed to hold it against the stop: steel only.
    Magnet,
    /// A rest under the front.
    Rest {
        /// By how much the front outweighs what lies behind the bend, N mm.
        front_heavy_n_mm: f64,
        /// How far out it should stand, mm from the bend line.
        out_mm: f64,
    },
    /// The hand comes so near that only a block or a push stick holds the plate.
    KeepOff {
        /// How far the plate reaches to the person, mm.
        front_mm: f64,
    },
    /// It goes off along the bend: the end of the machine must be free.
    OffTheEnd,
    /// Hammered over a jaw: the vice holds, one hand strikes.
    Struck,
    /// The machine may be worked by two-hand control or pedal: its guards and controls stay as they are.
    TwoHandControl,
}

/// One step for one hand.
#[derive(Debug, Clone, PartialEq)]
pub struct HandStep {
    /// Index into [`Plan::steps`].
    pub step: usize,
    /// Mass in the hand, kg; none where the metal is not known.
    pub mass_kg: Option<f64>,
    /// How far the part stands out toward the person, mm.
    pub front_mm: f64,
    /// What is needed.
    pub aids: Vec<Aid>,
    /// Worth sending out: it is over what one hand holds several times, or has no gauge at all.
    pub send_out: bool,
}

/// Over what one hand holds by so many times, a step is better sent out or done with help.
const HANDS_TO_SEND: f64 = 4.0;

/// Each step of a plan for one hand.
pub fn for_one_hand(work: &Work, plan: &Plan, practice: &Practice) -> Vec<HandStep> {
    let steel = work
        .stock
        .as_ref()
        .is_some_and(|stock| stock.family == handbook::Family::Steel);
    plan.steps
        .iter()
        .enumerate()
        .map(|(index, step)| of_step(index, step, practice, steel))
        .collect()
}

fn of_step(index: usize, step: &Step, practice: &Practice, steel: bool) -> HandStep {
    let mut aids = Vec::new();
    if step.means == Means::Away {
        // Others hold it.
        return HandStep {
            step: index,
            mass_kg: step.held.mass_kg,
            front_mm: step.held.front_mm,
            aids,
            send_out: true,
        };
    }
    match step.gauge.edge {
        Edge::Square | Edge::Bent => aids.push(Aid::Stop),
        Edge::Point | Edge::Mark => aids.push(Aid::Clamp),
    }
    let hands = step.held.front_heavy_n_mm / practice.hand_n_mm.value;
    if step.held.front_heavy_n_mm > 0.0 {
        // Half way out the front rests about in its middle.
        aids.push(Aid::Rest {
            front_heavy_n_mm: step.held.front_heavy_n_mm,
            out_mm: step.held.front_mm / 2.0,
        });
    } else if steel && !matches!(step.means, Means::Vice(_)) {
        aids.push(Aid::Magnet);
    }
    if step.held.front_mm < practice.hand_mm.value && !matches!(step.means, Means::Vice(_)) {
        aids.push(Aid::KeepOff {
            front_mm: step.held.front_mm,
        });
    }
    if step.off_the_end {
        aids.push(Aid::OffTheEnd);
    }
    match step.means {
        Means::Press { .. } => aids.push(Aid::TwoHandControl),
        Means::Vice(_) => aids.push(Aid::Struck),
        Means::Folder(_) | Means::Away => {}
    }
    HandStep {
        step: index,
        mass_kg: step.held.mass_kg,
        front_mm: step.held.front_mm,
        aids,
        send_out: hands > HANDS_TO_SEND || (step.gauge.edge == Edge::Mark && hands > 1.0),
    }
}
