//! An outside that tabs hold: cut in pieces from tab to tab, each with a pierce of its own.
//!
//! Every piece is led in square to the edge, right where its tab ends: a lead that came along the edge would cut through
//! the tab before it.

use plane::{Outline, Point, Region, SAME_POINT_MM, Segment};

use crate::kerf::Edge;
use crate::lead::{Conditions, Contour, lead_square, track_of};
use crate::order::{Slats, SlatsError, Tab, TabRule, tabs_for};
use crate::track::Cut;

/// Tabs and the pieces between them, each beginning where the tab of its number ends.
pub(super) struct Tabbed {
    pub tabs: Vec<Tab>,
    pub pieces: Vec<Cut>,
}

/// As often tabs are sought again where no lead gets to one.
const MOST_TRIES: usize = 12;
/// How far from a place that no lead gets to the next tab is sought, as a multiple of its width.
const ASIDE_X_WIDTH: f64 = 2.0;

/// The outside of a part cut in pieces, so that tabs hold it; none when no tabs at places that a lead gets to hold it, and no
/// tabs at all when it lies still without. `round` is one way to cut it in one go;
/// `taken` says whether a place is one to pierce beside all that `conditions` ask.
pub(super) fn tabbed(
    part: &Region,
    round: &Cut,
    slats: &Slats,
    mut rule: TabRule,
    conditions: &Conditions<'_>,
    taken: impl Fn(Point) -> bool,
) -> Result<Option<Tabbed>, SlatsError> {
    let [first, last] = round.around;
    let path: Vec<Segment> = round.track.segments().skip(first).take(last - first).collect();
    let Ok(middle) = Outline::new(round.track.vertices[first..last].to_vec()) else {
        return Ok(None);
    };
    let contour = Contour {
        of: Edge::Outline,
        edge: &part.outer,
        path: &middle,
    };
    for _ in 0..MOST_TRIES {
        let Some(tabs) = tabs_for(part, slats, &rule)? else {
            return Ok(None);
        };
        match pieces(&tabs, round, &path, &contour, conditions, &taken) {
            Ok((tabs, pieces)) => return Ok(Some(Tabbed { tabs, pieces })),
            Err(at) => rule.keep_off.push((at, ASIDE_X_WIDTH * rule.width_mm)),
        }
    }
    Ok(None)
}

/// The tabs in the order of travel with the piece after each; else a tab that cannot be where it is.
fn pieces(
    tabs: &[Tab],
    round: &Cut,
    path: &[Segment],
    contour: &Contour<'_>,
    conditions: &Conditions<'_>,
    taken: &impl Fn(Point) -> bool,
) -> Result<(Vec<Tab>, Vec<Cut>), Point> {
    let whole_mm: f64 = path.iter().map(Segment::length_mm).sum();
    let mut held: Vec<(f64, Tab)> = tabs.iter().map(|tab| (along_mm(path, tab.at), *tab)).collect();
    held.sort_by(|a, b| a.0.total_cmp(&b.0));
    let count = held.len();
    let mut cuts = Vec::with_capacity(count);
    for (k, (here_mm, tab)) in held.iter().enumerate() {
        let (next_mm, next) = &held[(k + 1) % count];
        // Half the tab and the round end of the kerf.
        let from_mm = here_mm + (tab.width_mm + round.kerf_mm) / 2.0;
        let mut to_mm = next_mm - (next.width_mm + round.kerf_mm) / 2.0;
        if k + 1 == count {
            to_mm += whole_mm;
        }
        if to_mm - from_mm <= round.kerf_mm {
            return Err(tab.at);
        }
        let run = stretch(path, from_mm, to_mm, whole_mm);
        let begins = run.first().ok_or(tab.at)?;
        let lead =
            lead_square(contour, conditions, begins.from(), begins.tangent_at(0.0), taken).ok_or(tab.at)?;
        let edges: Vec<Segment> = std::iter::once(lead).chain(run).collect();
        cuts.push(Cut {
            name: if count > 1 {
                format!("{} ({} of {count})", round.name, k + 1)
            } else {
                round.name.clone()
            },
            around: [1, edges.len()],
            track: track_of(&edges),
            ..round.clone()
        });
    }
    Ok((held.into_iter().map(|(_, tab)| tab).collect(), cuts))
}

/// How far along a run of edges the place nearest to a point is, mm.
fn along_mm(path: &[Segment], at: Point) -> f64 {
    let (mut done_mm, mut best) = (0.0, (f64::INFINITY, 0.0));
    for edge in path {
        let (off_mm, _) = edge.nearest(at);
        if off_mm < best.0 {
            best = (off_mm, done_mm + edge.share_nearest(at) * edge.length_mm());
        }
        done_mm += edge.length_mm();
    }
    best.1
}

/// A stretch of a closed run of edges; lengths may go on past once around.
fn stretch(path: &[Segment], from_mm: f64, to_mm: f64, whole_mm: f64) -> Vec<Segment> {
    let mut found = Vec::new();
    for lap in 0..2 {
        let mut done_mm = f64::from(lap) * whole_mm;
        for edge in path {
            let length_mm = edge.length_mm();
            let low = ((from_mm - done_mm) / length_mm).clamp(0.0, 1.0);
            let high = ((to_mm - done_mm) / length_mm).clamp(0.0, 1.0);
            if (high - low) * length_mm > SAME_POINT_MM {
                found.push(edge.between(low, high));
            }
            done_mm += length_mm;
        }
    }
    found
}
