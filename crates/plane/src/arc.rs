//! Arcs by bulge, sweep, radius and via-point, and one into the other.
//!
//! bulge = tan(sweep / 4), as the DXF reference defines it for polylines.

use thiserror::Error;

use crate::{Point, SAME_POINT_MM, Vector};

/// An arc of larger radius than this is drawn as a line: over a metre it rises 0.0001 mm, and its centre could not be
/// told to [`SAME_POINT_MM`] in double precision.
pub(crate) const LARGEST_RADIUS_MM: f64 = 1e9;

/// A side of a directed line or edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Left of the direction.
    Left,
    /// Right of the direction.
    Right,
}

/// Why no arc joins two points as asked.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum ArcError {
    /// The two ends are one point.
    #[error("the two ends of the arc are one point ({:.3}, {:.3})", at.x, at.y)]
    EndsMeet {
        /// Where they are.
        at: Point,
    },
    /// The via-point is one of the ends.
    #[error("the point the arc goes through is one of its ends ({:.3}, {:.3})", at.x, at.y)]
    ViaIsAnEnd {
        /// Where it is.
        at: Point,
    },
    /// The via-point lies on the line of the ends, beyond them.
    #[error("the point the arc goes through lies on the line of its ends but not between them ({:.3}, {:.3})", at.x, at.y)]
    ViaBeyond {
        /// Where it is.
        at: Point,
    },
    /// The radius does not span the ends.
    #[error(
        "a radius of {radius_mm:.3} mm does not span ends {chord_mm:.3} mm apart; it must be at least {least_mm:.3} mm"
    )]
    RadiusTooSmall {
        /// The radius asked for.
        radius_mm: f64,
        /// Distance between the ends.
        chord_mm: f64,
        /// Half of it: the least radius.
        least_mm: f64,
    },
    /// A coordinate or radius is not a finite number.
    #[error("a coordinate or radius of the arc is not a finite number")]
    NotFinite,
}

/// The bulge of an arc that turns through `sweep_rad`, which lies between -2 pi and 2 pi, counter-clockwise positive.
pub fn bulge_of_sweep(sweep_rad: f64) -> f64 {
    (sweep_rad / 4.0).tan()
}

/// The angle an arc of this bulge turns through, counter-clockwise positive.
pub fn sweep_of_bulge(bulge: f64) -> f64 {
    4.0 * bulge.atan()
}

/// The radius of an arc of this bulge over a chord, mm: chord (1 + b^2) / (4 |b|). Infinite for a bulge of 0.
pub fn radius_of_bulge_mm(chord_mm: f64, bulge: f64) -> f64 {
    chord_mm * (1.0 + bulge * bulge) / (4.0 * bulge.abs())
}

/// How far a facet that spans `step_rad` of a circle lies inside it at its middle, mm: r (1 - cos(step / 2)).
pub fn chord_error_mm(radius_mm: f64, step_rad: f64) -> f64 {
    let quarter = (step_rad / 4.0).sin();
    2.0 * radius_mm * quarter * quarter
}

/// The bulge of the arc from `from` to `to` through `via`; 0 when the three lie in line with `via` between.
pub fn bulge_through(from: Point, via: Point, to: Point) -> Result<f64, ArcError> {
    if ![from, via, to].iter().all(|p| p.x.is_finite() && p.y.is_finite()) {
        return Err(ArcError::NotFinite);
    }
    let (chord, first, second) = (to - from, via - from, to - via);
    if chord.norm() < SAME_POINT_MM {
        return Err(ArcError::EndsMeet { at: from });
    }
    if first.norm() < SAME_POINT_MM || second.norm() < SAME_POINT_MM {
        return Err(ArcError::ViaIsAnEnd { at: via });
    }
    // The angle turned between the two chords is half the sweep, whatever the via-point.
    let (cross, dot) = (first.perp(&second), first.dot(&second));
    if cross.abs() <= SAME_POINT_MM * chord.norm() {
        return if dot > 0.0 {
            Ok(0.0)
        } else {
            Err(ArcError::ViaBeyond { at: via })
        };
    }
    Ok((cross.atan2(dot) / 2.0).tan())
}

/// The bulge of the shorter arc of a radius from `from` to `to` that stands out on the given side of the straight line
/// between them. For the longer arc of the same circle take `1 / bulge` of the other side, negated.
pub fn bulge_of_radius(from: Point, to: Point, radius_mm: f64, out_on: Side) -> Result<f64, ArcError> {
    let chord_mm = (to - from).norm();
    if !chord_mm.is_finite() || !radius_mm.is_finite() {
        return Err(ArcError::NotFinite);
    }
    if chord_mm < SAME_POINT_MM {
        return Err(ArcError::EndsMeet { at: from });
    }
    let least_mm = chord_mm / 2.0;
    if radius_mm < least_mm - SAME_POINT_MM {
        return Err(ArcError::RadiusTooSmall {
            radius_mm,
            chord_mm,
            least_mm,
        });
    }
    // b = rise / half chord, and rise = r - sqrt(r^2 - c^2/4), written without the difference of near-equals.
    let radius_mm = radius_mm.max(least_mm);
    let to_chord_mm = ((radius_mm - least_mm) * (radius_mm + least_mm)).sqrt();
    let bulge = least_mm / (radius_mm + to_chord_mm);
    Ok(match out_on {
        // An arc that turns counter-clockwise stands out to the right of its chord.
        Side::Right => bulge,
        Side::Left => -bulge,
    })
}

/// Whether an arc this flat over a chord is a line for every purpose here.
pub(crate) fn is_flat(chord_mm: f64, bulge: f64) -> bool {
    let rise_mm = bulge.abs() * chord_mm / 2.0;
    rise_mm < SAME_POINT_MM || (bulge.abs() < 1.0 && radius_of_bulge_mm(chord_mm, bulge) > LARGEST_RADIUS_MM)
}

/// A quarter turn counter-clockwise.
pub(crate) fn left_of(v: Vector) -> Vector {
    Vector::new(-v.y, v.x)
}

/// A vector turned by an angle, counter-clockwise positive.
pub(crate) fn turned(v: Vector, by_rad: f64) -> Vector {
    let (sin, cos) = by_rad.sin_cos();
    Vector::new(v.x * cos - v.y * sin, v.x * sin + v.y * cos)
}
