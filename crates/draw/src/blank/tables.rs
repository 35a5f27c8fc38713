//! The tables beside the blank and the same in words.

use plane::Point;
use sheet::{OpeningShape, Part, Way};

use super::Datum;
use crate::canvas::Canvas;
use crate::figures;
use crate::sheet_of_paper::heading;
use crate::table::Table;
use crate::title::TitleBlock;
use crate::trace;

/// One measured place of an opening.
pub(crate) struct Station {
    pub opening: usize,
    /// The opening's name, with which end or corner of it this is.
    pub name: String,
    pub at: Point,
    /// Its size in words, lines for both systems.
    pub size: Vec<String>,
}

/// Every place to measure off for the openings, in the order of the design.
pub(crate) fn stations(part: &Part) -> Vec<Station> {
    let mut out = Vec::new();
    for (opening, (named, on_blank)) in part.openings.iter().zip(&part.blank.openings).enumerate() {
        let name = &named.name;
        match on_blank {
            Some(OpeningShape::Round { at, dia_mm }) => out.push(Station {
                opening,
                name: name.clone(),
                at: *at,
                size: vec![
                    format!("dia {} mm", figures::mm(*dia_mm)),
                    format!("{} in", figures::inch(*dia_mm)),
                ],
            }),
            Some(OpeningShape::Slot { from, to, width_mm }) => {
                for (end, at) in [("one end", from), ("other end", to)] {
                    out.push(Station {
                        opening,
                        name: format!("{name}, {end}"),
                        at: *at,
                        size: vec![
                            format!("slot {} mm", figures::mm(*width_mm)),
                            format!("{} in wide", figures::inch(*width_mm)),
                        ],
                    });
                }
            }
            Some(OpeningShape::Window(outline)) => {
                let bounds = trace::bounds(outline);
                out.push(Station {
                    opening,
                    name: format!("{name}, lower left"),
                    at: Point::new(bounds.left, bounds.top),
                    size: vec![
                        format!(
                            "{} x {} mm",
                            figures::mm(bounds.width),
                            figures::mm(bounds.height)
                        ),
                        format!(
                            "{} x {} in",
                            figures::inch(bounds.width),
                            figures::inch(bounds.height)
                        ),
                    ],
                });
            }
            None => {}
        }
    }
    out
}

/// Openings that cut through a bend: on the blank they are part of its outlines.
fn interrupting(part: &Part) -> impl Iterator<Item = &str> {
    part.openings
        .iter()
        .zip(&part.blank.openings)
        .filter(|(_, on_blank)| on_blank.is_none())
        .map(|(named, _)| named.name.as_str())
}

/// Where a bend's middle line runs on the blank: from the first strip's start to the last strip's end.
pub(crate) fn middle(bend: &sheet::Bend) -> Option<(Point, Point)> {
    let (first, last) = (bend.strips.first()?, bend.strips.last()?);
    Some((
        nalgebra::center(&first.fixed[0], &first.moving[0]),
        nalgebra::center(&last.fixed[1], &last.moving[1]),
    ))
}

pub(crate) fn way_word(way: Way) -> &'static str {
    match way {
        Way::Up => "up",
        Way::Down => "down",
    }
}

/// Draws the tables; gives the y beneath them.
pub(crate) fn draw(page: &mut Canvas, at: Point, part: &Part, block: &TitleBlock, datum: &Datum) -> f64 {
    let mut y = at.y;
    let stations = stations(part);
    if !part.openings.is_empty() {
        y = heading(
            page,
            Point::new(at.x, y),
            "Holes, slots and windows (mm over inch and thousandths)",
        );
        let mut table = Table::new(&[
            ("name", 21.0),
            ("x", 28.0),
            ("y", 28.0),
            ("size", 34.0),
            ("what for", 39.0),
        ]);
        for station in &stations {
            let from = datum.from(station.at);
            let callout = block
                .callouts
                .get(&part.openings[station.opening].name)
                .cloned()
                .unwrap_or_default();
            table.row(vec![
                vec![station.name.clone()],
                vec![figures::mm(from[0]), figures::inch(from[0])],
                vec![figures::mm(from[1]), figures::inch(from[1])],
                station.size.clone(),
                vec![callout],
            ]);
        }
        for name in interrupting(part) {
            let words = "across a bend: cut with the outline".to_owned();
            let what = block.callouts.get(name).cloned().unwrap_or_default();
            table.row(vec![
                vec![name.to_owned()],
                Vec::new(),
                Vec::new(),
                vec![words],
                vec![what],
            ]);
        }
        y = table.draw(page, Point::new(at.x, y)) + 4.0;
    }
    if !part.bends.is_empty() {
        y = heading(
            page,
            Point::new(at.x, y),
            "Bends, middle line (mm over inch and thousandths)",
        );
        let mut table = Table::new(&[
            ("bend", 14.0),
            ("turn it", 41.0),
            ("x", 28.0),
            ("y", 28.0),
            ("inside radius, strip", 39.0),
        ]);
        for bend in &part.bends {
            let Some((start, end)) = middle(bend) else {
                continue;
            };
            let [through, between] = figures::bend_angles(bend.bent_rad);
            let (start, end) = (datum.from(start), datum.from(end));
            table.row(vec![
                vec![bend.name.clone()],
                vec![
                    format!("{}, from the marked face", way_word(bend.way)),
                    through,
                    between,
                ],
                vec![
                    figures::mm(start[0]),
                    figures::inch(start[0]),
                    figures::mm(end[0]),
                    figures::inch(end[0]),
                ],
                vec![
                    figures::mm(start[1]),
                    figures::inch(start[1]),
                    figures::mm(end[1]),
                    figures::inch(end[1]),
                ],
                vec![
                    format!("r {} mm", figures::mm(bend.radius_mm)),
                    format!("r {} in", figures::inch(bend.radius_mm)),
                    format!("strip {} mm", figures::mm(bend.allowance_mm)),
                    format!("strip {} in", figures::inch(bend.allowance_mm)),
                ],
            ]);
        }
        if !table.is_empty() {
            y = table.draw(page, Point::new(at.x, y)) + 4.0;
        }
    }
    y
}

/// The drawing in words, for those who cannot see it.
pub(crate) fn in_words(part: &Part, block: &TitleBlock, datum: &Datum) -> String {
    let mut says = vec![format!(
        "The flat blank seen from the marked face, {} wide and {} high. Places are measured from its left-most and lowest \
         edges.",
        figures::both(datum.size_mm[0]),
        figures::both(datum.size_mm[1])
    )];
    for station in stations(part) {
        let from = datum.from(station.at);
        let what = block
            .callouts
            .get(&part.openings[station.opening].name)
            .map_or(String::new(), |callout| format!(", {callout}"));
        says.push(format!(
            "{}: x {}, y {}, {}{what}.",
            station.name,
            figures::both(from[0]),
            figures::both(from[1]),
            station.size.join(", ")
        ));
    }
    says.extend(
        interrupting(part).map(|name| format!("{name} lies across a bend and is cut with the outline.")),
    );
    for bend in &part.bends {
        let Some((start, end)) = middle(bend) else {
            continue;
        };
        let (start, end) = (datum.from(start), datum.from(end));
        let [through, between] = figures::bend_angles(bend.bent_rad);
        says.push(format!(
            "Bend {} {}: {through}, {between}, inside radius {}; middle line from x {}, y {} to x {}, y {} mm.",
            bend.name,
            way_word(bend.way),
            figures::both(bend.radius_mm),
            figures::mm(start[0]),
            figures::mm(start[1]),
            figures::mm(end[0]),
            figures::mm(end[1])
        ));
    }
    for (index, flag) in block.flags.iter().enumerate() {
        says.push(format!("{} {}: {}", flag.level.word(), index + 1, flag.says));
    }
    says.join(" ")
}
