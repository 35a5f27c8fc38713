//! Rules of bending, and the order of the bends on the tools at hand.
//!
//! [`rules::check`] looks at a developed part and says what its bends cannot be, each with the number, the limit and
//! where the limit comes from, and at least two ways out with numbers.
//!
//! [`order::plan`] takes the part as [`work::Work`] and a shop's [`tooling::Tooling`], and answers with the best order of
//! the bends or the proof that there is none. Every step is swept from flat to the angle under load with bounds on the
//! motion, so that what is said to be clear is clear.
//!
//! # Flow
//!
//! ```text
//! sheet::Part -> work: bend lines, solids, how they hang together
//! tooling     -> sweep::Station: machine and tools as solids, and how they move
//! work, station -> order: strokes, both ways round, every set of finished steps -> Plan, or NoOrder
//! ```
//!
//! Where there is no order, [`why_not`] says why in as few bends as it takes, and finds the single changes that work, each
//! planned again. [`by_hand`] has what a saw kerf does where a bend is over the strength of a hand.
//!
//! [`standing`] tells how the part stands on its tool at each step, for the cards.
//!
//! It knows no cutter, no file and no wording.

pub mod by_hand;
pub mod hand;
pub mod measured;
pub mod needs;
pub mod order;
pub mod rules;
pub mod solid;
pub mod standing;
pub mod strip;
pub mod sweep;
pub mod tooling;
pub mod why_not;
pub mod work;
