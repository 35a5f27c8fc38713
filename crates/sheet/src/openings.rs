//! What is cut out of the card: shapes as outlines, checked against the plate and each other.

use plane::{Outline, OutlineError, Place, Point, SAME_POINT_MM, Segment, Vector, Vertex};

use crate::divide::END_REACHES_MM;
use crate::error::SheetError;
use crate::part::{Crease, Mockup, Opening, OpeningShape};

/// An opening on the card.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CardOpening {
    pub name: String,
    /// Its edge, clockwise.
    pub outline: Outline,
    /// Whether a crease crosses it, starts or ends at it.
    pub meets_crease: bool,
}

impl OpeningShape {
    /// Its edge, counter-clockwise. Fails for a diameter or width that is not above 0.
    pub fn outline(&self) -> Result<Outline, OutlineError> {
        match self {
            Self::Round { at, dia_mm } => Outline::circle(*at, *dia_mm),
            Self::Slot { from, to, width_mm } => Outline::slot(*from, *to, *width_mm),
            Self::Window(outline) => Ok(outline.oriented(true)),
        }
    }

    /// Its middle: the centre of a hole, half way along a slot, the centre of area of a window.
    pub fn middle(&self) -> Point {
        match self {
            Self::Round { at, .. } => *at,
            Self::Slot { from, to, .. } => nalgebra::center(from, to),
            Self::Window(outline) => outline.centroid(),
        }
    }

    /// The same shape elsewhere.
    pub fn slid(&self, by: Vector) -> Self {
        match self {
            Self::Round { at, dia_mm } => Self::Round {
                at: at + by,
                dia_mm: *dia_mm,
            },
            Self::Slot { from, to, width_mm } => Self::Slot {
                from: from + by,
                to: to + by,
                width_mm: *width_mm,
            },
            Self::Window(outline) => Self::Window(outline.translated(by)),
        }
    }
}

/// An outline from edges in order, those of no length left out.
pub(crate) fn outline_of(edges: impl IntoIterator<Item = Segment>) -> Result<Outline, OutlineError> {
    let has_length = |edge: &Segment| (edge.to() - edge.from()).norm() > SAME_POINT_MM;
    let corner = |edge: Segment| Vertex {
        at: edge.from(),
        bulge: edge.bulge(),
    };
    Outline::new(edges.into_iter().filter(has_length).map(corner).collect())
}

/// The openings' edges. Each must lie within the plate and clear of the others.
pub(crate) fn openings_on_card(mockup: &Mockup) -> Result<Vec<CardOpening>, SheetError> {
    let mut found: Vec<CardOpening> = Vec::new();
    for opening in &mockup.openings {
        let outline = outline_of_opening(opening)?;
        check_within(opening, &outline, &mockup.outline)?;
        for (before, before_opening) in found.iter().zip(&mockup.openings) {
            if let Some(at) = overlap(&outline, &before.outline) {
                let openings = [before_opening.name.clone(), opening.name.clone()];
                return Err(SheetError::OpeningsOverlap { openings, at });
            }
        }
        let meets_crease = mockup.creases.iter().any(|crease| meets(&outline, crease));
        found.push(CardOpening {
            name: opening.name.clone(),
            outline,
            meets_crease,
        });
    }
    Ok(found)
}

fn outline_of_opening(opening: &Opening) -> Result<Outline, SheetError> {
    let shape = opening.shape.outline();
    let shape = shape.map_err(|fault| SheetError::OpeningShape {
        opening: opening.name.clone(),
        fault,
    })?;
    Ok(shape.oriented(false))
}

fn check_within(opening: &Opening, edge: &Outline, plate: &Outline) -> Result<(), SheetError> {
    if let Some(at) = first_meeting(edge, plate) {
        return Err(SheetError::OpeningOverEdge {
            opening: opening.name.clone(),
            at,
        });
    }
    let at = edge.vertices()[0].at;
    if plate.place_of(at) == Place::Inside {
        Ok(())
    } else {
        Err(SheetError::OpeningOutside {
            opening: opening.name.clone(),
            at,
        })
    }
}

/// A place where two outlines meet, or where one lies within the other.
fn overlap(a: &Outline, b: &Outline) -> Option<Point> {
    let (at_a, at_b) = (a.vertices()[0].at, b.vertices()[0].at);
    let within = || {
        if b.contains(at_a) {
            Some(at_a)
        } else if a.contains(at_b) {
            Some(at_b)
        } else {
            None
        }
    };
    if apart(a.bounds(), b.bounds()) {
        None
    } else {
        first_meeting(a, b).or_else(within)
    }
}

/// The first place where the edges of two outlines meet.
pub(crate) fn first_meeting(a: &Outline, b: &Outline) -> Option<Point> {
    let box_a = a.bounds();
    let near: Vec<Segment> = b.segments().filter(|edge| !apart(box_a, edge.bounds())).collect();
    a.segments().find_map(|edge| {
        let bounds = edge.bounds();
        let close = near.iter().filter(|other| !apart(bounds, other.bounds()));
        close
            .filter_map(|other| edge.meetings(other).first().map(|meeting| meeting.at))
            .next()
    })
}

/// Whether two upright boxes stand clear of each other.
pub(crate) fn apart(a: (Point, Point), b: (Point, Point)) -> bool {
    a.0.x > b.1.x + SAME_POINT_MM
        || b.0.x > a.1.x + SAME_POINT_MM
        || a.0.y > b.1.y + SAME_POINT_MM
        || b.0.y > a.1.y + SAME_POINT_MM
}

/// Whether the crease, with what its ends may fall short by, meets the opening.
fn meets(opening: &Outline, crease: &Crease) -> bool {
    let along = (crease.to - crease.from).normalize() * END_REACHES_MM;
    let line = Segment::line(crease.from - along, crease.to + along);
    opening.contains(crease.from) || opening.segments().any(|edge| !edge.meetings(&line).is_empty())
}
