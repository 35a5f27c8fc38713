//! The machine file: written, read back by an interpreter of its own, damaged, and held against published values.

mod damaged;
mod dialects;
mod marks;
mod reading;
mod sheet;
mod sheets;
