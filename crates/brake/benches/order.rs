//! The order of 8 and 12 bends on the starter brake, every set of finished steps looked at.

#[path = "../tests/planned/card.rs"]
#[allow(dead_code)]
mod card;

use brake::tooling::Tooling;

fn main() {
    divan::main();
}

#[divan::bench(args = [8, 12], sample_count = 5, sample_size = 1)]
fn corrugated(bencher: divan::Bencher, bends: usize) {
    let degrees: Vec<f64> = [30.0, 30.0, -30.0, -30.0]
        .into_iter()
        .cycle()
        .take(bends)
        .collect();
    let work = card::work(&card::strip(100.0, &vec![60.0; bends + 1], &degrees));
    let tooling = Tooling::starter_brake();
    bencher.bench_local(|| card::planned(&work, &tooling));
}

#[divan::bench(args = [8, 12], sample_count = 5, sample_size = 1)]
fn closing_in(bencher: divan::Bencher, bends: usize) {
    let degrees = vec![320.0 / bends as f64; bends];
    let work = card::work(&card::strip(100.0, &vec![40.0; bends + 1], &degrees));
    let tooling = Tooling::starter_brake();
    bencher.bench_local(|| card::planned(&work, &tooling));
}
