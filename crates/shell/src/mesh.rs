//! Triangles in space, and what each is made of.

use crate::Point;

/// What a triangle is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Thickness, mm, above 0.
    pub thickness_mm: f64,
    /// Modulus of elasticity, MPa, above 0.
    pub elastic_mpa: f64,
    /// Poisson's ratio, from 0 to under 0.5.
    pub poisson: f64,
    /// Density, t/mm3 (7.85e-9 for steel), at least 0.
    pub density_t_mm3: f64,
}

/// The middle surface of a shell as flat triangles.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mesh {
    /// Nodes, mm. A node that no triangle touches is a reference point of a coupling.
    pub nodes: Vec<Point>,
    /// Indices of nodes, counter-clockwise seen from the upper face.
    pub triangles: Vec<[u32; 3]>,
    /// For each triangle, the smooth surface it is part of (a panel, a bend). Stresses are never averaged from one to
    /// another.
    pub patches: Vec<u32>,
    /// For each triangle, its section as an index into [`Mesh::sections`].
    pub section_of: Vec<u32>,
    /// Sections.
    pub sections: Vec<Section>,
}
