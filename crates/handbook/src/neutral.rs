//! Where the neutral line lies in a bend: the generic K table and DIN 6935.

use crate::Handbook;
use crate::metal::{Hardness, UnknownMetal, read_hardness};
use crate::sourced::{Sourced, Status};
use crate::table::{BadCell, Table};

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct NeutralRow {
    hardness: Hardness,
    over_r_per_t: f64,
    to_r_per_t: f64,
    neutral_share: Sourced<f64>,
}

/// DIN 6935's correction value and the K it amounts to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Din6935 {
    /// The correction value k: the neutral line lies k s / 2 from the inside face. 0 to 1.
    pub k: f64,
    /// K as a share of the thickness: k / 2. 0 to 0.5.
    pub neutral_share: f64,
}

/// No generic K for that bend.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GenericKError {
    /// The metal is not known.
    #[error(transparent)]
    Metal(#[from] UnknownMetal),
    /// No band of the table holds this ratio of radius to thickness.
    #[error("no band of the K table holds a radius of {r_mm} mm in a plate of {t_mm} mm")]
    OutsideTable {
        /// Inside radius, mm.
        r_mm: f64,
        /// Thickness, mm.
        t_mm: f64,
    },
}

/// Past this ratio of radius to thickness the neutral line lies in the middle. DIN 6935.
const MIDDLE_ABOVE_R_PER_S: f64 = 5.0;
/// Opening angle past which the bend is as long as its legs. DIN 6935, from memory.
const NO_COMPENSATION_OVER_DEG: f64 = 165.0;

impl Handbook {
    /// K of the generic air-bend table, by the metal's hardness and its ratio of radius to thickness (both mm). The
    /// status is the weaker of the table's and the metal's band.
    pub fn generic_k(&self, metal: &str, r_mm: f64, t_mm: f64) -> Result<Sourced<f64>, GenericKError> {
        let hardness = self.metal(metal)?.hardness.clone();
        let ratio = r_mm / t_mm;
        let row = self
            .neutral_shares
            .iter()
            .filter(|row| row.hardness == hardness.value)
            .find(|row| ratio <= row.to_r_per_t && (ratio > row.over_r_per_t || row.over_r_per_t == 0.0))
            .filter(|_| ratio >= 0.0)
            .ok_or(GenericKError::OutsideTable { r_mm, t_mm })?;
        Ok(row.neutral_share.clone().and(hardness, |k, _| k))
    }

    /// K of the generic air-bend table for a band of hardness.
    pub fn generic_k_of(
        &self,
        hardness: Hardness,
        r_mm: f64,
        t_mm: f64,
    ) -> Result<Sourced<f64>, GenericKError> {
        let ratio = r_mm / t_mm;
        self.neutral_shares
            .iter()
            .filter(|row| row.hardness == hardness)
            .find(|row| ratio <= row.to_r_per_t && (ratio > row.over_r_per_t || row.over_r_per_t == 0.0))
            .filter(|_| ratio >= 0.0)
            .map(|row| row.neutral_share.clone())
            .ok_or(GenericKError::OutsideTable { r_mm, t_mm })
    }
}

/// DIN 6935's correction value by the ratio of inside radius to thickness: k = 0.65 + 0.5 log10(r/s), held between 0 and
/// 1, and 1 above r/s = 5 (that part from memory).
pub fn din_6935_k(r_per_s: f64) -> Sourced<Din6935> {
    let past_the_formula = r_per_s > MIDDLE_ABOVE_R_PER_S;
    let k = if past_the_formula {
        1.0
    } else {
        (0.65 + 0.5 * r_per_s.log10()).clamp(0.0, 1.0)
    };
    Sourced {
        value: Din6935 {
            k,
            neutral_share: k / 2.0,
        },
        source: if past_the_formula {
            "DIN 6935 from memory, unconfirmed: k = 1 above r/s = 5".to_owned()
        } else {
            "DIN 6935: k = 0.65 + 0.5 log10(r/s), as quoted at excelution.at/2019/08".to_owned()
        },
        status: if past_the_formula {
            Status::FromMemory
        } else {
            Status::Confirmed
        },
        row: "din_6935".to_owned(),
    }
}

/// DIN 6935's compensation v, mm, for a flat length L = a + b + v: `opening_rad` is the angle left between the legs, r and
/// s the inside radius and the thickness in mm. Up to 90 degrees a and b run to the outside tangents, v = pi (180 - B)/180
/// (r + s k/2) - 2 (r + s); up to 165 to the outside corner, with 2 (r + s) tan((180 - B)/2); past that 0. The formula is
/// from memory, k is confirmed.
pub fn din_6935_compensation_mm(opening_rad: f64, r_mm: f64, s_mm: f64) -> Sourced<f64> {
    let bent_rad = std::f64::consts::PI - opening_rad;
    let k = din_6935_k(r_mm / s_mm).value.k;
    let arc_mm = bent_rad * (r_mm + s_mm * k / 2.0);
    let legs_mm = 2.0 * (r_mm + s_mm);
    // Half a millionth of a degree: an angle typed as 90 or 165 degrees is that angle after its conversion.
    let to = |deg: f64| opening_rad <= (deg + 5e-7).to_radians();
    let value = if to(90.0) {
        arc_mm - legs_mm
    } else if to(NO_COMPENSATION_OVER_DEG) {
        arc_mm - legs_mm * (bent_rad / 2.0).tan()
    } else {
        0.0
    };
    Sourced {
        value,
        source: "DIN 6935 compensation from memory, unconfirmed; its k is confirmed".to_owned(),
        status: Status::FromMemory,
        row: "din_6935".to_owned(),
    }
}

pub(crate) fn read(table: &Table) -> Result<Vec<NeutralRow>, BadCell> {
    table.read(|row| {
        Ok(NeutralRow {
            hardness: read_hardness(&row)?,
            over_r_per_t: row.number("over_r_per_t")?,
            to_r_per_t: row.positive("to_r_per_t")?,
            neutral_share: row.sourced_number("neutral_share")?,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn din_6935_is_never_below_0_nor_above_1() {
        for ratio in [0.0, 1e-9, 0.05, 0.2, 1.0, 4.99, 5.0, 5.01, 1e6] {
            let k = din_6935_k(ratio).value;
            assert!((0.0..=1.0).contains(&k.k), "r/s = {ratio}: {k:?}");
            assert_eq!(k.neutral_share, k.k / 2.0);
        }
    }

    #[test]
    fn a_sharp_bend_lies_in_the_first_band_and_a_negative_radius_in_none() {
        let handbook = Handbook::builtin();
        assert_eq!(
            handbook.generic_k("5052-H32", 0.0, 3.0).map(|k| k.value),
            Ok(0.33)
        );
        assert!(matches!(
            handbook.generic_k("304", -1.0, 3.0),
            Err(GenericKError::OutsideTable { .. })
        ));
        assert!(matches!(handbook.generic_k("304", 1.0, 0.0), Ok(k) if k.value == 0.5));
    }
}
