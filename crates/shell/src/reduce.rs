//! Exact elimination of what is tied: every unknown of every node as a sum of free ones, `u = T q + g`.

use thiserror::Error;

use crate::{Dof, PER_NODE, Tie};

/// Why ties cannot be followed.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum TieError {
    /// A tie names a node that is not there.
    #[error("a tie names node {}, which is not there", .dof.node)]
    NoNode {
        /// The unknown.
        dof: Dof,
    },
    /// An offset or a share is not a number.
    #[error("the tie of node {} has an offset or a share that is not a finite number", .dof.node)]
    NotFinite {
        /// The unknown that is tied.
        dof: Dof,
    },
    /// An unknown is tied more than once.
    #[error("node {} is tied twice in the same direction ({:?})", .dof.node, .dof.axis)]
    Twice {
        /// The unknown.
        dof: Dof,
    },
    /// An unknown follows itself through others.
    #[error("node {} follows itself in a circle ({:?})", .dof.node, .dof.axis)]
    Circle {
        /// An unknown of the circle.
        dof: Dof,
    },
}

/// Marks an unknown that no tie holds.
const UNTIED: u32 = u32::MAX;
/// Marks an unknown that takes no part: nothing stiff touches it.
pub(crate) const LOOSE: u32 = u32::MAX;

/// All unknowns of all nodes in terms of the free ones.
#[derive(Debug, Clone)]
pub(crate) struct Reduction {
    /// For each unknown where its terms start; one more at the end.
    start: Vec<u32>,
    /// Free unknowns and their shares. Until they are numbered, by place in the nodes.
    terms: Vec<(u32, f64)>,
    /// Added to each unknown.
    pub(crate) offset: Vec<f64>,
    /// For each unknown the tie that holds it, or [`UNTIED`].
    tie_of: Vec<u32>,
    /// Ties, each after those of the unknowns it follows.
    followed_first: Vec<u32>,
    /// Whether any offset is not zero.
    pub(crate) has_offsets: bool,
}

impl Reduction {
    /// Resolves ties over the unknowns of a number of nodes. Terms are by place in the nodes until [`Self::number`].
    pub(crate) fn new(nodes: usize, ties: &[Tie]) -> Result<Self, TieError> {
        let unknowns = nodes * PER_NODE;
        let mut tie_of = vec![UNTIED; unknowns];
        for (index, tie) in (0..).zip(ties) {
            for &(dof, _) in [(tie.dof, 0.0)].iter().chain(&tie.follows) {
                if dof.node as usize >= nodes {
                    return Err(TieError::NoNode { dof });
                }
            }
            if !tie.offset.is_finite() || tie.follows.iter().any(|(_, share)| !share.is_finite()) {
                return Err(TieError::NotFinite { dof: tie.dof });
            }
            let own = &mut tie_of[tie.dof.index()];
            if *own != UNTIED {
                return Err(TieError::Twice { dof: tie.dof });
            }
            *own = index;
        }
        let followed_first = followed_first(ties, &tie_of)?;

        let mut resolved: Vec<(Vec<(u32, f64)>, f64)> = vec![Default::default(); ties.len()];
        for &index in &followed_first {
            let tie = &ties[index as usize];
            let mut terms = Vec::with_capacity(tie.follows.len());
            let mut offset = tie.offset;
            for &(dof, share) in &tie.follows {
                match tie_of[dof.index()] {
                    UNTIED => terms.push((dof.index() as u32, share)),
                    followed => {
                        let (further, further_offset) = &resolved[followed as usize];
                        terms.extend(further.iter().map(|&(free, further)| (free, share * further)));
                        offset += share * further_offset;
                    }
                }
            }
            // Stable, so that equal terms are summed in the order of the ties.
            terms.sort_by_key(|&(free, _)| free);
            terms.dedup_by(|next, kept| {
                let same = next.0 == kept.0;
                if same {
                    kept.1 += next.1;
                }
                same
            });
            terms.retain(|&(_, share)| share != 0.0);
            resolved[index as usize] = (terms, offset);
        }

        let mut start = Vec::with_capacity(unknowns + 1);
        let mut terms = Vec::with_capacity(unknowns);
        let mut offset = vec![0.0; unknowns];
        start.push(0);
        for unknown in 0..unknowns {
            match tie_of[unknown] {
                UNTIED => terms.push((unknown as u32, 1.0)),
                tie => {
                    let (own, own_offset) = &resolved[tie as usize];
                    terms.extend_from_slice(own);
                    offset[unknown] = *own_offset;
                }
            }
            start.push(terms.len() as u32);
        }
        let has_offsets = offset.iter().any(|&offset| offset != 0.0);
        Ok(Self {
            start,
            terms,
            offset,
            tie_of,
            followed_first,
            has_offsets,
        })
    }

    /// What an unknown is the sum of.
    pub(crate) fn terms(&self, unknown: usize) -> &[(u32, f64)] {
        &self.terms[self.start[unknown] as usize..self.start[unknown + 1] as usize]
    }

    /// Whether a tie holds an unknown.
    pub(crate) fn is_tied(&self, unknown: usize) -> bool {
        self.tie_of[unknown] != UNTIED
    }

    /// Replaces places in the nodes by numbers of free unknowns; [`LOOSE`] takes no part.
    pub(crate) fn number(&mut self, number_of: &[u32]) {
        for (free, _) in &mut self.terms {
            *free = number_of[*free as usize];
        }
    }

    /// All unknowns from the free ones: `T q + g`.
    pub(crate) fn expand(&self, free: &[f64]) -> Vec<f64> {
        let mut all = self.expand_change(free);
        if self.has_offsets {
            for (value, offset) in all.iter_mut().zip(&self.offset) {
                *value += offset;
            }
        }
        all
    }

    /// All unknowns from the free ones, without offsets: `T q`.
    pub(crate) fn expand_change(&self, free: &[f64]) -> Vec<f64> {
        (0..self.offset.len())
            .map(|unknown| {
                self.terms(unknown)
                    .iter()
                    .filter(|(number, _)| *number != LOOSE)
                    .map(|&(number, share)| share * free[number as usize])
                    .sum()
            })
            .collect()
    }

    /// Adds forces on all unknowns to those on the free ones: `T^T f`. Gives the first place that is loaded and takes no
    /// part.
    pub(crate) fn restrict(&self, forces: &[f64], free: &mut [f64]) -> Option<Dof> {
        let mut loose = None;
        for (unknown, &force) in forces.iter().enumerate() {
            if force != 0.0 {
                for &(number, share) in self.terms(unknown) {
                    if number == LOOSE {
                        loose.get_or_insert(Dof::at(unknown));
                    } else {
                        free[number as usize] += share * force;
                    }
                }
            }
        }
        loose
    }

    /// What each tie does to the unknown it holds, from what must be added there for equilibrium. A tie that is followed
    /// also carries what its followers put on it.
    pub(crate) fn tie_forces(&self, ties: &[Tie], missing: &[f64]) -> Vec<f64> {
        let mut forces: Vec<f64> = ties.iter().map(|tie| missing[tie.dof.index()]).collect();
        for &index in self.followed_first.iter().rev() {
            let force = forces[index as usize];
            for &(dof, share) in &ties[index as usize].follows {
                let followed = self.tie_of[dof.index()];
                if followed != UNTIED {
                    forces[followed as usize] += share * force;
                }
            }
        }
        forces
    }
}

/// Ties in an order in which each comes after those of the unknowns it follows.
fn followed_first(ties: &[Tie], tie_of: &[u32]) -> Result<Vec<u32>, TieError> {
    const NEW: u8 = 0;
    const OPEN: u8 = 1;
    const DONE: u8 = 2;
    let mut state = vec![NEW; ties.len()];
    let mut order = Vec::with_capacity(ties.len());
    // A path of ties, each with the place of the next of its unknowns to look at.
    let mut path: Vec<(u32, usize)> = Vec::new();
    for first in (0..).take(ties.len()) {
        if state[first as usize] != NEW {
            continue;
        }
        state[first as usize] = OPEN;
        path.push((first, 0));
        while let Some((index, next)) = path.last_mut() {
            let tie = &ties[*index as usize];
            let Some(&(dof, _)) = tie.follows.get(*next) else {
                state[*index as usize] = DONE;
                order.push(*index);
                path.pop();
                continue;
            };
            *next += 1;
            let followed = tie_of[dof.index()];
            if followed != UNTIED {
                match state[followed as usize] {
                    NEW => {
                        state[followed as usize] = OPEN;
                        path.push((followed, 0));
                    }
                    OPEN => return Err(TieError::Circle { dof }),
                    _ => {}
                }
            }
        }
    }
    Ok(order)
}
