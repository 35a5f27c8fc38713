//! How far to believe the stresses: recovered fields, the error they tell of, and places where no mesh is fine enough.

mod estimate;
mod near;
mod recover;
mod singular;
mod toe;
mod zones;

pub use estimate::{ErrorEstimate, estimate};
pub use near::Near;
pub use recover::{NodeForces, Recovered, recover};
pub use singular::{Singular, Why, re_entrant_corners};
pub use toe::Toe;
pub use zones::{Peak, Zones};
