//! A window as the inset of a panel, with rounded corners.

use thiserror::Error;

use crate::fillet::{Joint, joint};
use crate::offset::OffsetError;
use crate::outline::Outline;
use crate::{Place, SAME_POINT_MM};

/// Why a panel holds no such window.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum WindowError {
    /// The margin leaves nothing of the panel.
    #[error(
        "a margin of {inset_mm:.3} mm leaves no window; the panel holds one up to a margin of {most_mm:.3} mm"
    )]
    Collapsed {
        /// The margin asked for.
        inset_mm: f64,
        /// The margin at which the last of the window goes.
        most_mm: f64,
    },
    /// The corner radius would take away more of the window than its corners.
    #[error(
        "a corner radius of {wanted_mm:.3} mm does not fit the window; the largest that does is {largest_mm:.3} mm"
    )]
    RadiusTooLarge {
        /// The radius asked for.
        wanted_mm: f64,
        /// The largest that fits.
        largest_mm: f64,
    },
    /// The margin or radius is below 0 or not a number.
    #[error("{size_mm} mm is no margin or radius for a window")]
    NoSize {
        /// What was asked.
        size_mm: f64,
    },
    /// The offset itself failed.
    #[error(transparent)]
    Offset(#[from] OffsetError),
}

/// The windows that leave a margin of `inset_mm` inside a panel, every inside corner rounded to at least
/// `corner_radius_mm` (0 leaves them sharp); arcs stay arcs. One as a rule; several, largest first, where the margins
/// meet and part the panel. Each runs the way round of the panel.
///
/// The radius fits when the round stays at its corner: no corner of the sharp window ends up farther from the rounded
/// one than a round of that radius takes it. An edge much shorter than the radius may vanish into the round.
pub fn inset_window(
    panel: &Outline,
    inset_mm: f64,
    corner_radius_mm: f64,
) -> Result<Vec<Outline>, WindowError> {
    for size_mm in [inset_mm, corner_radius_mm] {
        if !(size_mm.is_finite() && size_mm >= 0.0) {
            return Err(WindowError::NoSize { size_mm });
        }
    }
    let sharp = panel.inset(inset_mm)?;
    if sharp.is_empty() {
        let holds = |inset_mm: f64| panel.inset(inset_mm).is_ok_and(|windows| !windows.is_empty());
        return Err(WindowError::Collapsed {
            inset_mm,
            most_mm: largest(inset_mm, holds),
        });
    }
    if corner_radius_mm < SAME_POINT_MM {
        return Ok(sharp);
    }
    match rounded(panel, &sharp, inset_mm, corner_radius_mm)? {
        Some(windows) => Ok(windows),
        None => {
            let fits = |radius_mm: f64| matches!(rounded(panel, &sharp, inset_mm, radius_mm), Ok(Some(_)));
            let largest_mm = largest(corner_radius_mm, fits);
            Err(WindowError::RadiusTooLarge {
                wanted_mm: corner_radius_mm,
                largest_mm,
            })
        }
    }
}

/// In by margin and radius, then out again by the radius: a disc of the radius reaches exactly what is left.
fn rounded(
    panel: &Outline,
    sharp: &[Outline],
    inset_mm: f64,
    radius_mm: f64,
) -> Result<Option<Vec<Outline>>, OffsetError> {
    let mut windows = Vec::new();
    for core in panel.inset(inset_mm + radius_mm)? {
        windows.push(core.offset_to_one(if core.is_counter_clockwise() {
            radius_mm
        } else {
            -radius_mm
        })?);
    }
    windows.sort_by(|a: &Outline, b: &Outline| b.area_mm2().total_cmp(&a.area_mm2()));
    let stays = windows.len() == sharp.len()
        && sharp
            .iter()
            .all(|window| corners_stay(window, &windows, radius_mm));
    Ok(stays.then_some(windows))
}

fn corners_stay(sharp: &Outline, rounded: &[Outline], radius_mm: f64) -> bool {
    /// The offset is good to this, so a corner may lie as much farther off.
    const OFFSET_MM: f64 = 1e-4;
    let edges: Vec<_> = sharp.segments().collect();
    edges.iter().enumerate().all(|(i, leaving)| {
        let arriving = &edges[(i + edges.len() - 1) % edges.len()];
        // A round of r leaves the corner of angle A by r (1 / sin(A/2) - 1). A square corner's share is granted to
        // every corner, so that two blunt ones close together may be rounded as the one they nearly are.
        let half_rad = match joint(arriving, leaving) {
            Joint::Turns(_) => {
                let turn = arriving
                    .tangent_at(1.0)
                    .dot(&leaving.tangent_at(0.0))
                    .clamp(-1.0, 1.0)
                    .acos();
                ((std::f64::consts::PI - turn) / 2.0).min(std::f64::consts::FRAC_PI_4)
            }
            Joint::Smooth | Joint::Cusp => std::f64::consts::FRAC_PI_4,
        };
        let may_leave_mm = radius_mm * (1.0 / half_rad.sin() - 1.0) + OFFSET_MM;
        rounded.iter().any(|window| {
            window.distance_to(leaving.from()).0 <= may_leave_mm
                || window.place_of(leaving.from()) == Place::Inside
        })
    })
}

/// The largest size below one that is too large, given that smaller ones fit.
fn largest(too_large_mm: f64, fits: impl Fn(f64) -> bool) -> f64 {
    /// No shop rounds a window closer than this.
    const NEAR_ENOUGH_MM: f64 = 1e-4;
    let (mut fits_mm, mut over_mm) = (0.0, too_large_mm);
    while over_mm - fits_mm > NEAR_ENOUGH_MM {
        let middle_mm = (fits_mm + over_mm) / 2.0;
        if fits(middle_mm) {
            fits_mm = middle_mm;
        } else {
            over_mm = middle_mm;
        }
    }
    fits_mm
}
