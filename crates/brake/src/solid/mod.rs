//! Convex pieces in space: what they are, how far apart two of them are, and how a flat shape is cut into them.
//!
//! Every solid of this room, plate or tool, is a set of right prisms: a convex polygon drawn along its normal. A panel is
//! drawn through its thickness, a bend and a tool along the bend. Where a curve is made straight, the piece is never
//! smaller than what it stands for.

mod prism;
mod separation;
mod split;

pub use prism::Prism;
pub(crate) use separation::gap_of_faces;
pub use separation::{Gap, gap, gap_along, gap_over};
pub(crate) use split::hull;
pub use split::{convex_pieces, corners_of};
