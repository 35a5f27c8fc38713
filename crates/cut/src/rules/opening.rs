//! Openings too small or too narrow for the cut.

use plane::{Outline, Point};
use sheet::{OpeningShape, Part};

use super::concern::{Breach, Concern, Fix, Weight};
use super::edges::InnerEdge;
use super::limits::Limits;

/// An opening narrower by less than this is wide enough: under what a caliper tells on a cut edge.
const SAME_WIDTH_MM: f64 = 0.02;
/// How closely a window's narrowest width is worked out, mm.
const WIDTH_MM: f64 = 0.005;

pub(super) fn too_small(part: &Part, edge: &InnerEdge<'_>, limits: &Limits) -> Option<Concern> {
    let t_mm = part.thickness_mm;
    let (limit_mm, rests_on) = limits.least_width_mm(t_mm);
    let needed_mm = limit_mm - SAME_WIDTH_MM;
    let (found_mm, at, drilled) = match width_of(edge, needed_mm) {
        Width::Enough | Width::Unknown => return None,
        Width::Round { dia_mm, at } => (dia_mm, at, Some(Fix::Drill { dia_mm })),
        Width::Slot { width_mm, at } => (width_mm, at, Some(Fix::DrillEnds { dia_mm: width_mm })),
        Width::Window { width_mm, at } => (width_mm, at, None),
    };
    let what = match drilled {
        Some(Fix::Drill { .. }) => Breach::SmallHole {
            hole: edge.name.clone(),
        },
        _ => Breach::NarrowOpening {
            opening: edge.name.clone(),
        },
    };
    let mut fixes: Vec<Fix> = drilled.filter(|_| !limits.drills).into_iter().collect();
    fixes.extend(limits.other(found_mm, |other| other.least_width_mm(t_mm)));
    fixes.push(Fix::Widen { to_mm: limit_mm });
    if fixes.len() < 2 {
        fixes.push(Fix::Thinner {
            at_most_mm: t_mm * found_mm / limit_mm,
        });
    }
    let weight = if found_mm < limits.kerf_mm.value {
        Weight::Stop
    } else {
        Weight::Care
    };
    Some(Concern {
        what,
        at,
        weight,
        found_mm,
        limit_mm,
        rests_on: rests_on.clone(),
        fixes,
    })
}

/// Could the narrowest width of this window not be worked out?
pub(super) fn width_unknown(part: &Part, edge: &InnerEdge<'_>, limits: &Limits) -> bool {
    let needed_mm = limits.least_width_mm(part.thickness_mm).0 - SAME_WIDTH_MM;
    matches!(width_of(edge, needed_mm), Width::Unknown)
}

enum Width {
    Enough,
    Unknown,
    Round { dia_mm: f64, at: Point },
    Slot { width_mm: f64, at: Point },
    Window { width_mm: f64, at: Point },
}

fn width_of(edge: &InnerEdge<'_>, needed_mm: f64) -> Width {
    if let Some((at, dia_mm)) = edge.outline.as_circle() {
        return if dia_mm < needed_mm {
            Width::Round { dia_mm, at }
        } else {
            Width::Enough
        };
    }
    if let Some(OpeningShape::Slot { from, to, width_mm }) = edge.shape {
        let at = Point::from((from.coords + to.coords) / 2.0);
        return if *width_mm < needed_mm {
            Width::Slot {
                width_mm: *width_mm,
                at,
            }
        } else {
            Width::Enough
        };
    }
    match neck(edge.outline, needed_mm) {
        Some(Neck::NoNarrower) => Width::Enough,
        Some(Neck::Narrow { width_mm, at }) => Width::Window { width_mm, at },
        None => Width::Unknown,
    }
}

enum Neck {
    NoNarrower,
    Narrow { width_mm: f64, at: Point },
}

/// Where a tool of the width needed would no longer pass all through the window: its edge moved in by half that width
/// vanishes or falls in pieces. None when the edge could not be moved.
fn neck(window: &Outline, needed_mm: f64) -> Option<Neck> {
    let whole = |width_mm: f64| Some(window.inset(width_mm / 2.0).ok()?.len() == 1);
    if needed_mm <= 0.0 || whole(needed_mm)? {
        return Some(Neck::NoNarrower);
    }
    let (mut passes_mm, mut fails_mm) = (0.0, needed_mm);
    while fails_mm - passes_mm > WIDTH_MM {
        let middle_mm = (passes_mm + fails_mm) / 2.0;
        if whole(middle_mm)? {
            passes_mm = middle_mm;
        } else {
            fails_mm = middle_mm;
        }
    }
    let pieces = window.inset(fails_mm / 2.0).ok()?;
    let at = match &pieces[..] {
        [first, second, ..] => {
            let (_, a, b) = first.distance_between(second);
            Point::from((a.coords + b.coords) / 2.0)
        }
        _ => window.centroid(),
    };
    Some(Neck::Narrow {
        width_mm: passes_mm,
        at,
    })
}
