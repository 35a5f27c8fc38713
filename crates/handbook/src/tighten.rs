//! Tightening: nut factors (torque to preload) and the friction of clamped faces.

use crate::Handbook;
use crate::book::or_nearest;
use crate::nearest::nearest;
use crate::sourced::Sourced;
use crate::table::{BadCell, Table};

/// K of T = K d F: torque over diameter and preload.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NutFactor {
    /// What is usual.
    pub usual: f64,
    /// As low as it may be: the bolt is pulled hardest by the torque.
    pub low: f64,
    /// As high as it may be: the bolt is pulled least by the torque.
    pub high: f64,
}

/// No such finish or surface in a table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the table {table} has no row {asked:?}{}", or_nearest(.nearest))]
pub struct UnknownSurface {
    /// The table asked.
    pub table: &'static str,
    /// As asked.
    pub asked: String,
    /// The most alike.
    pub nearest: Option<String>,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TighteningTables {
    nut_factors: Vec<(String, Sourced<NutFactor>)>,
    slip_factors: Vec<(String, Sourced<f64>)>,
}

fn find<T: Clone>(rows: &[(String, T)], table: &'static str, asked: &str) -> Result<T, UnknownSurface> {
    let wanted = asked.trim().to_lowercase();
    rows.iter()
        .find(|(name, _)| *name == wanted)
        .map(|(_, value)| value.clone())
        .ok_or_else(|| UnknownSurface {
            table,
            asked: asked.to_owned(),
            nearest: nearest(asked, rows.iter().map(|(name, _)| name.as_str())),
        })
}

impl Handbook {
    /// The nut factor of a finish ("dry clean", "zinc plated", "lubricated"), with its spread.
    pub fn nut_factor(&self, finish: &str) -> Result<Sourced<NutFactor>, UnknownSurface> {
        find(&self.tightening.nut_factors, "nut_factors", finish)
    }

    /// The friction of two clamped faces ("as rolled", "painted").
    pub fn slip_factor(&self, surface: &str) -> Result<Sourced<f64>, UnknownSurface> {
        find(&self.tightening.slip_factors, "slip_factors", surface)
    }
}

pub(crate) fn read<'a>(
    table: &impl Fn(&'static str) -> Result<&'a Table, BadCell>,
) -> Result<TighteningTables, BadCell> {
    Ok(TighteningTables {
        nut_factors: table("nut_factors")?.read(|row| {
            let factor = NutFactor {
                usual: row.positive("factor")?,
                low: row.positive("low")?,
                high: row.positive("high")?,
            };
            Ok((
                row.key().to_owned(),
                row.sourced(&["factor", "low", "high"], factor)?,
            ))
        })?,
        slip_factors: table("slip_factors")?
            .read(|row| Ok((row.key().to_owned(), row.sourced_number("factor")?)))?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_nut_factor_lies_within_its_spread() {
        for (name, factor) in &Handbook::builtin().tightening.nut_factors {
            let k = factor.value;
            assert!(k.low < k.usual && k.usual < k.high, "{name}");
        }
    }

    #[test]
    fn an_unknown_finish_names_the_nearest() {
        let error = Handbook::builtin()
            .nut_factor("zinc plate")
            .expect_err("no such finish");
        assert_eq!(error.nearest.as_deref(), Some("zinc plated"));
    }
}
