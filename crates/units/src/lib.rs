//! Lengths, angles, forces, masses and threads as the shop writes them: read, checked, printed.

/// A quantity or a sum of quantities and named measures, parsed. (Contents follow.)
#[derive(Debug, Clone, PartialEq)]
pub struct Expr;

/// A screw thread by its size. (Contents follow.)
#[derive(Debug, Clone, PartialEq)]
pub struct Thread;
