//! The summary as text for a terminal or a sheet of paper.

mod bending;
mod coming;
mod cutting;
mod helping;
mod holding;
mod measured;
mod strips;

use std::fmt::Write as _;

pub use helping::help_lines;
pub use measured::measured_text;
pub use strips::{strip_made_text, strip_read_text};

pub(crate) use cutting::{cut_cautions, money as cut_money, span as cut_span};

use crate::finding::Level;
use crate::summary::{FindingRow, Summary};

/// Paper and most terminals hold this many characters in a line.
const COLUMNS: usize = 100;

/// The whole summary in words: what it is, the five questions, the four answers, the findings, the numbers.
pub fn summary_text(summary: &Summary) -> String {
    let mut out = String::new();
    heading(&mut out, summary);
    answers(&mut out, summary);
    findings(&mut out, &summary.findings);
    numbers(&mut out, summary);
    let caution = "Cut, bend, drill and weld as your machine's book and local codes say, with eyes, ears and hands \
                   protected; edges are sharp until they are broken. Prove the part with a test on the bench before a \
                   body depends on it, and ask a licensed prosthetist, welder or engineer where their work is needed.";
    wrapped(&mut out, "", "", caution);
    out
}

/// What would help, each change with what it gains and costs.
pub fn helps_text(helps: &crate::Helps) -> String {
    let mut out = String::new();
    helping::helps(&mut out, helps);
    out
}

/// The answers and findings only: what `check` prints.
pub fn check_text(summary: &Summary) -> String {
    let mut out = String::new();
    heading(&mut out, summary);
    answers(&mut out, summary);
    findings(&mut out, &summary.findings);
    out
}

/// Whether it holds, in full: what `hold` prints.
pub fn hold_text(summary: &Summary) -> String {
    let mut out = String::new();
    heading(&mut out, summary);
    let verdict = &summary.verdicts.hold;
    let first = format!("Will it hold?    {:<12}", verdict.answer.word());
    wrapped(&mut out, &first, &" ".repeat(first.len()), &verdict.says);
    out.push('\n');
    if let Some(prove) = &summary.prove {
        holding::checks(&mut out, prove);
        holding::held(&mut out, summary);
    }
    out
}

/// Whether and how it is cut, in full: what `cut` prints.
pub fn cut_text(summary: &Summary) -> String {
    let mut out = String::new();
    heading(&mut out, summary);
    let verdict = &summary.verdicts.cut;
    let first = format!("Can it be cut?   {:<12}", verdict.answer.word());
    wrapped(&mut out, &first, &" ".repeat(first.len()), &verdict.says);
    out.push('\n');
    cutting::cut(&mut out, summary);
    out
}

/// Whether and how it is bent, in full: what `bend` prints.
pub fn bend_text(summary: &Summary) -> String {
    let mut out = String::new();
    heading(&mut out, summary);
    let verdict = &summary.verdicts.bend;
    let first = format!("Can it be bent?  {:<12}", verdict.answer.word());
    wrapped(&mut out, &first, &" ".repeat(first.len()), &verdict.says);
    out.push('\n');
    bending::bend(&mut out, summary);
    out
}

fn heading(out: &mut String, summary: &Summary) {
    let job = &summary.job;
    let revision = job
        .revision
        .as_ref()
        .map_or(String::new(), |revision| format!(", revision {revision}"));
    line(out, &format!("{}{revision}", job.title));
    let mut about = Vec::new();
    if let Some(fit) = &job.fit {
        let title = job
            .fit_title
            .as_ref()
            .map_or(String::new(), |title| format!(": {title}"));
        about.push(format!("fit {fit}{title}"));
    }
    if let Some(stock) = &job.stock {
        about.push(stock.clone());
    }
    about.push(format!(
        "{} hand{}",
        job.hand,
        if job.mirrored { ", mirrored" } else { "" }
    ));
    wrapped(out, "", "", &about.join("; "));
    out.push('\n');
    if summary.care.is_empty() {
        line(
            out,
            "The five questions are not answered: this job has no fit file.",
        );
    }
    for care in &summary.care {
        wrapped(out, "  ", "    ", &format!("{} {}", care.asks, care.answer));
    }
    out.push('\n');
}

fn answers(out: &mut String, summary: &Summary) {
    for (question, verdict) in summary.verdicts.in_order() {
        let first = format!("{question:<17}{:<12}", verdict.answer.word());
        wrapped(out, &first, &" ".repeat(first.len()), &verdict.says);
    }
    out.push('\n');
}

fn findings(out: &mut String, rows: &[FindingRow]) {
    if rows.is_empty() {
        return;
    }
    for row in rows {
        let level = match row.level {
            Level::Stop => "stop",
            Level::Care => "care",
            Level::Note => "note",
        };
        wrapped(out, &format!("{level}  "), "      ", &row.says);
        if let Some(fix) = &row.fix {
            wrapped(out, "      do: ", "          ", fix);
        }
        if let (Some(file), Some(line_no), Some(column)) = (&row.file, row.line, row.column) {
            line(out, &format!("      at: {file}:{line_no}:{column}"));
        }
    }
    out.push('\n');
}

fn numbers(out: &mut String, summary: &Summary) {
    if !summary.measures.is_empty() {
        line(out, "Measures");
        for measure in &summary.measures {
            let solved = if measure.solved { "  (found)" } else { "" };
            line(out, &format!("  {:<14}{}{solved}", measure.name, measure.shown));
        }
        out.push('\n');
    }
    if let Some(blank) = &summary.blank {
        for part in &blank.parts {
            line(
                out,
                &format!(
                    "Blank: {} by {}, {} thick, {:.0} mm2, {:.3} kg",
                    units::both(part.bounds_mm[0].0),
                    units::both(part.bounds_mm[1].0),
                    units::both(part.thickness_mm.0),
                    part.area_mm2.0,
                    part.mass_kg.0
                ),
            );
            for bend in &part.bends {
                wrapped(
                    out,
                    &format!("  {:<6}", bend.name),
                    "        ",
                    &format!(
                        "{}, {:.1} deg bent through ({:.1} deg between the legs), inside radius {}, allowance {:.2} mm, \
                         K {:.3} from {}",
                        bend.way,
                        bend.bent_deg.0,
                        bend.between_legs_deg.0,
                        units::both(bend.radius_mm.0),
                        bend.allowance_mm.0,
                        bend.k.0,
                        bend.k_from
                    ),
                );
            }
            for hole in &part.holes {
                line(
                    out,
                    &format!(
                        "  {:<6}x {}, y {}, {} {}",
                        hole.name,
                        units::both(hole.x_mm.0),
                        units::both(hole.y_mm.0),
                        units::both(hole.dia_mm.0),
                        hole.takes
                    ),
                );
            }
        }
        out.push('\n');
    }
    if let Some(fit) = &summary.fit {
        line(out, "On the equipment");
        for mount in &fit.mounts {
            line(
                out,
                &format!(
                    "  {:<8}{:.2} mm off (allowed {:.2}), gap {:.2} mm (allowed {:.2}), tilt {:.2} deg (allowed {:.2})",
                    mount.name,
                    mount.offset_mm.0,
                    mount.allowed_mm.0,
                    mount.gap_mm.0,
                    mount.gap_allowed_mm.0,
                    mount.tilt_deg.0,
                    mount.tilt_allowed_deg.0
                ),
            );
        }
        if let Some(support) = &fit.support {
            line(
                out,
                &format!(
                    "  support {:.2} mm off (allowed {:.2}), turned {:.2} deg (allowed {:.2})",
                    support.offset_mm.0, support.allowed_mm.0, support.turn_deg.0, support.allowed_deg.0
                ),
            );
        }
        for keep in &fit.keep_outs {
            line(
                out,
                &format!(
                    "  {:<8}clear by {:.1} mm (at least {:.1})",
                    keep.name, keep.clearance_mm.0, keep.least_mm.0
                ),
            );
        }
        out.push('\n');
    }
    if let Some(carries) = &summary.carries {
        line(out, "What it carries");
        for load in &carries.loads {
            wrapped(out, &format!("  {:<8}", load.name), "          ", &load.says);
        }
        for together in &carries.together {
            let says = format!("together: {}", together.loads.join(", "));
            wrapped(out, &format!("  {:<8}", together.name), "          ", &says);
        }
        let never = [("drop", &carries.never_drop), ("jam", &carries.never_jam)];
        for (word, reason) in never {
            if let Some(reason) = reason {
                wrapped(
                    out,
                    &format!("  {word:<8}"),
                    "          ",
                    &format!("cannot happen: {reason}"),
                );
            }
        }
        out.push('\n');
    }
    holding::held(out, summary);
    cutting::cut(out, summary);
    bending::bend(out, summary);
    if let Some(folded) = &summary.folded {
        let c = folded.centre_of_mass_mm;
        line(
            out,
            &format!(
                "Folded: {:.3} kg, centre of mass at {:.1}, {:.1}, {:.1} mm in the {} axes",
                folded.mass_kg.0, c[0].0, c[1].0, c[2].0, folded.axes
            ),
        );
        out.push('\n');
    }
}

fn line(out: &mut String, text: &str) {
    // Writing to a String cannot fail.
    let _ = writeln!(out, "{}", text.trim_end());
}

/// Words wrapped to the width, the first line after `first`, the others after `rest`.
fn wrapped(out: &mut String, first: &str, rest: &str, text: &str) {
    let mut row = first.to_owned();
    let mut bare = true;
    for word in text.split_whitespace() {
        if !bare && row.chars().count() + 1 + word.chars().count() > COLUMNS {
            line(out, &row);
            row = rest.to_owned();
            bare = true;
        }
        if !bare {
            row.push(' ');
        }
        row.push_str(word);
        bare = false;
    }
    line(out, &row);
}
