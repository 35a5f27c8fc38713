//! Where a solid stands about the bend's axis, and whether two of them are kept apart however far they turn about it: looked
//! at before any motion is followed.

use std::f64::consts::{PI, TAU};

use nalgebra::Vector3;

use super::motion::{Motion, Mover};

/// What reaches nearer to the axis than this may stand all round it, mm.
const AT_AXIS_MM: f64 = 1e-3;

/// A piece of a ring about the bend's axis, and from where to where it is along it, that holds a solid. Lengths mm, angles
/// rad from +x toward +z.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sector {
    along_mm: [f64; 2],
    near_mm: f64,
    far_mm: f64,
    middle_rad: f64,
    /// To either side of the middle; pi for what stands all round.
    half_rad: f64,
}

impl Sector {
    /// That of a solid whose convex hull these corners span, in the tool's frame, about an axis so far over the nose;
    /// without corners it is clear of everything.
    pub fn of(corners: impl Iterator<Item = Vector3<f64>> + Clone, axis_mm: f64) -> Sector {
        let from_axis = corners.clone().map(|p| (p.x, p.z - axis_mm));
        let (x, z) = from_axis.clone().fold((0.0, 0.0), |(x, z), p| (x + p.0, z + p.1));
        let long = x.hypot(z);
        let (cos, sin) = (x / long, z / long);
        let (mut near_mm, mut far_mm) = (f64::INFINITY, 0.0f64);
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for (x, z) in from_axis {
            let (out, aside) = (x * cos + z * sin, z * cos - x * sin);
            near_mm = near_mm.min(out);
            far_mm = far_mm.max(x * x + z * z);
            // As steep as an angle within a quarter turn, in order and without its cost.
            low = low.min(aside / out);
            high = high.max(aside / out);
        }
        let along = corners.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], p| {
            [low.min(p.y), high.max(p.y)]
        });
        let all_round = Sector {
            along_mm: along,
            near_mm: 0.0,
            far_mm: far_mm.sqrt(),
            middle_rad: 0.0,
            half_rad: PI,
        };
        if near_mm.is_nan() || near_mm <= AT_AXIS_MM || !near_mm.is_finite() {
            return all_round;
        }
        let (low, high) = (low.atan(), high.atan());
        Sector {
            near_mm,
            middle_rad: z.atan2(x) + (low + high) / 2.0,
            half_rad: (high - low) / 2.0,
            ..all_round
        }
    }

    /// The part put in the other way round: half a turn about the upright.
    pub fn turned_round(&self) -> Sector {
        Sector {
            along_mm: [-self.along_mm[1], -self.along_mm[0]],
            middle_rad: PI - self.middle_rad,
            ..*self
        }
    }

    /// All that it passes through while the angle grows from one to the other.
    pub fn swept(&self, motion: &Motion, mover: Mover, from_rad: f64, to_rad: f64) -> Sector {
        let ([low, high], slack_mm) = motion.turns(mover, from_rad, to_rad);
        let aside_rad = if self.near_mm > slack_mm {
            (slack_mm / self.near_mm).asin()
        } else {
            PI
        };
        Sector {
            along_mm: self.along_mm,
            near_mm: (self.near_mm - slack_mm).max(0.0),
            far_mm: self.far_mm + slack_mm,
            middle_rad: self.middle_rad + (low + high) / 2.0,
            half_rad: self.half_rad + (high - low) / 2.0 + aside_rad,
        }
    }

    /// Whether nothing in the one can touch anything in the other.
    pub fn is_clear_of(&self, other: &Sector) -> bool {
        if self.along_mm[0] > other.along_mm[1]
            || other.along_mm[0] > self.along_mm[1]
            || self.near_mm > other.far_mm
            || other.near_mm > self.far_mm
        {
            return true;
        }
        let apart_rad = (self.middle_rad - other.middle_rad).rem_euclid(TAU);
        apart_rad.min(TAU - apart_rad) > self.half_rad + other.half_rad
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::order::of_tool;
    use crate::solid::{Prism, gap};
    use crate::sweep::motion::Action;
    use crate::sweep::{Holds, ToolPiece, ToolSolid};

    fn bar(at: [f64; 3], long: [f64; 3]) -> Prism {
        let corners = [(0.0, 0.0), (long[0], 0.0), (long[0], long[2]), (0.0, long[2])];
        let corners = corners.map(|(x, z)| plane::Point::new(at[0] + x, at[2] + z));
        Prism::bar(&corners, at[1], at[1] + long[1]).expect("a bar")
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(300))]
        #[test]
        fn what_is_clear_at_once_never_meets_at_any_angle(
            at in prop::array::uniform3(-60.0..60.0f64),
            from in prop::array::uniform3(-60.0..60.0f64),
            long in prop::array::uniform3(1.0..40.0f64),
            to_rad in 0.1..2.6f64,
            folded in any::<bool>(),
            movers in prop::sample::select(vec![
                (Mover::Ahead, Mover::Behind), (Mover::Ahead, Mover::Still), (Mover::Behind, Mover::Still),
                (Mover::Ahead, Mover::Lower), (Mover::Behind, Mover::Lower),
            ]),
            half_opening_mm in 4.0..20.0f64,
        ) {
            let action = if folded {
                Action::Swing { last_rad: to_rad }
            } else {
                Action::Rise { half_opening_mm, shoulder_mm: 1.5 }
            };
            let motion = Motion { action, radius_mm: 2.4, neutral_mm: 3.2, thickness_mm: 2.0 };
            let (a, b) = (bar(at, long), bar(from, [30.0, 20.0, 3.0]));
            let sector = |prism: &Prism, mover| {
                Sector::of(prism.corners(), motion.radius_mm).swept(&motion, mover, 0.0, to_rad)
            };
            // What is the machine's is held as the search holds it, the die with all its way up.
            let of_machine = |prism: &Prism, mover| {
                let tool = ToolPiece { solid: ToolSolid::Die, prism: prism.clone(), mover, holds: Holds::Nothing };
                of_tool(&motion, &tool, 0.0, to_rad)
            };
            let against = if movers.1 == Mover::Behind {
                sector(&b, movers.1)
            } else {
                of_machine(&b, movers.1)
            };
            if sector(&a, movers.0).is_clear_of(&against) {
                for i in 0..=60 {
                    let at_rad = to_rad * f64::from(i) / 60.0;
                    let met = crate::sweep::gap_at(&motion, (&a, movers.0), (&b, movers.1), at_rad);
                    prop_assert!(met > -1e-9, "{met} at {at_rad}");
                }
            }
            // Turned round, all of it is the same seen from behind.
            let round = |prism: &Prism| {
                let about = nalgebra::UnitQuaternion::from_axis_angle(&Vector3::z_axis(), PI);
                prism.moved(&nalgebra::Isometry3::from_parts(Default::default(), about))
            };
            let (there, back) = (Sector::of(a.corners(), 2.4), Sector::of(round(&a).corners(), 2.4));
            let back = back.turned_round();
            let same = |a: f64, b: f64| (a - b).abs() < 1e-9;
            prop_assert!(same(there.near_mm, back.near_mm) && same(there.far_mm, back.far_mm));
            prop_assert!(same(there.half_rad, back.half_rad));
            prop_assert!((0..2).all(|end| same(there.along_mm[end], back.along_mm[end])), "{there:?} {back:?}");
            // What stands all round has no middle to speak of.
            let off_rad = (there.middle_rad - back.middle_rad).rem_euclid(TAU);
            prop_assert!(there.half_rad >= PI || off_rad.min(TAU - off_rad) < 1e-9, "{there:?} {back:?}");
            prop_assert!(gap(&a, &a).mm < 0.0);
        }
    }
}
