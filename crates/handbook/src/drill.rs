//! Drills as they are sold: whole and tenth millimetres, sixty-fourths of an inch, and numbers and letters.

use crate::Handbook;
use crate::sourced::Sourced;
use crate::table::{BadCell, Table};

const MM_PER_IN: f64 = 25.4;

/// The set a drill comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DrillSet {
    /// Whole and tenth millimetres.
    Metric,
    /// Sixty-fourths of an inch.
    Fraction,
    /// Numbers #60 to #1, then letters A to Z: inch sizes too.
    NumberOrLetter,
}

/// A drill by the name on its shank.
#[derive(Debug, Clone, PartialEq)]
pub struct Drill {
    /// "6.8 mm", "17/64 in", "#7", "letter F".
    pub name: String,
    /// Diameter, mm.
    pub dia_mm: Sourced<f64>,
    /// Which set it comes in.
    pub set: DrillSet,
}

impl Handbook {
    /// Every drill, set by set, each smallest first.
    pub fn drills(&self) -> &[Drill] {
        &self.drills
    }
}

pub(crate) fn read(table: &Table) -> Result<Vec<Drill>, BadCell> {
    table.read(|row| {
        let set = row.word("series", &["mm", "in", "number", "letter"], |word| match word {
            "mm" => Some(DrillSet::Metric),
            "in" => Some(DrillSet::Fraction),
            "number" | "letter" => Some(DrillSet::NumberOrLetter),
            _ => None,
        })?;
        let mm = if set == DrillSet::Metric { 1.0 } else { MM_PER_IN };
        Ok(Drill {
            name: row.key().to_owned(),
            dia_mm: row.sourced_positive("dia")?.map(|dia| dia * mm),
            set,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_set_rises_without_a_break() {
        let book = Handbook::builtin();
        for set in [DrillSet::Metric, DrillSet::Fraction, DrillSet::NumberOrLetter] {
            let sizes: Vec<f64> = book
                .drills()
                .iter()
                .filter(|drill| drill.set == set)
                .map(|drill| drill.dia_mm.value)
                .collect();
            assert!(sizes.len() > 60);
            assert!(
                sizes
                    .windows(2)
                    .all(|pair| pair[0] < pair[1] && pair[1] - pair[0] < 0.51)
            );
        }
    }
}
