//! The panels as a tree: which one stays still, which bend turns which, and what each is called.

use std::collections::VecDeque;

use plane::{Outline, Point, Vector};

use crate::divide::{CardCrease, Division};
use crate::error::SheetError;
use crate::part::{Crease, Mockup};
use crate::ray::Ray;

/// A crease between two panels of the tree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Join {
    /// The panel nearer the root, in tree order.
    pub fixed: usize,
    /// The panel that turns, in tree order.
    pub moving: usize,
    /// The crease's line, directed so that the moving panel lies on its left.
    pub ray: Ray,
    /// Whether that is against the direction the crease was drawn in.
    pub turned_round: bool,
    /// How many unbroken pieces it has.
    pub pieces: usize,
}

impl Join {
    /// The number of a piece along [`Join::ray`], from its number along the crease as drawn.
    pub fn strip(&self, piece: usize) -> usize {
        if self.turned_round {
            self.pieces - 1 - piece
        } else {
            piece
        }
    }

    /// Across the crease, toward the moving panel.
    pub fn toward_moving(&self) -> Vector {
        crate::ray::left_of(self.ray.along)
    }
}

/// Panels in tree order, root first, each after the one it hangs on.
#[derive(Debug, Clone)]
pub(crate) struct Tree {
    /// For each, its index in the division.
    pub order: Vec<usize>,
    /// For each, the crease it hangs on.
    pub hangs_on: Vec<Option<usize>>,
    /// Per crease.
    pub joins: Vec<Join>,
    /// Per panel.
    pub names: Vec<String>,
}

/// The panel whose outline holds a point; the smallest, where one panel is cut from within another.
pub(crate) fn panel_holding<'a>(outlines: impl Iterator<Item = &'a Outline>, p: Point) -> Option<usize> {
    let holding = outlines.enumerate().filter(|(_, outline)| outline.contains(p));
    holding
        .min_by(|(_, a), (_, b)| a.area_mm2().total_cmp(&b.area_mm2()))
        .map(|(panel, _)| panel)
}

/// Orders the panels from the root outward.
pub(crate) fn grow(mockup: &Mockup, division: &Division) -> Result<Tree, SheetError> {
    let root = root_of(mockup, division)?;
    let count = division.panels.len();
    let mut place = vec![usize::MAX; count];
    let mut order = vec![root];
    let mut hangs_on = vec![None];
    let mut joins: Vec<Option<Join>> = vec![None; division.creases.len()];
    place[root] = 0;
    let mut waiting = VecDeque::from([root]);
    while let Some(panel) = waiting.pop_front() {
        for (index, crease) in division.creases.iter().enumerate() {
            if joins[index].is_some() || (crease.left != panel && crease.right != panel) {
                continue;
            }
            let other = if crease.left == panel {
                crease.right
            } else {
                crease.left
            };
            if place[other] == usize::MAX {
                place[other] = order.len();
                order.push(other);
                hangs_on.push(Some(index));
                waiting.push_back(other);
                joins[index] = Some(join(crease, place[panel], place[other], crease.left == other));
            } else if let Some(twin) = twin_of(index, mockup, division, &joins) {
                let turns_left = order[twin.moving] == crease.left;
                joins[index] = Some(join(crease, twin.fixed, twin.moving, turns_left));
            } else {
                let ring = ring(index, [place[panel], place[other]], &hangs_on, &joins);
                let named = ring.into_iter().map(|crease| mockup.creases[crease].name.clone());
                return Err(SheetError::CreaseRing {
                    creases: named.collect(),
                });
            }
        }
    }
    let names = names(mockup, division, &place, &hangs_on)?;
    // The card is one piece, so every crease was come to from one of its panels.
    let joins = joins.into_iter().flatten().collect();
    Ok(Tree {
        order,
        hangs_on,
        joins,
        names,
    })
}

fn join(crease: &CardCrease, fixed: usize, moving: usize, moving_is_left: bool) -> Join {
    let ray = crease.ray;
    let ray = if moving_is_left {
        ray
    } else {
        Ray {
            at: ray.at,
            along: -ray.along,
        }
    };
    Join {
        fixed,
        moving,
        ray,
        turned_round: !moving_is_left,
        pieces: crease.pieces,
    }
}

fn root_of(mockup: &Mockup, division: &Division) -> Result<usize, SheetError> {
    let outlines = || division.panels.iter().map(|panel| &panel.outline);
    match mockup.root {
        Some(at) => panel_holding(outlines(), at).ok_or(SheetError::RootOutside { at }),
        None => {
            let areas = outlines().map(Outline::area_mm2).enumerate();
            let largest = areas.reduce(|best, next| if next.1 > best.1 { next } else { best });
            Ok(largest.map_or(0, |(panel, _)| panel))
        }
    }
}

/// A crease already joined that folds the same two panels about the same line in the same way, so that both can.
fn twin_of(index: usize, mockup: &Mockup, division: &Division, joins: &[Option<Join>]) -> Option<Join> {
    let (crease, card) = (&mockup.creases[index], &division.creases[index]);
    let same_panels = |other: &CardCrease| {
        (other.left, other.right) == (card.left, card.right)
            || (other.left, other.right) == (card.right, card.left)
    };
    let same_bend = |other: &Crease| {
        other.bent_rad == crease.bent_rad
            && other.way == crease.way
            && other.radius_mm == crease.radius_mm
            && other.neutral_share == crease.neutral_share
    };
    let same_line = |other: &CardCrease| {
        [crease.from, crease.to]
            .iter()
            .all(|p| other.ray.off(*p).abs() < plane::SAME_POINT_MM)
    };
    let candidates = joins
        .iter()
        .enumerate()
        .filter_map(|(other, join)| Some((other, (*join)?)));
    candidates
        .filter(|(other, _)| {
            let other_card = &division.creases[*other];
            same_panels(other_card) && same_line(other_card) && same_bend(&mockup.creases[*other])
        })
        .map(|(_, join)| join)
        .next()
}

/// The creases from one panel to the other through the tree, and the one that closes the ring.
fn ring(closing: usize, ends: [usize; 2], hangs_on: &[Option<usize>], joins: &[Option<Join>]) -> Vec<usize> {
    let to_root = |from: usize| {
        let mut path = Vec::new();
        let mut at = from;
        while let Some(crease) = hangs_on[at] {
            path.push(crease);
            at = joins[crease].map_or(0, |join| join.fixed);
        }
        path
    };
    let [mut one, mut other] = ends.map(to_root);
    while one.last().is_some() && one.last() == other.last() {
        one.pop();
        other.pop();
    }
    one.reverse();
    one.into_iter().chain(other).chain([closing]).collect()
}

fn names(
    mockup: &Mockup,
    division: &Division,
    place: &[usize],
    hangs_on: &[Option<usize>],
) -> Result<Vec<String>, SheetError> {
    let mut names: Vec<Option<&str>> = vec![None; hangs_on.len()];
    for (name, at) in &mockup.panel_names {
        let holding = panel_holding(division.panels.iter().map(|panel| &panel.outline), *at);
        let holding = holding.ok_or_else(|| SheetError::NameOutside {
            name: name.clone(),
            at: *at,
        })?;
        let slot = &mut names[place[holding]];
        if let Some(first) = slot {
            return Err(SheetError::NamedTwice {
                names: [(*first).to_owned(), name.clone()],
            });
        }
        *slot = Some(name);
    }
    let named = names
        .iter()
        .zip(hangs_on)
        .map(|(name, hangs_on)| match (name, hangs_on) {
            (Some(name), _) => (*name).to_owned(),
            (None, Some(crease)) => format!("after {}", mockup.creases[*crease].name),
            (None, None) => "root".to_owned(),
        });
    Ok(named.collect())
}
