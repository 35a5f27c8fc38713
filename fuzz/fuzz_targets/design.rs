//! `cargo fuzz run design`: any bytes as the file of that name.

#![no_main]

#[path = "../bodies/files.rs"]
mod files;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| files::check_design(bytes));
