//! How long it takes to find what would help the forearm plate at 15,000 unknowns. The limits that were set: two hundred
//! changes ranked within 0.3 s, ten solved within 1 s.

#[path = "../tests/helps/hoe.rs"]
mod hoe;

use prove::Options;
use prove::helps::{Changed, Effort, Stands, Still, apply, candidates, rank, solve_once, what_helps};

fn main() {
    divan::main();
}

fn options() -> Options {
    Options {
        first_unknowns: 15_000,
        ..Options::default()
    }
}

#[divan::bench]
fn two_hundred_ranked(bencher: divan::Bencher) {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let solved = solve_once(&bracket, &[], &options()).expect("the plate is held");
    let changes = candidates(&card, &bracket, &shelf);
    assert!(changes.len() >= 200, "{}", changes.len());
    bencher.bench(|| rank(&changes, &bracket, &shelf, &solved.in_hand));
}

#[divan::bench(sample_count = 5)]
fn two_hundred_made(bencher: divan::Bencher) {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let changes = candidates(&card, &bracket, &shelf);
    bencher.bench(|| {
        let made = changes
            .iter()
            .map(|change| apply(change, &card, &bracket, &shelf));
        made.filter(Result::is_ok).count()
    });
}

#[divan::bench(sample_count = 5)]
fn one_solved(bencher: divan::Bencher) {
    let part = hoe::part();
    let bracket = hoe::bracket(&part);
    bencher.bench(|| solve_once(&bracket, &[], &options()).expect("the plate is held"));
}

/// The plate as it is, and ten changes.
#[divan::bench(sample_count = 3)]
fn ten_solved(bencher: divan::Bencher) {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let effort = Effort {
        alone: 10,
        rounds: 0,
        further: 0,
    };
    let still = |_: &Changed| Still {
        fits: Stands::NotChecked,
        cuts: Stands::NotChecked,
        bends: Stands::NotChecked,
    };
    bencher.bench(|| {
        what_helps(&bracket, &card, &shelf, &options(), effort, &still).expect("the plate is held")
    });
}
