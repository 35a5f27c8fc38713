//! How long the machine takes: corner speeds, ramps, tracks; and what the work costs by the shop's own rates.
//!
//! The model is the one that path-following controllers have in common: a top speed, an acceleration along the path, a
//! jerk where the controller limits it, a pull sideways in arcs, and a rule for corners. What a real controller does
//! beyond it (its own smoothing, limits for each axis) is why every time that is shown is a range.

mod bill;
mod corner;
mod drive;
mod marking;
mod ramp;
mod track_time;
mod work;

pub use bill::{Bill, Rates, bill};
pub use corner::CornerRule;
pub use drive::{Drive, DriveError, Mover};
pub use marking::{MarkedLine, MarkingWork, marking_work};
pub use track_time::{Passed, TrackTime};
pub use work::{Between, Doubts, NotARange, Pierce, Work, work};
