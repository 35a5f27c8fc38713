//! The summary of a job: the contract that other programs read, and what the printed text is made from. Keys are added,
//! never renamed. A stage that has not run is absent.

mod bending;
mod carries;
mod coming;
mod cutting;
mod prove;
mod strips;

use serde::{Serialize, Serializer};

pub use bending::*;
pub use carries::*;
pub use coming::*;
pub use cutting::*;
pub use prove::*;
pub use strips::*;

use crate::finding::{Level, Verdict};

/// Numbers leave with this many decimals: a nanometre, far below anything measured and above rounding noise, so that
/// the same job gives the same bytes everywhere.
const DECIMALS: f64 = 1e6;

/// A number as it leaves.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Num(pub f64);

impl Serialize for Num {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if !self.0.is_finite() {
            return serializer.serialize_none();
        }
        let rounded = (self.0 * DECIMALS).round() / DECIMALS;
        // No "-0".
        serializer.serialize_f64(if rounded == 0.0 { 0.0 } else { rounded })
    }
}

/// All of it.
#[derive(Debug, Clone, Serialize)]
pub struct Summary {
    /// Version of the program.
    pub gusset: &'static str,
    /// Which job.
    pub job: Job,
    /// The five questions and their answers; absent without a fit.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub care: Vec<CareAnswer>,
    /// The four answers.
    pub verdicts: Verdicts,
    /// What there is to say.
    pub findings: Vec<FindingRow>,
    /// Measures as worked out.
    pub measures: Vec<MeasureRow>,
    /// Points and readings.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub survey: Option<Survey>,
    /// The flat plate.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub blank: Option<Blank>,
    /// The folded part.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub folded: Option<Folded>,
    /// On its mounts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fit: Option<FitReport>,
    /// What it carries, as understood; absent when the fit says nothing of loads.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub carries: Option<Carries>,
    /// What the loads do to it; absent when that could not be worked out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub prove: Option<Prove>,
    /// How it is cut; absent when there is no plan.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cut: Option<Cut>,
    /// In which order it is bent; absent when none was looked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bend: Option<Bend>,
}

/// Which job.
#[derive(Debug, Clone, Serialize)]
pub struct Job {
    /// Title of the design.
    pub title: String,
    /// Its revision.
    pub revision: Option<String>,
    /// Path of the design.
    pub design: String,
    /// Name of the fit.
    pub fit: Option<String>,
    /// Title of the fit.
    pub fit_title: Option<String>,
    /// Name of the shop.
    pub shop: Option<String>,
    /// The hand it is for.
    pub hand: &'static str,
    /// Is it the mirror image of the design as drawn?
    pub mirrored: bool,
    /// The stock in words.
    pub stock: Option<String>,
}

/// One of the five questions.
#[derive(Debug, Clone, Serialize)]
pub struct CareAnswer {
    /// The question.
    pub asks: &'static str,
    /// The answer.
    pub answer: &'static str,
}

/// The four answers.
#[derive(Debug, Clone, Serialize)]
pub struct Verdicts {
    /// Does it fit?
    pub fit: Verdict,
    /// Can it be cut?
    pub cut: Verdict,
    /// Can it be bent?
    pub bend: Verdict,
    /// Will it hold?
    pub hold: Verdict,
}

impl Verdicts {
    /// In the fixed order, with their questions.
    pub fn in_order(&self) -> [(&'static str, &Verdict); 4] {
        [
            ("Does it fit?", &self.fit),
            ("Can it be cut?", &self.cut),
            ("Can it be bent?", &self.bend),
            ("Will it hold?", &self.hold),
        ]
    }
}

/// A finding with its place.
#[derive(Debug, Clone, Serialize)]
pub struct FindingRow {
    /// Fixed word.
    pub code: &'static str,
    /// Weight.
    pub level: Level,
    /// The question it bears on: "fit", "cut", "bend" or "hold"; none where it is none of them.
    pub question: Option<&'static str>,
    /// What it is about.
    pub about: String,
    /// File, as the user would type it.
    pub file: Option<String>,
    /// Line, from 1.
    pub line: Option<usize>,
    /// Column, from 1.
    pub column: Option<usize>,
    /// What, and by how much.
    pub says: String,
    /// What to do; several ways are joined by "; or".
    pub fix: Option<String>,
}

/// A measure as worked out.
#[derive(Debug, Clone, Serialize)]
pub struct MeasureRow {
    /// Name.
    pub name: String,
    /// Value in the unit beside it: an angle in degrees, like every angle that leaves.
    pub value: Num,
    /// "mm", "deg", "N", "kg", "MPa", or "" for a plain number.
    pub unit: &'static str,
    /// As printed.
    pub shown: String,
    /// Was it found by the program?
    pub solved: bool,
}

/// Points and readings after adjustment.
#[derive(Debug, Clone, Serialize)]
pub struct Survey {
    /// Points.
    pub points: Vec<PointRow>,
    /// Readings.
    pub readings: Vec<ReadingRow>,
    /// Standard deviation of unit weight after adjustment; none without redundancy.
    pub sigma0: Option<Num>,
    /// Readings more than needed.
    pub redundancy: usize,
}

/// A point.
#[derive(Debug, Clone, Serialize)]
pub struct PointRow {
    /// Name.
    pub name: String,
    /// Across.
    pub x_mm: Num,
    /// Up.
    pub y_mm: Num,
    /// Standard deviation across.
    pub sd_x_mm: Num,
    /// Standard deviation up.
    pub sd_y_mm: Num,
}

/// A reading.
#[derive(Debug, Clone, Serialize)]
pub struct ReadingRow {
    /// What was read.
    pub about: String,
    /// As typed.
    pub read: String,
    /// Adjusted minus read, mm; for an angle absent.
    pub residual_mm: Option<Num>,
    /// The same for an angle, degrees.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub residual_deg: Option<Num>,
    /// 0: nothing checks it. 1: fully checked by others.
    pub redundancy: Num,
    /// Standardised residual; none when nothing checks it.
    pub w: Option<Num>,
    /// Is it a suspect?
    pub suspect: bool,
}

/// The flat plate.
#[derive(Debug, Clone, Serialize)]
pub struct Blank {
    /// One for each plate.
    pub parts: Vec<BlankPart>,
}

/// One plate.
#[derive(Debug, Clone, Serialize)]
pub struct BlankPart {
    /// Name.
    pub name: String,
    /// Material.
    pub area_mm2: Num,
    /// Mass.
    pub mass_kg: Num,
    /// Width and height.
    pub bounds_mm: [Num; 2],
    /// Length of the outside edge.
    pub outline_length_mm: Num,
    /// Plate.
    pub thickness_mm: Num,
    /// Holes.
    pub holes: Vec<BlankHole>,
    /// Bends.
    pub bends: Vec<BlankBend>,
}

/// A hole of the blank.
#[derive(Debug, Clone, Serialize)]
pub struct BlankHole {
    /// Name.
    pub name: String,
    /// Across.
    pub x_mm: Num,
    /// Up.
    pub y_mm: Num,
    /// Diameter; the width of a slot.
    pub dia_mm: Num,
    /// What it is for.
    #[serde(rename = "for")]
    pub takes: String,
}

/// A bend on the blank.
#[derive(Debug, Clone, Serialize)]
pub struct BlankBend {
    /// Name.
    pub name: String,
    /// Bent through.
    pub bent_deg: Num,
    /// Left between the legs.
    pub between_legs_deg: Num,
    /// Inside radius.
    pub radius_mm: Num,
    /// Width of the strip.
    pub allowance_mm: Num,
    /// Outside legs less the blank.
    pub deduction_mm: Num,
    /// Where the inside radius comes from.
    pub radius_from: String,
    /// From the crease to the tangent line.
    pub set_back_mm: Num,
    /// "up" or "down".
    pub way: &'static str,
    /// K and where it comes from.
    pub k: Num,
    /// Where K comes from.
    pub k_from: String,
    /// Start of the line to bend on.
    pub from_mm: [Num; 2],
    /// Its end.
    pub to_mm: [Num; 2],
}

/// The folded part, in the equipment's axes when it stands on mounts, else in the design's.
#[derive(Debug, Clone, Serialize)]
pub struct Folded {
    /// Whose axes these are.
    pub axes: &'static str,
    /// Holes: centre on the face the lines are on, axis out of the marked face.
    pub holes: Vec<FoldedHole>,
    /// Panels.
    pub panels: Vec<FoldedPanel>,
    /// Seams.
    pub seams: Vec<SeamRow>,
    /// Mass.
    pub mass_kg: Num,
    /// Volume of the solid.
    pub volume_mm3: Num,
    /// Centre of mass.
    pub centre_of_mass_mm: [Num; 3],
    /// Width, depth and height over all.
    pub bounds_mm: [Num; 3],
}

/// A hole in space.
#[derive(Debug, Clone, Serialize)]
pub struct FoldedHole {
    /// Name.
    pub name: String,
    /// Centre.
    pub at_mm: [Num; 3],
    /// Out of the marked face.
    pub axis: [Num; 3],
    /// Centre on the marked face.
    pub marked_mm: [Num; 3],
    /// Centre on the far face.
    pub far_mm: [Num; 3],
}

/// A panel in space.
#[derive(Debug, Clone, Serialize)]
pub struct FoldedPanel {
    /// Name.
    pub name: String,
    /// Where the origin of the design's axes went with this panel.
    pub origin_mm: [Num; 3],
    /// Where its x direction went.
    pub x_axis: [Num; 3],
    /// Where its y direction went.
    pub y_axis: [Num; 3],
}

/// A seam after folding.
#[derive(Debug, Clone, Serialize)]
pub struct SeamRow {
    /// Name.
    pub name: String,
    /// Gap at both ends.
    pub gap_mm: [Num; 2],
    /// Angle between the edges.
    pub twist_deg: Num,
    /// Largest gap allowed.
    pub allowed_mm: Num,
}

/// On its mounts.
#[derive(Debug, Clone, Serialize)]
pub struct FitReport {
    /// Mounts.
    pub mounts: Vec<MountRow>,
    /// Support.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub support: Option<SupportRow>,
    /// Keep-outs.
    pub keep_outs: Vec<KeepOutRow>,
}

/// A mount.
#[derive(Debug, Clone, Serialize)]
pub struct MountRow {
    /// Name.
    pub name: String,
    /// From the mount's axis to the hole's centre.
    pub offset_mm: Num,
    /// How much it may be.
    pub allowed_mm: Num,
    /// At the seat; negative where the plate would sink in.
    pub gap_mm: Num,
    /// How much it may be.
    pub gap_allowed_mm: Num,
    /// Plate against seat.
    pub tilt_deg: Num,
    /// How much it may be.
    pub tilt_allowed_deg: Num,
}

/// The support.
#[derive(Debug, Clone, Serialize)]
pub struct SupportRow {
    /// From where it must sit.
    pub offset_mm: Num,
    /// How much it may be.
    pub allowed_mm: Num,
    /// From how it must face.
    pub turn_deg: Num,
    /// How much it may be.
    pub allowed_deg: Num,
    /// The part's hole spacing less the support's own; absent when not said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spacing_error_mm: Option<Num>,
}

/// A keep-out.
#[derive(Debug, Clone, Serialize)]
pub struct KeepOutRow {
    /// Name.
    pub name: String,
    /// Least distance to the part; negative where it is inside.
    pub clearance_mm: Num,
    /// Least distance to keep.
    pub least_mm: Num,
}
