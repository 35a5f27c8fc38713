//! Where a flat triangle lies, and the axes its stresses are told in.

use nalgebra::{Matrix3, SymmetricEigen, Vector3};

use crate::{Mesh, Point, Vector};

/// Axes in the plane of a triangle: right-handed, unit, with the normal out of the upper face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Middle of the triangle.
    pub centre: Point,
    /// First axis, in the plane.
    pub x: Vector,
    /// Second axis, in the plane.
    pub y: Vector,
    /// Out of the upper face.
    pub normal: Vector,
}

/// A direction serves as the first axis of a patch when no normal of the patch comes nearer to it than this sine (30
/// degrees): nearer than that its projection turns quickly from one triangle to the next.
const LEAST_SINE: f64 = 0.5;

impl Frame {
    /// Axes with x along the first edge. The triangle must not be flat.
    #[must_use]
    pub fn along_edge(corners: &[Point; 3]) -> Self {
        Self::toward(corners, &(corners[1] - corners[0]))
    }

    /// Axes with x along the projection of a direction, which must not be normal to the triangle.
    #[must_use]
    pub fn toward(corners: &[Point; 3], direction: &Vector) -> Self {
        let [a, b, c] = corners;
        let normal = (b - a).cross(&(c - a)).normalize();
        let x = (direction - normal * normal.dot(direction)).normalize();
        let centre = Point::from((a.coords + b.coords + c.coords) / 3.0);
        Self {
            centre,
            x,
            y: normal.cross(&x),
            normal,
        }
    }

    /// From local to global: the columns are the axes.
    #[must_use]
    pub fn axes(&self) -> Matrix3<f64> {
        Matrix3::from_columns(&[self.x, self.y, self.normal])
    }

    /// Where points of the plane lie in it, mm from the centre.
    #[must_use]
    pub fn plan(&self, corners: &[Point; 3]) -> [[f64; 2]; 3] {
        corners.map(|corner| {
            let arm = corner - self.centre;
            [arm.dot(&self.x), arm.dot(&self.y)]
        })
    }
}

impl Mesh {
    /// For each triangle the axes in which its stresses are told. Within a patch all have x along the projection of one
    /// direction, so that they never flip between neighbours and components can be compared: the first of the global x,
    /// y and z that stays away from every normal of the patch, else the direction that is nearest to lying in all its
    /// planes (for a bend: its axis). A patch that turns through every direction has a place where neighbours differ;
    /// none made by bending plate does.
    #[must_use]
    pub fn frames(&self) -> Vec<Frame> {
        let mut order: Vec<u32> = (0..).take(self.triangles.len()).collect();
        order.sort_by_key(|&triangle| self.patches[triangle as usize]);
        let mut frames: Vec<Frame> = (0..self.triangles.len())
            .map(|triangle| Frame::along_edge(&self.corners(triangle)))
            .collect();
        for patch in order.chunk_by(|&one, &other| self.patches[one as usize] == self.patches[other as usize])
        {
            let normals = || patch.iter().map(|&triangle| frames[triangle as usize].normal);
            let least_sine = |direction: &Vector3<f64>| {
                normals()
                    .map(|normal| normal.cross(direction).norm())
                    .fold(f64::INFINITY, f64::min)
            };
            let direction = [Vector3::x(), Vector3::y(), Vector3::z()]
                .into_iter()
                .find(|direction| least_sine(direction) >= LEAST_SINE)
                .unwrap_or_else(|| {
                    let spread: Matrix3<f64> = normals().map(|normal| normal * normal.transpose()).sum();
                    let eigen = SymmetricEigen::new(spread);
                    let axis = eigen.eigenvectors.column(eigen.eigenvalues.imin()).into_owned();
                    // Of the two ways along it, the one whose largest component is positive.
                    axis * axis[axis.iamax()].signum()
                });
            for &triangle in patch {
                let corners = self.corners(triangle as usize);
                let frame = &mut frames[triangle as usize];
                if frame.normal.cross(&direction).norm() > f64::EPSILON.sqrt() {
                    *frame = Frame::toward(&corners, &direction);
                }
            }
        }
        frames
    }
}
