//! `gusset bench` killed while it saves: the file is the old one or the new one, and what was done can be taken back.

use std::fs;
use std::net::TcpStream;
use std::path::Path;
use std::time::{Duration, Instant};

use job::revise::OpenJob;

use crate::bench_of_work::{job_from, text};
use crate::bench_served::{Served, is_page_there};

/// So often it is killed; `cargo xtask soak` asks for a thousand.
const KILLS: u32 = 40;

/// Asks for a save and waits for no answer.
fn save(server: &Served, title: &str, stamp: &str) -> TcpStream {
    let act = serde_json::json!({
        "file": "design",
        "acts": [{ "act": "set", "at": ["title"], "to": title }],
        "says": title,
        "base": stamp,
    });
    server.asked("POST", "/api/act", &act.to_string())
}

/// Numbers that spread, the same each time: Lehmer's generator with the multiplier of Park and Miller (1988).
struct Spread(u64);

impl Spread {
    /// From 0 to below 1.
    fn next(&mut self) -> f64 {
        const MODULUS: u64 = 0x7fff_ffff;
        self.0 = self.0 * 48_271 % MODULUS;
        self.0 as f64 / MODULUS as f64
    }
}

fn design(job: &Path) -> String {
    fs::read_to_string(job.join("design.toml")).expect("the design is there, and is text")
}

/// Files that a broken-off save left beside the ones that count.
fn left_over(folder: &Path) -> usize {
    let entries = fs::read_dir(folder).expect("the folder can be read");
    entries
        .filter(|entry| {
            let name = entry.as_ref().expect("an entry").file_name();
            name.to_string_lossy().ends_with(".part")
        })
        .count()
}

fn opened(job: &Path) -> OpenJob {
    OpenJob::open(job, None).unwrap_or_else(|error| panic!("after a kill: {error}"))
}

#[test]
fn killed_while_it_saves_it_leaves_the_old_file_or_the_new_and_undo_goes_on() {
    let asked = std::env::var("GUSSET_KILLS");
    if !is_page_there("the server killed while it saves") {
        // Whoever says how often wants to know how it went.
        assert!(asked.is_err(), "there is nothing to kill");
        return;
    }
    let kills = asked.map_or(KILLS, |count| count.parse().expect("a count of kills"));
    let job = job_from("flat-plate", "bench_killed");
    let title = "Flat plate";
    let first = design(&job);
    let line = first
        .lines()
        .find(|line| line.starts_with("title"))
        .expect("the demo has a title")
        .to_owned();
    let titled = |text: &str| {
        let (key, _) = line.split_once('=').expect("a key and a value");
        format!("{key}= \"{text}\"")
    };
    let mut current = first.clone();
    let mut spread = Spread(20_262_811);
    // About what a save takes; it is drawn toward the moment at which the file is put in place.
    let mut about = Duration::from_millis(10);
    let (mut old, mut new, mut counted) = (0, 0, 0);
    let begun = Instant::now();
    for round in 0..kills {
        let before = design(&job);
        assert_eq!(before, current, "round {round}");
        let open = opened(&job);
        let stamp = open.stamp().0;
        let undo_before = open.to_undo();
        drop(open);
        let name = format!("{title} {round}");
        let server = Served::start(&["bench", text(&job), "--no-browser"]);
        let stream = save(&server, &name, &stamp);
        std::thread::sleep(about.mul_f64(0.4 + 1.2 * spread.next()));
        drop(server);
        drop(stream);

        let after = design(&job);
        let titles: Vec<&str> = before.lines().filter(|line| line.starts_with("title")).collect();
        let saved = before.replacen(titles[0], &titled(&name), 1);
        assert!(
            after == before || after == saved,
            "round {round}: the file is neither old nor new:\n{after}"
        );
        // The history is read, agrees with the file, and takes it back to the letter.
        let mut open = opened(&job);
        let base = open.stamp();
        if after == saved {
            new += 1;
            about = about.mul_f64(0.93);
            assert_eq!(open.to_undo().as_deref(), Some(name.as_str()), "round {round}");
        } else {
            old += 1;
            about = about.mul_f64(1.08).max(Duration::from_micros(200));
            assert_eq!(open.to_undo(), undo_before, "round {round}");
            // It was kept in the history already, and only not done: then it can be done again.
            counted += usize::from(open.to_redo().as_deref() == Some(name.as_str()));
        }
        if open.to_undo().is_some() {
            let now = design(&job);
            let back = open
                .undo(&base)
                .unwrap_or_else(|error| panic!("round {round}: undo: {error}"));
            if after == saved {
                assert_eq!(design(&job), before, "round {round}: undone");
            }
            open.redo(&back.stamp)
                .unwrap_or_else(|error| panic!("round {round}: redo: {error}"));
            assert_eq!(design(&job), now, "round {round}: done again");
        }
        current = design(&job);
    }
    let left = left_over(&job) + left_over(&job.join(".gusset/history"));
    println!(
        "killed {kills} times in {:.0} s: old {old} (of them {counted} kept in the history and not done), new {new}; \
         {left} files half written, beside those that count; a save is about {:.1} ms",
        begun.elapsed().as_secs_f64(),
        1000.0 * about.as_secs_f64()
    );
    if kills >= KILLS {
        assert!(
            old > 0 && new > 0,
            "the kills missed the saves: old {old}, new {new}"
        );
    }
}
