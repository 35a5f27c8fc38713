//! Structured meshes, shared by tests, benchmarks and examples.

pub mod grid;
pub mod l_bracket;
