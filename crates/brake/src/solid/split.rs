//! A flat shape cut into convex pieces, never smaller than the shape.

use plane::{Outline, Point, Region, Segment};
use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};

/// An arc becomes chords that stand off it by no more than this: under what two solids may touch by.
const CHORD_MM: f64 = 0.1;
/// An arc is never cut into more than this many chords.
const MOST_CHORDS: usize = 48;
/// A corner that turns inward by less than this (the cross of its unit edges) is straight.
const STRAIGHT: f64 = 1e-9;
/// A point within this of another is the same to the triangulation.
const SAME_CORNER_MM: f64 = 1e-4;

/// The region as convex polygons, counter-clockwise, none overlapping. Arcs are made straight outside the material, so
/// that the pieces hold all of it. A region that cannot be cut up is answered by its convex hull, which holds it too.
pub fn convex_pieces(region: &Region) -> Vec<Vec<Point>> {
    let outer = corners_of(&region.outer.oriented(true));
    if region.holes.is_empty() && is_convex(&outer) {
        return vec![outer];
    }
    let runs: Vec<Vec<Point>> = std::iter::once(outer)
        .chain(region.holes.iter().map(|hole| corners_of(&hole.oriented(false))))
        .collect();
    match triangles(&runs) {
        Some(triangles) => merged(triangles),
        None => vec![hull(&runs[0])],
    }
}

/// The corners of an outline whose material lies to its left, arcs made straight on the side away from the material:
/// about a bulge, within a hollow.
pub fn corners_of(outline: &Outline) -> Vec<Point> {
    let mut corners = Vec::new();
    for segment in outline.segments() {
        corners.push(segment.from());
        let Segment::Arc {
            centre,
            radius_mm,
            sweep_rad,
            ..
        } = segment
        else {
            continue;
        };
        let step = 2.0 * (1.0 - (CHORD_MM / radius_mm).min(0.5)).acos();
        let count = ((sweep_rad.abs() / step).ceil() as usize).clamp(1, MOST_CHORDS);
        let each = sweep_rad / count as f64;
        let start = segment.from() - centre;
        let at = |turned: f64, share: f64| {
            let (sin, cos) = turned.sin_cos();
            centre + plane::Vector::new(start.x * cos - start.y * sin, start.x * sin + start.y * cos) * share
        };
        if sweep_rad > 0.0 {
            let out = 1.0 / (each / 2.0).cos().max(0.3);
            corners.extend((0..count).map(|i| at((i as f64 + 0.5) * each, out)));
        } else {
            corners.extend((1..count).map(|i| at(i as f64 * each, 1.0)));
        }
    }
    corners.dedup_by(|a, b| (*a - *b).norm() < SAME_CORNER_MM);
    while corners.len() > 1 && (corners[0] - corners[corners.len() - 1]).norm() < SAME_CORNER_MM {
        corners.pop();
    }
    corners
}

fn turn(a: Point, b: Point, c: Point) -> f64 {
    let unit = |v: plane::Vector| v.try_normalize(0.0).unwrap_or_default();
    unit(b - a).perp(&unit(c - b))
}

fn is_convex(corners: &[Point]) -> bool {
    let count = corners.len();
    let turned: f64 = (0..count)
        .map(|i| {
            let [a, b, c] = [0, 1, 2].map(|k| corners[(i + k) % count]);
            let sine = turn(a, b, c);
            if sine < -STRAIGHT {
                return f64::INFINITY;
            }
            sine.atan2((b - a).dot(&(c - b)))
        })
        .sum();
    count >= 3 && (turned - std::f64::consts::TAU).abs() < 1.0
}

fn triangles(runs: &[Vec<Point>]) -> Option<Vec<Vec<Point>>> {
    let mut web = ConstrainedDelaunayTriangulation::<Point2<f64>>::new();
    for run in runs {
        let mut handles = Vec::with_capacity(run.len());
        for at in run {
            // What vanishes when squared is refused by the triangulation, and is nothing.
            let [x, y] = [at.x, at.y].map(|v| if v.abs() < 1e-30 { 0.0 } else { v });
            handles.push(web.insert(Point2::new(x, y)).ok()?);
        }
        for (i, &from) in handles.iter().enumerate() {
            let to = handles[(i + 1) % handles.len()];
            if from == to || !web.can_add_constraint(from, to) {
                return None;
            }
            web.add_constraint(from, to);
        }
    }
    let inside = |at: Point| runs.iter().filter(|run| holds(run, at)).count() % 2 == 1;
    let found: Vec<Vec<Point>> = web
        .inner_faces()
        .map(|face| {
            face.vertices()
                .map(|v| Point::new(v.position().x, v.position().y))
        })
        .filter(|[a, b, c]| inside(Point::from((a.coords + b.coords + c.coords) / 3.0)))
        .map(|corners| corners.to_vec())
        .collect();
    (!found.is_empty()).then_some(found)
}

/// By crossings of a ray toward +x.
fn holds(run: &[Point], at: Point) -> bool {
    let mut inside = false;
    for (i, a) in run.iter().enumerate() {
        let b = run[(i + 1) % run.len()];
        if (a.y > at.y) != (b.y > at.y) && at.x < a.x + (at.y - a.y) / (b.y - a.y) * (b.x - a.x) {
            inside = !inside;
        }
    }
    inside
}

/// Pieces joined over shared edges for as long as what comes of it is convex.
fn merged(mut pieces: Vec<Vec<Point>>) -> Vec<Vec<Point>> {
    let mut i = 0;
    while i < pieces.len() {
        let joined = (i + 1..pieces.len()).find_map(|j| Some((j, join(&pieces[i], &pieces[j])?)));
        match joined {
            Some((j, whole)) => {
                pieces[i] = whole;
                pieces.remove(j);
            }
            None => i += 1,
        }
    }
    pieces
}

fn join(a: &[Point], b: &[Point]) -> Option<Vec<Point>> {
    for (i, from) in a.iter().enumerate() {
        let to = a[(i + 1) % a.len()];
        let Some(j) = (0..b.len()).find(|&j| b[j] == to && b[(j + 1) % b.len()] == *from) else {
            continue;
        };
        // All of a from `to` round to `from`, then b from past `from` to before `to`.
        let mut whole: Vec<Point> = (1..=a.len()).map(|k| a[(i + k) % a.len()]).collect();
        whole.extend((2..b.len()).map(|k| b[(j + k) % b.len()]));
        let count = whole.len();
        let bends_in =
            |k: usize| turn(whole[(k + count - 1) % count], whole[k], whole[(k + 1) % count]) < -STRAIGHT;
        if (0..count).any(bends_in) {
            return None;
        }
        return is_convex(&whole).then_some(whole);
    }
    None
}

/// The convex hull of some points, counter-clockwise.
pub(crate) fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let chain = |points: &mut dyn Iterator<Item = &Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for &p in points {
            while chain.len() >= 2 && turn(chain[chain.len() - 2], chain[chain.len() - 1], p) <= 0.0 {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut whole = chain(&mut sorted.iter());
    whole.extend(chain(&mut sorted.iter().rev()));
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(pieces: &[Vec<Point>]) -> f64 {
        let one = |run: &Vec<Point>| -> f64 {
            let pairs = (0..run.len()).map(|i| run[i].coords.perp(&run[(i + 1) % run.len()].coords));
            pairs.sum::<f64>() / 2.0
        };
        pieces.iter().map(one).sum()
    }

    #[test]
    fn an_l_is_two_pieces_and_keeps_its_area() {
        let l = [
            (0.0, 0.0),
            (30.0, 0.0),
            (30.0, 10.0),
            (10.0, 10.0),
            (10.0, 40.0),
            (0.0, 40.0),
        ];
        let l = Outline::polygon(&l.map(|(x, y)| Point::new(x, y))).expect("an L");
        let pieces = convex_pieces(&Region::solid(l));
        assert_eq!(pieces.len(), 2);
        assert!((area(&pieces) - 600.0).abs() < 1e-9);
    }

    #[test]
    fn a_window_is_left_out_and_a_rounded_corner_is_never_cut_short() {
        let plate = Outline::rectangle(Point::new(0.0, 0.0), Point::new(60.0, 40.0)).expect("a plate");
        let round = plane::Corner::Round(8.0);
        let plate = plate
            .with_corners(&[(0, round)], plane::Material::Inside)
            .expect("rounded");
        let window = Outline::rectangle(Point::new(20.0, 10.0), Point::new(40.0, 30.0)).expect("a window");
        let region = Region::new(plate, vec![window]).expect("a region");
        let pieces = convex_pieces(&region);
        assert!(pieces.iter().all(|piece| is_convex(piece)));
        let over = area(&pieces) - region.area_mm2();
        assert!((0.0..1.0).contains(&over), "{over}");
    }
}
