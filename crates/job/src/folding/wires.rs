//! Keep-outs as lines in space.

use fit::Shape;
use nalgebra::{Point3, Unit, Vector3};

/// A circle in so many chords.
const CHORDS: usize = 24;
/// Of a space without an end so much is drawn about the part, mm each way: about the size of what is made here.
const BEYOND_MM: f64 = 120.0;

/// The lines of a keep-out; one without an end is drawn near `middle`.
pub(super) fn of(shape: &Shape, middle: Point3<f64>) -> Vec<Vec<Point3<f64>>> {
    match *shape {
        Shape::Box { middle, size_mm } => boxed(middle, size_mm / 2.0),
        Shape::Cylinder { from, to, radius_mm } => tube(from, to, radius_mm),
        Shape::Capsule { from, to, radius_mm } => {
            let mut lines = tube(from, to, radius_mm);
            let (along, across) = frame(to - from);
            for side in across {
                for (end, way) in [(from, -along), (to, along)] {
                    let half = (0..=CHORDS / 2).map(|chord| {
                        let turn = std::f64::consts::TAU * chord as f64 / CHORDS as f64;
                        end + side * (radius_mm * turn.cos()) + way * (radius_mm * turn.sin())
                    });
                    lines.push(half.collect());
                }
            }
            lines
        }
        Shape::Beyond { at, toward } => {
            let foot = middle - toward.into_inner() * (middle - at).dot(&toward);
            let (along, [right, up]) = frame(toward.into_inner());
            let corner = |x: f64, y: f64| foot + right * (x * BEYOND_MM) + up * (y * BEYOND_MM);
            let ring = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)];
            let ring: Vec<Point3<f64>> = ring.into_iter().map(|(x, y)| corner(x, y)).collect();
            // Strokes into what must stay free.
            let mut lines: Vec<Vec<Point3<f64>>> = ring[..4]
                .iter()
                .map(|at| vec![*at, at + along * (BEYOND_MM / 6.0)])
                .collect();
            lines.push(ring);
            lines
        }
    }
}

fn boxed(middle: Point3<f64>, half_mm: Vector3<f64>) -> Vec<Vec<Point3<f64>>> {
    let corner = |x: f64, y: f64, z: f64| middle + half_mm.component_mul(&Vector3::new(x, y, z));
    let ring = |z: f64| {
        let ring = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)];
        ring.into_iter().map(|(x, y)| corner(x, y, z)).collect()
    };
    let posts = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    let posts = posts
        .into_iter()
        .map(|(x, y)| vec![corner(x, y, -1.0), corner(x, y, 1.0)]);
    [ring(-1.0), ring(1.0)].into_iter().chain(posts).collect()
}

fn tube(from: Point3<f64>, to: Point3<f64>, radius_mm: f64) -> Vec<Vec<Point3<f64>>> {
    let (_, [right, up]) = frame(to - from);
    let at = |end: Point3<f64>, chord: usize| {
        let (sin, cos) = (std::f64::consts::TAU * chord as f64 / CHORDS as f64).sin_cos();
        end + right * (radius_mm * cos) + up * (radius_mm * sin)
    };
    let rings = [from, to].map(|end| (0..=CHORDS).map(|chord| at(end, chord)).collect());
    let sides = (0..4).map(|side| {
        let chord = side * CHORDS / 4;
        vec![at(from, chord), at(to, chord)]
    });
    rings.into_iter().chain(sides).collect()
}

/// A unit direction, and two square to it and to each other.
fn frame(along: Vector3<f64>) -> (Vector3<f64>, [Vector3<f64>; 2]) {
    /// Under any length that is drawn, mm.
    const NOTHING_MM: f64 = 1e-9;
    let along = Unit::try_new(along, NOTHING_MM).unwrap_or(Vector3::z_axis());
    let least = along.iamin();
    let mut aside = Vector3::zeros();
    aside[least] = 1.0;
    let right = along.cross(&aside).normalize();
    (along.into_inner(), [right, along.cross(&right)])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_of_a_tube_is_its_radius_from_its_axis() {
        let (from, to) = (Point3::new(1.0, 2.0, 3.0), Point3::new(11.0, -4.0, 3.0));
        let shape = Shape::Cylinder {
            from,
            to,
            radius_mm: 5.0,
        };
        let lines = of(&shape, Point3::origin());
        assert_eq!(lines.len(), 6, "two rings and four sides");
        let axis = (to - from).normalize();
        for at in lines.iter().flatten() {
            let from_axis = (at - from).cross(&axis).norm();
            assert!((from_axis - 5.0).abs() < 1e-9, "{from_axis}");
        }
    }

    #[test]
    fn a_space_without_an_end_is_drawn_by_the_part_on_its_plane() {
        let shape = Shape::Beyond {
            at: Point3::new(0.0, 0.0, 40.0),
            toward: Vector3::z_axis(),
        };
        let lines = of(&shape, Point3::new(100.0, 20.0, 0.0));
        let ring = lines.last().expect("a ring");
        assert!(ring.iter().all(|at| (at.z - 40.0).abs() < 1e-9));
        let middle = nalgebra::center(&ring[0], &ring[2]);
        assert!((middle - Point3::new(100.0, 20.0, 40.0)).norm() < 1e-9);
    }
}
