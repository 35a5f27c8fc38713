//! Will it hold? A folded part on its mounts, with what it carries, to an answer that a fabricator can act on.
//!
//! Lengths mm, forces N, moments N mm, stresses MPa, angles radians. This room knows no files and no words for people.

mod analyse;
mod answer;
mod bolts;
mod bracket;
mod by_hand;
mod cases;
mod edge;
mod error;
mod followed;
mod joints;
mod judge;
mod lasts;
mod load;
mod mounting;
mod moves;
mod proof;
mod reading;
mod round;
mod seams;
mod set;
mod toes;
mod told;

pub mod body;
pub mod estimate;
pub mod fatigue;
pub mod helps;
pub mod joint;
pub mod weld;

pub use analyse::{Options, analyse, analyse_while};
pub use answer::{
    Answer, BoltForces, Case, Detail, Followed, Large, Lasts, Moves, Part, Peak, PeakRule, Picture, Set,
    Side, Trust, WeldForces,
};
pub use bracket::{
    Allowed, BesideWeld, BoltStiffness, Bracket, Fatigue, Margins, Mount, PlateMetal, Support, Weld,
};
pub use by_hand::{ByHand, Cut, TwistShort, strip};
pub use error::ProveError;
pub use judge::{Check, Missing, What};
pub use load::{Act, At, GRAVITY_MM_S2, Load, Together};
pub use proof::{
    BAND, COMES_BACK, Corrected, NoCorrection, ProofTest, Reading, STEPS, Step, Suggests, correct,
};
