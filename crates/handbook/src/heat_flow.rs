//! How a plate takes up the heat of a hot cut.

use crate::Handbook;
use crate::metal::{Family, family};
use crate::sourced::Sourced;
use crate::table::{BadCell, Table};

/// What a plate does with heat. Good for telling a hot place from a cool one, not for more: alloys of one family differ by a
/// third, and all of it changes with temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatFlow {
    /// Conductivity, W/(mm K).
    pub conductivity_w_mm_k: f64,
    /// Diffusivity, mm2/s: conductivity over heat per volume.
    pub diffusivity_mm2_s: f64,
    /// From cold to molten, J/mm3.
    pub to_melt_j_mm3: f64,
    /// How much stays in the plate of what it takes to melt the kerf, 0 to 1.
    pub kept_share: f64,
    /// How warm a plate may be where a cut begins, C.
    pub ceiling_c: f64,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct HeatFlowRow {
    family: Family,
    value: Sourced<HeatFlow>,
}

const FAMILIES: &[&str] = &["aluminium", "steel", "stainless"];

impl Handbook {
    /// How plate of this family takes up heat; none where the table has no row.
    ///
    /// ```
    /// use handbook::{Family, Handbook};
    /// let flow = Handbook::builtin().heat_flow(Family::Steel).unwrap();
    /// assert!((flow.value.diffusivity_mm2_s - 50.0 / 3.8).abs() < 1e-9);
    /// ```
    pub fn heat_flow(&self, of: Family) -> Option<Sourced<HeatFlow>> {
        let row = self.heat_flow.iter().find(|row| row.family == of);
        row.map(|row| row.value.clone())
    }
}

pub(crate) fn read(table: &Table) -> Result<Vec<HeatFlowRow>, BadCell> {
    table.read(|row| {
        let conductivity_w_m_k = row.positive("conductivity")?;
        let heat_j_cm3_k = row.positive("heat_per_volume")?;
        Ok(HeatFlowRow {
            family: row.word("row", FAMILIES, family)?,
            value: row.sourced(
                &[
                    "conductivity",
                    "heat_per_volume",
                    "to_melt",
                    "kept_share",
                    "ceiling",
                ],
                HeatFlow {
                    // W/(m K) over J/(cm3 K) is mm2/s.
                    conductivity_w_mm_k: conductivity_w_m_k / 1000.0,
                    diffusivity_mm2_s: conductivity_w_m_k / heat_j_cm3_k,
                    to_melt_j_mm3: row.positive("to_melt")?,
                    kept_share: row.positive("kept_share")?,
                    ceiling_c: row.positive("ceiling")?,
                },
            )?,
        })
    })
}
