//! The kerf against every edge of every part, edge by edge and without pixels: nowhere nearer than half its width, and
//! everywhere along the edge just that far, but where no kerf could reach.

use plane::{Outline, Point, Region, Segment, Vector};

use super::asked::Tab;
use super::columns::Columns;
use super::runs::{Bounds, Run, bounds_of, in_quarters, near};
use super::wrong::Wrong;

/// How far an edge may come out from where it should be, mm: half of the 0.02 mm that a hole's diameter may differ.
pub(super) const EDGE_TOLERANCE_MM: f64 = 0.01;
/// A shorter stretch than this is no stretch.
const LEAST_STRETCH_MM: f64 = 0.02;

/// Every run that cuts into a part, with its deepest place.
pub(super) fn cut_into(runs: &[Run], kerfs_mm: &[f64], parts: &[Region]) -> Vec<Wrong> {
    let shapes: Vec<(Bounds, Vec<Segment>, Columns)> = parts
        .iter()
        .map(|part| {
            let edges: Vec<Segment> = part.outlines().flat_map(Outline::segments).collect();
            let columns = Columns::new(edges.iter().map(Segment::bounds).collect());
            (part.bounds(), edges, columns)
        })
        .collect();
    let mut wrong = Vec::new();
    for (run, kerf_mm) in runs.iter().zip(kerfs_mm) {
        let least_mm = kerf_mm / 2.0 - EDGE_TOLERANCE_MM;
        let Some(whole) = bounds_of(run.edges.iter().map(|(_, edge)| edge)) else {
            continue;
        };
        for (part, (bounds, edges, columns)) in shapes.iter().enumerate() {
            if !near(&whole, bounds, least_mm) {
                continue;
            }
            let mut deepest: Option<(usize, f64, Point)> = None;
            for (line, path) in &run.edges {
                let path_bounds = path.bounds();
                if !near(&path_bounds, bounds, least_mm) {
                    continue;
                }
                for edge in columns.near(&path_bounds, least_mm) {
                    let (apart_mm, at, _) = edges[edge].distance_between(path);
                    if apart_mm < deepest.map_or(least_mm, |(_, apart_mm, _)| apart_mm) {
                        deepest = Some((*line, apart_mm, at));
                    }
                }
            }
            if let Some((line, apart_mm, at)) = deepest {
                wrong.push(Wrong::CutsIntoPart {
                    line,
                    part,
                    at,
                    by_mm: kerf_mm / 2.0 - apart_mm,
                });
            }
        }
    }
    wrong
}

/// A piece of the middle of the kerf, at most a quarter turn, and half the kerf's width there.
pub(super) struct Path {
    edge: Segment,
    bounds: Bounds,
    half_mm: f64,
}

/// Every run in such pieces.
pub(super) fn paths_of(runs: &[Run], kerfs_mm: &[f64]) -> Vec<Path> {
    runs.iter()
        .zip(kerfs_mm)
        .flat_map(|(run, kerf_mm)| {
            let half_mm = kerf_mm / 2.0;
            run.edges
                .iter()
                .flat_map(|(_, edge)| in_quarters(edge))
                .map(move |edge| Path {
                    edge,
                    bounds: edge.bounds(),
                    half_mm,
                })
        })
        .collect()
}

/// Stretches of an outline of the part that no kerf runs along, and that it could have reached: their middle and length.
pub(super) fn left(paths: &[Path], part: &Region, outline: &Outline, tabs: &[Tab]) -> Vec<(Point, f64)> {
    let bounds = outline.bounds();
    let beside: Vec<&Path> = paths
        .iter()
        .filter(|path| near(&path.bounds, &bounds, path.half_mm + EDGE_TOLERANCE_MM))
        .collect();
    let columns = Columns::new(beside.iter().map(|path| path.bounds).collect());
    let widest_mm = beside.iter().map(|path| path.half_mm).fold(0.0, f64::max);
    let narrowest_mm = paths
        .iter()
        .map(|path| path.half_mm)
        .reduce(f64::min)
        .unwrap_or(0.0);
    let mut stretches = Vec::new();
    for edge in outline.segments().flat_map(|edge| in_quarters(&edge)) {
        let length_mm = edge.length_mm();
        let edge_bounds = edge.bounds();
        let mut cut: Vec<(f64, f64)> = Vec::new();
        let mut half_mm: f64 = 0.0;
        for path in columns.near(&edge_bounds, widest_mm + EDGE_TOLERANCE_MM) {
            let path = beside[path];
            if near(&path.bounds, &edge_bounds, path.half_mm + EDGE_TOLERANCE_MM) {
                // Where nothing runs along, the narrowest of what runs near is what could have.
                half_mm = if half_mm == 0.0 {
                    path.half_mm
                } else {
                    half_mm.min(path.half_mm)
                };
                cut.extend(runs_along(&edge, path));
            }
        }
        if half_mm == 0.0 {
            half_mm = narrowest_mm;
        }
        for tab in tabs {
            let (off_mm, _) = edge.nearest(tab.at);
            // The kerf ends round: the bridge is narrowest in its middle, and at the edge by half a kerf wider each way.
            let reach_mm = tab.width_mm / 2.0 + half_mm + LEAST_STRETCH_MM;
            if off_mm <= reach_mm {
                let (middle, reach) = (edge.share_nearest(tab.at), (reach_mm - off_mm) / length_mm);
                cut.push(((middle - reach).max(0.0), (middle + reach).min(1.0)));
            }
        }
        for (from, to) in uncovered(&mut cut) {
            let stretch_mm = (to - from) * length_mm;
            let off_mm = |at: Point| {
                columns
                    .near(&edge_bounds, widest_mm + EDGE_TOLERANCE_MM)
                    .map(|path| beside[path].edge.nearest(at).0 - beside[path].half_mm)
                    .fold(f64::INFINITY, f64::min)
            };
            if stretch_mm > LEAST_STRETCH_MM && could_be_cut(&edge, from, to, part, half_mm, off_mm) {
                stretches.push((edge.point_at(f64::midpoint(from, to)), stretch_mm));
            }
        }
    }
    stretches
}

/// The stretch of an edge along which a path runs at half the kerf's width, within the tolerance; none when it does not.
///
/// Along the stretch the distance from the edge to a line or circle is greatest or least at its ends, or where the line from
/// the centre of the path's circle meets the edge, or where the edge's own centre looks square at the path; so these places
/// tell it all.
fn runs_along(edge: &Segment, path: &Path) -> Option<(f64, f64)> {
    let (a, b) = (
        edge.share_nearest(path.edge.from()),
        edge.share_nearest(path.edge.to()),
    );
    let (from, to) = (a.min(b), a.max(b));
    if to <= from {
        return None;
    }
    let mut places = vec![from, to];
    if let Segment::Arc { centre, .. } = path.edge {
        places.push(edge.share_nearest(centre));
        if let Segment::Arc { centre: own, .. } = *edge {
            // The far side of the edge's circle from the path's centre.
            places.push(edge.share_nearest(own + (own - centre)));
        }
    } else if let Segment::Arc { centre, .. } = *edge {
        let foot = path.edge.nearest(centre).1;
        places.push(edge.share_nearest(foot));
        places.push(edge.share_nearest(centre + (centre - foot)));
    }
    places
        .into_iter()
        .filter(|share| (from..=to).contains(share))
        .all(|share| {
            let at = edge.point_at(share);
            (path.edge.nearest(at).0 - path.half_mm).abs() <= EDGE_TOLERANCE_MM
        })
        .then_some((from, to))
}

/// What is left of 0 to 1 when these stretches are taken away.
fn uncovered(stretches: &mut [(f64, f64)]) -> Vec<(f64, f64)> {
    stretches.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut open = Vec::new();
    let mut reached = 0.0;
    for &mut (from, to) in stretches.iter_mut() {
        if from > reached {
            open.push((reached, from));
        }
        reached = f64::max(reached, to);
    }
    if reached < 1.0 {
        open.push((reached, 1.0));
    }
    open
}

/// Whether anywhere along a stretch no kerf comes near enough (by how much none does is told by `off_mm`), though the middle
/// of one could have run there without cutting into the part elsewhere.
///
/// Half a kerf square off the edge there is no place for it in an inside corner, in a gap narrower than the kerf, or in a round
/// tighter than it: there the part keeps more than it should, and nothing can be done about it. Beside a shallow corner the kerf
/// that turns there cuts the edge to within the tolerance although nothing runs along it.
fn could_be_cut(
    edge: &Segment,
    from: f64,
    to: f64,
    part: &Region,
    half_mm: f64,
    off_mm: impl Fn(Point) -> f64,
) -> bool {
    /// One look for each so much of the stretch.
    const EACH_MM: f64 = 0.05;
    /// And no more than this: a stretch as long is left all along.
    const MOST_LOOKS: f64 = 200.0;
    let inset = (LEAST_STRETCH_MM / 4.0 / edge.length_mm()).min((to - from) / 4.0);
    let (from, to) = (from + inset, to - inset);
    let looks = ((to - from) * edge.length_mm() / EACH_MM)
        .ceil()
        .clamp(8.0, MOST_LOOKS);
    (0..=looks as u32).any(|i| {
        let share = from + (to - from) * f64::from(i) / looks;
        let (at, along) = (edge.point_at(share), edge.tangent_at(share));
        // Material lies to the left of every outline of a region.
        let middle = at + Vector::new(along.y, -along.x) * half_mm;
        off_mm(at) > EDGE_TOLERANCE_MM && part.distance_to(middle).0 >= half_mm - EDGE_TOLERANCE_MM / 4.0
    })
}
