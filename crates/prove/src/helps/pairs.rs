//! Pairs of changes that are worth solving once their parts are.

use super::best::Asked;
use super::change::Change;
use super::outcome::{Held, Help, Helps};
use super::rank::{Foretold, Saved};

/// Pairs of what helped alone, and of it with any other plate, most promising first: those foretold to pass by mass, then
/// by how far they fall short.
pub(super) fn pairs<E>(
    asked: &Asked<'_>,
    found: &Helps<E>,
    changes: &[Change],
    ranked: &[Foretold],
) -> Vec<(Change, Foretold)> {
    let mut pool: Vec<Part> = found
        .solved
        .iter()
        .map(|help| Part::solved(&asked.before, found.mass_g, help))
        .collect();
    for told in ranked {
        let change = &changes[told.change];
        let known = found.solved.iter().any(|help| help.change == *change);
        if let (Change::Stock(plate), Some(saved), false) = (change, &told.saved, known) {
            let stock = asked.shelf.plates.get(*plate);
            let ratio = stock.map_or(1.0, |stock| stock.thickness_mm / asked.bracket.part.thickness_mm);
            pool.push(Part {
                change: change.clone(),
                left: saved
                    .iter()
                    .map(|saved| [1.0 - saved.stress, 1.0 - saved.movement])
                    .collect(),
                grams: found.mass_g * (ratio - 1.0),
            });
        }
    }
    let mut told: Vec<(f64, f64, Change, Vec<[f64; 2]>)> = Vec::new();
    for (index, first) in pool.iter().enumerate() {
        for second in &pool[index + 1..] {
            if meets(&first.change, &second.change) {
                continue;
            }
            let left: Vec<[f64; 2]> = first
                .left
                .iter()
                .zip(&second.left)
                .map(|(a, b)| [a[0] * b[0], a[1] * b[1]])
                .collect();
            let used = asked
                .before
                .cases
                .iter()
                .zip(&left)
                .map(|(case, left)| (case.stress_used * left[0]).max(case.moves_used * left[1]));
            let used = used.fold(0.0, f64::max);
            let both = Change::Together(vec![first.change.clone(), second.change.clone()]);
            told.push((used, first.grams + second.grams, both, left));
        }
    }
    // What is foretold to come within a fifth of the limits may pass.
    let may_pass = |used: f64| used <= 1.2;
    told.sort_by(|a, b| {
        let by_class = may_pass(b.0).cmp(&may_pass(a.0));
        let within = if may_pass(a.0) {
            a.1.total_cmp(&b.1)
        } else {
            a.0.total_cmp(&b.0)
        };
        by_class.then(within)
    });
    told.into_iter()
        .map(|(used, _, change, left)| {
            let saved = left.iter().map(|left| Saved {
                movement: 1.0 - left[1],
                by_twist: 0.0,
                stress: 1.0 - left[0],
            });
            let foretold = Foretold {
                change: usize::MAX,
                saved: Some(saved.collect()),
                gain: 1.0 - used / asked.before.used,
            };
            (change, foretold)
        })
        .collect()
}

/// One of a pair.
struct Part {
    change: Change,
    /// For each load, what is left of stress and movement.
    left: Vec<[f64; 2]>,
    grams: f64,
}

impl Part {
    fn solved(before: &Held, mass_g: f64, help: &Help) -> Self {
        let share = |now: f64, before: f64| if before > 0.0 { now / before } else { 1.0 };
        let cases = help.held.cases.iter().zip(&before.cases);
        Self {
            change: help.change.clone(),
            left: cases
                .map(|(now, before)| {
                    [
                        share(now.stress_used, before.stress_used),
                        share(now.moves_used, before.moves_used),
                    ]
                })
                .collect(),
            grams: help.mass_g - mass_g,
        }
    }
}

/// Whether two changes are about one thing, so that they are alternatives.
fn meets(first: &Change, second: &Change) -> bool {
    use Change::{Bolt, Gussets, Mount, Stock, Window};
    match (first, second) {
        (Stock(_), Stock(_)) | (Mount(_), Mount(_)) => true,
        (Gussets(a), Gussets(b)) => a.bend == b.bend,
        (Window { opening: a, .. }, Window { opening: b, .. })
        | (Bolt { opening: a, .. }, Bolt { opening: b, .. }) => a == b,
        _ => edges(first)
            .iter()
            .any(|a| edges(second).iter().any(|b| overlap(a, b))),
    }
}

fn edges(change: &Change) -> Vec<[plane::Point; 2]> {
    match change {
        Change::Lip(lip) => vec![lip.edge],
        Change::Channel(lips) | Change::Closed(lips) => lips.iter().map(|lip| lip.edge).collect(),
        Change::Wider { edge, .. } => vec![*edge],
        Change::Bar(bar) => vec![bar.line],
        _ => Vec::new(),
    }
}

/// Whether two lines run beside each other, closer than a plate's edge and what is bent out of it.
fn overlap(a: &[plane::Point; 2], b: &[plane::Point; 2]) -> bool {
    /// Farther apart than a bar stands in from its edge, nearer than the two edges of any strip worth a lip, mm.
    const BESIDE_MM: f64 = 8.0;
    let line = |ends: &[plane::Point; 2]| plane::Segment::line(ends[0], ends[1]);
    line(a).distance_between(&line(b)).0 < BESIDE_MM
}
