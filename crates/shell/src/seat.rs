//! Seats that only push: which of them carry.
//!
//! The factored stiffness has every seat closed, as a spring, so that a part that only rests on its seats can be factored
//! too. A seat opens by adding a force that undoes its spring: with `q` the forces added at the seats, the movements
//! along their pushes are `d = d_f + C q`, where `C` is the compliance at the seats, taken once through the factor. With
//! `z >= 0` the seat's stiffness times how far it is open, and `w >= 0` the force with which it pushes over its
//! stiffness, this is the linear complementarity problem
//!
//! `w = (D - C) z + b`, `w_i z_i = 0`, `D = diag(1 / k)`, `b = C k gap - gap - d_f`, `q = z - k gap`.
//!
//! `D - C` is symmetric and has no negative eigenvalue. Sets of open seats are tried from all closed, each time opening
//! those that pull and closing those that press in (Hintermueller, Ito, Kunisch, SIAM Journal on Optimization 13, 2002,
//! 865-888: a Newton method). If a set leaves the part free, or the sets go in a circle, the pivoting of Lemke
//! (Management Science 11, 1965, 681-689) decides: for such a matrix it finds the solution or that there is none, which
//! is that the part lifts off.

use nalgebra::{DMatrix, DVector, Matrix6};

use crate::{PER_NODE, Seat, factor::Factor, reduce::LOOSE, reduce::Reduction};

/// Sets tried before pivoting decides. Four to eight do in practice.
const MOST_SETS: usize = 30;
/// Pivots for each seat before it is undecided; the way is finite but could in theory be long. Two do in practice.
const MOST_PIVOTS_PER_SEAT: usize = 40;
/// What is below this part of the largest value in play is taken for zero: the compliances carry some ten digits.
const NOTHING: f64 = 1e-10;
/// Right-hand sides solved for at once for the compliance, so that they stay in the cache and the memory small.
const AT_ONCE: usize = 16;

/// Values of right-hand sides held at once: 128 MB.
const MOST_AT_ONCE: usize = 16_000_000;

/// How a search for the seats that carry ended without an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Undecided {
    /// There is no set of seats that can hold the load by pushing.
    LiftsOff,
    /// The search went on too long.
    TooLong,
}

impl Seat {
    /// Stiffness while closed, over the six unknowns of its node.
    pub(crate) fn stiffness(&self) -> Matrix6<f64> {
        let mut six = Matrix6::zeros();
        six.fixed_view_mut::<3, 3>(0, 0)
            .copy_from(&(self.push * self.push.transpose() * self.stiffness_n_mm));
        six
    }
}

/// The seats of a model in terms of the free unknowns.
#[derive(Debug)]
pub(crate) struct Seats {
    /// For each seat, shares of the free unknowns in its movement along the push.
    rows: Vec<Vec<(u32, f64)>>,
    /// Movement along the push that the offsets of ties make.
    offset_mm: Vec<f64>,
    stiffness_n_mm: Vec<f64>,
    gap_mm: Vec<f64>,
}

impl Seats {
    pub(crate) fn new(seats: &[Seat], reduction: &Reduction) -> Self {
        let along = |seat: &Seat, of: &mut dyn FnMut(usize, f64)| {
            for axis in 0..3 {
                if seat.push[axis] != 0.0 {
                    of(seat.node as usize * PER_NODE + axis, seat.push[axis]);
                }
            }
        };
        let rows = seats
            .iter()
            .map(|seat| {
                let mut row: Vec<(u32, f64)> = Vec::new();
                along(seat, &mut |place, component| {
                    let terms = reduction
                        .terms(place)
                        .iter()
                        .filter(|(unknown, _)| *unknown != LOOSE);
                    row.extend(terms.map(|&(unknown, share)| (unknown, share * component)));
                });
                row
            })
            .collect();
        let offset_mm = seats
            .iter()
            .map(|seat| {
                let mut sum = 0.0;
                along(seat, &mut |place, component| {
                    sum += component * reduction.offset[place]
                });
                sum
            })
            .collect();
        Self {
            rows,
            offset_mm,
            stiffness_n_mm: seats.iter().map(|seat| seat.stiffness_n_mm).collect(),
            gap_mm: seats.iter().map(|seat| seat.gap_mm).collect(),
        }
    }

    pub(crate) fn count(&self) -> usize {
        self.rows.len()
    }

    /// Movements along the pushes, mm.
    pub(crate) fn moved_mm(&self, free: &[f64]) -> DVector<f64> {
        DVector::from_iterator(
            self.count(),
            self.rows
                .iter()
                .zip(&self.offset_mm)
                .map(|(row, offset)| dot(row, free) + offset),
        )
    }

    /// Movement along each push for a unit force along each push, every seat closed: `S^T K^-1 S`, as the square of half
    /// a solve for all at once while that fits the memory meant for it, else by whole solves for a few at a time.
    pub(crate) fn compliance(&self, factor: &Factor) -> DMatrix<f64> {
        let (count, size) = (self.count(), factor.size());
        let mut compliance = DMatrix::zeros(count, count);
        let at_once = if count * size <= MOST_AT_ONCE {
            count
        } else {
            AT_ONCE
        };
        let all: Vec<usize> = (0..count).collect();
        for some in all.chunks(at_once.max(1)) {
            let mut columns = vec![0.0; size * some.len()];
            for (column, &seat) in columns.chunks_exact_mut(size.max(1)).zip(some) {
                add_row(&self.rows[seat], 1.0, column);
            }
            if at_once == count {
                compliance.copy_from_slice(&factor.squared_half_solve(columns));
                return compliance;
            }
            factor.solve_in_place(&mut columns);
            for (column, &seat) in columns.chunks_exact(size.max(1)).zip(some) {
                for (other, row) in self.rows.iter().enumerate() {
                    compliance[(other, seat)] = dot(row, column);
                }
            }
        }
        (&compliance + compliance.transpose()) * 0.5
    }

    /// The forces to add along the pushes, N, and which seats are open, for movements along the pushes with every seat
    /// closed.
    pub(crate) fn decide(
        &self,
        compliance: &DMatrix<f64>,
        moved_mm: &DVector<f64>,
    ) -> Result<(DVector<f64>, Vec<bool>), Undecided> {
        let count = self.count();
        // Scaled by the roots of the stiffnesses, the matrix has eigenvalues from 0 to 1.
        let root = DVector::from_iterator(count, self.stiffness_n_mm.iter().map(|k| k.sqrt()));
        let gap = DVector::from_column_slice(&self.gap_mm);
        let gap_force = DVector::from_iterator(
            count,
            self.stiffness_n_mm
                .iter()
                .zip(&self.gap_mm)
                .map(|(stiffness, gap)| stiffness * gap),
        );
        let start = (compliance * &gap_force - gap - moved_mm).component_mul(&root);
        let matrix = DMatrix::from_fn(count, count, |row, column| {
            let own = if row == column { 1.0 } else { 0.0 };
            own - root[row] * compliance[(row, column)] * root[column]
        });
        let (lifted, open) = complementary(&matrix, &start)?;
        Ok((lifted.component_mul(&root) - gap_force, open))
    }

    /// Adds what the springs of all seats, closed, put up against a change of the free unknowns.
    pub(crate) fn add_closed(&self, factor: f64, change: &[f64], free: &mut [f64]) {
        for (row, &stiffness) in self.rows.iter().zip(&self.stiffness_n_mm) {
            add_row(row, factor * stiffness * dot(row, change), free);
        }
    }

    /// Adds forces along the pushes to those on the free unknowns.
    pub(crate) fn add_forces(&self, along: &DVector<f64>, free: &mut [f64]) {
        for (row, &force) in self.rows.iter().zip(along.iter()) {
            add_row(row, force, free);
        }
    }

    /// What each seat pushes with, N.
    pub(crate) fn pushes_n(&self, free: &[f64], open: &[bool]) -> Vec<f64> {
        let moved = self.moved_mm(free);
        (0..self.count())
            .map(|seat| {
                let pressed_mm = -moved[seat] - self.gap_mm[seat];
                if open[seat] {
                    0.0
                } else {
                    (self.stiffness_n_mm[seat] * pressed_mm).max(0.0)
                }
            })
            .collect()
    }
}

fn dot(row: &[(u32, f64)], free: &[f64]) -> f64 {
    row.iter()
        .map(|&(unknown, share)| share * free[unknown as usize])
        .sum()
}

fn add_row(row: &[(u32, f64)], factor: f64, free: &mut [f64]) {
    for &(unknown, share) in row {
        free[unknown as usize] += factor * share;
    }
}

/// Finds `z >= 0` with `w = matrix z + start >= 0` and `w_i z_i = 0`, and where `z` is in play.
fn complementary(
    matrix: &DMatrix<f64>,
    start: &DVector<f64>,
) -> Result<(DVector<f64>, Vec<bool>), Undecided> {
    let count = start.len();
    let nothing = NOTHING * start.amax();
    let mut open = vec![false; count];
    for _ in 0..MOST_SETS {
        let Some(z) = with_open(matrix, start, &open) else {
            break;
        };
        let w = matrix * &z + start;
        let next: Vec<bool> = (0..count)
            .map(|i| if open[i] { z[i] > 0.0 } else { w[i] < -nothing })
            .collect();
        if next == open {
            return Ok((z, open));
        }
        open = next;
    }
    let open = lemke(matrix, start)?;
    with_open(matrix, start, &open)
        .map(|z| (z, open))
        .ok_or(Undecided::LiftsOff)
}

/// `z` with `w = 0` where open and `z = 0` elsewhere, unless the open seats leave the part free.
fn with_open(matrix: &DMatrix<f64>, start: &DVector<f64>, open: &[bool]) -> Option<DVector<f64>> {
    let which: Vec<usize> = (0..open.len()).filter(|&i| open[i]).collect();
    let mut z = DVector::zeros(open.len());
    if which.is_empty() {
        return Some(z);
    }
    let part = DMatrix::from_fn(which.len(), which.len(), |row, column| {
        matrix[(which[row], which[column])]
    });
    let right = DVector::from_iterator(which.len(), which.iter().map(|&i| -start[i]));
    let factor = part.cholesky()?;
    let weakest = factor.l_dirty().diagonal().min();
    if weakest * weakest <= NOTHING {
        return None;
    }
    for (value, &i) in factor.solve(&right).iter().zip(&which) {
        z[i] = *value;
    }
    Some(z)
}

/// The pivoting of Lemke: which `z` are in play at the solution.
fn lemke(matrix: &DMatrix<f64>, start: &DVector<f64>) -> Result<Vec<bool>, Undecided> {
    let count = start.len();
    // Variables: w, then z, then the artificial one. Rows: w - matrix z - artificial = start.
    let (artificial, right) = (2 * count, 2 * count + 1);
    let mut table = DMatrix::zeros(count, 2 * count + 2);
    for row in 0..count {
        table[(row, row)] = 1.0;
        for column in 0..count {
            table[(row, count + column)] = -matrix[(row, column)];
        }
        table[(row, artificial)] = -1.0;
        table[(row, right)] = start[row];
    }
    let mut basis: Vec<usize> = (0..count).collect();
    let mut leaving = start.imin();
    let mut entering = artificial;
    for _ in 0..MOST_PIVOTS_PER_SEAT * count {
        let left = basis[leaving];
        pivot(&mut table, leaving, entering);
        basis[leaving] = entering;
        if left == artificial {
            let mut open = vec![false; count];
            for &variable in &basis {
                if (count..artificial).contains(&variable) {
                    open[variable - count] = true;
                }
            }
            return Ok(open);
        }
        entering = if left < count { left + count } else { left - count };
        let mut least = f64::INFINITY;
        let mut next = None;
        for row in 0..count {
            let slope = table[(row, entering)];
            if slope > NOTHING {
                let ratio = table[(row, right)] / slope;
                // The artificial variable leaves as soon as it can.
                let sooner = ratio < least - NOTHING * least.abs()
                    || (basis[row] == artificial && ratio <= least + NOTHING * least.abs());
                if sooner {
                    least = ratio;
                    next = Some(row);
                }
            }
        }
        leaving = next.ok_or(Undecided::LiftsOff)?;
    }
    Err(Undecided::TooLong)
}

fn pivot(table: &mut DMatrix<f64>, row: usize, column: usize) {
    let by = table[(row, column)];
    for at in 0..table.ncols() {
        table[(row, at)] /= by;
    }
    for other in 0..table.nrows() {
        let factor = table[(other, column)];
        if other != row && factor != 0.0 {
            for at in 0..table.ncols() {
                let change = factor * table[(row, at)];
                table[(other, at)] -= change;
            }
        }
    }
}
