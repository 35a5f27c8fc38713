//! What would help: changes to a bracket made by the tool itself, ranked from the solution in hand, the best of them
//! solved in full.
//!
//! [`candidates`] lists changes, [`apply`] makes one of them on the card and develops it, [`rank`] foretells from the
//! strains already known what each would save, and [`helps`] solves the best and sets them beside thicker plate.

mod apply;
mod best;
mod bolt;
mod candidates;
mod card;
mod change;
mod edge;
mod effect;
mod further;
mod in_hand;
mod lip;
mod outcome;
mod proved;
mod rank;
mod rib;
mod room;
mod section;
mod shelf;
mod strains;
mod thickness;
mod weld_on;
mod welds;
mod window;

pub use apply::apply;
pub use best::{Asked, Effort, Judge, Solve, Solved, helps};
pub use candidates::candidates;
pub use change::{
    Bar, CannotChange, Change, Changed, Costs, ExtraPlate, Gussets, Kind, Lip, Sides, WeldedEdge, WindowTo,
};
pub use in_hand::{elements, resultants};
pub use outcome::{Dropped, Gained, Held, HeldCase, HeldWeld, Help, Helps, Stands, Still, Welds};
pub use proved::{solve_once, what_helps, what_helps_while};
pub use rank::{Foretold, Saved, rank, shares};
pub use shelf::{FreeMount, Shelf, Stock, Welding};
pub use strains::{Element, InHand, Patch, Resultants, Shares, Strained};
pub use weld_on::{WeldOnError, WeldedOn, mean_edge_mm, weld_on};
