//! What would help, in words.

use super::{line, wrapped};
use crate::{HelpRow, Helps};

/// What comes after the best ten is hardly read.
const TOLD: usize = 10;

pub(super) fn helps(out: &mut String, helps: &Helps) {
    line(out, "What would help");
    let ranked = format!(
        "As it is it weighs {} and uses {:.0} % of its limit on one mesh, coarser than above. {} changes were ranked by the \
         energy of the loads; {} were solved on meshes like it, and what passes there again as finely as above. Gains are told \
         for \"{}\". First what passes, the lightest first; then the rest, by what is gained for each gram.",
        units::mass(helps.mass_kg.0),
        100.0 * helps.used.0,
        helps.ranked,
        helps.changes.len(),
        helps.load
    );
    wrapped(out, "  ", "  ", &ranked);
    if helps.changes.iter().all(|change| !change.passes) {
        wrapped(
            out,
            "  ",
            "  ",
            "None of them passes alone or with the further changes tried: lower the loads, move the support in, or draw it \
             anew.",
        );
    }
    for (index, change) in helps.changes.iter().take(TOLD).enumerate() {
        row(out, index + 1, change);
    }
    for not in &helps.not_possible {
        wrapped(
            out,
            "   -  ",
            "      ",
            &format!("{} - not possible: {}", not.change, not.why),
        );
        wrapped(out, "      do: ", "          ", &not.fix);
    }
    if let Some(more) = helps.changes.len().checked_sub(TOLD).filter(|more| *more > 0) {
        line(out, &format!("      and {more} more, told with --json"));
    }
    out.push('\n');
}

fn row(out: &mut String, number: usize, row: &HelpRow) {
    let lines = help_lines(row);
    for (index, words) in lines.iter().enumerate() {
        let first = if index == 0 {
            format!("  {number:>2}  ")
        } else {
            "      ".to_owned()
        };
        wrapped(out, &first, "      ", words);
    }
}

/// A change in words: what it is and whether it passes; what is gained; its welds; what it costs and what still holds.
pub fn help_lines(row: &HelpRow) -> Vec<String> {
    let passes = if row.passes { "passes" } else { "does not pass" };
    let mut lines = vec![format!(
        "{} - {passes}, {:.0} % of the limit",
        row.change,
        100.0 * row.refined_used.as_ref().unwrap_or(&row.used).0
    )];
    let share = |gain: f64| {
        let percent = 100.0 * gain;
        if percent.abs() < 0.5 {
            "as before".to_owned()
        } else if percent > 0.0 {
            format!("{percent:.0} % less")
        } else {
            format!("{:.0} % more", -percent)
        }
    };
    lines.push(format!(
        "movement {}, bending {}, twist {}, stress {}",
        share(row.stiffer.0),
        share(row.less_bending.0),
        share(row.less_twist.0),
        share(row.stronger.0)
    ));
    lines.extend(row.weld.iter().map(|weld| weld.says.clone()));
    let mut costs = vec![format!("{:+.0} g", row.grams.0)];
    if row.cut_mm.0.abs() >= 0.5 {
        costs.push(format!("{:+.0} mm of cut", row.cut_mm.0));
    }
    if row.bends > 0 {
        costs.push(format!("{} more bends", row.bends));
    }
    if row.weld_mm.0 >= 0.5 {
        costs.push(format!(
            "{:.0} mm of weld on {} plates",
            row.weld_mm.0, row.plates
        ));
    }
    lines.push(format!(
        "{}; fits: {}, cuts: {}, bends: {}",
        costs.join(", "),
        row.fits,
        row.cuts,
        row.bends_still
    ));
    lines
}
