//! Can the sheet be cut? The gravest of its parts and of what stands against the sheet.

use super::{PlacedPart, PlannedCut, SheetConcern};
use crate::tracks::{Answer, CanBeCut, Decides, Tracks};
use crate::verify::Wrong;

pub(super) fn answer(
    placed: &[PlacedPart],
    tracks: &[Tracks],
    concerns: &[SheetConcern],
    cuts: &[PlannedCut],
    program: &Result<String, Vec<Wrong>>,
) -> Option<CanBeCut> {
    let by_part = tracks.iter().filter_map(Tracks::can_be_cut);
    let name_of = |part: usize| placed.get(part).map_or("", |part| part.name.as_str());
    let name_of_cut = |cut: usize| cuts.get(cut).map_or("sheet", |cut| cut.cut.name.as_str());
    let by_concern = concerns.iter().filter_map(|concern| {
        Some(match *concern {
            SheetConcern::Track { .. } | SheetConcern::ShiftedHere { .. } => return None,
            SheetConcern::NoRoom { .. } => CanBeCut::bare(Answer::No, Decides::Room, "sheet"),
            SheetConcern::PierceOffSheet { placed } => {
                CanBeCut::bare(Answer::No, Decides::PierceOnSheet, name_of(placed))
            }
            SheetConcern::CanTip { placed } => CanBeCut::bare(Answer::Care, Decides::Tips, name_of(placed)),
            SheetConcern::HotStart { cut, .. } => {
                CanBeCut::bare(Answer::Care, Decides::Heat, name_of_cut(cut))
            }
            SheetConcern::LiftedByHand { cut } => {
                CanBeCut::bare(Answer::Care, Decides::Lift, name_of_cut(cut))
            }
        })
    });
    let found = by_part.chain(by_concern);
    let found = found.min_by(CanBeCut::gravest_first)?;
    // A part whose answer is no has no whole program; else a program that is not right is what decides.
    if program.is_err() && found.answer != Answer::No {
        return Some(CanBeCut::bare(Answer::No, Decides::Program, "sheet"));
    }
    Some(found)
}
