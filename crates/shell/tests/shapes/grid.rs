//! A rectangle of nodes laid into space, each cell cut into two triangles.

use shell::{Mesh, Point, Section};

/// Nodes in rows.
#[derive(Debug, Clone)]
pub struct Grid {
    /// Cells in the first direction.
    pub along: usize,
    /// Cells in the second.
    pub across: usize,
    nodes: Vec<Point>,
}

impl Grid {
    /// Lays the corners of the cells where `place(u, v)` says, u and v from 0 to 1. The upper face is the one that sees
    /// u turn to v counter-clockwise.
    pub fn new(along: usize, across: usize, place: impl Fn(f64, f64) -> Point) -> Self {
        let mut nodes = Vec::with_capacity((along + 1) * (across + 1));
        for i in 0..=along {
            for j in 0..=across {
                nodes.push(place(i as f64 / along as f64, j as f64 / across as f64));
            }
        }
        Self { along, across, nodes }
    }

    /// The node `i` cells along and `j` across.
    pub fn node(&self, i: usize, j: usize) -> u32 {
        (i * (self.across + 1) + j) as u32
    }

    /// The nodes `i` cells along.
    pub fn row(&self, i: usize) -> Vec<u32> {
        (0..=self.across).map(|j| self.node(i, j)).collect()
    }

    /// The mesh, of one section; `patch(i)` names the patch of the cells past `i` along. Cells are cut one way and the
    /// other by turns, so that the mesh has no grain.
    pub fn mesh(self, section: Section, patch: impl Fn(usize) -> u32) -> Mesh {
        let mut triangles = Vec::with_capacity(2 * self.along * self.across);
        let mut patches = Vec::with_capacity(triangles.capacity());
        for i in 0..self.along {
            for j in 0..self.across {
                let (a, b) = (self.node(i, j), self.node(i + 1, j));
                let (c, d) = (self.node(i + 1, j + 1), self.node(i, j + 1));
                triangles.extend(if (i + j) % 2 == 0 {
                    [[a, b, c], [a, c, d]]
                } else {
                    [[a, b, d], [b, c, d]]
                });
                patches.extend([patch(i); 2]);
            }
        }
        Mesh {
            nodes: self.nodes,
            section_of: vec![0; triangles.len()],
            triangles,
            patches,
            sections: vec![section],
        }
    }
}
