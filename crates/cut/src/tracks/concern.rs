//! What stands against the tracks, with numbers.

use handbook::UnknownThread;

use crate::kerf::Left;
use crate::lead::NoLead;
use crate::track::Of;

/// One thing that stands against cutting along these tracks, or is to be known.
#[derive(Debug, Clone, PartialEq)]
pub enum TrackConcern {
    /// The kerf does not make an edge as drawn.
    Left {
        /// The contour's name.
        name: String,
        /// What, in table coordinates; openings by their index in the blank.
        left: Left,
    },
    /// A contour cannot be begun, and is missing from the tracks.
    NoLead {
        /// The contour's name.
        name: String,
        /// What it is of.
        of: Of,
        /// Why, and what would do; places in table coordinates.
        why: NoLead,
    },
    /// Every lead of a contour is shorter than the profile wants.
    ShorterLead {
        /// The contour's name.
        name: String,
        /// What it is of.
        of: Of,
        /// The longest that fits, mm.
        longest_mm: f64,
        /// As wanted, mm.
        wanted_mm: f64,
    },
    /// A hole is to be tapped with a thread that the handbook does not know: it is left uncut and its centre marked.
    NoThread {
        /// The hole's name.
        name: String,
        /// Which thread.
        why: UnknownThread,
    },
}
