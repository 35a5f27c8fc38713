//! The entries of the inverse that a sparse factor can give cheaply: those within its own pattern.
//!
//! K. Takahashi, J. Fagan and M. Chen, Formation of a sparse bus impedance matrix, 8th PICA Conference (1973). Every
//! reading's own variance needs only these.

use crate::sparse::{Factor, ROOT};

/// The entries of the inverse that stand where L has entries, so at least where the matrix has.
#[derive(Debug, Clone)]
pub(crate) struct InverseEntries<'a> {
    factor: &'a Factor,
    /// In the places of the factor's values.
    below: Vec<f64>,
    diagonal: Vec<f64>,
}

impl<'a> InverseEntries<'a> {
    /// From the last column back: Z_ij = - sum over k of L_kj Z_ik, and Z_jj = 1 / d_j - sum of L_kj Z_kj.
    pub fn new(factor: &'a Factor) -> Self {
        let size = factor.size();
        let mut below = vec![0.0; factor.value.len()];
        let mut diagonal = vec![0.0; size];
        let mut place = vec![ROOT; size];
        for j in (0..size).rev() {
            let column = factor.plan.start[j]..factor.plan.start[j + 1];
            let (rows, values) = (&factor.row[column.clone()], &factor.value[column.clone()]);
            for (a, &row) in rows.iter().enumerate() {
                place[row] = a;
            }
            let mut sums = vec![0.0; rows.len()];
            for (a, (&k, &value)) in rows.iter().zip(values).enumerate() {
                let mut own = value * diagonal[k];
                for p in factor.plan.start[k]..factor.plan.start[k + 1] {
                    let b = place[factor.row[p]];
                    if b != ROOT {
                        own += values[b] * below[p];
                        sums[b] += value * below[p];
                    }
                }
                sums[a] += own;
            }
            diagonal[j] = 1.0 / factor.pivot[j];
            for ((&row, value), (sum, p)) in rows.iter().zip(values).zip(sums.iter().zip(column)) {
                place[row] = ROOT;
                below[p] = -sum;
                diagonal[j] += value * sum;
            }
        }
        Self {
            factor,
            below,
            diagonal,
        }
    }

    /// The entry for two unknowns that share a row of the problem; `None` where L has no entry.
    fn entry(&self, one: usize, other: usize) -> Option<f64> {
        let plan = &self.factor.plan;
        let (a, b) = (plan.step[one], plan.step[other]);
        let (column, row) = (a.min(b), a.max(b));
        if column == row {
            return Some(self.diagonal[column]);
        }
        let rows = &self.factor.row[plan.start[column]..plan.start[column + 1]];
        let found = rows.binary_search(&row).ok()?;
        Some(self.below[plan.start[column] + found])
    }

    /// a A^-1 a^T for a row of slopes; `None` when it joins unknowns that no row of the matrix joins.
    pub fn square(&self, row: &[(usize, f64)]) -> Option<f64> {
        let mut sum = 0.0;
        for (k, &(i, a)) in row.iter().enumerate() {
            sum += a * a * self.entry(i, i)?;
            for &(j, b) in &row[..k] {
                sum += 2.0 * a * b * self.entry(i, j)?;
            }
        }
        Some(sum)
    }
}
