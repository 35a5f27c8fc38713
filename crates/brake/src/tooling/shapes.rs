//! Common sections of punches, dies and fingers by a few numbers, for tools that nobody has drawn. Proportions where they
//! are not asked for: common practice, no source.

use plane::{Outline, OutlineError, Point};

/// Where a section widens to its seat it does so at this angle, rad: no tool goes out flatter, so that the shape holds
/// the tool.
const WIDENS_RAD: f64 = std::f64::consts::FRAC_PI_4;

/// Why numbers make no section.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ShapeFault {
    /// The nose is rounder than the blade is thick.
    #[error("a nose of radius {nose_mm:.2} mm does not go on a blade of {blade_mm:.2} mm")]
    NoseTooRound {
        /// Radius, mm.
        nose_mm: f64,
        /// Thickness of what carries it, mm.
        blade_mm: f64,
    },
    /// The parts one above the other are higher than the whole.
    #[error(
        "nose, blade and seat take {needs_mm:.1} mm one above the other, and the tool is {has_mm:.1} mm high"
    )]
    TooLow {
        /// What they take, mm.
        needs_mm: f64,
        /// The height, mm.
        has_mm: f64,
    },
    /// A finger whose front leans past the end of its foot.
    #[error("its front leans back by {back_mm:.1} mm, and its foot is {foot_mm:.1} mm")]
    LeansTooFar {
        /// At its top, mm.
        back_mm: f64,
        /// The foot, mm.
        foot_mm: f64,
    },
    /// What is left is no closed shape.
    #[error("these numbers make no closed section: {0}")]
    NoOutline(#[from] OutlineError),
}

/// The nose of a punch: two flanks and a round between them, lowest at 0, 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nose {
    /// Between the flanks, rad.
    pub angle_rad: f64,
    /// Of the round, mm; 0 for an edge.
    pub radius_mm: f64,
}

impl Nose {
    /// Where a flank leaves the round: to the side and up, mm.
    fn flank_from(self) -> (f64, f64) {
        let half = self.angle_rad / 2.0;
        (self.radius_mm * half.cos(), self.radius_mm * (1.0 - half.sin()))
    }

    /// How high a flank is so far to the side, mm.
    fn up_at_mm(self, aside_mm: f64) -> f64 {
        let (from_mm, up_mm) = self.flank_from();
        up_mm + (aside_mm - from_mm) / (self.angle_rad / 2.0).tan()
    }

    /// How far to the side a flank is so high up, mm.
    fn aside_at_mm(self, up_mm: f64) -> f64 {
        let (aside_mm, from_mm) = self.flank_from();
        aside_mm + (up_mm - from_mm) * (self.angle_rad / 2.0).tan()
    }
}

/// A punch that stands straight above its nose and widens to its seat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StraightPunch {
    /// The nose.
    pub nose: Nose,
    /// From nose to seat, mm.
    pub height_mm: f64,
    /// Thickness of the blade over the nose, mm.
    pub blade_mm: f64,
    /// The blade is so thin up to this height, mm.
    pub blade_up_to_mm: f64,
    /// Thickness at the seat, mm.
    pub seat_mm: f64,
}

impl StraightPunch {
    /// Its section, nose at 0, 0, upward.
    ///
    /// # Errors
    /// [`ShapeFault`]: numbers that do not go together.
    pub fn section(&self) -> Result<Outline, ShapeFault> {
        let (aside_mm, up_mm) = self.nose.flank_from();
        let (blade_mm, seat_mm) = (self.blade_mm / 2.0, self.seat_mm / 2.0);
        if aside_mm > blade_mm {
            return Err(ShapeFault::NoseTooRound {
                nose_mm: self.nose.radius_mm,
                blade_mm: self.blade_mm,
            });
        }
        let flank_mm = self.nose.up_at_mm(blade_mm);
        let neck_mm = self.blade_up_to_mm.max(flank_mm);
        let shoulder_mm = neck_mm + (seat_mm - blade_mm).abs() / WIDENS_RAD.tan();
        // A blade that is no thinner than its seat goes all the way up.
        let top_mm = if seat_mm == blade_mm {
            flank_mm
        } else {
            shoulder_mm
        };
        if top_mm > self.height_mm {
            return Err(ShapeFault::TooLow {
                needs_mm: top_mm,
                has_mm: self.height_mm,
            });
        }
        let right = [
            (aside_mm, up_mm),
            (blade_mm, flank_mm),
            (blade_mm, neck_mm),
            (seat_mm, shoulder_mm),
            (seat_mm, self.height_mm),
        ];
        let left = right.iter().rev().map(|(x, y)| (-x, *y));
        closed(std::iter::once((0.0, 0.0)).chain(right).chain(left))
    }
}

/// A punch whose nose stands on a neck that leans to the back and comes forward again under its seat, so that a leg which
/// is already up has room in front of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RelievedPunch {
    /// The nose.
    pub nose: Nose,
    /// From nose to seat, mm.
    pub height_mm: f64,
    /// Thickness at the seat, mm, half of it on each side of the nose.
    pub seat_mm: f64,
    /// How far the front of the neck stands behind the nose, mm.
    pub set_back_mm: f64,
    /// Thickness of the neck, mm.
    pub neck_mm: f64,
    /// The neck is set back between these heights, mm.
    pub hollow_mm: [f64; 2],
    /// The seat is whole down to so far under the top, mm.
    pub seat_high_mm: f64,
}

/// The flanks of a relieved punch reach so high in front before the neck begins, mm.
const TIP_MM: f64 = 3.0;

impl RelievedPunch {
    /// Its section, nose at 0, 0, upward; relieved toward the person.
    ///
    /// # Errors
    /// [`ShapeFault`]: numbers that do not go together.
    pub fn section(&self) -> Result<Outline, ShapeFault> {
        let (aside_mm, up_mm) = self.nose.flank_from();
        let seat_mm = self.seat_mm / 2.0;
        let tip_mm = TIP_MM.max(up_mm);
        let behind_mm = self.set_back_mm + self.neck_mm;
        if aside_mm > behind_mm {
            return Err(ShapeFault::NoseTooRound {
                nose_mm: self.nose.radius_mm,
                blade_mm: behind_mm,
            });
        }
        let [low_mm, high_mm] = self.hollow_mm;
        let under_seat_mm = self.height_mm - self.seat_high_mm;
        let flank_x_mm = self.set_back_mm.max(self.nose.aside_at_mm(tip_mm)).min(behind_mm);
        let flank_mm = self.nose.up_at_mm(flank_x_mm).max(tip_mm);
        // From the flank the back goes out at the widening angle to the back of the neck.
        let neck_mm = flank_mm + (behind_mm - flank_x_mm) / WIDENS_RAD.tan();
        for (needs_mm, has_mm) in [
            (tip_mm, low_mm),
            (low_mm, high_mm),
            (high_mm, under_seat_mm),
            (neck_mm, under_seat_mm),
        ] {
            if needs_mm > has_mm {
                return Err(ShapeFault::TooLow {
                    needs_mm: self.height_mm + needs_mm - has_mm,
                    has_mm: self.height_mm,
                });
            }
        }
        let corners = [
            (0.0, 0.0),
            (aside_mm, up_mm),
            (flank_x_mm, flank_mm),
            (behind_mm, neck_mm),
            (behind_mm, high_mm.max(neck_mm)),
            (seat_mm, under_seat_mm),
            (seat_mm, self.height_mm),
            (-seat_mm, self.height_mm),
            (-seat_mm, under_seat_mm),
            (self.set_back_mm, high_mm),
            (self.set_back_mm, low_mm),
            (-self.nose.aside_at_mm(tip_mm), tip_mm),
            (-aside_mm, up_mm),
        ];
        closed(corners.into_iter())
    }
}

/// The finger of a folder that leans back from its nose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeaningFinger {
    /// How much of its foot lies on the plate, mm.
    pub foot_mm: f64,
    /// From the plate to the beam, mm.
    pub high_mm: f64,
    /// How far its front leans back from upright, rad.
    pub lean_rad: f64,
}

impl LeaningFinger {
    /// Its section, nose at 0, 0.
    ///
    /// # Errors
    /// [`ShapeFault`]: a front that leans past the end of the foot.
    pub fn section(&self) -> Result<Outline, ShapeFault> {
        let back_mm = self.high_mm * self.lean_rad.tan();
        if !(0.0..self.foot_mm).contains(&back_mm) {
            return Err(ShapeFault::LeansTooFar {
                back_mm,
                foot_mm: self.foot_mm,
            });
        }
        let corners = [
            (0.0, 0.0),
            (self.foot_mm, 0.0),
            (self.foot_mm, self.high_mm),
            (back_mm, self.high_mm),
        ];
        closed(corners.into_iter())
    }
}

/// A die that is a plain bar: as wide as it is said, top at y = 0.
///
/// # Errors
/// [`ShapeFault`]: no size.
pub fn plain_die(width_mm: f64, height_mm: f64) -> Result<Outline, ShapeFault> {
    let half_mm = width_mm / 2.0;
    let corners = [
        (-half_mm, 0.0),
        (-half_mm, -height_mm),
        (half_mm, -height_mm),
        (half_mm, 0.0),
    ];
    closed(corners.into_iter())
}

/// The corners as an outline, each once.
fn closed(corners: impl Iterator<Item = (f64, f64)>) -> Result<Outline, ShapeFault> {
    /// Corners nearer than this are one.
    const SAME_MM: f64 = 1e-6;
    let mut points: Vec<Point> = corners.map(|(x, y)| Point::new(x, y)).collect();
    points.dedup_by(|a, b| (*a - *b).norm() < SAME_MM);
    Ok(Outline::polygon(&points)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn straight() -> StraightPunch {
        StraightPunch {
            nose: Nose {
                angle_rad: 85f64.to_radians(),
                radius_mm: 1.0,
            },
            height_mm: 100.0,
            blade_mm: 11.0,
            blade_up_to_mm: 60.0,
            seat_mm: 26.0,
        }
    }

    #[test]
    fn a_straight_punch_stands_from_its_nose_to_its_seat() {
        let section = straight().section().expect("sound numbers");
        let (low, high) = section.bounds();
        assert_eq!((low.x, low.y), (-13.0, 0.0));
        assert_eq!((high.x, high.y), (13.0, 100.0));
        assert!(section.distance_to(Point::origin()).0 < 1e-9);
        // In the blade, not beside it.
        assert!(section.contains(Point::new(5.4, 30.0)));
        assert!(!section.contains(Point::new(5.6, 30.0)));
    }

    #[test]
    fn the_flanks_are_as_far_apart_as_the_nose_says() {
        let nose = Nose {
            angle_rad: 60f64.to_radians(),
            radius_mm: 2.0,
        };
        let rise_mm = nose.up_at_mm(8.0) - nose.up_at_mm(7.0);
        assert!((rise_mm - 1.0 / 30f64.to_radians().tan()).abs() < 1e-12);
        assert!((nose.aside_at_mm(nose.up_at_mm(8.0)) - 8.0).abs() < 1e-12);
        // The round touches 0, 0: its middle is one radius up, and the flank leaves it square to the radius.
        let (aside_mm, up_mm) = nose.flank_from();
        assert!((aside_mm.hypot(up_mm - 2.0) - 2.0).abs() < 1e-12);
    }

    #[test]
    fn a_blade_as_thick_as_its_seat_needs_no_shoulder() {
        let acute = StraightPunch {
            nose: Nose {
                angle_rad: 28.5f64.to_radians(),
                radius_mm: 1.0,
            },
            blade_mm: 26.0,
            blade_up_to_mm: 0.0,
            ..straight()
        };
        let section = acute.section().expect("sound numbers");
        assert!(section.contains(Point::new(12.9, 60.0)));
        assert!(!section.contains(Point::new(12.9, 40.0)));
    }

    #[test]
    fn a_blade_thinner_than_its_nose_is_refused() {
        let thin = StraightPunch {
            blade_mm: 1.0,
            ..straight()
        };
        assert!(matches!(thin.section(), Err(ShapeFault::NoseTooRound { .. })));
        let low = StraightPunch {
            height_mm: 50.0,
            ..straight()
        };
        assert!(matches!(low.section(), Err(ShapeFault::TooLow { .. })));
    }

    #[test]
    fn a_relieved_punch_leaves_room_in_front() {
        let punch = RelievedPunch {
            nose: Nose {
                angle_rad: 80f64.to_radians(),
                radius_mm: 0.8,
            },
            height_mm: 100.0,
            seat_mm: 26.0,
            set_back_mm: 12.0,
            neck_mm: 26.0,
            hollow_mm: [44.0, 62.0],
            seat_high_mm: 14.0,
        };
        let section = punch.section().expect("sound numbers");
        assert!(!section.contains(Point::new(11.0, 50.0)));
        assert!(section.contains(Point::new(13.0, 50.0)));
        assert!(section.contains(Point::new(-12.0, 95.0)));
        assert_eq!(section.bounds().1.y, 100.0);
        let hollow_over_the_seat = RelievedPunch {
            hollow_mm: [44.0, 92.0],
            ..punch
        };
        assert!(matches!(
            hollow_over_the_seat.section(),
            Err(ShapeFault::TooLow { .. })
        ));
    }

    #[test]
    fn a_finger_leans_over_its_foot() {
        let finger = LeaningFinger {
            foot_mm: 90.0,
            high_mm: 100.0,
            lean_rad: 34f64.to_radians(),
        };
        let section = finger.section().expect("sound numbers");
        assert!(section.contains(Point::new(80.0, 90.0)) && !section.contains(Point::new(20.0, 60.0)));
        let flat = LeaningFinger {
            lean_rad: 60f64.to_radians(),
            ..finger
        };
        assert!(matches!(flat.section(), Err(ShapeFault::LeansTooFar { .. })));
    }
}
