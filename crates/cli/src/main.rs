//! The gusset command.

fn main() {}
