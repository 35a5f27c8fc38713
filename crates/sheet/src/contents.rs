//! Which openings and marks lie in which panel, and where they come on the blank.

use nalgebra::{Isometry2, UnitComplex};
use plane::{Outline, Place, Vector};

use crate::divide::{CardPanel, EdgeKind, PanelEdge};
use crate::error::SheetError;
use crate::openings::{CardOpening, apart};
use crate::part::{MarkKind, Mockup, OpeningShape, Panel};
use crate::ray::Ray;
use crate::tree::panel_holding;

/// Per panel, the openings that lie in it. One that no crease meets must keep clear of the bends and reliefs.
pub(crate) fn openings_by_panel(
    mockup: &Mockup,
    openings: &[CardOpening],
    panels: &[&CardPanel],
    flats: &[Vec<Outline>],
    runs: &[Vec<Vec<PanelEdge>>],
) -> Result<Vec<Vec<usize>>, SheetError> {
    let mut held = vec![Vec::new(); panels.len()];
    for (index, opening) in openings
        .iter()
        .enumerate()
        .filter(|(_, opening)| !opening.meets_crease)
    {
        let at = opening.outline.vertices()[0].at;
        let panel = panel_holding(panels.iter().map(|panel| &panel.outline), at);
        let panel = panel.ok_or_else(|| SheetError::OpeningOutside {
            opening: opening.name.clone(),
            at,
        })?;
        check_clear(mockup, opening, &flats[panel][0], &runs[panel])?;
        held[panel].push(index);
    }
    Ok(held)
}

fn check_clear(
    mockup: &Mockup,
    opening: &CardOpening,
    flat: &Outline,
    runs: &[Vec<PanelEdge>],
) -> Result<(), SheetError> {
    let (name, opening) = (&opening.name, &opening.outline);
    let name = || name.clone();
    let bend = |crease: usize| mockup.creases[crease].name.clone();
    let bounds = opening.bounds();
    let near = runs
        .iter()
        .flatten()
        .filter(|edge| !apart(bounds, edge.seg.bounds()));
    for edge in near {
        let meeting = opening
            .segments()
            .find_map(|side| edge.seg.meetings(&side).first().copied());
        let Some(at) = meeting.map(|meeting| meeting.at) else {
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
    let at = opening.vertices()[0].at;
    if flat.place_of(at) == Place::Inside {
        return Ok(());
    }
    // Off the flat part altogether: in a relief, or in the bend that it reaches least far past.
    let tangents = runs.iter().flatten().filter_map(|edge| match edge.kind {
        EdgeKind::Crease { crease, .. } => Some((crease, past(opening, edge))),
        _ => None,
    });
    let bends = tangents.filter(|(_, by_mm)| *by_mm > 0.0);
    Err(match bends.min_by(|a, b| a.1.total_cmp(&b.1)) {
        Some((crease, by_mm)) => SheetError::OpeningInBend {
            opening: name(),
            bend: bend(crease),
            by_mm,
        },
        None => SheetError::OpeningInRelief { opening: name(), at },
    })
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
