//! Bands and the lines between them: every facet cut at the limits, bands joined to outlines, lines to runs.

use std::collections::BTreeMap;

use plane::Point;

use super::layers::Facet;

/// A place on paper in hundredths of a mm: what is written, and what makes two cuts one place.
type Spot = (i64, i64);

fn spot(at: Point) -> Spot {
    ((at.x * 100.0).round() as i64, (at.y * 100.0).round() as i64)
}

fn place(at: Spot) -> Point {
    Point::new(at.0 as f64 / 100.0, at.1 as f64 / 100.0)
}

/// Where the edge between two corners passes `limit`; reckoned from the lower end, so that both neighbours find the same
/// place.
fn crossing(one: (Point, f64), other: (Point, f64), limit: f64) -> Point {
    let (low, high) = if one.1 <= other.1 {
        (one, other)
    } else {
        (other, one)
    };
    low.0 + (high.0 - low.0) * ((limit - low.1) / (high.1 - low.1))
}

/// The part of a facet whose levels lie from `low` to `high`; its corners turn as the facet's do.
fn cut(corners: [(Point, f64); 3], low: f64, high: f64) -> Vec<Point> {
    let mut ring = Vec::with_capacity(5);
    for side in 0..3 {
        let (from, to) = (corners[side], corners[(side + 1) % 3]);
        if (low..=high).contains(&from.1) {
            ring.push(from.0);
        }
        let between = |limit: f64| (from.1 < limit && limit < to.1) || (to.1 < limit && limit < from.1);
        let limits = if from.1 < to.1 { [low, high] } else { [high, low] };
        for limit in limits.into_iter().filter(|limit| between(*limit)) {
            ring.push(crossing(from, to, limit));
        }
    }
    ring
}

fn with_levels(facet: &Facet, levels: &[[f64; 3]]) -> [(Point, f64); 3] {
    let of = levels[facet.triangle];
    std::array::from_fn(|corner| (facet.corners[corner].1, of[facet.which[corner]]))
}

/// Outlines of the band from `low` to `high` in these facets: pieces joined where they meet.
pub(super) fn band<'a>(
    facets: impl Iterator<Item = &'a Facet>,
    levels: &[[f64; 3]],
    low: f64,
    high: f64,
) -> Vec<Vec<Point>> {
    let mut open: BTreeMap<Spot, Vec<Spot>> = BTreeMap::new();
    for facet in facets {
        let ring: Vec<Spot> = cut(with_levels(facet, levels), low, high)
            .into_iter()
            .map(spot)
            .collect();
        if ring.len() < 3 {
            continue;
        }
        for (index, &from) in ring.iter().enumerate() {
            let to = ring[(index + 1) % ring.len()];
            if from == to {
                continue;
            }
            // An edge that a neighbour runs the other way lies inside the band.
            if let Some(back) = open.get_mut(&to)
                && let Some(at) = back.iter().position(|end| *end == from)
            {
                back.remove(at);
                if back.is_empty() {
                    open.remove(&to);
                }
            } else {
                open.entry(from).or_default().push(to);
            }
        }
    }
    rings(open)
}

fn rings(mut open: BTreeMap<Spot, Vec<Spot>>) -> Vec<Vec<Point>> {
    let mut rings = Vec::new();
    while let Some((&start, _)) = open.first_key_value() {
        let mut ring = vec![start];
        let mut here = start;
        while let Some(next) = step(&mut open, here) {
            if next == start {
                break;
            }
            ring.push(next);
            here = next;
        }
        if ring.len() >= 3 {
            rings.push(straightened(&ring));
        }
    }
    rings
}

fn step(open: &mut BTreeMap<Spot, Vec<Spot>>, from: Spot) -> Option<Spot> {
    let ends = open.get_mut(&from)?;
    let next = ends.pop();
    if ends.is_empty() {
        open.remove(&from);
    }
    next
}

/// A ring without the corners at which it does not turn.
fn straightened(ring: &[Spot]) -> Vec<Point> {
    let count = ring.len();
    (0..count)
        .filter(|&index| {
            let (before, here, after) = (
                ring[(index + count - 1) % count],
                ring[index],
                ring[(index + 1) % count],
            );
            let turn = (here.0 - before.0) * (after.1 - here.1) - (here.1 - before.1) * (after.0 - here.0);
            turn != 0
        })
        .map(|index| place(ring[index]))
        .collect()
}

/// The line along which the level is `limit` in these facets, as runs.
pub(super) fn line<'a>(
    facets: impl Iterator<Item = &'a Facet>,
    levels: &[[f64; 3]],
    limit: f64,
) -> Vec<Vec<Point>> {
    let mut pieces: Vec<[Spot; 2]> = Vec::new();
    for facet in facets {
        let corners = with_levels(facet, levels);
        let ends: Vec<Spot> = (0..3)
            .map(|side| (corners[side], corners[(side + 1) % 3]))
            .filter(|(from, to)| (from.1 < limit) != (to.1 < limit))
            .map(|(from, to)| spot(crossing(from, to, limit)))
            .collect();
        if let [from, to] = ends[..]
            && from != to
        {
            pieces.push([from, to]);
        }
    }
    joined(&pieces)
        .into_iter()
        .map(|run| run.into_iter().map(place).collect())
        .collect()
}

/// Pieces joined end to end into as few runs as a walk from the loose ends finds; closed ones end where they began.
pub(super) fn joined<P: Copy + Ord>(pieces: &[[P; 2]]) -> Vec<Vec<P>> {
    let mut meets: BTreeMap<P, Vec<usize>> = BTreeMap::new();
    for (index, piece) in pieces.iter().enumerate() {
        for end in piece {
            meets.entry(*end).or_default().push(index);
        }
    }
    let mut used = vec![false; pieces.len()];
    let mut runs = Vec::new();
    let loose = meets
        .iter()
        .filter(|(_, at)| at.len() != 2)
        .flat_map(|(end, at)| at.iter().map(move |index| (*index, *end)));
    let rest = pieces.iter().enumerate().map(|(index, piece)| (index, piece[0]));
    for (first, start) in loose.chain(rest) {
        if used[first] {
            continue;
        }
        let mut run = vec![start];
        let (mut piece, mut here) = (first, start);
        loop {
            used[piece] = true;
            let [from, to] = pieces[piece];
            here = if here == from { to } else { from };
            run.push(here);
            let at = &meets[&here];
            // A place where more than two meet ends a run.
            match at.iter().find(|index| !used[**index]) {
                Some(next) if at.len() == 2 => piece = *next,
                _ => break,
            }
        }
        runs.push(run);
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(ring: &[Point]) -> f64 {
        (1..ring.len().saturating_sub(1))
            .map(|index| (ring[index] - ring[0]).perp(&(ring[index + 1] - ring[0])) / 2.0)
            .sum()
    }

    #[test]
    fn a_facet_cut_at_its_limits_loses_nothing() {
        let corners = [
            (Point::new(0.0, 0.0), 3.0),
            (Point::new(40.0, 0.0), 55.0),
            (Point::new(10.0, 30.0), 20.0),
        ];
        let whole = area(&corners.map(|(at, _)| at));
        let limits = [f64::NEG_INFINITY, 10.0, 20.0, 30.0, 40.0, f64::INFINITY];
        let parts: f64 = limits
            .windows(2)
            .map(|pair| area(&cut(corners, pair[0], pair[1])))
            .sum();
        assert!((parts - whole).abs() < 1e-9, "{parts} of {whole}");
    }

    #[test]
    fn pieces_of_a_square_join_to_one_closed_run_and_a_fork_ends_one() {
        let square = joined(&[[1, 2], [3, 4], [2, 3], [4, 1]]);
        assert_eq!(square, vec![vec![1, 2, 3, 4, 1]]);
        let fork = joined(&[[1, 2], [2, 3], [2, 4], [4, 5]]);
        assert_eq!(fork, vec![vec![1, 2], vec![2, 3], vec![2, 4, 5]]);
    }
}
