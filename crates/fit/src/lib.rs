//! Placement of a folded part on its mounts, its support and clear of what must stay clear.
//!
//! [`place`] finds the pose whose worst mount is as good as it can be; [`judge`] says how every mount stands at any
//! pose; [`sit`] says how the support sits; [`clearance`] says how far a keep-out is from the plate; and
//! [`solve_bounded`] finds the measures that were left open. What passes between them is plain geometry: this room
//! knows no files, no plate and no words for the user.
//!
//! Lengths are in mm and angles in radians. Part axes are those of the folded part; equipment axes are those in which
//! the mounts are given; a pose takes the first to the second.

mod allowance;
mod clearance;
mod gauge;
mod hole;
mod judge;
mod minimax;
mod misfit;
mod mount;
mod nearest;
mod place;
mod seating;
mod shape;
mod solve;
mod start;
mod support;

pub use allowance::{Allowance, AllowanceError, MountHole, Slide, allowance};
pub use clearance::{Clearance, ClearanceError, Triangle, clearance};
pub use hole::{HoleShape, PartHole};
pub use judge::{Deciding, MountState, Rests, judge};
pub use misfit::{MisfitError, misfit, twisted};
pub use mount::{Mount, MountError};
pub use place::{Freedom, PlaceError, Placement, Settle, place};
pub use shape::Shape;
pub use solve::{Bound, SolveError, SolveOptions, Solved, Stopped, solve_bounded, solve_bounded_ahead};
pub use support::{Apart, ApartState, Seat, SupportError, SupportState, SupportWant, facing_frame, sit};
