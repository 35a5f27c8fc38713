//! Why a drawing gives no outlines.

use plane::Point;

use super::note::Note;
use crate::grain::GrainError;

/// What is wrong with a drawing. Lines count from 1.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ImportError {
    /// Longer than any drawing of a plate.
    #[error("the drawing is {bytes} bytes long; the most that is read is {most}")]
    TooLong {
        /// Its length.
        bytes: usize,
        /// The most.
        most: usize,
    },
    /// Not a text: the format has a binary form, which is not read.
    #[error("the drawing is not text; save it as a text (ASCII) DXF")]
    NotText,
    /// More of something than is read.
    #[error("line {line}: more than {most} {what}")]
    TooMany {
        /// The line.
        line: usize,
        /// Of what.
        what: &'static str,
        /// The most.
        most: usize,
    },
    /// Edges lie over each other in such number that sorting them out would take too long.
    #[error("too many edges lie over one another to sort them out")]
    TooTangled,
    /// It is no run of codes and values, or one of them is not what it must be.
    #[error(transparent)]
    Grain(#[from] GrainError),
    /// No section with things drawn.
    #[error("there is no ENTITIES section: this is no DXF drawing, or a damaged one")]
    NoEntities,
    /// An entity lacks a group.
    #[error("line {line}: a {kind} has no group {code}")]
    Missing {
        /// The line on which it starts.
        line: usize,
        /// Its kind.
        kind: String,
        /// The group.
        code: i32,
    },
    /// An entity says something that cannot be.
    #[error("line {line}: this {kind} cannot be: {why}")]
    CannotBe {
        /// The line on which it starts.
        line: usize,
        /// Its kind.
        kind: String,
        /// Why.
        why: &'static str,
    },
    /// An insert of a block that is not there.
    #[error("line {line}: block {name:?} is not in the drawing")]
    NoBlock {
        /// The line of the insert.
        line: usize,
        /// The block.
        name: String,
    },
    /// Blocks within blocks without end.
    #[error("line {line}: blocks lie within each other more than {most} deep")]
    TooDeep {
        /// The line of the insert.
        line: usize,
        /// The most.
        most: usize,
    },
    /// A tolerance that is none.
    #[error("{flatten_mm} mm is no tolerance for curves; take 0.001 to 1 mm")]
    NoTolerance {
        /// What was asked.
        flatten_mm: f64,
    },
    /// Nothing that can be an outline is drawn.
    #[error("nothing is drawn that can be an outline")]
    NothingDrawn,
    /// Things are drawn, and none of them closes.
    #[error("no outline closes")]
    NothingClosed {
        /// What was seen.
        notes: Vec<Note>,
    },
    /// More than two edges meet, so that nobody can tell which way the outline goes on.
    #[error("{ends} edges meet at ({:.3}, {:.3}) mm; an outline goes on in one way only", at.x, at.y)]
    Branches {
        /// Where.
        at: Point,
        /// How many ends.
        ends: usize,
        /// A line of the file on which one of them starts.
        line: usize,
    },
    /// An outline crosses or touches itself.
    #[error("line {line}: the outline that begins here crosses or touches itself at ({:.3}, {:.3}) mm", at.x, at.y)]
    CrossesItself {
        /// The line of its first entity.
        line: usize,
        /// Where.
        at: Point,
    },
    /// An outline that cannot be taken for another reason.
    #[error("line {line}: the outline that begins here cannot be taken: {why}")]
    Unsound {
        /// The line of its first entity.
        line: usize,
        /// Why.
        why: plane::OutlineError,
    },
    /// Two outlines cross or touch.
    #[error("the outlines that begin on lines {first} and {second} cross or touch at ({:.3}, {:.3}) mm", at.x, at.y)]
    OutlinesMeet {
        /// The line of the one's first entity.
        first: usize,
        /// The line of the other's.
        second: usize,
        /// Where.
        at: Point,
    },
}
