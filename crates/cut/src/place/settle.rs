//! Parts slid toward the zero corner until they touch their distances: what the grid has left between is taken up.

use plane::Vector;

use super::gap::{between_mm, boxes_mm, on_sheet_mm};
use super::job::{Frame, Gaps, Sheet};
use super::layout::Placed;

/// A slide is found to this.
const TO_MM: f64 = 1e-3;
/// Rounds of slides: later ones take up what earlier ones have opened.
const ROUNDS: usize = 3;

/// Slides each part by at most `most_mm` a time along either axis. All distances are kept before and after.
pub(super) fn settle(placed: &mut [Placed], sheet: &Sheet, gaps: &Gaps, frame: &Frame, most_mm: f64) {
    let mut order: Vec<usize> = (0..placed.len()).collect();
    for _ in 0..ROUNDS {
        // The nearest to the corner first, so that each slides against what has settled.
        let far = |placed: &Placed| frame.seen(placed.region.centroid()).coords.sum();
        order.sort_by(|a, b| far(&placed[*a]).total_cmp(&far(&placed[*b])).then(a.cmp(b)));
        let mut moved = false;
        for &one in &order {
            for axis in [Vector::new(0.0, -1.0), Vector::new(-1.0, 0.0)] {
                let way = frame.turned(axis);
                let by_mm = slide_mm(placed, one, way, sheet, gaps, most_mm);
                if by_mm > TO_MM {
                    placed[one] = placed[one].moved(way * by_mm);
                    moved = true;
                }
            }
        }
        if !moved {
            break;
        }
    }
}

/// How far one part can slide along a direction to a place where it keeps its distances.
fn slide_mm(placed: &[Placed], one: usize, way: Vector, sheet: &Sheet, gaps: &Gaps, most_mm: f64) -> f64 {
    let keeps = |by_mm: f64| keeps(placed, one, &placed[one].moved(way * by_mm), sheet, gaps);
    if keeps(most_mm) {
        return most_mm;
    }
    let (mut good, mut bad) = (0.0, most_mm);
    while bad - good > TO_MM {
        let middle = (good + bad) / 2.0;
        if keeps(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    good
}

/// Whether a part keeps its distances at a place, the others as they lie.
pub(super) fn keeps(placed: &[Placed], one: usize, there: &Placed, sheet: &Sheet, gaps: &Gaps) -> bool {
    let bounds = there.region.bounds();
    let clear_of_parts = placed.iter().enumerate().all(|(other, lies)| {
        other == one
            || boxes_mm(bounds, lies.region.bounds()) > gaps.parts_mm
            || clear(between_mm(&there.region, &lies.region), gaps.parts_mm)
    });
    clear_of_parts
        && on_sheet_mm(&there.region, &sheet.region).is_some_and(|apart_mm| clear(apart_mm, gaps.edge_mm))
        && sheet.clamps.iter().all(|clamp| {
            let clamp = plane::Region::solid(clamp.clone());
            boxes_mm(bounds, clamp.bounds()) > gaps.clamps_mm
                || clear(between_mm(&there.region, &clamp), gaps.clamps_mm)
        })
}

/// A distance that is met exactly may be missed by this for rounding, mm.
const ROUNDING_MM: f64 = 1e-7;

fn clear(apart_mm: f64, least_mm: f64) -> bool {
    apart_mm > 0.0 && apart_mm >= least_mm - ROUNDING_MM
}
