//! What forces in the plane add to the stiffness of a plate that moves across them.
//!
//! The geometric stiffness is the integral over the triangle of `n_ij (u,i u,j + v,i v,j + w,i w,j)` with the membrane forces
//! `n` per length, tension positive, linear over the triangle.
//! - The slopes of `w` are the turns of the normal of the discrete Kirchhoff triangle, which vary quadratically (Batoz, Bathe,
//!   Ho 1980, see `element/bending.rs`). With the slopes of a linear `w` a half-wave of `n` elements would buckle late by the
//!   part `(pi / n)^2 / 12`; these slopes cost nine by nine sums at seven points, a tenth of the stiffness itself.
//! - The slopes of `u` and `v` are those of linear movements, so a plate that is bent in its own plane (a leg of an angle that
//!   bows as a whole) buckles late by that part. Turns about the normal take no part.
//!
//! Moments and forces across the plane are left out, as is usual for thin plates; so is what rigid arms, springs and seats
//! add when they turn under load.

use nalgebra::{SMatrix, SVector};

use crate::{
    InPlane, Mesh, Model, PanelForces, Section,
    assemble::Pattern,
    element::{Matrix18, to_global},
    prepare::add_triangles,
    reduce::Reduction,
};

type Matrix9 = SMatrix<f64, 9, 9>;
type Vector9 = SVector<f64, 9>;

/// Geometric stiffness over the free unknowns.
pub(crate) fn assembled(
    model: &Model,
    pattern: &Pattern,
    reduction: &Reduction,
    forces: &[PanelForces],
) -> Vec<f64> {
    let mut values = pattern.zeros();
    add_triangles(model, pattern, reduction, &mut values, |triangle| {
        of_triangle(&model.mesh, triangle, &forces[triangle])
    });
    values
}

/// Geometric stiffness of a triangle in global axes.
fn of_triangle(mesh: &Mesh, triangle: usize, forces: &PanelForces) -> Matrix18 {
    let plan = forces.frame.plan(&mesh.corners(triangle));
    to_global(
        &forces.frame.axes(),
        &in_plane(&plan, &forces.membrane_at_centre_n_mm()),
        &across(&plan, &forces.membrane_n_mm),
    )
}

/// Twice the area, and the gradients of the area coordinates.
fn gradients(plan: &[[f64; 2]; 3]) -> (f64, [[f64; 2]; 3]) {
    let double_area = (plan[1][0] - plan[0][0]) * (plan[2][1] - plan[0][1])
        - (plan[2][0] - plan[0][0]) * (plan[1][1] - plan[0][1]);
    let of = |node: usize| {
        let (next, last) = (plan[(node + 1) % 3], plan[(node + 2) % 3]);
        [
            (next[1] - last[1]) / double_area,
            (last[0] - next[0]) / double_area,
        ]
    };
    (double_area, std::array::from_fn(of))
}

/// Over (u, v, turn about the normal) of each node. Slopes are constant, so only the mean of the forces counts.
fn in_plane(plan: &[[f64; 2]; 3], mean: &InPlane) -> Matrix9 {
    let (double_area, gradient) = gradients(plan);
    let mut sum = Matrix9::zeros();
    for i in 0..3 {
        for j in 0..3 {
            let ([ax, ay], [bx, by]) = (gradient[i], gradient[j]);
            let value = 0.5 * double_area * product(mean, ax, ay, bx, by);
            sum[(3 * i, 3 * j)] = value;
            sum[(3 * i + 1, 3 * j + 1)] = value;
        }
    }
    sum
}

/// `a^T n b`.
fn product(n: &InPlane, ax: f64, ay: f64, bx: f64, by: f64) -> f64 {
    ax * (n.xx * bx + n.xy * by) + ay * (n.xy * bx + n.yy * by)
}

/// Over (w, turn about x, turn about y) of each node.
fn across(plan: &[[f64; 2]; 3], at_corners: &[InPlane; 3]) -> Matrix9 {
    let (double_area, _) = gradients(plan);
    let mut sum = Matrix9::zeros();
    for (share, weight) in points() {
        let n = at_corners[0] * share[0] + at_corners[1] * share[1] + at_corners[2] * share[2];
        let (along_x, along_y) = slopes(plan, &share);
        let weight = 0.5 * double_area * weight;
        let x = along_x * (weight * n.xx) + along_y * (weight * n.xy);
        let y = along_x * (weight * n.xy) + along_y * (weight * n.yy);
        sum += along_x * x.transpose() + along_y * y.transpose();
    }
    sum
}

/// Area coordinates and weights of seven points that integrate fifth powers exactly, as two quadratic slopes times a linear
/// force are (A. H. Stroud, Approximate Calculation of Multiple Integrals, 1971, formula T2: 5-1).
fn points() -> [([f64; 3], f64); 7] {
    let root = 15.0_f64.sqrt();
    let mut points = [([1.0 / 3.0; 3], 9.0 / 40.0); 7];
    for (set, root) in [root, -root].into_iter().enumerate() {
        let (own, weight) = ((6.0 + root) / 21.0, (155.0 + root) / 1200.0);
        for corner in 0..3 {
            let mut share = [own; 3];
            share[corner] = 1.0 - 2.0 * own;
            points[1 + 3 * set + corner] = (share, weight);
        }
    }
    points
}

/// Slopes of the deflection along x and y at a point, from the nine unknowns: with the opposite sign the functions H_x and
/// H_y of Batoz, Bathe and Ho.
fn slopes(plan: &[[f64; 2]; 3], share: &[f64; 3]) -> (Vector9, Vector9) {
    // For the side across from each node: a, b, c, d, e of the paper's table, times its shape function.
    let sides: [[f64; 5]; 3] = std::array::from_fn(|node| {
        let (next, last) = ((node + 1) % 3, (node + 2) % 3);
        let (x, y) = (plan[next][0] - plan[last][0], plan[next][1] - plan[last][1]);
        let scale = 4.0 * share[next] * share[last] / (x * x + y * y);
        [
            -x * scale,
            0.75 * x * y * scale,
            (0.25 * x * x - 0.5 * y * y) * scale,
            -y * scale,
            (0.25 * y * y - 0.5 * x * x) * scale,
        ]
    });
    let (mut along_x, mut along_y) = (Vector9::zeros(), Vector9::zeros());
    for node in 0..3 {
        let ([a5, b5, c5, d5, e5], [a6, b6, c6, d6, e6]) = (sides[(node + 1) % 3], sides[(node + 2) % 3]);
        let own = share[node] * (2.0 * share[node] - 1.0);
        let h_x = [1.5 * (a6 - a5), b5 + b6, own - c5 - c6];
        let h_y = [1.5 * (d6 - d5), -own + e5 + e6, -b5 - b6];
        for unknown in 0..3 {
            along_x[3 * node + unknown] = -h_x[unknown];
            along_y[3 * node + unknown] = -h_y[unknown];
        }
    }
    (along_x, along_y)
}

/// The largest strain at a face that some forces make, not less than any principal one.
pub(crate) fn largest_strain(mesh: &Mesh, forces: &[PanelForces]) -> f64 {
    let size = |n: &InPlane| n.xx.abs().max(n.yy.abs()) + n.xy.abs();
    let strain = |(triangle, forces): (usize, &PanelForces)| {
        let Section {
            thickness_mm: t,
            elastic_mpa,
            ..
        } = *mesh.section(triangle);
        (0..3)
            .map(|at| {
                (size(&forces.membrane_n_mm[at]) + 6.0 / t * size(&forces.moment_n[at])) / (t * elastic_mpa)
            })
            .fold(0.0, f64::max)
    };
    forces.iter().enumerate().map(strain).fold(0.0, f64::max)
}
