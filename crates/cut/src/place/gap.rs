//! How far things are apart, exactly, on lines and arcs.

use plane::{Outline, Place, Region, Vector};

/// The least distance between the material of two regions, mm; 0 when they share any.
pub(super) fn between_mm(a: &Region, b: &Region) -> f64 {
    let first = |region: &Region| region.outer.vertices()[0].at;
    // Where no edges meet, each outer edge lies as a whole in the material of the other or off it.
    if a.place_of(first(b)) != Place::Outside || b.place_of(first(a)) != Place::Outside {
        return 0.0;
    }
    nearest_mm(a.outlines(), b.outlines())
}

/// How far a part stays from every edge of a sheet that it must lie on, mm; none when it does not lie on it.
pub(super) fn on_sheet_mm(part: &Region, sheet: &Region) -> Option<f64> {
    let first = part.outer.vertices()[0].at;
    let on = sheet.place_of(first) == Place::Inside
        && sheet
            .holes
            .iter()
            .all(|hole| part.place_of(hole.vertices()[0].at) == Place::Outside);
    let gap_mm = nearest_mm(part.outlines(), sheet.outlines());
    (on && gap_mm > 0.0).then_some(gap_mm)
}

fn nearest_mm<'a>(a: impl Iterator<Item = &'a Outline>, b: impl Iterator<Item = &'a Outline> + Clone) -> f64 {
    let mut least = f64::INFINITY;
    for one in a {
        for other in b.clone() {
            if boxes_mm(one.bounds(), other.bounds()) < least {
                least = least.min(one.distance_between(other).0);
            }
        }
    }
    least
}

/// The least distance between two boxes, mm.
pub(super) fn boxes_mm(a: (plane::Point, plane::Point), b: (plane::Point, plane::Point)) -> f64 {
    let apart = |low: f64, high: f64, l: f64, h: f64| (l - high).max(low - h).max(0.0);
    Vector::new(
        apart(a.0.x, a.1.x, b.0.x, b.1.x),
        apart(a.0.y, a.1.y, b.0.y, b.1.y),
    )
    .norm()
}
