//! What there is to say of a bracket under its loads.

use nalgebra::{Point3, Vector3};

use crate::by_hand::ByHand;
use crate::fatigue::LifeBand;
use crate::joint::BoltJudged;
use crate::judge::{Check, Missing};
use crate::proof::ProofTest;
use crate::weld::ThroatStress;

/// The two faces of the plate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The face looked at while marking out.
    Marked,
    /// The other.
    Far,
}

/// Where on the part something is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Index into the part's panels.
    Panel(usize),
    /// Index into the part's bends.
    Bend(usize),
}

/// The stress that decides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Von Mises stress, MPa.
    pub mises_mpa: f64,
    /// Principal stress of largest size, MPa: above 0 pulls.
    pub principal_mpa: f64,
    /// Its direction, unit, in equipment axes.
    pub direction: Vector3<f64>,
    /// Which face.
    pub side: Side,
    /// Panel or bend.
    pub in_: Part,
    /// In equipment axes, on the middle surface.
    pub at: Point3<f64>,
    /// On the blank.
    pub blank_at: plane::Point,
    /// Within the heat-affected zone of a weld.
    pub beside_weld: bool,
    /// How the figure was had.
    pub rule: PeakRule,
}

/// How a stress was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PeakRule {
    /// Recovered from the elements at a place where the stress is regular.
    Recovered,
    /// Read at a distance from a place where it is not, and multiplied by a notch factor.
    Notch {
        /// The factor.
        factor: f64,
    },
    /// Extrapolated to a weld toe from 0.4 t and 1.0 t.
    HotSpot,
}

/// How the support moves from where it is at rest: tightened, under its own weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moves {
    /// In equipment axes, mm.
    pub moves_mm: Vector3<f64>,
    /// In equipment axes, rad.
    pub turns_rad: Vector3<f64>,
    /// The turn about the line from the middle of the mounts to the support: twist, rad.
    pub twist_rad: f64,
    /// The turn across that line: bending, rad.
    pub bend_rad: f64,
}

/// What a bolt carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoltForces {
    /// Index into the mounts.
    pub mount: usize,
    /// Pull in the bolt, N, prying and preload included.
    pub tension_n: f64,
    /// Across it, N, in equipment axes.
    pub shear_n: Vector3<f64>,
    /// Bending in it, N mm.
    pub bending_n_mm: f64,
    /// What the foot presses on its seat with, N.
    pub foot_n: f64,
    /// Share of the foot's nodes that have lifted off, 0 to 1.
    pub lifted: f64,
}

/// What a weld carries where it carries most: the mean over the least length that its fillet is counted on, 4 legs, as a
/// peak at the end of a weld hangs on the mesh. When its size is not known, at one node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeldForces {
    /// Index into the bracket's welds.
    pub weld: usize,
    /// Force per length there, N/mm, in equipment axes.
    pub line_n_mm: Vector3<f64>,
    /// The middle of that length, in equipment axes.
    pub at: Point3<f64>,
    /// Stress in the throat; none when the weld's size is not known.
    pub throat: Option<ThroatStress>,
}

/// A kind of place where a crack may start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Detail {
    /// A cut edge.
    Edge,
    /// The rim of a hole.
    Hole,
    /// A face of the plate.
    Face,
    /// The toe of a weld.
    Toe,
}

/// How long the worst place of a kind lasts.
#[derive(Debug, Clone, PartialEq)]
pub struct Lasts {
    /// What kind of place.
    pub detail: Detail,
    /// Where, in equipment axes.
    pub at: Point3<f64>,
    /// Highest stress range there, MPa, and the load that makes it.
    pub range_mpa: f64,
    /// Index of that load.
    pub load: usize,
    /// Life, an estimate.
    pub life: LifeBand,
}

/// What the yield strength says of permanent set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Set {
    /// None: no place reaches yield.
    None,
    /// At a spot: the peak passes yield, the section does not.
    Spot,
    /// Through a section: it stays bent.
    Section,
}

/// One load, or several at once, with the part's own weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Its name.
    pub name: String,
    /// Indices of the loads.
    pub loads: Vec<usize>,
    /// One of them is sudden.
    pub sudden: bool,
    /// What the whole came to at the support or where the load comes in: force, N, factors included.
    pub force_n: Vector3<f64>,
    /// The stress that decides; none when there is no place to read one.
    pub peak: Option<Peak>,
    /// How the support moves.
    pub moves: Option<Moves>,
    /// What the place where each load comes in moves, mm, in the order of `loads`.
    pub load_moves_mm: Vec<Vector3<f64>>,
    /// Bolts, in the order of the mounts.
    pub bolts: Vec<BoltForces>,
    /// The same, judged by hand.
    pub bolts_judged: Vec<BoltJudged>,
    /// Welds, in the order of the bracket's.
    pub welds: Vec<WeldForces>,
    /// What a person would reckon, for the same load; none where the strip does not serve.
    pub by_hand: Option<ByHand>,
    /// Factor on the load at which the plate buckles; none when it does not.
    pub buckles_at: Option<f64>,
    /// Permanent set.
    pub set: Option<Set>,
    /// The part moves too far for the linear answer to be believed.
    pub large: Option<Large>,
}

impl Case {
    /// The movement of the support that a limit is held against, mm: as it was followed, where it was to the end, else by
    /// the linear answer.
    pub fn held_moves_mm(&self) -> Option<f64> {
        let linear = self.moves.as_ref().map(|moves| moves.moves_mm.norm())?;
        Some(match self.large.and_then(|large| large.followed) {
            Some(Followed::Moves { moves_mm, .. }) => moves_mm,
            _ => linear,
        })
    }

    /// The turn of the support that a limit is held against, rad; as for the movement.
    pub fn held_turns_rad(&self) -> Option<f64> {
        let linear = self.moves.as_ref().map(|moves| moves.turns_rad.norm())?;
        Some(match self.large.and_then(|large| large.followed) {
            Some(Followed::Moves { turns_rad, .. }) => turns_rad,
            _ => linear,
        })
    }

    /// The stress that strength is held against, MPa: of the linear answer, or what it comes to when followed, whichever is
    /// more. Where following takes stress off, the linear one stands, as the bolts and welds are held to that as well.
    pub fn held_mises_mpa(&self) -> Option<f64> {
        let linear = self.peak.as_ref()?.mises_mpa;
        Some(match self.large.and_then(|large| large.followed) {
            Some(Followed::Moves {
                stress: Some(stress), ..
            }) => linear * stress.max(1.0),
            _ => linear,
        })
    }
}

/// What a solution with large movement says, beside the linear one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Large {
    /// The largest linear movement of any place over the thickness.
    pub in_thicknesses: f64,
    /// How far the support moves by the linear answer, mm; without a support, the place where the first load comes in.
    pub linear_mm: f64,
    /// What became of it when it was followed as it moves; none when that was not asked for.
    pub followed: Option<Followed>,
}

/// A part followed as it moves, the load in steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Followed {
    /// The whole load is balanced.
    Moves {
        /// How far the place of [`Large::linear_mm`] moves, mm.
        moves_mm: f64,
        /// How far it turns, rad.
        turns_rad: f64,
        /// The stress that decides over that of the linear answer, both on the mesh that is followed; none when no stress
        /// is read there.
        stress: Option<f64>,
    },
    /// It buckles or snaps through.
    GivesWay {
        /// At this share of the load, under 1.
        at: f64,
    },
    /// It could not be followed to the end.
    Lost {
        /// The share of the load that was reached, under 1.
        at: f64,
    },
}

/// How far the numbers can be trusted as numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trust {
    /// Unknowns of the last mesh.
    pub unknowns: usize,
    /// Meshes made.
    pub meshes: usize,
    /// Estimated error of movement, as a share.
    pub movement: f64,
    /// Estimated error of the reported stress, as a share.
    pub stress: f64,
    /// Both are within what was asked for.
    pub reached: bool,
}

/// The folded middle surface with what the loads do to it, for a picture.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Picture {
    /// Nodes, in equipment axes, mm.
    pub nodes: Vec<Point3<f64>>,
    /// Corners, counter-clockwise seen from the marked face.
    pub triangles: Vec<[u32; 3]>,
    /// For each triangle, what it is part of.
    pub parts: Vec<Part>,
    /// For each case, for each triangle, the higher von Mises stress of the two faces at its corners, MPa.
    pub mises_mpa: Vec<Vec<[f64; 3]>>,
    /// For each case, how each node moves, mm.
    pub moves_mm: Vec<Vec<Vector3<f64>>>,
}

/// All that there is to say.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Every case: each load alone, then those that act at once.
    pub cases: Vec<Case>,
    /// Lowest natural frequency with what hangs on the support, Hz.
    pub first_hz: Option<f64>,
    /// How long it lasts, the shortest first.
    pub lasts: Vec<Lasts>,
    /// A test for the bench; none where there is nothing to pull at.
    pub proof: Option<ProofTest>,
    /// Everything held against a limit, the tightest first.
    pub checks: Vec<Check>,
    /// What could not be checked, and why.
    pub missing: Vec<Missing>,
    /// How far the numbers can be trusted as numbers.
    pub trust: Trust,
    /// For drawing.
    pub picture: Picture,
}
