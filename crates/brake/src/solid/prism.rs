//! A convex polygon in space, drawn along its normal.

use nalgebra::{Isometry3, Vector3};
use plane::Point;

/// Edges whose directions differ by less than this (as the sine) give the same axis; far over rounding, and a gap seen
/// along either is the same to a thousandth of a millimetre over a metre.
const SAME_DIRECTION: f64 = 1e-6;

/// A face stands along a line when the sine between them is less: a metre out of it is a millionth of a millimetre.
const SQUARE: f64 = 1e-9;

/// A right prism: a convex polygon and the vector it is drawn along. Lengths mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Prism {
    /// Corners of the polygon, in order.
    pub base: Vec<Vector3<f64>>,
    /// From the polygon to its other end, square to it.
    pub along: Vector3<f64>,
    /// Unit normals of its faces, one of each pair that look opposite ways.
    pub normals: Vec<Vector3<f64>>,
    /// Unit directions of its edges, each once.
    pub edges: Vec<Vector3<f64>>,
    /// Its middle.
    pub centre: Vector3<f64>,
    /// From the middle to its farthest corner, mm.
    pub reach_mm: f64,
}

impl Prism {
    /// The prism on this convex polygon. `None` when the polygon has fewer than three corners or no area, or nothing is
    /// drawn along.
    pub fn new(base: Vec<Vector3<f64>>, along: Vector3<f64>) -> Option<Prism> {
        let up = along.try_normalize(plane::SAME_POINT_MM)?;
        if base.len() < 3 {
            return None;
        }
        let mut edges: Vec<Vector3<f64>> = Vec::with_capacity(base.len() + 1);
        let mut normals = Vec::with_capacity(base.len() + 1);
        for (i, from) in base.iter().enumerate() {
            let to = base[(i + 1) % base.len()];
            let Some(edge) = (to - from).try_normalize(plane::SAME_POINT_MM) else {
                continue;
            };
            if edges
                .iter()
                .all(|known| known.cross(&edge).norm() > SAME_DIRECTION)
            {
                edges.push(edge);
                normals.push(edge.cross(&up).normalize());
            }
        }
        if edges.len() < 2 {
            return None;
        }
        edges.push(up);
        normals.push(up);
        let centre = base.iter().sum::<Vector3<f64>>() / base.len() as f64 + along / 2.0;
        let reach_mm = base
            .iter()
            .flat_map(|corner| [*corner, corner + along])
            .map(|corner| (corner - centre).norm())
            .fold(0.0, f64::max);
        Some(Prism {
            base,
            along,
            normals,
            edges,
            centre,
            reach_mm,
        })
    }

    /// A flat polygon with z from `low_mm` to `high_mm`.
    pub fn plate(corners: &[Point], low_mm: f64, high_mm: f64) -> Option<Prism> {
        let base = corners
            .iter()
            .map(|corner| Vector3::new(corner.x, corner.y, low_mm));
        Prism::new(base.collect(), Vector3::new(0.0, 0.0, high_mm - low_mm))
    }

    /// A profile in the plane across the bend (x across, y of the profile up), drawn along y from `from_mm` to `to_mm`.
    pub fn bar(profile: &[Point], from_mm: f64, to_mm: f64) -> Option<Prism> {
        let base = profile
            .iter()
            .map(|corner| Vector3::new(corner.x, from_mm, corner.y));
        Prism::new(base.collect(), Vector3::new(0.0, to_mm - from_mm, 0.0))
    }

    /// The prism moved.
    pub fn moved(&self, motion: &Isometry3<f64>) -> Prism {
        let turned = |vectors: &[Vector3<f64>]| vectors.iter().map(|v| motion.rotation * v).collect();
        let place = |p: &Vector3<f64>| motion.rotation * p + motion.translation.vector;
        Prism {
            base: self.base.iter().map(place).collect(),
            along: motion.rotation * self.along,
            normals: turned(&self.normals),
            edges: turned(&self.edges),
            centre: place(&self.centre),
            reach_mm: self.reach_mm,
        }
    }

    /// Its corners, both ends.
    pub fn corners(&self) -> impl Iterator<Item = Vector3<f64>> + Clone + '_ {
        self.base
            .iter()
            .copied()
            .chain(self.base.iter().map(|corner| corner + self.along))
    }

    /// From and to along a unit axis.
    pub fn extent(&self, axis: &Vector3<f64>) -> (f64, f64) {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for corner in &self.base {
            let at = corner.dot(axis);
            low = low.min(at);
            high = high.max(at);
        }
        let along = self.along.dot(axis);
        (low + along.min(0.0), high + along.max(0.0))
    }

    /// Whether every face of it stands along this unit line or square to it.
    pub(crate) fn stands_along(&self, line: &Vector3<f64>) -> bool {
        self.normals.iter().all(|normal| {
            normal.dot(line).abs() < SQUARE || normal.cross(line).norm_squared() < SQUARE * SQUARE
        })
    }

    /// Its volume, mm3.
    pub fn volume_mm3(&self) -> f64 {
        let fan = self.base[1..].windows(2);
        let twice: Vector3<f64> = fan
            .map(|pair| (pair[0] - self.base[0]).cross(&(pair[1] - self.base[0])))
            .sum();
        twice.dot(&self.along).abs() / 2.0
    }
}
