//! How sizes come out of the cutter: what the fit of holes and edges has to reckon with.

use handbook::{Handbook, Sourced, ToleranceError};

use super::{Profile, Stock};

/// How far a size between two cut edges comes out from what was drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeError {
    /// Class of ISO 9013 limit deviations that this cutter is taken to hold: 1 or 2.
    pub class: u8,
    /// Limit deviation by that class, either way, mm; a typed error where no row of the table holds the size.
    pub deviation_mm: Result<Sourced<f64>, ToleranceError>,
    /// Standard uncertainty that the kerf alone gives, mm: half the kerf's on each of the two edges, the same way.
    pub kerf_sd_mm: f64,
}

impl Profile {
    /// How a size of so many mm comes out in this stock.
    #[must_use]
    pub fn size_error(&self, size_mm: f64, stock: &Stock, book: &Handbook) -> SizeError {
        let class = self.holes.tolerance_class;
        SizeError {
            class,
            deviation_mm: book.iso_9013_deviation_mm(class, stock.thickness_mm, size_mm),
            kerf_sd_mm: self.kerf_in(stock).sd_mm,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::Process;

    #[test]
    fn plasma_holds_a_size_as_class_2_does() {
        let book = Handbook::builtin();
        let plasma = Profile::of(&book, Process::Plasma).expect("plasma");
        let plate = Stock {
            name: "steel 6 mm".into(),
            family: handbook::Family::Steel,
            thickness_mm: 6.0,
        };
        let error = plasma.size_error(100.0, &plate, &book);
        assert_eq!(error.class, 2);
        let by_table = book.iso_9013_deviation_mm(2, 6.0, 100.0);
        assert!(by_table.is_ok() && error.deviation_mm == by_table);
        // Anything from 1.5 to 3.5 mm: 2 / sqrt 12.
        assert!((error.kerf_sd_mm - 2.0 / 12f64.sqrt()).abs() < 1e-12);
        assert!(plasma.size_error(1.0, &plate, &book).deviation_mm.is_err());
    }
}
