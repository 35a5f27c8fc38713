//! The inside radius that really comes, and what it changes, as it leaves.

use serde::Serialize;

use super::Num;

/// Radii that come otherwise than drawn.
#[derive(Debug, Clone, Serialize)]
pub struct TrueRadius {
    /// Whether the blank is developed for what comes.
    pub used: bool,
    /// Why not, when it is not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why_not: Option<String>,
    /// The most that any leg lies elsewhere on the blank; absent when the blank is as drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_mm: Option<Num>,
    /// Bend by bend.
    pub bends: Vec<TrueBendRow>,
    /// Leg by leg; empty when the blank is as drawn.
    pub legs: Vec<LegRow>,
    /// Width and height of the blank, as drawn and as it comes; absent when it is as drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub blank_mm: Option<[[Num; 2]; 2]>,
}

/// A bend as drawn and as it comes.
#[derive(Debug, Clone, Serialize)]
pub struct TrueBendRow {
    /// Its name.
    pub bend: String,
    /// The tools, in words.
    pub tool: String,
    /// Inside radius as drawn.
    pub drawn_mm: Num,
    /// As it comes.
    pub comes_mm: Num,
    /// Where that comes from.
    pub from: String,
    /// K as it comes.
    pub k: Num,
    /// Where K comes from.
    pub k_from: String,
    /// Width of the strip on the blank, before and after; absent when the blank is as drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub strip_mm: Option<[Num; 2]>,
    /// Outside legs less the blank, before and after; absent when the blank is as drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub deduction_mm: Option<[Num; 2]>,
    /// The line to put under the bend in design.toml.
    pub draw: String,
}

/// A leg at a bend.
#[derive(Debug, Clone, Serialize)]
pub struct LegRow {
    /// The panel.
    pub leg: String,
    /// The bend.
    pub bend: String,
    /// From the middle of the bend to the far edge or to the middle of the bend there, on the blank, before and after.
    pub reach_mm: [Num; 2],
}
