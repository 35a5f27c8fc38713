//! One hole against one mount, with the face that rests on the seat chosen.

use nalgebra::{Isometry3, Point3, Vector2, Vector3};

use crate::gauge::{Gauge, Run, gauge};
use crate::{HoleShape, Mount, PartHole};

/// A hole and its mount reduced to what the arithmetic needs.
#[derive(Debug, Clone)]
pub(crate) struct Seating {
    /// Centre of the hole on the face that rests on the seat, in part axes.
    pub(crate) face: Point3<f64>,
    /// Outward normal of that face, in part axes.
    pub(crate) outward: Vector3<f64>,
    /// Direction of the hole's slot, in part axes; zero for a round hole.
    pub(crate) slot: Vector3<f64>,
    /// Half the run of that slot.
    pub(crate) slot_half_mm: f64,
    /// Middle of the seat, in equipment axes.
    pub(crate) at: Point3<f64>,
    /// Out of the seat.
    pub(crate) axis: Vector3<f64>,
    /// Two directions across the axis.
    pub(crate) across: [Vector3<f64>; 2],
    pub(crate) round_mm: f64,
    mount_run: Run,
    pub(crate) gap_allowed_mm: f64,
    pub(crate) tilt_allowed_rad: f64,
}

/// How a seating stands at a pose, in equipment axes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stance {
    /// The hole's centre on the resting face.
    pub(crate) face: Point3<f64>,
    /// The face's outward normal.
    pub(crate) outward: Vector3<f64>,
    /// The slot's direction.
    pub(crate) slot: Vector3<f64>,
    /// Offset across the axis, along the two directions across it. The hole is brought to the seat along the mean of the
    /// bolt's line and the plate's normal, which is d - b (a . d) / (a . b) for d from the seat to the hole, a the axis
    /// and b the mean: straight across the bolt, a leaning plate would draw its holes together and seem to fit better
    /// for it; so taken, two holes are as far from two bolts however the plate leans.
    pub(crate) offset_mm: Vector2<f64>,
    /// The offset against its allowance.
    pub(crate) gauge: Gauge,
    /// From the seat to the face, along the axis.
    pub(crate) gap_mm: f64,
    /// Between plate and seat, 0 to pi.
    pub(crate) tilt_rad: f64,
}

impl Seating {
    /// `sign` says which face rests on the seat: 1 for the one whose outward normal is the hole's axis.
    pub(crate) fn new(hole: &PartHole, mount: &Mount, sign: f64) -> Self {
        let axis = mount.axis.into_inner();
        let across = across(axis);
        let flat = |v: Vector3<f64>| Vector2::new(across[0].dot(&v), across[1].dot(&v));
        let play = &mount.allowance;
        let (slot, slot_half_mm) = match hole.shape {
            HoleShape::Round { .. } => (Vector3::zeros(), 0.0),
            HoleShape::Slot { along, .. } => (along.into_inner(), play.hole_half_run_mm),
        };
        let mount_run = match play.mount_slot {
            None => Run {
                along: Vector2::zeros(),
                half_mm: 0.0,
            },
            Some(slide) => Run {
                along: flat(slide.along.into_inner()),
                half_mm: slide.half_run_mm,
            },
        };
        Self {
            face: hole.on_face(sign),
            outward: hole.axis.into_inner() * sign,
            slot,
            slot_half_mm,
            at: mount.at,
            axis,
            across,
            round_mm: play.round_mm,
            mount_run,
            gap_allowed_mm: mount.gap_allowed_mm,
            tilt_allowed_rad: mount.tilt_allowed_rad,
        }
    }

    pub(crate) fn stance(&self, pose: &Isometry3<f64>) -> Stance {
        let face = pose * self.face;
        let outward = pose.rotation * self.outward;
        let slot = pose.rotation * self.slot;
        let from_seat = face - self.at;
        let gap_mm = self.axis.dot(&from_seat);
        let offset_mm =
            self.flat(from_seat) + self.flat(outward) * (gap_mm / (1.0 - self.axis.dot(&outward)));
        let hole_run = Run {
            along: self.flat(slot),
            half_mm: self.slot_half_mm,
        };
        Stance {
            face,
            outward,
            slot,
            offset_mm,
            gauge: gauge(offset_mm, self.round_mm, [self.mount_run, hole_run]),
            gap_mm,
            tilt_rad: outward.cross(&self.axis).norm().atan2(-outward.dot(&self.axis)),
        }
    }

    /// A vector seen along the axis.
    pub(crate) fn flat(&self, v: Vector3<f64>) -> Vector2<f64> {
        Vector2::new(self.across[0].dot(&v), self.across[1].dot(&v))
    }

    /// Offset, gap and tilt, each over what is allowed.
    pub(crate) fn ratios(&self, stance: &Stance) -> [f64; 3] {
        [
            stance.gauge.ratio,
            stance.gap_mm.abs() / self.gap_allowed_mm,
            stance.tilt_rad / self.tilt_allowed_rad,
        ]
    }
}

/// The largest ratio of all.
pub(crate) fn largest(seatings: &[Seating], pose: &Isometry3<f64>) -> f64 {
    seatings
        .iter()
        .flat_map(|s| s.ratios(&s.stance(pose)))
        .fold(0.0, f64::max)
}

/// Two unit vectors across a unit vector, right-handed with it and always the same for the same vector.
pub(crate) fn across(axis: Vector3<f64>) -> [Vector3<f64>; 2] {
    let least = Vector3::ith(axis.iamin(), 1.0);
    let first = (least - axis * axis.dot(&least)).normalize();
    [first, axis.cross(&first)]
}

/// The sign of the face that rests on the seat at this pose: the one whose outward normal is opposed to the axis.
pub(crate) fn resting_sign(hole: &PartHole, mount: &Mount, pose: &Isometry3<f64>) -> f64 {
    if (pose.rotation * hole.axis.into_inner()).dot(&mount.axis) > 0.0 {
        -1.0
    } else {
        1.0
    }
}

/// All mounts, with the faces that rest at this pose.
pub(crate) fn seat_at(holes: &[PartHole], mounts: &[Mount], pose: &Isometry3<f64>) -> Vec<Seating> {
    mounts
        .iter()
        .map(|mount| {
            let hole = &holes[mount.hole];
            Seating::new(hole, mount, resting_sign(hole, mount, pose))
        })
        .collect()
}
