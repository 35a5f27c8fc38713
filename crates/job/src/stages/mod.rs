//! The stages of a job, in order: measures, points, pattern, plate, standing on the mounts. Each takes the typed files
//! and what came before, and gives values of the rooms below or a [`Wrong`](crate::files::Wrong) with its place.

pub(crate) mod bender;
pub(crate) mod bending;
pub(crate) mod carrying;
pub(crate) mod coming;
pub(crate) mod cutter;
pub(crate) mod cutting;
pub(crate) mod equipment;
pub(crate) mod fastening;
mod instrument;
pub(crate) mod loads;
pub(crate) mod outline;
pub(crate) mod pattern;
pub(crate) mod points;
pub(crate) mod scope;
pub(crate) mod search;
pub(crate) mod setting;
pub(crate) mod standing;
pub(crate) mod stated;
pub(crate) mod strips;
pub(crate) mod survey_places;
mod teller;
pub(crate) mod tool_names;
