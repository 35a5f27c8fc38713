//! How what carries the body sits, against where it must.

use nalgebra::{Isometry3, Matrix3, Point3, Rotation3, Unit, UnitQuaternion, Vector3};
use thiserror::Error;

use crate::PartHole;

/// Shorter than this, the way from the first hole to the last has no direction: well under a caliper's reading.
const SAME_PLACE_MM: f64 = 1e-6;
/// How far from 1 the length of a unit vector may be: rounding, no more.
const UNIT_SLACK: f64 = 1e-6;
/// Two directions nearer in line than this (sine) span no plane.
const IN_LINE: f64 = 1e-6;
/// Support holes whose axes differ by more than this (cosine) are not on one flat panel.
const ONE_PANEL: f64 = 0.999;

/// A facing, and a length across it.
pub(crate) type Frame = (Unit<Vector3<f64>>, Unit<Vector3<f64>>);

/// Where the part carries its support, in part axes: the middle of its holes on either face, and its length.
#[derive(Debug, Clone, PartialEq)]
pub struct Seat {
    /// Middle of the holes on the face whose outward normal is `axis`.
    pub on_axis_face: Point3<f64>,
    /// Middle of the holes on the other face.
    pub on_other_face: Point3<f64>,
    /// Square to the panel.
    pub axis: Unit<Vector3<f64>>,
    /// From the first hole to the last, in the panel; none with one hole.
    pub along: Option<Unit<Vector3<f64>>>,
    /// Distance from the first hole to the last; none with one hole.
    pub apart_mm: Option<f64>,
}

/// Distance between the support's own holes, end to end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// What it is.
    pub wanted_mm: f64,
    /// How far off the part's holes may be, above 0: hole less bolt when the support's holes are tapped.
    pub allowed_mm: f64,
}

/// Where the support must sit, in equipment axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SupportWant {
    /// Where the middle of its holes must be, on the face that looks at the body.
    pub at: Point3<f64>,
    /// Out of that face, toward the body.
    pub facing: Unit<Vector3<f64>>,
    /// From its first hole to its last. Only its part across `facing` counts.
    pub along: Unit<Vector3<f64>>,
    /// How far off the middle may be, above 0.
    pub allowed_mm: f64,
    /// How far it may be turned, above 0.
    pub allowed_turn_rad: f64,
    /// Its own hole pattern.
    pub apart: Option<Apart>,
}

/// How the distance between the support's holes stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ApartState {
    /// In the part.
    pub apart_mm: f64,
    /// Of the support.
    pub wanted_mm: f64,
    /// The part's less the support's.
    pub off_mm: f64,
    /// How far off it may be.
    pub allowed_mm: f64,
}

/// How the support sits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SupportState {
    /// Where the middle of its holes is, in equipment axes.
    pub at: Point3<f64>,
    /// How its face looks.
    pub facing: Unit<Vector3<f64>>,
    /// How it lies; none with one hole.
    pub along: Option<Unit<Vector3<f64>>>,
    /// From where it must be to where it is.
    pub off_by: Vector3<f64>,
    /// The length of that.
    pub offset_mm: f64,
    /// How far off it may be.
    pub allowed_mm: f64,
    /// The whole turn from how it must lie to how it lies, 0 to pi. With one hole, the tip alone.
    pub turn_rad: f64,
    /// How far its facing is tipped, 0 to pi.
    pub tip_rad: f64,
    /// How far it is spun about its facing, counter-clockwise seen from the body, -pi to pi. 0 with one hole.
    pub spin_rad: f64,
    /// How far it may be turned.
    pub allowed_turn_rad: f64,
    /// Its hole pattern, where one is known and the part has two holes or more.
    pub apart: Option<ApartState>,
}

impl SupportState {
    /// The largest of offset, turn and hole distance, each over what is allowed.
    pub fn ratio(&self) -> f64 {
        let apart = self.apart.map_or(0.0, |a| a.off_mm.abs() / a.allowed_mm);
        (self.offset_mm / self.allowed_mm)
            .max(self.turn_rad / self.allowed_turn_rad)
            .max(apart)
    }

    /// Whether all are within what is allowed.
    pub fn within(&self) -> bool {
        self.ratio() <= 1.0
    }

    /// The whole turn in degrees.
    pub fn turn_deg(&self) -> f64 {
        self.turn_rad.to_degrees()
    }

    /// Squares of offset and turn over what is allowed: what a part with freedom left is settled by.
    pub(crate) fn cost(&self) -> f64 {
        (self.offset_mm / self.allowed_mm).powi(2) + (self.turn_rad / self.allowed_turn_rad).powi(2)
    }
}

/// Why a support cannot be judged.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum SupportError {
    /// No hole of the part carries it.
    #[error("the support has no holes in the part")]
    NoHoles,
    /// Its holes are not on one panel.
    #[error("the support's holes are not on one flat panel: their axes differ by {:.1} deg", .apart_rad.to_degrees())]
    NotOnePanel {
        /// Between the axes of the first hole and the one that differs most.
        apart_rad: f64,
    },
    /// Its first and last hole are one place.
    #[error("the support's first and last hole are in the same place, so it has no length")]
    NoLength,
    /// A direction is not a unit vector.
    #[error("a direction of the support has length {length}, not 1")]
    NotADirection {
        /// The length found.
        length: f64,
    },
    /// It is to lie the way it is to face.
    #[error("the support is to lie along the very direction it is to face")]
    AlongFacing,
    /// A coordinate is not a number.
    #[error("a coordinate of the support is not a finite number")]
    NotFinite,
    /// An allowance is not above 0.
    #[error("an allowance of the support is {value}; it must be above 0")]
    NothingAllowed {
        /// What was given.
        value: f64,
    },
}

impl Seat {
    /// The seat that these holes make, in their order.
    pub fn of(holes: &[&PartHole]) -> Result<Self, SupportError> {
        let (Some(first), Some(last)) = (holes.first(), holes.last()) else {
            return Err(SupportError::NoHoles);
        };
        let numbers = holes
            .iter()
            .flat_map(|h| h.at.iter().chain(h.axis.iter()).chain([&h.thickness_mm]));
        if !numbers.copied().all(f64::is_finite) {
            return Err(SupportError::NotFinite);
        }
        let mut axis = Vector3::zeros();
        let mut faces = [Vector3::zeros(); 2];
        for hole in holes {
            unit(&hole.axis)?;
            let cosine = hole.axis.dot(&first.axis);
            if cosine.abs() < ONE_PANEL {
                return Err(SupportError::NotOnePanel {
                    apart_rad: cosine.abs().acos(),
                });
            }
            let sign = cosine.signum();
            axis += hole.axis.into_inner() * sign;
            faces[0] += hole.on_face(sign).coords;
            faces[1] += hole.on_face(-sign).coords;
        }
        let axis = Unit::new_normalize(axis);
        let [on_axis_face, on_other_face] = faces.map(|sum| Point3::from(sum / holes.len() as f64));
        let (along, apart_mm) = if holes.len() == 1 {
            (None, None)
        } else {
            let way = last.at - first.at;
            let along = Unit::try_new(way - axis.into_inner() * axis.dot(&way), SAME_PLACE_MM);
            (Some(along.ok_or(SupportError::NoLength)?), Some(way.norm()))
        };
        Ok(Self {
            on_axis_face,
            on_other_face,
            axis,
            along,
            apart_mm,
        })
    }
}

impl SupportWant {
    /// Facing, and the length across it, once all is known to be sound.
    pub(crate) fn frame(&self) -> Result<Frame, SupportError> {
        if !self.at.iter().all(|c| c.is_finite()) {
            return Err(SupportError::NotFinite);
        }
        unit(&self.facing)?;
        unit(&self.along)?;
        let allowed = [
            Some(self.allowed_mm),
            Some(self.allowed_turn_rad),
            self.apart.map(|a| a.allowed_mm),
        ];
        if let Some(value) = allowed
            .into_iter()
            .flatten()
            .find(|v| !(v.is_finite() && *v > 0.0))
        {
            return Err(SupportError::NothingAllowed { value });
        }
        let across = self.along.into_inner() - self.facing.into_inner() * self.facing.dot(&self.along);
        let along = Unit::try_new(across, IN_LINE).ok_or(SupportError::AlongFacing)?;
        Ok((self.facing, along))
    }
}

fn unit(direction: &Unit<Vector3<f64>>) -> Result<(), SupportError> {
    let length = direction.as_ref().norm();
    if (length - 1.0).abs() < UNIT_SLACK {
        Ok(())
    } else {
        Err(SupportError::NotADirection { length })
    }
}

/// How the seat sits at `pose` (part axes to equipment axes). The face that looks at the body is the one that looks
/// the more nearly as wanted.
pub fn sit(seat: &Seat, want: &SupportWant, pose: &Isometry3<f64>) -> Result<SupportState, SupportError> {
    Ok(state(seat, want, want.frame()?, pose))
}

/// The same, with the wanted frame worked out before.
pub(crate) fn state(
    seat: &Seat,
    want: &SupportWant,
    (wanted_facing, wanted_along): Frame,
    pose: &Isometry3<f64>,
) -> SupportState {
    let axis = pose.rotation * seat.axis;
    let (facing, at) = if axis.dot(&wanted_facing) >= 0.0 {
        (axis, pose * seat.on_axis_face)
    } else {
        (-axis, pose * seat.on_other_face)
    };
    let along = seat.along.map(|a| pose.rotation * a);
    let tip_rad = facing
        .cross(&wanted_facing)
        .norm()
        .atan2(facing.dot(&wanted_facing));
    let (turn_rad, spin_rad) = match along {
        None => (tip_rad, 0.0),
        Some(along) => {
            let turn = frame(facing, along) * frame(wanted_facing, wanted_along).transpose();
            let turn = UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(turn));
            let spin = 2.0 * turn.imag().dot(&wanted_facing).atan2(turn.w);
            (turn.angle(), within_half_turn(spin))
        }
    };
    let off_by = at - want.at;
    let apart = want.apart.zip(seat.apart_mm).map(|(apart, apart_mm)| ApartState {
        apart_mm,
        wanted_mm: apart.wanted_mm,
        off_mm: apart_mm - apart.wanted_mm,
        allowed_mm: apart.allowed_mm,
    });
    SupportState {
        at,
        facing,
        along,
        off_by,
        offset_mm: off_by.norm(),
        allowed_mm: want.allowed_mm,
        turn_rad,
        tip_rad,
        spin_rad,
        allowed_turn_rad: want.allowed_turn_rad,
        apart,
    }
}

fn frame(facing: Unit<Vector3<f64>>, along: Unit<Vector3<f64>>) -> Matrix3<f64> {
    Matrix3::from_columns(&[along.into_inner(), facing.cross(&along), facing.into_inner()])
}

fn within_half_turn(angle: f64) -> f64 {
    use std::f64::consts::{PI, TAU};
    let turned = angle.rem_euclid(TAU);
    if turned > PI { turned - TAU } else { turned }
}

/// How a support faces and lies when it is pitched, toed in and rolled: (facing, along).
///
/// It starts facing up (+z) and lying along +x. First it rolls about its own length, counter-clockwise looking against
/// that length (with +x toward the eye); then it is pitched about the equipment's y so that its facing tips toward -x;
/// then it is toed about the equipment's z, counter-clockwise from above. All in radians.
///
/// Worked: pitched 25 and toed 12 degrees, it faces (-0.41338, -0.08787, 0.90631) and lies along
/// (0.88650, 0.18843, 0.42262). Rolled 90 degrees alone, it faces -y and still lies along +x.
pub fn facing_frame(pitch_rad: f64, toe_rad: f64, roll_rad: f64) -> (Unit<Vector3<f64>>, Unit<Vector3<f64>>) {
    let turn = Rotation3::from_axis_angle(&Vector3::z_axis(), toe_rad)
        * Rotation3::from_axis_angle(&Vector3::y_axis(), -pitch_rad)
        * Rotation3::from_axis_angle(&Vector3::x_axis(), roll_rad);
    (turn * Vector3::z_axis(), turn * Vector3::x_axis())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::HoleShape;

    fn hole(name: &str, x: f64, y: f64) -> PartHole {
        PartHole {
            name: name.into(),
            at: Point3::new(x, y, 0.0),
            axis: Vector3::z_axis(),
            thickness_mm: 4.0,
            shape: HoleShape::Round { dia_mm: 6.6 },
        }
    }

    fn seat() -> Seat {
        Seat::of(&[&hole("s1", -20.0, 0.0), &hole("s2", 20.5, 0.0)]).unwrap()
    }

    fn want(pitch_deg: f64, toe_deg: f64) -> SupportWant {
        let (facing, along) = facing_frame(f64::to_radians(pitch_deg), f64::to_radians(toe_deg), 0.0);
        SupportWant {
            at: Point3::new(0.25, 0.0, 2.0),
            facing,
            along,
            allowed_mm: 1.0,
            allowed_turn_rad: 0.05,
            apart: Some(Apart {
                wanted_mm: 40.0,
                allowed_mm: 0.6,
            }),
        }
    }

    #[test]
    fn a_pad_pitched_25_and_toed_12_faces_back_and_up() {
        let (facing, along) = facing_frame(25_f64.to_radians(), 12_f64.to_radians(), 0.0);
        assert!((facing.into_inner() - Vector3::new(-0.41338, -0.08787, 0.90631)).norm() < 1e-5);
        assert!((along.into_inner() - Vector3::new(0.88650, 0.18843, 0.42262)).norm() < 1e-5);
        let (rolled, length) = facing_frame(0.0, 0.0, 90_f64.to_radians());
        assert!((rolled.into_inner() + Vector3::y()).norm() < 1e-12);
        assert!((length.into_inner() - Vector3::x()).norm() < 1e-12);
    }

    #[test]
    fn a_pad_where_it_must_be_has_only_its_hole_distance_to_report() {
        let sits = sit(&seat(), &want(0.0, 0.0), &Isometry3::identity()).unwrap();
        assert!(sits.offset_mm < 1e-12 && sits.turn_rad < 1e-12);
        let apart = sits.apart.unwrap();
        assert!((apart.off_mm - 0.5).abs() < 1e-12);
        assert!((sits.ratio() - 0.5 / 0.6).abs() < 1e-12);
    }

    #[test]
    fn tip_and_spin_are_told_apart() {
        let tipped = sit(&seat(), &want(10.0, 0.0), &Isometry3::identity()).unwrap();
        assert!((tipped.tip_rad.to_degrees() - 10.0).abs() < 1e-9);
        assert!(tipped.spin_rad.abs() < 1e-9);
        let spun = sit(&seat(), &want(0.0, -7.0), &Isometry3::identity()).unwrap();
        assert!(spun.tip_rad < 1e-9);
        assert!((spun.spin_rad.to_degrees() - 7.0).abs() < 1e-9);
        assert!((spun.turn_deg() - 7.0).abs() < 1e-9);
    }

    #[test]
    fn the_other_face_carries_the_pad_when_the_plate_lies_the_other_way_up() {
        let over = Isometry3::rotation(Vector3::x() * std::f64::consts::PI);
        let sits = sit(&seat(), &want(0.0, 0.0), &over).unwrap();
        assert!(sits.offset_mm < 1e-12 && sits.turn_rad < 1e-9);
    }

    #[test]
    fn supports_that_say_nothing_are_refused() {
        assert_eq!(Seat::of(&[]), Err(SupportError::NoHoles));
        let (a, b) = (hole("s1", 0.0, 0.0), hole("s2", 0.0, 0.0));
        assert_eq!(Seat::of(&[&a, &b]), Err(SupportError::NoLength));
        let mut lying = want(0.0, 0.0);
        lying.along = lying.facing;
        assert_eq!(
            sit(&seat(), &lying, &Isometry3::identity()),
            Err(SupportError::AlongFacing)
        );
        lying.allowed_mm = 0.0;
        let refused = sit(&seat(), &lying, &Isometry3::identity());
        assert_eq!(refused, Err(SupportError::NothingAllowed { value: 0.0 }));
    }
}
