//! Stretch and shear in the plane, with turns about the normal: the optimal triangle of Felippa 2003.
//!
//! C. A. Felippa, "A study of optimal membrane triangles with drilling freedoms", Computer Methods in Applied Mechanics
//! and Engineering 192 (2003) 2125-2168. Assumed natural deviatoric strains with `alpha_b = 3/2`,
//! `beta_0 = max((1 - 4 nu^2) / 2, 0.01)` and `beta_1..9 = 1, 2, 1, 0, 1, -1, -1, -1, -2`. The strain is the sum of a
//! constant part, from lumping the stress at the nodes, and a part that is linear over the triangle with mean zero, so the
//! two do not mix in the energy.

use nalgebra::{Matrix3, SMatrix};

use super::Strains;

/// Share of the nodes' turns in the movement of the sides.
const ALPHA_B: f64 = 1.5;
/// Least weight of the linear part: for Poisson's ratios near 1/2 the optimum goes to zero, and with it the stiffness
/// against turning nodes.
const LEAST_BETA_0: f64 = 0.01;
/// Weights of the nodes' turns in the natural strains along side 1-2 (first row), 2-3 and 3-1 at node 1.
const BETA: [[f64; 3]; 3] = [[1.0, 2.0, 1.0], [0.0, 1.0, -1.0], [-1.0, -1.0, -2.0]];

/// Strains (xx, yy, and engineering xy) at the three corners from the nine local unknowns (u, v, turn about the normal at
/// each node). They are linear between the corners. `plan` is where the nodes lie, counter-clockwise.
pub(crate) fn strains(plan: &[[f64; 2]; 3], poisson: f64) -> [Strains; 3] {
    let [[x1, y1], [x2, y2], [x3, y3]] = *plan;
    // Side k runs from node k to node k + 1.
    let dx = [x2 - x1, x3 - x2, x1 - x3];
    let dy = [y2 - y1, y3 - y2, y1 - y3];
    let double_area = dx[0] * -dy[2] + dx[2] * dy[0];
    let length2: [f64; 3] = std::array::from_fn(|side| dx[side] * dx[side] + dy[side] * dy[side]);

    let mut mean = Strains::zeros();
    let mut relative = SMatrix::<f64, 3, 9>::zeros();
    for node in 0..3 {
        let (next, last) = (node, (node + 2) % 3);
        // The side across from the node, running from the next node to the last.
        let across = (node + 1) % 3;
        let (b, c) = (-dy[across], dx[across]);
        let column = 3 * node;
        mean[(0, column)] = b / double_area;
        mean[(2, column)] = c / double_area;
        mean[(1, column + 1)] = c / double_area;
        mean[(2, column + 1)] = b / double_area;
        // The paper's lumping: with j, k the nodes after node i and x_ij = x_i - x_j,
        // alpha_b / 6 { b (y_ij - y_ki), c (x_ki - x_ij), 2 (x_ij y_ij - x_ki y_ki) } over twice the area.
        let (x_ij, y_ij) = (-dx[next], -dy[next]);
        let (x_ki, y_ki) = (-dx[last], -dy[last]);
        let scale = ALPHA_B / (6.0 * double_area);
        mean[(0, column + 2)] = scale * b * (y_ij - y_ki);
        mean[(1, column + 2)] = scale * c * (x_ki - x_ij);
        mean[(2, column + 2)] = scale * 2.0 * (x_ij * y_ij - x_ki * y_ki);
        for row in 0..3 {
            relative[(row, column)] = c / (2.0 * double_area);
            relative[(row, column + 1)] = -b / (2.0 * double_area);
        }
        relative[(node, column + 2)] = 1.0;
    }

    let from_natural = from_natural(&dx, &dy, &length2, double_area);
    let beta_0 = (0.5 * (1.0 - 4.0 * poisson * poisson)).max(LEAST_BETA_0);
    let scale = 1.5 * beta_0.sqrt() * double_area / 3.0;
    std::array::from_fn(|corner| {
        // Turning the numbering of the nodes by the corner turns the rows and columns of the weights with it.
        let natural = Matrix3::from_fn(|side, node| {
            scale * BETA[(side + 3 - corner) % 3][(node + 3 - corner) % 3] / length2[side]
        });
        mean + from_natural * natural * relative
    })
}

/// Cartesian strains from those along the three sides.
fn from_natural(dx: &[f64; 3], dy: &[f64; 3], length2: &[f64; 3], double_area: f64) -> Matrix3<f64> {
    let scale = 1.0 / (double_area * double_area);
    Matrix3::from_fn(|row, side| {
        let (one, other) = ((side + 1) % 3, (side + 2) % 3);
        let product = match row {
            0 => -dy[one] * dy[other],
            1 => -dx[one] * dx[other],
            _ => dy[one] * dx[other] + dx[one] * dy[other],
        };
        product * length2[side] * scale
    })
}
