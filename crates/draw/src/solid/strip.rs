//! One run of a bend, rolled up.

use nalgebra::{Isometry3, Point3, Rotation3, Unit, Vector3};
use sheet::{Part, Strip, Way};

use super::rim::{RimPlace, StripSide, joint_at};
use super::{FoldedPlate, Level, SolidError};

/// A rolled-up strip must end within this of the panel it turns: ten times [`plane::SAME_POINT_MM`].
const MEETS_MM: f64 = 1e-5;
/// A side of a strip that slides along the axis by less than this is square to the bend: rounding of a metre.
const SQUARE_MM: f64 = 1e-8;
/// An inside radius under this is a sharp edge: a hundredth of what any tool can hold, well over rounding.
const SHARP_MM: f64 = 1e-6;

/// A strip between two panels, in space.
#[derive(Debug, Clone)]
pub(crate) struct BentStrip {
    /// The bend it is part of, as an index into the part's bends.
    pub(crate) bend: usize,
    /// Rim edge on the fixed panel: from the strip's end 1 to its end 0.
    pub(crate) fixed: RimPlace,
    /// Rim edge on the moving panel: from the strip's end 0 to its end 1.
    pub(crate) moving: RimPlace,
    /// A point on the axis.
    pub(crate) axis_at: Point3<f64>,
    /// Direction of the axis, from end 0 to end 1.
    pub(crate) axis: Unit<Vector3<f64>>,
    /// From the axis square to the fixed panel's tangent line.
    pub(crate) start: Unit<Vector3<f64>>,
    /// The angle turned about the axis from the fixed to the moving panel; negative for a bend down.
    pub(crate) turn_rad: f64,
    /// Which face of the plate is inside.
    pub(crate) inside: Level,
    /// Inside and outside radius.
    radii_mm: [f64; 2],
    /// Places of ends 0 and 1 along the axis, where the fixed panel ends.
    pub(crate) fixed_mm: [f64; 2],
    /// Places of ends 0 and 1 along the axis, where the moving panel starts.
    pub(crate) moving_mm: [f64; 2],
}

impl BentStrip {
    pub(super) fn of(part: &Part, plate: &FoldedPlate, bend: usize, run: &Strip) -> Result<Self, SolidError> {
        let index = bend;
        let bend = &part.bends[index];
        let place = |panel: usize, at: plane::Point, side: StripSide| {
            let at = at - part.panels[panel].to_blank;
            joint_at(&plate.panels[panel].rims, at, side)
                .map(|(rim, edge)| RimPlace { panel, rim, edge })
                .ok_or_else(|| SolidError::BendOffPanel {
                    bend: bend.name.clone(),
                    panel: part.panels[panel].name.clone(),
                    at,
                })
        };
        let fixed = place(bend.fixed, run.fixed[1], StripSide::Fixed)?;
        let moving = place(bend.moving, run.moving[0], StripSide::Moving)?;
        let (inside, outside, turn_rad) = match bend.way {
            Way::Up => (Level::High, Level::Low, bend.bent_rad),
            Way::Down => (Level::Low, Level::High, -bend.bent_rad),
        };
        let fixed_corners = [plate.next(fixed), fixed];
        let moving_corners = [moving, plate.next(moving)];
        let along = |place: RimPlace| (plate.corner(place, outside) - bend.axis_at).dot(&bend.axis);
        let to_outside = plate.corner(fixed, outside) - bend.axis_at;
        let start = Unit::new_normalize(to_outside - bend.axis.into_inner() * to_outside.dot(&bend.axis));
        let strip = BentStrip {
            bend: index,
            fixed,
            moving,
            axis_at: bend.axis_at,
            axis: bend.axis,
            start,
            turn_rad,
            inside,
            radii_mm: [bend.radius_mm, bend.radius_mm + part.thickness_mm],
            fixed_mm: fixed_corners.map(along),
            moving_mm: moving_corners.map(along),
        };
        strip.check(plate, &bend.name, fixed_corners, moving_corners)?;
        Ok(strip)
    }

    fn check(
        &self,
        plate: &FoldedPlate,
        bend: &str,
        fixed: [RimPlace; 2],
        moving: [RimPlace; 2],
    ) -> Result<(), SolidError> {
        let mut off_mm: f64 = 0.0;
        for level in Level::BOTH {
            for end in [0, 1] {
                for (share, corner) in [(0.0, fixed[end]), (1.0, moving[end])] {
                    let along_mm = self.along_mm(share, end as f64);
                    let off = self.at(share, along_mm, level) - plate.corner(corner, level);
                    // `max` would drop a NaN.
                    off_mm = if off.norm() <= off_mm { off_mm } else { off.norm() };
                }
            }
        }
        if off_mm <= MEETS_MM {
            Ok(())
        } else {
            Err(SolidError::BendOffPose {
                bend: bend.to_owned(),
                off_mm,
            })
        }
    }

    pub(super) fn move_to(&mut self, to: &Isometry3<f64>) {
        self.axis_at = to * self.axis_at;
        self.axis = Unit::new_normalize(to * self.axis.into_inner());
        self.start = Unit::new_normalize(to * self.start.into_inner());
    }

    /// Radius of a face of the plate about the axis.
    pub(crate) fn radius_mm(&self, level: Level) -> f64 {
        self.radii_mm[usize::from(level != self.inside)]
    }

    /// Whether the inside is an edge rather than a cylinder.
    pub(crate) fn is_sharp(&self) -> bool {
        self.radii_mm[0] < SHARP_MM
    }

    /// Whether an end (0 or 1) is square to the axis.
    pub(crate) fn is_square(&self, end: usize) -> bool {
        (self.moving_mm[end] - self.fixed_mm[end]).abs() < SQUARE_MM
    }

    /// Where along the axis a line of the strip stands that starts at `across` (0 at end 0, 1 at end 1), after `share` of
    /// the turn. Straight on the blank, so it slides in proportion to the turn.
    pub(crate) fn along_mm(&self, share: f64, across: f64) -> f64 {
        let [fixed, moving] =
            [self.fixed_mm, self.moving_mm].map(|[first, last]| first + (last - first) * across);
        fixed + (moving - fixed) * share
    }

    /// From the axis, square to it, after `share` of the turn; a unit vector.
    pub(crate) fn spoke(&self, share: f64) -> Vector3<f64> {
        Rotation3::from_axis_angle(&self.axis, self.turn_rad * share) * self.start.into_inner()
    }

    /// The place on one face after `share` of the turn, `along_mm` along the axis.
    pub(crate) fn at(&self, share: f64, along_mm: f64, level: Level) -> Point3<f64> {
        self.axis_at + self.axis.into_inner() * along_mm + self.spoke(share) * self.radius_mm(level)
    }
}
