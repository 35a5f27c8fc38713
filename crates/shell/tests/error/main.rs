//! The error that is told against the error there is, and the stresses to report.

mod exact;
#[path = "../shapes/grid.rs"]
mod grid;
mod places;
mod told;
