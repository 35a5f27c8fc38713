//! Normal equations with exact conditions: the step they ask for and the covariances they give.

use nalgebra::{DMatrix, DVector};

use crate::inverse::InverseEntries;
use crate::least_squares::Row;
use crate::sparse::{Factor, Plan, Room, Singular, Symmetric, product};

/// A condition whose own part, beside the conditions before it, is less than this share of it is one of them over
/// again.
const SAME_CONDITION: f64 = 1e-10;

/// A step after which the next is at most this long against it closes in on the answer.
const CLOSES_IN: f64 = 0.5;

/// Rows that must hold exactly, with their numbers.
pub(crate) fn exact(rows: &[Row]) -> impl Iterator<Item = (usize, &Row)> {
    rows.iter().enumerate().filter(|(_, r)| r.weight.is_infinite())
}

/// Rows that weigh in the sum.
pub(crate) fn weighing(rows: &[Row]) -> impl Iterator<Item = &Row> {
    rows.iter().filter(|r| r.weight > 0.0 && r.weight.is_finite())
}

/// How far a row's misfit moves for a unit move of the unknowns.
pub(crate) fn slope_size(row: &Row) -> f64 {
    row.slopes.iter().map(|s| s.1 * s.1).sum::<f64>().sqrt()
}

/// The factored normal equations with their exact conditions.
#[derive(Debug, Clone)]
pub(crate) struct Normal {
    factor: Factor,
    /// Row numbers of the independent exact conditions, whitened, and the Cholesky factor of their products.
    conditions: Vec<(usize, Vec<(usize, f64)>)>,
    lower: DMatrix<f64>,
    stiffness: Vec<(usize, f64)>,
}

/// A row seen through the inverse of the normal equations: products of these are covariances.
#[derive(Debug, Clone)]
pub(crate) struct Whitened {
    free: Vec<(usize, f64)>,
    held: DVector<f64>,
}

impl Whitened {
    /// a Q b^T.
    pub fn times(&self, other: &Self) -> f64 {
        product(&self.free, &other.free) - self.held.dot(&other.held)
    }
}

impl Normal {
    /// `widest` keeps the largest diagonal met for each unknown: damping goes by that, so that an unknown whose slopes
    /// die away is not let run off.
    pub fn new(rows: &[Row], widest: &mut [f64], damping: f64, plan: Option<Plan>) -> Result<Self, Singular> {
        let unknowns = widest.len();
        let weighed = || weighing(rows).map(|r| (r.weight, r.slopes.as_slice()));
        // Conditions are made about as stiff as the readings are, so that neither drowns the other in rounding.
        let trace: f64 = weighed()
            .map(|(w, s)| w * s.iter().map(|s| s.1 * s.1).sum::<f64>())
            .sum();
        let typical = if trace > 0.0 {
            trace / unknowns.max(1) as f64
        } else {
            1.0
        };
        let stiffness: Vec<(usize, f64)> = exact(rows)
            .filter(|(_, r)| slope_size(r) > 0.0)
            .map(|(i, r)| (i, typical / slope_size(r).powi(2)))
            .collect();
        let stiff = stiffness.iter().map(|&(i, k)| (k, rows[i].slopes.as_slice()));
        let mut matrix = Symmetric::of_rows(unknowns, weighed().chain(stiff));
        for (j, widest) in widest.iter_mut().enumerate() {
            let diagonal = matrix.diagonal(j);
            *widest = widest.max(matrix.value[diagonal]);
            // An unknown that nothing touches still needs a pivot while the search walks damped.
            let by = if *widest > 0.0 { *widest } else { typical };
            matrix.value[diagonal] += damping * by;
        }
        let plan = plan
            .filter(|p| p.serves(&matrix))
            .unwrap_or_else(|| Plan::new(&matrix));
        let factor = Factor::new(plan, &matrix)?;
        let mut normal = Self {
            factor,
            conditions: Vec::new(),
            lower: DMatrix::zeros(0, 0),
            stiffness,
        };
        normal.take_conditions(rows);
        Ok(normal)
    }

    /// Cholesky's factor of the products of the conditions, row by row; a condition that adds nothing is left out.
    fn take_conditions(&mut self, rows: &[Row]) {
        let mut room = Room::default();
        let most = self.stiffness.len();
        let mut lower = DMatrix::zeros(most, most);
        for &(row, _) in &self.stiffness {
            let whitened = self.factor.whitened(&rows[row].slopes, &mut room);
            let k = self.conditions.len();
            let own = product(&whitened, &whitened);
            let mut left = own;
            for j in 0..k {
                let mut v = product(&whitened, &self.conditions[j].1);
                for i in 0..j {
                    v -= lower[(k, i)] * lower[(j, i)];
                }
                let entry: f64 = v / lower[(j, j)];
                lower[(k, j)] = entry;
                left -= entry * entry;
            }
            if left > SAME_CONDITION * own {
                lower[(k, k)] = left.sqrt();
                self.conditions.push((row, whitened));
            } else {
                for j in 0..k {
                    lower[(k, j)] = 0.0;
                }
            }
        }
        let kept = self.conditions.len();
        self.lower = lower.view((0, 0), (kept, kept)).into_owned();
    }

    pub fn whitened(&self, row: &[(usize, f64)], room: &mut Room) -> Whitened {
        let free = self.factor.whitened(row, room);
        let held = DVector::from_iterator(
            self.conditions.len(),
            self.conditions.iter().map(|(_, c)| product(c, &free)),
        );
        Whitened {
            held: self.forward(held),
            free,
        }
    }

    /// Is the next step, with the slopes of this one, much shorter, each unknown measured by its standard deviation?
    pub fn closes_in(&self, step: &[f64], rows: &[Row], after: &[Row]) -> bool {
        let simplified: Vec<Row> = rows
            .iter()
            .zip(after)
            .map(|(row, after)| Row {
                misfit: after.misfit,
                ..row.clone()
            })
            .collect();
        let (next, _) = self.step(&simplified);
        let mut room = Room::default();
        let (mut this, mut then) = (0.0, 0.0);
        for (i, (s, n)) in step.iter().zip(&next).enumerate() {
            let seen = self.whitened(&[(i, 1.0)], &mut room);
            let variance = seen.times(&seen);
            if variance > 0.0 {
                this += s * s / variance;
                then += n * n / variance;
            }
        }
        then < CLOSES_IN * CLOSES_IN * this
    }

    fn forward(&self, v: DVector<f64>) -> DVector<f64> {
        // The diagonal is above zero by construction, so this never fails.
        self.lower.solve_lower_triangular(&v).unwrap_or(v)
    }

    /// Takes the conditions' part from a whitened vector, by its forward-solved products with them. Gives the
    /// multipliers.
    fn take_held(&self, whitened: &mut [f64], held: DVector<f64>) -> DVector<f64> {
        let multipliers = self.lower.tr_solve_lower_triangular(&held).unwrap_or(held);
        for ((_, condition), multiplier) in self.conditions.iter().zip(multipliers.iter()) {
            for &(i, v) in condition {
                whitened[i] -= v * multiplier;
            }
        }
        multipliers
    }

    /// The step to the least sum of the linearised rows on the linearised conditions, and the largest multiplier.
    pub fn step(&self, rows: &[Row]) -> (Vec<f64>, f64) {
        let mut pull = vec![0.0; self.factor.size()];
        let stiff = self.stiffness.iter().map(|&(i, k)| (k, &rows[i]));
        for (weight, row) in weighing(rows).map(|r| (r.weight, r)).chain(stiff) {
            for &(i, slope) in &row.slopes {
                pull[i] += weight * slope * row.misfit;
            }
        }
        let sparse: Vec<(usize, f64)> = pull.into_iter().enumerate().collect();
        let pulled = self.factor.whitened(&sparse, &mut Room::default());
        let missed = DVector::from_iterator(
            self.conditions.len(),
            self.conditions
                .iter()
                .map(|(row, c)| rows[*row].misfit - product(c, &pulled)),
        );
        let forward = self.forward(missed);
        let multipliers = self.lower.tr_solve_lower_triangular(&forward).unwrap_or(forward);
        let mut whitened = vec![0.0; self.factor.size()];
        for (i, v) in pulled {
            whitened[i] -= v;
        }
        for ((_, condition), multiplier) in self.conditions.iter().zip(multipliers.iter()) {
            for &(i, v) in condition {
                whitened[i] -= v * multiplier;
            }
        }
        let largest = multipliers.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
        (self.factor.unwhitened(&whitened), largest)
    }

    /// How many independent exact conditions.
    pub fn conditions(&self) -> usize {
        self.conditions.len()
    }

    /// The plan, for the next normal equations of the same pattern.
    pub fn into_plan(self) -> Plan {
        self.factor.into_plan()
    }

    /// a Q a^T of every row, in order.
    pub fn cofactors(&self, rows: &[Row]) -> Vec<f64> {
        let entries = InverseEntries::new(&self.factor);
        let mut room = Room::default();
        let solved: Vec<Vec<f64>> = self
            .conditions
            .iter()
            .map(|(row, _)| {
                let mut whitened = vec![0.0; self.factor.size()];
                for (i, v) in self.factor.whitened(&rows[*row].slopes, &mut room) {
                    whitened[i] = v;
                }
                self.factor.unwhitened(&whitened)
            })
            .collect();
        rows.iter()
            .map(|row| match entries.square(&row.slopes) {
                Some(free) => {
                    let product = |x: &Vec<f64>| row.slopes.iter().map(|&(i, s)| s * x[i]).sum();
                    let held = DVector::from_iterator(solved.len(), solved.iter().map(product));
                    free - self.forward(held).norm_squared()
                }
                // A row that only watches may join unknowns that no other row does.
                None => {
                    let seen = self.whitened(&row.slopes, &mut room);
                    seen.times(&seen)
                }
            })
            .collect()
    }

    /// The covariance of a row with every unknown.
    pub fn covariance_of(&self, row: &[(usize, f64)], room: &mut Room) -> Vec<f64> {
        let seen = self.whitened(row, room);
        let mut whitened = vec![0.0; self.factor.size()];
        for &(i, v) in &seen.free {
            whitened[i] += v;
        }
        self.take_held(&mut whitened, seen.held);
        self.factor.unwhitened(&whitened)
    }
}
