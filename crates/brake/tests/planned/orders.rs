//! The search against all orders tried one by one, and its plans against a dense sweep, on random parts.

use brake::needs::Practice;
use brake::order::{Afresh, Outcome, Weights, plan, steps_meet};
use brake::tooling::Tooling;
use brake::work::{Stock, Work};
use handbook::Handbook;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use sheet::{Mockup, develop};

use crate::card::{T_MM, pan, strip, work};

/// Strips and pans of up to 7 bends, some easy, many not.
pub fn random_card() -> impl Strategy<Value = Mockup> {
    let bend =
        prop_oneof![4 => Just(90.0), 1 => Just(-90.0), 1 => Just(45.0), 1 => Just(-45.0), 1 => 20.0..140.0];
    let leg = prop_oneof![3 => 12.0..40.0, 2 => 40.0..110.0];
    let chain =
        (30.0..160.0, prop::collection::vec((leg, bend), 1..7), 15.0..60.0).prop_map(|(wide, legs, last)| {
            let bends: Vec<f64> = legs.iter().map(|(_, bend)| *bend).collect();
            let mut lengths: Vec<f64> = legs.iter().map(|(leg, _)| *leg).collect();
            lengths.push(last);
            strip(wide, &lengths, &bends)
        });
    let pans = (40.0..160.0, 40.0..160.0, 12.0..60.0).prop_map(|(a, b, wall)| pan(a, b, wall));
    prop_oneof![5 => chain, 1 => pans]
}

/// The same parts every time.
pub fn works(seed: u8, count: usize) -> impl Iterator<Item = Work> {
    let book = Handbook::builtin();
    let stock = Stock::of(&book, "5052-H32", T_MM).expect("a metal of the handbook");
    let closed_past_rad = Practice::of(&book).closed_past_rad.value;
    let mut runner = TestRunner::new_with_rng(
        Config::default(),
        TestRng::from_seed(RngAlgorithm::ChaCha, &[seed; 32]),
    );
    std::iter::from_fn(move || Some(random_card().new_tree(&mut runner).expect("a card").current()))
        .filter_map(move |card| {
            let part = develop(&card, T_MM).ok()?;
            Work::of(&part, Some(stock.clone()), closed_past_rad).ok()
        })
        .take(count)
}

/// Whether some order is possible, asked of each stroke afresh with nothing kept from one to the next.
fn any_order(afresh: &Afresh<'_>, all: u32, done: u32) -> bool {
    let mut strokes = afresh.strokes().into_iter();
    done == all
        || strokes.any(|steps| afresh.is_possible(steps, done) && any_order(afresh, all, done | steps))
}

fn agree(seed: u8, count: usize) -> (usize, usize) {
    let practice = Practice::of(&Handbook::builtin());
    let tooling = Tooling::starter_brake();
    let (mut bent, mut not) = (0, 0);
    for (index, work) in works(seed, count).enumerate() {
        let outcome = plan(&work, &tooling, &practice, &Weights::default()).expect("sound tools");
        let possible = any_order(&Afresh::of(&work, &tooling, &practice), work.all_done(), 0);
        assert_eq!(outcome.plan().is_some(), possible, "part {index} of seed {seed}");
        match outcome {
            Outcome::Plan(plan) => {
                bent += 1;
                let met = steps_meet(&work, &tooling, &plan, 0.25f64.to_radians());
                assert_eq!(
                    met, None,
                    "part {index} of seed {seed} meets at a quarter of a degree"
                );
            }
            Outcome::None(_) => not += 1,
        }
    }
    (bent, not)
}

#[test]
fn all_orders_tried_one_by_one_agree_and_no_plan_meets_at_a_quarter_of_a_degree() {
    let (bent, not) = agree(1, 12);
    assert!(bent > 2 && not > 2, "{bent} bent, {not} not");
}

#[test]
#[ignore = "ten thousand parts: some minutes, in release"]
fn ten_thousand_random_parts_agree() {
    let counts = (0..100).map(|seed| agree(seed + 100, 100));
    let (bent, not) = counts.fold((0, 0), |(bent, not), (b, n)| (bent + b, not + n));
    println!("{bent} bent, {not} with no order, all agree");
}

/// Time this thread has had a core, s, where the system tells it.
fn cpu_s() -> f64 {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    told.split_whitespace()
        .next()
        .and_then(|ns| ns.parse::<f64>().ok())
        .map_or(f64::NAN, |ns| ns / 1e9)
}

#[test]
#[ignore = "a measurement, not a check"]
fn how_long_8_and_12_bends_take() {
    let practice = Practice::of(&Handbook::builtin());
    for (name, legs, bends) in [
        ("8 bends, stairs", vec![40.0; 9], [90.0, -90.0].repeat(4)),
        (
            "8 bends, corrugated",
            vec![60.0; 9],
            [30.0, 30.0, -30.0, -30.0].repeat(2),
        ),
        ("8 bends, closing in", vec![40.0; 9], vec![40.0; 8]),
        ("12 bends, stairs", vec![40.0; 13], [90.0, -90.0].repeat(6)),
        (
            "12 bends, corrugated",
            vec![60.0; 13],
            [30.0, 30.0, -30.0, -30.0].repeat(3),
        ),
        ("12 bends, closing in", vec![40.0; 13], vec![28.0; 12]),
    ] {
        let work = work(&strip(100.0, &legs, &bends));
        for (tools, tooling) in [
            ("brake", Tooling::starter_brake()),
            ("folder", Tooling::starter_folder()),
        ] {
            let (start, cpu) = (std::time::Instant::now(), cpu_s());
            let outcome = plan(&work, &tooling, &practice, &Weights::default()).expect("sound tools");
            let took = start.elapsed();
            let cpu_s = cpu_s() - cpu;
            let proof = match &outcome {
                Outcome::Plan(plan) => plan.proof,
                Outcome::None(none) => none.proof,
            };
            println!(
                "{name}, {tools}: {took:.3?}, {cpu_s:.3} s of one core, plan {}, {proof:?}",
                outcome.plan().is_some()
            );
        }
    }
}
