//! Structural stress at the toe of a weld.

use crate::stress::{Face, InPlane};
use crate::{Frame, Mesh, Point, Vector};

use super::recover::{NodeForces, Recovered, turned};

/// A point is on a triangle when it is within this share of the triangle's size outside of it, seen from above.
const ON_TRIANGLE: f64 = 1e-6;

/// A point belongs to a triangle when it is no higher over it than this many thicknesses: facets of a bend stand off its
/// cylinder by less.
const OVER_TRIANGLE: f64 = 0.5;

/// Where the stress is read, in thicknesses from the toe, and how often each reading counts.
const READ: [(f64, f64); 2] = [(0.4, 1.67), (1.0, -0.67)];

/// A place on a triangle.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Place {
    triangle: usize,
    /// Shares of its corners.
    shares: [f64; 3],
}

/// A place at the toe of a weld, and from where its stress is extrapolated. It hangs on the mesh alone and serves all
/// loads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Toe {
    /// Where.
    pub at: Point,
    /// The patch.
    pub patch: u32,
    /// Axes of the stress: x leads along the plate from the toe, square to it.
    pub frame: Frame,
    places: [Place; 2],
}

impl Toe {
    /// Structural stress at a weld toe by linear extrapolation from 0.4 and 1.0 thicknesses: 1.67 times the first less 0.67
    /// times the second (International Institute of Welding, recommendations for fatigue design, type a, fine mesh; factors
    /// from memory). `away` leads along the plate from the toe, square to it. None when the plate ends before that.
    #[must_use]
    pub fn new(mesh: &Mesh, patch: u32, at: Point, away: Vector) -> Option<Self> {
        let away = away.try_normalize(0.0)?;
        let triangles: Vec<usize> = (0..mesh.triangles.len())
            .filter(|&t| mesh.patches[t] == patch)
            .collect();
        let thickness_mm = mesh.section(*triangles.first()?).thickness_mm;
        let mut places = [None; 2];
        for (place, (share, _)) in places.iter_mut().zip(READ) {
            *place = placed(mesh, &triangles, at + away * (share * thickness_mm));
        }
        let [Some(first), Some(second)] = places else {
            return None;
        };
        let frame = Frame::toward(&mesh.corners(first.triangle), &away);
        Some(Self {
            at,
            patch,
            frame: Frame { centre: at, ..frame },
            places: [first, second],
        })
    }

    /// The stress at the toe at a face, MPa, and what it was read from: nearer first.
    ///
    /// # Panics
    /// If what was recovered is of another mesh.
    #[must_use]
    pub fn stress_mpa(&self, recovered: &Recovered, face: Face) -> (InPlane, [InPlane; 2]) {
        let read = self.places.map(|place| {
            let mut stress = InPlane::default();
            for (slot, share) in recovered.of_triangle[place.triangle]
                .into_iter()
                .zip(place.shares)
            {
                let forces: &NodeForces = &recovered.nodes[slot as usize];
                stress = stress + turned(&forces.frame, &self.frame, forces.stress_mpa(face)) * share;
            }
            stress
        });
        (read[0] * READ[0].1 + read[1] * READ[1].1, read)
    }
}

/// On which of some triangles a point lies.
fn placed(mesh: &Mesh, triangles: &[usize], at: Point) -> Option<Place> {
    triangles.iter().find_map(|&triangle| {
        let [a, b, c] = mesh.corners(triangle);
        let reach = (b - a).norm_squared().max((c - a).norm_squared());
        if (at - a).norm_squared() > 2.0 * reach {
            return None;
        }
        let frame = Frame::along_edge(&[a, b, c]);
        let whole = (b - a).cross(&(c - a)).dot(&frame.normal);
        let shares =
            [(b, c), (c, a), (a, b)].map(|(p, q)| (p - at).cross(&(q - at)).dot(&frame.normal) / whole);
        let high = (at - a).dot(&frame.normal).abs();
        let on = shares.iter().all(|&share| share >= -ON_TRIANGLE)
            && high <= OVER_TRIANGLE * mesh.section(triangle).thickness_mm;
        on.then_some(Place { triangle, shares })
    })
}
