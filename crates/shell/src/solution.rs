//! What one load does.

use nalgebra::Vector6;

/// Movements and forces under one load.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Movement (mm) and turn (rad) of every node, in global axes.
    pub moves: Vec<Vector6<f64>>,
    /// What each spring does to its `from` node, in the spring's axes, N and N mm; preload included.
    pub springs: Vec<Vector6<f64>>,
    /// What each seat pushes with, N, at least 0.
    pub seats_n: Vec<f64>,
    /// What holds each tied unknown where the ties say: force or moment that the tie puts on it, N or N mm, in the order
    /// of [`crate::Model::ties`]. For a fixed unknown it is the reaction.
    pub ties: Vec<f64>,
    /// Strain energy, N mm.
    pub energy_n_mm: f64,
}
