//! Small bridges that hold a part which would tip.

use plane::{Point, Region, Segment};

use super::slats::{Fate, Slats, SlatsError, inside_hull_mm};

/// What tabs may be.
#[derive(Debug, Clone, PartialEq)]
pub struct TabRule {
    /// How much of the edge one tab leaves uncut, mm. About the thickness, and no less than the kerf, is common practice,
    /// no source.
    pub width_mm: f64,
    /// How far a tab stays from a corner of the part, mm.
    pub from_corner_mm: f64,
    /// Places that tabs keep away from, mm, with how far: pierces, bend ends, mating edges.
    pub keep_off: Vec<(Point, f64)>,
}

/// One tab.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tab {
    /// The middle of it on the edge of the part.
    pub at: Point,
    /// Which edge of the part's outer outline.
    pub edge: usize,
    /// How much of the edge it leaves, mm.
    pub width_mm: f64,
    /// How far inside what then holds it the centroid is at the worst, mm.
    pub inside_mm: f64,
}

/// The most tabs that are offered: three points hold any part.
const MOST_TABS: usize = 3;
/// As many places round the part are looked at.
const PLACES: usize = 40;

/// The fewest tabs with which a part lies still wherever its slats stand, and of those the ones that hold it best; empty
/// when it needs none. None when no three tabs at the places allowed hold it. A tab holds as a support does: it keeps its
/// point from going down and from going up.
pub fn tabs_for(part: &Region, slats: &Slats, rule: &TabRule) -> Result<Option<Vec<Tab>>, SlatsError> {
    if slats.under(part)?.fate == Fate::Lies {
        return Ok(Some(Vec::new()));
    }
    let places = places(part, rule);
    let centroid = part.centroid();
    let touches: Vec<Vec<Point>> = slats
        .places()
        .into_iter()
        .map(|first_mm| slats.touches(part, first_mm))
        .collect();
    // The worst place of the slats; none as soon as one is no better than what there is.
    let worst = |chosen: &[usize], than_mm: f64| {
        let mut worst_mm = f64::INFINITY;
        for touches in &touches {
            let mut held = touches.clone();
            held.extend(chosen.iter().map(|place| places[*place].1));
            worst_mm = worst_mm.min(inside_hull_mm(&held, centroid));
            if worst_mm < than_mm {
                return None;
            }
        }
        Some(worst_mm)
    };
    // The places in turn: every one, every pair, every three.
    for count in 1..=MOST_TABS {
        let mut best: Option<(f64, Vec<usize>)> = None;
        for chosen in choices(places.len(), count) {
            let than_mm = best.as_ref().map_or(slats.margin_mm, |(most, _)| *most);
            if let Some(inside_mm) = worst(&chosen, than_mm)
                && best.as_ref().is_none_or(|(most, _)| inside_mm > *most)
            {
                best = Some((inside_mm, chosen));
            }
        }
        if let Some((inside_mm, chosen)) = best {
            let tab = |place: usize| Tab {
                at: places[place].1,
                edge: places[place].0,
                width_mm: rule.width_mm,
                inside_mm,
            };
            return Ok(Some(chosen.into_iter().map(tab).collect()));
        }
    }
    Ok(None)
}

/// Places on the straight edges first; on arcs only where there are too few: a tab's stub is filed off a straight edge.
fn places(part: &Region, rule: &TabRule) -> Vec<(usize, Point)> {
    let step_mm = part.outer.length_mm() / PLACES as f64;
    let on = |straight: bool| {
        let mut places = Vec::new();
        for (edge, segment) in part.outer.segments().enumerate() {
            if matches!(segment, Segment::Line { .. }) != straight {
                continue;
            }
            let clear_mm = if straight { rule.from_corner_mm } else { 0.0 } + rule.width_mm / 2.0;
            let room_mm = segment.length_mm() - 2.0 * clear_mm;
            if room_mm < 0.0 {
                continue;
            }
            let steps = (room_mm / step_mm).floor().max(1.0);
            for k in 0..=steps as u32 {
                let along_mm = clear_mm + room_mm * f64::from(k) / steps;
                let at = segment.point_at(along_mm / segment.length_mm());
                if rule
                    .keep_off
                    .iter()
                    .all(|(place, far_mm)| (at - place).norm() >= *far_mm)
                {
                    places.push((edge, at));
                }
            }
        }
        places
    };
    let mut places = on(true);
    if places.len() < 2 * MOST_TABS {
        places.extend(on(false));
    }
    // A part of very many edges: every so manieth place.
    let every = places.len().div_ceil(2 * PLACES).max(1);
    places.into_iter().step_by(every).collect()
}

/// All choices of so many out of so many, in order.
fn choices(of: usize, count: usize) -> Vec<Vec<usize>> {
    let mut all: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..count {
        all = all
            .into_iter()
            .flat_map(|chosen| {
                let from = chosen.last().map_or(0, |last| last + 1);
                (from..of).map(move |next| {
                    let mut longer = chosen.clone();
                    longer.push(next);
                    longer
                })
            })
            .collect();
    }
    all
}
