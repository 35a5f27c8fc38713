//! Cut charts: how fast a plate is cut, and how it is pierced, where the machine's own chart is not at hand.

use crate::Handbook;
use crate::metal::{FAMILIES, Family, family};
use crate::sourced::Sourced;
use crate::table::{BadCell, Table};

/// One line of a cut chart.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartRow {
    /// The way of cutting, as [`crate::Process`] names it.
    pub process: String,
    /// The metal.
    pub family: Family,
    /// Thickness of the plate, mm.
    pub thickness_mm: f64,
    /// Feed along the path, mm/min.
    pub feed_mm_min: Sourced<f64>,
    /// From the start of the cut to the first movement, s; preheating counts.
    pub pierce_delay_s: Sourced<f64>,
    /// Height over the plate while piercing, mm.
    pub pierce_height_mm: Sourced<f64>,
    /// Height over the plate while cutting, mm.
    pub cut_height_mm: Sourced<f64>,
}

impl Handbook {
    /// The lines of this way of cutting, in the order of the table: metal by metal, thinnest first. Empty when there are
    /// none.
    pub fn cut_chart<'a>(&'a self, process: &'a str) -> impl Iterator<Item = &'a ChartRow> {
        self.cut_chart.iter().filter(move |row| row.process == process)
    }
}

pub(crate) fn read(table: &Table) -> Result<Vec<ChartRow>, BadCell> {
    table.read(|row| {
        Ok(ChartRow {
            process: row.text("process")?.to_owned(),
            family: row.word("family", FAMILIES, family)?,
            thickness_mm: row.positive("thickness_mm")?,
            feed_mm_min: row.sourced_positive("feed_mm_min")?,
            pierce_delay_s: row.sourced_number("pierce_delay_s")?,
            pierce_height_mm: row.sourced_number("pierce_height_mm")?,
            cut_height_mm: row.sourced_number("cut_height_mm")?,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thicker_plate_of_a_metal_is_cut_slower_and_pierced_longer() {
        let book = Handbook::builtin();
        for process in ["plasma", "oxy", "laser", "waterjet", "router"] {
            let rows: Vec<&ChartRow> = book.cut_chart(process).collect();
            assert!(!rows.is_empty(), "{process}");
            for pair in rows.windows(2).filter(|pair| pair[0].family == pair[1].family) {
                let (thin, thick) = (pair[0], pair[1]);
                assert!(thin.thickness_mm < thick.thickness_mm, "{process}");
                assert!(thin.feed_mm_min.value > thick.feed_mm_min.value, "{process}");
                assert!(
                    thin.pierce_delay_s.value <= thick.pierce_delay_s.value,
                    "{process}"
                );
            }
        }
        assert!(book.cut_chart("oxy").all(|row| row.family == Family::Steel));
    }
}
