//! Which openings and marks lie in which panel, and where they come on the blank.

use nalgebra::{Isometry2, UnitComplex};
use plane::{Outline, Place, Vector};

use crate::divide::{CardPanel, EdgeKind, PanelEdge};
use crate::error::SheetError;
use crate::openings::{CardOpening, apart, outline_of};
use crate::part::{MarkKind, Mockup, OpeningShape, Panel};
use crate::ray::Ray;
use crate::tree::panel_holding;

/// Per panel, the openings that lie in it. One that no crease meets must keep clear of the bends and reliefs.
pub(crate) fn openings_by_panel(
    mockup: &Mockup,
    openings: &[CardOpening],
    panels: &[&CardPanel],
    runs: &[Vec<Vec<PanelEdge>>],
    names: &[String],
) -> Result<Vec<Vec<usize>>, SheetError> {
    let mut held = vec![Vec::new(); panels.len()];
    for (index, opening) in openings
        .iter()
        .enumerate()
        .filter(|(_, opening)| !opening.meets_crease)
    {
        let at = opening.outline.vertices()[0].at;
        let panel = panel_holding(panels.iter().map(|panel| &panel.outline), at);
        let name = || mockup.openings[index].name.clone();
        let panel = panel.ok_or_else(|| SheetError::OpeningOutside { opening: name(), at })?;
        check_clear(mockup, &opening.outline, &runs[panel], &name, &names[panel])?;
        held[panel].push(index);
    }
    Ok(held)
}

fn check_clear(
    mockup: &Mockup,
    opening: &Outline,
    runs: &[Vec<PanelEdge>],
    name: &dyn Fn() -> String,
    panel: &str,
) -> Result<(), SheetError> {
    let bend = |crease: usize| mockup.creases[crease].name.clone();
    let bounds = opening.bounds();
    let near = runs
        .iter()
        .flatten()
        .filter(|edge| !apart(bounds, edge.seg.bounds()));
    for edge in near {
        let Some(at) = opening
            .segments()
            .find_map(|side| edge.seg.meetings(&side).first().map(|m| m.at))
        else {
            continue;
        };
        return Err(match edge.kind {
            EdgeKind::Crease { crease, .. } => SheetError::OpeningInBend {
                opening: name(),
                bend: bend(crease),
                by_mm: past(opening, edge),
            },
            EdgeKind::Relief { crease } => SheetError::OpeningMeetsRelief {
                opening: name(),
                bend: bend(crease),
                at,
            },
            EdgeKind::Rim => SheetError::OpeningOverEdge { opening: name(), at },
        });
    }
    let outside = outline_of(runs[0].iter().map(|edge| edge.seg));
    let outside = outside.map_err(|fault| SheetError::PanelOutline { fault })?;
    if outside.place_of(opening.vertices()[0].at) == Place::Inside {
        return Ok(());
    }
    // Not in the flat part at all: it lies in a bend, the one it reaches least far past.
    let tangents = runs.iter().flatten().filter_map(|edge| match edge.kind {
        EdgeKind::Crease { crease, .. } => Some((crease, past(opening, edge))),
        _ => None,
    });
    match tangents
        .filter(|(_, by_mm)| *by_mm > 0.0)
        .min_by(|a, b| a.1.total_cmp(&b.1))
    {
        Some((crease, by_mm)) => Err(SheetError::OpeningInBend {
            opening: name(),
            bend: bend(crease),
            by_mm,
        }),
        None => {
            let at = opening.vertices()[0].at;
            Err(SheetError::OpeningInRelief {
                opening: name(),
                panel: panel.to_owned(),
                at,
            })
        }
    }
}

/// How far an opening reaches past a tangent line, out of the panel.
fn past(opening: &Outline, tangent: &PanelEdge) -> f64 {
    let along = tangent.seg.tangent_at(0.0);
    let level = UnitComplex::from_angle(-along.y.atan2(along.x));
    let turned = opening.transformed(&Isometry2::from_parts(nalgebra::Translation2::identity(), level));
    let line = Ray {
        at: level * tangent.seg.from(),
        along: Vector::x(),
    };
    -line.off(turned.bounds().0)
}

/// Per panel, the marks that start in it.
pub(crate) fn marks_by_panel(mockup: &Mockup, panels: &[&CardPanel]) -> Result<Vec<Vec<usize>>, SheetError> {
    let mut held = vec![Vec::new(); panels.len()];
    for (index, mark) in mockup.marks.iter().enumerate() {
        let (at, ends) = match &mark.kind {
            MarkKind::Text { at, .. } => (*at, vec![*at]),
            MarkKind::Line { from, to } => (*from, vec![nalgebra::center(from, to), *to]),
        };
        let panel = panel_holding(panels.iter().map(|panel| &panel.outline), at);
        match panel {
            Some(panel) if ends.iter().all(|end| panels[panel].outline.contains(*end)) => {
                held[panel].push(index);
            }
            _ => {
                return Err(SheetError::MarkOutside {
                    mark: mark.name.clone(),
                    at,
                });
            }
        }
    }
    Ok(held)
}

/// The openings in blank axes; none for one that a bend meets.
pub(crate) fn openings_on_blank(mockup: &Mockup, panels: &[Panel]) -> Vec<Option<OpeningShape>> {
    let on_blank = |(index, opening): (usize, &crate::part::Opening)| {
        let panel = panels.iter().find(|panel| panel.openings.contains(&index))?;
        Some(opening.shape.slid(panel.to_blank))
    };
    mockup.openings.iter().enumerate().map(on_blank).collect()
}

/// The marks in blank axes.
pub(crate) fn marks_on_blank(mockup: &Mockup, panels: &[Panel]) -> Vec<MarkKind> {
    let on_blank = |(index, mark): (usize, &crate::part::Mark)| {
        let panel = panels.iter().find(|panel| panel.marks.contains(&index))?;
        let by = panel.to_blank;
        Some(match &mark.kind {
            MarkKind::Text { at, text, height_mm } => MarkKind::Text {
                at: at + by,
                text: text.clone(),
                height_mm: *height_mm,
            },
            MarkKind::Line { from, to } => MarkKind::Line {
                from: from + by,
                to: to + by,
            },
        })
    };
    mockup.marks.iter().enumerate().filter_map(on_blank).collect()
}
