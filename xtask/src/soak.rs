//! The long run of the properties that a cutting table and a brake depend on: no precedence broken, no pierce in a part, no
//! travel with the torch on, every program read back; every order of bends agreed with all orders tried one by one.

use std::process::Command;
use std::time::{SystemTime, UNIX_EPOCH};

use crate::page::web;
use crate::steps::Steps;

/// How many of each kind are asked for when no count is given.
pub const FULL_COUNT: u32 = 100_000;

/// A test that holds some of them.
struct HeldBy {
    room: &'static str,
    test: &'static str,
    /// Only its tests whose names have this; all where it is empty.
    only: &'static str,
    about: &'static str,
    /// The variable that says how many.
    counted_by: &'static str,
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
const HELD_BY: [HeldBy; 6] = [
    HeldBy {
        room: "cut",
        test: "order_of_cuts",
        only: "",
        about: "orders of random contours",
        counted_by: "GUSSET_CASES",
        one_of: 1,
        least: 1,
    },
    HeldBy {
        room: "cut",
        test: "machine_file",
        only: "",
        about: "random sheets written and read back, and damaged ones refused",
        counted_by: "GUSSET_CASES",
        one_of: 1,
        least: 1,
    },
    HeldBy {
        room: "cut",
        test: "tracks_of_blanks",
        only: "",
        about: "tracks of random blanks",
        counted_by: "GUSSET_CASES",
        one_of: 1,
        least: 1,
    },
    HeldBy {
        room: "cut",
        test: "whole_sheets",
        only: "",
        about: "whole sheets from blanks to the program",
        counted_by: "GUSSET_CASES",
        one_of: 1,
        least: 1,
    },
    // Each part is bent in every order, which takes ten times as long; and some must have an order, and some none.
    HeldBy {
        room: "brake",
        test: "planned",
        only: "orders::",
        about: "orders of the bends of random parts",
        counted_by: "GUSSET_CASES",
        one_of: 10,
        least: 12,
    },
    // Those with no order are planned again with every change, which takes a hundred times as long again.
    HeldBy {
        room: "brake",
        test: "planned",
        only: "repairs::",
        about: "changes to random parts with no order",
        counted_by: "GUSSET_REPAIRS",
        one_of: 1000,
        least: 12,
    },
];

/// The server is killed so often at most: each time it is started anew.
const MOST_KILLS: u32 = 1_000;

/// Of so many asked for, every test is run once with random parts of its own: all of them take minutes.
const ONE_ROUND_OF: u32 = 10_000;

/// Every test again, each time with random parts that were drawn in no run before.
fn anew(steps: &mut Steps, rounds: u32) {
    let clock = SystemTime::now().duration_since(UNIX_EPOCH);
    let first = clock.map_or(2, |since| since.as_secs());
    for seed in (first..first + u64::from(rounds)).map(|seed| seed.to_string()) {
        steps.cargo_tests_drawn_by(
            &seed,
            &format!("every test, its random parts drawn by the seed {seed}"),
            &[
                "test",
                "--release",
                "--workspace",
                "--locked",
                "--lib",
                "--tests",
                "--no-fail-fast",
            ],
        );
    }
}

/// Runs them as released, one after another.
pub fn run(steps: &mut Steps, asked: u32) {
    anew(steps, (asked / ONE_ROUND_OF).max(1));
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
    for held_by in &HELD_BY {
        let count = held_by.count(asked);
        let mut command = Command::new(&cargo);
        command
            .args(["test", "--release", "--locked"])
            .args(["-p", held_by.room, "--test", held_by.test])
            .env(held_by.counted_by, count.to_string());
        if !held_by.only.is_empty() {
            command.args(["--", held_by.only]);
        }
        steps.run(&format!("{}, {count} of each", held_by.about), &mut command);
    }
    let kills = asked.min(MOST_KILLS);
    let what = format!("the page's server killed {kills} times while it saves");
    if let Err(why) = web::node() {
        steps.skip(&what, &format!("{why}; without the page there is no server"));
        return;
    }
    let mut command = Command::new(&cargo);
    command
        .args([
            "test",
            "--release",
            "--locked",
            "-p",
            "gusset",
            "--test",
            "command",
            "bench_killed",
            "--",
            "--nocapture",
        ])
        .env("GUSSET_KILLS", kills.to_string());
    steps.run(&what, &mut command);
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
