//! The folded plate as a body: which faces it has and which edges they share. Mesh and STEP are both built on it, so
//! that they cannot disagree.
//!
//! Every panel is a slab whose edge (its rims) has been cut where the bends start; every run of a bend is a strip that
//! hangs on two rim edges, one of each panel. On the blank a strip is a flat band, in space it is rolled about the
//! bend's axis; its sides slide along the axis as they turn, so an oblique side becomes a helix.

#[cfg(test)]
pub(crate) mod developed;
mod rim;
#[cfg(test)]
pub(crate) mod sample;
mod strip;

use nalgebra::{Isometry3, Point3};
use plane::Point;
use sheet::{Face, Part};

pub(crate) use rim::{Rim, RimPlace, StripSide};
pub(crate) use strip::BentStrip;

/// Why a part has no body.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SolidError {
    /// A bend's tangent line is not on the edge of the panel it joins.
    #[error("bend {bend} starts at ({}, {}) mm, off the edge of panel {panel}", at.x, at.y)]
    BendOffPanel {
        /// The bend.
        bend: String,
        /// The panel.
        panel: String,
        /// An end of the tangent line, in mock-up axes.
        at: Point,
    },
    /// Rolled up, a bend does not end where its moving panel starts.
    #[error("bend {bend} ends {off_mm} mm away from the panel that it turns")]
    BendOffPose {
        /// The bend.
        bend: String,
        /// How far off.
        off_mm: f64,
    },
    /// A bend names a panel that the part does not have.
    #[error("bend {bend} joins a panel that is not there")]
    NoPanel {
        /// The bend.
        bend: String,
    },
    /// The edges of a panel cross or touch each other.
    #[error("the edges of panel {panel} cross or touch near ({}, {}) mm", at.x, at.y)]
    EdgesCross {
        /// The panel.
        panel: String,
        /// Where, in mock-up axes.
        at: Point,
    },
    /// A sharp bend (inside radius 0) whose sides slant so much that its panels share no edge.
    #[error("bend {bend} is sharp inside and its panels share no edge there")]
    NoSharedEdge {
        /// The bend.
        bend: String,
    },
    /// The chord error asked for is not a positive length.
    #[error("a chord error of {mm} mm cannot be kept; it must be above 0")]
    ChordError {
        /// What was asked for.
        mm: f64,
    },
}

/// One of the two faces of the plate, by its height in the panels' axes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Level {
    /// The far face.
    Low,
    /// The marked face.
    High,
}

impl Level {
    pub(crate) const BOTH: [Level; 2] = [Level::Low, Level::High];

    pub(crate) fn other(self) -> Level {
        match self {
            Level::Low => Level::High,
            Level::High => Level::Low,
        }
    }

    pub(crate) fn index(self) -> usize {
        match self {
            Level::Low => 0,
            Level::High => 1,
        }
    }
}

/// A panel as a slab.
#[derive(Debug, Clone)]
pub(crate) struct FlatPanel {
    /// From mock-up axes to space.
    pub(crate) pose: Isometry3<f64>,
    /// Closed runs of edges with the material on their left, the outer one first.
    pub(crate) rims: Vec<Rim>,
}

/// The whole body.
#[derive(Debug, Clone)]
pub(crate) struct FoldedPlate {
    pub(crate) panels: Vec<FlatPanel>,
    pub(crate) strips: Vec<BentStrip>,
    /// Heights of the far and the marked face above z = 0 of every panel.
    heights_mm: [f64; 2],
}

impl FoldedPlate {
    pub(crate) fn of(part: &Part) -> Result<FoldedPlate, SolidError> {
        let mut panels: Vec<FlatPanel> = part
            .panels
            .iter()
            .map(|panel| FlatPanel {
                pose: panel.to_folded,
                rims: panel.flat.outlines().map(Rim::of).collect(),
            })
            .collect();
        let heights_mm = heights_mm(part);
        for (bend, runs) in part.bends.iter().map(|bend| (bend, &bend.strips)) {
            if bend.fixed.max(bend.moving) >= panels.len() {
                return Err(SolidError::NoPanel {
                    bend: bend.name.clone(),
                });
            }
            for run in runs {
                for (side, index, [start, end]) in [
                    (StripSide::Fixed, bend.fixed, [run.fixed[1], run.fixed[0]]),
                    (StripSide::Moving, bend.moving, [run.moving[0], run.moving[1]]),
                ] {
                    let to_mockup = -part.panels[index].to_blank;
                    rim::join(
                        &mut panels[index].rims,
                        [start + to_mockup, end + to_mockup],
                        side,
                    )
                    .map_err(|at| SolidError::BendOffPanel {
                        bend: bend.name.clone(),
                        panel: part.panels[index].name.clone(),
                        at,
                    })?;
                }
            }
        }
        let mut plate = FoldedPlate {
            panels,
            strips: Vec::new(),
            heights_mm,
        };
        for (index, bend) in part.bends.iter().enumerate() {
            for run in &bend.strips {
                let strip = BentStrip::of(part, &plate, index, run)?;
                plate.strips.push(strip);
            }
        }
        Ok(plate)
    }

    /// The same body elsewhere.
    pub(crate) fn moved(mut self, to: &Isometry3<f64>) -> FoldedPlate {
        self.panels
            .iter_mut()
            .for_each(|panel| panel.pose = to * panel.pose);
        self.strips.iter_mut().for_each(|strip| strip.move_to(to));
        self
    }

    /// The corner of a panel's rim at one face of the plate, in space.
    pub(crate) fn corner(&self, place: RimPlace, level: Level) -> Point3<f64> {
        let panel = &self.panels[place.panel];
        self.in_space(place.panel, panel.rims[place.rim].edges[place.edge].from, level)
    }

    /// A place of a panel (mock-up axes) at one face of the plate, in space.
    pub(crate) fn in_space(&self, panel: usize, at: Point, level: Level) -> Point3<f64> {
        self.panels[panel].pose * Point3::new(at.x, at.y, self.heights_mm[level.index()])
    }

    /// The corner at the far end of the edge that starts at this one.
    pub(crate) fn next(&self, place: RimPlace) -> RimPlace {
        let count = self.panels[place.panel].rims[place.rim].edges.len();
        RimPlace {
            edge: (place.edge + 1) % count,
            ..place
        }
    }
}

/// The plate fills z between these, far face first.
fn heights_mm(part: &Part) -> [f64; 2] {
    let t = part.thickness_mm;
    match part.lines_on {
        Face::Marked => [-t, 0.0],
        Face::Middle => [-t / 2.0, t / 2.0],
        Face::Far => [0.0, t],
    }
}
