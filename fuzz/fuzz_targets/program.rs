//! `cargo fuzz run program`: any bytes as a cutting program.

#![no_main]

#[path = "../bodies/machine_files.rs"]
mod machine_files;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| machine_files::check_program(bytes));
