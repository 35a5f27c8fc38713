//! How far a keep-out is from the plate.

use nalgebra::{Isometry3, Point3};
use thiserror::Error;

use crate::nearest::{EXACT_MM, at_least, deepest, times_round};
use crate::shape::Shape;

/// Three corners, in part axes.
pub type Triangle = [Point3<f64>; 3];

/// How far from 1 the length of a unit vector may be: rounding, no more.
const UNIT_SLACK: f64 = 1e-6;

/// How a keep-out stands to the part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// Least distance from the surface of the part to the shape. Below 0, how deep the deepest point of that surface
    /// lies in the shape.
    pub clearance_mm: f64,
    /// The point of the part where that is, in equipment axes.
    pub on_part: Point3<f64>,
    /// The point of the shape's surface nearest to it, in equipment axes.
    pub on_shape: Point3<f64>,
    /// The shape lies wholly within the plate, touching no face of it. The clearance is then how far the shape's middle
    /// would have to go to the nearest face, taken below 0.
    pub swallowed: bool,
}

/// Why a clearance cannot be told.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum ClearanceError {
    /// There is no part.
    #[error("there is no surface to measure from")]
    NoTriangles,
    /// A corner of the part is not a number.
    #[error("corner {corner} of triangle {triangle} is not finite")]
    CornerNotFinite {
        /// Index of the triangle.
        triangle: usize,
        /// Index of its corner.
        corner: usize,
    },
    /// A coordinate of the shape is not a number.
    #[error("a coordinate of the keep-out is not a finite number")]
    ShapeNotFinite,
    /// A size of the shape is not above 0.
    #[error("{what} of the keep-out is {mm} mm; it must be above 0")]
    NoSize {
        /// Which size.
        what: &'static str,
        /// What was given.
        mm: f64,
    },
    /// The direction of the shape is not a unit vector.
    #[error("the direction of the keep-out has length {length}, not 1")]
    NotADirection {
        /// The length found.
        length: f64,
    },
}

/// The least distance between a keep-out and the part at `pose` (part axes to equipment axes), to 1e-6 mm.
///
/// `triangles` are the surface of the true plate, both faces and all edges, in part axes; all turned the same way if a
/// shape that lies wholly inside the plate is to be noticed.
pub fn clearance(
    triangles: &[Triangle],
    pose: &Isometry3<f64>,
    shape: &Shape,
) -> Result<Clearance, ClearanceError> {
    check(triangles, shape)?;
    let placed = |corners: &Triangle| corners.map(|corner| pose * corner);
    let mut rough: Vec<(f64, usize)> = Vec::with_capacity(triangles.len());
    let mut best = (f64::INFINITY, Point3::origin());
    let mut take = |point: Point3<f64>| {
        let distance_mm = shape.depth(point).distance_mm;
        if distance_mm < best.0 {
            best = (distance_mm, point);
        }
        (distance_mm, best.0)
    };
    for (i, corners) in triangles.iter().enumerate() {
        let corners = placed(corners);
        let middle = Point3::from((corners[0].coords + corners[1].coords + corners[2].coords) / 3.0);
        let reach = corners.iter().map(|c| (c - middle).norm()).fold(0.0, f64::max);
        let (distance_mm, _) = take(middle);
        rough.push((distance_mm - reach, i));
    }
    rough.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut least = f64::INFINITY;
    for (lower, i) in rough {
        if lower >= least - EXACT_MM {
            break;
        }
        let corners = placed(&triangles[i]);
        for corner in corners {
            (_, least) = take(corner);
        }
        if at_least(&corners, shape) < least - EXACT_MM {
            (_, least) = take(deepest(&corners, shape));
        }
    }
    let (distance_mm, on_part) = best;
    let on_shape = on_part - shape.depth(on_part).outward * distance_mm;
    let inside = |middle| times_round(middle, triangles.iter().map(placed)).abs() > 0.5;
    let middle = if distance_mm > 0.0 {
        shape.middle().filter(|&m| inside(m))
    } else {
        None
    };
    Ok(match middle {
        None => Clearance {
            clearance_mm: distance_mm,
            on_part,
            on_shape,
            swallowed: false,
        },
        Some(middle) => Clearance {
            clearance_mm: -(on_part - middle).norm(),
            on_part,
            on_shape,
            swallowed: true,
        },
    })
}

fn check(triangles: &[Triangle], shape: &Shape) -> Result<(), ClearanceError> {
    if triangles.is_empty() {
        return Err(ClearanceError::NoTriangles);
    }
    for (triangle, corners) in triangles.iter().enumerate() {
        if let Some(corner) = corners.iter().position(|c| !c.iter().all(|x| x.is_finite())) {
            return Err(ClearanceError::CornerNotFinite { triangle, corner });
        }
    }
    let (points, sizes): (Vec<Point3<f64>>, Vec<(&'static str, f64)>) = match *shape {
        Shape::Box { middle, size_mm } => (
            vec![middle],
            vec![
                ("the width", size_mm.x),
                ("the depth", size_mm.y),
                ("the height", size_mm.z),
            ],
        ),
        Shape::Cylinder { from, to, radius_mm } => (
            vec![from, to],
            vec![("the radius", radius_mm), ("the length", (to - from).norm())],
        ),
        Shape::Capsule { from, to, radius_mm } => (vec![from, to], vec![("the radius", radius_mm)]),
        Shape::Beyond { at, toward } => {
            let length = toward.as_ref().norm();
            if length.is_nan() || (length - 1.0).abs() > UNIT_SLACK {
                return Err(ClearanceError::NotADirection { length });
            }
            (vec![at], vec![])
        }
    };
    if !points.iter().all(|p| p.iter().all(|x| x.is_finite())) {
        return Err(ClearanceError::ShapeNotFinite);
    }
    match sizes.into_iter().find(|(_, mm)| !(mm.is_finite() && *mm > 0.0)) {
        Some((what, mm)) => Err(ClearanceError::NoSize { what, mm }),
        None => Ok(()),
    }
}
