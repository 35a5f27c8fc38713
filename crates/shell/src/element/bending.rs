//! Bending of a thin plate: the discrete Kirchhoff triangle.
//!
//! J.-L. Batoz, K.-J. Bathe, L.-W. Ho, "A study of three-node triangular plate bending elements", International Journal
//! for Numerical Methods in Engineering 15 (1980) 1771-1812. The turns of the normal vary quadratically, tied to the
//! deflection along the sides; curvatures are linear over the triangle and given here at its corners.

use super::Strains;

/// Curvatures (xx, yy, and twice xy) at the three corners from the nine local unknowns (w, turn about x, turn about y at
/// each node). They are linear between the corners, and positive when the upper face is stretched: a point at height z
/// has strain z times curvature. `plan` is where the nodes lie, counter-clockwise.
pub(crate) fn curvatures(plan: &[[f64; 2]; 3]) -> [Strains; 3] {
    let double_area = (plan[1][0] - plan[0][0]) * (plan[2][1] - plan[0][1])
        - (plan[2][0] - plan[0][0]) * (plan[1][1] - plan[0][1]);
    // Gradients of the area coordinates.
    let gradient: [[f64; 2]; 3] = std::array::from_fn(|node| {
        let (next, last) = (plan[(node + 1) % 3], plan[(node + 2) % 3]);
        [
            (next[1] - last[1]) / double_area,
            (last[0] - next[0]) / double_area,
        ]
    });
    // For the side across from each node, from the next node to the last: a, b, c, d, e of the paper's table.
    let sides: [[f64; 5]; 3] = std::array::from_fn(|node| {
        let (from, to) = (plan[(node + 1) % 3], plan[(node + 2) % 3]);
        let (x, y) = (from[0] - to[0], from[1] - to[1]);
        let length2 = x * x + y * y;
        [
            -x / length2,
            0.75 * x * y / length2,
            (0.25 * x * x - 0.5 * y * y) / length2,
            -y / length2,
            (0.25 * y * y - 0.5 * x * x) / length2,
        ]
    });
    std::array::from_fn(|corner| {
        let mut curvature = Strains::zeros();
        // Gradients at this corner of the shape functions of the corners, and of the middles of the sides across from each.
        let at_corner: [[f64; 2]; 3] = std::array::from_fn(|node| {
            let factor = if node == corner { 3.0 } else { -1.0 };
            gradient[node].map(|component| factor * component)
        });
        let at_middle: [[f64; 2]; 3] = std::array::from_fn(|across| {
            if across == corner {
                [0.0; 2]
            } else {
                gradient[3 - across - corner].map(|component| 4.0 * component)
            }
        });
        for (node, n) in at_corner.into_iter().enumerate() {
            // The two sides that meet at the node: `before` ends there, `after` starts there.
            let (before, after) = ((node + 1) % 3, (node + 2) % 3);
            let ([a5, b5, c5, d5, e5], [a6, b6, c6, d6, e6]) = (sides[before], sides[after]);
            let (n5, n6) = (at_middle[before], at_middle[after]);
            let along = |direction: usize| {
                let (n, n5, n6) = (n[direction], n5[direction], n6[direction]);
                let of_x = [
                    1.5 * (a6 * n6 - a5 * n5),
                    b5 * n5 + b6 * n6,
                    n - c5 * n5 - c6 * n6,
                ];
                let of_y = [
                    1.5 * (d6 * n6 - d5 * n5),
                    -n + e5 * n5 + e6 * n6,
                    -b5 * n5 - b6 * n6,
                ];
                (of_x, of_y)
            };
            let ((x_along_x, y_along_x), (x_along_y, y_along_y)) = (along(0), along(1));
            for unknown in 0..3 {
                let column = 3 * node + unknown;
                curvature[(0, column)] = x_along_x[unknown];
                curvature[(1, column)] = y_along_y[unknown];
                curvature[(2, column)] = x_along_y[unknown] + y_along_x[unknown];
            }
        }
        curvature
    })
}
