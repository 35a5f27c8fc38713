//! What a blank asks of the cutter, held against what the cutter and the sheets at hand can give.

mod concern;
mod corner;
mod edges;
mod limits;
mod opening;
mod sheet_size;
mod spacing;

pub use concern::{Breach, Concern, CutEdge, Fix, NotChecked, Weight};
pub use limits::{Limits, OtherProcess};
pub use sheet_size::SheetAtHand;

use ::sheet::Part;

/// Everything the blank of this part runs against: openings in their order, then spacing, corners and the sheet.
///
/// - Round holes, slots and the narrowest place of a window: at least the process's least hole, and its kerf.
/// - An opening's edge to the outside edge, and to another opening: at least the process's multiples of the thickness.
/// - Inside corners: no sharper than half the kerf, which is what the cutter leaves.
/// - The blank with its margin: within one of the sheets, turned any way.
///
/// What could not be checked is told by [`not_checked`]: no concern about it means nothing.
pub fn check(part: &Part, limits: &Limits, sheets: &[SheetAtHand]) -> Vec<Concern> {
    let edges = edges::inner_edges(part);
    let mut concerns = Vec::new();
    for edge in &edges {
        concerns.extend(opening::too_small(part, edge, limits));
    }
    for edge in &edges {
        concerns.extend(spacing::to_outside(part, edge, limits));
    }
    concerns.extend(spacing::between(part, &edges, limits));
    concerns.extend(corner::sharp(part, &edges, limits));
    concerns.extend(sheet_size::larger_than_all(part, limits, sheets));
    concerns
}

/// What the holes of a part's blank are called, in their order.
pub(crate) fn opening_names(part: &Part) -> Vec<CutEdge> {
    let edges = edges::inner_edges(part).into_iter();
    edges.map(|edge| edge.name).collect()
}

/// The rules that [`check`] could not apply. With any of these, the answer to "can it be cut?" is at best `not checked`.
pub fn not_checked(part: &Part, limits: &Limits, sheets: &[SheetAtHand]) -> Vec<NotChecked> {
    let mut not_checked = Vec::new();
    for edge in edges::inner_edges(part) {
        if opening::width_unknown(part, &edge, limits) {
            not_checked.push(NotChecked::WindowWidth(edge.name));
        }
    }
    if sheets.is_empty() {
        not_checked.push(NotChecked::NoSheetSaid);
    }
    not_checked
}
