//! Materials, stock, fasteners, clearance holes, radii and tolerances, each row with its source.
//!
//! The tables are the CSV files in `tables/`, compiled in. Every lookup answers with a [`Sourced`] value: the value, the
//! row, where it was published and how far it can be trusted ([`Status`]). A value from memory says so, all the way to
//! the person. A shop replaces any value with [`Handbook::with_override`]. A lookup outside a table is a typed error
//! with the table's ends or the nearest name, never a guess.
//!
//! Lengths are mm, stresses MPa, angles radians. This crate knows no geometry and no file of a job.

mod book;
mod chart;
mod die;
mod drill;
mod fatigue;
mod grade;
mod heat;
mod heat_flow;
mod instrument;
mod limit;
mod load_kind;
mod margin;
mod metal;
mod nearest;
mod neutral;
mod process;
mod radius;
mod sourced;
mod stock;
mod table;
mod thread;
mod tighten;
mod tolerance;
mod weld;

pub use book::{Handbook, OverrideError};
pub use chart::ChartRow;
pub use die::NoDie;
pub use drill::{Drill, DrillSet};
pub use fatigue::{FatigueCategory, FatigueDetail, FatigueGroup, NoCategory};
pub use grade::{BoltGrade, BoltHead, GradeError};
pub use heat::{HeatRows, Welded, WeldedError};
pub use heat_flow::HeatFlow;
pub use instrument::{Instrument, UnknownInstrument, UnknownTapeClass, standard_from_largest};
pub use limit::Limit;
pub use load_kind::{LoadKind, UnknownLoadKind};
pub use margin::Margin;
pub use metal::{Family, Hardness, Metal, UnknownMetal};
pub use neutral::{Din6935, GenericKError, din_6935_compensation_mm, din_6935_k};
pub use process::{PathNumbers, Process, UnknownProcess};
pub use radius::RadiusError;
pub use sourced::{Sourced, Status};
pub use stock::GaugeError;
pub use table::{BadCell, Table, Wanted};
pub use thread::{Bolt, Clearance, UnknownThread, Washer, stress_area_mm2};
pub use tighten::{NutFactor, UnknownSurface};
pub use tolerance::{GeneralClass, ToleranceError};
pub use weld::{NoWeldMetal, WeldMetal};
