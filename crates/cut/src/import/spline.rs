//! Curves that are neither lines nor arcs, as points near enough to them.

use plane::{Point, Vector};

/// The most control points of one spline.
pub const MOST_CONTROL_POINTS: usize = 100_000;
/// The highest degree of a spline.
pub const MOST_DEGREE: i64 = 10;
/// A piece is halved this often at most: then it is a millionth of the first.
const MOST_HALVINGS: u32 = 20;

/// Points of a curve from one parameter to another (both ends included) whose chords lie within the tolerance.
///
/// A piece is halved until the curve at its quarters lies within half the tolerance of the chord: for a smooth piece the
/// greatest distance is near one of these. Stops and gives none when more than `most` points would come out.
pub(super) fn points_along(
    curve: &dyn Fn(f64) -> Point,
    from: f64,
    to: f64,
    tolerance: f64,
    most: usize,
) -> Option<Vec<Point>> {
    let mut points = vec![curve(from)];
    // The pieces still to do, nearest last.
    let mut open = vec![(from, to, MOST_HALVINGS)];
    while let Some((a, b, left)) = open.pop() {
        let (start, end) = (curve(a), curve(b));
        let flat = [0.25, 0.5, 0.75]
            .into_iter()
            .all(|share| off_chord(curve(a + (b - a) * share), start, end) <= tolerance / 2.0);
        if flat || left == 0 {
            points.push(end);
            if points.len() > most {
                return None;
            }
        } else {
            let middle = f64::midpoint(a, b);
            open.push((middle, b, left - 1));
            open.push((a, middle, left - 1));
        }
    }
    Some(points)
}

fn off_chord(at: Point, start: Point, end: Point) -> f64 {
    let chord = end - start;
    let square = chord.norm_squared();
    let share = if square == 0.0 {
        0.0
    } else {
        ((at - start).dot(&chord) / square).clamp(0.0, 1.0)
    };
    (at - (start + chord * share)).norm()
}

/// A B-spline, rational when the weights differ.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spline {
    degree: usize,
    knots: Vec<f64>,
    points: Vec<(Point, f64)>,
}

impl Spline {
    /// Why it is none, if it is none.
    pub(super) fn new(
        degree: i64,
        knots: Vec<f64>,
        points: Vec<Point>,
        weights: &[f64],
    ) -> Result<Spline, &'static str> {
        if !(1..=MOST_DEGREE).contains(&degree) {
            return Err("its degree is not 1 to 10");
        }
        let degree = degree as usize;
        if points.len() <= degree {
            return Err("it has fewer control points than its degree needs");
        }
        if points.len() > MOST_CONTROL_POINTS {
            return Err("it has too many control points");
        }
        if knots.len() != points.len() + degree + 1 {
            return Err("its knots do not go with its control points");
        }
        if knots.windows(2).any(|pair| pair[1] < pair[0]) || knots[degree] >= knots[points.len()] {
            return Err("its knots do not rise");
        }
        if !weights.is_empty() && (weights.len() != points.len() || weights.iter().any(|w| *w <= 0.0)) {
            return Err("its weights do not go with its control points");
        }
        let weight = |i: usize| weights.get(i).copied().unwrap_or(1.0);
        Ok(Spline {
            degree,
            knots,
            points: points
                .into_iter()
                .enumerate()
                .map(|(i, p)| (p, weight(i)))
                .collect(),
        })
    }

    /// Points whose chords lie within the tolerance; none when there would be more than `most`.
    pub(super) fn points_along(&self, tolerance: f64, most: usize) -> Option<Vec<Point>> {
        let mut all: Vec<Point> = Vec::new();
        for span in self.degree..self.points.len() {
            let (from, to) = (self.knots[span], self.knots[span + 1]);
            if to <= from {
                continue;
            }
            // A piece for each degree, so that a wave across the chord cannot hide.
            for i in 0..self.degree {
                let at = |i: usize| from + (to - from) * i as f64 / self.degree as f64;
                let piece = points_along(&|u| self.at(span, u), at(i), at(i + 1), tolerance, most)?;
                let skip = usize::from(!all.is_empty());
                all.extend(piece.into_iter().skip(skip));
                if all.len() > most {
                    return None;
                }
            }
        }
        Some(all)
    }

    /// The point at a parameter within a span, by de Boor's recursion on weighted points.
    fn at(&self, span: usize, u: f64) -> Point {
        let p = self.degree;
        let mut row: Vec<(Vector, f64)> = (0..=p)
            .map(|j| {
                let (point, weight) = self.points[span - p + j];
                (point.coords * weight, weight)
            })
            .collect();
        for level in 1..=p {
            for j in (level..=p).rev() {
                let i = span - p + j;
                let (low, high) = (self.knots[i], self.knots[i + p + 1 - level]);
                let share = if high > low { (u - low) / (high - low) } else { 0.0 };
                let ((a, wa), (b, wb)) = (row[j - 1], row[j]);
                row[j] = (a * (1.0 - share) + b * share, wa * (1.0 - share) + wb * share);
            }
        }
        let (weighted, weight) = row[p];
        Point::from(weighted / weight)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rational_quadratic_makes_a_quarter_circle() {
        let points = [(10.0, 0.0), (10.0, 10.0), (0.0, 10.0)].map(|(x, y)| Point::new(x, y));
        let weights = [1.0, std::f64::consts::FRAC_1_SQRT_2, 1.0];
        let knots = vec![0.0, 0.0, 0.0, 1.0, 1.0, 1.0];
        let spline = Spline::new(2, knots, points.to_vec(), &weights).expect("a spline");
        let along = spline.points_along(0.01, 1000).expect("few points");
        assert!(along.len() > 8 && along.len() < 64, "{}", along.len());
        for pair in along.windows(2) {
            let middle = nalgebra::center(&pair[0], &pair[1]);
            assert!((pair[1].coords.norm() - 10.0).abs() < 1e-9);
            assert!((middle.coords.norm() - 10.0).abs() < 0.01, "{middle}");
        }
    }

    #[test]
    fn what_is_no_spline_is_told() {
        let points = vec![Point::origin(); 4];
        let knots = vec![0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0];
        assert!(Spline::new(3, knots.clone(), points.clone(), &[]).is_ok());
        assert!(Spline::new(11, knots.clone(), points.clone(), &[]).is_err());
        assert!(Spline::new(3, knots[1..].to_vec(), points.clone(), &[]).is_err());
        assert!(Spline::new(3, vec![0.0; 8], points.clone(), &[]).is_err());
        assert!(Spline::new(3, knots, points, &[1.0, 0.0, 1.0, 1.0]).is_err());
    }
}
