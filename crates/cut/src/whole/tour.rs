//! A short way by many marks: the nearest next, then every stretch turned round that makes it shorter.
//!
//! Marks take seconds and travels between them less, so that a proven order would save nothing that anyone sees; the same
//! marks give the same way.

use plane::Point;

/// A mark on the way, gone through from either end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stop {
    pub ends: [Point; 2],
}

/// The marks in their order, each with whether it is gone through from its second end.
pub(super) type Order = Vec<(usize, bool)>;

/// Looks at no more pairs of marks than this: about a tenth of a second.
const MOST_PAIRS: usize = 20_000_000;
/// A way that is no shorter than by this is no shorter: far over rounding.
const SHORTER_MM: f64 = 1e-6;

/// From home by every mark to where the torch parks, or to where the last mark ends.
pub(super) fn tour(stops: &[Stop], home: Point, park: Option<Point>) -> Order {
    let mut order = nearest_next(stops, home);
    let count = order.len();
    let passes = (MOST_PAIRS / (count * count).max(1)).max(1);
    for _ in 0..passes {
        if !turn_stretches(stops, home, park, &mut order) {
            break;
        }
    }
    order
}

fn enters(stops: &[Stop], (stop, turned): (usize, bool)) -> Point {
    stops[stop].ends[usize::from(turned)]
}

fn leaves(stops: &[Stop], (stop, turned): (usize, bool)) -> Point {
    stops[stop].ends[usize::from(!turned)]
}

fn nearest_next(stops: &[Stop], home: Point) -> Order {
    let mut left: Vec<usize> = (0..stops.len()).collect();
    let mut order = Vec::with_capacity(stops.len());
    let mut here = home;
    while !left.is_empty() {
        let mut best = (f64::INFINITY, 0, false);
        for (place, stop) in left.iter().enumerate() {
            for turned in [false, true] {
                let far_mm = (enters(stops, (*stop, turned)) - here).norm();
                if far_mm < best.0 {
                    best = (far_mm, place, turned);
                }
            }
        }
        let next = (left.remove(best.1), best.2);
        here = leaves(stops, next);
        order.push(next);
    }
    order
}

/// One look at every stretch; whether any was turned round. Turned round, a stretch is gone through from its far end, and
/// so is each mark in it: only the travels to it and from it change.
fn turn_stretches(stops: &[Stop], home: Point, park: Option<Point>, order: &mut Order) -> bool {
    let mut shorter = false;
    for first in 0..order.len() {
        let before = match first.checked_sub(1) {
            Some(before) => leaves(stops, order[before]),
            None => home,
        };
        for last in first..order.len() {
            let after = match order.get(last + 1) {
                Some(next) => Some(enters(stops, *next)),
                None => park,
            };
            let (from, to) = (enters(stops, order[first]), leaves(stops, order[last]));
            let on_mm = |at: Point| after.map_or(0.0, |after| (after - at).norm());
            let now_mm = (from - before).norm() + on_mm(to);
            let then_mm = (to - before).norm() + on_mm(from);
            if then_mm < now_mm - SHORTER_MM {
                order[first..=last].reverse();
                for (_, turned) in &mut order[first..=last] {
                    *turned = !*turned;
                }
                shorter = true;
            }
        }
    }
    shorter
}

#[cfg(test)]
mod tests {
    use super::*;

    fn length_mm(stops: &[Stop], home: Point, park: Option<Point>, order: &Order) -> f64 {
        let mut here = home;
        let mut all_mm = 0.0;
        for step in order {
            all_mm += (enters(stops, *step) - here).norm();
            here = leaves(stops, *step);
        }
        all_mm + park.map_or(0.0, |park| (park - here).norm())
    }

    fn tick(x: f64, y: f64) -> Stop {
        Stop {
            ends: [Point::new(x, y), Point::new(x + 6.0, y)],
        }
    }

    /// The shortest of all orders and turns.
    fn shortest_mm(stops: &[Stop], home: Point, park: Option<Point>, done: &mut Order) -> f64 {
        if done.len() == stops.len() {
            return length_mm(stops, home, park, done);
        }
        let mut best_mm = f64::INFINITY;
        for stop in 0..stops.len() {
            if done.iter().any(|(other, _)| *other == stop) {
                continue;
            }
            for turned in [false, true] {
                done.push((stop, turned));
                best_mm = best_mm.min(shortest_mm(stops, home, park, done));
                done.pop();
            }
        }
        best_mm
    }

    #[test]
    fn every_mark_is_on_the_way_once_and_no_stretch_turned_round_makes_it_shorter() {
        // Places that look scattered: multiples of two numbers that share nothing with the sheet.
        let stops: Vec<Stop> = (0..60)
            .map(|i| tick(f64::from(i * 367 % 1000), f64::from(i * 619 % 1000)))
            .collect();
        let (home, park) = (Point::origin(), Some(Point::origin()));
        let mut order = tour(&stops, home, park);
        let mut seen: Vec<usize> = order.iter().map(|(stop, _)| *stop).collect();
        seen.sort_unstable();
        assert_eq!(seen, (0..60).collect::<Vec<_>>());
        assert!(
            length_mm(&stops, home, park, &order)
                <= length_mm(&stops, home, park, &nearest_next(&stops, home))
        );
        assert_eq!(order, tour(&stops, home, park), "the same again");
        assert!(!turn_stretches(&stops, home, park, &mut order));
    }

    #[test]
    fn a_few_marks_are_gone_by_nearly_as_shortly_as_can_be() {
        for seed in 1..12 {
            let stops: Vec<Stop> = (0..5)
                .map(|i| tick(f64::from(i * seed * 367 % 1000), f64::from(i * seed * 619 % 1000)))
                .collect();
            let home = Point::new(500.0, 0.0);
            let found_mm = length_mm(&stops, home, None, &tour(&stops, home, None));
            let best_mm = shortest_mm(&stops, home, None, &mut Vec::new());
            assert!(found_mm <= 1.25 * best_mm, "{seed}: {found_mm} for {best_mm}");
        }
        assert!(tour(&[], Point::origin(), None).is_empty());
    }
}
