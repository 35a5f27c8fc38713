//! A model made ready: what is tied removed, the rest assembled and factored once for many loads.

use std::borrow::Cow;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock};

use nalgebra::{DMatrix, Vector6};
use rayon::prelude::*;
use thiserror::Error;

use crate::{
    Dof, MeshError, Model, PER_NODE, TieError,
    assemble::{Items, Pattern},
    element::{self, Matrix18},
    factor::{Factor, Lower, NoFactor},
    free::{self, Free},
    load::{by_node, flat},
    reduce::Reduction,
    seat::Seats,
};

/// Why a model cannot be made ready.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PrepareError {
    /// Nobody wanted it any longer: see [`crate::prepare_while`].
    #[error("nobody wanted it any longer")]
    NotWanted,
    /// The mesh cannot be worked with.
    #[error(transparent)]
    Mesh(#[from] MeshError),
    /// The ties cannot be followed.
    #[error(transparent)]
    Tie(#[from] TieError),
    /// A spring at a node that is not there, from a node to itself, or with a stiffness that is not symmetric or is
    /// negative.
    #[error("spring {spring} is at a node that is not there, or its stiffness is not one")]
    Spring {
        /// The spring.
        spring: u32,
    },
    /// A seat at a node that is not there, with a push that is no unit direction, a stiffness not above 0 or a gap
    /// below 0.
    #[error("seat {seat} is at a node that is not there, or its push, stiffness or gap is out of range")]
    Seat {
        /// The seat.
        seat: u32,
    },
    /// A lump of mass at a node that is not there, or below 0.
    #[error("mass {mass} is at a node that is not there, or below 0")]
    Mass {
        /// The mass.
        mass: u32,
    },
    /// The model, or a part of it, can move without resistance even with every seat closed.
    #[error(transparent)]
    Free(#[from] Free),
    /// Something turns or moves without resistance although no part is free as a rigid body: the mesh has a hinge there.
    #[error("node {} gives way without resistance ({:?})", .dof.node, .dof.axis)]
    GivesWay {
        /// The unknown that nothing resists.
        dof: Dof,
    },
    /// The factor does not fit into memory.
    #[error("{unknowns} unknowns are too many for the memory there is")]
    TooLarge {
        /// Number of unknowns.
        unknowns: usize,
    },
}

/// How far a seat's push may be from length 1: rounding of a normalised direction.
const UNIT: f64 = 1e-6;

/// A model that is ready to be loaded.
#[derive(Debug)]
pub struct Prepared<'m> {
    pub(crate) model: Cow<'m, Model>,
    pub(crate) reduction: Reduction,
    pub(crate) pattern: Pattern,
    /// Stiffness over the free unknowns, with every seat closed.
    pub(crate) stiffness: Vec<f64>,
    pub(crate) factor: Factor,
    /// Forces on the free unknowns that the offsets of ties cause.
    pub(crate) from_offsets: Vec<f64>,
    /// Free unknowns that nothing stiff acts on: they stay where they are, and must not be loaded.
    pub(crate) slack: Vec<u32>,
    pub(crate) seats: Seats,
    /// Compliance at the seats, worked out when first asked for.
    pub(crate) compliance: OnceLock<DMatrix<f64>>,
    /// Triangles and springs that touch a tied unknown.
    pub(crate) touching_ties: Touching,
    /// Set by whoever no longer wants what is asked of it.
    pub(crate) stop: Arc<AtomicBool>,
}

/// Indices of triangles and springs.
#[derive(Debug, Clone, Default)]
pub(crate) struct Touching {
    triangles: Vec<u32>,
    springs: Vec<u32>,
}

/// Makes a model ready.
///
/// A node that nothing touches (no triangle, spring or seat, directly or through ties) takes no part: it stays where it is
/// and must not be loaded.
///
/// # Errors
/// When something in the model is out of range, or a part of it is free to move.
pub fn prepare(model: &Model) -> Result<Prepared<'_>, PrepareError> {
    made_ready(Cow::Borrowed(model), &Arc::default())
}

/// As [`prepare`], of a model that goes with it: for one that is handed on.
///
/// # Errors
/// As [`prepare`].
pub fn prepare_owned(model: Model) -> Result<Prepared<'static>, PrepareError> {
    made_ready(Cow::Owned(model), &Arc::default())
}

/// As [`prepare_owned`], until `stop` is set by whoever no longer wants it: it is looked at between the steps, and so it is in
/// all that is asked of the model afterwards. The longest step is the factor.
///
/// # Errors
/// [`PrepareError::NotWanted`] once it was set; else as [`prepare`].
pub fn prepare_while(model: Model, stop: &Arc<AtomicBool>) -> Result<Prepared<'static>, PrepareError> {
    made_ready(Cow::Owned(model), stop)
}

pub(crate) fn made_ready<'m>(
    own: Cow<'m, Model>,
    stop: &Arc<AtomicBool>,
) -> Result<Prepared<'m>, PrepareError> {
    let wanted = || match stop.load(Ordering::Relaxed) {
        true => Err(PrepareError::NotWanted),
        false => Ok(()),
    };
    let model = own.as_ref();
    model.mesh.check()?;
    check(model)?;
    let mut reduction = Reduction::new(model.mesh.nodes.len(), &model.ties)?;
    free::find(model, &reduction)?;
    wanted()?;
    let too_large = PrepareError::TooLarge {
        unknowns: model.mesh.nodes.len() * PER_NODE,
    };
    let pattern = lay_out(model, &mut reduction).ok_or(too_large.clone())?;

    wanted()?;
    let mut stiffness = pattern.zeros();
    add_triangles(model, &pattern, &reduction, &mut stiffness, |triangle| {
        element::stiffness(&model.mesh.corners(triangle), model.mesh.section(triangle))
    });
    for spring in &model.springs {
        match spring.to {
            Some(to) => {
                let nodes = [spring.from, to];
                pattern.add_reduced(&mut stiffness, &reduction, &nodes, spring.between().as_slice());
            }
            None => {
                let own = spring.global_stiffness();
                pattern.add_reduced(&mut stiffness, &reduction, &[spring.from], own.as_slice());
            }
        }
    }
    for seat in &model.seats {
        pattern.add_reduced(
            &mut stiffness,
            &reduction,
            &[seat.node],
            seat.stiffness().as_slice(),
        );
    }
    let slack = hold_slack(&pattern, &mut stiffness);
    wanted()?;
    let factor = Factor::new(&pattern.with(&stiffness)).map_err(|error| match error {
        NoFactor::Pivot(unknown) => PrepareError::GivesWay {
            dof: Dof::at(pattern.place(unknown)),
        },
        NoFactor::TooLarge => too_large,
    })?;
    let touching_ties = Touching::new(model, |place| reduction.is_tied(place));
    let mut prepared = Prepared {
        from_offsets: vec![0.0; pattern.unknowns()],
        seats: Seats::new(&model.seats, &reduction),
        model: own,
        compliance: OnceLock::new(),
        reduction,
        pattern,
        stiffness,
        factor,
        slack,
        touching_ties,
        stop: Arc::clone(stop),
    };
    if prepared.reduction.has_offsets {
        prepared.from_offsets = prepared.forces_from_offsets();
    }
    Ok(prepared)
}

/// Where the stiffness of a model has values. `None` when memory runs out.
pub(crate) fn lay_out(model: &Model, reduction: &mut Reduction) -> Option<Pattern> {
    let items = Items {
        count: model.mesh.triangles.len() + model.springs.len() + model.seats.len(),
        nodes_of: &|item, call| for_nodes(model, item, call),
    };
    Pattern::new(&items, reduction)
}

/// Whether springs, seats and masses are in range.
fn check(model: &Model) -> Result<(), PrepareError> {
    let there = |node: u32| (node as usize) < model.mesh.nodes.len();
    for (index, spring) in (0..).zip(&model.springs) {
        let other = spring.to.is_none_or(|to| there(to) && to != spring.from);
        if !(there(spring.from) && other && spring.is_valid()) {
            return Err(PrepareError::Spring { spring: index });
        }
    }
    for (index, seat) in (0..).zip(&model.seats) {
        let positive = seat.stiffness_n_mm.is_finite() && seat.stiffness_n_mm > 0.0;
        let unit = (seat.push.norm() - 1.0).abs() <= UNIT;
        let gap = seat.gap_mm.is_finite();
        if !(there(seat.node) && positive && unit && gap) {
            return Err(PrepareError::Seat { seat: index });
        }
    }
    for (index, mass) in (0..).zip(&model.masses) {
        if !(there(mass.node) && mass.mass_t.is_finite() && mass.mass_t >= 0.0) {
            return Err(PrepareError::Mass { mass: index });
        }
    }
    Ok(())
}

/// Everything stiff, by its nodes: triangles, springs, seats.
fn for_nodes(model: &Model, item: usize, call: &mut dyn FnMut(u32)) {
    let (triangles, springs) = (model.mesh.triangles.len(), model.springs.len());
    if item < triangles {
        model.mesh.triangles[item].into_iter().for_each(call);
    } else if item < triangles + springs {
        let spring = &model.springs[item - triangles];
        std::iter::once(spring.from).chain(spring.to).for_each(call);
    } else {
        call(model.seats[item - triangles - springs].node);
    }
}

/// Triangles whose matrices are worked out side by side before they are added: 2.5 kB each.
const AT_ONCE: usize = 1024;

/// Adds a matrix for each triangle. They are worked out side by side and added one after the other in their order, so that
/// the bytes do not hang on the number of threads.
pub(crate) fn add_triangles(
    model: &Model,
    pattern: &Pattern,
    reduction: &Reduction,
    values: &mut [f64],
    of: impl Fn(usize) -> Matrix18 + Sync,
) {
    let mut matrices = Vec::new();
    let mut first = 0;
    for nodes in model.mesh.triangles.chunks(AT_ONCE) {
        (first..first + nodes.len())
            .into_par_iter()
            .map(&of)
            .collect_into_vec(&mut matrices);
        for (nodes, matrix) in nodes.iter().zip(&matrices) {
            pattern.add_reduced(values, reduction, nodes, matrix.as_slice());
        }
        first += nodes.len();
    }
}

/// Gives free unknowns without any stiffness one of 1, so that they stay where they are. Returns them.
pub(crate) fn hold_slack(pattern: &Pattern, stiffness: &mut [f64]) -> Vec<u32> {
    (0..pattern.unknowns())
        .filter(|&unknown| {
            let own = &mut stiffness[pattern.diagonal(unknown)];
            let slack = *own == 0.0;
            if slack {
                *own = 1.0;
            }
            slack
        })
        .map(|unknown| unknown as u32)
        .collect()
}

impl Touching {
    /// Every triangle and spring.
    pub(crate) fn all(model: &Model) -> Self {
        Self {
            triangles: (0..).take(model.mesh.triangles.len()).collect(),
            springs: (0..).take(model.springs.len()).collect(),
        }
    }

    fn new(model: &Model, is_wanted: impl Fn(usize) -> bool) -> Self {
        let wanted = |node: &u32| (0..PER_NODE).any(|axis| is_wanted(*node as usize * PER_NODE + axis));
        let numbered = |(index, found): (u32, bool)| found.then_some(index);
        Self {
            triangles: (0..)
                .zip(model.mesh.triangles.iter().map(|nodes| nodes.iter().any(wanted)))
                .filter_map(numbered)
                .collect(),
            springs: (0..)
                .zip(
                    model
                        .springs
                        .iter()
                        .map(|spring| wanted(&spring.from) || spring.to.as_ref().is_some_and(wanted)),
                )
                .filter_map(numbered)
                .collect(),
        }
    }
}

impl Prepared<'_> {
    /// Whether nobody wants anything of it any longer.
    pub(crate) fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// Number of free unknowns that are solved for.
    #[must_use]
    pub fn unknowns(&self) -> usize {
        self.pattern.unknowns()
    }

    /// Values held in the factor.
    #[must_use]
    pub fn factor_values(&self) -> usize {
        self.factor.len()
    }

    /// The stiffness over the free unknowns, with every seat closed.
    pub(crate) fn operator(&self) -> Lower<'_> {
        self.pattern.with(&self.stiffness)
    }

    /// Forces that triangles and springs among `touching` put up against moves of all nodes: `K u`.
    pub(crate) fn resistance(&self, touching: &Touching, moves: &[f64]) -> Vec<f64> {
        let model = self.model.as_ref();
        let nodes = by_node(moves);
        let mut forces = vec![Vector6::zeros(); nodes.len()];
        for &triangle in &touching.triangles {
            let triangle = triangle as usize;
            let own = element::gathered(&model.mesh, triangle, &nodes);
            let (corners, section) = (model.mesh.corners(triangle), model.mesh.section(triangle));
            let force = element::resistance(&corners, section, &own);
            for (corner, &node) in model.mesh.triangles[triangle].iter().enumerate() {
                forces[node as usize] += force.fixed_rows::<6>(6 * corner);
            }
        }
        for &index in &touching.springs {
            let spring = &model.springs[index as usize];
            let force = spring.global_stiffness() * spring.stretch(&nodes);
            forces[spring.from as usize] += force;
            if let Some(to) = spring.to {
                forces[to as usize] -= force;
            }
        }
        flat(&forces)
    }

    /// `-T^T K g`, with every seat closed.
    fn forces_from_offsets(&self) -> Vec<f64> {
        let touching = Touching::new(&self.model, |place| self.reduction.offset[place] != 0.0);
        let mut forces = self.resistance(&touching, &self.reduction.offset);
        for seat in &self.model.seats {
            let first = seat.node as usize * PER_NODE;
            let moved: f64 = (0..3)
                .map(|axis| seat.push[axis] * self.reduction.offset[first + axis])
                .sum();
            for axis in 0..3 {
                forces[first + axis] += seat.stiffness_n_mm * moved * seat.push[axis];
            }
        }
        for force in &mut forces {
            *force = -*force;
        }
        let mut free = vec![0.0; self.unknowns()];
        // What takes no part has no stiffness, so nothing can act on it here.
        let _ = self.reduction.restrict(&forces, &mut free);
        free
    }
}
