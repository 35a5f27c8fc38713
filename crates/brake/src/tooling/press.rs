//! The press brake, its punches and its dies.

use plane::Outline;

use super::Lengths;

/// A press brake. The back gauge stands behind the die and reaches from `gauge_mm[0]` to `gauge_mm[1]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Press {
    /// What the shop calls it.
    pub name: String,
    /// Longest bend, mm.
    pub length_mm: f64,
    /// Between the uprights, mm: a wider part goes only so deep as the throat.
    pub between_uprights_mm: f64,
    /// From the bend line back to the uprights, mm.
    pub throat_mm: f64,
    /// What it presses with, N.
    pub force_n: f64,
    /// From bed to ram with the ram up and no tools, mm.
    pub daylight_mm: f64,
    /// How far the ram comes down, mm.
    pub stroke_mm: f64,
    /// Section of the ram.
    pub ram: Outline,
    /// Section of the bed.
    pub bed: Outline,
    /// From the bend line to the back gauge, nearest and farthest, mm.
    pub gauge_mm: [f64; 2],
}

/// A punch.
#[derive(Debug, Clone, PartialEq)]
pub struct Punch {
    /// What the shop calls it.
    pub name: String,
    /// Its section, nose at 0, 0, standing up to `height_mm`.
    pub profile: Outline,
    /// Angle between the flanks of its nose, rad: no bend closes further than this.
    pub angle_rad: f64,
    /// Radius of the nose, mm.
    pub nose_mm: f64,
    /// From nose to seat, mm.
    pub height_mm: f64,
    /// The lengths it comes in.
    pub lengths: Lengths,
    /// The most force it stands, N per mm of its length.
    pub most_n_per_mm: f64,
}

/// A V-die.
#[derive(Debug, Clone, PartialEq)]
pub struct Die {
    /// What the shop calls it.
    pub name: String,
    /// Its section without the V, top at y = 0: the plate lies on it.
    pub profile: Outline,
    /// The V's opening between its shoulders, mm.
    pub opening_mm: f64,
    /// Angle between the faces of the V, rad.
    pub angle_rad: f64,
    /// Radius of the shoulders, mm.
    pub shoulder_mm: f64,
    /// From top to foot, mm.
    pub height_mm: f64,
    /// The lengths it comes in.
    pub lengths: Lengths,
    /// The most force it stands, N per mm of its length.
    pub most_n_per_mm: f64,
}
