//! Plate between two openings, and between an opening and the outside.

use handbook::Sourced;
use plane::{Point, Vector};
use sheet::Part;

use super::concern::{Breach, Concern, CutEdge, Fix, Weight};
use super::edges::InnerEdge;
use super::limits::{Limits, OtherProcess};

/// Plate narrower by less than this is wide enough: a tenth of what a tape reads.
const SAME_LENGTH_MM: f64 = 0.05;

pub(super) fn to_outside(part: &Part, edge: &InnerEdge<'_>, limits: &Limits) -> Option<Concern> {
    let gap = Gap::between(edge.outline.distance_between(&part.blank.region.outer));
    let limit_mm = limits.edge_x_t.value * part.thickness_mm;
    let by_mm = gap.short_mm(limit_mm)?;
    let mut fixes = vec![
        Fix::Move {
            opening: edge.name.clone(),
            by_mm,
            toward: gap.to_first,
        },
        Fix::MoveEdge {
            by_mm,
            toward: -gap.to_first,
        },
    ];
    fixes.extend(limits.other(gap.mm, |other| other.edge_x_t * part.thickness_mm));
    Some(gap.concern(
        Breach::NearEdge {
            opening: edge.name.clone(),
        },
        limit_mm,
        &limits.edge_x_t,
        limits,
        fixes,
    ))
}

pub(super) fn between(part: &Part, edges: &[InnerEdge<'_>], limits: &Limits) -> Vec<Concern> {
    let limit_mm = limits.least_web_x_t.value * part.thickness_mm;
    let mut concerns = Vec::new();
    for (i, first) in edges.iter().enumerate() {
        let (low, high) = first.outline.bounds();
        for second in &edges[i + 1..] {
            let (their_low, their_high) = second.outline.bounds();
            let apart = (their_low.x - high.x)
                .max(low.x - their_high.x)
                .max(their_low.y - high.y)
                .max(low.y - their_high.y);
            if apart >= limit_mm {
                continue;
            }
            let gap = Gap::between(first.outline.distance_between(second.outline));
            let Some(by_mm) = gap.short_mm(limit_mm) else {
                continue;
            };
            let moved = |opening: &CutEdge, toward| Fix::Move {
                opening: opening.clone(),
                by_mm,
                toward,
            };
            let mut fixes = vec![
                moved(&first.name, gap.to_first),
                moved(&second.name, -gap.to_first),
            ];
            let web_mm = |other: &OtherProcess| other.least_web_x_t * part.thickness_mm;
            fixes.extend(limits.other(gap.mm, web_mm));
            let what = Breach::ThinWeb {
                first: first.name.clone(),
                second: second.name.clone(),
            };
            concerns.push(gap.concern(what, limit_mm, &limits.least_web_x_t, limits, fixes));
        }
    }
    concerns
}

/// The narrowest place between two edges.
struct Gap {
    mm: f64,
    middle: Point,
    /// Unit direction from the second edge to the first.
    to_first: Vector,
}

impl Gap {
    fn between((mm, on_first, on_second): (f64, Point, Point)) -> Self {
        Gap {
            mm,
            middle: Point::from((on_first.coords + on_second.coords) / 2.0),
            to_first: (on_first - on_second)
                .try_normalize(0.0)
                .unwrap_or_else(Vector::x),
        }
    }

    fn short_mm(&self, limit_mm: f64) -> Option<f64> {
        (self.mm < limit_mm - SAME_LENGTH_MM).then_some(limit_mm - self.mm)
    }

    fn concern(
        &self,
        what: Breach,
        limit_mm: f64,
        rests_on: &Sourced<f64>,
        limits: &Limits,
        fixes: Vec<Fix>,
    ) -> Concern {
        Concern {
            what,
            at: self.middle,
            // Two cuts nearer than their own width leave nothing between them once each strays a little.
            weight: if self.mm < limits.kerf_mm.value {
                Weight::Stop
            } else {
                Weight::Care
            },
            found_mm: self.mm,
            limit_mm,
            rests_on: rests_on.clone(),
            fixes,
        }
    }
}
