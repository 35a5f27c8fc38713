//! The three files of a job: design, fit, shop.

pub mod model;
