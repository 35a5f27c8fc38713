//! Inside corners that the cut is too wide to make.

use plane::{Outline, Point, Segment, Vector};
use sheet::{OpeningShape, Part};

use super::concern::{Breach, Concern, CutEdge, Fix, Weight};
use super::edges::InnerEdge;
use super::limits::Limits;

/// Edges that turn by less than this run on: two degrees, where the kerf rounds off under a thousandth of its width.
const RUNS_ON_RAD: f64 = 0.035;
/// A radius smaller by less than this is round enough.
const SAME_RADIUS_MM: f64 = 0.01;

/// The sharp inside corners, one concern for each edge that has any.
pub(super) fn sharp(part: &Part, edges: &[InnerEdge<'_>], limits: &Limits) -> Vec<Concern> {
    let least_mm = limits.kerf_mm.value / 2.0;
    let outside = (CutEdge::Outside, &part.blank.region.outer);
    // Round holes and round-ended slots have no corners: when they are too narrow, that is told as such.
    let angular = |edge: &&InnerEdge<'_>| {
        edge.outline.as_circle().is_none() && !matches!(edge.shape, Some(OpeningShape::Slot { .. }))
    };
    let inner = edges
        .iter()
        .filter(angular)
        .map(|edge| (edge.name.clone(), edge.outline));
    std::iter::once(outside)
        .chain(inner)
        .filter_map(|(name, outline)| {
            let corners = sharp_corners(outline, least_mm - SAME_RADIUS_MM);
            let (found_mm, at) = corners.iter().copied().min_by(|a, b| a.0.total_cmp(&b.0))?;
            let narrowest = limits
                .others
                .iter()
                .min_by(|a, b| a.kerf_mm.total_cmp(&b.kerf_mm));
            let narrower = narrowest
                .filter(|other| other.kerf_mm < limits.kerf_mm.value)
                .map(|other| Fix::OtherProcess {
                    name: other.name.clone(),
                    limit_mm: other.kerf_mm / 2.0,
                });
            let mut fixes = vec![
                Fix::LeaveRound { radius_mm: least_mm },
                Fix::RoundCorners { radius_mm: least_mm },
            ];
            fixes.extend(narrower);
            Some(Concern {
                what: Breach::SharpCorners {
                    of: name,
                    corners: corners.len(),
                },
                at,
                weight: Weight::Note,
                found_mm,
                limit_mm: least_mm,
                rests_on: limits.kerf_mm.clone(),
                fixes,
            })
        })
        .collect()
}

/// Radius and place of every corner of the material that is turned inward and sharper than this. The material lies to
/// the left of every edge, so these are turns to the right.
fn sharp_corners(outline: &Outline, sharper_than_mm: f64) -> Vec<(f64, Point)> {
    let edges: Vec<Segment> = outline.segments().collect();
    let mut corners = Vec::new();
    for (i, edge) in edges.iter().enumerate() {
        let before = &edges[(i + edges.len() - 1) % edges.len()];
        if turned_rad(before.tangent_at(1.0), edge.tangent_at(0.0)) < -RUNS_ON_RAD && sharper_than_mm > 0.0 {
            corners.push((0.0, edge.from()));
        }
        if let Segment::Arc {
            radius_mm, sweep_rad, ..
        } = edge
            && *sweep_rad < -RUNS_ON_RAD
            && *radius_mm < sharper_than_mm
        {
            corners.push((*radius_mm, edge.point_at(0.5)));
        }
    }
    corners
}

fn turned_rad(from: Vector, to: Vector) -> f64 {
    from.perp(&to).atan2(from.dot(&to))
}
