//! Bolted joints by hand: what a bolt, its hole and its thread stand, and how a group of bolts shares a load.
//!
//! Resistances have the forms of EN 1993-1-8 Table 3.4. Each is given without a partial factor; dividing by one is left to
//! the judgement ([`check_bolt`]), so that the same number serves a utilisation and a safety. Prying is left out: a thin
//! plate that bends under a pulled bolt adds to the bolt's tension, and the shell's answer holds that where it matters.

mod bearing;
mod bolt;
mod check;
mod group;
mod slip;
mod stiffness;
mod thread;

pub use bearing::{HolePlace, LeastDistances, PlateAtHole, TooNear, WhichDistance, bearing_mpa};
pub use bolt::{BoltShape, BoltSteel, HeadForm, ShearPlane};
pub use check::{
    BoltDemand, BoltJoint, BoltJudged, Clamped, Factors, Held, Lacks, Mode, NotChecked, Ratio, check_bolt,
};
pub use group::{GroupBolt, GroupError, OnBolt, Push, group_by_stiffness, group_on_foot};
pub use slip::{
    Preload, Tightening, felt_share, opens_at_n, preload_n, slip_n, tightened_to_n, tightening, torque_n_mm,
};
pub use stiffness::{Grip, bolt_axial_n_mm, bolt_gives, clamped_plates_n_mm, huth_shear_n_mm};
pub use thread::{SHEAR_SHARE, ThreadForm};
