//! The error of a solution in the energy norm, and how fine a mesh would have to be.

use crate::Mesh;
use crate::stress::{InPlane, PanelForces};

use super::recover::Recovered;

/// Edges are not asked to shrink or grow by more than these at once: what a coarse mesh says of a fine one is a guess.
const MOST_SHRINK: f64 = 0.2;
const MOST_GROWTH: f64 = 2.0;

/// The energy norm of the error of linear stresses falls with the edge length to this power where the solution is smooth.
const RATE: f64 = 1.0;

/// How far off the stresses of a solution are, by Zienkiewicz and Zhu (1987, "A simple error estimator and adaptive
/// procedure for practical engineering analysis", IJNME 24, 337-357): the energy of what lies between recovered and
/// raw forces.
#[derive(Debug, Clone, PartialEq)]
pub struct ErrorEstimate {
    /// For each triangle, the energy norm of its error: the root of twice the strain energy of what is missing, in
    /// sqrt(N mm).
    pub of_triangle: Vec<f64>,
    /// Energy norm of the whole error.
    pub whole: f64,
    /// Energy norm of the solution, error included.
    pub of_solution: f64,
}

impl ErrorEstimate {
    /// The error as a share of the solution, in the energy norm: 0.05 is about 5 % of the stresses on average.
    #[must_use]
    pub fn share(&self) -> f64 {
        if self.of_solution > 0.0 {
            self.whole / self.of_solution
        } else {
            0.0
        }
    }

    /// For each triangle the edge length, mm, with which every triangle of a new mesh would carry an equal part of an
    /// error of `target_share`; from a fifth to twice what it is now.
    ///
    /// # Panics
    /// If the mesh is another one.
    #[must_use]
    pub fn size_wanted_mm(&self, mesh: &Mesh, target_share: f64) -> Vec<f64> {
        let count = self.of_triangle.len() as f64;
        let allowed = target_share * self.of_solution / count.sqrt();
        self.of_triangle
            .iter()
            .enumerate()
            .map(|(t, &error)| {
                let [a, b, c] = mesh.corners(t);
                // The edge of an even triangle of the same area.
                let edge_mm = ((b - a).cross(&(c - a)).norm() * 2.0 / 3.0_f64.sqrt()).sqrt();
                let by = if error > 0.0 {
                    (allowed / error).powf(1.0 / RATE)
                } else {
                    MOST_GROWTH
                };
                edge_mm * by.clamp(MOST_SHRINK, MOST_GROWTH)
            })
            .collect()
    }
}

/// Estimates the error of a solution from its forces and what was recovered from them.
///
/// # Panics
/// If they are of different meshes.
#[must_use]
pub fn estimate(mesh: &Mesh, forces: &[PanelForces], recovered: &Recovered) -> ErrorEstimate {
    let mut of_triangle = Vec::with_capacity(forces.len());
    let (mut missing, mut stored) = (0.0, 0.0);
    for (t, panel) in forces.iter().enumerate() {
        let section = mesh.section(t);
        let [a, b, c] = mesh.corners(t);
        let area = (b - a).cross(&(c - a)).norm() / 2.0;
        let truth = recovered.of_triangle[t].map(|slot| recovered.nodes[slot as usize].seen_in(&panel.frame));
        let thickness = panel.thickness_mm;
        let softness = [
            1.0 / (section.elastic_mpa * thickness),
            12.0 / (section.elastic_mpa * thickness.powi(3)),
        ];
        let (mut off, mut there) = (0.0, 0.0);
        for kind in 0..2 {
            let raw = [panel.membrane_n_mm, panel.moment_n][kind];
            let differs: [InPlane; 3] = std::array::from_fn(|corner| truth[corner][kind] - raw[corner]);
            off += softness[kind] * integral(&differs, section.poisson, area);
            there += softness[kind] * integral(&raw, section.poisson, area);
        }
        missing += off;
        stored += there;
        of_triangle.push(off.max(0.0).sqrt());
    }
    ErrorEstimate {
        of_triangle,
        whole: missing.max(0.0).sqrt(),
        of_solution: (missing + stored).max(0.0).sqrt(),
    }
}

/// The integral over a triangle of xx^2 + yy^2 - 2 nu xx yy + 2 (1 + nu) xy^2 of a field linear between its corners: a
/// third of the sum at the middles of the sides, exactly.
fn integral(corners: &[InPlane; 3], poisson: f64, area: f64) -> f64 {
    (0..3)
        .map(|i| {
            let InPlane { xx, yy, xy } = (corners[i] + corners[(i + 1) % 3]) * 0.5;
            xx * xx + yy * yy - 2.0 * poisson * xx * yy + 2.0 * (1.0 + poisson) * xy * xy
        })
        .sum::<f64>()
        * area
        / 3.0
}
