//! A grid of cells, one bit each: what is free on the sheet, and what a part covers.

use plane::{Point, Region, Vector};

/// Cells over a rectangle from 0, 0; bit 1 is set.
#[derive(Debug, Clone)]
pub(super) struct Grid {
    pub cell_mm: f64,
    pub across: usize,
    pub rows: usize,
    words: usize,
    bits: Vec<u64>,
}

/// What a part covers when it stands at cell 0, 0, by runs: row, first cell, how many; longest first.
#[derive(Debug, Clone)]
pub(super) struct Cover {
    pub across: usize,
    pub rows: usize,
    runs: Vec<(usize, usize, usize)>,
    /// From the part's own place to where it stands at cell 0, 0.
    pub to_origin: Vector,
}

impl Cover {
    /// Cells of the longest run.
    pub fn longest(&self) -> usize {
        self.runs.first().map_or(1, |(_, _, length)| *length)
    }
}

/// Facets keep within this share of a cell, and what is covered is widened by as much.
const FACET_SHARE: f64 = 0.05;

impl Grid {
    pub fn empty(size: Vector, cell_mm: f64) -> Grid {
        let across = ((size.x / cell_mm).ceil() as usize).max(1);
        let rows = ((size.y / cell_mm).ceil() as usize).max(1);
        let words = across.div_ceil(64);
        Grid {
            cell_mm,
            across,
            rows,
            words,
            bits: vec![0; words * rows],
        }
    }

    pub fn row(&self, row: usize) -> &[u64] {
        &self.bits[row * self.words..(row + 1) * self.words]
    }

    pub fn is_set(&self, across: usize, row: usize) -> bool {
        self.row(row)[across / 64] >> (across % 64) & 1 == 1
    }

    /// Half the diagonal of a cell: no point of it is farther from its centre.
    fn half_mm(&self) -> f64 {
        self.cell_mm * std::f64::consts::FRAC_1_SQRT_2
    }

    /// Sets or clears the cells of a row whose centres lie in a stretch.
    fn stretch(&mut self, row: usize, from_mm: f64, to_mm: f64, set: bool) {
        let first = (from_mm / self.cell_mm - 0.5).ceil().max(0.0);
        let last = (to_mm / self.cell_mm - 0.5).floor().min(self.across as f64 - 1.0);
        if first > last {
            return;
        }
        let (first, last) = (first as usize, last as usize);
        let start = row * self.words;
        for word in first / 64..=last / 64 {
            let low = if word == first / 64 { first % 64 } else { 0 };
            let high = if word == last / 64 { last % 64 } else { 63 };
            let mask = (u64::MAX >> (63 - high)) & (u64::MAX << low);
            if set {
                self.bits[start + word] |= mask;
            } else {
                self.bits[start + word] &= !mask;
            }
        }
    }

    /// Sets or clears the cells whose centres lie within closed lines, by crossings of the rows' middles.
    fn inside(&mut self, loops: &[Vec<Point>], set: bool) {
        for row in 0..self.rows {
            let y = (row as f64 + 0.5) * self.cell_mm;
            let mut crossings = Vec::new();
            for corners in loops {
                let pairs = corners.iter().zip(corners.iter().cycle().skip(1));
                for (a, b) in pairs.filter(|(a, b)| (a.y <= y) != (b.y <= y)) {
                    crossings.push(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y));
                }
            }
            crossings.sort_by(f64::total_cmp);
            for pair in crossings.chunks_exact(2) {
                self.stretch(row, pair[0], pair[1], set);
            }
        }
    }

    /// Sets or clears the cells whose centres lie within a distance of closed lines.
    fn beside(&mut self, loops: &[Vec<Point>], within_mm: f64, set: bool) {
        for corners in loops {
            for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
                self.beside_edge(*a, *b, within_mm, set);
            }
        }
    }

    fn beside_edge(&mut self, a: Point, b: Point, within_mm: f64, set: bool) {
        let row_of = |y: f64| y / self.cell_mm - 0.5;
        let first = row_of(a.y.min(b.y) - within_mm).ceil().max(0.0);
        let last = row_of(a.y.max(b.y) + within_mm)
            .floor()
            .min(self.rows as f64 - 1.0);
        if first > last {
            return;
        }
        let along = b - a;
        let length = along.norm();
        let beside = if length > 0.0 {
            Vector::new(-along.y, along.x) * (within_mm / length)
        } else {
            Vector::zeros()
        };
        let strip = [a + beside, b + beside, b - beside, a - beside];
        for row in first as usize..=last as usize {
            let y = (row as f64 + 0.5) * self.cell_mm;
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            for end in [a, b] {
                let up = y - end.y;
                if up.abs() <= within_mm {
                    let wide = (within_mm * within_mm - up * up).sqrt();
                    (low, high) = (low.min(end.x - wide), high.max(end.x + wide));
                }
            }
            for (p, q) in strip.iter().zip(strip.iter().cycle().skip(1)) {
                if (p.y <= y) != (q.y <= y) {
                    let x = p.x + (q.x - p.x) * (y - p.y) / (q.y - p.y);
                    (low, high) = (low.min(x), high.max(x));
                }
            }
            self.stretch(row, low, high, set);
        }
    }

    /// Sets the cells that lie as a whole in a region and away from its edges.
    pub fn free(&mut self, region: &[Vec<Point>], away_mm: f64) {
        self.inside(region, true);
        let reach_mm = away_mm + self.half_mm() + facet_mm(self.cell_mm);
        self.beside(region, reach_mm, false);
    }

    /// Clears every cell that has a point within a distance of a region.
    pub fn block(&mut self, region: &[Vec<Point>], away_mm: f64) {
        self.inside(region, false);
        let reach_mm = away_mm + self.half_mm() + facet_mm(self.cell_mm);
        self.beside(region, reach_mm, false);
    }
}

/// Where runs of free cells begin, for runs as long as each power of two.
#[derive(Debug)]
pub(super) struct FreeRuns {
    rows: usize,
    words: usize,
    /// Level by level, row by row: bit x of level k stands when cells x to x + 2^k - 1 are free.
    bits: Vec<u64>,
}

impl FreeRuns {
    /// Of a grid as it is, for runs up to a length.
    pub fn of(grid: &Grid, longest: usize) -> FreeRuns {
        let (rows, words) = (grid.rows, grid.words);
        let levels = longest.max(1).ilog2() as usize + 1;
        let mut bits = Vec::with_capacity(levels * grid.bits.len());
        bits.extend_from_slice(&grid.bits);
        for level in 1..levels {
            let known = bits.len() - grid.bits.len();
            for row in 0..rows {
                let from = bits.len();
                bits.extend_from_within(known + row * words..known + (row + 1) * words);
                shift_and(&mut bits[from..], 1 << (level - 1));
            }
        }
        FreeRuns { rows, words, bits }
    }

    fn row(&self, level: usize, row: usize) -> &[u64] {
        let at = (level * self.rows + row) * self.words;
        &self.bits[at..at + self.words]
    }

    /// Every cell of a row up to `last` at which a part may stand, as bits; further ones may be missing. A step is a word that
    /// doubling what is known of the run, bit by bit, would look at: what an effort is counted in.
    pub fn stands(&self, cover: &Cover, row: usize, last: usize, found: &mut Vec<u64>, steps: &mut u64) {
        let words = (last / 64 + 1).min(self.words);
        found.clear();
        found.resize(words, u64::MAX);
        for (part_row, first, length) in &cover.runs {
            let level = length.ilog2() as usize;
            let free = self.row(level, row + part_row);
            // A run is free where two that overlap or meet are.
            let second = first + length - (1 << level);
            let mut any = shifted_into(found, free, *first);
            if any && second > *first {
                any = shifted_into(found, free, second);
            }
            *steps += (u64::from(length.next_power_of_two().ilog2()) + 2) * words as u64;
            if !any {
                return;
            }
        }
    }
}

/// As many words as a row has at most.
pub(super) const MOST_WORDS: usize = 64;

/// Each bit with the one so many places higher.
fn shift_and(bits: &mut [u64], by: usize) {
    let (words, rest) = (by / 64, by % 64);
    for i in 0..bits.len() {
        let low = bits.get(i + words).copied().unwrap_or(0);
        let high = bits.get(i + words + 1).copied().unwrap_or(0);
        bits[i] &= if rest == 0 {
            low
        } else {
            low >> rest | high << (64 - rest)
        };
    }
}

/// As [`shift_and`] onto other bits; whether any is left.
fn shifted_into(found: &mut [u64], bits: &[u64], by: usize) -> bool {
    let (words, rest) = (by / 64, by % 64);
    let mut any = 0;
    for (i, found) in found.iter_mut().enumerate() {
        let low = bits.get(i + words).copied().unwrap_or(0);
        let high = bits.get(i + words + 1).copied().unwrap_or(0);
        *found &= if rest == 0 {
            low
        } else {
            low >> rest | high << (64 - rest)
        };
        any |= *found;
    }
    any != 0
}

/// The lowest bit that is set.
pub(super) fn first_set(bits: &[u64]) -> Option<usize> {
    let word = bits.iter().position(|word| *word != 0)?;
    Some(word * 64 + bits[word].trailing_zeros() as usize)
}

impl Cover {
    /// What a part covers, given by closed lines.
    pub fn of(loops: &[Vec<Point>], cell_mm: f64) -> Cover {
        let corners = || loops.iter().flatten();
        let low_x = corners().map(|p| p.x).fold(f64::INFINITY, f64::min);
        let low_y = corners().map(|p| p.y).fold(f64::INFINITY, f64::min);
        let high_x = corners().map(|p| p.x).fold(f64::NEG_INFINITY, f64::max);
        let high_y = corners().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
        // Facets of a bulge may lie inside it: a little room on every side.
        let room_mm = facet_mm(cell_mm);
        let to_origin = Vector::new(room_mm - low_x, room_mm - low_y);
        let size = Vector::new(high_x - low_x + 2.0 * room_mm, high_y - low_y + 2.0 * room_mm);
        let mut grid = Grid::empty(size, cell_mm);
        let moved: Vec<Vec<Point>> = loops
            .iter()
            .map(|corners| corners.iter().map(|p| p + to_origin).collect())
            .collect();
        grid.inside(&moved, true);
        let reach_mm = grid.half_mm() + room_mm;
        grid.beside(&moved, reach_mm, true);
        let mut runs = Vec::new();
        for row in 0..grid.rows {
            let mut at = 0;
            while at < grid.across {
                let start = at;
                while at < grid.across && grid.is_set(at, row) {
                    at += 1;
                }
                if at > start {
                    runs.push((row, start, at - start));
                }
                at += 1;
            }
        }
        runs.sort_by(|a, b| b.2.cmp(&a.2).then(a.cmp(b)));
        Cover {
            across: grid.across,
            rows: grid.rows,
            runs,
            to_origin,
        }
    }
}

fn facet_mm(cell_mm: f64) -> f64 {
    FACET_SHARE * cell_mm
}

/// The closed lines of a region, each point put where `seen` says.
pub(super) fn loops(region: &Region, cell_mm: f64, seen: impl Fn(Point) -> Point) -> Vec<Vec<Point>> {
    region
        .outlines()
        .map(|outline| {
            outline
                .flattened(facet_mm(cell_mm))
                .into_iter()
                .map(&seen)
                .collect()
        })
        .collect()
}
