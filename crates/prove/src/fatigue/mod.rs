//! How long a detail lasts under a load that comes and goes: an estimate, given as a band.
//!
//! Stress ranges MPa, cycles plain numbers. Categories and slopes come from the handbook; hand-made edges and welds scatter
//! by a factor of several in life, which is why no single number is given.

mod category;
mod life;
mod miner;

pub use category::{Curve, class_step};
pub use life::{Life, LifeBand, Spread, life_band};
pub use miner::{Block, damage};
