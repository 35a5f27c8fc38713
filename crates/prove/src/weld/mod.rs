//! Welds by hand: a group of weld lines under a load, and what a fillet's throat stands.
//!
//! A weld is a line with force per mm; the throat turns it into stress. Lengths mm, forces N, line forces N/mm, moments on
//! the line N mm per mm, stresses MPa.

mod group;
mod stretch;
mod throat;

pub(crate) use stretch::{Place, worst};

pub use group::{BadGroup, OnWeld, Run, WeldGroup, WeldLoad};
pub use throat::{
    Fillet, FilletConcern, FilletStrength, LineForce, ThroatStress, allowable_shear_mpa, fillet_concerns,
    fillet_n, greatest_leg_mm, least_length_mm,
};
