//! A flat panel cut into triangles.

use plane::Point;
use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};

/// Coordinates under this are zero to the triangulation, which refuses numbers that vanish when squared.
const ZERO_MM: f64 = 1e-30;

/// Triangles between the closed runs of points (each run's last point joins its first), counter-clockwise, as indices
/// into all points: those of the runs in order, then `inner`. The place of a point at which the runs cross or touch,
/// when they do.
pub(super) fn triangles(runs: &[Vec<Point>], inner: &[Point]) -> Result<Vec<[usize; 3]>, Point> {
    let mut web = ConstrainedDelaunayTriangulation::<Point2<f64>>::new();
    let mut handles = Vec::new();
    for &at in runs.iter().flatten().chain(inner) {
        let [x, y] = [at.x, at.y].map(|v| if v.abs() < ZERO_MM { 0.0 } else { v });
        let handle = web.insert(Point2::new(x, y)).map_err(|_| at)?;
        // Twice the same place gives the first handle again.
        if handle.index() != handles.len() {
            return Err(at);
        }
        handles.push(handle);
    }
    let mut first = 0;
    for run in runs {
        for (i, &at) in run.iter().enumerate() {
            let [from, to] = [i, (i + 1) % run.len()].map(|k| handles[first + k]);
            if !web.can_add_constraint(from, to) {
                return Err(at);
            }
            web.add_constraint(from, to);
            // A constraint through another point is split there, and the panel's edge would no longer be one edge.
            if !web.exists_constraint(from, to) {
                return Err(at);
            }
        }
        first += run.len();
    }
    let inside = inside(&web);
    Ok(web
        .inner_faces()
        .filter(|face| inside[face.index()])
        .map(|face| face.vertices().map(|vertex| vertex.index()))
        .collect())
}

/// For each face, whether an odd number of runs lie between it and the outside.
fn inside(web: &ConstrainedDelaunayTriangulation<Point2<f64>>) -> Vec<bool> {
    let mut neighbours: Vec<Vec<(usize, bool)>> = vec![Vec::new(); web.num_all_faces()];
    for edge in web.undirected_edges() {
        let crosses = edge.is_constraint_edge();
        let [left, right] = [edge.as_directed(), edge.as_directed().rev()].map(|side| side.face().index());
        neighbours[left].push((right, crosses));
        neighbours[right].push((left, crosses));
    }
    let outside = web.outer_face().index();
    let mut inside: Vec<Option<bool>> = vec![None; neighbours.len()];
    inside[outside] = Some(false);
    let mut open = vec![outside];
    while let Some(face) = open.pop() {
        let here = inside[face] == Some(true);
        for &(next, crosses) in &neighbours[face] {
            if inside[next].is_none() {
                inside[next] = Some(here != crosses);
                open.push(next);
            }
        }
    }
    inside.into_iter().map(|found| found == Some(true)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(low: f64, high: f64) -> Vec<Point> {
        [(low, low), (high, low), (high, high), (low, high)]
            .map(|(x, y)| Point::new(x, y))
            .to_vec()
    }

    fn area_mm2(points: &[Point], triangles: &[[usize; 3]]) -> f64 {
        triangles
            .iter()
            .map(|t| {
                let [a, b, c] = t.map(|i| points[i]);
                (b - a).perp(&(c - a)) / 2.0
            })
            .sum()
    }

    #[test]
    fn a_frame_is_filled_and_its_window_is_not() {
        let runs = [square(0.0, 10.0), square(3.0, 7.0)];
        let points = runs.concat();
        let found = triangles(&runs, &[]).expect("the runs do not cross");
        assert!((area_mm2(&points, &found) - 84.0).abs() < 1e-12);
        assert!(found.iter().all(|&t| area_mm2(&points, &[t]) > 0.0));
    }

    #[test]
    fn runs_that_cross_are_told() {
        assert!(triangles(&[square(0.0, 10.0), square(5.0, 15.0)], &[]).is_err());
        assert!(triangles(&[square(0.0, 10.0), square(10.0, 15.0)], &[]).is_err());
    }
}
