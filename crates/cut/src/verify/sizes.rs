//! What comes off the table: round holes by place and diameter, edges by their kerf, areas by the whole chain.
//!
//! The area on one side of a closed path at half a kerf is worked from its area, its length and its turns (Steiner's
//! formula, with the corners that overlap or open). It is exact for lines and arcs, and shares nothing with the offset by
//! which the paths were made.

use plane::{Outline, Point, Region, Segment};

use super::asked::Asked;
use super::edges::{self, EDGE_TOLERANCE_MM};
use super::runs::{Bounds, Run, bounds_of, loop_of};
use super::wrong::Wrong;

/// A round hole may be out by this much in place and in diameter, mm.
const HOLE_TOLERANCE_MM: f64 = 0.02;
/// A part's area may be out by this share.
const AREA_SHARE: f64 = 0.001;
/// A shorter edge has no direction to speak of: ends are written to 0.0001 mm.
const LEAST_EDGE_MM: f64 = 0.005;
/// Corners that turn by more come back along themselves.
const MOST_TURN_RAD: f64 = 3.0;

/// An over-run is a small share of the contour; one that goes on for half of it has been turned the wrong way round.
const MOST_OVER_SHARE: f64 = 0.5;

/// A closed path of one run.
struct Loop {
    edges: Vec<Segment>,
    bounds: Bounds,
    half_mm: f64,
    /// Place in the order of cutting.
    order: usize,
    /// Line where the torch is lit.
    line: usize,
}

/// Compares every outline of every part; gives the areas that come out.
pub(super) fn compare(
    runs: &[Run],
    kerfs_mm: &[f64],
    asked: &Asked,
    wrong: &mut Vec<Wrong>,
) -> Vec<Option<f64>> {
    let mut loops: Vec<Loop> = Vec::with_capacity(runs.len());
    for (order, (run, kerf_mm)) in runs.iter().zip(kerfs_mm).enumerate() {
        let Some(closed) = loop_of(run) else { continue };
        let Some(bounds) = bounds_of(&closed.edges) else {
            continue;
        };
        let around_mm: f64 = closed.edges.iter().map(Segment::length_mm).sum();
        if closed.again_mm > MOST_OVER_SHARE * around_mm {
            wrong.push(Wrong::CutAgain {
                line: run.line,
                length_mm: closed.again_mm,
            });
        }
        loops.push(Loop {
            edges: closed.edges,
            bounds,
            half_mm: kerf_mm / 2.0,
            order,
            line: run.line,
        });
    }
    let paths = edges::paths_of(runs, kerfs_mm);
    let mut areas = Vec::with_capacity(asked.parts.len());
    let mut cuts: Vec<Vec<Option<&Loop>>> = Vec::with_capacity(asked.parts.len());
    for (part, region) in asked.parts.iter().enumerate() {
        let mut area_mm2 = Some(0.0);
        let mut round: Vec<Option<&Loop>> = Vec::new();
        for (i, outline) in region.outlines().enumerate() {
            let opening = i.checked_sub(1);
            let tabbed = asked
                .tabs
                .iter()
                .any(|tab| outline.distance_to(tab.at).0 <= EDGE_TOLERANCE_MM.max(tab.width_mm / 2.0));
            if tabbed {
                area_mm2 = None;
                round.push(None);
            } else {
                let Some(cut) = loop_round(&loops, outline, opening.is_some()) else {
                    wrong.push(Wrong::NotCut { part, opening });
                    area_mm2 = None;
                    round.push(None);
                    continue;
                };
                round.push(Some(cut));
                let beside = area_beside_mm2(cut, opening.is_some());
                area_mm2 = area_mm2.map(|sum| {
                    if opening.is_some() {
                        sum - beside
                    } else {
                        sum + beside
                    }
                });
                if let (Some(opening), Some(circle)) = (opening, outline.as_circle())
                    && let Some(off) = hole_is_off(cut, circle, part, opening)
                {
                    wrong.push(off);
                    continue;
                }
            }
            wrong.extend(edges::left(&paths, region, outline, asked.tabs).into_iter().map(
                |(at, length_mm)| Wrong::EdgeLeft {
                    part,
                    opening,
                    at,
                    length_mm,
                },
            ));
        }
        if let Some(found_mm2) = area_mm2 {
            let wanted_mm2 = region.area_mm2();
            let half_mm = kerfs_mm.iter().copied().fold(0.0, f64::max) / 2.0;
            let over_mm2 = found_mm2 - wanted_mm2;
            let allowed_mm2 = AREA_SHARE * wanted_mm2;
            // Written so that an area that is no number is wrong too.
            if !(over_mm2 >= -allowed_mm2 && over_mm2 <= allowed_mm2 + stays_in_corners_mm2(region, half_mm))
            {
                wrong.push(Wrong::Area {
                    part,
                    found_mm2,
                    wanted_mm2,
                });
            }
        }
        areas.push(area_mm2);
        cuts.push(round);
    }
    wrong.extend(out_of_order(&cuts, asked.parts));
    areas
}

/// Every opening that is cut after its part has come loose, and every part that is cut after the opening round it has. An
/// outline with tabs holds what is within.
fn out_of_order(cuts: &[Vec<Option<&Loop>>], parts: &[Region]) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    for (part, (round, region)) in cuts.iter().zip(parts).enumerate() {
        let (Some(&outside), openings) = (round.first(), round.get(1..).unwrap_or(&[])) else {
            continue;
        };
        for (opening, (cut, outline)) in openings.iter().zip(&region.holes).enumerate() {
            let Some(cut) = cut else { continue };
            if outside.is_some_and(|outside| outside.order < cut.order) {
                wrong.push(Wrong::OutOfOrder {
                    line: cut.line,
                    part,
                    opening: Some(opening),
                });
            }
            let (low, high) = outline.bounds();
            for (inner, other) in parts.iter().enumerate().filter(|(inner, _)| *inner != part) {
                let at = other.outer.vertices()[0].at;
                let may = at.x > low.x && at.y > low.y && at.x < high.x && at.y < high.y;
                if let Some(Some(inside)) = cuts[inner].first()
                    && inside.order > cut.order
                    && may
                    && outline.contains(at)
                {
                    wrong.push(Wrong::OutOfOrder {
                        line: inside.line,
                        part: inner,
                        opening: None,
                    });
                }
            }
        }
    }
    wrong
}

/// The loop whose kerf's edge has the box most like the outline's; none when none is near.
fn loop_round<'a>(loops: &'a [Loop], outline: &Outline, hole: bool) -> Option<&'a Loop> {
    /// A loop this far off is another outline's.
    const FAR_MM: f64 = 2.0;
    let (low, high) = outline.bounds();
    let off_mm = |cut: &Loop| {
        let (l, h) = edge_box(cut, hole);
        [l.x - low.x, l.y - low.y, h.x - high.x, h.y - high.y]
            .into_iter()
            .map(f64::abs)
            .fold(0.0, f64::max)
    };
    loops
        .iter()
        .map(|cut| (off_mm(cut), cut))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .filter(|(off_mm, cut)| *off_mm <= FAR_MM + 2.0 * cut.half_mm)
        .map(|(_, cut)| cut)
}

/// The box of the kerf's edge on the part's side.
fn edge_box(cut: &Loop, hole: bool) -> Bounds {
    let out_mm = if hole { cut.half_mm } else { -cut.half_mm };
    let by = plane::Vector::new(out_mm, out_mm);
    (cut.bounds.0 - by, cut.bounds.1 + by)
}

fn hole_is_off(cut: &Loop, (centre, wanted_mm): (Point, f64), part: usize, opening: usize) -> Option<Wrong> {
    let (low, high) = edge_box(cut, true);
    let off_mm = (nalgebra::center(&low, &high) - centre).norm();
    let size = high - low;
    let found_mm = if (size.x - wanted_mm).abs() > (size.y - wanted_mm).abs() {
        size.x
    } else {
        size.y
    };
    (off_mm > HOLE_TOLERANCE_MM || (found_mm - wanted_mm).abs() > HOLE_TOLERANCE_MM).then_some(Wrong::Hole {
        part,
        opening,
        off_mm,
        found_mm,
        wanted_mm,
    })
}

/// The area inside the edge that the kerf leaves: half a kerf inside of the path, or outside of it for a hole.
fn area_beside_mm2(cut: &Loop, hole: bool) -> f64 {
    let base = cut.edges[0].from();
    let signed_mm2: f64 = cut
        .edges
        .iter()
        .map(|edge| {
            let (from, to) = (edge.from() - base, edge.to() - base);
            let bow = edge.turn_rad();
            let radius_mm = if bow == 0.0 {
                0.0
            } else {
                edge.length_mm() / bow.abs()
            };
            from.perp(&to) / 2.0 + radius_mm * radius_mm * (bow - bow.sin()) / 2.0
        })
        .sum();
    let way = signed_mm2.signum();
    let (h, sign) = (cut.half_mm, if hole { 1.0 } else { -1.0 });
    let length_mm: f64 = cut.edges.iter().map(Segment::length_mm).sum();
    // Without edges that are only the rounding of two others' ends: they point anywhere.
    let long: Vec<&Segment> = cut
        .edges
        .iter()
        .filter(|edge| edge.length_mm() > LEAST_EDGE_MM)
        .collect();
    let count = long.len();
    let turns: f64 = (0..count)
        .map(|i| {
            let (edge, next) = (long[i], long[(i + 1) % count]);
            let corner_rad = way * turn_between(edge, next);
            // The side that opens is swept round the corner; on the other the edges overlap.
            let opens = (corner_rad > 0.0) == hole;
            let corner = if opens {
                corner_rad / 2.0
            } else {
                (corner_rad.clamp(-MOST_TURN_RAD, MOST_TURN_RAD) / 2.0).tan()
            };
            way * edge.turn_rad() / 2.0 + corner
        })
        .sum();
    signed_mm2.abs() + sign * h * length_mm + h * h * turns
}

fn turn_between(edge: &Segment, next: &Segment) -> f64 {
    let (before, after) = (edge.tangent_at(1.0), next.tangent_at(0.0));
    before.perp(&after).atan2(before.dot(&after))
}

/// How much a kerf must leave in the inside corners of a part that are tighter than it.
fn stays_in_corners_mm2(region: &Region, half_mm: f64) -> f64 {
    let left = |turn_rad: f64| {
        let half = turn_rad.min(MOST_TURN_RAD) / 2.0;
        half.tan() - half
    };
    let mut stays = 0.0;
    for outline in region.outlines() {
        for i in 0..outline.len() {
            let (edge, next) = (outline.segment(i), outline.segment((i + 1) % outline.len()));
            // Material lies to the left, so a turn to the right is an inside corner.
            let corner_rad = -turn_between(&edge, &next);
            if corner_rad > 0.0 {
                stays += half_mm * half_mm * left(corner_rad);
            }
            if let Segment::Arc {
                radius_mm, sweep_rad, ..
            } = edge
                && sweep_rad < 0.0
                && radius_mm < half_mm
            {
                stays += (half_mm * half_mm - radius_mm * radius_mm) * left(-sweep_rad);
            }
        }
    }
    stays
}
