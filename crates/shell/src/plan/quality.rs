//! How good a triangle is.

use nalgebra::Point2;

/// No angle is smaller than this, 20 degrees, unless the lines force it.
pub const LEAST_ANGLE_RAD: f64 = 20.0 * std::f64::consts::PI / 180.0;

/// A triangle with an angle under [`LEAST_ANGLE_RAD`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sliver {
    /// Its centre.
    pub at: Point2<f64>,
    /// Its smallest angle.
    pub angle_rad: f64,
    /// Its index.
    pub triangle: u32,
}

/// The smallest angle of a triangle; 0 or less when it does not run counter-clockwise.
pub(super) fn least_angle_rad([a, b, c]: [Point2<f64>; 3]) -> f64 {
    // It lies across from the shortest side.
    let sides = [b - a, c - b, a - c];
    let (_, at, p, q) = [(0, c, a, b), (1, a, b, c), (2, b, c, a)]
        .into_iter()
        .min_by(|one, other| {
            let length = |i: usize| sides[i].norm_squared();
            length(one.0).total_cmp(&length(other.0))
        })
        .unwrap_or((0, c, a, b));
    let (p, q) = (p - at, q - at);
    p.perp(&q).atan2(p.dot(&q))
}

/// All slivers, in order.
pub(super) fn slivers(nodes: &[Point2<f64>], triangles: &[[u32; 3]]) -> Vec<Sliver> {
    let mut found = Vec::new();
    for (index, corners) in triangles.iter().enumerate() {
        let places = corners.map(|node| nodes[node as usize]);
        let angle_rad = least_angle_rad(places);
        if angle_rad < LEAST_ANGLE_RAD {
            let [a, b, c] = places.map(|at| at.coords);
            found.push(Sliver {
                at: Point2::from((a + b + c) / 3.0),
                angle_rad,
                triangle: index as u32,
            });
        }
    }
    found
}
