//! `cargo fuzz run quantity`: any bytes as a quantity, stock, thread, drill or gauge.

#![no_main]

#[path = "../bodies/quantity.rs"]
mod quantity;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| quantity::check(bytes));
