//! The two sweeps of a solve through a factor with supernodes, one right-hand side at a time.
//!
//! The work is in reading the factor: several right-hand sides take each supernode one after the other while it is in the
//! cache, so that many cost little more than one. Four columns go at once over a plain slice, in an order that never
//! changes, so each right-hand side comes out the same whether alone or with others.

/// Columns of the factor with the same rows below their own.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Supernode<'a> {
    /// First of its unknowns.
    pub(crate) start: usize,
    /// How many there are.
    pub(crate) width: usize,
    /// The rows below, rising.
    pub(crate) below: &'a [u32],
    /// One over each of the diagonal.
    pub(crate) inverse: &'a [f64],
    /// Values by columns, each of its own unknowns (a lower triangle) and the rows below.
    pub(crate) values: &'a [f64],
}

/// Columns taken at once.
const AT_ONCE: usize = 4;

impl<'a> Supernode<'a> {
    fn column(&self, at: usize) -> (&'a [f64], &'a [f64]) {
        let height = self.width + self.below.len();
        self.values[at * height..(at + 1) * height].split_at(self.width)
    }

    /// `L x = b`: the part of these unknowns, with `x` in place of `b`. `carried` is room for what goes to the rows below.
    fn forward(&self, x: &mut [f64], carried: &mut Vec<f64>) {
        let own = &mut x[self.start..self.start + self.width];
        for at in 0..self.width {
            let (column, _) = self.column(at);
            let value = own[at] * self.inverse[at];
            own[at] = value;
            for (below, &entry) in own[at + 1..].iter_mut().zip(&column[at + 1..]) {
                *below -= entry * value;
            }
        }
        let rows = self.below.len();
        if rows == 0 {
            return;
        }
        carried.clear();
        carried.resize(rows, 0.0);
        let carried = &mut carried[..rows];
        let mut at = 0;
        while at + AT_ONCE <= self.width {
            let [a, b, c, d] = [0, 1, 2, 3].map(|next| &self.column(at + next).1[..rows]);
            let [p, q, r, s] = [0, 1, 2, 3].map(|next| own[at + next]);
            for row in 0..rows {
                carried[row] += (a[row] * p + b[row] * q) + (c[row] * r + d[row] * s);
            }
            at += AT_ONCE;
        }
        for (at, &value) in own.iter().enumerate().skip(at) {
            let column = &self.column(at).1[..rows];
            for row in 0..rows {
                carried[row] += column[row] * value;
            }
        }
        for (&row, value) in self.below.iter().zip(carried) {
            x[row as usize] -= *value;
        }
    }

    /// `L^T x = b`: the part of these unknowns, with `x` in place of `b`. `carried` is room for what comes from the rows
    /// below.
    fn backward(&self, x: &mut [f64], carried: &mut Vec<f64>) {
        carried.clear();
        carried.extend(self.below.iter().map(|&row| x[row as usize]));
        let own = &mut x[self.start..self.start + self.width];
        let mut at = 0;
        while at + AT_ONCE <= self.width {
            let sums = products([0, 1, 2, 3].map(|next| self.column(at + next).1), carried);
            for (own, sum) in own[at..].iter_mut().zip(sums) {
                *own -= sum;
            }
            at += AT_ONCE;
        }
        for (at, own) in own.iter_mut().enumerate().skip(at) {
            let [sum] = products([self.column(at).1], carried);
            *own -= sum;
        }
        for at in (0..self.width).rev() {
            let (column, _) = self.column(at);
            let mut value = own[at];
            for (below, &entry) in own[at + 1..].iter().zip(&column[at + 1..]) {
                value -= below * entry;
            }
            own[at] = value * self.inverse[at];
        }
    }
}

/// Solves in place for each of some right-hand sides.
pub(crate) fn solve_in_place(supernodes: &[Supernode<'_>], columns: &mut [f64], size: usize) {
    let mut carried = Vec::new();
    for supernode in supernodes {
        for column in columns.chunks_exact_mut(size) {
            supernode.forward(column, &mut carried);
        }
    }
    for supernode in supernodes.iter().rev() {
        for column in columns.chunks_exact_mut(size) {
            supernode.backward(column, &mut carried);
        }
    }
}

/// Products of several columns with one, each in four running sums.
fn products<const N: usize>(columns: [&[f64]; N], with: &[f64]) -> [f64; N] {
    const LANES: usize = 4;
    let whole = with.len() / LANES * LANES;
    let mut sums = [[0.0; LANES]; N];
    for first in (0..whole).step_by(LANES) {
        let with = &with[first..first + LANES];
        for (sums, column) in sums.iter_mut().zip(columns) {
            let column = &column[first..first + LANES];
            for lane in 0..LANES {
                sums[lane] += column[lane] * with[lane];
            }
        }
    }
    let mut all = sums.map(|[a, b, c, d]| (a + b) + (c + d));
    for (all, column) in all.iter_mut().zip(columns) {
        for (entry, with) in column[whole..].iter().zip(&with[whole..]) {
            *all += entry * with;
        }
    }
    all
}
