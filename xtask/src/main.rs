//! What the repository does to itself: tests, cross-checks, benchmarks.

fn main() {}
