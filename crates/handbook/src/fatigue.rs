//! Detail categories: how a detail lasts under loads that come and go.

use crate::Handbook;
use crate::metal::{Family, Metal};
use crate::sourced::Sourced;
use crate::table::{BadCell, Table};

/// Metals that share their categories.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FatigueGroup {
    /// Steels, stainless too.
    Steel,
    /// Aluminium alloys of the 3000, 5000 and 6000 series.
    Aluminium,
    /// Aluminium alloys of the 7000 series; details without a row of their own take the other alloys'.
    Aluminium7000,
}

impl FatigueGroup {
    /// The group of a metal: aluminium whose name starts with 7 is of the 7000 series.
    pub fn of(metal: &Metal) -> Self {
        match metal.family {
            Family::Steel | Family::Stainless => FatigueGroup::Steel,
            Family::Aluminium if metal.name.starts_with('7') => FatigueGroup::Aluminium7000,
            Family::Aluminium => FatigueGroup::Aluminium,
        }
    }
}

macro_rules! details {
    ($($(#[$doc:meta])* $name:ident = $row:literal),* $(,)?) => {
        /// A place where a crack may start.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum FatigueDetail { $($(#[$doc])* $name),* }

        impl FatigueDetail {
            /// Every detail.
            pub const ALL: &[FatigueDetail] = &[$(FatigueDetail::$name),*];

            const WORDS: &[&str] = &[$($row),*];

            /// Its word in the table `fatigue_categories`.
            pub fn word(self) -> &'static str {
                match self { $(FatigueDetail::$name => $row),* }
            }
        }
    };
}

details! {
    /// The face of the plate, away from edges, holes and welds.
    Plate = "base metal",
    /// A cut edge, ground or filed smooth, without cracks.
    DressedCut = "dressed cut",
    /// An edge as the plasma left it.
    PlasmaCut = "plasma cut",
    /// An edge as the laser left it.
    LaserCut = "laser cut",
    /// An edge as machine gas cutting left it.
    OxyCut = "oxy cut",
    /// An edge cut thermally by hand.
    HandCut = "thermal cut by hand",
    /// An edge as the waterjet left it.
    WaterjetCut = "waterjet cut",
    /// A milled edge.
    RouterCut = "router cut",
    /// An edge as the shear left it.
    ShearedCut = "sheared cut",
    /// A sawn edge.
    SawnCut = "sawn cut",
    /// The rim of a drilled hole, on the stress of the net section.
    DrilledHole = "drilled hole",
    /// The rim of a punched hole, on the stress of the net section.
    PunchedHole = "punched hole",
    /// The rim of a hole cut by a cutter and not drilled out, on the stress of the net section.
    CutHole = "cut hole",
    /// Toe of a weld across the stress, the attached part to 50 mm long along it.
    TransverseTo50 = "transverse attachment to 50 mm",
    /// The same, 50 to 80 mm.
    Transverse50To80 = "transverse attachment 50 to 80 mm",
    /// End of a weld along the stress, the attached part to 50 mm long.
    LongitudinalTo50 = "longitudinal attachment to 50 mm",
    /// The same, 50 to 80 mm.
    Longitudinal50To80 = "longitudinal attachment 50 to 80 mm",
    /// The same, 80 to 100 mm.
    Longitudinal80To100 = "longitudinal attachment 80 to 100 mm",
    /// The same, over 100 mm.
    LongitudinalOver100 = "longitudinal attachment over 100 mm",
    /// Toe of a butt weld across the stress.
    ButtToe = "butt weld toe",
    /// Toe of a fillet that carries the load across.
    FilletToe = "load-carrying fillet toe",
    /// Toe of a weld whose stress is the structural one, extrapolated to the toe.
    StructuralToe = "weld toe by structural stress",
    /// Root of a fillet that carries the load, on the stress of the throat.
    FilletRoot = "fillet weld root",
    /// A bolt pulled, on its stress area. Steel alone.
    BoltTension = "bolt in tension",
    /// A bolt sheared. Steel alone.
    BoltShear = "bolt in shear",
}

impl FatigueDetail {
    /// The edge that a way of cutting leaves, by its name in `process_properties`. None for a way that is not there.
    pub fn of_cut(process: &str) -> Option<Self> {
        match process {
            "plasma" => Some(FatigueDetail::PlasmaCut),
            "oxy" => Some(FatigueDetail::OxyCut),
            "laser" => Some(FatigueDetail::LaserCut),
            "waterjet" => Some(FatigueDetail::WaterjetCut),
            "router" => Some(FatigueDetail::RouterCut),
            "saw and drill" => Some(FatigueDetail::SawnCut),
            "shear" => Some(FatigueDetail::ShearedCut),
            _ => None,
        }
    }

    /// A weld across the stress, by the length of the attached part along it, mm. Longer than 80 mm takes the category of
    /// a fillet that carries the load.
    pub fn transverse(length_mm: f64) -> Self {
        match length_mm {
            l if l <= 50.0 => FatigueDetail::TransverseTo50,
            l if l <= 80.0 => FatigueDetail::Transverse50To80,
            _ => FatigueDetail::FilletToe,
        }
    }

    /// The end of a weld along the stress, by the length of the attached part, mm.
    pub fn longitudinal(length_mm: f64) -> Self {
        match length_mm {
            l if l <= 50.0 => FatigueDetail::LongitudinalTo50,
            l if l <= 80.0 => FatigueDetail::Longitudinal50To80,
            l if l <= 100.0 => FatigueDetail::Longitudinal80To100,
            _ => FatigueDetail::LongitudinalOver100,
        }
    }
}

/// A line of stress range against cycles: N = 2e6 (category / range)^slope down to the knee, flatter beyond it, and without
/// end below the cut-off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FatigueCategory {
    /// Stress range for 2e6 cycles, MPa.
    pub category_mpa: f64,
    /// Slope to the knee.
    pub slope: f64,
    /// Cycles at the knee, where a constant range no longer does harm.
    pub knee_cycles: f64,
    /// Slope beyond the knee.
    pub slope_beyond: f64,
    /// Cycles at the cut-off, below whose range no cycle does harm.
    pub cut_off_cycles: f64,
}

/// The table has no category for this; the question stays open.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the table fatigue_categories has no row for {} in {group:?}", .detail.word())]
pub struct NoCategory {
    /// The metals.
    pub group: FatigueGroup,
    /// The detail.
    pub detail: FatigueDetail,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct FatigueRow {
    group: FatigueGroup,
    detail: FatigueDetail,
    category: Sourced<FatigueCategory>,
}

impl Handbook {
    /// The category of a detail in a group of metals.
    pub fn fatigue_category(
        &self,
        group: FatigueGroup,
        detail: FatigueDetail,
    ) -> Result<Sourced<FatigueCategory>, NoCategory> {
        let of = |group| {
            self.fatigue
                .iter()
                .find(|row| row.group == group && row.detail == detail)
                .map(|row| row.category.clone())
        };
        of(group)
            .or_else(|| {
                (group == FatigueGroup::Aluminium7000)
                    .then(|| of(FatigueGroup::Aluminium))
                    .flatten()
            })
            .ok_or(NoCategory { group, detail })
    }
}

const GROUPS: &[&str] = &["steel", "aluminium", "aluminium 7000"];

pub(crate) fn read(table: &Table) -> Result<Vec<FatigueRow>, BadCell> {
    table.read(|row| {
        let detail = row.word("detail", FatigueDetail::WORDS, |word| {
            FatigueDetail::ALL
                .iter()
                .copied()
                .find(|known| known.word() == word)
        })?;
        let columns = [
            "category_mpa",
            "slope",
            "knee_cycles",
            "slope_beyond",
            "cut_off_cycles",
        ];
        let category = FatigueCategory {
            category_mpa: row.positive(columns[0])?,
            slope: row.positive(columns[1])?,
            knee_cycles: row.positive(columns[2])?,
            slope_beyond: row.positive(columns[3])?,
            cut_off_cycles: row.positive(columns[4])?,
        };
        Ok(FatigueRow {
            group: row.word("group", GROUPS, |word| match word {
                "steel" => Some(FatigueGroup::Steel),
                "aluminium" => Some(FatigueGroup::Aluminium),
                "aluminium 7000" => Some(FatigueGroup::Aluminium7000),
                _ => None,
            })?,
            detail,
            category: row.sourced(&columns, category)?,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_plate_detail_has_a_category_in_every_group_and_aluminium_the_lower() {
        let book = Handbook::builtin();
        for detail in FatigueDetail::ALL.iter().copied() {
            let steel = book
                .fatigue_category(FatigueGroup::Steel, detail)
                .expect("steel has every detail")
                .value;
            assert!(steel.knee_cycles <= steel.cut_off_cycles, "{detail:?}");
            for group in [FatigueGroup::Aluminium, FatigueGroup::Aluminium7000] {
                match book.fatigue_category(group, detail) {
                    Ok(light) => assert!(light.value.category_mpa < steel.category_mpa, "{detail:?}"),
                    Err(_) => assert!(
                        matches!(detail, FatigueDetail::BoltTension | FatigueDetail::BoltShear),
                        "{detail:?}"
                    ),
                }
            }
        }
    }

    #[test]
    fn every_way_of_cutting_leaves_a_known_edge() {
        for process in Handbook::builtin().processes() {
            assert!(FatigueDetail::of_cut(&process.name).is_some(), "{}", process.name);
        }
    }
}
