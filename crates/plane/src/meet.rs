//! Where two edges meet: line and line, line and arc, arc and arc.

use crate::arc::left_of;
use crate::outline::Segment;
use crate::{Point, SAME_POINT_MM, Vector};

/// A place that two edges share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meeting {
    /// Where.
    pub at: Point,
    /// Share of the first edge's length at which it is there, 0 to 1.
    pub on_first: f64,
    /// Share of the second edge's length.
    pub on_second: f64,
}

impl Segment {
    /// Every place this edge shares with another within [`SAME_POINT_MM`], in order along this edge. Where the two run
    /// along each other, the two ends of the shared run.
    pub fn meetings(&self, other: &Segment) -> Vec<Meeting> {
        meetings(self, other, SAME_POINT_MM)
    }

    /// Where the edge meets the endless line through `through` along `direction`, in order along the line. An edge that
    /// lies along the line gives its two ends. Nothing for a direction of no length.
    pub fn meetings_with_line(&self, through: Point, direction: Vector) -> Vec<Point> {
        let length = direction.norm();
        if !(length.is_finite() && length > 0.0) {
            return Vec::new();
        }
        let unit = direction / length;
        let mut found: Vec<Point> = Vec::new();
        // The ends first: where an edge ends on the line, its own corner is the answer, to the last digit.
        for end in [self.from(), self.to()] {
            if unit.perp(&(end - through)).abs() <= SAME_POINT_MM {
                add(&mut found, end, SAME_POINT_MM);
            }
        }
        match *self {
            Segment::Line { from, to } => {
                if found.is_empty() {
                    let (left, right) = (unit.perp(&(from - through)), unit.perp(&(to - through)));
                    if left * right < 0.0 {
                        add(
                            &mut found,
                            from + (to - from) * (left / (left - right)),
                            SAME_POINT_MM,
                        );
                    }
                }
            }
            Segment::Arc {
                centre, radius_mm, ..
            } => {
                for at in line_and_circle(through, unit, centre, radius_mm, SAME_POINT_MM) {
                    if self.holds(at) {
                        add(&mut found, at, SAME_POINT_MM);
                    }
                }
            }
        }
        found.sort_by(|a, b| unit.dot(&(a - through)).total_cmp(&unit.dot(&(b - through))));
        found
    }
}

/// Where two endless lines cross, each through a point along a direction; none when they run parallel.
pub fn crossing_of_lines(a: Point, along_a: Vector, b: Point, along_b: Vector) -> Option<Point> {
    /// Lines nearer to parallel than this (in radians) cross nowhere useful: a metre from their points the crossing
    /// would be known no better than a tenth of a millimetre.
    const PARALLEL_RAD: f64 = 1e-9;
    let cross = along_a.perp(&along_b);
    let scale = along_a.norm() * along_b.norm();
    if cross.abs() <= PARALLEL_RAD * scale || !cross.is_finite() {
        return None;
    }
    Some(a + along_a * ((b - a).perp(&along_b) / cross))
}

/// Every place two edges share within a tolerance, in order along the first.
pub(crate) fn meetings(a: &Segment, b: &Segment, tolerance_mm: f64) -> Vec<Meeting> {
    let mut found: Vec<Meeting> = shared_places(a, b, tolerance_mm)
        .into_iter()
        .map(|at| Meeting {
            at,
            on_first: a.share_nearest(at),
            on_second: b.share_nearest(at),
        })
        .collect();
    found.sort_by(|p, q| p.on_first.total_cmp(&q.on_first));
    found
}

/// Every place two edges share within a tolerance, in no order.
pub(crate) fn shared_places(a: &Segment, b: &Segment, tolerance_mm: f64) -> Vec<Point> {
    let mut places: Vec<Point> = Vec::new();
    // Ends that lie on the other edge come first, so that a corner keeps its own coordinates.
    for end in [a.from(), a.to()] {
        if b.holds_within(end, tolerance_mm) {
            add(&mut places, end, tolerance_mm);
        }
    }
    for end in [b.from(), b.to()] {
        if a.holds_within(end, tolerance_mm) {
            add(&mut places, end, tolerance_mm);
        }
    }
    for at in crossings(a, b, tolerance_mm) {
        if a.holds_within(at, tolerance_mm) && b.holds_within(at, tolerance_mm) {
            add(&mut places, at, tolerance_mm);
        }
    }
    places
}

/// Keeps a place that is not one of those already found: two ways of finding one meeting agree within twice the
/// tolerance of each.
fn add(places: &mut Vec<Point>, at: Point, tolerance_mm: f64) {
    if places.iter().all(|p| (p - at).norm() > 2.0 * tolerance_mm) {
        places.push(at);
    }
}

/// Crossings of the endless lines and whole circles that carry two edges, but none where these coincide.
fn crossings(a: &Segment, b: &Segment, tolerance_mm: f64) -> Vec<Point> {
    match (*a, *b) {
        (Segment::Line { from, to }, Segment::Line { from: start, to: end }) => {
            let (along, other) = (to - from, end - start);
            let cross = along.perp(&other);
            if cross == 0.0 {
                return Vec::new();
            }
            let share = (start - from).perp(&other) / cross;
            if (0.0..=1.0).contains(&share) {
                vec![from + along * share]
            } else {
                Vec::new()
            }
        }
        (
            Segment::Line { from, to },
            Segment::Arc {
                centre, radius_mm, ..
            },
        )
        | (
            Segment::Arc {
                centre, radius_mm, ..
            },
            Segment::Line { from, to },
        ) => {
            let along = to - from;
            line_and_circle(from, along / along.norm(), centre, radius_mm, tolerance_mm)
        }
        (
            Segment::Arc {
                centre, radius_mm, ..
            },
            Segment::Arc {
                centre: other_centre,
                radius_mm: other_radius_mm,
                ..
            },
        ) => circle_and_circle(centre, radius_mm, other_centre, other_radius_mm, tolerance_mm),
    }
}

/// Where an endless line (unit direction) meets a circle: none, the one place it touches, or two in order along it.
pub(crate) fn line_and_circle(
    through: Point,
    unit: Vector,
    centre: Point,
    radius_mm: f64,
    tolerance_mm: f64,
) -> Vec<Point> {
    let foot = through + unit * unit.dot(&(centre - through));
    let out = foot - centre;
    let off_mm = out.norm();
    let deep_mm = radius_mm - off_mm;
    if deep_mm < -tolerance_mm {
        Vec::new()
    } else if deep_mm <= tolerance_mm {
        vec![foot]
    } else {
        let half = unit * (deep_mm * (radius_mm + off_mm)).sqrt();
        vec![foot - half, foot + half]
    }
}

/// Where two circles meet: none (also when they are one circle), the one place they touch, or two: first the one on the
/// left of the line from `a` to `b`.
pub(crate) fn circle_and_circle(
    a: Point,
    a_radius_mm: f64,
    b: Point,
    b_radius_mm: f64,
    tolerance_mm: f64,
) -> Vec<Point> {
    let between = b - a;
    let apart_mm = between.norm();
    // Within this the two are one centre: the circles are one, or nowhere near each other.
    if apart_mm <= tolerance_mm {
        return Vec::new();
    }
    let unit = between / apart_mm;
    let outside_mm = apart_mm - (a_radius_mm + b_radius_mm);
    let inside_mm = (a_radius_mm - b_radius_mm).abs() - apart_mm;
    if outside_mm > tolerance_mm || inside_mm > tolerance_mm {
        return Vec::new();
    }
    if outside_mm >= -tolerance_mm {
        return vec![a + unit * (a_radius_mm + outside_mm / 2.0)];
    }
    if inside_mm >= -tolerance_mm {
        let toward = if a_radius_mm >= b_radius_mm { unit } else { -unit };
        return vec![a + toward * a_radius_mm];
    }
    // From a to the chord the circles share: (d^2 + ra^2 - rb^2) / 2d, with the squares' difference as a product.
    let along_mm = (apart_mm + (a_radius_mm - b_radius_mm) * (a_radius_mm + b_radius_mm) / apart_mm) / 2.0;
    let half_mm = ((a_radius_mm - along_mm) * (a_radius_mm + along_mm))
        .max(0.0)
        .sqrt();
    let foot = a + unit * along_mm;
    let half = left_of(unit) * half_mm;
    vec![foot + half, foot - half]
}
