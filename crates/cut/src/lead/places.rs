//! Places where a contour may be met, and how much each is liked.

use std::f64::consts::TAU;

use plane::{Point, Segment, Vector};

use super::{Avoid, Conditions, Contour};
use crate::kerf::Edge;
use crate::profile::SquareSide;

/// Places looked at along a contour; more where it has more edges.
const PLACES: f64 = 24.0;
/// Places on one edge at the most.
const ON_ONE_EDGE: f64 = 12.0;
/// Places round a circle.
const ROUND_A_CIRCLE: u32 = 12;
/// What a place costs beside its stretch, 0 to 1. The order of them is common practice, no source: the scar of a start
/// is least seen and easiest dressed at an outside corner, then on a long straight edge.
const AT_CORNER: f64 = 0.0;
const ON_STRAIGHT: f64 = 0.05;
const ON_ARC: f64 = 0.15;
/// An edge shorter than its lead: a start there is near two corners.
const ON_SHORT_EDGE: f64 = 0.25;
/// An arc about as sharp as the kerf.
const ON_CORNER_ARC: f64 = 0.6;

/// A place on the path.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    /// Share of the whole way round, 0 to 1.
    pub along: f64,
    /// Which edge of the path; any for a circle.
    pub edge: usize,
    /// Share of that edge.
    pub share: f64,
    /// Where.
    pub at: Point,
    /// Direction of travel.
    pub ahead: Vector,
    /// Unit direction into the scrap.
    pub into_scrap: Vector,
    /// How little it is liked; without end where it is barred.
    pub cost: f64,
}

/// Places all along the path, in the order of travel.
pub(super) fn along(contour: &Contour<'_>, conditions: &Conditions<'_>) -> Vec<Place> {
    let mut places = Vec::new();
    if let Some((centre, dia_mm)) = contour.path.as_circle() {
        let way = if contour.path.is_counter_clockwise() {
            1.0
        } else {
            -1.0
        };
        for i in 0..ROUND_A_CIRCLE {
            // Half a step on, so that no place lies on the border of two stretches.
            let along = (f64::from(i) + 0.5) / f64::from(ROUND_A_CIRCLE);
            let out = turned(Vector::x(), along * TAU * way);
            let ahead = turned(out, way * TAU / 4.0);
            places.push(place(
                contour,
                conditions,
                (along, 0, 0.0),
                centre + out * (dia_mm / 2.0),
                ahead,
                ON_ARC,
            ));
        }
        return places;
    }
    let whole_mm = contour.path.length_mm();
    let edges: Vec<Segment> = contour.path.segments().collect();
    let lead_mm = conditions.leads.length_mm(conditions.t_mm);
    let mut done_mm = 0.0;
    for (index, edge) in edges.iter().enumerate() {
        let length_mm = edge.length_mm();
        let before = &edges[(index + edges.len() - 1) % edges.len()];
        let kind = kind_cost(edge, length_mm, lead_mm, conditions);
        if contour.of == Edge::Outline && rounds_a_corner(before, conditions) && kind < ON_CORNER_ARC {
            let share = done_mm / whole_mm;
            places.push(place(
                contour,
                conditions,
                (share, index, 0.0),
                edge.from(),
                edge.tangent_at(0.0),
                AT_CORNER,
            ));
        }
        let count = (length_mm / whole_mm * PLACES).ceil().clamp(1.0, ON_ONE_EDGE);
        for i in 0..count as u32 {
            let share = (f64::from(i) + 0.5) / count;
            let along = (done_mm + share * length_mm) / whole_mm;
            places.push(place(
                contour,
                conditions,
                (along, index, share),
                edge.point_at(share),
                edge.tangent_at(share),
                kind,
            ));
        }
        done_mm += length_mm;
    }
    places
}

fn place(
    contour: &Contour<'_>,
    conditions: &Conditions<'_>,
    (along, edge, share): (f64, usize, f64),
    at: Point,
    ahead: Vector,
    kind: f64,
) -> Place {
    let left = Vector::new(-ahead.y, ahead.x);
    // Judged where the scar is, on the part's edge; not looked for where nothing is to be left alone.
    let on_part = if conditions.avoid.is_empty() {
        at
    } else {
        contour.edge.distance_to(at).1
    };
    let weights = conditions.avoid.iter().filter(|avoid| avoid.holds(on_part));
    Place {
        along,
        edge,
        share,
        at,
        ahead,
        into_scrap: match conditions.square {
            SquareSide::Right => left,
            SquareSide::Left => -left,
        },
        cost: kind + weights.map(|avoid| avoid.weight.max(0.0)).sum::<f64>(),
    }
}

fn kind_cost(edge: &Segment, length_mm: f64, lead_mm: f64, conditions: &Conditions<'_>) -> f64 {
    match edge {
        Segment::Arc { radius_mm, .. } if *radius_mm <= conditions.kerf_mm => ON_CORNER_ARC,
        _ if length_mm < lead_mm => ON_SHORT_EDGE,
        Segment::Arc { .. } => ON_ARC,
        Segment::Line { .. } => ON_STRAIGHT,
    }
}

/// Whether the path goes round an outside corner here: an arc of half the kerf, turned toward the part.
fn rounds_a_corner(edge: &Segment, conditions: &Conditions<'_>) -> bool {
    /// Such an arc is as sharp as half the kerf within this, mm: far over rounding, far under any kerf.
    const SAME_RADIUS_MM: f64 = 1e-3;
    let toward_part = match conditions.square {
        SquareSide::Right => -1.0,
        SquareSide::Left => 1.0,
    };
    matches!(edge, Segment::Arc { radius_mm, sweep_rad, .. }
        if (radius_mm - conditions.kerf_mm / 2.0).abs() < SAME_RADIUS_MM && sweep_rad * toward_part > 0.0)
}

fn turned(v: Vector, by_rad: f64) -> Vector {
    let (sin, cos) = by_rad.sin_cos();
    Vector::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos)
}

impl Avoid {
    /// Whether a point of the edge lies in the stretch.
    #[must_use]
    pub fn holds(&self, at: Point) -> bool {
        Segment::line(self.from, self.to).nearest(at).0 <= self.within_mm
    }
}
