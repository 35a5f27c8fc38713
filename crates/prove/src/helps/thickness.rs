//! Another plate from the shop's list.

use sheet::Mockup;

use super::change::Change;
use super::shelf::{Shelf, Stock};

/// Gives every bend the radius and the K of another plate.
pub(super) fn apply(mockup: &mut Mockup, stock: &Stock) {
    for crease in &mut mockup.creases {
        crease.radius_mm = stock.radius_mm;
        crease.neutral_share = stock.neutral_share;
    }
}

/// Every other thickness on the list.
pub(super) fn candidates(shelf: &Shelf, thickness_mm: f64) -> Vec<Change> {
    let own = shelf.of_thickness(thickness_mm);
    let mut plates: Vec<usize> = (0..shelf.plates.len())
        .filter(|plate| Some(*plate) != own)
        .collect();
    plates.sort_by(|&a, &b| {
        shelf.plates[a]
            .thickness_mm
            .total_cmp(&shelf.plates[b].thickness_mm)
    });
    plates.into_iter().map(Change::Stock).collect()
}
