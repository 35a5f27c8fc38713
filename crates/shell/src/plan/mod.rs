//! Triangles in the plane: outlines, holes and inner lines filled with a graded mesh that keeps every line.
//!
//! A [`Plan`] is points and straight lines between them. [`Plan::fill`] cuts the lines as finely as wanted there,
//! triangulates what lies beside them, and puts in nodes until no triangle is larger than wanted and none has an angle
//! under [`LEAST_ANGLE_RAD`] that the lines do not force. What is forced is reported as a [`Sliver`].
//!
//! # Method
//! Constrained Delaunay triangulation of the lines with exact predicates (spade); refinement by circumcentres where a
//! line in the way is halved instead (Ruppert 1995, "A Delaunay refinement algorithm for quality 2-dimensional mesh
//! generation", Journal of Algorithms 18, 548-585; Chew 1993, "Guaranteed-quality mesh generation for curved surfaces",
//! SoCG 9, 274-280), with lines that meet at under 60 degrees cut on common circles about their corner (Miller, Pav,
//! Walkington 2003, "When and why Ruppert's algorithm works", 12th International Meshing Roundtable); then smoothing that
//! never makes a smallest angle worse.

mod coarse;
mod cut;
mod error;
mod grade;
mod quality;
mod refine;
mod smooth;
mod web;

use nalgebra::Point2;

pub use error::PlanError;
pub use quality::{LEAST_ANGLE_RAD, Sliver};

/// What lies beside a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// Material of this region.
    Region(u32),
    /// No material: the outside, or a hole.
    Nothing,
    /// Whatever is found there: the line does not part one region from another.
    Any,
}

/// A straight line that the mesh keeps: a rim, a border between regions, or a line drawn within one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line {
    /// Index of the point it starts at.
    pub from: u32,
    /// Index of the point it ends at.
    pub to: u32,
    /// What lies to the left of it.
    pub left: Beside,
    /// What lies to the right of it.
    pub right: Beside,
    /// Whether the material is cut through along it: triangles on its two sides share no nodes, but where a way round
    /// an end of the cut joins them.
    pub is_cut: bool,
}

/// Points and lines to be filled.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plan {
    /// Points, each once. All are kept exactly; those on no line too, where there is material.
    pub points: Vec<Point2<f64>>,
    /// Lines. They meet only at points of the plan, and pass through none.
    pub lines: Vec<Line>,
}

/// Nodes along a line, from its start to its end.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Chain {
    /// Nodes of the triangles to its left; empty when there is no material.
    pub left: Vec<u32>,
    /// Nodes of the triangles to its right. The same as on the left unless the line is a cut.
    pub right: Vec<u32>,
}

/// A plan filled with triangles.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Filled {
    /// Nodes: first the points of the plan in their order (one that no material touches is in no triangle), then the
    /// others.
    pub nodes: Vec<Point2<f64>>,
    /// Indices of nodes, counter-clockwise.
    pub triangles: Vec<[u32; 3]>,
    /// The region of each triangle.
    pub regions: Vec<u32>,
    /// For each line of the plan, the nodes on it.
    pub chains: Vec<Chain>,
    /// Triangles with an angle under [`LEAST_ANGLE_RAD`].
    pub slivers: Vec<Sliver>,
}

impl Plan {
    /// Fills what lies beside the lines with triangles whose edges are about `size_wanted_mm` long at each place.
    ///
    /// Sizes are wanted, not promised: short lines and narrow places make smaller triangles, and these grow back to what
    /// is wanted as fast as the angles let them. The same plan and sizes give the same triangles.
    ///
    /// # Errors
    /// [`PlanError`] when the lines cross or do not bound anything, a size is not above 0, or the mesh would need more
    /// than `most_nodes` nodes, which is found before the work is done.
    pub fn fill(
        &self,
        size_wanted_mm: &dyn Fn(Point2<f64>) -> f64,
        most_nodes: usize,
    ) -> Result<Filled, PlanError> {
        let sizes = grade::Sizes::new(size_wanted_mm);
        let mut web = coarse::web(self)?;
        grade::check_budget(self, &web, &sizes, most_nodes)?;
        grade::cut_lines(self, &mut web, &sizes, most_nodes)?;
        refine::refine(self, &mut web, &sizes, most_nodes)?;
        smooth::smooth(&mut web, self.points.len());
        sizes.check()?;
        Ok(cut::filled(self, web))
    }

    /// About how many nodes [`Plan::fill`] would make, without making them: what even triangles of the sizes wanted
    /// take. Short lines and narrow places add to it.
    ///
    /// # Errors
    /// As [`Plan::fill`], but for the budget.
    pub fn nodes_about(&self, size_wanted_mm: &dyn Fn(Point2<f64>) -> f64) -> Result<f64, PlanError> {
        grade::nodes_about(self, &coarse::web(self)?, &grade::Sizes::new(size_wanted_mm))
    }
}
