//! Under its loads: stresses, movements, bolts, welds, life, the test for the bench.

use serde::Serialize;

use super::Num;

/// What the proof came to. Absent when it could not be asked.
#[derive(Debug, Clone, Serialize)]
pub struct Prove {
    /// Each load alone, then those that act at once.
    pub loads: Vec<ProvedLoad>,
    /// Each bolt under each load.
    pub bolts: Vec<ProvedBolt>,
    /// Each weld under each load.
    pub welds: Vec<ProvedWeld>,
    /// The lowest factor on a load at which the plate buckles; absent when it does not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub buckling: Option<Buckling>,
    /// Lowest frequency with what hangs on the support.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first_hz: Option<Num>,
    /// How long each kind of place lasts, the shortest first.
    pub fatigue: Vec<ProvedLife>,
    /// Everything held against a limit, the tightest first.
    pub checks: Vec<CheckRow>,
    /// What could not be checked, in words.
    pub missing: Vec<String>,
    /// The test for the bench.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub proof: Option<ProofPlan>,
    /// What readings of that test say of the model; absent without readings.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corrected: Option<CorrectedRow>,
    /// Estimated error of the numbers as numbers.
    pub error_pct: ErrorPct,
    /// Unknowns of the last mesh.
    pub dof: usize,
    /// Meshes made.
    pub meshes: usize,
    /// Are the errors within what was asked for?
    pub fine_enough: bool,
}

/// A load, or several at once.
#[derive(Debug, Clone, Serialize)]
pub struct ProvedLoad {
    /// Its name.
    pub name: String,
    /// What it comes to, dynamic factors and weight included, N.
    pub force_n: [Num; 3],
    /// Comes all at once.
    pub sudden: bool,
    /// Highest von Mises stress that is reported.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub peak_mpa: Option<Num>,
    /// Least yield strength there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub yield_mpa: Option<Num>,
    /// Yield strength over stress.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub safety: Option<Num>,
    /// What is asked for of it.
    pub safety_asked: Num,
    /// Ultimate strength over stress.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub safety_ultimate: Option<Num>,
    /// What is asked for of it.
    pub safety_ultimate_asked: Num,
    /// The panel or bend.
    #[serde(rename = "where", skip_serializing_if = "Option::is_none")]
    pub where_: Option<String>,
    /// The face.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub face: Option<&'static str>,
    /// In the axes of the equipment.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_mm: Option<[Num; 3]>,
    /// On the blank.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub blank_mm: Option<[Num; 2]>,
    /// Direction of the larger principal stress.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub direction: Option<[Num; 3]>,
    /// "pulls" or "presses".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sense: Option<&'static str>,
    /// How the figure was had.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
    /// It lies beside a weld, where heat took strength.
    pub beside_weld: bool,
    /// How far the support moves.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub support_moves_mm: Option<Num>,
    /// The same as x, y, z.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moves_mm: Option<[Num; 3]>,
    /// How far it turns.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub support_turns_deg: Option<Num>,
    /// Of that, about the line from the mounts to the support.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub twist_deg: Option<Num>,
    /// Of that, across it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bend_deg: Option<Num>,
    /// Permanent set: "none", "at a spot", "through a section".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub set: Option<&'static str>,
    /// Factor on the load at which the plate buckles.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub buckles_at: Option<Num>,
    /// It moves too far for the linear answer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub large: Option<LargeRow>,
    /// What a person would reckon.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by_hand: Option<ByHandRow>,
}

/// Large movement.
#[derive(Debug, Clone, Serialize)]
pub struct LargeRow {
    /// The linear movement over the thickness.
    pub in_thicknesses: Num,
    /// How far the support moves by the linear answer; without one, the place where the load comes in.
    pub linear_mm: Num,
    /// The same, followed as it moves; absent when that was not asked, or could not be done to the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moves_mm: Option<Num>,
    /// The share of the load up to which it was followed; absent when that was not asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub followed_to: Option<Num>,
    /// It buckles or snaps through at that share.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub gives_way: bool,
    /// The same in words.
    pub says: String,
}

/// The strip between mount and support as a beam.
#[derive(Debug, Clone, Serialize)]
pub struct ByHandRow {
    /// Stress in the worst cut.
    pub stress_mpa: Num,
    /// Movement along the force.
    pub moves_mm: Num,
    /// Of that, by twist.
    pub by_twist_mm: Num,
    /// Width of plate left in that cut.
    pub width_mm: Num,
    /// Where the cut is on the blank.
    pub blank_mm: [Num; 2],
    /// Stress of the shell over that of the strip.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ratio: Option<Num>,
    /// The formula with its numbers, and why the two differ.
    pub says: String,
}

/// A bolt under a load.
#[derive(Debug, Clone, Serialize)]
pub struct ProvedBolt {
    /// The mount.
    pub mount: String,
    /// The load.
    pub load: String,
    /// Of this mount, the load that uses most of it.
    pub worst: bool,
    /// Pull.
    pub tension_n: Num,
    /// Across it.
    pub shear_n: Num,
    /// Bending in it.
    pub bending_n_mm: Num,
    /// What the foot presses with.
    pub foot_n: Num,
    /// Share of the foot that has lifted off.
    pub lifted: Num,
    /// How it would give first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decides: Option<&'static str>,
    /// Load over design resistance there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub utilisation: Option<Num>,
    /// Times the load that leaves it bent or stretched.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on_yield: Option<Num>,
    /// Times the load that breaks it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on_ultimate: Option<Num>,
    /// Times the load at which the faces slip.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slips_at: Option<Num>,
    /// Distances that fall short, in words.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub too_near: Vec<String>,
}

/// A weld under a load.
#[derive(Debug, Clone, Serialize)]
pub struct ProvedWeld {
    /// The seam.
    pub seam: String,
    /// The load.
    pub load: String,
    /// Force per length where it is most.
    pub line_n_mm: Num,
    /// Where that is.
    pub at_mm: [Num; 3],
    /// Stress in the throat; absent when its size is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub throat_mpa: Option<Num>,
    /// Times the load that breaks it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on_ultimate: Option<Num>,
}

/// The lowest buckling factor.
#[derive(Debug, Clone, Serialize)]
pub struct Buckling {
    /// Factor on the load.
    pub factor: Num,
    /// The load.
    pub load: String,
}

/// How long a kind of place lasts.
#[derive(Debug, Clone, Serialize)]
pub struct ProvedLife {
    /// What kind of place.
    pub detail: &'static str,
    /// The worst of them.
    pub at_mm: [Num; 3],
    /// Highest stress range there.
    pub range_mpa: Num,
    /// The load that makes it.
    pub load: String,
    /// Days of use: short, middle and long end; null where there is no end.
    pub days: [Num; 3],
    /// Always an estimate.
    pub estimate: bool,
}

/// Something held against its limit.
#[derive(Debug, Clone, Serialize)]
pub struct CheckRow {
    /// A fixed word.
    pub code: &'static str,
    /// The load; absent where it is not of one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load: Option<String>,
    /// What it has.
    pub has: Num,
    /// What is asked for or allowed.
    pub limit: Num,
    /// Share of the limit that is used: over 1 does not hold.
    pub used: Num,
    /// In words.
    pub says: String,
}

/// A test for the bench.
#[derive(Debug, Clone, Serialize)]
pub struct ProofPlan {
    /// The load it stands for.
    pub load: String,
    /// The way of the pull.
    pub toward: [Num; 3],
    /// Steps, the last of them held.
    pub steps: Vec<ProofStepRow>,
    /// When to stop.
    pub stop: Vec<String>,
}

/// One step.
#[derive(Debug, Clone, Serialize)]
pub struct ProofStepRow {
    /// Pull.
    pub force_n: Num,
    /// As a luggage scale or litres of water show it.
    pub kgf: Num,
    /// As a scale in pounds shows it.
    pub lbf: Num,
    /// What the support should move along the pull.
    pub moves_mm: Num,
    /// The least that is as it should be.
    pub low_mm: Num,
    /// And the most.
    pub high_mm: Num,
}

/// The model as corrected by readings.
#[derive(Debug, Clone, Serialize)]
pub struct CorrectedRow {
    /// Readings used.
    pub readings: usize,
    /// Stiffness found over stiffness predicted; absent when the readings say nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stiffness: Option<Num>,
    /// Its standard deviation.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sd: Option<Num>,
    /// Movement before the part begins to carry.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slack_mm: Option<Num>,
    /// What it suggests.
    pub says: String,
}

/// Estimated error, percent.
#[derive(Debug, Clone, Serialize)]
pub struct ErrorPct {
    /// Of movement.
    pub movement: Num,
    /// Of the reported stress.
    pub stress: Num,
}
