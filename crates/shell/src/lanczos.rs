//! The few largest values of a symmetric pencil, through a factor that is there already.
//!
//! For stiffness `K` (positive definite, factored) and any symmetric `B`, `K^-1 B` is symmetric in the product `x^T K y`.
//! Its Krylov space is built by blocks of two and kept orthogonal in that product throughout, and the values on it are
//! taken: block Lanczos with full reorthogonalisation and thick restarts (G. H. Golub, R. Underwood, "The block Lanczos
//! method for computing eigenvalues", Mathematical Software III, 1977, 361-377; K. Wu, H. Simon, SIAM Journal on Matrix
//! Analysis and Applications 22, 2000, 602-616). Two at a time, so that a value that two shapes share is found twice, as
//! parts with a diagonal or round symmetry have them; of values that three or more shapes share, two are certain.
//!
//! Everything runs in one thread in a fixed order from a fixed start, so the same model gives the same bytes.

use std::sync::atomic::{AtomicBool, Ordering};

use nalgebra::{DMatrix, SymmetricEigen};

use crate::factor::{Factor, Lower};

/// `K` and `B`.
pub(crate) struct Pencil<'a> {
    /// `K`, positive definite.
    pub(crate) stiffness: Lower<'a>,
    /// Factor of `K`.
    pub(crate) factor: &'a Factor,
    /// Overwrites its second argument with `B` times its first.
    pub(crate) multiply: &'a dyn Fn(&[f64], &mut [f64]),
    /// Set by whoever no longer wants it.
    pub(crate) stop: &'a AtomicBool,
}

/// A value and its shape: `B x = value K x`, with `x^T K x = 1`.
#[derive(Debug, Clone)]
pub(crate) struct Pair {
    pub(crate) value: f64,
    pub(crate) shape: Vec<f64>,
}

/// Why there are no values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unsettled {
    /// The search went on too long.
    Only {
        /// How many of the values were settled.
        settled: usize,
    },
    /// Nobody wanted them any longer.
    NotWanted,
}

/// When a pair is settled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Near {
    /// Error of a value, as a part of it, that is allowed to stand.
    value: f64,
    /// What is left of `K^-1 B x - value x`, as a part of the value, that is allowed to stand in a shape. The error of the
    /// value goes with its square.
    shape: f64,
}

impl Near {
    /// For values and shapes to be shown.
    pub(crate) const FINE: Near = Near {
        value: 1e-8,
        shape: 1e-4,
    };

    /// For a value alone.
    pub(crate) fn value(within: f64) -> Near {
        Near {
            value: within,
            shape: within.max(0.0).sqrt(),
        }
    }
}

/// Vectors in a block.
const BLOCK: usize = 2;
/// Vectors kept beyond the wanted ones before the space is cut back, as memory allows: a hundred thousand unknowns take
/// 64 MB for 80.
const MOST_BEYOND: usize = 78;
/// Vectors beyond the wanted ones that a cut leaves.
const LEFT_BEYOND: usize = 18;
/// Vectors in all before the search ends. Twenty to forty do for parts, a hundred for long plates whose values crowd.
const MOST: usize = 600;
/// A space of this many vectors that shows no value worth having has none: it holds the largest to a per cent.
const ENOUGH: usize = 24;
/// What remains of a vector below this part of the largest value is rounding.
const ROUNDING: f64 = 1e-13;
/// Passes that make a vector orthogonal; two are enough (W. Kahan and B. N. Parlett, "twice is enough": B. N. Parlett, The
/// Symmetric Eigenvalue Problem, 1980, section 6.9) but for one that is nearly all in the space.
const MOST_PASSES: usize = 4;
/// A value below this part of the largest in size is rounding: the factor carries some twelve digits.
const NOTHING: f64 = 1e-12;

/// The largest values above `worth` (at least 0), at most as many as wanted, falling.
pub(crate) fn largest(
    pencil: &Pencil<'_>,
    wanted: usize,
    worth: f64,
    near: Near,
) -> Result<Vec<Pair>, Unsettled> {
    let size = pencil.factor.size();
    let wanted = wanted.min(size);
    if wanted == 0 {
        return Ok(Vec::new());
    }
    let mut space = Space::new(pencil);
    let mut spent = BLOCK;
    loop {
        if pencil.stop.load(Ordering::Relaxed) {
            return Err(Unsettled::NotWanted);
        }
        space.grow();
        spent += space.fresh;
        let ritz = space.ritz();
        let is_whole = space.fresh == 0;
        let worth = worth.max(NOTHING * ritz.largest_size());
        let (mut settled, mut found) = (0, 0);
        for at in 0..wanted.min(ritz.values.len()) {
            let value = ritz.values[at];
            let known = ritz.values.len() >= ENOUGH.max(wanted + BLOCK) || is_whole;
            if value <= worth {
                settled += usize::from(known);
            } else {
                found += 1;
                settled += usize::from(is_whole || ritz.is_settled(at, near));
            }
        }
        if settled == wanted || is_whole {
            return Ok((0..found)
                .map(|at| Pair {
                    value: ritz.values[at],
                    shape: space.combined(&ritz.vectors, at),
                })
                .collect());
        }
        if spent >= MOST {
            return Err(Unsettled::Only { settled });
        }
        if space.vectors.len() >= wanted + MOST_BEYOND {
            space.cut(&ritz, wanted + LEFT_BEYOND);
        }
    }
}

/// Values on the space, falling, with their shapes over its vectors and what each leaves over.
struct Ritz {
    values: Vec<f64>,
    vectors: DMatrix<f64>,
    left: Vec<f64>,
}

impl Ritz {
    fn largest_size(&self) -> f64 {
        self.values.iter().fold(0.0, |most, value| most.max(value.abs()))
    }

    fn is_settled(&self, at: usize, near: Near) -> bool {
        let (value, left) = (self.values[at], self.left[at]);
        let gap = self
            .values
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != at)
            .map(|(_, other)| (other - value).abs())
            .fold(f64::INFINITY, f64::min);
        // Of the two bounds (Weinstein, Kato and Temple) the closer. Twins have no gap, and fall to the first.
        let error = if gap > 2.0 * left {
            left * (left / gap)
        } else {
            left
        };
        error <= near.value * value && left <= near.shape * value
    }
}

/// An orthonormal basis in the product of `K`, the last block of which has not been multiplied yet.
struct Space<'p> {
    pencil: &'p Pencil<'p>,
    vectors: Vec<Vec<f64>>,
    /// How many of the last vectors are new.
    fresh: usize,
    /// `V^T B V` over the vectors that have been multiplied.
    values: DMatrix<f64>,
    /// Shares of the new vectors (rows) in what the block before them became (columns).
    carried: DMatrix<f64>,
}

impl<'p> Space<'p> {
    /// Two vectors that have a part of everything, smoothed once.
    fn new(pencil: &'p Pencil<'p>) -> Self {
        let size = pencil.factor.size();
        let mut block = vec![0.0; size * BLOCK.min(size)];
        // A linear congruence (D. E. Knuth, The Art of Computer Programming 2, section 3.3.4): the same start for all.
        let mut state = 1_u64;
        let mut start = vec![0.0; size];
        for column in block.chunks_exact_mut(size) {
            for value in &mut start {
                state = state
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1_442_695_040_888_963_407);
                *value = (state >> 11) as f64 / (1_u64 << 53) as f64 - 0.5;
            }
            (pencil.multiply)(&start, column);
        }
        pencil.factor.solve_in_place(&mut block);
        let mut space = Self {
            pencil,
            vectors: Vec::new(),
            fresh: 0,
            values: DMatrix::zeros(0, 0),
            carried: DMatrix::zeros(0, 0),
        };
        space.accept(block, 0.0);
        space
    }

    /// Multiplies the last block and adds what is new in it.
    fn grow(&mut self) {
        let size = self.pencil.factor.size();
        let (count, fresh) = (self.vectors.len(), self.fresh);
        let first = count - fresh;
        let mut block = vec![0.0; size * fresh];
        let mut values = self.values.clone().resize(count, count, 0.0);
        for (at, column) in block.chunks_exact_mut(size.max(1)).enumerate() {
            (self.pencil.multiply)(&self.vectors[first + at], column);
            for (row, vector) in self.vectors.iter().enumerate() {
                let value = dot(vector, column);
                values[(row, first + at)] = value;
                values[(first + at, row)] = value;
            }
        }
        self.pencil.factor.solve_in_place(&mut block);
        for (at, column) in block.chunks_exact_mut(size.max(1)).enumerate() {
            for (row, vector) in self.vectors.iter().enumerate() {
                add(-values[(row, first + at)], vector, column);
            }
        }
        let scale = values.amax();
        self.values = values;
        self.accept(block, scale);
    }

    /// Makes a block orthogonal to the space and within itself, and adds it; what is not new falls away.
    fn accept(&mut self, mut block: Vec<f64>, scale: f64) {
        let size = self.pencil.factor.size();
        let count = self.vectors.len();
        let columns = block.len().checked_div(size).unwrap_or(0);
        let mut carried = DMatrix::zeros(columns, columns);
        self.fresh = 0;
        let mut stiff = vec![0.0; size];
        for (at, column) in block.chunks_exact_mut(size.max(1)).enumerate() {
            // Until a pass takes away no more than half, and so leaves no more than rounding.
            let mut length = f64::INFINITY;
            for _ in 0..MOST_PASSES {
                stiff.fill(0.0);
                self.pencil.stiffness.multiply(1.0, column, &mut stiff);
                let before = dot(column, &stiff);
                let mut after = before;
                for row in 0..self.vectors.len() {
                    let share = dot(&self.vectors[row], &stiff);
                    add(-share, &self.vectors[row], column);
                    after -= share * share;
                    if row >= count {
                        carried[(row - count, at)] += share;
                    }
                }
                length = after.max(0.0).sqrt();
                if length <= ROUNDING * scale || after >= 0.25 * before {
                    break;
                }
            }
            if length > ROUNDING * scale && length > 0.0 {
                carried[(self.fresh, at)] = length;
                self.vectors
                    .push(column.iter().map(|value| value / length).collect());
                self.fresh += 1;
            }
        }
        self.carried = carried.rows(0, self.fresh).into_owned();
    }

    /// Values over the vectors that have been multiplied.
    fn ritz(&self) -> Ritz {
        let count = self.values.nrows();
        let eigen = SymmetricEigen::new(self.values.clone());
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by(|&one, &other| eigen.eigenvalues[other].total_cmp(&eigen.eigenvalues[one]));
        let vectors = DMatrix::from_fn(count, count, |row, column| {
            eigen.eigenvectors[(row, order[column])]
        });
        let block = self.carried.ncols();
        let left = (0..count)
            .map(|at| (&self.carried * vectors.view((count - block, at), (block, 1))).norm())
            .collect();
        Ritz {
            values: order.iter().map(|&at| eigen.eigenvalues[at]).collect(),
            vectors,
            left,
        }
    }

    /// A shape over the vectors, as one over the unknowns.
    fn combined(&self, shapes: &DMatrix<f64>, at: usize) -> Vec<f64> {
        let mut sum = vec![0.0; self.pencil.factor.size()];
        for (vector, &share) in self.vectors.iter().zip(shapes.column(at)) {
            add(share, vector, &mut sum);
        }
        sum
    }

    /// Keeps the shapes of the largest values and the new vectors.
    fn cut(&mut self, ritz: &Ritz, kept: usize) {
        let kept = kept.min(ritz.values.len());
        let mut vectors: Vec<Vec<f64>> = (0..kept).map(|at| self.combined(&ritz.vectors, at)).collect();
        vectors.extend(self.vectors.drain(ritz.values.len()..));
        self.vectors = vectors;
        self.values = DMatrix::from_diagonal(&nalgebra::DVector::from_column_slice(&ritz.values[..kept]));
    }
}

/// In eight running sums, so that a processor can keep them apart; the same everywhere.
fn dot(one: &[f64], other: &[f64]) -> f64 {
    let (ones, ones_left) = one.as_chunks::<8>();
    let (others, others_left) = other.as_chunks::<8>();
    let mut sums = [0.0; 8];
    for (one, other) in ones.iter().zip(others) {
        for (sum, (one, other)) in sums.iter_mut().zip(one.iter().zip(other)) {
            *sum += one * other;
        }
    }
    let left = ones_left.iter().zip(others_left).map(|(one, other)| one * other);
    sums.into_iter().chain(left).sum()
}

fn add(factor: f64, vector: &[f64], to: &mut [f64]) {
    for (value, own) in to.iter_mut().zip(vector) {
        *value += factor * own;
    }
}
