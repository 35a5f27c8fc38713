//! From a card mock-up to a folded plate, and back to the flat blank that is cut.
//!
//! The mock-up is flat: an outline, what is cut out of it, and creases. `develop` splits it into a tree of panels, gives
//! it thickness and radii, and returns a [`Part`]: the plate folded in space and the blank in the plane, from the same
//! numbers. Lengths mm, angles radians. No files and no tools are known here.
//!
//! # Axes
//! The mock-up lies in x, y as marked out, seen from its marked face; z points toward the eye. The root panel is not
//! moved by folding, so the folded part is in the same axes. z = 0 is the face that the card's lines are on
//! ([`Face`]): the plate fills z from -t to 0 (marked face), -t/2 to t/2 (middle), 0 to t (far face).

mod allowance;
mod blank;
mod check;
mod contents;
mod corner;
mod develop;
mod divide;
mod error;
mod fold;
mod mass;
mod mirror;
mod net;
mod openings;
mod part;
mod place;
mod ray;
mod relief;
mod seam;
mod thickness;
mod trace;
mod tree;
mod trim;

pub use allowance::{
    allowance_mm, deduction_mm, din_6935_compensation_mm, din_6935_factor, flat_length_mm,
    neutral_share_from_strip, outside_set_back_mm, set_back_mm,
};
pub use develop::{develop, panels_of};
pub use error::{BendFault, SheetError};
pub use fold::fold_blank;
pub use part::*;
pub use place::PlacedOpening;
