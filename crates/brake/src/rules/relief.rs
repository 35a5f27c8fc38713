//! Bends that end in the plate with nothing cut free beside them.

use plane::{Point, Vector};
use sheet::{Bend, Part, Strip};

use super::concern::{Breach, Concern, Fix, Weight};
use super::limits::Limits;

/// How far beside a bend's end the plate is looked for: under the narrowest saw cut, over rounding.
const BESIDE_MM: f64 = 0.05;
/// How far past a tangent line a relief must at least reach: a fifth of the way beside, so that an edge that leans less
/// than 78 degrees is not taken for plate beside the bend.
const PAST_TANGENT_MM: f64 = BESIDE_MM / 5.0;
/// Where across the strip its end is looked at.
const ACROSS: [f64; 3] = [0.25, 0.5, 0.75];

/// The ends of a bend that lie against plate. The inner ends of a bend that a window interrupts are among those looked
/// at; they are free when the window is.
pub(super) fn ends(part: &Part, index: usize, limits: &Limits) -> Vec<Concern> {
    let bend = &part.bends[index];
    let mut concerns = Vec::new();
    for strip in &bend.strips {
        for end in [0, 1] {
            let Some(at) = held_at(part, bend, strip, end) else {
                continue;
            };
            let width_mm = limits.relief_width_x_t.value * part.thickness_mm;
            let past_mm = limits.relief_past_x_r.value * bend.radius_mm;
            concerns.push(Concern {
                what: Breach::NoRelief {
                    bend: bend.name.clone(),
                    end,
                },
                at,
                weight: Weight::Care,
                found: 0.0,
                limit: width_mm,
                rests_on: limits.relief_width_x_t.clone(),
                fixes: vec![
                    Fix::DrillRelief {
                        dia_mm: (bend.allowance_mm + 2.0 * past_mm).max(width_mm),
                    },
                    Fix::CutRelief { width_mm, past_mm },
                ],
            });
        }
    }
    concerns
}

/// A point of plate just beside the strip's end, if there is one.
fn held_at(part: &Part, bend: &Bend, strip: &Strip, end: usize) -> Option<Point> {
    let (fixed, moving) = (strip.fixed[end], strip.moving[end]);
    let outward = if end == 0 { -bend.along } else { bend.along };
    let to_moving = Vector::new(-bend.along.y, bend.along.x);
    let past = to_moving * PAST_TANGENT_MM;
    let across = ACROSS.map(|share| fixed + (moving - fixed) * share);
    let looked_at = [across[0], across[1], across[2], fixed - past, moving + past];
    looked_at
        .into_iter()
        .map(|point| point + outward * BESIDE_MM)
        .find(|point| part.blank.region.place_of(*point) == plane::Place::Inside)
}
