//! The stress to report: the highest away from places where it has no bound, and what lies beside those.

use crate::stress::{Face, Principal};
use crate::{Mesh, Point};

use super::near::Near;
use super::recover::Recovered;
use super::singular::Singular;

/// A stress at a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Where it is in [`Recovered::nodes`].
    pub slot: usize,
    /// The node.
    pub node: u32,
    /// As seen by this patch.
    pub patch: u32,
    /// At this face.
    pub face: Face,
    /// Where.
    pub at: Point,
    /// By von Mises, MPa.
    pub von_mises_mpa: f64,
    /// Its principal stresses and the direction of the first.
    pub principal: Principal,
}

/// Which recovered stresses lie about singular places. It hangs on the mesh alone and serves all loads.
#[derive(Debug, Clone, PartialEq)]
pub struct Zones {
    /// For each recovered node, whether it is nearer to a singular place than the radius.
    inside: Vec<bool>,
    /// For each singular place, the recovered nodes beside it: between one and two radii from it, and in no zone.
    beside: Vec<Vec<u32>>,
}

impl Zones {
    /// Zones of `radius_mm` about the singular places. A radius of one thickness leaves out what the plate, which is no
    /// ideal surface, does not show.
    #[must_use]
    pub fn new(mesh: &Mesh, recovered: &Recovered, singular: &[Singular], radius_mm: f64) -> Self {
        let near: Vec<Near> = singular
            .iter()
            .map(|place| Near::new(place.nodes.iter().map(|&node| mesh.nodes[node as usize])))
            .collect();
        let mut inside = vec![false; recovered.nodes.len()];
        let mut beside = vec![Vec::new(); singular.len()];
        for (slot, forces) in (0u32..).zip(&recovered.nodes) {
            let at = mesh.nodes[forces.node as usize];
            let far: Vec<Option<f64>> = near.iter().map(|near| near.within(at, 2.0 * radius_mm)).collect();
            if far.iter().flatten().any(|&far| far < radius_mm) {
                inside[slot as usize] = true;
                continue;
            }
            for (beside, far) in beside.iter_mut().zip(far) {
                if far.is_some() {
                    beside.push(slot);
                }
            }
        }
        Self { inside, beside }
    }

    /// Does a recovered node count for nothing?
    #[must_use]
    pub fn is_inside(&self, slot: usize) -> bool {
        self.inside[slot]
    }

    /// The highest stress outside all zones; none when they cover the part.
    ///
    /// # Panics
    /// If what was recovered is of another mesh.
    #[must_use]
    pub fn highest(&self, mesh: &Mesh, recovered: &Recovered) -> Option<Peak> {
        let outside = (0..self.inside.len()).filter(|&slot| !self.inside[slot]);
        highest(mesh, recovered, outside)
    }

    /// The nominal stress beside a singular place: the highest between one and two radii from its nodes and outside all
    /// other zones. The stress at the place is this times a notch factor, or follows from the forces of the joint; at a
    /// weld toe [`super::Toe`] is the rule. None when no node lies there.
    ///
    /// # Panics
    /// If there is no such place, or what was recovered is of another mesh.
    #[must_use]
    pub fn nominal(&self, place: usize, mesh: &Mesh, recovered: &Recovered) -> Option<Peak> {
        highest(
            mesh,
            recovered,
            self.beside[place].iter().map(|&slot| slot as usize),
        )
    }
}

fn highest(mesh: &Mesh, recovered: &Recovered, slots: impl Iterator<Item = usize>) -> Option<Peak> {
    let mut highest: Option<(f64, usize, Face)> = None;
    for slot in slots {
        for face in [Face::Upper, Face::Lower] {
            let mpa = recovered.nodes[slot].stress_mpa(face).von_mises();
            if highest.is_none_or(|(most, ..)| mpa > most) {
                highest = Some((mpa, slot, face));
            }
        }
    }
    let (von_mises_mpa, slot, face) = highest?;
    let forces = &recovered.nodes[slot];
    Some(Peak {
        slot,
        node: forces.node,
        patch: forces.patch,
        face,
        at: mesh.nodes[forces.node as usize],
        von_mises_mpa,
        principal: forces.stress_mpa(face).principal(&forces.frame),
    })
}
