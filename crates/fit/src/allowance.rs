//! How far a hole's centre may stand off its mount before the bolt no longer goes in.

use nalgebra::{Unit, Vector3};
use thiserror::Error;

use crate::HoleShape;

/// A slot's free run: how far the bolt may slide from its middle, either way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slide {
    /// Direction in equipment axes, across the mount's axis.
    pub along: Unit<Vector3<f64>>,
    /// From the middle to either end: (length - width) / 2.
    pub half_run_mm: f64,
}

/// The play of a bolt: the offsets of the hole's centre from the mount's axis at which it still goes in.
///
/// The free offsets are a round patch, drawn out along the slots (a slot has round ends, so its patch has round ends
/// too). An offset's ratio is the factor by which that patch must grow to touch it: 1 on its edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowance {
    /// Play in every direction, above 0.
    pub round_mm: f64,
    /// A slot in the equipment.
    pub mount_slot: Option<Slide>,
    /// Half the run of a slot in the part, along that hole's own length and turning with the part; 0 for a round hole.
    pub hole_half_run_mm: f64,
}

impl Allowance {
    /// Play that is the same in every direction.
    pub fn round(round_mm: f64) -> Self {
        Self {
            round_mm,
            mount_slot: None,
            hole_half_run_mm: 0.0,
        }
    }

    /// Play of a slot in the equipment: `along_mm` in the direction of its length, `across_mm` across it, each from the
    /// middle. When `along_mm` is the smaller there is no slot and the play is `along_mm` all round.
    pub fn slot(along: Unit<Vector3<f64>>, along_mm: f64, across_mm: f64) -> Self {
        let run = along_mm - across_mm;
        if run > 0.0 {
            Self {
                round_mm: across_mm,
                mount_slot: Some(Slide {
                    along,
                    half_run_mm: run,
                }),
                hole_half_run_mm: 0.0,
            }
        } else {
            Self::round(along_mm)
        }
    }
}

/// What the bolt goes into on the equipment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MountHole {
    /// Tapped: the bolt stands where the thread is.
    Tapped,
    /// A through hole: the bolt may move in it too.
    Through {
        /// Its diameter.
        dia_mm: f64,
    },
    /// A slot with round ends.
    Slot {
        /// Direction of its length, in equipment axes.
        along: Unit<Vector3<f64>>,
        /// From end to end, round ends included.
        length_mm: f64,
        /// Across.
        width_mm: f64,
    },
}

/// Why there is no play to reckon with.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum AllowanceError {
    /// The bolt is thicker than a hole it must go through.
    #[error("a bolt of {bolt_mm:.2} mm does not pass a hole of {hole_mm:.2} mm")]
    BoltDoesNotPass {
        /// Diameter of the hole, or width of the slot.
        hole_mm: f64,
        /// Diameter of the bolt.
        bolt_mm: f64,
    },
    /// The bolt fills every hole it goes through: nothing may be off, and no part is made that well.
    #[error("a bolt of {bolt_mm:.2} mm fills its hole of {hole_mm:.2} mm and leaves no play at all")]
    NoPlay {
        /// Diameter of the part's hole, or width of its slot.
        hole_mm: f64,
        /// Diameter of the bolt.
        bolt_mm: f64,
    },
    /// A slot that is shorter than it is wide.
    #[error("a slot of {length_mm:.2} mm by {width_mm:.2} mm is shorter than it is wide")]
    SlotShorterThanWide {
        /// From end to end.
        length_mm: f64,
        /// Across.
        width_mm: f64,
    },
    /// A size is not a number, or not above 0.
    #[error("{mm} mm is not a size")]
    NotASize {
        /// What was given.
        mm: f64,
    },
}

/// The play of a bolt of `bolt_mm` through a hole of the part into a mount.
///
/// Round into tapped: (hole - bolt) / 2. A through hole adds (its diameter - bolt) / 2, for the bolt may lean to the
/// one side in it and the plate to the other. A slot adds half its width less the bolt in every direction, and
/// (length - width) / 2 along itself. Geometry, no source needed.
///
/// An 8.5 mm hole on a 5/16 in bolt (7.94 mm) in a tapped hole may be 0.28 mm off; with an 8.5 mm through hole behind
/// it, 0.56 mm.
pub fn allowance(hole: &HoleShape, bolt_mm: f64, mount: &MountHole) -> Result<Allowance, AllowanceError> {
    let bolt_mm = size(bolt_mm)?;
    let (hole_mm, hole_half_run_mm) = match *hole {
        HoleShape::Round { dia_mm } => (size(dia_mm)?, 0.0),
        HoleShape::Slot {
            length_mm, width_mm, ..
        } => slot(length_mm, width_mm)?,
    };
    let (behind_mm, mount_slot) = match *mount {
        MountHole::Tapped => (bolt_mm, None),
        MountHole::Through { dia_mm } => (size(dia_mm)?, None),
        MountHole::Slot {
            along,
            length_mm,
            width_mm,
        } => {
            let (width_mm, half_run_mm) = slot(length_mm, width_mm)?;
            (
                width_mm,
                (half_run_mm > 0.0).then_some(Slide { along, half_run_mm }),
            )
        }
    };
    for hole_mm in [hole_mm, behind_mm] {
        if hole_mm < bolt_mm {
            return Err(AllowanceError::BoltDoesNotPass { hole_mm, bolt_mm });
        }
    }
    let round_mm = (hole_mm - bolt_mm) / 2.0 + (behind_mm - bolt_mm) / 2.0;
    if round_mm <= 0.0 {
        return Err(AllowanceError::NoPlay { hole_mm, bolt_mm });
    }
    Ok(Allowance {
        round_mm,
        mount_slot,
        hole_half_run_mm,
    })
}

fn size(mm: f64) -> Result<f64, AllowanceError> {
    if mm.is_finite() && mm > 0.0 {
        Ok(mm)
    } else {
        Err(AllowanceError::NotASize { mm })
    }
}

/// Width and half run of a slot.
fn slot(length_mm: f64, width_mm: f64) -> Result<(f64, f64), AllowanceError> {
    let (length_mm, width_mm) = (size(length_mm)?, size(width_mm)?);
    if length_mm < width_mm {
        return Err(AllowanceError::SlotShorterThanWide { length_mm, width_mm });
    }
    Ok((width_mm, (length_mm - width_mm) / 2.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tapped_hole_lets_the_plate_move_by_half_the_clearance() {
        let a = allowance(&HoleShape::Round { dia_mm: 6.6 }, 6.0, &MountHole::Tapped).unwrap();
        assert!((a.round_mm - 0.3).abs() < 1e-12);
        assert_eq!((a.mount_slot, a.hole_half_run_mm), (None, 0.0));
    }

    #[test]
    fn a_through_hole_adds_its_own_half_clearance() {
        let through = MountHole::Through { dia_mm: 7.0 };
        let a = allowance(&HoleShape::Round { dia_mm: 6.6 }, 6.0, &through).unwrap();
        assert!((a.round_mm - 0.8).abs() < 1e-12);
    }

    #[test]
    fn slots_add_their_run_along_themselves() {
        let hole = HoleShape::Slot {
            along: Vector3::x_axis(),
            length_mm: 14.0,
            width_mm: 6.6,
        };
        let mount = MountHole::Slot {
            along: Vector3::y_axis(),
            length_mm: 10.0,
            width_mm: 7.0,
        };
        let a = allowance(&hole, 6.0, &mount).unwrap();
        assert!((a.round_mm - 0.8).abs() < 1e-12);
        assert!((a.hole_half_run_mm - 3.7).abs() < 1e-12);
        assert!((a.mount_slot.unwrap().half_run_mm - 1.5).abs() < 1e-12);
    }

    #[test]
    fn a_bolt_that_does_not_pass_is_named_with_its_hole() {
        let hole = HoleShape::Round { dia_mm: 8.0 };
        let too_thick = AllowanceError::BoltDoesNotPass {
            hole_mm: 8.0,
            bolt_mm: 9.525,
        };
        assert_eq!(allowance(&hole, 9.525, &MountHole::Tapped), Err(too_thick));
        let behind = MountHole::Through { dia_mm: 7.0 };
        let too_tight = AllowanceError::BoltDoesNotPass {
            hole_mm: 7.0,
            bolt_mm: 7.5,
        };
        assert_eq!(allowance(&hole, 7.5, &behind), Err(too_tight));
        assert!(matches!(
            allowance(&hole, 8.0, &MountHole::Tapped),
            Err(AllowanceError::NoPlay { .. })
        ));
    }
}
