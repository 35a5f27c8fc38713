//! A program is given out only after it has been read back and found right.

use plane::{Point, Region};

use super::dialect::{ArcCentres, Compensation, Dialect, Heights, PierceDelay};
use super::marks::{Marking, write_marks};
use super::work::Work;
use super::write::{Program, write_dry_run, write_program};
use crate::verify::{
    Asked, AskedCut, AskedHeights, AskedMark, AskedMarks, MachineWords, MarkHeights, Tab, Wrong, verify,
    verify_dry_run, verify_marks,
};

/// What lies and stands on the table, in table coordinates, mm.
#[derive(Debug, Clone, Copy)]
pub struct Surroundings<'a> {
    /// The parts as they should come off the table; what is drilled later is not in them.
    pub parts: &'a [Region],
    /// Lower left and upper right of what the torch can reach.
    pub table: [Point; 2],
    /// Where clamps stand.
    pub clamps: &'a [Region],
    /// Bridges that hold a part.
    pub tabs: &'a [Tab],
}

/// The program that cuts, read back by [`crate::verify`] and found to cut the parts.
///
/// # Errors
/// Everything that is wrong with it; then it must not be written to a file.
pub fn checked_program(work: &Work, dialect: &Dialect, on: &Surroundings) -> Result<Program, Vec<Wrong>> {
    let program = write_program(work, dialect).map_err(|why| vec![Wrong::NotWritten(why)])?;
    let cuts: Vec<AskedCut> = work
        .cuts
        .iter()
        .map(|cut| AskedCut {
            kerf_mm: cut.kerf_mm,
            feed_mm_min: cut.feed_mm_min,
        })
        .collect();
    let torch = &work.torch;
    let asked = Asked {
        parts: on.parts,
        cuts: &cuts,
        table: on.table,
        clamps: on.clamps,
        tabs: on.tabs,
        zero: work.zero,
        pierce_delay_s: (dialect.pierce_delay == PierceDelay::Dwell).then_some(torch.pierce_delay_s),
        heights: (dialect.heights == Heights::Written).then_some(AskedHeights {
            pierce_mm: torch.pierce_height_mm,
            cut_mm: torch.cut_height_mm,
            travel_mm: torch.travel_height_mm,
        }),
    };
    verify(&program.text, &words_of(work, dialect), &asked)?;
    Ok(program)
}

/// The dry run, read back: the torch is never lit, and no move leaves the table or runs into a clamp.
///
/// # Errors
/// Everything that is wrong with it; then it must not be written to a file.
pub fn checked_dry_run(work: &Work, dialect: &Dialect, on: &Surroundings) -> Result<String, Vec<Wrong>> {
    let text = write_dry_run(work, dialect).map_err(|why| vec![Wrong::NotWritten(why)])?;
    let travel_mm = (dialect.heights == Heights::Written).then_some(work.torch.travel_height_mm);
    verify_dry_run(
        &text,
        &words_of(work, dialect),
        work.zero,
        on.table,
        on.clamps,
        travel_mm,
    )?;
    Ok(text)
}

/// The program that marks, read back: it marks what was asked for and nothing else, the torch is never lit, and no move leaves
/// the table or runs into a clamp.
///
/// # Errors
/// Everything that is wrong with it; then it must not be written to a file.
pub fn checked_marks(
    work: &Work,
    marking: &Marking,
    marks: &[AskedMark],
    dialect: &Dialect,
    on: &Surroundings,
) -> Result<String, Vec<Wrong>> {
    let text = write_marks(work, marking, dialect).map_err(|why| vec![Wrong::NotWritten(why)])?;
    let words = MachineWords {
        marker: dialect
            .marker
            .as_ref()
            .map(|marker| [marker.on.clone(), marker.off.clone()]),
        ..words_of(work, dialect)
    };
    let asked = AskedMarks {
        marks,
        feed_mm_min: marking.feed_mm_min,
        table: on.table,
        clamps: on.clamps,
        zero: work.zero,
        heights: (dialect.heights == Heights::Written).then_some(MarkHeights {
            mark_mm: work.torch.cut_height_mm,
            travel_mm: work.torch.travel_height_mm,
        }),
    };
    verify_marks(&text, &words, &asked)?;
    Ok(text)
}

/// The machine that the dialect describes, as the reader is told of it.
fn words_of(work: &Work, dialect: &Dialect) -> MachineWords {
    let kerf_slots = match (dialect.compensation, work.cuts.first()) {
        (Compensation::MachineTable { slot }, Some(first)) => vec![(slot, first.kerf_mm)],
        _ => Vec::new(),
    };
    MachineWords {
        torch_on: dialect.torch.on.clone(),
        torch_off: dialect.torch.off.clone(),
        // Where parts are cut nothing is marked: the reader does not even know the words.
        marker: None,
        harmless: dialect
            .height_control
            .iter()
            .flat_map(|switch| [switch.on.clone(), switch.off.clone()])
            .collect(),
        absolute_centres: dialect.arc_centres == ArcCentres::Absolute,
        kerf_slots,
    }
}
