//! The long run of the properties that a cutting table and a brake depend on: no precedence broken, no pierce in a part, no
//! travel with the torch on, every program read back; every order of bends agreed with all orders tried one by one.

use std::process::Command;

use crate::steps::Steps;

/// How many random sheets of each kind the program is held to.
pub const FULL_COUNT: u32 = 100_000;

/// Bent parts are held to a tenth as many: each is asked for in every order.
const PARTS_BENT: u32 = 10;

/// The tests that hold them, and what each is about. Layouts and imports are not among them: they are about time.
const HELD_BY: [(&str, &str, &str); 5] = [
    ("cut", "order_of_cuts", "orders of random contours"),
    (
        "cut",
        "machine_file",
        "random sheets written and read back, and damaged ones refused",
    ),
    ("cut", "tracks_of_blanks", "tracks of random blanks"),
    ("cut", "whole_sheets", "whole sheets from blanks to the program"),
    ("brake", "planned", "orders of the bends of random parts"),
];

/// Runs them as released, one after another.
pub fn run(steps: &mut Steps, count: u32) {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
    for (room, test, about) in HELD_BY {
        let count = if room == "brake" {
            (count / PARTS_BENT).max(1)
        } else {
            count
        };
        let mut command = Command::new(&cargo);
        command
            .args(["test", "--release", "--locked", "-p", room, "--test", test])
            .env("GUSSET_CASES", count.to_string());
        steps.run(&format!("{about}, {count} of each"), &mut command);
    }
}
