//! Folded parts as shells.

mod finer;
mod parts;
mod refused;
mod shape;
mod sound;
