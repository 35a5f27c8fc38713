//! The order of 8 and 12 bends, every set of finished steps looked at. Goals, one core: 8 in 0.1 s, 12 in 3 s.

#[path = "../tests/planned/card.rs"]
#[expect(dead_code, reason = "the tests ask for more cards")]
mod card;

use brake::tooling::Tooling;
use sheet::Mockup;

fn main() {
    divan::main();
}

/// Up and down by turns.
fn stairs(bends: usize) -> Mockup {
    let degrees: Vec<f64> = [90.0, -90.0].into_iter().cycle().take(bends).collect();
    card::strip(100.0, &vec![40.0; bends + 1], &degrees)
}

/// Two up, two down.
fn corrugated(bends: usize) -> Mockup {
    let up_and_down = [30.0, 30.0, -30.0, -30.0].into_iter().cycle();
    card::strip(
        100.0,
        &vec![60.0; bends + 1],
        &up_and_down.take(bends).collect::<Vec<f64>>(),
    )
}

/// All one way, nearly round.
fn closing_in(bends: usize) -> Mockup {
    card::strip(100.0, &vec![40.0; bends + 1], &vec![330.0 / bends as f64; bends])
}

fn planned(bencher: divan::Bencher, card: &Mockup, tooling: &Tooling) {
    let work = card::work(card);
    bencher.bench_local(|| card::planned(&work, tooling));
}

#[divan::bench(args = [8, 12], sample_count = 5, sample_size = 1)]
fn stairs_on_a_brake(bencher: divan::Bencher, bends: usize) {
    planned(bencher, &stairs(bends), &Tooling::starter_brake());
}

#[divan::bench(args = [8, 12], sample_count = 5, sample_size = 1)]
fn corrugated_on_a_brake(bencher: divan::Bencher, bends: usize) {
    planned(bencher, &corrugated(bends), &Tooling::starter_brake());
}

#[divan::bench(args = [8, 12], sample_count = 5, sample_size = 1)]
fn closing_in_on_a_brake(bencher: divan::Bencher, bends: usize) {
    planned(bencher, &closing_in(bends), &Tooling::starter_brake());
}

#[divan::bench(args = [8, 12], sample_count = 5, sample_size = 1)]
fn stairs_in_a_folder(bencher: divan::Bencher, bends: usize) {
    planned(bencher, &stairs(bends), &Tooling::starter_folder());
}
