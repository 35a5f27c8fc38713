//! Drawings as they come from elsewhere: plain, untidy, broken and hostile.

mod anything;
mod broken;
mod plain;
mod untidy;

use super::*;
use crate::grain::GrainError;

/// Pairs of code and value as a file writes them.
fn pairs_text(pairs: &[(i32, &str)]) -> String {
    pairs
        .iter()
        .map(|(code, value)| format!("{code:>3}\n{value}\n"))
        .collect()
}

fn header(code: i64) -> String {
    pairs_text(&[
        (0, "SECTION"),
        (2, "HEADER"),
        (9, "$INSUNITS"),
        (70, &code.to_string()),
        (0, "ENDSEC"),
    ])
}

/// A file in mm with these entities.
fn in_mm(entities: &str) -> String {
    format!("{}{}", header(4), bare(entities))
}

/// A file that does not say its unit.
fn bare(entities: &str) -> String {
    format!(
        "{}{entities}{}",
        pairs_text(&[(0, "SECTION"), (2, "ENTITIES")]),
        pairs_text(&[(0, "ENDSEC"), (0, "EOF")])
    )
}

fn entity(kind: &str, groups: &[(i32, f64)]) -> String {
    let numbers: String = groups
        .iter()
        .map(|(code, value)| format!("{code:>3}\n{value}\n"))
        .collect();
    format!("  0\n{kind}\n  8\n0\n{numbers}")
}

fn line(from: (f64, f64), to: (f64, f64)) -> String {
    entity("LINE", &[(10, from.0), (20, from.1), (11, to.0), (21, to.1)])
}

fn circle(x: f64, y: f64, dia: f64) -> String {
    entity("CIRCLE", &[(10, x), (20, y), (40, dia / 2.0)])
}

fn arc(x: f64, y: f64, radius: f64, from_deg: f64, to_deg: f64) -> String {
    entity(
        "ARC",
        &[(10, x), (20, y), (40, radius), (50, from_deg), (51, to_deg)],
    )
}

/// Whole numbers must be written without a point.
fn polyline(corners: &[(f64, f64, f64)], closed: bool) -> String {
    let head = format!(
        "  0\nLWPOLYLINE\n  8\nEDGE\n 90\n{}\n 70\n{}\n",
        corners.len(),
        i32::from(closed)
    );
    let places: String = corners
        .iter()
        .map(|(x, y, bulge)| format!(" 10\n{x}\n 20\n{y}\n 42\n{bulge}\n"))
        .collect();
    format!("{head}{places}")
}

fn rectangle(x: f64, y: f64, width: f64, height: f64) -> String {
    let corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)];
    (0..4).map(|i| line(corners[i], corners[(i + 1) % 4])).collect()
}

fn imported(text: &str) -> Imported {
    match import_dxf(text.as_bytes(), &ImportOptions::default()) {
        Ok(Answer::Outlines(imported)) => imported,
        other => panic!("{other:?}"),
    }
}

fn refused(text: &str) -> ImportError {
    import_dxf(text.as_bytes(), &ImportOptions::default()).expect_err("it must be refused")
}

fn area_mm2(imported: &Imported) -> f64 {
    imported.regions.iter().map(Region::area_mm2).sum()
}
