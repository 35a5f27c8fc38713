//! What one bend asks of its tools: die, leg, radius, force, length, and the angle to aim for.

mod force;
mod leg;
mod of_bend;
mod practice;
mod radius;
mod redevelop;
mod spring;
mod stop;

pub use force::{Force, air_force_n_per_mm};
pub use leg::OverV;
pub use of_bend::{BendNeeds, Crack, Grain, needs};
pub use practice::Practice;
pub use radius::{Comes, RadiusFrom, comes};
pub use redevelop::{BendChange, LegChange, Reach, Redeveloped, TrueBend, redevelop};
pub use spring::{Spring, loaded_radius_mm, radius_share, released_radius_mm, spring, yield_by_spring_mpa};
pub(crate) use stop::cover_mm;
pub use stop::{Stop, ToBend, stops};
