//! From a blank to what a cutting table does: rules of the cutter, the middle of the kerf, leads, holes, and the files
//! that a table reads.
//!
//! A [`profile::Profile`] is a cutter as plain numbers. [`tracks::tracks`] takes a blank on the table and gives, for each
//! contour, a few [`Cut`]s to choose from, with a plan for every hole and typed concerns; [`kerf`], [`lead`] and [`holes`]
//! are its steps. [`kerf_test`] measures the kerf. Lengths are mm, in table coordinates. No order, no program, no file of
//! a job is made by these.

mod compensate;
pub mod dxf;
pub mod holes;
pub mod kerf;
pub mod kerf_test;
pub mod lead;
pub mod profile;
pub mod rules;
mod track;
pub mod motion;
pub mod order;
pub mod place;
pub mod tracks;

pub use compensate::{NotOnEdge, OnEdge};
pub use track::{Cut, Of, Track};
