//! Whole parts, from card to plate and blank.

mod angle;
mod any_card;
mod arcs;
mod card;
mod fold_again;
mod mockup;
mod part_way;
mod random_card;
mod refused;
mod reliefs;
mod windows;
