//! `cargo fuzz run drawing`: any bytes as a drawing from elsewhere.

#![no_main]

#[path = "../bodies/machine_files.rs"]
mod machine_files;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| machine_files::check_drawing(bytes));
