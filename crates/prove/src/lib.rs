//! Will it hold? A folded part on its mounts, with what it carries, to an answer that a fabricator can act on.
//!
//! Lengths mm, forces N, moments N mm, stresses MPa, angles radians. This room knows no files and no words for people.

mod bracket;
mod by_hand;
mod helps;
mod load;

pub mod estimate;
pub mod fatigue;
pub mod joint;
pub mod weld;

pub use bracket::{Allowed, BesideWeld, BoltStiffness, Bracket, Margins, Mount, PlateMetal, Support};
pub use by_hand::{ByHand, Cut, strip};
pub use helps::{
    Bar, CannotChange, Change, Changed, Costs, Element, ExtraPlate, Foretold, FreeMount, Gussets, InHand,
    Kind, Lip, Patch, Resultants, Saved, Shares, Shelf, Stock, Strained, WeldedEdge, WindowTo, apply,
    candidates, rank, shares,
};
pub use load::{Act, At, GRAVITY_MM_S2, Load, Together};
