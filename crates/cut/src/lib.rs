//! From a blank to what a cutting table does: rules of the cutter, the middle of the kerf, leads, holes, and the files
//! that a table reads.
//!
//! A [`profile::Profile`] is a cutter as plain numbers. [`tracks::tracks`] takes a blank on the table and gives, for each
//! contour, a few [`Cut`]s to choose from, with a plan for every hole and typed concerns; [`kerf`], [`lead`] and [`holes`]
//! are its steps. [`kerf_test`] measures the kerf. [`order`] chooses among the cuts and puts them in order, [`motion`] times and
//! bills them, [`place`] lays parts on a sheet; [`whole`] is all of it for one sheet. Lengths are mm, in table coordinates.

pub mod dxf;
pub mod gcode;
mod grain;
pub mod holes;
pub mod import;
pub mod kerf;
pub mod kerf_strip;
pub mod kerf_test;
pub mod lead;
pub mod motion;
pub mod order;
pub mod place;
pub mod profile;
pub mod rules;
mod track;
pub mod tracks;
pub mod verify;
pub mod whole;

pub use grain::GrainError;
pub use track::{Cut, Of, Track};
