//! What would make a start possible where none is.

use plane::{Outline, Point};

use super::legal::Bounds;
use super::places::Place;
use super::shape::{lengths, shortened};
use super::{Conditions, Contour, Fits, Why};
use crate::kerf::Edge;

/// A hole to start in is so many kerfs wide, where there is room: the jet must not light on its edge. Common practice,
/// no source.
const START_HOLE_KERFS: f64 = 1.5;
/// How closely the widest place of an opening is worked out, as a share of its size.
const WIDEST_SHARE: f64 = 0.01;

pub(super) fn fits(
    contour: &Contour<'_>,
    conditions: &Conditions<'_>,
    bounds: &Bounds<'_>,
    places: &[Place],
) -> Vec<Fits> {
    let mut fits = Vec::new();
    fits.extend(other_start(contour, conditions, bounds, places));
    fits.extend(shorter_lead(conditions, bounds, places));
    match contour.of {
        Edge::Outline => fits.push(Fits::Room {
            apart_mm: 2.0 * bounds.pierce_mm(),
        }),
        Edge::Opening(_) => {
            if let Some((at, dia_mm)) = contour.edge.as_circle() {
                fits.push(Fits::DrillHole { at, dia_mm });
            } else if let Some((at, across_mm)) = widest(contour.edge) {
                fits.push(Fits::DrillStart {
                    at,
                    dia_mm: (START_HOLE_KERFS * conditions.kerf_mm).min(across_mm),
                });
            }
        }
    }
    fits
}

/// A start on a stretch where none may be.
fn other_start(
    contour: &Contour<'_>,
    conditions: &Conditions<'_>,
    bounds: &Bounds<'_>,
    places: &[Place],
) -> Option<Fits> {
    let lengths = lengths(conditions);
    let barred = places.iter().filter(|place| !place.cost.is_finite());
    lengths.iter().find_map(|length_mm| {
        let place = barred
            .clone()
            .find(|place| bounds.lead_to(place, *length_mm).is_some())?;
        let on_part = contour.edge.distance_to(place.at).1;
        let stretch = conditions
            .avoid
            .iter()
            .find(|avoid| avoid.holds(on_part) && !avoid.weight.is_finite());
        Some(Fits::OtherStart {
            at: place.at,
            length_mm: *length_mm,
            why: stretch.map_or(Why::Wanted, |stretch| stretch.why),
        })
    })
}

/// The longest lead that fits, where even the least does not.
fn shorter_lead(conditions: &Conditions<'_>, bounds: &Bounds<'_>, places: &[Place]) -> Option<Fits> {
    // Nearer than this the pierce spoils the part whatever the lead.
    let nearest_mm = bounds.pierce_mm() - conditions.kerf_mm / 2.0;
    let least_mm = conditions.leads.least_mm;
    if nearest_mm >= least_mm {
        return None;
    }
    /// A lead as short as this share of the least is none.
    const HARDLY_A_LEAD: f64 = 0.1;
    let open = places.iter().filter(|place| place.cost.is_finite());
    shortened(least_mm, nearest_mm.max(HARDLY_A_LEAD * least_mm))
        .into_iter()
        .find_map(|length_mm| {
            open.clone()
                .find(|place| bounds.lead_to(place, length_mm).is_some())
                .map(|place| Fits::ShorterLead {
                    at: place.at,
                    length_mm,
                })
        })
}

/// The widest place of an opening, and the diameter of the circle that goes in there, mm.
fn widest(edge: &Outline) -> Option<(Point, f64)> {
    let (low, high) = edge.bounds();
    let (mut fits_mm, mut fails_mm) = (0.0, (high.x - low.x).min(high.y - low.y) / 2.0);
    let step_mm = WIDEST_SHARE * fails_mm;
    let mut at = edge.centroid();
    while fails_mm - fits_mm > step_mm {
        let middle_mm = (fits_mm + fails_mm) / 2.0;
        match edge.inset(middle_mm).ok()?.first() {
            Some(core) => {
                at = core.centroid();
                fits_mm = middle_mm;
            }
            None => fails_mm = middle_mm,
        }
    }
    (fits_mm > 0.0).then_some((at, 2.0 * fits_mm))
}
