//! What the plate feels: membrane forces and moments of each triangle, and stresses at both faces.

use nalgebra::{Matrix2, SymmetricEigen, Vector6};
use rayon::prelude::*;

use crate::{
    Mesh, Vector,
    element::{Frame, Operators, Vector18, gathered, in_frame, plane_stress_mpa},
};

/// Components in a plane: xx, yy and the tensor's xy (never the engineering shear strain's).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct InPlane {
    /// Along x.
    pub xx: f64,
    /// Along y.
    pub yy: f64,
    /// Shear.
    pub xy: f64,
}

/// A face of the plate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    /// The one the normal points out of.
    Upper,
    /// The other.
    Lower,
}

/// What one triangle carries, linear between its corners. Nothing is averaged with its neighbours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelForces {
    /// Axes of the components.
    pub frame: Frame,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Forces in the plane per length at the corners, N/mm; tension is positive.
    pub membrane_n_mm: [InPlane; 3],
    /// Moments per length at the corners, N mm/mm = N. A positive `xx` stretches the upper face along x.
    pub moment_n: [InPlane; 3],
}

/// The two principal stresses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Principal {
    /// The larger, tension positive, MPa.
    pub first_mpa: f64,
    /// The smaller, MPa.
    pub second_mpa: f64,
    /// Unit direction in space of the larger. Either way along it is meant; any direction serves when both are equal.
    pub direction: Vector,
}

impl std::ops::Add for InPlane {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            xx: self.xx + other.xx,
            yy: self.yy + other.yy,
            xy: self.xy + other.xy,
        }
    }
}

impl std::ops::Sub for InPlane {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + other * -1.0
    }
}

impl std::ops::Mul<f64> for InPlane {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self {
            xx: self.xx * factor,
            yy: self.yy * factor,
            xy: self.xy * factor,
        }
    }
}

impl InPlane {
    /// Taken as a stress: the single pull that yields as soon by the theory of Huber, von Mises and Hencky.
    #[must_use]
    pub fn von_mises(&self) -> f64 {
        let Self { xx, yy, xy } = *self;
        (xx * xx - xx * yy + yy * yy + 3.0 * xy * xy).max(0.0).sqrt()
    }

    /// Taken as a stress in MPa: its principal values.
    #[must_use]
    pub fn principal(&self, frame: &Frame) -> Principal {
        let eigen = SymmetricEigen::new(Matrix2::new(self.xx, self.xy, self.xy, self.yy));
        let first = eigen.eigenvalues.imax();
        let direction = eigen.eigenvectors.column(first);
        Principal {
            first_mpa: eigen.eigenvalues[first],
            second_mpa: eigen.eigenvalues[1 - first],
            direction: frame.x * direction[0] + frame.y * direction[1],
        }
    }
}

impl PanelForces {
    /// Stresses at a face at the three corners, MPa.
    #[must_use]
    pub fn stress_mpa(&self, face: Face) -> [InPlane; 3] {
        let t = self.thickness_mm;
        let sign = match face {
            Face::Upper => 1.0,
            Face::Lower => -1.0,
        };
        std::array::from_fn(|corner| {
            self.membrane_n_mm[corner] * (1.0 / t) + self.moment_n[corner] * (sign * 6.0 / (t * t))
        })
    }

    /// Stress at a face in the middle of the triangle, MPa.
    #[must_use]
    pub fn stress_at_centre_mpa(&self, face: Face) -> InPlane {
        let [a, b, c] = self.stress_mpa(face);
        (a + b + c) * (1.0 / 3.0)
    }

    /// Force in the plane per length in the middle of the triangle, N/mm.
    #[must_use]
    pub fn membrane_at_centre_n_mm(&self) -> InPlane {
        let [a, b, c] = self.membrane_n_mm;
        (a + b + c) * (1.0 / 3.0)
    }
}

/// What every triangle carries when the nodes have moved (mm and rad, six for each), in the axes of [`Mesh::frames`].
///
/// The strains of the membrane are those of the optimal triangle (mean and linear part, Felippa 2003), the curvatures
/// those of the discrete Kirchhoff triangle (Batoz 1980).
///
/// # Panics
/// If there are fewer moves than nodes.
#[must_use]
pub fn forces(mesh: &Mesh, moves: &[Vector6<f64>]) -> Vec<PanelForces> {
    forces_in(mesh, &mesh.frames(), moves)
}

/// As [`forces`], in axes worked out before: one for each triangle, in its plane.
///
/// # Panics
/// If there are fewer moves than nodes, or fewer frames than triangles.
#[must_use]
pub fn forces_in(mesh: &Mesh, frames: &[Frame], moves: &[Vector6<f64>]) -> Vec<PanelForces> {
    (0..mesh.triangles.len())
        .into_par_iter()
        .map(|triangle| {
            carried(
                mesh,
                triangle,
                &frames[triangle],
                &gathered(mesh, triangle, moves),
            )
        })
        .collect()
}

/// What one triangle carries, in the axes of a frame in its plane.
pub(crate) fn carried(mesh: &Mesh, triangle: usize, frame: &Frame, own: &Vector18) -> PanelForces {
    let section = mesh.section(triangle);
    let operators = Operators::new(frame, &mesh.corners(triangle), section);
    let (membrane, bending) = in_frame(&frame.axes(), own);
    let elastic = plane_stress_mpa(section);
    let t = section.thickness_mm;
    // With engineering shear strain in, the tensor's shear comes out.
    let told = |strain: nalgebra::Vector3<f64>, by: f64| {
        let force = elastic * strain * by;
        InPlane {
            xx: force.x,
            yy: force.y,
            xy: force.z,
        }
    };
    PanelForces {
        frame: *frame,
        thickness_mm: t,
        membrane_n_mm: std::array::from_fn(|corner| told(operators.membrane[corner] * membrane, t)),
        moment_n: std::array::from_fn(|corner| told(operators.bending[corner] * bending, t.powi(3) / 12.0)),
    }
}
