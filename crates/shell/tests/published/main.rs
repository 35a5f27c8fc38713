//! Published cases: geometry, load and target as stated by their sources; values, tolerances and sources in `cases.csv`.
//!
//! `cargo test -p shell --test published -- --no-capture` prints every case at each refinement.

#[path = "../shapes/mod.rs"]
mod shapes;

mod always;
mod beams;
mod curved_shells;
mod join;
mod patch;
mod plates;
mod rows;
mod stresses;
mod trial;
