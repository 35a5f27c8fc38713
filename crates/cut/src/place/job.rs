//! What is to be placed, on what, and how far apart.

use std::f64::consts::{FRAC_PI_2, PI};

use plane::{Outline, Point, Region, Vector};
use thiserror::Error;

/// How a part may lie against the rolling of the sheet, which runs along its x.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grain {
    /// The part's x along it: turned by 0 or 180 degrees.
    Along,
    /// The part's x across it: turned by 90 or 270 degrees.
    Across,
}

/// How a part may be turned.
#[derive(Debug, Clone, PartialEq)]
pub enum Turns {
    /// By these angles, rad, counter-clockwise; the first is preferred where it makes no difference.
    Listed(Vec<f64>),
    /// As the grain allows.
    Grain(Grain),
}

impl Turns {
    pub(super) fn list_rad(&self) -> Vec<f64> {
        match self {
            Turns::Listed(list) => list.clone(),
            Turns::Grain(Grain::Along) => vec![0.0, PI],
            Turns::Grain(Grain::Across) => vec![FRAC_PI_2, 3.0 * FRAC_PI_2],
        }
    }
}

/// One part; a copy is a part of its own. It is never turned over: the marked face stays up.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its material, anywhere.
    pub region: Region,
    /// How it may be turned.
    pub turns: Turns,
}

/// The corner of the sheet that parts go to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Corner {
    /// Low x, low y.
    LowerLeft,
    /// High x, low y.
    LowerRight,
    /// Low x, high y.
    UpperLeft,
    /// High x, high y.
    UpperRight,
}

impl Corner {
    /// Away from the corner, into the sheet: 1 or -1 for each axis.
    pub(super) fn inward(self) -> Vector {
        match self {
            Corner::LowerLeft => Vector::new(1.0, 1.0),
            Corner::LowerRight => Vector::new(-1.0, 1.0),
            Corner::UpperLeft => Vector::new(1.0, -1.0),
            Corner::UpperRight => Vector::new(-1.0, -1.0),
        }
    }
}

/// A full sheet or a remnant.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Its material: any outline, with any holes.
    pub region: Region,
    /// What stands on it: clamps, screws. They may reach over its edge.
    pub clamps: Vec<Outline>,
    /// The corner nearest the machine's zero, where parts go.
    pub zero: Corner,
}

/// How far things stay apart, mm, from edge to edge of the finished parts: kerf and leads must fit between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gaps {
    /// From a part to the edge of the sheet and its holes.
    pub edge_mm: f64,
    /// From part to part.
    pub parts_mm: f64,
    /// From a part to a clamp.
    pub clamps_mm: f64,
}

/// How hard to look. The same effort gives the same layout.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Seed of what is tried.
    pub seed: u64,
    /// Steps of the search, each some two nanoseconds.
    pub steps: u64,
}

impl Default for Effort {
    fn default() -> Effort {
        Effort {
            seed: 1,
            steps: 450_000_000,
        }
    }
}

/// Why nothing can be placed.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum PlaceError {
    /// A distance is not a number from 0 up.
    #[error("the distance to keep from {from} is given as {given_mm} mm")]
    NoGap {
        /// From what.
        from: &'static str,
        /// What was given.
        given_mm: f64,
    },
    /// A part may not be turned in any way.
    #[error("part {part} is allowed no turn, or one by no angle")]
    NoTurn {
        /// Which, counted from 0.
        part: usize,
    },
}

pub(super) fn check(parts: &[Part], gaps: &Gaps) -> Result<(), PlaceError> {
    for (from, given_mm) in [
        ("the edge", gaps.edge_mm),
        ("the next part", gaps.parts_mm),
        ("clamps", gaps.clamps_mm),
    ] {
        if !(given_mm.is_finite() && given_mm >= 0.0) {
            return Err(PlaceError::NoGap { from, given_mm });
        }
    }
    for (part, given) in parts.iter().enumerate() {
        let turns = given.turns.list_rad();
        if turns.is_empty() || turns.iter().any(|turn| !turn.is_finite()) {
            return Err(PlaceError::NoTurn { part });
        }
    }
    Ok(())
}

/// The sheet seen from its zero corner: x and y run from 0 into it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    pub corner: Point,
    pub inward: Vector,
    pub size: Vector,
}

impl Frame {
    pub fn of(sheet: &Sheet) -> Frame {
        let (low, high) = sheet.region.bounds();
        let inward = sheet.zero.inward();
        let pick = |way: f64, low: f64, high: f64| if way > 0.0 { low } else { high };
        Frame {
            corner: Point::new(pick(inward.x, low.x, high.x), pick(inward.y, low.y, high.y)),
            inward,
            size: high - low,
        }
    }

    /// A displacement seen from the corner, and back: it is its own inverse.
    pub fn turned(&self, by: Vector) -> Vector {
        by.component_mul(&self.inward)
    }

    pub fn seen(&self, at: Point) -> Point {
        Point::from(self.turned(at - self.corner))
    }

    pub fn back(&self, at: Point) -> Point {
        self.corner + self.turned(at.coords)
    }
}
