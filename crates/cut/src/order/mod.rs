//! Which contour is cut when, and from which of its pierces.
//!
//! What must hold is never traded: an inside before the outside that holds it, holes that locate first, what the shop
//! asks for. What is sought is the least time on the way: no travel passes over an opening or a part that is cut and can
//! have tipped; it goes round it, or the torch is lifted clear of it first. Clamps are gone round always. Up to [`MOST_EXACT`] contours the order and
//! the pierces are proven to be the fastest; beyond, they are searched for, with a seed.
//!
//! Beside it: whether a part that is cut free lies on its slats ([`Slats`]), where tabs would hold it, and how hot
//! the plate is where the next pierce starts ([`HotPlate`]).

mod anneal;
mod bound;
mod clamps;
mod contour;
mod cooling;
mod exact;
mod heat;
mod legs;
mod net;
mod over;
mod plan;
mod precedence;
mod seeded;
mod slats;
mod tabs;
mod travel;
mod ways;

pub use contour::{After, Candidate, Contour, NoContour};
pub use cooling::{Cooled, Cooling, Start, cooled};
pub use exact::{MOST_CANDIDATES, MOST_EXACT};
pub use heat::{Burn, HotPlate, Plate, PlateError};
pub use plan::{Found, Job, OrderError, Plan, Search, Step, plan, plan_while};
pub use precedence::{Before, Why};
pub use slats::{Fate, Lies, Slats, SlatsError};
pub use tabs::{Tab, TabRule, tabs_for};
pub use travel::{Leg, TravelRules};

pub(crate) use clamps::Clamps;
pub(crate) use seeded::Seeded;
