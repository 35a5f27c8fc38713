//! What each change would save, foretold from the solution in hand.
//!
//! Forces and moments are taken to stay where they are (exact when the part is held so that statics alone settles them,
//! good enough to tell the best from the rest otherwise). Then a change acts on the energy that its place stores now:
//!
//! * another thickness t': membrane energy times t/t', bending energy times (t/t')^3, exactly;
//! * a stiffener on a strip of plate is a spring in parallel: of the energy of bending along it, M^2 / 2B, there is left
//!   the share B/B', the flat strip's stiffness over that of the strip with the stiffener; of pull A/A', of twist J/J'.
//!   Bending across the stiffener stays. An open lip hardly changes J, so twist is hardly saved; a closed one does;
//! * a window stores a multiple of the energy of the metal that is missing, at the density found round its rim.
//!
//! Stress is foretold alike: by thickness, by the farthest fibre of the stiffened strip, by the rim of a window.

use super::change::Change;
use super::effect::{Effect, effects};
use super::section::Ratios;
use super::shelf::Shelf;
use super::strains::{Elastic, InHand, Patch, Shares, Strained, along};
use crate::bracket::Bracket;
use plane::Vector;

/// How much more a case counts for being twice as far over its limit: the power of how far it is over.
const URGENCY: i32 = 3;

/// What a change is foretold to save under one load, as shares of what there is now; below 0 it makes things worse.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Saved {
    /// Of the movement along the load (strain energy).
    pub movement: f64,
    /// Of that, by less twist.
    pub by_twist: f64,
    /// Of the highest stress.
    pub stress: f64,
}

/// A change and what is foretold of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Foretold {
    /// Index into the changes ranked.
    pub change: usize,
    /// For each load; none when nothing can be foretold, because what holds the part changes.
    pub saved: Option<Vec<Saved>>,
    /// All loads in one figure, those farthest over their limits first: what it is ranked by.
    pub gain: f64,
}

/// Ranks changes by what they are foretold to save, the most first; those of which nothing can be foretold come first of
/// all, as only a full solution tells.
pub fn rank(changes: &[Change], bracket: &Bracket<'_>, shelf: &Shelf, in_hand: &InHand) -> Vec<Foretold> {
    let part = bracket.part;
    let elastic = Elastic::of(bracket);
    let now: Vec<Now> = in_hand
        .cases
        .iter()
        .map(|case| Now::of(case, in_hand, elastic))
        .collect();
    let mut ranked: Vec<Foretold> = changes
        .iter()
        .enumerate()
        .map(|(index, change)| {
            let effects = effects(change, part, shelf);
            if effects.contains(&Effect::Unknown) {
                return Foretold {
                    change: index,
                    saved: None,
                    gain: f64::INFINITY,
                };
            }
            let touched = touched(in_hand, &effects);
            let saved: Vec<Saved> = in_hand
                .cases
                .iter()
                .zip(&now)
                .map(|(case, now)| saved(case, now, in_hand, elastic, &effects, &touched))
                .collect();
            Foretold {
                change: index,
                gain: gain(&in_hand.cases, &saved),
                saved: Some(saved),
            }
        })
        .collect();
    ranked.sort_by(|a, b| b.gain.total_cmp(&a.gain).then(a.change.cmp(&b.change)));
    ranked
}

/// How each load's energy is stored in the flat panels, along the line from the mounts to the support on the blank: what
/// lips can cure (bending) and what they cannot (twist).
pub fn shares(bracket: &Bracket<'_>, in_hand: &InHand, s: Vector) -> Vec<Shares> {
    let elastic = Elastic::of(bracket);
    let flat = |patch| matches!(patch, Patch::Panel(_));
    (0..in_hand.cases.len())
        .map(|case| in_hand.shares(case, elastic, s, flat))
        .collect()
}

/// What a load does to the part as it is.
struct Now {
    energy_n_mm: f64,
    mises_mpa: Vec<f64>,
    peak_mpa: f64,
    density_n_mm: Vec<f64>,
}

impl Now {
    fn of(case: &Strained, in_hand: &InHand, elastic: Elastic) -> Self {
        let density_n_mm: Vec<f64> = case
            .resultants
            .iter()
            .map(|held| elastic.stored_n_mm(held))
            .collect();
        let stored: f64 = density_n_mm
            .iter()
            .zip(&in_hand.elements)
            .map(|(density, element)| density * element.area_mm2)
            .sum();
        let mises_mpa: Vec<f64> = case
            .resultants
            .iter()
            .map(|held| elastic.mises_mpa(held.force_n_mm, held.moment_n))
            .collect();
        let read = mises_mpa
            .iter()
            .zip(&in_hand.elements)
            .filter(|(_, element)| element.read);
        Self {
            energy_n_mm: stored + case.elsewhere_n_mm,
            peak_mpa: read.map(|(mises, _)| *mises).fold(0.0, f64::max),
            mises_mpa,
            density_n_mm,
        }
    }
}

/// For each element, the effects that reach it, as indices.
fn touched(in_hand: &InHand, effects: &[Effect]) -> Vec<Vec<usize>> {
    let reaches = |effect: &Effect, at, patch| match effect {
        Effect::Thickness { .. } => true,
        Effect::Strip { strip, .. } => strip.holds(at, patch),
        Effect::Window { rim, near_mm, .. } => {
            let (low, high) = rim.bounds();
            let near_box = low.x - near_mm <= at.x
                && at.x <= high.x + near_mm
                && low.y - near_mm <= at.y
                && at.y <= high.y + near_mm;
            near_box && rim.distance_to(at).0 <= *near_mm
        }
        Effect::Unknown => false,
    };
    let of = |element: &super::Element| {
        (0..effects.len())
            .filter(|&effect| reaches(&effects[effect], element.at, element.patch))
            .collect()
    };
    in_hand.elements.iter().map(of).collect()
}

fn saved(
    case: &Strained,
    now: &Now,
    in_hand: &InHand,
    elastic: Elastic,
    effects: &[Effect],
    touched: &[Vec<usize>],
) -> Saved {
    let (mut energy, mut twist, mut peak_mpa) = (0.0, 0.0, 0.0_f64);
    let mut windows = vec![(0.0, 0.0); effects.len()];
    for (index, element) in in_hand.elements.iter().enumerate() {
        let mut mises_mpa = now.mises_mpa[index];
        for &which in &touched[index] {
            let held = &case.resultants[index];
            match &effects[which] {
                Effect::Thickness { from_mm, to_mm } => {
                    let ratio = from_mm / to_mm;
                    let pulls = elastic.pulls_n_mm(held.force_n_mm);
                    let bends = elastic.bends_n_mm(held.moment_n);
                    let pull: f64 = pulls.iter().sum();
                    let bend: f64 = bends.iter().sum();
                    energy += element.area_mm2 * (pull * (1.0 - ratio) + bend * (1.0 - ratio.powi(3)));
                    twist += element.area_mm2 * bends[2] * (1.0 - ratio.powi(3));
                    let other = Elastic {
                        thickness_mm: *to_mm,
                        ..elastic
                    };
                    mises_mpa *= other.mises_mpa(held.force_n_mm, held.moment_n)
                        / now.mises_mpa[index].max(f64::MIN_POSITIVE);
                }
                Effect::Strip { strip, ratios } => {
                    let (force, moment) = (along(held.force_n_mm, strip.s), along(held.moment_n, strip.s));
                    let [pull, _, _] = elastic.pulls_n_mm(force);
                    let [bend, _, turn] = elastic.bends_n_mm(moment);
                    let less = |part: f64, ratio: f64| part.max(0.0) * (1.0 - ratio) * element.area_mm2;
                    energy += less(bend, ratios.bend) + less(pull, ratios.pull) + less(turn, ratios.twist);
                    twist += less(turn, ratios.twist);
                    let stiffened = stiffened_mpa(elastic, force, moment, *ratios);
                    mises_mpa *= stiffened / now.mises_mpa[index].max(f64::MIN_POSITIVE);
                }
                Effect::Window { stress, .. } => {
                    windows[which].0 += now.density_n_mm[index] * element.area_mm2;
                    windows[which].1 += element.area_mm2;
                    mises_mpa *= stress;
                }
                Effect::Unknown => {}
            }
        }
        if element.read {
            peak_mpa = peak_mpa.max(mises_mpa);
        }
    }
    for (effect, (near_n_mm, area_mm2)) in effects.iter().zip(windows) {
        if let Effect::Window {
            added_mm2, energies, ..
        } = effect
            && area_mm2 > 0.0
        {
            energy += energies * added_mm2 * near_n_mm / area_mm2;
        }
    }
    let all = now.energy_n_mm.max(f64::MIN_POSITIVE);
    Saved {
        movement: energy / all,
        by_twist: twist / all,
        stress: 1.0 - peak_mpa / now.peak_mpa.max(f64::MIN_POSITIVE),
    }
}

/// Stress where a strip is stiffened, from forces and moments along it and across.
fn stiffened_mpa(elastic: Elastic, force: [f64; 3], moment: [f64; 3], ratios: Ratios) -> f64 {
    elastic.mises_mpa(
        [force[0] * ratios.pull, force[1], force[2]],
        [moment[0] * ratios.surface, moment[1], moment[2] * ratios.twist],
    )
}

/// Shares saved, by how far each is over its limit.
fn gain(cases: &[Strained], saved: &[Saved]) -> f64 {
    let (mut sum, mut weights) = (0.0, 0.0);
    for (case, saved) in cases.iter().zip(saved) {
        for (over, share) in [
            (case.stress_over, saved.stress),
            (case.moves_over, saved.movement),
        ] {
            let weight = over.powi(URGENCY);
            sum += weight * share;
            weights += weight;
        }
    }
    if weights > 0.0 {
        sum / weights
    } else {
        saved.iter().map(|saved| saved.movement).sum::<f64>() / saved.len().max(1) as f64
    }
}
