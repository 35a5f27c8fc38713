//! At how many times a load the part buckles.

use nalgebra::Vector6;
use thiserror::Error;

use crate::{
    Dof, Frame, PanelForces, Prepared, Solution,
    factor::{Factor, Lower, NoFactor},
    forces_in, geometric,
    lanczos::{self, Near, Pencil, Unsettled},
    load::by_node,
};

/// A way in which the part buckles.
#[derive(Debug, Clone, PartialEq)]
pub struct Buckling {
    /// How many times the load it takes; above 0.
    pub factor: f64,
    /// Movement and turn of every node as it buckles, in global axes: the largest movement is 1 mm, its largest component
    /// positive.
    pub shape: Vec<Vector6<f64>>,
}

/// Why there are no buckling factors or frequencies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum EigenError {
    /// Nobody wanted it any longer: see [`crate::prepare_while`].
    #[error("nobody wanted it any longer")]
    NotWanted,
    /// The solution is one of another model.
    #[error("the solution has {moves} nodes and {seats} seats; the model has others")]
    OtherModel {
        /// Nodes of the solution.
        moves: usize,
        /// Seats of the solution.
        seats: usize,
    },
    /// The seats that carry, or the load that stays, leave something without resistance.
    #[error("node {} gives way ({:?}): the seats that carry do not hold it, or the load that stays buckles it", .dof.node, .dof.axis)]
    GivesWay {
        /// An unknown that nothing resists.
        dof: Dof,
    },
    /// Nothing has mass.
    #[error("nothing that moves has mass")]
    NoMass,
    /// The values did not settle to a part of 1e-8 within the steps allowed.
    #[error("only {settled} of {wanted} values settled")]
    NotSettled {
        /// How many did.
        settled: usize,
        /// How many were wanted.
        wanted: usize,
    },
    /// The factor does not fit into memory.
    #[error("{unknowns} unknowns are too many for the memory there is")]
    TooLarge {
        /// Number of unknowns.
        unknowns: usize,
    },
}

/// A factor at which the plate would strain by more than this (100 %), were it elastic, is no buckling.
const MOST_STRAIN: f64 = 1.0;

/// Stiffness with only some seats closed, or with what a load adds, and its factor.
pub(crate) struct Changed {
    values: Vec<f64>,
    factor: Factor,
}

impl Prepared<'_> {
    /// The lowest factors by which a solved load can grow until the part buckles, at most as many as wanted, rising. Empty
    /// when nothing buckles: when the forces only pull, or the plate would have to strain by more than 100 % first.
    ///
    /// Linear buckling, `(K + factor x K_g) shape = 0`: forces grow in proportion and nothing moves much before. `K_g` is
    /// made from the membrane forces with the turns of the discrete Kirchhoff triangle. The load keeps its direction. Seats
    /// that carry in the solution are held as springs both ways, the others are gone; with all of them carrying, the
    /// factor of the stiffness that is there serves, else the stiffness is factored once more.
    ///
    /// Everything in the solution is multiplied, preload and weight too; see [`Self::buckling_beside`].
    ///
    /// # Errors
    /// When the solution is not one of this model, or the values do not settle.
    pub fn buckling(&self, solution: &Solution, how_many: usize) -> Result<Vec<Buckling>, EigenError> {
        self.belongs(solution)?;
        let live = self.plate_forces(solution);
        let changed = self.with_seats(solution, None)?;
        self.factors(changed.as_ref(), &live, how_many, Near::FINE)
    }

    /// The lowest of the factors of [`Self::buckling`] without its shape, to within a share of it (1e-4, say): quicker. Takes
    /// what the triangles carry in the solution, as [`crate::forces`] tells it. None when nothing buckles.
    ///
    /// # Errors
    /// As [`Self::buckling`].
    pub fn buckles_at(
        &self,
        solution: &Solution,
        forces: &[PanelForces],
        within: f64,
    ) -> Result<Option<f64>, EigenError> {
        self.belongs(solution)?;
        let changed = self.with_seats(solution, None)?;
        let found = self.factors(changed.as_ref(), forces, 1, Near::value(within))?;
        Ok(found.first().map(|buckling| buckling.factor))
    }

    /// As [`Self::buckling`], with a load that stays as it is (weight, preload) beside the one that grows. Which seats carry
    /// is taken from the one that stays. Costs one more factorisation.
    ///
    /// # Errors
    /// Also when the load that stays buckles the part by itself.
    pub fn buckling_beside(
        &self,
        stays: &Solution,
        grows: &Solution,
        how_many: usize,
    ) -> Result<Vec<Buckling>, EigenError> {
        self.belongs(stays)?;
        self.belongs(grows)?;
        let added = self.geometric(&self.plate_forces(stays));
        let changed = self.with_seats(stays, Some(&added))?;
        self.factors(changed.as_ref(), &self.plate_forces(grows), how_many, Near::FINE)
    }

    pub(crate) fn belongs(&self, solution: &Solution) -> Result<(), EigenError> {
        if self.is_stopped() {
            return Err(EigenError::NotWanted);
        }
        let (moves, seats) = (solution.moves.len(), solution.seats_n.len());
        if moves == self.model.mesh.nodes.len() && seats == self.model.seats.len() {
            Ok(())
        } else {
            Err(EigenError::OtherModel { moves, seats })
        }
    }

    fn plate_forces(&self, solution: &Solution) -> Vec<PanelForces> {
        let mesh = &self.model.mesh;
        let frames: Vec<Frame> = (0..mesh.triangles.len())
            .map(|triangle| Frame::along_edge(&mesh.corners(triangle)))
            .collect();
        forces_in(mesh, &frames, &solution.moves)
    }

    fn geometric(&self, forces: &[PanelForces]) -> Vec<f64> {
        geometric::assembled(&self.model, &self.pattern, &self.reduction, forces)
    }

    /// The stiffness with open seats gone and something added, factored; none when it is the one there is.
    pub(crate) fn with_seats(
        &self,
        solution: &Solution,
        added: Option<&[f64]>,
    ) -> Result<Option<Changed>, EigenError> {
        if added.is_none() && solution.seats_n.iter().all(|&push| push > 0.0) {
            return Ok(None);
        }
        let mut values = self.stiffness.clone();
        for (seat, &push) in self.model.seats.iter().zip(&solution.seats_n) {
            if push <= 0.0 {
                let gone = -seat.stiffness();
                self.pattern
                    .add_reduced(&mut values, &self.reduction, &[seat.node], gone.as_slice());
            }
        }
        for (value, added) in values.iter_mut().zip(added.into_iter().flatten()) {
            *value += added;
        }
        let factor = self
            .factor
            .again(&self.pattern.with(&values))
            .map_err(|error| match error {
                NoFactor::Pivot(unknown) => EigenError::GivesWay {
                    dof: Dof::at(self.pattern.place(unknown)),
                },
                NoFactor::TooLarge => EigenError::TooLarge {
                    unknowns: self.unknowns(),
                },
            })?;
        Ok(Some(Changed { values, factor }))
    }

    /// The stiffness and its factor, changed or not.
    pub(crate) fn stiffness_of<'a>(&'a self, changed: Option<&'a Changed>) -> (Lower<'a>, &'a Factor) {
        match changed {
            Some(changed) => (self.pattern.with(&changed.values), &changed.factor),
            None => (self.operator(), &self.factor),
        }
    }

    fn factors(
        &self,
        changed: Option<&Changed>,
        forces: &[PanelForces],
        how_many: usize,
        near: Near,
    ) -> Result<Vec<Buckling>, EigenError> {
        let strain = geometric::largest_strain(&self.model.mesh, forces);
        if strain == 0.0 || how_many == 0 {
            return Ok(Vec::new());
        }
        let geometric = self.geometric(forces);
        let geometric = self.pattern.with(&geometric);
        let (stiffness, factor) = self.stiffness_of(changed);
        let pencil = Pencil {
            stiffness,
            factor,
            stop: &self.stop,
            multiply: &|x, y| {
                y.fill(0.0);
                geometric.multiply(-1.0, x, y);
            },
        };
        let pairs = lanczos::largest(&pencil, how_many, strain / MOST_STRAIN, near)
            .map_err(|unsettled| unsettled.into_error(how_many))?;
        Ok(pairs
            .into_iter()
            .map(|pair| Buckling {
                factor: pair.value.recip(),
                shape: self.shape(&pair.shape),
            })
            .collect())
    }

    /// A shape over the free unknowns as one over all nodes, scaled as [`Buckling::shape`] says. One that only turns is
    /// scaled by its turns.
    pub(crate) fn shape(&self, free: &[f64]) -> Vec<Vector6<f64>> {
        let mut shape = by_node(&self.reduction.expand_change(free));
        let largest = |first: usize| {
            shape.iter().fold((0.0_f64, 0.0), |(most, component), node| {
                let part = node.fixed_rows::<3>(first);
                let size = part.norm();
                if size > most {
                    (size, part[part.iamax()])
                } else {
                    (most, component)
                }
            })
        };
        let (size, component) = match largest(0) {
            (0.0, _) => largest(3),
            moved => moved,
        };
        if size > 0.0 {
            let scale = component.signum() / size;
            for node in &mut shape {
                *node *= scale;
            }
        }
        shape
    }
}

impl Unsettled {
    pub(crate) fn into_error(self, wanted: usize) -> EigenError {
        match self {
            Unsettled::NotWanted => EigenError::NotWanted,
            Unsettled::Only { settled } => EigenError::NotSettled { settled, wanted },
        }
    }
}
