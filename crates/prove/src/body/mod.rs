//! A folded part as a shell: the middle surface of its plate in triangles.
//!
//! The blank is meshed in the plane, panels and bends as regions that share the nodes of their tangent lines, and every
//! node is then carried to its place in the folded part: a panel's by the panel's own motion, at the middle of the
//! plate; a bend's rolled onto the cylinder of its middle radius r + t/2, the strip on the blank (which is as wide as
//! the neutral line is long) stretched evenly over it. So the mesh fits together by construction.

mod adapt;
mod draw;
mod fold;
mod lines;
mod look;
mod sizes;

use plane::Point;
use sheet::Part;
use shell::plan::{PlanError, Sliver};
use shell::{Mesh, Section};

pub use adapt::{AdaptError, Adapted, Judged, Stopped, Targets, Turn, adapted};
pub use look::{Rim, SeamNodes};

/// What the mesh of a part is to be like.
#[derive(Debug, Clone, PartialEq)]
pub struct BodyOptions {
    /// Modulus of elasticity, MPa, above 0.
    pub elastic_mpa: f64,
    /// Poisson's ratio, from 0 to under 0.5.
    pub poisson: f64,
    /// Density, t/mm3, at least 0.
    pub density_t_mm3: f64,
    /// About how many unknowns (six at a node) the mesh is to have; where bends and holes alone take more, it has more.
    pub target_unknowns: usize,
    /// More unknowns than this are refused.
    pub most_unknowns: usize,
    /// Elements round a bend of 90 degrees, at least 1; other angles in proportion.
    pub per_quarter_bend: usize,
    /// Elements round a hole, at least 3; arcs that cut into the plate in proportion.
    pub per_hole: usize,
    /// Circles that the mesh is to keep, where they fit within their panel.
    pub rings: Vec<Ring>,
}

/// A circle about a place on the blank, such as a washer's edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ring {
    /// Its centre, in blank axes.
    pub centre: Point,
    /// Its radius, above 0.
    pub radius_mm: f64,
}

/// The smooth surface that a triangle is part of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Patch {
    /// A panel, as an index into [`Part::panels`].
    Panel(usize),
    /// A bend, as an index into [`Part::bends`].
    Bend(usize),
}

/// A part in triangles.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// The middle surface in the axes of the folded part. Triangles run counter-clockwise seen from the marked face, so
    /// the upper face is the marked one. All have section 0.
    pub mesh: Mesh,
    /// Where each node lies on the blank.
    pub blank_at: Vec<Point>,
    /// What each of [`Mesh::patches`] is: panels in their order, then bends in theirs.
    pub patches: Vec<Patch>,
    /// For each node, a patch it is in, as an index into [`Body::patches`]: the panel at a tangent line.
    pub patch_of: Vec<u32>,
    /// For each node, whether it lies within an arc of the rim: no corner, however uneven the chords there.
    pub within_arcs: Vec<bool>,
    /// Nodes on the rims of openings that lie within a panel, in the order of [`Part::openings`].
    pub rims: Vec<Rim>,
    /// Every free edge as a closed run of nodes, material on the left, from its lowest node on.
    pub edges: Vec<Vec<u32>>,
    /// For each seam of the part, the nodes along its two edges.
    pub seams: Vec<SeamNodes>,
    /// Triangles on the blank with an angle under 20 degrees.
    pub slivers: Vec<Sliver>,
    /// Rings asked for that do not fit in their panel, or are too near another; the mesh has no circle there. Indices
    /// into [`BodyOptions::rings`].
    pub rings_left_out: Vec<usize>,
}

/// Why a part has no mesh.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BodyError {
    /// The plate has no thickness.
    #[error("a plate of {thickness_mm} mm has no stiffness; its thickness must be above 0")]
    Thickness {
        /// As given.
        thickness_mm: f64,
    },
    /// A property of the metal that cannot be.
    #[error(
        "no metal has a modulus of {elastic_mpa} MPa, a Poisson's ratio of {poisson} and a density of {density_t_mm3} t/mm3"
    )]
    Metal {
        /// Must be above 0.
        elastic_mpa: f64,
        /// Must be from 0 to under 0.5.
        poisson: f64,
        /// Must be at least 0.
        density_t_mm3: f64,
    },
    /// The part is in pieces that nothing joins.
    #[error("the part is in {} pieces; these are not joined: {}", pieces.len(), told(pieces))]
    InPieces {
        /// Names of the panels of each piece.
        pieces: Vec<Vec<String>>,
    },
    /// A panel has no material left.
    #[error("panel {panel} has no material left")]
    NothingLeft {
        /// Its name.
        panel: String,
    },
    /// More unknowns than allowed.
    #[error("about {estimated} unknowns would be needed, and {most} are allowed")]
    TooMany {
        /// About how many.
        estimated: usize,
        /// How many are allowed.
        most: usize,
    },
    /// The lines of the blank do not make a plan.
    #[error("the blank cannot be cut into triangles: {0}")]
    Plan(PlanError),
}

fn told(pieces: &[Vec<String>]) -> String {
    let names: Vec<String> = pieces.iter().map(|piece| piece.join(" with ")).collect();
    names.join("; ")
}

impl Default for BodyOptions {
    /// Steel (210,000 MPa, 0.3, 7.85e-9 t/mm3), about 15,000 unknowns, 4 elements round a quarter bend, 16 round a hole.
    fn default() -> Self {
        BodyOptions {
            elastic_mpa: 210_000.0,
            poisson: 0.3,
            density_t_mm3: 7.85e-9,
            target_unknowns: 15_000,
            most_unknowns: 200_000,
            per_quarter_bend: 4,
            per_hole: 16,
            rings: Vec::new(),
        }
    }
}

/// The part in triangles, finer at bends, holes and re-entrant corners.
///
/// # Errors
/// [`BodyError`].
pub fn body(part: &Part, options: &BodyOptions) -> Result<Body, BodyError> {
    refined_body(part, options, &|_| f64::INFINITY)
}

/// As [`body`], with edges no longer than `finer_mm` says at each place of the blank as far as the angles let them. The
/// sizes found from `target_unknowns` stay the largest there are.
///
/// # Errors
/// [`BodyError`].
pub fn refined_body(
    part: &Part,
    options: &BodyOptions,
    finer_mm: &dyn Fn(Point) -> f64,
) -> Result<Body, BodyError> {
    check(part, options)?;
    let most = options.most_unknowns / shell::PER_NODE;
    let over = |fault| match fault {
        PlanError::OverBudget { estimated, most } => BodyError::TooMany {
            estimated: estimated * shell::PER_NODE,
            most: most * shell::PER_NODE,
        },
        fault => BodyError::Plan(fault),
    };
    let target = (options.target_unknowns / shell::PER_NODE) as f64;
    let largest_mm = sizes::largest_mm(part, options, target).map_err(over)?;
    let sizes = sizes::Sizes::of(part, options, largest_mm);
    let drawing = draw::drawing(part, options, &sizes);
    let filled = drawing
        .plan
        .fill(&|at| sizes.at(at).min(finer_mm(at)), most)
        .map_err(over)?;
    fold::folded(part, options, drawing, filled)
}

fn check(part: &Part, options: &BodyOptions) -> Result<(), BodyError> {
    let t = part.thickness_mm;
    if !(t > 0.0 && t.is_finite()) {
        return Err(BodyError::Thickness { thickness_mm: t });
    }
    let BodyOptions {
        elastic_mpa,
        poisson,
        density_t_mm3,
        ..
    } = *options;
    let known = elastic_mpa > 0.0
        && elastic_mpa.is_finite()
        && (0.0..0.5).contains(&poisson)
        && density_t_mm3 >= 0.0
        && density_t_mm3.is_finite();
    if known {
        Ok(())
    } else {
        Err(BodyError::Metal {
            elastic_mpa,
            poisson,
            density_t_mm3,
        })
    }
}

fn section(part: &Part, options: &BodyOptions) -> Section {
    Section {
        thickness_mm: part.thickness_mm,
        elastic_mpa: options.elastic_mpa,
        poisson: options.poisson,
        density_t_mm3: options.density_t_mm3,
    }
}
