//! Why there is no order, as short as it can be said, and the least change that gives one.

mod change;
mod explain;
mod repair;

pub use change::{Change, Offered, Repair, Tried};
pub use explain::{Explanation, explain};
pub use repair::repairs;
