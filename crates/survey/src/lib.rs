//! From readings to points by weighted least squares, with what checks them and what looks slipped.
//!
//! A [`MarkOut`] says how each point is found: by coordinates, off a baseline, by swung arcs, or constructed from other
//! points. [`MarkOut::place`] draws it as the numbers stand. [`adjust`] takes the measured numbers of the mark-out and
//! extra [`Reading`]s together and returns the points with their covariance and a judgement of every reading. The same
//! least-squares search is open to other models as [`least_squares::minimise`].
//!
//! Lengths are mm, angles radians, counter-clockwise positive. The plane is x, y with z = 0; [`Mark::InSpace`] adds z.
//! No plate, no file and no unit is known here: a caller's own number, `about`, comes back with everything said.
//!
//! ```
//! use survey::{AdjustOptions, Mark, MarkOut, Of, Reading, Side, Value, Writing, find_slips};
//!
//! // A baseline of 300 mm, a corner by two swung arcs, and the foot of its perpendicular.
//! let tape = |mm: f64, about: usize| Value::read(mm, 0.5, about);
//! let held = |mm: f64| Value::exact(mm, 0);
//! let mark_out = MarkOut::new(vec![
//!     ("A".into(), Mark::At { x: held(0.0), y: held(0.0) }),
//!     ("B".into(), Mark::At { x: tape(300.0, 1), y: held(0.0) }),
//!     (
//!         "C".into(),
//!         Mark::Swing { a: "A".into(), ra: tape(180.0, 2), b: "B".into(), rb: tape(240.0, 3), side: Side::Left },
//!     ),
//!     ("F".into(), Mark::Foot { of: "C".into(), on: ["A".into(), "B".into()] }),
//! ])?;
//! // A reading to spare, of the constructed point.
//! let square = Reading::new(Of::Distance(["F".into(), "C".into()]), tape(144.3, 4));
//! let found = find_slips(&mark_out, &[square], AdjustOptions::default(), Writing::unknown(), 0.5)?;
//! assert!(found.suspects.is_empty());
//! assert_eq!(found.all.freedom, 1);
//! assert!((found.all.points[3].x - 108.0).abs() < 0.5);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # The datum
//! Something must hold the points in place. In a mark-out that starts from a corner and a baseline, make the corner's
//! coordinates and the baseline's square coordinate exact: they are chosen, not measured.

mod adjust;
mod chance;
mod deciding;
mod find;
mod foretold;
mod inverse;
pub mod least_squares;
mod mark;
mod mark_error;
mod mark_out;
mod network;
mod next;
mod normal;
mod number;
mod ordering;
mod reading;
mod slip;
mod snoop;
mod sound;
mod sparse;

pub use adjust::{AdjustError, AdjustOptions, Adjusted, GlobalTest, Judged, adjust};
pub use chance::{chance_above, critical_w};
pub use deciding::Deciding;
pub use foretold::{Expected, Foretold, Tried};
pub use mark::{Mark, Side, Sure, Value};
pub use mark_error::MarkError;
pub use mark_out::MarkOut;
pub use network::ReadingError;
pub use next::{NextReading, Surer};
pub use reading::{Of, Reading};
pub use slip::{DidYouMean, Graduation, Slip, Writing};
pub use snoop::{Snooped, Suspect, Suspected, find_slips};
pub use sound::{LeftOut, SoundMarkOut, sound_mark_out};

/// Two points closer than this are one point: far under a caliper's reading, far over rounding at a metre.
pub const SAME_POINT_MM: f64 = 1e-6;

/// Beyond this standardised residual a reading is suspect: one good reading in a thousand passes it. W. Baarda, A
/// testing procedure for use in geodetic networks (Netherlands Geodetic Commission, 1968).
pub const SLIP_W: f64 = 3.29;

/// A reading with less redundancy than this is checked by nothing: its residual is rounding.
pub const LEAST_REDUNDANCY: f64 = 1e-6;
