//! Margins: how far strength must stand over load when a job says nothing else.

use crate::Handbook;
use crate::sourced::Sourced;
use crate::table::{BadCell, Table, Wanted};

/// A margin or a partial factor by name. All are plain numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Margin {
    /// Least strength at yield over the stress of a load that comes on slowly.
    Yield,
    /// Least strength at breaking over the stress of a load that comes on slowly.
    Ultimate,
    /// Least strength at yield over the stress of a sudden load with its dynamic factor.
    Sudden,
    /// Partial factor on bolts in shear and tension, on bearing and on fillet welds: gamma M2.
    Joint,
    /// Partial factor on slip of a preloaded joint: gamma M3.
    Slip,
    /// Partial factor on plate that yields: gamma M0.
    Plate,
    /// Partial factor on welds of aluminium: gamma Mw.
    AluminiumWeld,
    /// Partial factor on a fatigue category: gamma Mf.
    Fatigue,
}

impl Margin {
    /// Every margin.
    pub const ALL: &[Margin] = &[
        Margin::Yield,
        Margin::Ultimate,
        Margin::Sudden,
        Margin::Joint,
        Margin::Slip,
        Margin::Plate,
        Margin::AluminiumWeld,
        Margin::Fatigue,
    ];

    /// Its row in the table `margins`.
    pub fn row(self) -> &'static str {
        match self {
            Margin::Yield => "yield",
            Margin::Ultimate => "ultimate",
            Margin::Sudden => "sudden",
            Margin::Joint => "joint",
            Margin::Slip => "slip",
            Margin::Plate => "plate",
            Margin::AluminiumWeld => "aluminium weld",
            Margin::Fatigue => "fatigue",
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct MarginRow {
    margin: Margin,
    value: Sourced<f64>,
}

impl Handbook {
    /// The margin in force.
    ///
    /// ```
    /// use handbook::{Handbook, Margin};
    /// assert_eq!(Handbook::builtin().margin(Margin::Yield).value, 3.0);
    /// ```
    pub fn margin(&self, margin: Margin) -> Sourced<f64> {
        match self.margins.iter().find(|row| row.margin == margin) {
            Some(row) => row.value.clone(),
            None => unreachable!(
                "a handbook is only read with a row for every margin: {}",
                margin.row()
            ),
        }
    }
}

pub(crate) fn read(table: &Table) -> Result<Vec<MarginRow>, BadCell> {
    let rows = table.read(|row| {
        let margin = Margin::ALL
            .iter()
            .copied()
            .find(|margin| margin.row() == row.key());
        Ok(MarginRow {
            margin: margin.ok_or_else(|| row.bad("row", Wanted::RowOf("margins")))?,
            value: row.sourced_positive("value")?,
        })
    })?;
    match Margin::ALL
        .iter()
        .find(|margin| rows.iter().all(|row| row.margin != **margin))
    {
        None => Ok(rows),
        Some(missing) => Err(BadCell {
            table: table.name(),
            row: missing.row().to_owned(),
            column: "value".to_owned(),
            text: String::new(),
            wanted: Wanted::Present,
        }),
    }
}
