//! The best changes solved in full, alone and in pairs, and set beside thicker plate.

use rayon::prelude::*;
use sheet::Mockup;

use super::apply::apply;
use super::candidates::candidates;
use super::change::{Change, Changed, ExtraPlate, Kind};
use super::outcome::{Dropped, Gained, Held, Help, Helps, Still};
use super::pairs::pairs;
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
    /// Pairs of those solved afterwards.
    pub pairs: usize,
}

impl Default for Effort {
    /// Ten alone, six pairs.
    fn default() -> Self {
        Self { alone: 10, pairs: 6 }
    }
}

/// A bracket and what is known of it.
pub struct Asked<'a> {
    /// The card.
    pub mockup: &'a Mockup,
    /// What it develops to, on its mounts and under its loads.
    pub bracket: &'a Bracket<'a>,
    /// What there is to change it with.
    pub shelf: &'a Shelf,
    /// Its strains.
    pub in_hand: &'a InHand,
    /// What the loads do to it.
    pub before: Held,
}

/// Solves a bracket with plates welded on.
pub type Solve<'a, E> = dyn Fn(&Bracket<'_>, &[ExtraPlate]) -> Result<Held, E> + Sync + 'a;
/// Says whether a changed part still fits, cuts and bends.
pub type Judge<'a> = dyn Fn(&Changed) -> Still + Sync + 'a;

/// Looks for what would help: ranks all candidates from the strains in hand, solves the best alone, then the most
/// promising pairs of them. The answer is the same on any number of threads.
pub fn helps<E: Send>(asked: Asked<'_>, effort: Effort, judge: &Judge<'_>, solve: &Solve<'_, E>) -> Helps<E> {
    let changes = candidates(asked.mockup, asked.bracket, asked.shelf);
    let ranked = rank(&changes, asked.bracket, asked.shelf, asked.in_hand);
    let mass_g = mass_g(asked.bracket);
    let mut found = Helps {
        mass_g,
        solved: Vec::new(),
        dropped: Vec::new(),
        ranked: ranked.len(),
        before: asked.before.clone(),
    };
    let alone = made(
        &asked,
        shortlist(&asked, &changes, &ranked),
        effort.alone,
        &mut found.dropped,
    );
    solve_all(&asked, alone, judge, solve, &mut found);
    let pairs = pairs(&asked, &found, &changes, &ranked);
    let pairs = made(&asked, pairs, effort.pairs, &mut found.dropped);
    solve_all(&asked, pairs, judge, solve, &mut found);
    found
        .solved
        .sort_by(|a, b| order(&found.before, mass_g, a).total_cmp(&order(&found.before, mass_g, b)));
    found
}

/// A place in the list: what passes by its mass, then the rest by what is gained per gram.
fn order(before: &Held, mass_g: f64, help: &Help) -> f64 {
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
fn shortlist(asked: &Asked<'_>, changes: &[Change], ranked: &[Foretold]) -> Vec<(Change, Foretold)> {
    let thickness_mm = asked.bracket.part.thickness_mm;
    let thicker = |change: &Change| match change {
        Change::Stock(plate) => asked
            .shelf
            .plates
            .get(*plate)
            .is_some_and(|stock| stock.thickness_mm > thickness_mm),
        _ => false,
    };
    let spare = asked.before.used < TO_SPARE;
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
        if counts[place].1 < OF_A_KIND {
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
    for (change, foretold) in list {
        if found.len() == most {
            break;
        }
        match apply(&change, asked.mockup, asked.bracket, asked.shelf) {
            Ok(changed) => found.push((change, foretold, changed)),
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
) {
    let mass_g = mass_g(asked.bracket);
    let results: Vec<_> = list
        .into_par_iter()
        .map(|(change, foretold, changed)| {
            let held = solve(&changed.bracket(asked.bracket), &changed.extra);
            let still = judge(&changed);
            (change, foretold, changed, still, held)
        })
        .collect();
    for (change, foretold, changed, still, held) in results {
        let held = match held {
            Ok(held) => held,
            Err(why) => {
                found.dropped.push(Dropped::Unsolved(change, why));
                continue;
            }
        };
        let cases = asked.before.cases.iter().zip(&held.cases);
        found.solved.push(Help {
            gained: cases.map(|(before, now)| Gained::from(before, now)).collect(),
            mass_g: mass_g + changed.costs.grams,
            change,
            changed,
            still,
            foretold,
            held,
        });
    }
}

fn mass_g(bracket: &Bracket<'_>) -> f64 {
    bracket.part.mass_kg(bracket.metal.density_kg_m3) * G_PER_KG
}
