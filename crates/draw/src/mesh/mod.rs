//! The folded plate as a closed mesh of triangles.
//!
//! Panels are triangulated flat, bends are rolled strips, and both use the very same points where they meet: every
//! edge belongs to exactly two triangles, which run along it in opposite ways.

mod build;
mod flat;
#[cfg(test)]
mod tests;

use nalgebra::{Isometry3, Point3, Vector3};

pub use build::{MeshOptions, mesh, mesh_with};

/// What a triangle is part of, with the index of the panel or bend in the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Skin {
    /// The marked face of a panel.
    PanelMarked(usize),
    /// The far face of a panel.
    PanelFar(usize),
    /// The cut edge of a panel.
    PanelEdge(usize),
    /// The inside of a bend.
    BendInside(usize),
    /// The outside of a bend.
    BendOutside(usize),
    /// The cut edge of a bend.
    BendEdge(usize),
}

/// A closed surface of triangles, mm; by default that of nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mesh {
    /// Corners, each once.
    pub points: Vec<Point3<f64>>,
    /// Indices of corners, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// What each triangle is part of, in the same order.
    pub skins: Vec<Skin>,
}

/// An edge of a mesh that does not lie between exactly two triangles that run along it in opposite ways.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "the edge between corners {from} and {to} of the mesh has {along} triangles on one side and {against} on the other"
)]
pub struct NotClosed {
    /// Lower index.
    pub from: u32,
    /// Higher index.
    pub to: u32,
    /// Triangles that run from the lower to the higher.
    pub along: usize,
    /// Triangles that run the other way.
    pub against: usize,
}

impl Mesh {
    /// The corners of a triangle.
    pub fn corners(&self, triangle: [u32; 3]) -> [Point3<f64>; 3] {
        triangle.map(|corner| self.points[corner as usize])
    }

    /// Enclosed volume, mm3: a sixth of the sum of triple products.
    pub fn volume_mm3(&self) -> f64 {
        // From a corner of the mesh, so that a part far from the origin keeps its digits.
        let Some(origin) = self.points.first() else {
            return 0.0;
        };
        self.triangles
            .iter()
            .map(|&triangle| {
                let [a, b, c] = self.corners(triangle).map(|corner| corner - origin);
                a.dot(&b.cross(&c)) / 6.0
            })
            .sum()
    }

    /// Area of all triangles of some kinds of skin, mm2.
    pub fn area_mm2(&self, of: impl Fn(Skin) -> bool) -> f64 {
        self.triangles
            .iter()
            .zip(&self.skins)
            .filter(|&(_, &skin)| of(skin))
            .map(|(&triangle, _)| self.twice_area_vector(triangle).norm() / 2.0)
            .sum()
    }

    /// Unit vector out of the plate; zero for a triangle without area (the sharp inside of a slanting bend).
    pub fn normal(&self, triangle: [u32; 3]) -> Vector3<f64> {
        self.twice_area_vector(triangle)
            .try_normalize(0.0)
            .unwrap_or_default()
    }

    fn twice_area_vector(&self, triangle: [u32; 3]) -> Vector3<f64> {
        let [a, b, c] = self.corners(triangle);
        (b - a).cross(&(c - a))
    }

    /// The same mesh elsewhere.
    pub fn moved(mut self, to: &Isometry3<f64>) -> Mesh {
        self.points.iter_mut().for_each(|point| *point = to * *point);
        self
    }

    /// Proof that the mesh is closed: every edge lies between two triangles that run along it in opposite ways.
    ///
    /// # Errors
    /// The first edge that does not, in order of its corners.
    pub fn check_closed(&self) -> Result<(), NotClosed> {
        let mut edges: Vec<(u32, u32, bool)> = self
            .triangles
            .iter()
            .flat_map(|&[a, b, c]| [(a, b), (b, c), (c, a)])
            .map(|(a, b)| (a.min(b), a.max(b), a < b))
            .collect();
        edges.sort_unstable();
        for run in edges.chunk_by(|p, q| (p.0, p.1) == (q.0, q.1)) {
            let along = run.iter().filter(|edge| edge.2).count();
            let against = run.len() - along;
            if (along, against) != (1, 1) {
                return Err(NotClosed {
                    from: run[0].0,
                    to: run[0].1,
                    along,
                    against,
                });
            }
        }
        Ok(())
    }
}
