//! The sheet for the table in words, for those who cannot see it.

use super::{CutSheet, rows};
use crate::figures;
use crate::trace;

/// Everything the drawing and the tables say.
pub(super) fn of(told: &CutSheet) -> String {
    let load = &told.load;
    let size = trace::bounds(&load.region.outer);
    let mut says = told.cautions.clone();
    says.push(format!(
        "Load {}, {}, {} by {}, planned for {:.2} mm; go on only when the caliper shows {:.2} to {:.2} mm.",
        load.stock,
        if load.what.is_empty() {
            "a sheet"
        } else {
            &load.what
        },
        figures::both(size.width),
        figures::both(size.height),
        load.thickness_mm,
        load.goes_on_mm[0],
        load.goes_on_mm[1]
    ));
    if !told.zero_says.is_empty() {
        says.push(format!("Zero is {}.", told.zero_says.trim_end_matches('.')));
    }
    if !told.dry_run.is_empty() {
        says.push(told.dry_run.clone());
    }
    for (index, cut) in told.cuts.iter().enumerate() {
        let place = cut.pierce().map_or(String::new(), |at| {
            let from = at - told.zero;
            format!(
                ", pierce x {}, y {} mm from zero",
                figures::mm(from.x),
                figures::mm(from.y)
            )
        });
        let more: String = rows::way_round(cut)
            .map(str::to_owned)
            .into_iter()
            .chain(rows::notes(cut))
            .map(|words| format!(", {words}"))
            .collect();
        says.push(format!(
            "Cut {}: {}{place}, {} mm long{more}.",
            index + 1,
            rows::name(told, cut),
            figures::mm(cut.length_mm())
        ));
    }
    for (index, drill) in told.drills.iter().enumerate() {
        says.push(format!("D{}: {}, {}.", index + 1, drill.name, drill.drill));
    }
    for (number, part, tab) in told.tabs() {
        says.push(format!(
            "Tab T{number} on {} leaves {} mm uncut.",
            told.parts[part].name,
            figures::mm(tab.width_mm)
        ));
    }
    says.extend(told.takes.iter().map(|(head, words)| format!("{head}: {words}.")));
    says.extend(told.notes.iter().cloned());
    says.join(" ")
}
