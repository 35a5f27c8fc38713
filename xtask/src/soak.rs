//! The long run of the properties that a cutting table depends on: no precedence broken, no pierce in a part, no travel with
//! the torch on, every program read back.

use std::process::Command;

use crate::steps::Steps;

/// How many random sheets of each kind the program is held to.
pub const FULL_COUNT: u32 = 100_000;

/// The tests that hold them, and what each is about. Layouts and imports are not among them: they are about time.
const HELD_BY: [(&str, &str); 4] = [
    ("order_of_cuts", "orders of random contours"),
    (
        "machine_file",
        "random sheets written and read back, and damaged ones refused",
    ),
    ("tracks_of_blanks", "tracks of random blanks"),
    ("whole_sheets", "whole sheets from blanks to the program"),
];

/// Runs them as released, one after another.
pub fn run(steps: &mut Steps, count: u32) {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
    for (test, about) in HELD_BY {
        let mut command = Command::new(&cargo);
        command
            .args(["test", "--release", "--locked", "-p", "cut", "--test", test])
            .env("GUSSET_CASES", count.to_string());
        steps.run(&format!("{about}, {count} of each"), &mut command);
    }
}
