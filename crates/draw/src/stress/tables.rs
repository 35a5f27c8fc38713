//! The key of the bands, and the picture again as a table and in words.

use nalgebra::Point3;
use plane::Point;

use super::StressPicture;
use crate::canvas::Canvas;
use crate::figures;
use crate::frame::Frame;
use crate::ink::Ink;
use crate::lettering::Lettering;
use crate::sheet_of_paper::{COLUMN_MM, MARGIN_MM, heading};
use crate::table::{Table, paragraph};

/// A band in the key, mm.
const BAND_MM: [f64; 2] = [18.0, 6.6];

/// Draws the key of bands, the highest on top, each limit beside the line it belongs to.
pub(super) fn legend(
    page: &mut Canvas,
    at: Point,
    told: &StressPicture<'_>,
    limits: &[f64],
    colours: &[String],
) {
    let set = Lettering::SMALL;
    let words = format!("{}, {}", told.level_is, told.unit.word());
    let bold = Lettering::SMALL_BOLD.sized(4.2);
    let top = paragraph(page, at, COLUMN_MM, &words, bold) + 2.0;
    let [wide, high] = BAND_MM;
    page.open("bands");
    let level_y = |index: usize| top + high * (limits.len() - 1 - index) as f64;
    for (band, colour) in colours.iter().enumerate() {
        let frame = Frame::new(at.x, level_y(band + 1), wide, high);
        page.rectangle(frame, Ink::Level, Some(colour));
    }
    page.rectangle(
        Frame::new(at.x, top, wide, high * colours.len() as f64),
        Ink::Rule,
        None,
    );
    for (index, limit) in limits.iter().enumerate() {
        let y = level_y(index);
        page.line(
            Point::new(at.x + wide, y),
            Point::new(at.x + wide + 2.0, y),
            Ink::Thin,
        );
        let words = told.unit.long(*limit);
        page.words(Point::new(at.x + wide + 3.2, y + 1.1), &words, set);
    }
    page.close();
    let Some(allowed) = &told.allowed else { return };
    let last = limits[limits.len() - 1];
    let inside = (limits[0]..=last).contains(&allowed.level);
    let left = at.x + wide + 52.0;
    let says = format!("{}: {}", told.unit.long(allowed.level), allowed.says);
    let y = if inside {
        // Between two limits the key is as even as the bands are.
        let above = limits.partition_point(|limit| *limit < allowed.level).max(1);
        let (low, next) = (limits[above - 1], limits[above]);
        let share = (allowed.level - low) / (next - low);
        level_y(above - 1) - share * high
    } else {
        top
    };
    if inside {
        page.line(Point::new(at.x - 1.5, y), Point::new(at.x + wide, y), Ink::Limit);
        page.line(
            Point::new(at.x + wide + 44.0, y),
            Point::new(left - 1.0, y),
            Ink::Limit,
        );
    }
    let head = if inside {
        "allowed"
    } else {
        "allowed, not reached by the bands"
    };
    page.words(Point::new(left, y + 1.1), head, Lettering::SMALL_BOLD);
    let room = at.x + COLUMN_MM - left;
    let _bottom = paragraph(page, Point::new(left, y + 2.4), room, &says, set);
}

/// Everything marked, in two tables side by side; gives the y beneath.
pub(super) fn twin(page: &mut Canvas, at: Point, told: &StressPicture<'_>) -> f64 {
    const COLUMNS: [(&str, f64); 5] = [
        ("what", 36.0),
        ("x", 28.0),
        ("y", 28.0),
        ("z", 28.0),
        ("says", 76.0),
    ];
    let rows = rows(told);
    if rows.is_empty() {
        return at.y;
    }
    let words = "The picture as a table, in the axes of the equipment (mm over inch and thousandths)";
    let top = heading(page, at, words);
    let half = rows.len().div_ceil(2);
    let mut bottom = top;
    for (index, rows) in rows.chunks(half).enumerate() {
        let mut table = Table::new(&COLUMNS);
        for row in rows {
            let mut cells = vec![vec![row.what.clone()]];
            for way in 0..3 {
                cells.push(row.at.map_or(Vec::new(), |at| {
                    vec![figures::mm(at[way]), figures::inch(at[way])]
                }));
            }
            cells.push(vec![row.says.clone()]);
            table.row(cells);
        }
        let left = MARGIN_MM + 204.0 * index as f64;
        bottom = bottom.max(table.draw(page, Point::new(left, top)));
    }
    bottom + 4.0
}

struct Row {
    what: String,
    at: Option<Point3<f64>>,
    says: String,
}

fn rows(told: &StressPicture<'_>) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(worst) = &told.worst {
        rows.push(Row {
            what: "place that decides".to_owned(),
            at: Some(worst.at_mm),
            says: both(&worst.label, &worst.says),
        });
    }
    for (name, level) in &told.panels {
        rows.push(Row {
            what: name.clone(),
            at: None,
            says: format!("at most {}", told.unit.long(*level)),
        });
    }
    for load in &told.loads {
        rows.push(Row {
            what: "load".to_owned(),
            at: Some(load.at_mm),
            says: load.label.clone(),
        });
    }
    for bolt in &told.bolts {
        rows.push(Row {
            what: format!("bolt {}", bolt.label),
            at: Some(bolt.at_mm),
            says: bolt.says.clone(),
        });
    }
    rows
}

fn both(label: &str, says: &str) -> String {
    if says.is_empty() {
        label.to_owned()
    } else {
        format!("{label}. {says}")
    }
}

/// The picture in words.
pub(super) fn in_words(told: &StressPicture<'_>, limits: &[f64]) -> String {
    let mut says = vec![format!(
        "The folded part under the load {}, seen isometrically from two opposite sides, in bands of {} with limits at {}.",
        told.load,
        told.level_is,
        limits
            .iter()
            .map(|limit| told.unit.long(*limit))
            .collect::<Vec<_>>()
            .join(", ")
    )];
    if let Some(allowed) = &told.allowed {
        says.push(format!(
            "Allowed: {}, {}.",
            told.unit.long(allowed.level),
            allowed.says
        ));
    }
    if let Some(moved) = &told.moved {
        says.push(format!("Dashed: {}.", super::moved_words(moved)));
    }
    for row in rows(told) {
        let place = row.at.map_or(String::new(), |at| {
            format!(
                " at x {}, y {}, z {} mm",
                figures::mm(at.x),
                figures::mm(at.y),
                figures::mm(at.z)
            )
        });
        let colon = if row.says.is_empty() { "" } else { ": " };
        says.push(format!("{}{place}{colon}{}.", row.what, row.says));
    }
    says.join(" ")
}
