//! The figures of a mock-up, before any geometry.

use std::f64::consts::PI;

use plane::SAME_POINT_MM;

use crate::error::{BendFault, SheetError};
use crate::part::{Crease, Mockup, Relief};

/// Every figure must lie in its range; what is not a number lies in none.
pub(crate) fn check_figures(mockup: &Mockup, thickness_mm: f64) -> Result<(), SheetError> {
    if !(thickness_mm > 0.0 && thickness_mm.is_finite()) {
        return Err(SheetError::Thickness { thickness_mm });
    }
    if !(mockup.card_mm >= 0.0 && mockup.card_mm.is_finite()) {
        return Err(SheetError::Card {
            card_mm: mockup.card_mm,
        });
    }
    for crease in &mockup.creases {
        check_crease(crease).map_err(|fault| SheetError::BadBend {
            bend: crease.name.clone(),
            fault,
        })?;
    }
    Ok(())
}

fn check_crease(crease: &Crease) -> Result<(), BendFault> {
    let Crease {
        bent_rad,
        radius_mm,
        neutral_share,
        ..
    } = *crease;
    let length_mm = (crease.to - crease.from).norm();
    if !(length_mm > SAME_POINT_MM && length_mm.is_finite()) {
        return Err(BendFault::NoLength);
    }
    if !(bent_rad > 0.0 && bent_rad < PI) {
        return Err(BendFault::Angle { bent_rad });
    }
    if !(radius_mm >= 0.0 && radius_mm.is_finite()) {
        return Err(BendFault::Radius { radius_mm });
    }
    if !(0.0..=1.0).contains(&neutral_share) {
        return Err(BendFault::NeutralShare { neutral_share });
    }
    let (width_mm, past_mm) = match crease.relief {
        Relief::Auto { least_width_mm } => (least_width_mm, 0.0),
        Relief::Slot { width_mm, past_mm } => (width_mm, past_mm),
        Relief::None => (0.0, 0.0),
    };
    let sized = |mm: f64| mm >= 0.0 && mm.is_finite();
    if sized(width_mm) && sized(past_mm) {
        Ok(())
    } else {
        Err(BendFault::Relief { width_mm, past_mm })
    }
}
