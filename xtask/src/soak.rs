//! The long run of the properties that a cutting table and a brake depend on: no precedence broken, no pierce in a part, no
//! travel with the torch on, every program read back; every order of bends agreed with all orders tried one by one.

use std::process::Command;

use crate::steps::Steps;

/// How many of each kind are asked for when no count is given.
pub const FULL_COUNT: u32 = 100_000;

/// A test that holds some of them.
struct HeldBy {
    room: &'static str,
    test: &'static str,
    about: &'static str,
    /// Of so many asked for, one is tried.
    one_of: u32,
    /// Fewer are not enough for the test to say anything.
    least: u32,
}

impl HeldBy {
    fn count(&self, asked: u32) -> u32 {
        (asked / self.one_of).max(self.least)
    }
}

/// The tests that hold them. Layouts and imports are not among them: they are about time.
const HELD_BY: [HeldBy; 5] = [
    HeldBy {
        room: "cut",
        test: "order_of_cuts",
        about: "orders of random contours",
        one_of: 1,
        least: 1,
    },
    HeldBy {
        room: "cut",
        test: "machine_file",
        about: "random sheets written and read back, and damaged ones refused",
        one_of: 1,
        least: 1,
    },
    HeldBy {
        room: "cut",
        test: "tracks_of_blanks",
        about: "tracks of random blanks",
        one_of: 1,
        least: 1,
    },
    HeldBy {
        room: "cut",
        test: "whole_sheets",
        about: "whole sheets from blanks to the program",
        one_of: 1,
        least: 1,
    },
    // Each part is bent in every order, which takes ten times as long; and some must have an order, and some none.
    HeldBy {
        room: "brake",
        test: "planned",
        about: "orders of the bends of random parts",
        one_of: 10,
        least: 12,
    },
];

/// Runs them as released, one after another.
pub fn run(steps: &mut Steps, asked: u32) {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
    for held_by in &HELD_BY {
        let count = held_by.count(asked);
        let mut command = Command::new(&cargo);
        command
            .args(["test", "--release", "--locked"])
            .args(["-p", held_by.room, "--test", held_by.test])
            .env("GUSSET_CASES", count.to_string());
        steps.run(&format!("{}, {count} of each", held_by.about), &mut command);
    }
}

#[cfg(test)]
mod tests {
    use super::{FULL_COUNT, HELD_BY};

    #[test]
    fn a_short_soak_bends_as_many_parts_as_the_test_asks_for() {
        let bent = HELD_BY.iter().find(|held_by| held_by.room == "brake");
        let bent = bent.expect("parts are bent");
        assert_eq!(
            [1, 59, 600, FULL_COUNT].map(|asked| bent.count(asked)),
            [12, 12, 60, 10_000]
        );
        assert_eq!(HELD_BY[0].count(1), 1);
    }
}
