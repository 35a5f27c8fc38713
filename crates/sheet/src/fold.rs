//! The blank folded up again, from what is known on the blank alone.

use nalgebra::{Isometry3, Point3, Translation3, Unit, UnitQuaternion};
use plane::Point;

use crate::part::{Bend, Face, Way};

impl Way {
    /// +1 for up, -1 for down: the sense of the turn about [`Bend::along`], and the side of the plate its axis is on.
    pub fn sign(self) -> f64 {
        match self {
            Self::Up => 1.0,
            Self::Down => -1.0,
        }
    }

    /// The other way.
    pub fn other(self) -> Self {
        match self {
            Self::Up => Self::Down,
            Self::Down => Self::Up,
        }
    }
}

impl Face {
    /// How far this face lies from the inside face of a bend, in a plate of this thickness: 0, t/2 or t.
    pub fn off_inside_mm(self, way: Way, thickness_mm: f64) -> f64 {
        match (self, way) {
            (Self::Marked, Way::Up) | (Self::Far, Way::Down) => 0.0,
            (Self::Middle, _) => thickness_mm / 2.0,
            (Self::Marked, Way::Down) | (Self::Far, Way::Up) => thickness_mm,
        }
    }

    /// The plate's extent along z when this face lies at 0: the far face, then the marked face.
    pub fn z_range(self, thickness_mm: f64) -> [f64; 2] {
        match self {
            Self::Marked => [-thickness_mm, 0.0],
            Self::Middle => [-thickness_mm / 2.0, thickness_mm / 2.0],
            Self::Far => [0.0, thickness_mm],
        }
    }

    /// The face on the other side.
    pub fn other(self) -> Self {
        match self {
            Self::Marked => Self::Far,
            Self::Middle => Self::Middle,
            Self::Far => Self::Marked,
        }
    }
}

/// The point of a bend's axis over (or under) a point of its fixed tangent line: `off_mm` from the lines' face, on the
/// side the plate is bent to.
pub(crate) fn bend_axis_over(tangent: Point, way: Way, off_mm: f64) -> Point3<f64> {
    Point3::new(tangent.x, tangent.y, way.sign() * off_mm)
}

/// Folds a blank by its bends alone: for each panel, from blank axes (z = 0 on the lines' face) to the folded part.
///
/// A moving panel is drawn back over the strip's width to the fixed tangent line and turned from there about the
/// bend's axis. The mock-up, the set-backs and the card are not used, so this checks [`crate::develop`].
pub fn fold_blank(bends: &[Bend], lines_on: Face, thickness_mm: f64) -> Vec<Isometry3<f64>> {
    let last = bends
        .iter()
        .map(|bend| bend.moving.max(bend.fixed))
        .max()
        .unwrap_or(0);
    let mut places: Vec<Option<Isometry3<f64>>> = vec![None; last + 1];
    places[0] = Some(Isometry3::identity());
    loop {
        let ready = bends
            .iter()
            .find(|bend| places[bend.moving].is_none() && places[bend.fixed].is_some());
        let Some((bend, place)) = ready.and_then(|bend| Some((bend, places[bend.fixed]?))) else {
            break;
        };
        places[bend.moving] = Some(place * about_bend(bend, lines_on, thickness_mm));
    }
    places.into_iter().map(Option::unwrap_or_default).collect()
}

/// From the moving panel's blank axes to the fixed one's.
pub(crate) fn about_bend(bend: &Bend, lines_on: Face, thickness_mm: f64) -> Isometry3<f64> {
    let off_mm = bend.radius_mm + lines_on.off_inside_mm(bend.way, thickness_mm);
    let tangent = bend
        .strips
        .first()
        .map_or(Point::origin(), |strip| strip.fixed[0]);
    let axis_at = bend_axis_over(tangent, bend.way, off_mm);
    let along = Unit::new_normalize(bend.along.push(0.0));
    let turned = UnitQuaternion::from_axis_angle(&along, bend.way.sign() * bend.bent_rad);
    let across = crate::ray::left_of(bend.along) * bend.allowance_mm;
    Translation3::from(axis_at.coords) * turned * Translation3::from(-axis_at.coords - across.push(0.0))
}
