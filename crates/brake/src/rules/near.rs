//! Openings too near a bend.

use plane::{Outline, Point, Segment, Vector};
use sheet::{OpeningShape, Part};

use super::concern::{Breach, Concern, Fix, Weight};
use super::leg::side_of;
use super::limits::Limits;

/// An opening too near by less than this is far enough: a tenth of what a tape reads.
const SAME_LENGTH_MM: f64 = 0.05;

/// The openings of both panels of a bend that stand too near its tangent lines.
pub(super) fn openings(part: &Part, index: usize, limits: &Limits) -> Vec<Concern> {
    let bend = &part.bends[index];
    let least_mm = limits.opening_x_t.value * part.thickness_mm + bend.radius_mm;
    let left = Vector::new(-bend.along.y, bend.along.x);
    let mut concerns = Vec::new();
    for (panel, outward) in [(bend.fixed, -left), (bend.moving, left)] {
        for &opening in &part.panels[panel].openings {
            let Some(Some(shape)) = part.blank.openings.get(opening) else {
                continue;
            };
            let nearest = bend
                .strips
                .iter()
                .filter_map(|strip| {
                    let [from, to] = side_of(bend, strip, panel);
                    distance(shape, &Segment::line(from, to))
                })
                .min_by(|a, b| a.0.total_cmp(&b.0));
            let Some((found_mm, at)) = nearest.filter(|(found, _)| *found < least_mm - SAME_LENGTH_MM) else {
                continue;
            };
            let name = part.openings[opening].name.clone();
            concerns.push(Concern {
                what: Breach::OpeningNearBend {
                    opening: name.clone(),
                    bend: bend.name.clone(),
                },
                at,
                weight: Weight::Care,
                found: found_mm,
                limit: least_mm,
                rests_on: limits.opening_x_t.clone(),
                fixes: vec![
                    Fix::OpenAfterBending {
                        opening: name.clone(),
                        dia_mm: match shape {
                            OpeningShape::Round { dia_mm, .. } => Some(*dia_mm),
                            _ => None,
                        },
                    },
                    Fix::MoveOpening {
                        opening: name,
                        by_mm: least_mm - found_mm,
                        toward: outward,
                    },
                ],
            });
        }
    }
    concerns
}

/// From the opening's edge to a line, mm, and where on its edge; 0 where they meet. None when the opening has no edge.
fn distance(shape: &OpeningShape, line: &Segment) -> Option<(f64, Point)> {
    match shape {
        OpeningShape::Round { at, dia_mm } => {
            let (from_centre_mm, foot) = line.nearest(*at);
            let toward = (foot - at).try_normalize(0.0).unwrap_or_else(Vector::zeros);
            Some((
                (from_centre_mm - dia_mm / 2.0).max(0.0),
                at + toward * (dia_mm / 2.0),
            ))
        }
        OpeningShape::Slot { from, to, width_mm } => {
            let (from_middle_mm, on_middle, foot) = Segment::line(*from, *to).distance_between(line);
            let toward = (foot - on_middle)
                .try_normalize(0.0)
                .unwrap_or_else(Vector::zeros);
            Some((
                (from_middle_mm - width_mm / 2.0).max(0.0),
                on_middle + toward * (width_mm / 2.0),
            ))
        }
        OpeningShape::Window(outline) => edge_distance(outline, line),
    }
}

fn edge_distance(outline: &Outline, line: &Segment) -> Option<(f64, Point)> {
    outline
        .segments()
        .map(|edge| edge.distance_between(line))
        .map(|(mm, at, _)| (mm, at))
        .min_by(|a, b| a.0.total_cmp(&b.0))
}
