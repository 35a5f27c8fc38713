//! Rules of bending: radii, legs, and what stands too near a bend.
//!
//! [`rules::check`] looks at a developed part and says what its bends cannot be, each with the number, the limit and
//! where the limit comes from, and at least two ways out with numbers. It knows tooling by its V-die and no more, no
//! cutter, no file and no wording.

pub mod rules;
