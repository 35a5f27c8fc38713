//! What more could be done to a part that is changed already.

use super::best::{Asked, order, shortlist};
use super::candidates::candidates;
use super::change::{Change, Changed};
use super::outcome::{Help, Helps};
use super::rank::{Foretold, rank};
use super::strains::InHand;

/// Parts that are changed further in one round.
const BASES: usize = 2;

/// The parts worth changing further: those that do not hold yet and gain most of the limit for each gram, as indices.
/// `taken` has those that were taken before, and takes these.
pub(super) fn bases<E>(found: &Helps<E>, taken: &mut Vec<usize>) -> Vec<usize> {
    let better = |help: &Help| !help.passes() && help.still.stands() && help.held.used < found.before.used;
    let mut bases: Vec<usize> = (0..found.solved.len())
        .filter(|index| better(&found.solved[*index]) && !taken.contains(index))
        .collect();
    let place = |&index: &usize| order(&found.before, found.mass_g, &found.solved[index]);
    bases.sort_by(|a, b| place(a).total_cmp(&place(b)));
    bases.truncate(BASES);
    taken.extend(&bases);
    bases
}

/// Changes to a changed part, each together with those it has, in the order in which they are worth solving.
pub(super) fn further(asked: &Asked<'_>, base: &Help, strains: &InHand) -> Vec<(Change, Foretold)> {
    let changed = &base.changed;
    let bracket = changed.bracket(asked.bracket);
    let changes = candidates(&changed.mockup, &bracket, asked.shelf);
    let ranked = rank(&changes, &bracket, asked.shelf, strains);
    let list = shortlist(&base.held, &bracket, asked.shelf, &changes, &ranked);
    list.into_iter()
        .filter_map(|(change, foretold)| {
            let change = before_all(change, changed)?;
            let alternative = base.change.single().iter().any(|made| meets(made, &change));
            let both = Change::Together(
                base.change
                    .single()
                    .into_iter()
                    .cloned()
                    .chain([change])
                    .collect(),
            );
            (!alternative).then_some((both, foretold))
        })
        .collect()
}

/// A change with the indices that its openings had before any change; none when it is about one that is new.
fn before_all(mut change: Change, changed: &Changed) -> Option<Change> {
    if let Change::Window { opening, .. } | Change::Bolt { opening, .. } = &mut change {
        *opening = changed
            .openings_now
            .iter()
            .position(|now| *now == Some(*opening))?;
    }
    Some(change)
}

/// Whether two changes are about one thing, so that they are alternatives.
fn meets(first: &Change, second: &Change) -> bool {
    use Change::{Bolt, Gussets, Mount, Stock, Window};
    match (first, second) {
        (Stock(_), Stock(_)) => true,
        (Mount(a), Mount(b)) => a == b,
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
