//! Windows: smaller or gone where the plate is needed, larger where it does little.

use plane::{Outline, inset_window};
use sheet::{Mockup, OpeningShape, Part};

use super::change::{CannotChange, Change, WindowTo};

/// An opening smaller than this is a hole for something, mm2: a 20 mm hole.
const LEAST_WINDOW_MM2: f64 = 300.0;
/// Steps by which a window's edge is moved, mm.
const STEPS_MM: [f64; 2] = [4.0, 8.0];

/// Changes a window of a card; one that is gone is taken out later, so that indices stay.
pub(super) fn apply(
    mockup: &mut Mockup,
    opening: usize,
    to: WindowTo,
    corner_mm: f64,
) -> Result<(), CannotChange> {
    let opening = mockup.openings.get_mut(opening).ok_or(CannotChange::NotThere)?;
    let edge = opening.shape.outline()?;
    opening.shape = match to {
        WindowTo::Gone => return Ok(()),
        WindowTo::Larger(by_mm) => OpeningShape::Window(edge.offset_to_one(by_mm)?),
        WindowTo::Smaller(by_mm) => {
            let mut left = inset_window(&edge, by_mm, corner_mm)?;
            // Largest first; what the inset parts off is not cut.
            OpeningShape::Window(left.swap_remove(0))
        }
    };
    Ok(())
}

/// Every window that holds nothing: gone, smaller, larger.
pub(super) fn candidates(part: &Part, in_use: &[usize]) -> Vec<Change> {
    let mut found = Vec::new();
    for (opening, held) in part.openings.iter().enumerate() {
        let is_window = held
            .shape
            .outline()
            .is_ok_and(|edge: Outline| edge.area_mm2() >= LEAST_WINDOW_MM2);
        if !is_window || in_use.contains(&opening) {
            continue;
        }
        let change = |to| Change::Window { opening, to };
        found.push(change(WindowTo::Gone));
        found.extend(STEPS_MM.map(|by_mm| change(WindowTo::Smaller(by_mm))));
        found.extend(STEPS_MM.map(|by_mm| change(WindowTo::Larger(by_mm))));
    }
    found
}
