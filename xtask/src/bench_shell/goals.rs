//! How the goals stand.

use super::answer::Answer;

/// So many times quicker than the quickest.
const TIMES_QUICKER: f64 = 15.0;
/// The same answer to this share of the whole movement.
const SAME_ANSWER: f64 = 0.005;

/// A solver and what it said.
pub struct Ran {
    pub name: &'static str,
    pub beside_the_goal: bool,
    pub answer: Answer,
}

/// How many times quicker ours is than the quickest peer, and how much of the leanest one's memory it takes.
pub struct Ratio {
    unknowns: usize,
    times: f64,
    times_to_moves: f64,
    times_on_processor: f64,
    memory: f64,
}

/// Ours, the first, against those others that count.
pub fn ratio(answers: &[Ran], counts: fn(&Ran) -> bool) -> Option<Ratio> {
    let (ours, peers) = answers.split_first()?;
    let ours = &ours.answer;
    let peers: Vec<&Answer> = peers
        .iter()
        .filter(|ran| counts(ran))
        .map(|ran| &ran.answer)
        .collect();
    let least = |of: fn(&Answer) -> f64| peers.iter().map(|peer| of(peer)).fold(f64::INFINITY, f64::min);
    (!peers.is_empty()).then(|| Ratio {
        unknowns: ours.unknowns,
        times: least(|peer| peer.seconds) / ours.seconds,
        times_to_moves: least(|peer| peer.seconds_moves) / ours.seconds_moves,
        times_on_processor: least(|peer| peer.processor_seconds) / ours.processor_seconds,
        memory: ours.peak_mb / least(|peer| peer.peak_mb),
    })
}

/// The table of ratios against some peers.
pub fn quicker(whom: &str, ratios: &[Ratio]) {
    println!();
    println!(
        "Against {whom} (goals: {TIMES_QUICKER} times quicker than the quickest, memory no more than the leanest's):"
    );
    println!("| unknowns | to movements | with stresses | on a processor | | memory, share | |");
    println!("|---|---|---|---|---|---|---|");
    for ratio in ratios {
        println!(
            "| {} | {:.1} | {:.1} | {:.1} | {} | {:.2} | {} |",
            ratio.unknowns,
            ratio.times_to_moves,
            ratio.times,
            ratio.times_on_processor,
            met(ratio.times.min(ratio.times_to_moves) >= TIMES_QUICKER),
            ratio.memory,
            met(ratio.memory <= 1.0)
        );
    }
}

/// How far the others' tips are from ours, the first.
pub fn agreement(answers: &[Ran]) {
    let Some((ours, peers)) = answers.split_first() else {
        return;
    };
    println!();
    println!("Tip against ours, spread loads (goal {} %):", 100.0 * SAME_ANSWER);
    for peer in peers {
        let off = ours.answer.off(&peer.answer);
        let [x, y, z] = [0, 1, 2].map(|k| 100.0 * (ours.answer.tip_mm[k] / peer.answer.tip_mm[k] - 1.0));
        println!(
            "- {}: whole movement {:.3} % apart, {}; along x, y, z {x:+.3}, {y:+.3}, {z:+.3} %",
            peer.name,
            100.0 * off,
            met(off <= SAME_ANSWER),
        );
    }
}

fn met(met: bool) -> &'static str {
    if met { "met" } else { "not met" }
}
