//! Why there is no order, as short as it can be said, and the least change that gives one.

mod bite;
mod change;
mod explain;
mod repair;

pub use bite::{NOTCH_CLEAR_MM, NOTCH_ROUND_MM};
pub use change::{Change, Offered, Repair, Tried};
pub use explain::{Explanation, explain};
pub use repair::{notch_room, repairs};
