//! What the sheet room cannot make, told with its place in the design.

use sheet::SheetError;

use crate::files::Wrong;
use crate::files::model::{Design, Place};
use crate::stages::points::Places;

/// The fault with the place of the thing it is about, and with points by their names.
pub(crate) fn sheet_wrong(error: &SheetError, design: &Design, places: &Places) -> Wrong {
    let (name, at) = subject(error);
    let place = name
        .and_then(|name| place_of(design, name))
        .unwrap_or_else(|| fallback(error, design));
    let mut says = error.to_string();
    if let Some(point) = at.and_then(|at| places.name_at(at)) {
        says.push_str(&format!(" (that is {point})"));
    }
    Wrong::new(place, says)
}

fn subject(error: &SheetError) -> (Option<&str>, Option<plane::Point>) {
    use SheetError as E;
    match error {
        E::BadBend { bend, .. }
        | E::CardTooThick { bend, .. }
        | E::LegVanishes { bend, .. }
        | E::BendVanishes { bend, .. } => (Some(bend), None),
        E::EdgeInBend { bend, at, .. }
        | E::NoRoomForRelief { bend, at }
        | E::ReliefMeetsEdge { bend, at, .. } => (Some(bend), Some(*at)),
        E::CreaseOutside { crease }
        | E::CreaseDoesNotDivide { crease }
        | E::CreaseFoldsSeveral { crease, .. } => (Some(crease), None),
        E::CreaseStops { crease, at, .. } => (Some(crease), Some(*at)),
        E::CreasesCross { creases, at } | E::CreasesOverlap { creases, at } => (Some(&creases[1]), Some(*at)),
        E::CreaseRing { creases } => (creases.first().map(String::as_str), None),
        E::OpeningShape { opening, .. } => (Some(opening), None),
        E::OpeningOutside { opening, at }
        | E::OpeningOverEdge { opening, at }
        | E::OpeningMeetsRelief { opening, at, .. }
        | E::OpeningInRelief { opening, at, .. } => (Some(opening), Some(*at)),
        E::OpeningInBend { opening, .. }
        | E::OpeningWithinBend { opening, .. }
        | E::OpeningTouchesCrease { opening, .. } => (Some(opening), None),
        E::OpeningsOverlap { openings, at } => (Some(&openings[1]), Some(*at)),
        E::NameOutside { name, at } => (Some(name), Some(*at)),
        E::NamedTwice { names } => (Some(&names[1]), None),
        E::SeamEdge { seam, .. } => (Some(seam), None),
        E::MarkOutside { mark, at } => (Some(mark), Some(*at)),
        E::RootOutside { at } => (None, Some(*at)),
        E::BlankOverlaps { at, .. } => (None, Some(*at)),
        _ => (None, None),
    }
}

fn place_of(design: &Design, name: &str) -> Option<Place> {
    let name = name.split('.').next().unwrap_or(name);
    let names = (design.bends.iter().map(|bend| &bend.name))
        .chain(design.holes.iter().map(|hole| &hole.name))
        .chain(design.slots.iter().map(|slot| &slot.name))
        .chain(design.windows.iter().map(|window| &window.name))
        .chain(design.panels.iter().map(|(name, _)| name))
        .chain(design.seams.iter().map(|seam| &seam.name))
        .chain(design.marks.iter().map(|mark| &mark.name));
    names
        .into_iter()
        .find(|known| known.value == name)
        .map(|known| known.at.clone())
}

fn fallback(error: &SheetError, design: &Design) -> Place {
    let stock = &design.plate.stock.text.at;
    match error {
        SheetError::Thickness { .. } => stock.clone(),
        SheetError::Card { .. } => design.card.as_ref().map_or(stock, |card| &card.at).clone(),
        SheetError::RootOutside { .. } => design.still.as_ref().map_or(stock, |still| &still.at).clone(),
        _ => design
            .outline
            .through
            .first()
            .map_or(stock, |name| &name.at)
            .clone(),
    }
}
