//! Nearest points: of a triangle, a segment, and a convex distance over a triangle.

use nalgebra::{Point3, Vector3};

use crate::clearance::Triangle;
use crate::shape::{Depth, Shape};

/// A distance over a triangle is found to this, mm: a thousandth of what any shop measures, and well over rounding.
pub(crate) const EXACT_MM: f64 = 1e-7;
/// Golden-section steps at most: 100 m down to [`EXACT_MM`].
const STEPS: usize = 60;
const GOLDEN: f64 = 0.618_033_988_749_894_9;

/// The point of a segment nearest a point.
pub(crate) fn on_segment(point: Point3<f64>, [from, to]: [Point3<f64>; 2]) -> Point3<f64> {
    let way = to - from;
    let length_squared = way.norm_squared();
    if length_squared == 0.0 {
        return from;
    }
    from + way * ((point - from).dot(&way) / length_squared).clamp(0.0, 1.0)
}

/// The point of a triangle nearest a point: by the region of the plane it projects to.
pub(crate) fn on_triangle(point: Point3<f64>, corners: &Triangle) -> Point3<f64> {
    let [a, b, c] = *corners;
    let normal = (b - a).cross(&(c - a));
    let square = normal.norm_squared();
    if square > 0.0 {
        let flat = point - normal * (normal.dot(&(point - a)) / square);
        let inside = edges(corners)
            .iter()
            .all(|[p, q]| normal.dot(&(q - p).cross(&(flat - p))) >= 0.0);
        if inside {
            return flat;
        }
    }
    let mut best = a;
    for edge in edges(corners) {
        let near = on_segment(point, edge);
        if (near - point).norm_squared() < (best - point).norm_squared() {
            best = near;
        }
    }
    best
}

/// The nearest points of two segments, one on each.
pub(crate) fn of_segments(first: [Point3<f64>; 2], second: [Point3<f64>; 2]) -> (Point3<f64>, Point3<f64>) {
    let (u, v) = (first[1] - first[0], second[1] - second[0]);
    let apart = first[0] - second[0];
    let (uu, uv, vv) = (u.dot(&u), u.dot(&v), v.dot(&v));
    let spread = uu * vv - uv * uv;
    let mut pairs = vec![
        (first[0], on_segment(first[0], second)),
        (first[1], on_segment(first[1], second)),
        (on_segment(second[0], first), second[0]),
        (on_segment(second[1], first), second[1]),
    ];
    if spread > 0.0 {
        let s = (uv * v.dot(&apart) - vv * u.dot(&apart)) / spread;
        if (0.0..=1.0).contains(&s) {
            let on_first = first[0] + u * s;
            pairs.push((on_first, on_segment(on_first, second)));
        }
    }
    nearest_pair(pairs)
}

/// The nearest points of a segment and a triangle: (on the triangle, on the segment).
pub(crate) fn of_triangle_and_segment(
    corners: &Triangle,
    segment: [Point3<f64>; 2],
) -> (Point3<f64>, Point3<f64>) {
    if let Some(through) = pierces(corners, segment) {
        return (through, through);
    }
    let ends = segment.map(|end| (on_triangle(end, corners), end));
    let sides = edges(corners).map(|edge| of_segments(edge, segment));
    nearest_pair(ends.into_iter().chain(sides).collect())
}

/// Where a segment goes through a triangle.
fn pierces(corners: &Triangle, [from, to]: [Point3<f64>; 2]) -> Option<Point3<f64>> {
    let [a, b, c] = *corners;
    let normal = (b - a).cross(&(c - a));
    let (start, end) = (normal.dot(&(from - a)), normal.dot(&(to - a)));
    if start * end > 0.0 || start == end {
        return None;
    }
    let at = from + (to - from) * (start / (start - end));
    let inside = edges(corners)
        .iter()
        .all(|[p, q]| normal.dot(&(q - p).cross(&(at - p))) >= 0.0);
    inside.then_some(at)
}

fn edges(&[a, b, c]: &Triangle) -> [[Point3<f64>; 2]; 3] {
    [[a, b], [b, c], [c, a]]
}

fn nearest_pair(pairs: Vec<(Point3<f64>, Point3<f64>)>) -> (Point3<f64>, Point3<f64>) {
    let gap = |(a, b): &(Point3<f64>, Point3<f64>)| (a - b).norm_squared();
    pairs
        .into_iter()
        .min_by(|a, b| gap(a).total_cmp(&gap(b)))
        .unwrap_or_default()
}

/// The point of a triangle that is least far outside, or deepest inside, the shape.
pub(crate) fn deepest(corners: &Triangle, shape: &Shape) -> Point3<f64> {
    match *shape {
        Shape::Beyond { .. } => shallowest_of(corners.iter().copied(), shape),
        Shape::Capsule { from, to, .. } => of_triangle_and_segment(corners, [from, to]).0,
        Shape::Box { .. } | Shape::Cylinder { .. } => over_triangle(corners, shape),
    }
}

fn shallowest_of(points: impl Iterator<Item = Point3<f64>>, shape: &Shape) -> Point3<f64> {
    points
        .min_by(|a, b| {
            shape
                .depth(*a)
                .distance_mm
                .total_cmp(&shape.depth(*b).distance_mm)
        })
        .unwrap_or_default()
}

/// Golden section within golden section: the distance from a convex shape is convex, so its least over a line in the
/// triangle, taken from line to line, is convex too.
fn over_triangle(&[a, b, c]: &Triangle, shape: &Shape) -> Point3<f64> {
    let (u, v) = (b - a, c - a);
    let line = |s: f64| {
        let foot = a + u * s;
        let reach = v * (1.0 - s);
        let (t, distance) = golden(reach.norm(), &|t| shape.depth(foot + reach * t).distance_mm);
        (foot + reach * t, distance)
    };
    let (s, _) = golden(u.norm() + v.norm(), &|s| line(s).1);
    let inner = line(s).0;
    shallowest_of([inner, a, b, c].into_iter(), shape)
}

/// Where a convex function is least on 0 to 1, and its value, for a function that changes by no more than the length
/// over the whole of it.
fn golden(length_mm: f64, cost: &dyn Fn(f64) -> f64) -> (f64, f64) {
    let (mut low, mut high) = (0.0, 1.0);
    let mut inner = [1.0 - GOLDEN, GOLDEN];
    let mut costs = inner.map(cost);
    for _ in 0..STEPS {
        if (high - low) * length_mm < 0.5 * EXACT_MM {
            break;
        }
        if costs[0] <= costs[1] {
            high = inner[1];
            inner = [high - (high - low) * GOLDEN, inner[0]];
            costs = [cost(inner[0]), costs[0]];
        } else {
            low = inner[0];
            inner = [inner[1], low + (high - low) * GOLDEN];
            costs = [costs[1], cost(inner[1])];
        }
    }
    if costs[0] <= costs[1] {
        (inner[0], costs[0])
    } else {
        (inner[1], costs[1])
    }
}

/// No point of the triangle is nearer the shape than this: the distance is convex, so it lies over its tangent planes.
pub(crate) fn at_least(corners: &Triangle, shape: &Shape) -> f64 {
    let [a, b, c] = *corners;
    let middle: Point3<f64> = ((a.coords + b.coords + c.coords) / 3.0).into();
    let tangent = |at: Point3<f64>| {
        let Depth { distance_mm, outward } = shape.depth(at);
        let lowest = |p: &Point3<f64>| outward.dot(&(p - at));
        distance_mm + corners.iter().map(lowest).fold(f64::INFINITY, f64::min)
    };
    [middle, a, b, c]
        .into_iter()
        .map(tangent)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// How many times a closed surface goes round a point: 1 or -1 inside, 0 outside. Solid angles after van Oosterom and
/// Strackee, IEEE Transactions on Biomedical Engineering 30 (1983) 125 (from memory).
pub(crate) fn times_round(point: Point3<f64>, triangles: impl Iterator<Item = Triangle>) -> f64 {
    let solid_angle = |corners: Triangle| {
        let [a, b, c]: [Vector3<f64>; 3] = corners.map(|corner| corner - point);
        let (la, lb, lc) = (a.norm(), b.norm(), c.norm());
        let below = la * lb * lc + a.dot(&b) * lc + b.dot(&c) * la + c.dot(&a) * lb;
        2.0 * a.dot(&b.cross(&c)).atan2(below)
    };
    triangles.map(solid_angle).sum::<f64>() / (4.0 * std::f64::consts::PI)
}
