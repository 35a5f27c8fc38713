//! A job that is worked on: acts on its files, with their comments and order kept; undone and done again, also after a restart.
//!
//! ```text
//! acts -> edit, rename: new text -> read again: is it sound? -> history: old and new text on the disk -> the file, whole
//! ```
//!
//! Whatever another program does to the files meanwhile is an act of its own in the history, so nothing is ever lost.

mod edit;
mod fits;
mod history;
mod kept;
mod list;
mod open_job;
mod rename;
mod rows;

pub use edit::{Act, EditError, Step, typed_values};
pub use open_job::{Done, OpenJob, ReviseError, Stamp, stamp_of};
