//! Rules of bending: radii, legs, and what stands too near a bend.
