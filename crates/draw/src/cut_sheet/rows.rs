//! The tables: the order of the cuts, what is drilled afterwards, the tabs, and the notes.

use super::{CutSheet, SheetCut};
use crate::bench_pages::{BenchPages, Listed};
use crate::figures;
use crate::table::Table;

/// Letters of the tables: read with the torch in the other hand.
const SIZE_MM: f64 = 3.7;
/// A path whose enclosed area is under this share of its length squared encloses nothing: it is a slit, and has no way round.
const SLIT_SHARE: f64 = 1e-4;

/// Draws them from where the pages are.
pub(super) fn draw(pages: &mut BenchPages, told: &CutSheet) {
    pages.y += 3.0;
    pages.table("Cuts in order", &cuts(told, pages.inner_mm()));
    pages.table("Drilled afterwards", &drills(told, pages.inner_mm()));
    pages.table(
        "Tabs, sawn or filed off afterwards",
        &tabs(told, pages.inner_mm()),
    );
    pages.list("Notes", &told.notes, Listed::Plain);
}

/// mm over inch.
fn pair(length_mm: f64) -> Vec<String> {
    vec![figures::mm(length_mm), figures::inch(length_mm)]
}

fn cuts(told: &CutSheet, inner_mm: f64) -> Table {
    let columns = [
        ("no.", 11.0),
        ("pierce x, mm over in", 30.0),
        ("pierce y, mm over in", 30.0),
        ("length, mm over in", 31.0),
    ];
    let left_mm = inner_mm - columns.iter().map(|(_, wide)| wide).sum::<f64>();
    let what_mm = (left_mm * 0.52).floor();
    let mut table = Table::new(&[
        columns[0],
        ("what", what_mm),
        columns[1],
        columns[2],
        columns[3],
        ("notes", left_mm - what_mm),
    ])
    .sized(SIZE_MM);
    for (index, cut) in told.cuts.iter().enumerate() {
        let from_zero = cut.pierce().map(|at| at - told.zero);
        let place = |way: usize| from_zero.map_or(Vec::new(), |from| pair(from[way]));
        table.row(vec![
            vec![(index + 1).to_string()],
            what(told, cut),
            place(0),
            place(1),
            pair(cut.length_mm()),
            notes(cut),
        ]);
    }
    table
}

/// "bracket: hole m1".
pub(super) fn name(told: &CutSheet, cut: &SheetCut) -> String {
    match cut.part.and_then(|part| told.parts.get(part)) {
        Some(part) => format!("{}: {}", part.name, cut.name),
        None => cut.name.clone(),
    }
}

fn what(told: &CutSheet, cut: &SheetCut) -> Vec<String> {
    let mut says = vec![name(told, cut)];
    says.extend(way_round(cut).map(str::to_owned));
    says
}

/// Which way round the path runs; none for one that goes round nothing.
pub(super) fn way_round(cut: &SheetCut) -> Option<&'static str> {
    let base = cut.pierce()?;
    // Twice the area between the path and the chord back to its pierce, by chords of its arcs.
    let twice: f64 = cut
        .edges()
        .flat_map(|edge| {
            const STEPS: u32 = 16;
            (0..STEPS).map(move |step| {
                let at = |step: u32| edge.point_at(f64::from(step) / f64::from(STEPS)) - base;
                at(step).perp(&at(step + 1))
            })
        })
        .sum();
    let length_mm = cut.length_mm();
    if twice.abs() / 2.0 <= SLIT_SHARE * length_mm * length_mm {
        return None;
    }
    Some(if twice > 0.0 {
        "counter-clockwise"
    } else {
        "clockwise"
    })
}

/// Waits and what else is said.
pub(super) fn notes(cut: &SheetCut) -> Vec<String> {
    let mut says = Vec::new();
    if cut.waits_s > 0.0 {
        says.push(format!("wait {} before it", wait(cut.waits_s)));
    }
    says.extend(cut.notes.iter().cloned());
    says
}

/// Whole seconds, never fewer than there are.
fn wait(waits_s: f64) -> String {
    let whole = waits_s.ceil();
    if whole < 120.0 {
        format!("{whole:.0} s")
    } else {
        let minutes = (whole / 60.0).floor();
        format!("{minutes:.0} min {:.0} s", whole - 60.0 * minutes)
    }
}

fn drills(told: &CutSheet, inner_mm: f64) -> Table {
    let columns = [
        ("no.", 13.0),
        ("hole", 44.0),
        ("x, mm over in", 30.0),
        ("y, mm over in", 30.0),
    ];
    let left_mm = inner_mm - columns.iter().map(|(_, wide)| wide).sum::<f64>();
    let mut table = Table::new(&[
        columns[0],
        columns[1],
        ("with what", left_mm),
        columns[2],
        columns[3],
    ])
    .sized(SIZE_MM);
    for (index, drill) in told.drills.iter().enumerate() {
        let from = drill.at - told.zero;
        table.row(vec![
            vec![format!("D{}", index + 1)],
            vec![drill.name.clone(), format!("to {}", figures::both(drill.dia_mm))],
            vec![drill.drill.clone()],
            pair(from.x),
            pair(from.y),
        ]);
    }
    table
}

fn tabs(told: &CutSheet, inner_mm: f64) -> Table {
    let columns = [
        ("no.", 13.0),
        ("x, mm over in", 34.0),
        ("y, mm over in", 34.0),
        ("leaves, mm over in", 40.0),
    ];
    let left_mm = inner_mm - columns.iter().map(|(_, wide)| wide).sum::<f64>();
    let mut table =
        Table::new(&[columns[0], ("on", left_mm), columns[1], columns[2], columns[3]]).sized(SIZE_MM);
    for (number, part, tab) in told.tabs() {
        let from = tab.at - told.zero;
        table.row(vec![
            vec![format!("T{number}")],
            vec![told.parts[part].name.clone()],
            pair(from.x),
            pair(from.y),
            pair(tab.width_mm),
        ]);
    }
    table
}
