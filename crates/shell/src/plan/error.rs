//! Why a plan cannot be filled.

use nalgebra::Point2;

/// Why a plan cannot be filled. Points and lines are counted as in [`super::Plan`].
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// A coordinate is not a number that can be worked with.
    #[error("point {point} of the plan is not a place: its coordinates are not finite")]
    NotFinite {
        /// Which.
        point: u32,
    },
    /// Two points are one place.
    #[error("points {first} and {second} of the plan are the same place, ({}, {})", at.x, at.y)]
    SamePoint {
        /// The lower.
        first: u32,
        /// The higher.
        second: u32,
        /// Where.
        at: Point2<f64>,
    },
    /// A line names a point that is not there, or the same point twice.
    #[error("line {line} of the plan does not join two of its points")]
    NotALine {
        /// Which.
        line: u32,
    },
    /// Two lines join the same points.
    #[error("lines {first} and {second} of the plan are the same")]
    SameLine {
        /// The lower.
        first: u32,
        /// The higher.
        second: u32,
    },
    /// Two lines cross.
    #[error("lines {first} and {second} of the plan cross near ({}, {})", at.x, at.y)]
    LinesCross {
        /// The lower.
        first: u32,
        /// The higher.
        second: u32,
        /// Where.
        at: Point2<f64>,
    },
    /// A line passes through a point without ending there.
    #[error("line {line} of the plan passes through point {point} at ({}, {})", at.x, at.y)]
    PointOnLine {
        /// The point.
        point: u32,
        /// The line.
        line: u32,
        /// Where.
        at: Point2<f64>,
    },
    /// One face between the lines is said to be two things.
    #[error("the lines round ({}, {}) do not agree on what is between them", at.x, at.y)]
    SidesDisagree {
        /// In the face.
        at: Point2<f64>,
    },
    /// Nothing is bounded by the lines.
    #[error("the lines of the plan enclose nothing")]
    Empty,
    /// A size that cannot be met.
    #[error("triangles of {size_mm} mm are wanted at ({}, {}); a size must be above 0", at.x, at.y)]
    Size {
        /// Where.
        at: Point2<f64>,
        /// What was asked for.
        size_mm: f64,
    },
    /// More nodes than allowed.
    #[error("about {estimated} nodes would be needed, and {most} are allowed")]
    OverBudget {
        /// About how many; the true number may be higher still.
        estimated: usize,
        /// How many are allowed.
        most: usize,
    },
}
