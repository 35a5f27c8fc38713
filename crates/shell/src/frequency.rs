//! How the part swings by itself.

use std::f64::consts::TAU;

use nalgebra::Vector6;

use crate::{
    EigenError, Prepared, Solution,
    buckling::Changed,
    lanczos::{self, Near, Pencil},
    load::flat,
    mass,
};

/// A way in which the part swings.
#[derive(Debug, Clone, PartialEq)]
pub struct Mode {
    /// Swings a second.
    pub hz: f64,
    /// Movement and turn of every node at the turning point, in global axes: the largest movement is 1 mm, its largest
    /// component positive.
    pub shape: Vec<Vector6<f64>>,
}

impl Prepared<'_> {
    /// The lowest frequencies of the unloaded part, at most as many as wanted, rising. Every seat is closed and holds both
    /// ways; see [`Self::frequencies_seated`]. There are no more than there are unknowns that move mass.
    ///
    /// Masses are lumped at the nodes, lumps of the model added. Units must be consistent for the frequency to be in Hz:
    /// N, mm, t.
    ///
    /// # Errors
    /// When nothing has mass, or the values do not settle.
    pub fn frequencies(&self, how_many: usize) -> Result<Vec<Mode>, EigenError> {
        self.modes(None, how_many, Near::FINE)
    }

    /// As [`Self::frequencies`], with only those seats that carry in a solution. What the load's forces add to the
    /// stiffness is left out. Costs one more factorisation when a seat is open.
    ///
    /// # Errors
    /// Also when the solution is not one of this model, or the seats that carry do not hold the part.
    pub fn frequencies_seated(&self, solution: &Solution, how_many: usize) -> Result<Vec<Mode>, EigenError> {
        self.belongs(solution)?;
        let changed = self.with_seats(solution, None)?;
        self.modes(changed.as_ref(), how_many, Near::FINE)
    }

    /// The lowest of the frequencies of [`Self::frequencies_seated`], Hz, without its shape, to within a share of it:
    /// quicker. None when nothing swings.
    ///
    /// # Errors
    /// As [`Self::frequencies_seated`].
    pub fn first_hz(&self, solution: &Solution, within: f64) -> Result<Option<f64>, EigenError> {
        self.belongs(solution)?;
        let changed = self.with_seats(solution, None)?;
        // A frequency goes with the root of the value.
        let modes = self.modes(changed.as_ref(), 1, Near::value(2.0 * within))?;
        Ok(modes.first().map(|mode| mode.hz))
    }

    fn modes(&self, changed: Option<&Changed>, how_many: usize, near: Near) -> Result<Vec<Mode>, EigenError> {
        let masses = flat(&mass::at_nodes(&self.model));
        // Through the ties and back: masses far apart may hang on one another, which the pattern of the stiffness need not
        // have a place for.
        let multiply = |x: &[f64], y: &mut [f64]| {
            let mut all = self.reduction.expand_change(x);
            for (value, mass) in all.iter_mut().zip(&masses) {
                *value *= mass;
            }
            y.fill(0.0);
            // What takes no part does not move, whatever its mass.
            let _ = self.reduction.restrict(&all, y);
            for &unknown in &self.slack {
                y[unknown as usize] = 0.0;
            }
        };
        let mut moved = vec![0.0; self.unknowns()];
        multiply(&vec![1.0; self.unknowns()], &mut moved);
        if moved.iter().all(|&force| force == 0.0) {
            return Err(EigenError::NoMass);
        }
        let (stiffness, factor) = self.stiffness_of(changed);
        let pencil = Pencil {
            stiffness,
            factor,
            stop: &self.stop,
            multiply: &multiply,
        };
        let pairs = lanczos::largest(&pencil, how_many, 0.0, near)
            .map_err(|unsettled| unsettled.into_error(how_many))?;
        Ok(pairs
            .into_iter()
            .map(|pair| Mode {
                hz: pair.value.sqrt().recip() / TAU,
                shape: self.shape(&pair.shape),
            })
            .collect())
    }
}
