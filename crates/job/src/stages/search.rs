//! The measures that are found so that mounts and support are met.

use std::cell::RefCell;
use std::collections::BTreeMap;

use fit::{Bound, Mount, PartHole, Seat, Settle, SolveOptions, SupportWant};
use rayon::prelude::*;
use sheet::Part;
use units::Quantity;

use crate::files::Wrong;
use crate::files::model::Design;

use crate::stop::Stop;

use super::equipment::Equipment;
use super::scope::Unknown;
use super::standing::{mounts, part_holes, seat};

/// What the search for the open measures came to.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    /// The measures.
    pub values: BTreeMap<String, Quantity>,
    /// Was everything met?
    pub met: bool,
    /// Those that stand at an end of their range.
    pub at_end: Vec<String>,
    /// Those that the mounts and the support do not decide.
    pub undecided: Vec<String>,
}

/// What the fit needs of a part.
struct Fitted {
    holes: Vec<PartHole>,
    mounts: Vec<Mount>,
    seat: Option<(Seat, SupportWant)>,
}

/// Finds the open measures, so that mounts and support are met; the pose is searched along with them. Once it was stopped it ends
/// soon, and what it gives is of no use.
pub(crate) fn find(
    equipment: &Equipment,
    unknowns: &[Unknown],
    design: &Design,
    develop: &(dyn Fn(&BTreeMap<String, Quantity>) -> Option<Part> + Sync),
    stop: &Stop,
) -> Result<Found, Vec<Wrong>> {
    let at = unknowns
        .first()
        .map_or_else(|| design.title.at.clone(), |unknown| unknown.name.at.clone());
    let values_of = |x: &[f64]| -> BTreeMap<String, Quantity> {
        let named = unknowns.iter().zip(x);
        named
            .map(|(unknown, x)| (unknown.name.value.clone(), Quantity::new(*x, unknown.start.dim)))
            .collect()
    };
    let start: Vec<f64> = unknowns.iter().map(|unknown| unknown.start.value).collect();
    let first = develop(&values_of(&start)).ok_or_else(|| {
        vec![
            Wrong::new(at.clone(), "the part cannot be drawn where the search starts")
                .expected("a value, or ends of the range, at which the outline and bends can be made"),
        ]
    })?;
    let holes = part_holes(&first);
    let first_mounts = mounts(&equipment.mounts, &holes, design)?;
    let first_seat = equipment
        .support
        .as_ref()
        .map(|wish| seat(wish, &holes, design))
        .transpose()
        .map_err(|w| vec![w])?;
    let fault = |error: &dyn std::fmt::Display| vec![Wrong::new(at.clone(), error.to_string())];
    let settle = match &first_seat {
        Some((seat, want)) => Settle::Support { seat, want },
        None => Settle::LeastTurn,
    };
    let start_pose = fit::place(&holes, &first_mounts, settle)
        .map_err(|error| fault(&error))?
        .pose;
    let mut x = start;
    x.extend([0.0; 6]);
    let mut bounds: Vec<Bound> = unknowns
        .iter()
        .map(|unknown| Bound {
            low: unknown.low,
            high: unknown.high,
        })
        .collect();
    bounds.extend([Bound::OPEN; 6]);
    let fitted_with = |measures: &[f64]| -> Option<Fitted> {
        // Nowhere can it be made any more, and the search runs out of ways.
        stop.pass().ok()?;
        let part = develop(&values_of(measures))?;
        let holes = part_holes(&part);
        let mounts = mounts(&equipment.mounts, &holes, design).ok()?;
        let support = equipment.support.as_ref();
        let seat = support.map(|wish| seat(wish, &holes, design)).transpose().ok()?;
        Some(Fitted { holes, mounts, seat })
    };
    // A move of the part alone needs no new part, and half of all trials are such moves. Parts that will be asked for are
    // developed side by side.
    let parts: RefCell<Vec<(Vec<f64>, Option<Fitted>)>> = RefCell::default();
    let is_known = |measures: &[f64]| parts.borrow().iter().position(|(known, _)| known == measures);
    let mut ahead = |places: &[Vec<f64>]| {
        let mut asked: Vec<Vec<f64>> = places.iter().map(|x| x[..unknowns.len()].to_vec()).collect();
        asked.dedup();
        asked.retain(|measures| is_known(measures).is_none());
        let developed: Vec<_> = asked
            .into_par_iter()
            .map(|measures| {
                let fitted = fitted_with(&measures);
                (measures, fitted)
            })
            .collect();
        parts.borrow_mut().extend(developed);
    };
    let mut residuals = |x: &[f64]| -> Option<Vec<f64>> {
        stop.pass().ok()?;
        let (measures, twist) = x.split_at(unknowns.len());
        let at = is_known(measures).unwrap_or_else(|| {
            parts
                .borrow_mut()
                .push((measures.to_vec(), fitted_with(measures)));
            parts.borrow().len() - 1
        });
        let parts = parts.borrow();
        let Fitted { holes, mounts, seat } = parts[at].1.as_ref()?;
        let pose = fit::twisted(&start_pose, twist);
        let support = seat.as_ref().map(|(seat, want)| (seat, want));
        fit::misfit(holes, mounts, support, &pose, &start_pose).ok()
    };
    let solved = fit::solve_bounded_ahead(&mut residuals, &mut ahead, &x, &bounds, &SolveOptions::default())
        .map_err(|error| fault(&error))?;
    let pick = |flags: &[bool]| -> Vec<String> {
        let named = unknowns.iter().zip(flags);
        named
            .filter(|(_, flag)| **flag)
            .map(|(unknown, _)| unknown.name.value.clone())
            .collect()
    };
    Ok(Found {
        values: values_of(&solved.x),
        met: solved.met,
        at_end: pick(&solved.at_bound),
        undecided: pick(&solved.undetermined),
    })
}
