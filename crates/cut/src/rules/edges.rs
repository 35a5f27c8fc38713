//! The inner cut edges of a blank, with the names their openings have in the design.

use plane::{Outline, Place, Point, Vector};
use sheet::{OpeningShape, Part};

use super::concern::CutEdge;

/// A point of the design lies on an edge of the blank within this: over rounding, under the least thing cut.
const ON_EDGE_MM: f64 = 0.01;

/// A hole of the blank, by name.
pub(super) struct InnerEdge<'a> {
    pub name: CutEdge,
    pub outline: &'a Outline,
    /// The opening's own shape, in blank axes, when it is cut as designed.
    pub shape: Option<&'a OpeningShape>,
}

/// The holes of the blank in their order. One that is cut across a bend is told by the parts of its edge that the panels
/// on either side carry with them.
pub(super) fn inner_edges(part: &Part) -> Vec<InnerEdge<'_>> {
    let holes = part.blank.region.holes.iter().enumerate();
    holes
        .map(|(index, outline)| {
            let whole = part
                .blank
                .openings
                .iter()
                .enumerate()
                .find_map(|(opening, shape)| {
                    let shape = shape.as_ref()?;
                    lies_on(outline, shape, Vector::zeros()).then_some((opening, shape))
                });
            let across_a_bend = || {
                part.openings.iter().enumerate().position(|(opening, designed)| {
                    !matches!(part.blank.openings.get(opening), Some(Some(_)))
                        && part
                            .panels
                            .iter()
                            .any(|panel| touches(outline, &designed.shape, panel.to_blank))
                })
            };
            let (opening, shape) = match whole {
                Some((opening, shape)) => (Some(opening), Some(shape)),
                None => (across_a_bend(), None),
            };
            let name = match opening {
                Some(opening) => CutEdge::Opening(part.openings[opening].name.clone()),
                None => CutEdge::Hole(index),
            };
            InnerEdge { name, outline, shape }
        })
        .collect()
}

fn on(outline: &Outline, point: Point) -> bool {
    outline.place_within(point, ON_EDGE_MM) == Place::On
}

fn lies_on(outline: &Outline, shape: &OpeningShape, slide: Vector) -> bool {
    points_of(shape)
        .into_iter()
        .all(|point| on(outline, point + slide))
}

fn touches(outline: &Outline, shape: &OpeningShape, slide: Vector) -> bool {
    points_of(shape)
        .into_iter()
        .filter(|point| on(outline, point + slide))
        .count()
        >= 2
}

/// Points of a shape's edge, enough to tell it from any other.
fn points_of(shape: &OpeningShape) -> Vec<Point> {
    match shape {
        OpeningShape::Round { at, dia_mm } => {
            let r = dia_mm / 2.0;
            [(r, 0.0), (0.0, r), (-r, 0.0), (0.0, -r)]
                .map(|(x, y)| at + Vector::new(x, y))
                .to_vec()
        }
        OpeningShape::Slot { from, to, width_mm } => {
            let along = (to - from).try_normalize(0.0).unwrap_or_else(Vector::x);
            let beside = Vector::new(-along.y, along.x) * (width_mm / 2.0);
            vec![from + beside, from - beside, to + beside, to - beside]
        }
        OpeningShape::Window(window) => window.vertices().iter().map(|vertex| vertex.at).collect(),
    }
}
