//! The flat triangle with three movements and three turns at each node.

mod bending;
mod frame;
mod membrane;
#[cfg(test)]
mod tests;

pub use frame::Frame;
use nalgebra::{Matrix3, SMatrix, SVector, Vector3, Vector6};

use crate::{Mesh, Point, Section};

/// Three strains or curvatures from nine local unknowns.
pub(crate) type Strains = SMatrix<f64, 3, 9>;
/// A matrix over the unknowns of a triangle: six of its first node, then of its second and third, in global axes.
pub(crate) type Matrix18 = SMatrix<f64, 18, 18>;
/// The unknowns of a triangle.
pub(crate) type Vector18 = SVector<f64, 18>;

/// Stiffness of a unit thickness against strain in its plane (plane stress), MPa.
pub(crate) fn plane_stress_mpa(section: &Section) -> Matrix3<f64> {
    let Section {
        elastic_mpa, poisson, ..
    } = *section;
    let scale = elastic_mpa / (1.0 - poisson * poisson);
    Matrix3::new(
        scale,
        scale * poisson,
        0.0,
        scale * poisson,
        scale,
        0.0,
        0.0,
        0.0,
        scale * 0.5 * (1.0 - poisson),
    )
}

/// Area of a triangle, mm2.
pub(crate) fn area_mm2(corners: &[Point; 3]) -> f64 {
    0.5 * (corners[1] - corners[0]).cross(&(corners[2] - corners[0])).norm()
}

/// Strains in the plane and curvatures at the corners of a triangle, in the axes of a frame in its plane.
pub(crate) struct Operators {
    /// From (u, v, turn about the normal) of each node.
    pub(crate) membrane: [Strains; 3],
    /// From (w, turn about x, turn about y) of each node.
    pub(crate) bending: [Strains; 3],
}

impl Operators {
    /// Of a triangle seen in a frame.
    pub(crate) fn new(frame: &Frame, corners: &[Point; 3], section: &Section) -> Self {
        let plan = frame.plan(corners);
        Self {
            membrane: membrane::strains(&plan, section.poisson),
            bending: bending::curvatures(&plan),
        }
    }
}

/// Stiffness of a triangle in global axes: N/mm, N, N mm. The strains are linear, so three points in the middles of the
/// sides integrate its energy exactly.
pub(crate) fn stiffness(corners: &[Point; 3], section: &Section) -> Matrix18 {
    let frame = Frame::along_edge(corners);
    let operators = Operators::new(&frame, corners, section);
    let area = area_mm2(corners);
    let elastic = plane_stress_mpa(section);
    let thickness = section.thickness_mm;
    let membrane = integrated(&operators.membrane, &(elastic * (thickness * area)));
    let bending = integrated(&operators.bending, &(elastic * (thickness.powi(3) / 12.0 * area)));
    to_global(&frame.axes(), &membrane, &bending)
}

/// The sum over the middles of the sides of a third of `B^T elastic B`.
fn integrated(at_corners: &[Strains; 3], elastic: &Matrix3<f64>) -> SMatrix<f64, 9, 9> {
    let weighted = elastic / 3.0;
    let mut sum = SMatrix::zeros();
    for corner in 0..3 {
        let middle = (at_corners[corner] + at_corners[(corner + 1) % 3]) * 0.5;
        sum += middle.transpose() * (weighted * middle);
    }
    sum
}

/// Puts matrices over (u, v, turn about normal) and over (w, turn about x, turn about y) together and turns them into
/// global axes. Columns of `axes` are the local axes.
pub(crate) fn to_global(
    axes: &Matrix3<f64>,
    membrane: &SMatrix<f64, 9, 9>,
    bending: &SMatrix<f64, 9, 9>,
) -> Matrix18 {
    let back = axes.transpose();
    let mut whole = Matrix18::zeros();
    for i in 0..3 {
        for j in i..3 {
            let m = membrane.fixed_view::<3, 3>(3 * i, 3 * j);
            let b = bending.fixed_view::<3, 3>(3 * i, 3 * j);
            let blocks = [
                Matrix3::new(
                    m[(0, 0)],
                    m[(0, 1)],
                    0.0,
                    m[(1, 0)],
                    m[(1, 1)],
                    0.0,
                    0.0,
                    0.0,
                    b[(0, 0)],
                ),
                Matrix3::new(
                    0.0,
                    0.0,
                    m[(0, 2)],
                    0.0,
                    0.0,
                    m[(1, 2)],
                    b[(0, 1)],
                    b[(0, 2)],
                    0.0,
                ),
                Matrix3::new(
                    0.0,
                    0.0,
                    b[(1, 0)],
                    0.0,
                    0.0,
                    b[(2, 0)],
                    m[(2, 0)],
                    m[(2, 1)],
                    0.0,
                ),
                Matrix3::new(
                    b[(1, 1)],
                    b[(1, 2)],
                    0.0,
                    b[(2, 1)],
                    b[(2, 2)],
                    0.0,
                    0.0,
                    0.0,
                    m[(2, 2)],
                ),
            ];
            for (place, block) in blocks.iter().enumerate() {
                let turned = axes * (block * back);
                let (row, column) = (6 * i + 3 * (place / 2), 6 * j + 3 * (place % 2));
                whole.fixed_view_mut::<3, 3>(row, column).copy_from(&turned);
                if i != j {
                    whole
                        .fixed_view_mut::<3, 3>(column, row)
                        .copy_from(&turned.transpose());
                }
            }
        }
    }
    whole
}

/// Forces that a triangle puts up against moves of its nodes, in global axes. They come from the strains after the rigid
/// motion of its first node is taken off, so they balance one another to rounding of their own size, however far the
/// whole has moved; the product with [`stiffness`] does not.
pub(crate) fn resistance(corners: &[Point; 3], section: &Section, own: &Vector18) -> Vector18 {
    let frame = Frame::along_edge(corners);
    let operators = Operators::new(&frame, corners, section);
    let (first, turn) = (
        own.fixed_rows::<3>(0).into_owned(),
        own.fixed_rows::<3>(3).into_owned(),
    );
    let mut bent = *own;
    for (node, corner) in corners.iter().enumerate() {
        let carried = first + turn.cross(&(corner - corners[0]));
        let mut moved = bent.fixed_rows_mut::<3>(6 * node);
        moved -= carried;
        let mut turned = bent.fixed_rows_mut::<3>(6 * node + 3);
        turned -= turn;
    }
    let axes = frame.axes();
    let (membrane, bending) = in_frame(&axes, &bent);
    let elastic = plane_stress_mpa(section) * (area_mm2(corners) / 3.0);
    let t = section.thickness_mm;
    let put_up = |at_corners: &[Strains; 3], moves: &SVector<f64, 9>, factor: f64| {
        let mut sum = SVector::<f64, 9>::zeros();
        for corner in 0..3 {
            let middle = (at_corners[corner] + at_corners[(corner + 1) % 3]) * 0.5;
            sum += middle.transpose() * (elastic * (middle * moves) * factor);
        }
        sum
    };
    let membrane = put_up(&operators.membrane, &membrane, t);
    let bending = put_up(&operators.bending, &bending, t.powi(3) / 12.0);
    let mut forces = Vector18::zeros();
    for node in 0..3 {
        let (m, b) = (
            membrane.fixed_rows::<3>(3 * node),
            bending.fixed_rows::<3>(3 * node),
        );
        let force = axes * Vector3::new(m[0], m[1], b[0]);
        let moment = axes * Vector3::new(b[1], b[2], m[2]);
        forces.fixed_rows_mut::<3>(6 * node).copy_from(&force);
        forces.fixed_rows_mut::<3>(6 * node + 3).copy_from(&moment);
    }
    forces
}

/// The unknowns of a triangle's nodes, out of those of all.
pub(crate) fn gathered(mesh: &Mesh, triangle: usize, moves: &[Vector6<f64>]) -> Vector18 {
    let mut own = Vector18::zeros();
    for (corner, &node) in mesh.triangles[triangle].iter().enumerate() {
        own.fixed_rows_mut::<6>(6 * corner)
            .copy_from(&moves[node as usize]);
    }
    own
}

/// The unknowns of a triangle in a frame: (u, v, turn about the normal) and (w, turn about x, turn about y) of each node.
pub(crate) fn in_frame(axes: &Matrix3<f64>, own: &Vector18) -> (SVector<f64, 9>, SVector<f64, 9>) {
    let (mut membrane, mut bending) = (SVector::<f64, 9>::zeros(), SVector::<f64, 9>::zeros());
    let back = axes.transpose();
    for node in 0..3 {
        let moved = back * own.fixed_rows::<3>(6 * node);
        let turned = back * own.fixed_rows::<3>(6 * node + 3);
        membrane
            .fixed_rows_mut::<3>(3 * node)
            .copy_from_slice(&[moved.x, moved.y, turned.z]);
        bending
            .fixed_rows_mut::<3>(3 * node)
            .copy_from_slice(&[moved.z, turned.x, turned.y]);
    }
    (membrane, bending)
}
