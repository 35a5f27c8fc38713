//! Elastic links, in their own axes and in global ones.

use nalgebra::{Matrix6, SMatrix, SymmetricEigen, Vector6};

use crate::Spring;

/// A matrix over the twelve unknowns of two nodes.
pub(crate) type Matrix12 = SMatrix<f64, 12, 12>;

/// How far a stiffness may be from symmetric, or below zero, as a part of its largest value: rounding of whoever made it.
const ROUNDING: f64 = 1e-9;

/// Values of a stiffness below this part of the largest of their kind come from turning the axes and are none.
const TURNED_ZERO: f64 = 1e-15;

impl Spring {
    /// A force or movement in the spring's axes, in global ones.
    pub(crate) fn to_global(&self, own: &Vector6<f64>) -> Vector6<f64> {
        let mut global = Vector6::zeros();
        global
            .fixed_rows_mut::<3>(0)
            .copy_from(&(self.axes * own.fixed_rows::<3>(0)));
        global
            .fixed_rows_mut::<3>(3)
            .copy_from(&(self.axes * own.fixed_rows::<3>(3)));
        global
    }

    /// A force or movement in global axes, in the spring's.
    pub(crate) fn to_own(&self, global: &Vector6<f64>) -> Vector6<f64> {
        let mut own = Vector6::zeros();
        own.fixed_rows_mut::<3>(0)
            .copy_from(&(self.axes.inverse() * global.fixed_rows::<3>(0)));
        own.fixed_rows_mut::<3>(3)
            .copy_from(&(self.axes.inverse() * global.fixed_rows::<3>(3)));
        own
    }

    /// Movement of `from` against `to`, in global axes.
    pub(crate) fn stretch(&self, moves: &[Vector6<f64>]) -> Vector6<f64> {
        moves[self.from as usize] - self.to.map_or_else(Vector6::zeros, |to| moves[to as usize])
    }

    /// Stiffness in global axes.
    pub(crate) fn global_stiffness(&self) -> Matrix6<f64> {
        let turn = self.axes.matrix();
        let mut global = Matrix6::zeros();
        for row in [0, 3] {
            for column in [0, 3] {
                let block = turn * self.stiffness.fixed_view::<3, 3>(row, column) * turn.transpose();
                let least = TURNED_ZERO * block.amax();
                global
                    .fixed_view_mut::<3, 3>(row, column)
                    .copy_from(&block.map(|value| if value.abs() <= least { 0.0 } else { value }));
            }
        }
        global
    }

    /// Stiffness between two nodes, in global axes: `from` first.
    pub(crate) fn between(&self) -> Matrix12 {
        let own = self.global_stiffness();
        let mut both = Matrix12::zeros();
        both.fixed_view_mut::<6, 6>(0, 0).copy_from(&own);
        both.fixed_view_mut::<6, 6>(6, 6).copy_from(&own);
        both.fixed_view_mut::<6, 6>(0, 6).copy_from(&-own);
        both.fixed_view_mut::<6, 6>(6, 0).copy_from(&-own);
        both
    }

    /// Whether the stiffness is symmetric, finite and nowhere negative.
    pub(crate) fn is_valid(&self) -> bool {
        if !self.stiffness.iter().all(|value| value.is_finite()) {
            return false;
        }
        // Movements and turns are of different size: compare after scaling by the diagonal.
        let scale = self
            .stiffness
            .diagonal()
            .map(|value| if value > 0.0 { value.sqrt().recip() } else { 1.0 });
        let scaled = Matrix6::from_diagonal(&scale) * self.stiffness * Matrix6::from_diagonal(&scale);
        let most = ROUNDING * scaled.amax();
        (scaled - scaled.transpose()).amax() <= most
            && SymmetricEigen::new(0.5 * (scaled + scaled.transpose()))
                .eigenvalues
                .min()
                >= -most
    }
}
