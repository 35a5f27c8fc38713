//! Loads of different size added up.

use crate::fatigue::category::Curve;

/// A load that comes some number of times.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// Stress range, MPa.
    pub range_mpa: f64,
    /// How often.
    pub cycles: f64,
}

/// Share of the life that the blocks use up: sum of n/N, Palmgren and Miner. 1 is a crack, as an estimate. Blocks below the
/// cut-off add nothing.
pub fn damage(curve: &Curve, blocks: &[Block]) -> f64 {
    blocks
        .iter()
        .map(|block| block.cycles / curve.cycles(block.range_mpa))
        .sum()
}
