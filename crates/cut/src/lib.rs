//! Rules of the cutter, and the files that a cutting table reads.

pub mod dxf;
pub mod holes;
pub mod kerf;
pub mod kerf_test;
pub mod lead;
pub mod profile;
pub mod rules;
mod track;
pub mod tracks;

pub use track::{Cut, Of, Track};
