//! What a search answers: a plan step by step, or why there is none.

use super::effort::Effort;
use super::held::Gauge;
use super::moves::Round;
use crate::needs::Stop;
use crate::sweep::ToolSolid;
use crate::tooling::{Means, ToolFault};
use crate::work::Solid;

/// Why no search was made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// The tools are not as they can be.
    #[error("the bending tools cannot be used as written: {}", .0.first().map(ToString::to_string).unwrap_or_default())]
    Tools(Vec<ToolFault>),
    /// Too many ways to make up tools.
    #[error("{variants} ways to make up the tools are more than the {most} that are searched at once")]
    TooManyTools {
        /// Ways that serve some bend.
        variants: usize,
        /// The most.
        most: usize,
    },
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// The best order.
    Plan(Plan),
    /// There is none with these tools.
    None(NoOrder),
}

impl Outcome {
    /// The plan, if there is one.
    pub fn plan(&self) -> Option<&Plan> {
        match self {
            Outcome::Plan(plan) => Some(plan),
            Outcome::None(_) => None,
        }
    }
}

/// How much was looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Proof {
    /// Sets of finished steps that were looked at; without an order, those that are reached.
    pub sets: u64,
    /// Strokes with a tool and a way round that had to be asked about.
    pub choices: u64,
    /// Pairs of solids whose motion was followed.
    pub sweeps: u64,
    /// Lengths that tools can be made up to, and that were not asked about as there were too many: with any, that there is
    /// no order is shown only for those that were.
    pub left_out: usize,
}

/// The bends in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Step by step.
    pub steps: Vec<Step>,
    /// What it costs altogether.
    pub effort: Effort,
    /// How much was looked at.
    pub proof: Proof,
}

impl Plan {
    /// The least clearance of all steps.
    pub fn least_clearance(&self) -> Option<&Clearance> {
        let all = self.steps.iter().filter_map(|step| step.clearance.as_ref());
        all.min_by(|a, b| a.mm.total_cmp(&b.mm))
    }
}

/// One step of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The lines bent, as indices into [`crate::work::Work::lines`]; more than one in one stroke.
    pub lines: Vec<usize>,
    /// The steps done before this, as bits of [`crate::work::Work::stages`].
    pub before: u32,
    /// And after.
    pub after: u32,
    /// The angle bent through before and after, rad.
    pub from_rad: f64,
    /// After release.
    pub to_rad: f64,
    /// Under load: the angle to bend to, rad.
    pub loaded_rad: f64,
    /// Pressed shut between flat faces.
    pub closing: bool,
    /// The tools.
    pub means: Means,
    /// Length of tool on the bend, mm.
    pub tool_mm: f64,
    /// Which way round.
    pub round: Round,
    /// Whether the marked face is up.
    pub marked_up: bool,
    /// The part is turned over before this step.
    pub flip: bool,
    /// The part is turned round before this step.
    pub turn: bool,
    /// Other tools, or another length, are put up before this step.
    pub change: bool,
    /// Where the gauge stands.
    pub gauge: Gauge,
    /// What the hand holds.
    pub held: Held,
    /// The part goes on or comes off only along the bend.
    pub off_the_end: bool,
    /// The nearest that anything comes to anything but what it lies on; none when nothing is near.
    pub clearance: Option<Clearance>,
    /// Over part of the bend a leg is too short to lie on the tool.
    pub leg_short_in_part: bool,
    /// What it costs.
    pub effort: Effort,
}

/// What is held in a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// Mass of the part, kg; none where the metal is not known.
    pub mass_kg: Option<f64>,
    /// By how much the front outweighs the back about the bend, N mm; below 0 it lies by itself.
    pub front_heavy_n_mm: f64,
    /// How far the part reaches toward the person, mm.
    pub front_mm: f64,
    /// And toward the back.
    pub back_mm: f64,
}

/// The nearest two solids of a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// The gap, mm; a little below 0 where they touch.
    pub mm: f64,
    /// The part's solid.
    pub part: Solid,
    /// What it comes near.
    pub to: What,
}

/// What a solid of the part comes near or meets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// A tool or a machine.
    Tool(ToolSolid),
    /// The part itself.
    Part(Solid),
}

/// There is no order: all that can be reached was looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct NoOrder {
    /// Sets of finished steps from which nothing goes on, the fullest first.
    pub ends: Vec<u32>,
    /// Why nothing goes on from the fullest of them, bend by bend: for each the reason that stands nearest to being none.
    pub blocked: Vec<Blocked>,
    /// How much was looked at.
    pub proof: Proof,
}

/// A bend that cannot be made.
#[derive(Debug, Clone, PartialEq)]
pub struct Blocked {
    /// The line.
    pub line: usize,
    /// The steps done.
    pub done: u32,
    /// With the tools that come nearest to making it; none when there are no tools at all.
    pub means: Option<Means>,
    /// How much of them is put up, mm; none where that is not what stands against it.
    pub tool_mm: Option<f64>,
    /// Which way round.
    pub round: Option<Round>,
    /// Why.
    pub why: Block,
}

/// Why a bend cannot be made.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// The tools are not for it, or a leg is too short.
    Stop(Stop),
    /// Something meets.
    Meets {
        /// The part's solid.
        part: Solid,
        /// What it meets.
        with: What,
        /// The angle at which they do, rad.
        at_rad: f64,
        /// How deep they would be in each other, mm.
        depth_mm: f64,
    },
    /// The bend could be made, and the part would not come off the tool.
    Trapped {
        /// The part's solid that holds it.
        part: Solid,
        /// The tool's.
        with: ToolSolid,
    },
    /// There is no tool at all.
    NoTools,
}
