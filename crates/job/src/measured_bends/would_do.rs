//! What would make holes land that do not.

use std::f64::consts::PI;

use brake::measured::{Freedom, Landing, Left, MeasuredBend, Resolved, resolve};
use units::{both, deg};

use super::{MeasuredBendsError, Read};
use crate::stages::bending::Bending;

/// How far the rest may go once what does not show is not enough: about the twelve degrees and six millimetres that a bend can be off
/// and its tools still make it, and its legs still lie on the die. It will show. Common practice, no source.
const WIDE: Freedom = Freedom {
    angle_rad: 0.21,
    place_mm: 6.0,
};
/// An angle this near the drawn one is the drawn one, rad: what rounding leaves.
const SAME_ANGLE_RAD: f64 = 1e-6;

/// What would make them land, each tried.
pub(super) fn would_do(
    bending: &Bending,
    left: &Left,
    read: &[Read],
    made: &[MeasuredBend],
    holes: &[Landing],
    found: &Resolved,
) -> Result<Vec<String>, MeasuredBendsError> {
    let work = &bending.work;
    let mut ways = Vec::new();
    for one in read {
        let again: Vec<MeasuredBend> = made
            .iter()
            .map(|bend| MeasuredBend {
                bent_rad: if one.bends.iter().any(|own| own.line == bend.line) {
                    None
                } else {
                    bend.bent_rad
                },
                ..*bend
            })
            .collect();
        let [drawn, is] = one.told.bent_deg.map(|deg| deg.0.to_radians());
        if (drawn - is).abs() <= SAME_ANGLE_RAD
            || !resolve(work, &again, holes, &Freedom::default(), left)?.all_land()
        {
            continue;
        }
        let bend = &one.told.bend;
        let (by, to) = (
            deg((drawn - is).abs()),
            format!("{} ({} between the legs)", deg(drawn), deg(PI - drawn)),
        );
        ways.push(if drawn > is {
            format!("bend {bend} on by {by}, to {to}; then the rest lands")
        } else {
            format!(
                "begin the part anew, {bend} bent to {to}: it is {by} too far, and to bend it back cracks it"
            )
        });
    }
    let wide = resolve(work, made, holes, &WIDE, left)?;
    if !wide.bends.is_empty() && wide.all_land() {
        let bends: Vec<String> = wide
            .bends
            .iter()
            .map(|bend| {
                let line = &work.lines[bend.line];
                let place = format!(
                    ", its line {} {} \"{}\"",
                    both(bend.place_mm.abs()),
                    if bend.place_mm >= 0.0 {
                        "toward"
                    } else {
                        "away from"
                    },
                    work.panels[line.moving]
                );
                format!(
                    "{} to {} ({} between the legs){}",
                    line.name,
                    deg(bend.bent_rad),
                    deg(PI - bend.bent_rad),
                    // One that is begun stays where it is.
                    if left.begun.contains(&bend.line) {
                        ""
                    } else {
                        &place
                    }
                )
            })
            .collect();
        ways.push(format!(
            "bend the rest further off than looks right: {}",
            bends.join("; ")
        ));
    }
    for hole in found.lands.iter().filter(|hole| hole.off_mm > hole.allowed_mm) {
        ways.push(format!(
            "drill {} to the equipment after bending, or open it by {}",
            hole.name,
            both(2.0 * (hole.off_mm - hole.allowed_mm))
        ));
    }
    Ok(ways)
}
