//! The sparse Cholesky factor: the one heavy step, and the only file that knows who takes it.

use std::sync::Arc;

use crate::sweep::{self, Supernode};
use faer::{
    Accum, MatMut, MatRef, Par,
    dyn_stack::{MemBuffer, MemStack},
    linalg::{
        cholesky::llt::factor::{LltError, LltRegularization},
        matmul::matmul,
        triangular_solve::solve_lower_triangular_in_place,
    },
    reborrow::*,
    sparse::{
        SparseColMatRef, SymbolicSparseColMatRef,
        linalg::cholesky::{simplicial, supernodal},
    },
};

/// A symmetric matrix: its lower half by columns. The diagonal comes first in each.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lower<'a> {
    /// For each column where it starts; one more at the end.
    pub(crate) start: &'a [u32],
    /// Rows, rising in each column.
    pub(crate) rows: &'a [u32],
    /// Values.
    pub(crate) values: &'a [f64],
}

/// Why there is no factor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NoFactor {
    /// Nothing resists at this unknown once those before it are eliminated.
    Pivot(usize),
    /// Too large for the memory or for the numbering.
    TooLarge,
}

/// A pivot that keeps less than this part of the diagonal it started from has lost all but two or three of its digits.
const LEAST_PIVOT: f64 = 1e-13;

/// Where a factor has values.
type Shape = supernodal::SymbolicSupernodalCholesky<u32>;

/// A Cholesky factor with supernodes. It is made by one thread, so that its bytes never hang on how many there are.
#[derive(Debug)]
pub(crate) struct Factor {
    shape: Arc<Shape>,
    values: Vec<f64>,
    /// One over each of its diagonal.
    inverse: Vec<f64>,
}

impl Factor {
    /// Factors a positive definite matrix as it is numbered.
    pub(crate) fn new(matrix: &Lower<'_>) -> Result<Self, NoFactor> {
        Self::shaped(Arc::new(shape(matrix)?), matrix)
    }

    /// Factors another matrix with values in the same places.
    pub(crate) fn again(&self, matrix: &Lower<'_>) -> Result<Self, NoFactor> {
        Self::shaped(Arc::clone(&self.shape), matrix)
    }

    fn shaped(shape: Arc<Shape>, matrix: &Lower<'_>) -> Result<Self, NoFactor> {
        let size = matrix.start.len() - 1;
        let mut values = Vec::new();
        values
            .try_reserve_exact(shape.len_val())
            .map_err(|_| NoFactor::TooLarge)?;
        values.resize(shape.len_val(), 0.0);
        let scratch = supernodal::factorize_supernodal_numeric_llt_scratch::<u32, f64>(
            &shape,
            Par::Seq,
            Default::default(),
        );
        let mut memory = MemBuffer::try_new(scratch).map_err(|_| NoFactor::TooLarge)?;
        let pattern = SymbolicSparseColMatRef::new_checked(size, size, matrix.start, None, matrix.rows);
        supernodal::factorize_supernodal_numeric_llt(
            &mut values,
            SparseColMatRef::new(pattern, matrix.values),
            LltRegularization::default(),
            &shape,
            Par::Seq,
            MemStack::new(&mut memory),
            Default::default(),
        )
        .map_err(|LltError::NonPositivePivot { index }| NoFactor::Pivot(index))?;
        let mut factor = Self {
            shape,
            values,
            inverse: Vec::new(),
        };
        factor.inverse = factor.diagonal().map(|(_, pivot)| pivot.recip()).collect();
        match factor.weakest_pivot(matrix) {
            Some((unknown, kept)) if kept.is_nan() || kept < LEAST_PIVOT => Err(NoFactor::Pivot(unknown)),
            _ => Ok(factor),
        }
    }

    /// Number of unknowns.
    pub(crate) fn size(&self) -> usize {
        self.shape.nrows()
    }

    /// Values held, those that amalgamation of supernodes filled with zeros included.
    pub(crate) fn len(&self) -> usize {
        self.values.len()
    }

    /// The diagonal in order, with its unknowns.
    fn diagonal(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        let factor = supernodal::SupernodalLltRef::new(&self.shape, &self.values);
        (0..self.shape.n_supernodes()).flat_map(move |index| {
            let supernode = factor.supernode(index);
            let (start, block) = (supernode.start(), supernode.val());
            (0..block.ncols()).map(move |column| (start + column, block[(column, column)]))
        })
    }

    /// The unknown whose pivot keeps the least part of its diagonal, and that part.
    fn weakest_pivot(&self, matrix: &Lower<'_>) -> Option<(usize, f64)> {
        let mut weakest: Option<(usize, f64)> = None;
        for (unknown, pivot) in self.diagonal() {
            let kept = pivot.powi(2) / matrix.values[matrix.start[unknown] as usize];
            // Written so that a kept part that is not a number is the weakest.
            if !weakest.is_some_and(|(_, least)| kept >= least) {
                weakest = Some((unknown, kept));
            }
        }
        weakest
    }

    /// Solves for several right-hand sides, one after the other in `columns`, in place. Each comes out the same whether
    /// solved alone or with others.
    pub(crate) fn solve_in_place(&self, columns: &mut [f64]) {
        let size = self.size();
        if size == 0 || columns.is_empty() {
            return;
        }
        debug_assert_eq!(columns.len() % size, 0, "whole columns");
        let supernodes: Vec<Supernode<'_>> = (0..self.shape.n_supernodes())
            .map(|index| self.supernode(index))
            .collect();
        sweep::solve_in_place(&supernodes, columns, size);
    }

    fn supernode(&self, index: usize) -> Supernode<'_> {
        let (start, end) = (
            self.shape.supernode_begin()[index] as usize,
            self.shape.supernode_end()[index] as usize,
        );
        let at = self.shape.col_ptr_for_val();
        Supernode {
            start,
            width: end - start,
            below: self.shape.supernode(index).pattern(),
            inverse: &self.inverse[start..end],
            values: &self.values[at[index] as usize..at[index + 1] as usize],
        }
    }
}

impl Factor {
    /// `B^T K^-1 B` for the columns of `B`, by columns: the square of half a solve. Supernodes that no column reaches are
    /// passed over, so columns with a few values near one another cost little.
    pub(crate) fn squared_half_solve(&self, mut columns: Vec<f64>) -> Vec<f64> {
        let size = self.size();
        if size == 0 || columns.is_empty() {
            return Vec::new();
        }
        let count = columns.len() / size;
        let factor = supernodal::SupernodalLltRef::new(&self.shape, &self.values);
        let mut below = Vec::new();
        let mut reached = Vec::new();
        for index in 0..self.shape.n_supernodes() {
            let supernode = factor.supernode(index);
            let (start, pattern, block) = (supernode.start(), supernode.pattern(), supernode.val());
            let width = block.ncols();
            let own = |column: usize| column * size + start..column * size + start + width;
            if (0..count).all(|column| columns[own(column)].iter().all(|&value| value == 0.0)) {
                continue;
            }
            reached.push((start, width));
            let (top, bottom) = block.split_at_row(width);
            let mut all = MatMut::from_column_major_slice_mut(&mut columns, size, count);
            let mut own = all.rb_mut().subrows_mut(start, width);
            solve_lower_triangular_in_place(top, own.rb_mut(), Par::Seq);
            below.resize(pattern.len() * count, 0.0);
            let mut carried = MatMut::from_column_major_slice_mut(&mut below, pattern.len(), count);
            matmul(carried.rb_mut(), Accum::Replace, bottom, own.rb(), 1.0, Par::Seq);
            for (column, carried) in below.chunks_exact(pattern.len().max(1)).enumerate() {
                for (&row, value) in pattern.iter().zip(carried) {
                    columns[column * size + row as usize] -= value;
                }
            }
        }
        let rows: usize = reached.iter().map(|(_, width)| width).sum();
        let mut half = Vec::with_capacity(rows * count);
        for column in columns.chunks_exact(size) {
            for &(start, width) in &reached {
                half.extend_from_slice(&column[start..start + width]);
            }
        }
        let half = MatRef::from_column_major_slice(&half, rows, count);
        let mut square = vec![0.0; count * count];
        matmul(
            MatMut::from_column_major_slice_mut(&mut square, count, count),
            Accum::Replace,
            half.transpose(),
            half,
            1.0,
            Par::Seq,
        );
        square
    }
}

/// Where the factor of a matrix has values.
fn shape(matrix: &Lower<'_>) -> Result<Shape, NoFactor> {
    let size = matrix.start.len() - 1;
    let (start, rows) = upper(matrix);
    let pattern = SymbolicSparseColMatRef::new_checked(size, size, &start, None, &rows);
    let scratch = simplicial::prefactorize_symbolic_cholesky_scratch::<u32>(size, rows.len()).or(
        supernodal::factorize_supernodal_symbolic_cholesky_scratch::<u32>(size),
    );
    let mut memory = MemBuffer::try_new(scratch).map_err(|_| NoFactor::TooLarge)?;
    let stack = MemStack::new(&mut memory);
    let mut tree = vec![0_i32; size];
    let mut counts = vec![0_u32; size];
    let tree = simplicial::prefactorize_symbolic_cholesky(&mut tree, &mut counts, pattern, stack);
    supernodal::factorize_supernodal_symbolic_cholesky(pattern, tree, &counts, stack, Default::default())
        .map_err(|_| NoFactor::TooLarge)
}

/// The same pattern with the upper half by columns.
fn upper(matrix: &Lower<'_>) -> (Vec<u32>, Vec<u32>) {
    let size = matrix.start.len() - 1;
    let mut start = vec![0_u32; size + 1];
    for &row in matrix.rows {
        start[row as usize + 1] += 1;
    }
    for row in 0..size {
        start[row + 1] += start[row];
    }
    let mut next = start.clone();
    let mut rows = vec![0_u32; matrix.rows.len()];
    for (column, ends) in (0..).zip(matrix.start.windows(2)) {
        for &row in &matrix.rows[ends[0] as usize..ends[1] as usize] {
            rows[next[row as usize] as usize] = column;
            next[row as usize] += 1;
        }
    }
    (start, rows)
}

impl Lower<'_> {
    /// `y += scale x (this matrix) x`.
    pub(crate) fn multiply(&self, scale: f64, x: &[f64], y: &mut [f64]) {
        for (column, ends) in self.start.windows(2).enumerate() {
            let (first, last) = (ends[0] as usize, ends[1] as usize);
            let Some((&diagonal, below)) = self.values[first..last].split_first() else {
                continue;
            };
            let own = scale * x[column];
            let mut sum = diagonal * x[column];
            for (&value, &row) in below.iter().zip(&self.rows[first + 1..last]) {
                y[row as usize] += value * own;
                sum += value * x[row as usize];
            }
            y[column] += scale * sum;
        }
    }
}
