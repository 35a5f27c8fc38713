//! The folder: a beam clamps the plate, an apron swings the rest up.

use plane::Outline;

use super::{Capacity, Lengths};

/// A folder. With sections as lengths it is a box-and-pan folder: sides that are already up pass between the fingers.
#[derive(Debug, Clone, PartialEq)]
pub struct Folder {
    /// What the shop calls it.
    pub name: String,
    /// Longest bend, mm.
    pub length_mm: f64,
    /// The widths of its fingers, or its one straight edge.
    pub fingers: Lengths,
    /// Section of a finger, nose at 0, 0, standing over the clamped leg.
    pub finger: Outline,
    /// From the plate to the clamping beam, mm: sides up to this high pass.
    pub finger_depth_mm: f64,
    /// Section of the clamping beam in the same frame, above the fingers.
    pub beam: Outline,
    /// Section of the bed, its top at y = 0 where the plate lies on it.
    pub bed: Outline,
    /// Section of the apron, its top at y = 0, at rest in front of the bed (minus x).
    pub apron: Outline,
    /// How far the clamp lifts, mm.
    pub clamp_lift_mm: f64,
    /// Radius of the nose, mm.
    pub nose_mm: f64,
    /// How far the apron swings, rad.
    pub swing_rad: f64,
    /// What it folds over its whole length, by metal.
    pub capacity: Vec<Capacity>,
    /// The least that must lie under the fingers, mm from the bend line.
    pub least_clamped_mm: f64,
    /// The least that the apron takes hold of, mm from the bend line.
    pub least_swung_mm: f64,
}
