//! The job folder: the three files read with their places, the stages run in order, what they found told to a person.
//!
//! `files` turns text into typed values that know where they were said, or into a list of everything wrong with the
//! text. Nothing below this crate knows a file; nothing above it does arithmetic.

pub mod files;
