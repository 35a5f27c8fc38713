//! The best changes solved in full, alone and then with further ones, and set beside thicker plate.

use rayon::prelude::*;
use sheet::Mockup;

use super::apply::apply;
use super::candidates::candidates;
use super::change::{Change, Changed, ExtraPlate, Kind};
use super::further::{bases, further};
use super::outcome::{Dropped, Gained, Held, Help, Helps, Still};
use super::rank::{Foretold, rank};
use super::shelf::Shelf;
use super::strains::InHand;
use crate::bracket::Bracket;

/// Changes of one kind that are solved in the first round, so that other ways are seen too.
const OF_A_KIND: usize = 3;
/// Below this share of its limits a part has enough to spare for lighter ones to be tried.
const TO_SPARE: f64 = 0.7;
/// g in a kg.
const G_PER_KG: f64 = 1e3;

/// How much is solved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Changes solved alone.
    pub alone: usize,
    /// Rounds in which further changes are made to what came out best.
    pub rounds: usize,
    /// Further changes solved in each round.
    pub further: usize,
}

impl Default for Effort {
    /// Ten alone, and two rounds of six more.
    fn default() -> Self {
        Self {
            alone: 10,
            rounds: 2,
            further: 6,
        }
    }
}

/// What is known of a bracket that was solved.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// What the loads do to it.
    pub held: Held,
    /// Its strains.
    pub in_hand: InHand,
}

/// A bracket and what is known of it.
pub struct Asked<'a> {
    /// The card.
    pub mockup: &'a Mockup,
    /// What it develops to, on its mounts and under its loads.
    pub bracket: &'a Bracket<'a>,
    /// What there is to change it with.
    pub shelf: &'a Shelf,
    /// What the loads do to it.
    pub before: Solved,
}

/// Solves a bracket with plates welded on.
pub type Solve<'a, E> = dyn Fn(&Bracket<'_>, &[ExtraPlate]) -> Result<Solved, E> + Sync + 'a;
/// Says whether a changed part still fits, cuts and bends.
pub type Judge<'a> = dyn Fn(&Changed) -> Still + Sync + 'a;

/// Looks for what would help: ranks all candidates from the strains in hand and solves the best; then takes what came out
/// best, ranks what could be done to it from its own strains, and solves the best of that. The answer is the same on any
/// number of threads.
pub fn helps<E: Send>(asked: Asked<'_>, effort: Effort, judge: &Judge<'_>, solve: &Solve<'_, E>) -> Helps<E> {
    let changes = candidates(asked.mockup, asked.bracket, asked.shelf);
    let ranked = rank(&changes, asked.bracket, asked.shelf, &asked.before.in_hand);
    let mut found = Helps {
        mass_g: mass_g(asked.bracket),
        solved: Vec::new(),
        dropped: Vec::new(),
        ranked: ranked.len(),
        before: asked.before.held.clone(),
    };
    let list = shortlist(&asked.before.held, asked.bracket, asked.shelf, &changes, &ranked);
    let alone = made(&asked, list, effort.alone, &mut found.dropped);
    // The strains of what is solved, in the order of `found.solved`.
    let mut strains = solve_all(&asked, alone, judge, solve, &mut found);
    let mut taken = Vec::new();
    for _ in 0..effort.rounds {
        let bases = bases(&found, &mut taken);
        let each = effort.further.div_ceil(bases.len().max(1));
        for base in bases {
            let list = further(&asked, &found.solved[base], &strains[base]);
            let list = list
                .into_iter()
                .filter(|(change, _)| !is_solved(&found, change))
                .collect();
            let list = made(&asked, list, each, &mut found.dropped);
            strains.extend(solve_all(&asked, list, judge, solve, &mut found));
        }
    }
    sort(&mut found);
    found
}

/// First what passes, the lightest first; then the rest, by what is gained per gram.
pub(super) fn sort<E>(found: &mut Helps<E>) {
    let (before, mass_g) = (found.before.clone(), found.mass_g);
    found
        .solved
        .sort_by(|a, b| order(&before, mass_g, a).total_cmp(&order(&before, mass_g, b)));
}

/// Whether the same changes were solved before, in whatever order.
fn is_solved<E>(found: &Helps<E>, change: &Change) -> bool {
    let singles = change.single();
    found.solved.iter().any(|help| {
        let known = help.change.single();
        known.len() == singles.len() && known.iter().all(|one| singles.contains(one))
    })
}

/// A place in the list: what passes by its mass, then the rest by what is gained per gram.
pub(super) fn order(before: &Held, mass_g: f64, help: &Help) -> f64 {
    /// Heavier than any part: what does not pass comes after all that does.
    const AFTER: f64 = 1e12;
    if help.passes() {
        return help.mass_g;
    }
    /// A change that adds no mass is as good as one that adds this, g.
    const LEAST_G: f64 = 1.0;
    let gained = before.used - help.held.used;
    AFTER - gained / (help.mass_g - mass_g).max(LEAST_G)
}

/// Candidates in the order in which they are worth solving: the ranking, with no more than a few of a kind; the next
/// thicker plates as a yardstick; lighter ones where there is plenty to spare.
pub(super) fn shortlist(
    before: &Held,
    bracket: &Bracket<'_>,
    shelf: &Shelf,
    changes: &[Change],
    ranked: &[Foretold],
) -> Vec<(Change, Foretold)> {
    let thickness_mm = bracket.part.thickness_mm;
    let thicker = |change: &Change| match change {
        Change::Stock(plate) => shelf
            .plates
            .get(*plate)
            .is_some_and(|stock| stock.thickness_mm > thickness_mm),
        _ => false,
    };
    let spare = before.used < TO_SPARE;
    let with = |told: &Foretold| (changes[told.change].clone(), told.clone());
    // The list of plates runs from thin to thick.
    let mut plates: Vec<&Foretold> = ranked
        .iter()
        .filter(|told| thicker(&changes[told.change]))
        .collect();
    plates.sort_by_key(|told| told.change);
    plates.truncate(OF_A_KIND);
    let mut list: Vec<(Change, Foretold)> = plates.into_iter().map(with).collect();
    let mut counts: Vec<(Kind, usize)> = Vec::new();
    for told in ranked {
        let kind = changes[told.change].kind();
        if kind == Kind::Stock || !(told.gain > 0.0 || spare) {
            continue;
        }
        let place = counts
            .iter()
            .position(|(known, _)| *known == kind)
            .unwrap_or_else(|| {
                counts.push((kind, 0));
                counts.len() - 1
            });
        // Each mount that could be used is named in the fit, and is told whether it can.
        if counts[place].1 < OF_A_KIND || kind == Kind::Mount {
            counts[place].1 += 1;
            list.push(with(told));
        }
    }
    if spare {
        let thinner = ranked
            .iter()
            .filter(|told| changes[told.change].kind() == Kind::Stock && !thicker(&changes[told.change]));
        let thinner: Vec<_> = thinner.map(with).collect();
        list.splice(0..0, thinner);
    }
    list
}

/// The first so many that can be made.
fn made<E>(
    asked: &Asked<'_>,
    list: Vec<(Change, Foretold)>,
    most: usize,
    dropped: &mut Vec<Dropped<E>>,
) -> Vec<(Change, Foretold, Changed)> {
    let mut found = Vec::new();
    let mut mounts = 0;
    for (change, foretold) in list {
        if found.len() == most {
            break;
        }
        if change.kind() == Kind::Mount && mounts == OF_A_KIND {
            continue;
        }
        match apply(&change, asked.mockup, asked.bracket, asked.shelf) {
            Ok(changed) => {
                mounts += usize::from(change.kind() == Kind::Mount);
                found.push((change, foretold, changed));
            }
            Err(why) => dropped.push(Dropped::Cannot(change, why)),
        }
    }
    found
}

fn solve_all<E: Send>(
    asked: &Asked<'_>,
    list: Vec<(Change, Foretold, Changed)>,
    judge: &Judge<'_>,
    solve: &Solve<'_, E>,
    found: &mut Helps<E>,
) -> Vec<InHand> {
    let mass_g = mass_g(asked.bracket);
    let mut strains = Vec::new();
    let results: Vec<_> = list
        .into_par_iter()
        .map(|(change, foretold, changed)| {
            let held = solve(&changed.bracket(asked.bracket), &changed.extra);
            let still = judge(&changed);
            (change, foretold, changed, still, held)
        })
        .collect();
    for (change, foretold, changed, still, held) in results {
        let Solved { held, in_hand } = match held {
            Ok(solved) => solved,
            Err(why) => {
                found.dropped.push(Dropped::Unsolved(change, why));
                continue;
            }
        };
        strains.push(in_hand);
        let cases = asked.before.held.cases.iter().zip(&held.cases);
        found.solved.push(Help {
            gained: cases.map(|(before, now)| Gained::from(before, now)).collect(),
            mass_g: mass_g + changed.costs.grams,
            change,
            changed,
            still,
            foretold,
            held,
            refined: None,
        });
    }
    strains
}

fn mass_g(bracket: &Bracket<'_>) -> f64 {
    bracket.part.mass_kg(bracket.metal.density_kg_m3) * G_PER_KG
}
