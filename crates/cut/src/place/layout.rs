//! The layout: orders and turns tried on a coarse grid, the best of them laid on a fine one and settled.

use nalgebra::Isometry2;
use plane::{Point, Region, Vector};

use super::check::breaches;
use super::exactly::{Looks, all_against_edges, those_left};
use super::fill::{Filled, Floor, RULES, Rule, Shape, taken};
use super::grid::{Cover, Grid, MOST_WORDS, loops};
use super::job::{Effort, Frame, Gaps, Part, PlaceError, Sheet, check};
use super::remnant::{Remnant, remnant};
use super::settle::settle;
use crate::order::Seeded;

/// A part as it lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Which part.
    pub part: usize,
    /// How it is turned about the origin, rad.
    pub turn_rad: f64,
    /// How it is moved then, mm.
    pub by: Vector,
    /// Its material on the sheet.
    pub region: Region,
}

impl Placed {
    pub(super) fn moved(&self, by: Vector) -> Placed {
        Placed {
            part: self.part,
            turn_rad: self.turn_rad,
            by: self.by + by,
            region: self.region.translated(by),
        }
    }
}

/// Parts on a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// The parts that fit, in their order.
    pub placed: Vec<Placed>,
    /// Those for which no place was found.
    pub left_out: Vec<usize>,
    /// Material of the parts over material of the sheet.
    pub of_sheet: f64,
    /// Material of the parts over the box round them.
    pub of_box: f64,
    /// What is left.
    pub remnant: Remnant,
}

/// Cells of the grid on which orders are tried, and of the one on which the best are laid.
const COARSE_CELLS: f64 = 50_000.0;
const FINE_CELLS: f64 = 250_000.0;
/// No finer than this, mm: sliding does the rest.
const FINEST_MM: f64 = 0.25;
/// As many turns of a part are tried at a time; when more are allowed, others each time.
const TURNS_AT_A_TIME: usize = 4;
/// As many of the best orders are laid on the fine grid.
const LAID_FINE: usize = 2;

/// Places parts on a sheet. Every distance is kept: what the search has found is checked by [`breaches`] on the true
/// outlines, and a part that would not keep one is left out.
pub fn place(parts: &[Part], sheet: &Sheet, gaps: &Gaps, effort: Effort) -> Result<Layout, PlaceError> {
    check(parts, gaps)?;
    let frame = Frame::of(sheet);
    let mut steps = 0;
    // One part needs no order: the fine grid finds its place at once.
    let mut orders: Vec<Order> = [Rule::Low, Rule::Left]
        .into_iter()
        .filter(|_| parts.len() == 1)
        .map(|rule| Order {
            parts: vec![0],
            rule,
            turns: vec![None],
        })
        .collect();
    if parts.len() > 1 {
        let coarse = floor(parts, sheet, gaps, &frame, COARSE_CELLS);
        orders = best_orders(&coarse, effort, &mut steps);
    }
    let fine = floor(parts, sheet, gaps, &frame, FINE_CELLS);
    let mut best: Option<(f64, f64, Vec<Placed>, Vec<usize>)> = None;
    let mut looks = Looks::default();
    for order in orders {
        let tries = |part: usize| match order.turns[part] {
            Some(turn) => vec![turn],
            None => (0..fine.shapes[part].len()).collect(),
        };
        let mut filled = fine.fill(&order.parts, order.rule, tries, &mut steps);
        let mut placed = true_places(&filled, &fine, parts, &frame);
        settle(&mut placed, sheet, gaps, &frame, 3.0 * fine.free.cell_mm);
        those_left(
            &mut filled.left_out,
            &mut placed,
            parts,
            sheet,
            gaps,
            &frame,
            &mut looks,
        );
        placed.sort_by_key(|placed| placed.part);
        let left_mm2: f64 = filled.left_out.iter().map(|part| fine.areas_mm2[*part]).sum();
        let taken = taken_by(&placed, &frame);
        let better = best
            .as_ref()
            .is_none_or(|(left, took, ..)| (left_mm2, taken) < (*left, *took));
        if better {
            best = Some((left_mm2, taken, placed, filled.left_out));
        }
    }
    // What fits to the last millimetre may have been closed off by what was laid before it.
    if best.as_ref().is_some_and(|(left_mm2, ..)| *left_mm2 > 0.0) {
        let (mut placed, left_out) = all_against_edges(parts, sheet, gaps, &frame, &mut Looks::default());
        placed.sort_by_key(|placed| placed.part);
        let left_mm2: f64 = left_out.iter().map(|part| fine.areas_mm2[*part]).sum();
        if best.as_ref().is_some_and(|(left, ..)| left_mm2 < *left) {
            best = Some((left_mm2, taken_by(&placed, &frame), placed, left_out));
        }
    }
    let (mut placed, mut left_out) =
        best.map_or((Vec::new(), Vec::new()), |(_, _, placed, out)| (placed, out));
    // Nothing is here to be taken out; should there ever be, it is left out rather than cut wrong.
    while let Some(breach) = breaches(&placed, sheet, gaps).first() {
        debug_assert!(false, "the search keeps all distances: {breach:?}");
        let part = match *breach {
            super::Breach::Parts { second, .. } => second,
            super::Breach::Edge { part, .. } | super::Breach::Clamp { part, .. } => part,
        };
        placed.retain(|placed| placed.part != part);
        left_out.push(part);
    }
    left_out.sort_unstable();
    Ok(layout(placed, left_out, fine.free, &frame, sheet, gaps))
}

fn layout(
    placed: Vec<Placed>,
    left_out: Vec<usize>,
    mut free: Grid,
    frame: &Frame,
    sheet: &Sheet,
    gaps: &Gaps,
) -> Layout {
    for part in &placed {
        free.block(
            &loops(&part.region, free.cell_mm, |p| frame.seen(p)),
            gaps.parts_mm,
        );
    }
    let area_mm2: f64 = placed.iter().map(|placed| placed.region.area_mm2()).sum();
    let far = Point::new(f64::INFINITY, f64::INFINITY);
    let (low, high) =
        placed
            .iter()
            .map(|placed| placed.region.bounds())
            .fold((far, -far), |(a, b), (l, h)| {
                (
                    Point::new(a.x.min(l.x), a.y.min(l.y)),
                    Point::new(b.x.max(h.x), b.y.max(h.y)),
                )
            });
    let box_mm2 = (high.x - low.x) * (high.y - low.y);
    Layout {
        of_sheet: area_mm2 / sheet.region.area_mm2(),
        of_box: if placed.is_empty() {
            0.0
        } else {
            area_mm2 / box_mm2
        },
        remnant: remnant(&free, frame, &placed, sheet, gaps),
        placed,
        left_out,
    }
}

fn floor(parts: &[Part], sheet: &Sheet, gaps: &Gaps, frame: &Frame, cells: f64) -> Floor {
    let cell_mm = (frame.size.x * frame.size.y / cells)
        .sqrt()
        .max(FINEST_MM)
        .max(frame.size.x / (64 * (MOST_WORDS - 1)) as f64)
        .max(frame.size.y / (64 * (MOST_WORDS - 1)) as f64);
    let mut free = Grid::empty(frame.size, cell_mm);
    free.free(&loops(&sheet.region, cell_mm, |p| frame.seen(p)), gaps.edge_mm);
    for clamp in &sheet.clamps {
        let clamp = Region::solid(clamp.clone());
        free.block(&loops(&clamp, cell_mm, |p| frame.seen(p)), gaps.clamps_mm);
    }
    let shapes = parts
        .iter()
        .map(|part| {
            let turns = part.turns.list_rad();
            let shape = |turn: &f64| {
                let turned = part.region.transformed(&Isometry2::rotation(*turn));
                let loops = loops(&turned, cell_mm, |p| Point::from(frame.turned(p.coords)));
                Shape {
                    cover: Cover::of(&loops, cell_mm),
                    loops,
                }
            };
            turns.iter().map(shape).collect()
        })
        .collect();
    Floor {
        free,
        shapes,
        parts_mm: gaps.parts_mm,
        areas_mm2: parts.iter().map(|part| part.region.area_mm2()).collect(),
    }
}

/// An order that was tried: the parts in it, the rule, and the turn each part was laid in, none where it found no place.
#[derive(Debug, Clone, PartialEq)]
struct Order {
    parts: Vec<usize>,
    rule: Rule,
    turns: Vec<Option<usize>>,
}

/// The orders that fill best, the best first: the larger and the longer parts first, then changes of the best.
fn best_orders(floor: &Floor, effort: Effort, steps: &mut u64) -> Vec<Order> {
    let count = floor.areas_mm2.len();
    let mut seeded = Seeded::new(effort.seed);
    let mut best: Vec<((f64, f64), Order)> = Vec::new();
    let mut keep = |filled: &Filled, parts: &[usize], rule: Rule| {
        let mut turns = vec![None; count];
        for stand in &filled.stands {
            turns[stand.part] = Some(stand.turn);
        }
        let order = Order {
            parts: parts.to_vec(),
            rule,
            turns,
        };
        let at = best.partition_point(|(other, _)| *other <= filled.worth);
        if at < LAID_FINE && best.iter().all(|(_, other)| *other != order) {
            best.insert(at, (filled.worth, order));
            best.truncate(LAID_FINE);
        }
    };
    let by = |size: &dyn Fn(usize) -> f64| {
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by(|a, b| size(*b).total_cmp(&size(*a)).then(a.cmp(b)));
        order
    };
    let longest = |part: usize| {
        let cover = &floor.shapes[part][0].cover;
        cover.across.max(cover.rows) as f64
    };
    let (mut order, mut worth, mut rule) = ((0..count).collect::<Vec<_>>(), (f64::INFINITY, 0.0), Rule::Low);
    for first in [by(&|part| floor.areas_mm2[part]), by(&longest)] {
        for with in RULES {
            let all = |part: usize| (0..floor.shapes[part].len()).collect();
            let filled = floor.fill(&first, with, all, steps);
            keep(&filled, &first, with);
            if filled.worth < worth {
                (order, worth, rule) = (first.clone(), filled.worth, with);
            }
        }
    }
    while *steps < effort.steps {
        let (mut other, mut with) = (order.clone(), rule);
        for _ in 0..=seeded.below(2) {
            let (from, to) = (seeded.below(count), seeded.below(count));
            let part = other.remove(from);
            other.insert(to, part);
        }
        if seeded.below(4) == 0 {
            with = RULES[seeded.below(RULES.len())];
        }
        // Some of the turns, so that not always the one that is best for a part by itself is taken.
        let chosen: Vec<Vec<usize>> = floor
            .shapes
            .iter()
            .map(|shapes| {
                let turns = 1 + seeded.below(shapes.len().min(TURNS_AT_A_TIME));
                (0..turns).map(|_| seeded.below(shapes.len())).collect()
            })
            .collect();
        let filled = floor.fill(&other, with, |part| chosen[part].clone(), steps);
        /// What a trial costs beside its steps on the grid.
        const TRIAL_STEPS: u64 = 10_000;
        *steps += TRIAL_STEPS;
        keep(&filled, &other, with);
        if filled.worth <= worth {
            (order, worth, rule) = (other, filled.worth, with);
        }
    }
    best.into_iter().map(|(_, order)| order).collect()
}

fn true_places(filled: &Filled, floor: &Floor, parts: &[Part], frame: &Frame) -> Vec<Placed> {
    filled
        .stands
        .iter()
        .map(|stand| {
            let turn_rad = parts[stand.part].turns.list_rad()[stand.turn];
            let by = frame.corner.coords + frame.turned(floor.moved(*stand));
            Placed {
                part: stand.part,
                turn_rad,
                by,
                region: parts[stand.part]
                    .region
                    .transformed(&Isometry2::new(by, turn_rad)),
            }
        })
        .collect()
}

fn taken_by(placed: &[Placed], frame: &Frame) -> f64 {
    let reach = placed.iter().fold(Vector::zeros(), |far: Vector, placed| {
        let (low, high) = placed.region.bounds();
        let (a, b) = (frame.seen(low), frame.seen(high));
        Vector::new(far.x.max(a.x).max(b.x), far.y.max(a.y).max(b.y))
    });
    taken(reach.x / frame.size.x, reach.y / frame.size.y)
}
