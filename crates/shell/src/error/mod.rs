//! How far to believe the stresses: recovered fields, the error they tell of, and places where no mesh is fine enough.

mod estimate;
mod peak;
mod recover;
mod singular;

pub use estimate::{ErrorEstimate, estimate};
pub use peak::{HotSpot, Peak, Peaks, Zone, hot_spot, peaks};
pub use recover::{NodeForces, Recovered, recover};
pub use singular::{Singular, Why, re_entrant_corners};
