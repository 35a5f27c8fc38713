//! Lead, contour, over-run and lead-out as one path.

use std::f64::consts::PI;

use plane::{Outline, Point, SAME_POINT_MM, Segment, Vector, Vertex};

use super::legal::Bounds;
use super::places::Place;
use super::shape::{Lead, arc_out};
use super::{Conditions, Contour, Start};
use crate::profile::SquareSide;
use crate::track::Track;

/// What a lead costs that is shorter than wanted, per share that is missing.
const SHORTER_COSTS: f64 = 0.3;
/// An over-run goes no farther round than this share of the contour.
const MOST_OVER_RUN: f64 = 0.5;

pub(super) fn start(
    contour: &Contour<'_>,
    conditions: &Conditions<'_>,
    bounds: &Bounds<'_>,
    place: &Place,
    lead: &Lead,
) -> Start {
    let around = once_around(contour, place);
    let mut segments = vec![lead.segment];
    segments.extend(&around);
    let over_run_mm = conditions
        .leads
        .over_run_mm
        .min(MOST_OVER_RUN * contour.path.length_mm());
    segments.extend(first_of(&around, over_run_mm));
    if conditions.leads.out_mm > 0.0
        && let Some(last) = segments.last()
    {
        let ahead = last.tangent_at(1.0);
        let left = Vector::new(-ahead.y, ahead.x);
        let into_scrap = match conditions.square {
            SquareSide::Right => left,
            SquareSide::Left => -left,
        };
        let out = arc_out(last.to(), into_scrap, conditions.leads.out_mm, conditions.square);
        // Where there is no room, the torch goes off on the line.
        if bounds.keeps_off(&out) {
            segments.push(out);
        }
    }
    let wanted_mm = conditions.leads.length_mm(conditions.t_mm);
    Start {
        track: track(&segments),
        around: [1, 1 + around.len()],
        at: place.at,
        kind: lead.kind,
        length_mm: lead.length_mm,
        cost: place.cost + SHORTER_COSTS * (1.0 - lead.length_mm / wanted_mm).max(0.0),
    }
}

/// The contour from the place back to it. A circle is two half circles.
fn once_around(contour: &Contour<'_>, place: &Place) -> Vec<Segment> {
    once_around_from(contour.path, place.edge, place.share, place.at)
}

/// An outline from a share of one of its edges, which is at `at`, back to it; a circle from `at` as two half circles.
pub(super) fn once_around_from(outline: &Outline, edge: usize, share: f64, at: Point) -> Vec<Segment> {
    if let Some((centre, dia_mm)) = outline.as_circle() {
        let way = if outline.is_counter_clockwise() { 1.0 } else { -1.0 };
        let across = centre - (at - centre);
        let half = |from: Point, to: Point| Segment::Arc {
            from,
            to,
            centre,
            radius_mm: dia_mm / 2.0,
            sweep_rad: PI * way,
        };
        return vec![half(at, across), half(across, at)];
    }
    let edges: Vec<Segment> = outline.segments().collect();
    let count = edges.len();
    let (before, after) = edges[edge].split_at(share);
    let mut around = vec![after];
    around.extend((1..count).map(|step| edges[(edge + step) % count]));
    around.push(before);
    around.retain(|edge| edge.length_mm() > SAME_POINT_MM);
    around
}

/// The first so many mm of a run of edges.
pub(super) fn first_of(edges: &[Segment], mut length_mm: f64) -> Vec<Segment> {
    let mut first = Vec::new();
    for edge in edges {
        if length_mm <= SAME_POINT_MM {
            break;
        }
        let share = (length_mm / edge.length_mm()).min(1.0);
        first.push(if share < 1.0 {
            edge.split_at(share).0
        } else {
            *edge
        });
        length_mm -= edge.length_mm();
    }
    first
}

/// These edges, end to end, as a track.
pub(crate) fn track(segments: &[Segment]) -> Track {
    let mut vertices: Vec<Vertex> = segments
        .iter()
        .map(|edge| Vertex {
            at: edge.from(),
            bulge: edge.bulge(),
        })
        .collect();
    vertices.extend(segments.last().map(|edge| Vertex::line(edge.to())));
    Track { vertices }
}
