//! The bend's own shape: inside radius and angle.

use plane::Point;
use sheet::{Bend, Part};

use super::concern::{Breach, Concern, Fix, Weight};
use super::limits::Limits;

/// A radius short of its least by less than this is met: no radius gauge tells them apart.
const SAME_RADIUS_MM: f64 = 0.005;
/// An angle past its most by less than this is met: a hundredth of a degree.
const SAME_ANGLE_RAD: f64 = 1.7e-4;

/// The middle of the bend on the blank.
pub(super) fn middle_of(bend: &Bend) -> Point {
    match (bend.strips.first(), bend.strips.last()) {
        (Some(first), Some(last)) => {
            let ends = [first.fixed[0], first.moving[0], last.fixed[1], last.moving[1]];
            Point::from(ends.iter().map(|p| p.coords).sum::<plane::Vector>() / 4.0)
        }
        _ => Point::origin(),
    }
}

pub(super) fn radius(part: &Part, index: usize, limits: &Limits) -> Option<Concern> {
    let bend = &part.bends[index];
    let least = limits.least_radius_mm.as_ref().ok()?;
    if bend.radius_mm >= least.value - SAME_RADIUS_MM {
        return None;
    }
    let mut fixes = vec![Fix::Radius {
        radius_mm: least.value,
    }];
    // The softest metal is not the nearest one: offer the least change, the hardest that still takes the radius.
    let takes_it = limits
        .softer
        .iter()
        .rev()
        .find(|other| other.least_radius_mm <= bend.radius_mm + SAME_RADIUS_MM);
    if let Some(other) = takes_it {
        fixes.push(Fix::Metal {
            name: other.name.clone(),
            least_radius_mm: other.least_radius_mm,
        });
    }
    // Least radii per thickness never grow as the plate gets thinner, so this share of the thickness is enough.
    fixes.push(Fix::Thinner {
        at_most_mm: part.thickness_mm * bend.radius_mm / least.value,
    });
    Some(Concern {
        what: Breach::TightRadius {
            bend: bend.name.clone(),
        },
        at: middle_of(bend),
        weight: Weight::Stop,
        found: bend.radius_mm,
        limit: least.value,
        rests_on: least.clone(),
        fixes,
    })
}

pub(super) fn angle(part: &Part, index: usize, limits: &Limits) -> Option<Concern> {
    let bend = &part.bends[index];
    let most = &limits.largest_bend_rad;
    if bend.bent_rad <= most.value + SAME_ANGLE_RAD {
        return None;
    }
    Some(Concern {
        what: Breach::BentTooFar {
            bend: bend.name.clone(),
        },
        at: middle_of(bend),
        weight: Weight::Stop,
        found: bend.bent_rad,
        limit: most.value,
        rests_on: most.clone(),
        fixes: vec![
            Fix::BendLess { to_rad: most.value },
            Fix::TwoBends {
                each_rad: bend.bent_rad / 2.0,
            },
        ],
    })
}
