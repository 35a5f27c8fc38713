//! Tangents: from a point to a circle, between two circles, and arcs that run from one edge into another.

use std::f64::consts::TAU;

use crate::arc::left_of;
use crate::meet::{circle_and_circle, crossing_of_lines, line_and_circle};
use crate::outline::Segment;
use crate::{Point, SAME_POINT_MM, Side, Vector};

/// A straight line that touches two circles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TangentLine {
    /// Where it touches the first circle.
    pub from: Point,
    /// Where it touches the second.
    pub to: Point,
    /// The side of the line, seen from `from` to `to`, on which the first circle lies.
    pub first_on: Side,
    /// The side on which the second circle lies; the line crosses between them when this differs.
    pub second_on: Side,
}

/// An arc that leaves one edge in its direction and comes into another in its.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TangentArc {
    /// The arc itself.
    pub arc: Segment,
    /// The side of both edges on which its centre lies: [`Side::Left`] turns counter-clockwise.
    pub turns: Side,
    /// Share of the first edge's length at which the arc leaves it.
    pub leaves_first_at: f64,
    /// Share of the second edge's length at which it joins it.
    pub joins_second_at: f64,
}

/// The two points at which straight lines from a point touch a circle: first the one with the circle on its right, seen
/// from the point, then the one with the circle on its left. Both are the point itself when it lies on the circle; none
/// when it lies inside.
pub fn tangent_points(from: Point, centre: Point, radius_mm: f64) -> Option<[Point; 2]> {
    let out = from - centre;
    let apart_mm = out.norm();
    if !(apart_mm.is_finite() && radius_mm > 0.0 && apart_mm >= radius_mm - SAME_POINT_MM) {
        return None;
    }
    if apart_mm <= radius_mm + SAME_POINT_MM {
        return Some([from, from]);
    }
    let unit = out / apart_mm;
    let cos = radius_mm / apart_mm;
    let sin = ((1.0 - cos) * (1.0 + cos)).sqrt();
    let (along, across) = (unit * (radius_mm * cos), left_of(unit) * (radius_mm * sin));
    Some([centre + along - across, centre + along + across])
}

/// The straight lines that touch two circles, from the first to the second: up to two with both circles on one side
/// (right, then left), then up to two that cross between them (the first circle on the right, then on the left). A radius
/// of 0 is a point. Where circles touch, no line is given for the contact itself.
pub fn tangent_lines(
    first: Point,
    first_radius_mm: f64,
    second: Point,
    second_radius_mm: f64,
) -> Vec<TangentLine> {
    let between = second - first;
    let apart_mm = between.norm();
    let sound =
        apart_mm.is_finite() && apart_mm > SAME_POINT_MM && first_radius_mm >= 0.0 && second_radius_mm >= 0.0;
    if !sound {
        return Vec::new();
    }
    let unit = between / apart_mm;
    let mut lines = Vec::new();
    for (cross, reach_mm) in [
        (1.0, first_radius_mm - second_radius_mm),
        (-1.0, first_radius_mm + second_radius_mm),
    ] {
        let cos = reach_mm / apart_mm;
        if cos.abs() >= 1.0 {
            continue;
        }
        let sin = ((1.0 - cos) * (1.0 + cos)).sqrt();
        for (first_on, way) in [(Side::Right, 1.0), (Side::Left, -1.0)] {
            let out = unit * cos + left_of(unit) * (way * sin);
            let other = if first_on == Side::Right {
                Side::Left
            } else {
                Side::Right
            };
            lines.push(TangentLine {
                from: first + out * first_radius_mm,
                to: second + out * (cross * second_radius_mm),
                first_on,
                second_on: if cross > 0.0 { first_on } else { other },
            });
        }
    }
    lines
}

/// Every arc of a radius that leaves `first` in its direction of travel and joins `second` in its, with both contacts on
/// the edges themselves. Those that turn left come first. Reverse an edge to have its other direction.
pub fn tangent_arcs(first: &Segment, second: &Segment, radius_mm: f64) -> Vec<TangentArc> {
    let mut arcs = Vec::new();
    if !(radius_mm.is_finite() && radius_mm > 0.0) {
        return arcs;
    }
    for turns in [Side::Left, Side::Right] {
        let way = if turns == Side::Left { 1.0 } else { -1.0 };
        let (a, b) = (
            Track::beside(first, way * radius_mm),
            Track::beside(second, way * radius_mm),
        );
        for centre in a.meets(&b) {
            let (Some(from), Some(to)) = (a.contact(centre), b.contact(centre)) else {
                continue;
            };
            if !(first.holds(from) && second.holds(to)) {
                continue;
            }
            let (out, end) = (from - centre, to - centre);
            let turn = way * out.perp(&end).atan2(out.dot(&end));
            let turn = if turn < 0.0 { turn + TAU } else { turn };
            arcs.push(TangentArc {
                arc: Segment::Arc {
                    from,
                    to,
                    centre,
                    radius_mm,
                    sweep_rad: way * turn,
                },
                turns,
                leaves_first_at: first.share_nearest(from),
                joins_second_at: second.share_nearest(to),
            });
        }
    }
    arcs
}

/// Where the centre of a circle may lie that touches an edge from one side.
enum Track {
    Line {
        through: Point,
        unit: Vector,
        back_to_edge: Vector,
    },
    /// `radius_mm` is negative when the touching circle is larger than the edge's own and round it.
    Circle {
        centre: Point,
        radius_mm: f64,
        edge_radius_mm: f64,
    },
}

impl Track {
    /// Left of the edge for a positive distance.
    fn beside(edge: &Segment, left_mm: f64) -> Track {
        match *edge {
            Segment::Line { from, .. } => {
                let unit = edge.tangent_at(0.0);
                let off = left_of(unit) * left_mm;
                Track::Line {
                    through: from + off,
                    unit,
                    back_to_edge: -off,
                }
            }
            Segment::Arc {
                centre,
                radius_mm,
                sweep_rad,
                ..
            } => Track::Circle {
                centre,
                radius_mm: radius_mm - sweep_rad.signum() * left_mm,
                edge_radius_mm: radius_mm,
            },
        }
    }

    fn meets(&self, other: &Track) -> Vec<Point> {
        match (self, other) {
            (
                Track::Line { through, unit, .. },
                Track::Line {
                    through: other,
                    unit: other_unit,
                    ..
                },
            ) => crossing_of_lines(*through, *unit, *other, *other_unit)
                .into_iter()
                .collect(),
            (
                Track::Line { through, unit, .. },
                Track::Circle {
                    centre, radius_mm, ..
                },
            )
            | (
                Track::Circle {
                    centre, radius_mm, ..
                },
                Track::Line { through, unit, .. },
            ) => line_and_circle(*through, *unit, *centre, radius_mm.abs(), SAME_POINT_MM),
            (
                Track::Circle {
                    centre, radius_mm, ..
                },
                Track::Circle {
                    centre: other,
                    radius_mm: other_radius_mm,
                    ..
                },
            ) => circle_and_circle(
                *centre,
                radius_mm.abs(),
                *other,
                other_radius_mm.abs(),
                SAME_POINT_MM,
            ),
        }
    }

    /// Where the circle about a centre on this track touches the edge; none where it touches all round.
    fn contact(&self, at: Point) -> Option<Point> {
        match *self {
            Track::Line { back_to_edge, .. } => Some(at + back_to_edge),
            Track::Circle {
                centre,
                radius_mm,
                edge_radius_mm,
            } => (radius_mm.abs() > SAME_POINT_MM)
                .then(|| centre + (at - centre) * (edge_radius_mm / radius_mm)),
        }
    }
}
