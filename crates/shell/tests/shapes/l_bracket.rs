//! The bracket that all solvers are compared on: a flat of 60 mm, a bend of radius 6 mm through 90 degrees, a flat of
//! 60 mm, all along the middle line; 40 mm wide and 3 mm thick; one end edge built in, loads on the edge at the other.

use nalgebra::Vector6;
use shell::{LoadCase, Mesh, Point, Section, Tie, Vector, ties_fixing};

use super::grid::Grid;

const FLAT_MM: f64 = 60.0;
const RADIUS_MM: f64 = 6.0;
const WIDTH_MM: f64 = 40.0;
/// Along x, from one face of the far flat to the other.
const ACROSS_N: f64 = 100.0;
/// Along y, along the far edge.
const SIDEWAYS_N: f64 = 30.0;

/// Aluminium plate of 3 mm.
pub const PLATE: Section = Section {
    thickness_mm: 3.0,
    elastic_mpa: 70_000.0,
    poisson: 0.33,
    density_t_mm3: 2.7e-9,
};

/// Where the sideways force acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spread {
    /// On one corner.
    Corner,
    /// Along the edge, like the other.
    Edge,
}

/// The bracket as a mesh, with the nodes that matter.
#[derive(Debug, Clone)]
pub struct LBracket {
    /// Triangles: flat, bend and flat are a patch each.
    pub mesh: Mesh,
    /// Nodes of the edge that is built in, x = 0.
    pub root: Vec<u32>,
    /// Nodes of the loaded edge, in order of y.
    pub far_edge: Vec<u32>,
}

impl LBracket {
    /// Cells of about this size, the whole number of them that is nearest.
    pub fn new(cell_mm: f64) -> Self {
        let cells = |length: f64| ((length / cell_mm).round() as usize).max(1);
        let arc = RADIUS_MM * std::f64::consts::FRAC_PI_2;
        Self::with_cells(cells(FLAT_MM), cells(arc), cells(WIDTH_MM))
    }

    /// So many cells along each flat, round the bend, and across.
    pub fn with_cells(flat: usize, bend: usize, across: usize) -> Self {
        let along = 2 * flat + bend;
        let grid = Grid::new(along, across, |u, v| {
            let i = u * along as f64;
            let (flat, bend) = (flat as f64, bend as f64);
            let (x, z) = if i <= flat {
                (FLAT_MM * i / flat, 0.0)
            } else if i <= flat + bend {
                let turned = std::f64::consts::FRAC_PI_2 * (i - flat) / bend;
                (
                    FLAT_MM + RADIUS_MM * turned.sin(),
                    RADIUS_MM * (1.0 - turned.cos()),
                )
            } else {
                (
                    FLAT_MM + RADIUS_MM,
                    RADIUS_MM + FLAT_MM * (i - flat - bend) / flat,
                )
            };
            Point::new(x, WIDTH_MM * v, z)
        });
        let (root, far_edge) = (grid.row(0), grid.row(along));
        let mesh = grid.mesh(PLATE, |i| u32::from(i >= flat) + u32::from(i >= flat + bend));
        Self { mesh, root, far_edge }
    }

    /// The root edge held in all six.
    pub fn built_in(&self) -> Vec<Tie> {
        self.root.iter().flat_map(|node| ties_fixing(*node)).collect()
    }

    /// Both forces on the far edge. What is spread goes to the nodes by the length of edge that is theirs.
    pub fn load(&self, sideways: Spread) -> LoadCase {
        let cells = (self.far_edge.len() - 1) as f64;
        let last = self.far_edge.len() - 1;
        let mut at_nodes = Vec::new();
        for (j, node) in self.far_edge.iter().enumerate() {
            let share = if j == 0 || j == last { 0.5 } else { 1.0 } / cells;
            let along_edge = match sideways {
                Spread::Edge => SIDEWAYS_N * share,
                Spread::Corner if j == last => SIDEWAYS_N,
                Spread::Corner => 0.0,
            };
            at_nodes.push((*node, force(Vector::new(ACROSS_N * share, along_edge, 0.0))));
        }
        LoadCase {
            at_nodes,
            ..LoadCase::default()
        }
    }

    /// The node whose movement is compared: the corner of the far edge away from the sideways force, y = 0.
    pub fn tip(&self) -> u32 {
        self.far_edge[0]
    }

    /// The corner that carries the sideways force.
    pub fn corner(&self) -> u32 {
        self.far_edge[self.far_edge.len() - 1]
    }
}

fn force(force: Vector) -> Vector6<f64> {
    Vector6::new(force.x, force.y, force.z, 0.0, 0.0, 0.0)
}
