//! Drills as they are sold: whole and tenth millimetres, and sixty-fourths of an inch.

use crate::Handbook;
use crate::sourced::Sourced;
use crate::table::{BadCell, Table};

const MM_PER_IN: f64 = 25.4;

/// A drill by the name on its shank.
#[derive(Debug, Clone, PartialEq)]
pub struct Drill {
    /// "6.8 mm", "17/64 in".
    pub name: String,
    /// Diameter, mm.
    pub dia_mm: Sourced<f64>,
    /// One of an inch set; else of a metric one.
    pub inch: bool,
}

impl Handbook {
    /// Every drill, metric before inch, each smallest first.
    pub fn drills(&self) -> &[Drill] {
        &self.drills
    }
}

pub(crate) fn read(table: &Table) -> Result<Vec<Drill>, BadCell> {
    table.read(|row| {
        let inch = row.word("series", &["mm", "in"], |word| match word {
            "mm" => Some(false),
            "in" => Some(true),
            _ => None,
        })?;
        let mm = if inch { MM_PER_IN } else { 1.0 };
        Ok(Drill {
            name: row.key().to_owned(),
            dia_mm: row.sourced_positive("dia")?.map(|dia| dia * mm),
            inch,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_set_rises_without_a_break() {
        let book = Handbook::builtin();
        for inch in [false, true] {
            let set: Vec<f64> = book
                .drills()
                .iter()
                .filter(|drill| drill.inch == inch)
                .map(|drill| drill.dia_mm.value)
                .collect();
            assert!(set.len() > 60);
            assert!(
                set.windows(2)
                    .all(|pair| pair[0] < pair[1] && pair[1] - pair[0] < 0.51)
            );
        }
    }
}
