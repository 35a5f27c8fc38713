//! Parts put on the grid one after another, each where it stands lowest by a rule.

use plane::{Point, Vector};

use super::grid::{Cover, FreeRuns, Grid, first_set};

/// What a part's place is judged by, seen from the zero corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Rule {
    /// Least reach along y, then along x.
    Low,
    /// Least reach along x, then along y.
    Left,
    /// Least reach in both, as shares of the sheet.
    Corner,
}

pub(super) const RULES: [Rule; 3] = [Rule::Low, Rule::Left, Rule::Corner];

/// One part in one turn, ready for the grid.
#[derive(Debug, Clone)]
pub(super) struct Shape {
    pub cover: Cover,
    /// Its closed lines as the grid sees them.
    pub loops: Vec<Vec<Point>>,
}

/// Where a part stands: the part, which of its turns, and the cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stand {
    pub part: usize,
    pub turn: usize,
    pub across: usize,
    pub row: usize,
}

/// A sheet as a grid and the parts in all their turns.
pub(super) struct Floor {
    pub free: Grid,
    pub shapes: Vec<Vec<Shape>>,
    pub parts_mm: f64,
    pub areas_mm2: Vec<f64>,
}

/// Parts on a floor.
pub(super) struct Filled {
    pub stands: Vec<Stand>,
    pub left_out: Vec<usize>,
    /// Less is better; the first counts before the second.
    pub worth: (f64, f64),
}

impl Floor {
    /// Puts parts in this order, each in the best of the turns that are tried.
    pub fn fill(
        &self,
        order: &[usize],
        rule: Rule,
        tries: impl Fn(usize) -> Vec<usize>,
        steps: &mut u64,
    ) -> Filled {
        let mut free = self.free.clone();
        let mut filled = Filled {
            stands: Vec::new(),
            left_out: Vec::new(),
            worth: (0.0, 0.0),
        };
        let (mut reach_x, mut reach_y) = (0usize, 0usize);
        for &part in order {
            let mut best: Option<((usize, usize, usize), Stand)> = None;
            let turns = tries(part);
            let covers = turns.iter().map(|turn| &self.shapes[part][*turn].cover);
            let runs = FreeRuns::of(&free, covers.map(Cover::longest).max().unwrap_or(1));
            for turn in turns {
                let cover = &self.shapes[part][turn].cover;
                if let Some((key, across, row)) =
                    lowest(&free, &runs, cover, rule, best.map(|(key, _)| key), steps)
                {
                    let stand = Stand {
                        part,
                        turn,
                        across,
                        row,
                    };
                    best = Some((key, stand));
                }
            }
            let Some((_, stand)) = best else {
                filled.left_out.push(part);
                filled.worth.0 += self.areas_mm2[part];
                continue;
            };
            let shape = &self.shapes[part][stand.turn];
            let by = self.moved(stand);
            let loops: Vec<Vec<Point>> = shape
                .loops
                .iter()
                .map(|corners| corners.iter().map(|p| p + by).collect())
                .collect();
            free.block(&loops, self.parts_mm);
            *steps += (free.rows * free.across / 64) as u64;
            reach_x = reach_x.max(stand.across + shape.cover.across);
            reach_y = reach_y.max(stand.row + shape.cover.rows);
            filled.stands.push(stand);
        }
        let size = (free.across as f64, free.rows as f64);
        filled.worth.1 = taken(reach_x as f64 / size.0, reach_y as f64 / size.1);
        filled
    }

    /// From the part's own place (as the grid sees it) to where it stands.
    pub fn moved(&self, stand: Stand) -> Vector {
        let cell_mm = self.free.cell_mm;
        self.shapes[stand.part][stand.turn].cover.to_origin
            + Vector::new(stand.across as f64 * cell_mm, stand.row as f64 * cell_mm)
    }
}

/// What a layout takes of the sheet when it reaches so far, as shares: what one straight cut takes off, and a little of
/// the box, so that of two with the same cut the more compact is better.
pub(super) fn taken(reach_x: f64, reach_y: f64) -> f64 {
    const OF_THE_BOX: f64 = 0.05;
    reach_x.min(reach_y) + OF_THE_BOX * reach_x * reach_y
}

/// The best place of a part by a rule, if it is better than one that is known: key, cell, row.
fn lowest(
    free: &Grid,
    runs: &FreeRuns,
    cover: &Cover,
    rule: Rule,
    known: Option<(usize, usize, usize)>,
    steps: &mut u64,
) -> Option<((usize, usize, usize), usize, usize)> {
    if cover.across > free.across || cover.rows > free.rows {
        return None;
    }
    let key = |across: usize, row: usize| {
        let (x, y) = (across + cover.across, row + cover.rows);
        match rule {
            Rule::Low => (y, x, 0),
            Rule::Left => (x, y, 0),
            // Shares of the sheet over a common denominator; the larger first would leave long arms out.
            Rule::Corner => (x * free.rows + y * free.across, y, x),
        }
    };
    let mut best = known;
    let mut place = None;
    let mut found = Vec::new();
    for row in 0..=free.rows - cover.rows {
        // No place of this row or, for a rule that rises with it, of any further one is better.
        if best.is_some_and(|best| key(0, row) >= best) {
            if rule == Rule::Left {
                continue;
            }
            break;
        }
        let last = last_before(best, free.across - cover.across, |across| key(across, row));
        runs.stands(cover, row, last, &mut found, steps);
        if let Some(across) = first_set(&found) {
            let here = key(across, row);
            if best.is_none_or(|best| here < best) {
                best = Some(here);
                place = Some((here, across, row));
            }
        }
    }
    place
}

/// The last cell of a row, up to `most`, at which a place is better than the best; the first where none is.
fn last_before<K: Ord + Copy>(best: Option<K>, most: usize, key: impl Fn(usize) -> K) -> usize {
    let Some(best) = best else { return most };
    // The key rises along a row.
    let (mut low, mut high) = (0, most);
    while low < high {
        let middle = (low + high).div_ceil(2);
        if key(middle) < best {
            low = middle;
        } else {
            high = middle - 1;
        }
    }
    low
}
