//! Parts on a sheet or on a remnant of any outline: where each lies so that margins hold and most is left over.
//!
//! The search works on a grid in which a cell is free only when all of it is, and on which a part covers every cell it
//! touches; so what fits on the grid fits. Then each part is slid against its neighbours by exact distances, and the
//! whole is checked once more, by itself, on the true outlines ([`breaches`]).

mod check;
mod exactly;
mod fill;
mod gap;
mod grid;
mod job;
mod layout;
mod remnant;
mod settle;

pub use check::{Breach, breaches};
pub use job::{Corner, Effort, Gaps, Grain, Part, PlaceError, Sheet, Turns};
pub use layout::{Layout, Placed, place};
pub use remnant::Remnant;
