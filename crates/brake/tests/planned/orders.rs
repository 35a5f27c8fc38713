//! The search against all orders tried one by one, and its plans against a dense sweep, on random parts.

use std::collections::BTreeMap;

use brake::needs::Practice;
use brake::order::{Afresh, Outcome, Weights, plan, steps_meet};
use brake::tooling::Tooling;
use brake::work::{Stock, Work};
use handbook::Handbook;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use sheet::{Mockup, develop};

use crate::card::{T_MM, pan, strip};

/// Strips and pans of up to 7 bends, some easy, many not.
pub fn random_card() -> impl Strategy<Value = Mockup> {
    let bend =
        prop_oneof![4 => Just(90.0), 1 => Just(-90.0), 1 => Just(45.0), 1 => Just(-45.0), 1 => 20.0..140.0];
    let leg = prop_oneof![3 => 12.0..40.0, 2 => 40.0..110.0];
    let chain = (30.0..160.0, prop::collection::vec((leg, bend), 1..=7), 15.0..60.0).prop_map(
        |(wide, legs, last)| {
            let bends: Vec<f64> = legs.iter().map(|(_, bend)| *bend).collect();
            let mut lengths: Vec<f64> = legs.iter().map(|(leg, _)| *leg).collect();
            lengths.push(last);
            strip(wide, &lengths, &bends)
        },
    );
    let pans = (40.0..160.0, 40.0..160.0, 12.0..60.0).prop_map(|(a, b, wall)| pan(a, b, wall));
    prop_oneof![5 => chain, 1 => pans]
}

/// The same parts every time.
pub fn works(seed: u8, count: usize) -> impl Iterator<Item = (Mockup, Work)> {
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
            let work = Work::of(&part, Some(stock.clone()), closed_past_rad).ok()?;
            Some((card, work))
        })
        .take(count)
}

/// Every order tried one by one. Whether a stroke can be made when others are done is asked afresh, with nothing kept from
/// one question to the next, and each question once.
struct OneByOne<'a> {
    afresh: Afresh<'a>,
    strokes: Vec<u32>,
    all: u32,
    asked: BTreeMap<(u32, u32), bool>,
}

impl OneByOne<'_> {
    fn any_order(&mut self, done: u32) -> bool {
        done == self.all
            || (0..self.strokes.len()).any(|stroke| {
                let steps = self.strokes[stroke];
                let afresh = &self.afresh;
                let question = || afresh.is_possible(steps, done);
                *self.asked.entry((steps, done)).or_insert_with(question) && self.any_order(done | steps)
            })
    }
}

fn agree(tooling: &Tooling, seed: u8, count: usize) -> (usize, usize) {
    let practice = Practice::of(&Handbook::builtin());
    let weights = Weights::default();
    let (mut bent, mut not) = (0, 0);
    for (index, (_, work)) in works(seed, count).enumerate() {
        let outcome = plan(&work, tooling, &practice, &weights).expect("sound tools");
        let afresh = Afresh::of(&work, tooling, &practice);
        // The plain search leaves nothing out for being dear, and finds the same least effort.
        let effort = outcome.plan().map(|plan| plan.effort.total());
        assert_eq!(
            effort,
            afresh.least_effort(&weights),
            "effort of part {index} of seed {seed}"
        );
        let mut one_by_one = OneByOne {
            strokes: afresh.strokes(),
            afresh,
            all: work.all_done(),
            asked: BTreeMap::new(),
        };
        let possible = one_by_one.any_order(0);
        assert_eq!(outcome.plan().is_some(), possible, "part {index} of seed {seed}");
        match outcome {
            Outcome::Plan(plan) => {
                bent += 1;
                let met = steps_meet(&work, tooling, &plan, 0.25f64.to_radians());
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

/// How many random parts are tried: a few in a plain run, GUSSET_CASES of them in a long one.
pub fn cases(few: usize) -> usize {
    let asked = std::env::var("GUSSET_CASES").ok();
    asked.map_or(few, |count| count.parse().expect("GUSSET_CASES is a number"))
}

/// Which random parts: GUSSET_SEED asks for others.
pub fn seed(usual: u8) -> u8 {
    let asked = std::env::var("GUSSET_SEED").ok();
    // One that is none would try the usual parts again, and look like others.
    asked.map_or(usual, |seed| {
        seed.parse().expect("GUSSET_SEED is a number up to 255")
    })
}

fn agree_on(tools: &str, tooling: &Tooling, seed: u8, count: usize) {
    let started = std::time::Instant::now();
    let (bent, not) = agree(tooling, seed, count);
    let took_s = started.elapsed().as_secs_f64();
    println!("{tools}: {bent} bent, {not} not, in {took_s:.1} s");
    assert!(bent > 2 && not > 2, "{tools}: {bent} bent, {not} not");
}

#[test]
fn all_orders_tried_one_by_one_agree_and_no_plan_meets_at_a_quarter_of_a_degree() {
    agree_on("brake", &Tooling::starter_brake(), seed(1), cases(12));
}

#[test]
fn so_they_do_where_folder_and_vice_are_all_there_is() {
    let tooling = Tooling {
        vices: Tooling::starter_vice().vices,
        ..Tooling::starter_folder()
    };
    agree_on("folder and vice", &tooling, seed(1), cases(14));
}
