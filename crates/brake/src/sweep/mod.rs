//! Motion while a bend is made, and whether anything meets on the way.
//!
//! All of it happens in planes across the bend: plate and tools turn about axes along the bend and slide across it, so y
//! never changes. The frame is the tool's: x from the person toward the back, y along the bend, z up; the punch's nose (or
//! the fold's nose) stands still at 0, 0.

mod advance;
mod motion;
mod sector;
mod station;

pub use advance::{Meeting, TOUCH_MM, first_meeting, least_gap};
pub(crate) use advance::{Scratch, gap_at, meeting};
pub use motion::{Action, Motion, Mover};
pub(crate) use sector::Sector;
pub(crate) use station::Sections;
pub use station::{Holds, Station, ToolPiece, ToolSolid};
