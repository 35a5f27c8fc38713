//! Sparse symmetric positive definite systems: elimination order, factors L D L^T, whitened rows.
//!
//! From the mathematics in T. A. Davis, Direct Methods for Sparse Linear Systems (SIAM 2006), chapters 4 and 7: the
//! elimination tree and the up-looking factorisation.

use crate::ordering::elimination_order;

/// A pivot that has shrunk to less than this share of its diagonal is rounding alone: what it stood for is not
/// determined. Rounding leaves about 1e-16 times the unknowns passed; a chain of a thousand points leaves about 1e-6.
const NO_PIVOT: f64 = 1e-12;

/// Motions smaller than this share of the largest are its rounding, not part of it.
const PART: f64 = 1e-6;

/// The upper triangle with the diagonal, by columns, rows sorted in each.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Symmetric {
    pub start: Vec<usize>,
    pub row: Vec<usize>,
    pub value: Vec<f64>,
}

impl Symmetric {
    /// The sum of `weight` times each row's outer product with itself, over `size` unknowns. The whole diagonal is
    /// present even where nothing adds to it.
    pub fn of_rows<'a>(size: usize, rows: impl Iterator<Item = (f64, &'a [(usize, f64)])>) -> Self {
        let mut columns: Vec<Vec<(usize, f64)>> = (0..size).map(|i| vec![(i, 0.0)]).collect();
        for (weight, slopes) in rows {
            for (k, &(j, slope_j)) in slopes.iter().enumerate() {
                for &(i, slope_i) in &slopes[..=k] {
                    columns[j].push((i, weight * slope_i * slope_j));
                }
            }
        }
        let mut start = Vec::with_capacity(size + 1);
        let (mut row, mut value): (Vec<usize>, Vec<f64>) = (Vec::new(), Vec::new());
        start.push(0);
        for mut column in columns {
            // Stable, so that equal places are summed in the order of the rows.
            column.sort_by_key(|entry| entry.0);
            let begin = row.len();
            for (i, v) in column {
                match row[begin..].last() {
                    Some(&last) if last == i => {
                        if let Some(sum) = value.last_mut() {
                            *sum += v;
                        }
                    }
                    _ => {
                        row.push(i);
                        value.push(v);
                    }
                }
            }
            start.push(row.len());
        }
        Self { start, row, value }
    }

    pub fn size(&self) -> usize {
        self.start.len() - 1
    }

    pub fn column(&self, j: usize) -> impl Iterator<Item = (usize, f64)> + '_ {
        (self.start[j]..self.start[j + 1]).map(|p| (self.row[p], self.value[p]))
    }

    /// Place in `value` of the diagonal of column `j`: the last, since rows are sorted.
    pub fn diagonal(&self, j: usize) -> usize {
        self.start[j + 1] - 1
    }

    /// Is the pattern the same?
    pub fn same_pattern(&self, other: &Self) -> bool {
        self.start == other.start && self.row == other.row
    }
}

/// What does not change while the pattern stays: the order, the elimination tree, where L's columns start.
#[derive(Debug, Clone)]
pub(crate) struct Plan {
    pattern: Symmetric,
    /// order[k] is the unknown eliminated at step k; step[unknown] the other way.
    order: Vec<usize>,
    pub step: Vec<usize>,
    parent: Vec<usize>,
    pub start: Vec<usize>,
}

/// No parent in the tree.
pub(crate) const ROOT: usize = usize::MAX;

impl Plan {
    pub fn new(matrix: &Symmetric) -> Self {
        let size = matrix.size();
        let order = elimination_order(matrix);
        let mut step = vec![0; size];
        for (k, &unknown) in order.iter().enumerate() {
            step[unknown] = k;
        }
        let columns = permuted(matrix, &step);
        let mut parent = vec![ROOT; size];
        let mut seen = vec![ROOT; size];
        let mut count = vec![0; size];
        for (k, column) in columns.iter().enumerate() {
            seen[k] = k;
            for &(mut i, _) in column {
                while seen[i] != k {
                    if parent[i] == ROOT {
                        parent[i] = k;
                    }
                    count[i] += 1;
                    seen[i] = k;
                    i = parent[i];
                }
            }
        }
        let mut start = Vec::with_capacity(size + 1);
        start.push(0);
        for c in count {
            start.push(start[start.len() - 1] + c);
        }
        Self {
            pattern: matrix.clone(),
            order,
            step,
            parent,
            start,
        }
    }

    /// Does it serve this matrix?
    pub fn serves(&self, matrix: &Symmetric) -> bool {
        self.pattern.same_pattern(matrix)
    }
}

/// The strict upper triangle and diagonal, column by column, in elimination order; rows unsorted.
fn permuted(matrix: &Symmetric, step: &[usize]) -> Vec<Vec<(usize, f64)>> {
    let mut columns = vec![Vec::new(); matrix.size()];
    for j in 0..matrix.size() {
        for (i, v) in matrix.column(j) {
            let (a, b) = (step[i].min(step[j]), step[i].max(step[j]));
            columns[b].push((a, v));
        }
    }
    columns
}

/// The factors of P A P^T = L D L^T.
#[derive(Debug, Clone)]
pub(crate) struct Factor {
    pub plan: Plan,
    /// Below the diagonal of L, by columns, rows sorted in each.
    pub row: Vec<usize>,
    pub value: Vec<f64>,
    pub pivot: Vec<f64>,
}

/// The matrix is not positive definite: the unknowns that move together at no cost, most moved first.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Singular {
    pub unknowns: Vec<usize>,
}

impl Factor {
    pub fn new(plan: Plan, matrix: &Symmetric) -> Result<Self, Singular> {
        let size = matrix.size();
        let columns = permuted(matrix, &plan.step);
        let filled = plan.start[size];
        let mut factor = Self {
            row: vec![0; filled],
            value: vec![0.0; filled],
            pivot: vec![0.0; size],
            plan,
        };
        let mut next = factor.plan.start[..size].to_vec();
        let mut dense = vec![0.0; size];
        let mut seen = vec![ROOT; size];
        let mut path: Vec<usize> = Vec::new();
        for (k, column) in columns.iter().enumerate() {
            // Row k of L has its entries where the tree leads from the entries of column k of the matrix.
            path.clear();
            seen[k] = k;
            for &(i, v) in column {
                dense[i] += v;
                let mut at = i;
                while seen[at] != k {
                    seen[at] = k;
                    path.push(at);
                    at = factor.plan.parent[at];
                }
            }
            path.sort_unstable();
            let diagonal = std::mem::take(&mut dense[k]);
            let mut pivot = diagonal;
            for &i in &path {
                let reached = std::mem::take(&mut dense[i]);
                for p in factor.plan.start[i]..next[i] {
                    dense[factor.row[p]] -= factor.value[p] * reached;
                }
                let entry = reached / factor.pivot[i];
                pivot -= entry * reached;
                factor.row[next[i]] = k;
                factor.value[next[i]] = entry;
                next[i] += 1;
            }
            dense[k] = 0.0;
            if !(pivot.is_finite() && pivot > NO_PIVOT * diagonal) {
                return Err(factor.free_motion(k, &next));
            }
            factor.pivot[k] = pivot;
        }
        Ok(factor)
    }

    /// With pivot k gone, the motion that costs nothing is 1 at k and solves L^T x = 0 above it.
    fn free_motion(&self, k: usize, next: &[usize]) -> Singular {
        let mut moved = vec![0.0; k + 1];
        moved[k] = 1.0;
        for i in (0..k).rev() {
            for p in self.plan.start[i]..next[i] {
                moved[i] -= self.value[p] * moved[self.row[p]];
            }
        }
        let most = moved.iter().fold(0.0_f64, |most, m| most.max(m.abs()));
        let mut unknowns: Vec<(f64, usize)> = moved
            .iter()
            .enumerate()
            .filter(|(_, m)| m.abs() > PART * most)
            .map(|(i, m)| (m.abs(), self.plan.order[i]))
            .collect();
        unknowns.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        Singular {
            unknowns: unknowns.into_iter().map(|(_, i)| i).collect(),
        }
    }

    pub fn size(&self) -> usize {
        self.pivot.len()
    }

    /// The plan, for the next matrix of the same pattern.
    pub fn into_plan(self) -> Plan {
        self.plan
    }

    /// D^-1/2 L^-1 P a for a sparse row a: the inner product of two whitened rows is a^T A^-1 b. Sorted by step.
    pub fn whitened(&self, row: &[(usize, f64)], room: &mut Room) -> Vec<(usize, f64)> {
        room.fit(self.size());
        let mut path: Vec<usize> = Vec::new();
        for &(unknown, v) in row {
            let mut at = self.plan.step[unknown];
            room.dense[at] += v;
            while at != ROOT && !room.seen[at] {
                room.seen[at] = true;
                path.push(at);
                at = self.plan.parent[at];
            }
        }
        path.sort_unstable();
        let mut out = Vec::with_capacity(path.len());
        for &i in &path {
            room.seen[i] = false;
            let reached = std::mem::take(&mut room.dense[i]);
            for p in self.plan.start[i]..self.plan.start[i + 1] {
                room.dense[self.row[p]] -= self.value[p] * reached;
            }
            out.push((i, reached / self.pivot[i].sqrt()));
        }
        out
    }

    /// P^T L^-T D^-1/2 of a whitened vector: undoes the other half, so that the two in a row solve A x = a.
    pub fn unwhitened(&self, whitened: &[f64]) -> Vec<f64> {
        let mut x = whitened.to_vec();
        for i in (0..self.size()).rev() {
            let mut v = x[i] / self.pivot[i].sqrt();
            for p in self.plan.start[i]..self.plan.start[i + 1] {
                v -= self.value[p] * x[self.row[p]];
            }
            x[i] = v;
        }
        let mut out = vec![0.0; x.len()];
        for (i, v) in x.into_iter().enumerate() {
            out[self.plan.order[i]] = v;
        }
        out
    }
}

/// Room for [`Factor::whitened`], kept between calls so that each costs only what it reaches.
#[derive(Debug, Clone, Default)]
pub(crate) struct Room {
    dense: Vec<f64>,
    seen: Vec<bool>,
}

impl Room {
    fn fit(&mut self, size: usize) {
        if self.dense.len() < size {
            self.dense.resize(size, 0.0);
            self.seen.resize(size, false);
        }
    }
}

/// Inner product of two sparse vectors sorted by index.
pub(crate) fn product(a: &[(usize, f64)], b: &[(usize, f64)]) -> f64 {
    let (mut i, mut j, mut sum) = (0, 0, 0.0);
    while i < a.len() && j < b.len() {
        match a[i].0.cmp(&b[j].0) {
            std::cmp::Ordering::Less => i += 1,
            std::cmp::Ordering::Greater => j += 1,
            std::cmp::Ordering::Equal => {
                sum += a[i].1 * b[j].1;
                i += 1;
                j += 1;
            }
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inverse::InverseEntries;
    use nalgebra::DMatrix;

    /// Rows of a small braced net, in no order, checked against a dense inverse.
    #[test]
    fn whitened_products_are_entries_of_the_dense_inverse() {
        let size = 9;
        let mut rows: Vec<Vec<(usize, f64)>> = (0..size).map(|i| vec![(i, 0.3)]).collect();
        for i in 0..size {
            for j in [i + 1, i + 4] {
                if j < size {
                    rows.push(vec![(i, 1.0 + i as f64), (j, -0.5 * j as f64)]);
                }
            }
        }
        let matrix = Symmetric::of_rows(size, rows.iter().map(|r| (2.0, r.as_slice())));
        let mut dense = DMatrix::<f64>::zeros(size, size);
        for row in &rows {
            for &(i, a) in row {
                for &(j, b) in row {
                    dense[(i, j)] += 2.0 * a * b;
                }
            }
        }
        let inverse = dense.try_inverse().expect("the net is braced");
        let factor = Factor::new(Plan::new(&matrix), &matrix).expect("the net is braced");
        let mut room = Room::default();
        for i in 0..size {
            for j in 0..size {
                let (a, b) = (
                    factor.whitened(&[(i, 1.0)], &mut room),
                    factor.whitened(&[(j, 1.0)], &mut room),
                );
                assert!((product(&a, &b) - inverse[(i, j)]).abs() < 1e-10);
            }
        }
        let entries = InverseEntries::new(&factor);
        for row in &rows {
            let mut expected = 0.0;
            for &(i, a) in row {
                for &(j, b) in row {
                    expected += a * b * inverse[(i, j)];
                }
            }
            assert!((entries.square(row).expect("in the pattern") - expected).abs() < 1e-10);
        }
        let mut whitened = vec![0.0; size];
        for (i, v) in factor.whitened(&[(2, 1.0), (7, -3.0)], &mut room) {
            whitened[i] = v;
        }
        let solved = factor.unwhitened(&whitened);
        for i in 0..size {
            let expected = inverse[(i, 2)] - 3.0 * inverse[(i, 7)];
            assert!((solved[i] - expected).abs() < 1e-10);
        }
    }

    #[test]
    fn unknowns_that_nothing_holds_are_named() {
        let rows = [
            vec![(0, 1.0)],
            vec![(1, 1.0), (2, -1.0)],
            vec![(0, 1.0), (3, 1.0)],
        ];
        let matrix = Symmetric::of_rows(4, rows.iter().map(|r| (1.0, r.as_slice())));
        let mut free = Factor::new(Plan::new(&matrix), &matrix)
            .expect_err("1 and 2 move together")
            .unknowns;
        free.sort_unstable();
        assert_eq!(free, [1, 2]);
    }
}
