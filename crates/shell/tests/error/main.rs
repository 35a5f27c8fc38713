//! The error that is told against the error there is, and the stresses to report.

mod exact;
mod places;
mod told;
