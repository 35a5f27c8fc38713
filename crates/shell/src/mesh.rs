//! Triangles in space, and what each is made of.

use thiserror::Error;

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

/// Why a [`Mesh`] cannot be worked with.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum MeshError {
    /// Nothing to work with.
    #[error("the mesh has no triangles")]
    Empty,
    /// The lists that run along the triangles differ in length.
    #[error("{triangles} triangles, but {patches} patches and {sections} sections are named for them")]
    Lengths {
        /// Number of triangles.
        triangles: usize,
        /// Number of patches named.
        patches: usize,
        /// Number of sections named.
        sections: usize,
    },
    /// A node has a coordinate that is not a number.
    #[error("node {node} is nowhere: a coordinate is not a finite number")]
    NodeNowhere {
        /// The node.
        node: u32,
    },
    /// A triangle names a node that is not there, or one of its nodes twice.
    #[error("triangle {triangle} names a node that is not there, or one twice")]
    BadTriangle {
        /// The triangle.
        triangle: u32,
    },
    /// A triangle has no area to speak of.
    #[error("triangle {triangle} is flat: its height is less than {FLATTEST} of its longest side")]
    FlatTriangle {
        /// The triangle.
        triangle: u32,
    },
    /// A triangle names a section that is not there.
    #[error("triangle {triangle} names section {section}, which is not there")]
    NoSection {
        /// The triangle.
        triangle: u32,
        /// The section it names.
        section: u32,
    },
    /// A section has a value out of its range.
    #[error("section {section} has a thickness, modulus, Poisson's ratio or density out of range")]
    BadSection {
        /// The section.
        section: u32,
    },
    /// More nodes or triangles than can be numbered.
    #[error("{nodes} nodes and {triangles} triangles are more than can be numbered")]
    TooMany {
        /// Number of nodes.
        nodes: usize,
        /// Number of triangles.
        triangles: usize,
    },
}

/// Least height of a triangle as a part of its longest side. A triangle below this loses half of the sixteen digits in
/// its own stiffness.
const FLATTEST: f64 = 1e-6;

/// Most nodes or triangles: six unknowns of each node must be numbered in 31 bits.
const MOST: usize = (i32::MAX / 6) as usize;

impl Section {
    /// Whether every value is in its range.
    #[must_use]
    pub fn is_valid(&self) -> bool {
        let positive = |value: f64| value.is_finite() && value > 0.0;
        positive(self.thickness_mm)
            && positive(self.elastic_mpa)
            && (0.0..0.5).contains(&self.poisson)
            && self.density_t_mm3.is_finite()
            && self.density_t_mm3 >= 0.0
    }
}

impl Mesh {
    /// Whether the mesh can be worked with: every index leads somewhere, every value is in its range and no triangle is
    /// flat.
    ///
    /// # Errors
    /// The first thing found wrong, in the order of [`MeshError`].
    pub fn check(&self) -> Result<(), MeshError> {
        if self.triangles.is_empty() {
            return Err(MeshError::Empty);
        }
        if self.nodes.len() > MOST || self.triangles.len() > MOST {
            return Err(MeshError::TooMany {
                nodes: self.nodes.len(),
                triangles: self.triangles.len(),
            });
        }
        if self.patches.len() != self.triangles.len() || self.section_of.len() != self.triangles.len() {
            return Err(MeshError::Lengths {
                triangles: self.triangles.len(),
                patches: self.patches.len(),
                sections: self.section_of.len(),
            });
        }
        for (node, place) in (0..).zip(&self.nodes) {
            if !place.iter().all(|value| value.is_finite()) {
                return Err(MeshError::NodeNowhere { node });
            }
        }
        for (section, values) in (0..).zip(&self.sections) {
            if !values.is_valid() {
                return Err(MeshError::BadSection { section });
            }
        }
        for (triangle, (nodes, &section)) in (0..).zip(self.triangles.iter().zip(&self.section_of)) {
            let [a, b, c] = *nodes;
            if a == b || b == c || c == a || nodes.iter().any(|&node| node as usize >= self.nodes.len()) {
                return Err(MeshError::BadTriangle { triangle });
            }
            let [a, b, c] = self.corners(triangle as usize);
            let longest = (b - a)
                .norm_squared()
                .max((c - b).norm_squared())
                .max((a - c).norm_squared());
            if (b - a).cross(&(c - a)).norm() <= FLATTEST * longest {
                return Err(MeshError::FlatTriangle { triangle });
            }
            if section as usize >= self.sections.len() {
                return Err(MeshError::NoSection { triangle, section });
            }
        }
        Ok(())
    }

    /// The places of a triangle's three nodes.
    #[must_use]
    pub fn corners(&self, triangle: usize) -> [Point; 3] {
        self.triangles[triangle].map(|node| self.nodes[node as usize])
    }

    /// What a triangle is made of.
    #[must_use]
    pub fn section(&self, triangle: usize) -> &Section {
        &self.sections[self.section_of[triangle] as usize]
    }
}
