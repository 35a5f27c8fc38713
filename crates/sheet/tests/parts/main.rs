//! Whole parts, from card to plate and blank.

mod angle;
mod card;
