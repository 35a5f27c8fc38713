//! What is told of a bend strip: that it was made, and what its readings say.

use std::path::PathBuf;

use serde::Serialize;

use super::Num;

/// A strip that was made.
#[derive(Debug, Clone, Serialize)]
pub struct StripMade {
    /// The program's version.
    pub gusset: &'static str,
    /// The plate.
    pub stock: String,
    /// The tools.
    pub tool: String,
    /// Along the bend.
    pub wide_mm: Num,
    /// Square to it, flat.
    pub flat_mm: Num,
    /// From either end to the middle of the bend.
    pub line_at_mm: Num,
    /// Bent through after release.
    pub bent_deg: Num,
    /// And left between the legs.
    pub between_legs_deg: Num,
    /// Bent through under load.
    pub loaded_deg: Num,
    /// And left between the legs.
    pub loaded_between_legs_deg: Num,
    /// The inside radius that should come.
    pub radius_mm: Num,
    /// Where that is from.
    pub radius_from: String,
    /// Each leg, outside to the sharp corner.
    pub leg_mm: Num,
    /// `along` or `across`.
    pub grain: &'static str,
    /// The sheet that the program is for.
    pub sheet: Option<String>,
    /// Why there is no program.
    pub why_no_program: Option<String>,
    /// The command that takes the readings.
    pub to_type: String,
    /// Written.
    pub written: Vec<PathBuf>,
    /// Files of an older strip.
    pub taken_away: Vec<PathBuf>,
}

/// A strip that was read, and what rests on it.
#[derive(Debug, Clone, Serialize)]
pub struct StripRead {
    /// The program's version.
    pub gusset: &'static str,
    /// K.
    pub k: Num,
    /// One standard deviation of it.
    pub k_sd: Num,
    /// Inside radius.
    pub radius_mm: Num,
    /// One standard deviation of it.
    pub radius_sd_mm: Num,
    /// Whether a gauge was held to it.
    pub radius_gauged: bool,
    /// Bent through after release.
    pub bent_deg: Num,
    /// And left between the legs.
    pub between_legs_deg: Num,
    /// Bent through under load.
    pub loaded_deg: Num,
    /// By how much it opened.
    pub opens_deg: Num,
    /// One standard deviation of it.
    pub opens_sd_deg: Num,
    /// Outside legs less the flat at this angle.
    pub deduction_mm: Num,
    /// One standard deviation of it.
    pub deduction_sd_mm: Num,
    /// By how many hundredths it is thicker than the plate is taken to be; below 0 thinner.
    pub thicker_pct: Num,
    /// The tools.
    pub tool: String,
    /// `along` or `across`.
    pub grain: &'static str,
    /// When.
    pub date: String,
    /// Size of the blank before and now; null where there is none.
    pub blank_mm: [Option<[Num; 2]>; 2],
    /// What each bend of the job rests on from now on.
    pub bends: Vec<RestsOn>,
}

/// What a bend of the job rests on.
#[derive(Debug, Clone, Serialize)]
pub struct RestsOn {
    /// The bend.
    pub bend: String,
    /// K.
    pub k: Num,
    /// Where K is from.
    pub k_from: String,
    /// Inside radius.
    pub radius_mm: Num,
    /// Where that is from.
    pub radius_from: String,
}
