//! Will it hold? A folded part on its mounts, with what it carries, to an answer that a fabricator can act on.
//!
//! Lengths mm, forces N, moments N mm, stresses MPa, angles radians. This room knows no files and no words for people.

mod bracket;
mod by_hand;
mod load;

pub mod body;
pub mod estimate;
pub mod fatigue;
pub mod helps;
pub mod joint;
pub mod weld;

pub use bracket::{Allowed, BesideWeld, BoltStiffness, Bracket, Margins, Mount, PlateMetal, Support};
pub use by_hand::{ByHand, Cut, strip};
pub use load::{Act, At, GRAVITY_MM_S2, Load, Together};
