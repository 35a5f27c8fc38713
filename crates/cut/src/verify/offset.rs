//! What a machine makes of G41 and G42: the path as programmed, shifted sideways.
//!
//! The first move is a straight way in: it ends beside the start of the next. Outside corners are rounded about the
//! corner, at inside corners the shifted edges are cut where they meet. Machines differ in the way in (common practice, no
//! source), by less than half a kerf, which is why leads lie in the scrap.

use plane::{Point, Segment, Vector};

use super::read_error::ReadError;
use super::steps::Move;

/// Which side of its programmed path the torch runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
}

/// Ends this near are one: rounding of the program, a few times over.
const JOINED_MM: f64 = 0.005;
/// A tighter arc cannot be shifted inward.
const LEAST_RADIUS_MM: f64 = 1e-3;

pub(super) fn shifted(moves: &[Move], from: Point, side: Side, half_mm: f64) -> Result<Vec<Move>, ReadError> {
    let no_shift = |line, why| ReadError::NoShift { line, why };
    let Some((way_in, edges)) = moves.split_first() else {
        return Ok(Vec::new());
    };
    if !matches!(way_in.path, Segment::Line { .. }) {
        return Err(no_shift(way_in.line, "its first move is no straight line"));
    }
    let left_mm = match side {
        Side::Left => half_mm,
        Side::Right => -half_mm,
    };
    let mut out: Vec<Move> = Vec::with_capacity(edges.len() + 1);
    for edge in edges {
        let path = beside(&edge.path, left_mm)
            .ok_or_else(|| no_shift(edge.line, "an arc is tighter than half the kerf"))?;
        let next = Move { path, ..*edge };
        if let Some(last) = out.last_mut() {
            let between = join(last, next, edge.path.from(), left_mm)
                .ok_or_else(|| no_shift(edge.line, "the shifted edges do not meet"))?;
            out.extend(between);
        } else {
            out.push(next);
        }
    }
    let start = out
        .first()
        .map(|edge| edge.path.from())
        .ok_or_else(|| no_shift(way_in.line, "nothing follows its way in"))?;
    out.insert(
        0,
        Move {
            path: Segment::line(from, start),
            ..*way_in
        },
    );
    Ok(out)
}

fn beside(edge: &Segment, left_mm: f64) -> Option<Segment> {
    match *edge {
        Segment::Line { from, to } => {
            let along = (to - from).normalize();
            Some(edge.translated(Vector::new(-along.y, along.x) * left_mm))
                .filter(|_| (to - from).norm() > 0.0)
        }
        Segment::Arc {
            from,
            to,
            centre,
            radius_mm,
            sweep_rad,
        } => {
            let moved_mm = radius_mm - left_mm * sweep_rad.signum();
            let share = moved_mm / radius_mm;
            (moved_mm >= LEAST_RADIUS_MM).then(|| Segment::Arc {
                from: centre + (from - centre) * share,
                to: centre + (to - centre) * share,
                centre,
                radius_mm: moved_mm,
                sweep_rad,
            })
        }
    }
}

/// What follows `last`, which is cut back if it must be: an arc about an outside corner, or nothing, and then the next.
fn join(last: &mut Move, mut next: Move, corner: Point, left_mm: f64) -> Option<Vec<Move>> {
    let (end, start) = (last.path.to(), next.path.from());
    let (before, after) = (last.path.tangent_at(1.0), next.path.tangent_at(0.0));
    let turn_rad = before.perp(&after).atan2(before.dot(&after));
    let near = (end - start).norm() <= JOINED_MM;
    if !near && turn_rad * left_mm < 0.0 {
        let about = Move {
            path: Segment::Arc {
                from: end,
                to: start,
                centre: corner,
                radius_mm: left_mm.abs(),
                sweep_rad: turn_rad,
            },
            ..next
        };
        return Some(vec![about, next]);
    }
    let meeting = last
        .path
        .meetings(&next.path)
        .into_iter()
        .max_by(|a, b| a.on_first.total_cmp(&b.on_first));
    match meeting {
        Some(at) if at.on_first > 0.0 && at.on_second < 1.0 => {
            last.path = last.path.between(0.0, at.on_first);
            next.path = next.path.between(at.on_second, 1.0);
            Some(vec![next])
        }
        _ if near => {
            let bridge = Move {
                path: Segment::line(end, start),
                ..next
            };
            Some(if end == start {
                vec![next]
            } else {
                vec![bridge, next]
            })
        }
        _ => None,
    }
}
