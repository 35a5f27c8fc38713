//! Folded parts as shells.

mod parts;
mod refused;
mod shape;
mod sound;
