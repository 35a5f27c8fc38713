//! The order of the bends: exact, over every set of finished steps, every tool, both ways round.

mod afresh;
mod clear;
mod effort;
mod held;
mod lattice;
mod moves;
mod plan;
mod run;
mod search;
mod setup;
mod told;
mod variants;

pub use afresh::{Afresh, StepFault, steps_meet};
pub use effort::{Effort, Weights};
pub use held::{Edge, Gauge};
pub use moves::Round;
pub use plan::{Block, Blocked, Clearance, Held, NoOrder, Outcome, Plan, PlanError, Proof, Step, What};
pub use search::plan;

#[cfg(test)]
pub(crate) use clear::of_tool;
pub(crate) use clear::{motion_of, self_motion};
pub(crate) use moves::{Stroke, strokes};
pub(crate) use search::{Search, plan_if_any, plan_kerfed};
pub(crate) use setup::Setup;
pub(crate) use told::why;
pub(crate) use variants::Variant;
