//! What the part carries and is held by, as understood.

use serde::Serialize;

use super::Num;

/// What the part carries, in the axes of the equipment.
#[derive(Debug, Clone, Serialize)]
pub struct Carries {
    /// Which way is down.
    pub down: [Num; 3],
    /// Was it said, or is it taken to be -z?
    pub down_said: bool,
    /// Each load.
    pub loads: Vec<LoadRow>,
    /// What acts at once.
    pub together: Vec<TogetherRow>,
    /// Why a drop cannot happen.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub never_drop: Option<String>,
    /// Why a jam cannot happen.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub never_jam: Option<String>,
    /// What must hold.
    pub limits: LimitsRow,
    /// The bolts of the mounts, a clamp's each.
    pub bolts: Vec<BoltRow>,
    /// How the support holds on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub support: Option<HoldingRow>,
    /// Readings of the test on the bench.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub proof: Vec<ProofRow>,
}

/// A load.
#[derive(Debug, Clone, Serialize)]
pub struct LoadRow {
    /// Name.
    pub name: String,
    /// "push", "lean", "drop".
    pub kind: &'static str,
    /// Force; absent for a fall.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub force_n: Option<[Num; 3]>,
    /// Moment; absent for a fall.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moment_n_mm: Option<[Num; 3]>,
    /// What falls.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mass_kg: Option<Num>,
    /// How far it falls.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub height_mm: Option<Num>,
    /// Which way the blow of a fall pushes the part.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub toward: Option<[Num; 3]>,
    /// Where it comes in.
    pub at: SpotRow,
    /// Its worst over its steady size.
    pub factor: Num,
    /// Was the factor said, or is it the usual of the kind?
    pub factor_said: bool,
    /// Comes all at once.
    pub sudden: bool,
    /// Acts the other way too.
    pub both_ways: bool,
    /// Times a day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub per_day: Option<Num>,
    /// All of it in words.
    pub says: String,
}

/// Where something acts.
#[derive(Debug, Clone, Serialize)]
pub struct SpotRow {
    /// "support", "plate" or "holes".
    pub by: &'static str,
    /// The point; absent at the middle of the support or of the holes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_mm: Option<[Num; 3]>,
    /// The holes.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub holes: Vec<String>,
}

/// What acts at once.
#[derive(Debug, Clone, Serialize)]
pub struct TogetherRow {
    /// Name.
    pub name: String,
    /// Names of the loads.
    pub loads: Vec<String>,
}

/// What must hold: the strengths as said or usual, the others absent where nothing was said.
#[derive(Debug, Clone, Serialize)]
pub struct LimitsRow {
    /// Largest movement of the support.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moves_mm: Option<Num>,
    /// Its largest turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turns_deg: Option<Num>,
    /// Yield strength over stress.
    pub times_yield: Num,
    /// Ultimate strength over stress.
    pub times_ultimate: Num,
    /// Yield strength over stress for a sudden load.
    pub times_sudden: Num,
    /// How long it must last.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub years: Option<Num>,
    /// Lowest frequency.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_hz: Option<Num>,
}

/// A bolt or screw as it is made and tightened; absent where nothing was said.
#[derive(Debug, Clone, Serialize)]
pub struct BoltRow {
    /// The mount, or "support".
    pub name: String,
    /// Its thread.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bolt: Option<String>,
    /// The grade on its head.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// What it is tightened to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub torque_n_mm: Option<Num>,
    /// Outside diameter of the washer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub washer_mm: Option<Num>,
    /// How wide the flat is that the plate rests on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seat_mm: Option<Num>,
    /// The metal that the thread is in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub metal: Option<String>,
    /// How deep the bolt goes into it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub depth_mm: Option<Num>,
}

/// How the support holds on.
#[derive(Debug, Clone, Serialize)]
pub struct HoldingRow {
    /// Its screws.
    pub screws: BoltRow,
    /// Stiffness along; rigid when absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub along_n_mm: Option<Num>,
    /// Stiffness about; rigid when absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub about_n_mm_deg: Option<Num>,
    /// What it weighs with all that rides on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mass_kg: Option<Num>,
}

/// One step of the test on the bench.
#[derive(Debug, Clone, Serialize)]
pub struct ProofRow {
    /// The pull.
    pub force_n: [Num; 3],
    /// Where it was pulled.
    pub at: SpotRow,
    /// How far it moved.
    pub read_mm: Num,
    /// Standard deviation of that reading; absent when exact.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sd_mm: Option<Num>,
    /// The way of the movement that was read.
    pub along: [Num; 3],
    /// Where it was read.
    pub read_at: SpotRow,
}
