//! One line on paper for one line in the picture: lines that lie on each other are drawn once, sharp edges before bends'
//! edges and lines in sight before hidden ones, so that dashes never turn into solid lines by falling on each other.

use plane::Point;

use super::hidden::Seen;
use super::shape::EdgeKind;

/// Lines this near each other fall together on paper, mm of the part.
const TOGETHER_MM: f64 = 0.01;

/// The runs to draw, without what lies under another.
pub(crate) fn tidied(seen: Vec<Seen>) -> Vec<Seen> {
    let (mut straight, curved): (Vec<Seen>, Vec<Seen>) =
        seen.into_iter().partition(|seen| seen.run.len() == 2);
    straight.sort_by_key(|seen| (!seen.in_sight, seen.kind == EdgeKind::Tangent));
    let mut kept: Vec<Seen> = Vec::new();
    for seen in straight {
        let (from, to) = (seen.run[0], seen.run[1]);
        let mut open = vec![(0.0, 1.0)];
        for other in &kept {
            if let Some(covered) = covered_share(from, to, other.run[0], other.run[1]) {
                open = open
                    .into_iter()
                    .flat_map(|stretch| without(stretch, covered))
                    .collect();
            }
        }
        let length = (to - from).norm();
        for (start, end) in open {
            if (end - start) * length > TOGETHER_MM {
                let run = vec![from + (to - from) * start, from + (to - from) * end];
                kept.push(Seen { run, ..seen.clone() });
            }
        }
    }
    kept.extend(curved);
    kept
}

/// The shares of one line between which another lies on it.
fn covered_share(from: Point, to: Point, other_from: Point, other_to: Point) -> Option<(f64, f64)> {
    let run = to - from;
    let square = run.norm_squared();
    let off = |at: Point| (at - from).perp(&run).abs() / square.sqrt();
    if off(other_from) > TOGETHER_MM || off(other_to) > TOGETHER_MM {
        return None;
    }
    let share = |at: Point| (at - from).dot(&run) / square;
    let (one, two) = (share(other_from), share(other_to));
    Some((one.min(two), one.max(two)))
}

fn without(stretch: (f64, f64), covered: (f64, f64)) -> Vec<(f64, f64)> {
    let mut left = Vec::new();
    if covered.0 > stretch.0 {
        left.push((stretch.0, stretch.1.min(covered.0)));
    }
    if covered.1 < stretch.1 {
        left.push((stretch.0.max(covered.1), stretch.1));
    }
    left.retain(|(start, end)| start < end);
    left
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(in_sight: bool, from: f64, to: f64) -> Seen {
        Seen {
            kind: EdgeKind::Sharp,
            in_sight,
            run: vec![Point::new(from, 1.0), Point::new(to, 1.0)],
        }
    }

    #[test]
    fn a_hidden_line_under_a_line_in_sight_is_drawn_only_where_it_sticks_out() {
        let kept = tidied(vec![
            line(false, 0.0, 10.0),
            line(true, 2.0, 6.0),
            line(false, 8.0, 10.0),
        ]);
        let hidden: Vec<(f64, f64)> = kept
            .iter()
            .filter(|seen| !seen.in_sight)
            .map(|seen| (seen.run[0].x, seen.run[1].x))
            .collect();
        assert_eq!(hidden, [(0.0, 2.0), (6.0, 10.0)]);
    }
}
