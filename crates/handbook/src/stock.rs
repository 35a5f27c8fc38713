//! Gauge numbers, which mean a thickness only with a metal.

use crate::Handbook;
use crate::metal::{Family, UnknownMetal};
use crate::sourced::Sourced;
use crate::table::{BadCell, Table, Wanted};

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct GaugeRow {
    gauge: u8,
    steel_mm: Sourced<f64>,
    stainless_mm: Sourced<f64>,
    aluminium_mm: Sourced<f64>,
}

/// No thickness for that gauge.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum GaugeError {
    /// The metal is not known.
    #[error(transparent)]
    Metal(#[from] UnknownMetal),
    /// The gauge is not in the table.
    #[error(
        "the handbook has no {gauge} gauge; its table runs from {first} to {last} with gaps, nearest {nearest}"
    )]
    NotInTable {
        /// As asked.
        gauge: u8,
        /// Lowest number in the table (the thickest).
        first: u8,
        /// Highest number.
        last: u8,
        /// The nearest number in the table.
        nearest: u8,
    },
}

impl Handbook {
    /// Thickness of a gauge number in this metal, mm.
    pub fn gauge_mm(&self, metal: &str, gauge: u8) -> Result<Sourced<f64>, GaugeError> {
        self.family_gauge_mm(self.metal(metal)?.family, gauge)
    }

    /// Thickness of a gauge number in this family of metals, mm.
    pub fn family_gauge_mm(&self, family: Family, gauge: u8) -> Result<Sourced<f64>, GaugeError> {
        let row = self.gauges.iter().find(|row| row.gauge == gauge).ok_or_else(|| {
            let numbers = || self.gauges.iter().map(|row| row.gauge);
            GaugeError::NotInTable {
                gauge,
                first: numbers().min().unwrap_or_default(),
                last: numbers().max().unwrap_or_default(),
                nearest: numbers()
                    .min_by_key(|known| known.abs_diff(gauge))
                    .unwrap_or_default(),
            }
        })?;
        Ok(match family {
            Family::Steel => row.steel_mm.clone(),
            Family::Stainless => row.stainless_mm.clone(),
            Family::Aluminium => row.aluminium_mm.clone(),
        })
    }

    /// Thicknesses that plate of this metal is commonly had in, mm, ascending: the gauges of its family, and the plate that the
    /// tables of radii have rows for.
    pub fn thicknesses_mm(&self, metal: &str) -> Result<Vec<f64>, UnknownMetal> {
        let found = self.metal(metal)?;
        let of_family = |row: &GaugeRow| match found.family {
            Family::Steel => row.steel_mm.value,
            Family::Stainless => row.stainless_mm.value,
            Family::Aluminium => row.aluminium_mm.value,
        };
        let gauges = self.gauges.iter().map(of_family);
        let mut all_mm: Vec<f64> = gauges.chain(self.radii.thicknesses_mm(&found.name)).collect();
        all_mm.sort_by(f64::total_cmp);
        all_mm.dedup();
        Ok(all_mm)
    }
}

pub(crate) fn read(table: &Table) -> Result<Vec<GaugeRow>, BadCell> {
    table.read(|row| {
        Ok(GaugeRow {
            gauge: row.key().parse().map_err(|_| row.bad("row", Wanted::Number))?,
            steel_mm: row.sourced_positive("steel_mm")?,
            stainless_mm: row.sourced_positive("stainless_mm")?,
            aluminium_mm: row.sourced_positive("aluminium_mm")?,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sheet_comes_by_gauge_and_plate_by_the_rows_of_radii() {
        let all_mm = Handbook::builtin().thicknesses_mm("5052-H32").expect("a metal");
        assert!(all_mm.is_sorted());
        for t_mm in [1.628, 25.4 / 8.0, 25.4 / 4.0] {
            assert!(
                all_mm.iter().any(|had_mm| (had_mm - t_mm).abs() < 1e-9),
                "{all_mm:?}"
            );
        }
        // A gauge means another thickness in steel.
        assert!(!all_mm.contains(&1.897));
    }
}
