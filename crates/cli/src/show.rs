//! `gusset show`: one thing of a job as a table.

use job::{Num, Summary};
use serde_json::{Value, json};

use crate::args::What;

/// The rows of a table, the first being its head.
type Rows = Vec<Vec<String>>;

/// The table as text.
pub fn table(summary: &Summary, what: What) -> String {
    let rows = rows(summary, what);
    let Some(head) = rows.first() else {
        return String::new();
    };
    let mut wide: Vec<usize> = head.iter().map(|cell| cell.chars().count()).collect();
    for row in &rows {
        for (width, cell) in wide.iter_mut().zip(row) {
            *width = (*width).max(cell.chars().count());
        }
    }
    let mut out = String::new();
    for row in &rows {
        let mut line = String::new();
        for (width, cell) in wide.iter().zip(row) {
            line.push_str(cell);
            line.push_str(&" ".repeat(width - cell.chars().count() + 2));
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    if rows.len() == 1 {
        out.push_str("(none)\n");
    }
    out
}

/// The same part of the summary as JSON.
pub fn value(summary: &Summary, what: What) -> Value {
    match what {
        What::Points => json!(summary.survey.as_ref().map(|survey| &survey.points)),
        What::Readings => json!(summary.survey.as_ref().map(|survey| &survey.readings)),
        What::Blank => json!(summary.blank),
        What::Holes => json!({
            "blank": summary.blank.as_ref().map(|blank| blank.parts.iter().map(|part| &part.holes).collect::<Vec<_>>()),
            "folded": summary.folded.as_ref().map(|folded| &folded.holes),
        }),
        What::Bends => json!(summary.blank.as_ref().map(|blank| {
            blank
                .parts
                .iter()
                .flat_map(|part| &part.bends)
                .collect::<Vec<_>>()
        })),
        What::Measures => json!(summary.measures),
        What::Fit => json!(summary.fit),
        What::Loads => json!({
            "carries": summary.carries.as_ref().map(|carries| &carries.loads),
            "prove": summary.prove.as_ref().map(|prove| &prove.loads),
        }),
        What::Bolts => json!(summary.prove.as_ref().map(|prove| &prove.bolts)),
        What::Findings => json!(summary.findings),
    }
}

fn head(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

fn three(values: &[Num; 3], decimals: usize) -> String {
    let cells: Vec<String> = values
        .iter()
        .map(|value| format!("{:.decimals$}", value.0 + 0.0))
        .collect();
    cells.join(", ")
}

fn maybe(value: Option<Num>, decimals: usize) -> String {
    value.map_or("-".into(), |value| format!("{:.decimals$}", value.0))
}

fn rows(summary: &Summary, what: What) -> Rows {
    match what {
        What::Points => points(summary),
        What::Readings => readings(summary),
        What::Blank => blank(summary),
        What::Holes => holes(summary),
        What::Bends => bends(summary),
        What::Measures => {
            let mut rows = vec![head(&["measure", "value", "from"])];
            for row in &summary.measures {
                let from = if row.solved { "found" } else { "said" };
                rows.push(vec![row.name.clone(), row.shown.clone(), from.into()]);
            }
            rows
        }
        What::Fit => fit(summary),
        What::Loads => loads(summary),
        What::Bolts => bolts(summary),
        What::Findings => {
            let mut rows = vec![head(&["level", "code", "about", "says"])];
            for row in &summary.findings {
                let level = match row.level {
                    job::Level::Stop => "stop",
                    job::Level::Care => "care",
                    job::Level::Note => "note",
                };
                rows.push(vec![
                    level.into(),
                    row.code.into(),
                    row.about.clone(),
                    row.says.clone(),
                ]);
            }
            rows
        }
    }
}

fn points(summary: &Summary) -> Rows {
    let mut rows = vec![head(&["point", "x", "y", "sd x mm", "sd y mm"])];
    for point in summary.survey.iter().flat_map(|survey| &survey.points) {
        rows.push(vec![
            point.name.clone(),
            units::both(point.x_mm.0),
            units::both(point.y_mm.0),
            format!("{:.2}", point.sd_x_mm.0),
            format!("{:.2}", point.sd_y_mm.0),
        ]);
    }
    rows
}

fn readings(summary: &Summary) -> Rows {
    let mut rows = vec![head(&["reading", "read", "residual", "checked", "w", "suspect"])];
    for reading in summary.survey.iter().flat_map(|survey| &survey.readings) {
        let residual = match (reading.residual_mm, reading.residual_deg) {
            (Some(mm), _) => format!("{:+.2} mm", mm.0),
            (None, Some(deg)) => format!("{:+.2} deg", deg.0),
            _ => "-".into(),
        };
        rows.push(vec![
            reading.about.clone(),
            reading.read.clone(),
            residual,
            format!("{:.0} %", 100.0 * reading.redundancy.0.clamp(0.0, 1.0)),
            maybe(reading.w, 2),
            if reading.suspect {
                "yes".into()
            } else {
                String::new()
            },
        ]);
    }
    rows
}

fn blank(summary: &Summary) -> Rows {
    let mut rows = vec![head(&[
        "blank", "width", "height", "area mm2", "mass kg", "edge mm",
    ])];
    for part in summary.blank.iter().flat_map(|blank| &blank.parts) {
        rows.push(vec![
            part.name.clone(),
            units::both(part.bounds_mm[0].0),
            units::both(part.bounds_mm[1].0),
            format!("{:.0}", part.area_mm2.0),
            format!("{:.3}", part.mass_kg.0),
            format!("{:.0}", part.outline_length_mm.0),
        ]);
    }
    rows
}

fn holes(summary: &Summary) -> Rows {
    let mut rows = vec![head(&[
        "hole",
        "x on blank",
        "y on blank",
        "size",
        "for",
        "folded at mm",
        "axis",
    ])];
    for part in summary.blank.iter().flat_map(|blank| &blank.parts) {
        for hole in &part.holes {
            let folded = summary
                .folded
                .iter()
                .flat_map(|folded| &folded.holes)
                .find(|f| f.name == hole.name);
            rows.push(vec![
                hole.name.clone(),
                units::both(hole.x_mm.0),
                units::both(hole.y_mm.0),
                units::both(hole.dia_mm.0),
                hole.takes.clone(),
                folded.map_or("-".into(), |folded| three(&folded.at_mm, 2)),
                folded.map_or("-".into(), |folded| three(&folded.axis, 4)),
            ]);
        }
    }
    rows
}

fn bends(summary: &Summary) -> Rows {
    let mut rows = vec![head(&[
        "bend",
        "way",
        "bent through",
        "between legs",
        "inside radius",
        "allowance mm",
        "deduction mm",
        "set-back mm",
        "K",
        "K from",
    ])];
    for bend in summary
        .blank
        .iter()
        .flat_map(|blank| &blank.parts)
        .flat_map(|part| &part.bends)
    {
        rows.push(vec![
            bend.name.clone(),
            bend.way.into(),
            format!("{:.1} deg", bend.bent_deg.0),
            format!("{:.1} deg", bend.between_legs_deg.0),
            units::both(bend.radius_mm.0),
            format!("{:.3}", bend.allowance_mm.0),
            format!("{:.3}", bend.deduction_mm.0),
            format!("{:.3}", bend.set_back_mm.0),
            format!("{:.3}", bend.k.0),
            bend.k_from.clone(),
        ]);
    }
    rows
}

fn fit(summary: &Summary) -> Rows {
    let mut rows = vec![head(&[
        "what",
        "offset mm",
        "allowed",
        "gap mm",
        "allowed",
        "turned deg",
        "allowed",
    ])];
    let Some(fit) = &summary.fit else { return rows };
    let two = |value: Num| format!("{:.2}", value.0);
    for mount in &fit.mounts {
        rows.push(vec![
            mount.name.clone(),
            two(mount.offset_mm),
            two(mount.allowed_mm),
            two(mount.gap_mm),
            two(mount.gap_allowed_mm),
            two(mount.tilt_deg),
            two(mount.tilt_allowed_deg),
        ]);
    }
    if let Some(support) = &fit.support {
        rows.push(vec![
            "support".into(),
            two(support.offset_mm),
            two(support.allowed_mm),
            "-".into(),
            "-".into(),
            two(support.turn_deg),
            two(support.allowed_deg),
        ]);
    }
    for keep in &fit.keep_outs {
        rows.push(vec![
            format!("clear of {}", keep.name),
            "-".into(),
            "-".into(),
            two(keep.clearance_mm),
            two(keep.least_mm),
            "-".into(),
            "-".into(),
        ]);
    }
    rows
}

fn loads(summary: &Summary) -> Rows {
    let mut rows = vec![head(&[
        "load",
        "N",
        "peak MPa",
        "in",
        "yields at",
        "asked",
        "moves mm",
        "twist deg",
        "bend deg",
        "by hand MPa",
    ])];
    let size = |of: &[Num; 3]| of.iter().map(|part| part.0 * part.0).sum::<f64>().sqrt();
    for load in summary.prove.iter().flat_map(|prove| &prove.loads) {
        rows.push(vec![
            load.name.clone(),
            format!("{:.0}", size(&load.force_n)),
            maybe(load.peak_mpa, 1),
            load.where_.clone().unwrap_or_else(|| "-".into()),
            maybe(load.safety, 2),
            format!("{:.1}", load.safety_asked.0),
            maybe(load.support_moves_mm, 2),
            maybe(load.twist_deg, 2),
            maybe(load.bend_deg, 2),
            maybe(load.by_hand.as_ref().map(|hand| hand.stress_mpa), 1),
        ]);
    }
    rows
}

fn bolts(summary: &Summary) -> Rows {
    let mut rows = vec![head(&[
        "mount",
        "load",
        "pull N",
        "across N",
        "bending N mm",
        "foot N",
        "used",
        "by",
        "yields at",
        "breaks at",
    ])];
    for bolt in summary.prove.iter().flat_map(|prove| &prove.bolts) {
        rows.push(vec![
            bolt.mount.clone(),
            bolt.load.clone(),
            format!("{:.0}", bolt.tension_n.0),
            format!("{:.0}", bolt.shear_n.0),
            format!("{:.0}", bolt.bending_n_mm.0),
            format!("{:.0}", bolt.foot_n.0),
            bolt.utilisation
                .map_or("-".into(), |used| format!("{:.0} %", 100.0 * used.0)),
            bolt.decides.unwrap_or("-").into(),
            maybe(bolt.on_yield, 1),
            maybe(bolt.on_ultimate, 1),
        ]);
    }
    rows
}
