//! A mesh with what holds it and one load, put together in the words of the published cases.

use nalgebra::Vector6;
use shell::{Axis, Dof, LoadCase, Mesh, Model, Point, Solution, Tie, Vector};

use crate::shapes::grid::Grid;

/// All six.
pub const BUILT_IN: [Axis; 6] = [
    Axis::X,
    Axis::Y,
    Axis::Z,
    Axis::AboutX,
    Axis::AboutY,
    Axis::AboutZ,
];
/// On a plane of symmetry with x as its normal.
pub const MIRROR_X: [Axis; 3] = [Axis::X, Axis::AboutY, Axis::AboutZ];
/// On a plane of symmetry with y as its normal.
pub const MIRROR_Y: [Axis; 3] = [Axis::Y, Axis::AboutX, Axis::AboutZ];
/// On a plane of symmetry with z as its normal.
pub const MIRROR_Z: [Axis; 3] = [Axis::Z, Axis::AboutX, Axis::AboutY];

/// A case ready to solve.
#[derive(Debug, Clone)]
pub struct Trial {
    pub model: Model,
    pub load: LoadCase,
}

impl Trial {
    pub fn new(mesh: Mesh) -> Self {
        Self {
            model: Model {
                mesh,
                ..Model::default()
            },
            load: LoadCase::default(),
        }
    }

    /// The nodes whose place answers to this.
    pub fn nodes(&self, at: impl Fn(&Point) -> bool) -> Vec<u32> {
        let nodes = self.model.mesh.nodes.iter().enumerate();
        nodes.filter(|(_, p)| at(p)).map(|(i, _)| i as u32).collect()
    }

    /// Holds these at nought. What is held already stays as it is.
    pub fn fix(&mut self, nodes: &[u32], axes: &[Axis]) {
        for node in nodes {
            for axis in axes {
                self.impose(*node, *axis, 0.0);
            }
        }
    }

    /// Moves or turns a node by so much.
    pub fn impose(&mut self, node: u32, axis: Axis, by: f64) {
        let dof = Dof { node, axis };
        if self.model.ties.iter().all(|tie| tie.dof != dof) {
            self.model.ties.push(Tie {
                dof,
                follows: Vec::new(),
                offset: by,
            });
        }
    }

    /// A force on a node.
    pub fn push(&mut self, node: u32, force: Vector) {
        let load = Vector6::new(force.x, force.y, force.z, 0.0, 0.0, 0.0);
        self.load.at_nodes.push((node, load));
    }

    /// A force spread evenly over an edge of straight pieces: each node takes half of the pieces beside it.
    pub fn push_edge(&mut self, edge: &[u32], force: Vector) {
        let place = |node: u32| self.model.mesh.nodes[node as usize];
        let pieces: Vec<f64> = edge
            .windows(2)
            .map(|e| (place(e[1]) - place(e[0])).norm())
            .collect();
        let length: f64 = pieces.iter().sum();
        for (pair, piece) in edge.windows(2).zip(pieces) {
            for node in pair {
                self.push(*node, force * (0.5 * piece / length));
            }
        }
    }

    /// A pressure on every triangle, into the upper face.
    pub fn press(&mut self, pressure: f64) {
        let triangles = 0..self.model.mesh.triangles.len() as u32;
        self.load
            .pressures
            .extend(triangles.map(|triangle| (triangle, pressure)));
    }

    /// Movements and forces.
    ///
    /// # Panics
    /// When the case cannot be solved: all of these can.
    pub fn solve(&self) -> Solution {
        let prepared = shell::prepare(&self.model).expect("the case is held");
        prepared.solve(&self.load).expect("the load can be carried")
    }
}

/// The nodes of a grid `j` cells across.
pub fn column(grid: &Grid, j: usize) -> Vec<u32> {
    (0..=grid.along).map(|i| grid.node(i, j)).collect()
}

/// How far a node has moved.
pub fn moved(solution: &Solution, node: u32) -> Vector {
    solution.moves[node as usize].fixed_rows::<3>(0).into_owned()
}
