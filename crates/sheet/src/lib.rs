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
//!
//! # Flow
//! The card's rim and creases make a net (`net`), walked into panels (`trace`) that hang in a tree (`tree`). Thickness
//! and radius say how far each panel is set back and where it goes (`thickness`); panels are cut back to their tangent
//! lines (`trim`), bends are freed at their ends (`relief`, `corner`), and the blank is walked over panels and strips
//! (`blank`). [`fold_blank`] folds the blank up again from its bends alone, as a check.
//!
//! # Limits
//! The panels must form a tree: a ring of creases is cut open and closed with a seam. A crease folds one leg. Openings
//! lie within a panel, or cross a bend from one tangent line to the other. Springback and tools belong elsewhere.

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
mod part_way;
mod place;
mod ray;
mod relief;
mod seam;
mod thickness;
mod trace;
mod tree;
mod trim;

pub use allowance::{
    allowance_mm, deduction_mm, flat_length_mm, neutral_share_from_strip, outside_set_back_mm, set_back_mm,
};
pub use develop::{develop, panels_of};
pub use error::{BendFault, SheetError};
pub use fold::fold_blank;
pub use part::*;
pub use place::PlacedOpening;
