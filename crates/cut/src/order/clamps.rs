//! Ways round what stands on the table.
//!
//! How high a clamp is nobody says, so no travel passes over one, lifted or not: it goes round by corners of boxes about
//! the clamps, resting in each. No move comes nearer to a clamp than the clearance, or than its own ends stand.

use plane::{Outline, Place, Point, Segment};

/// Ends that stand just as near as a move may come do not forbid it: far over rounding, far under any clearance.
const SLACK_MM: f64 = 1e-6;

/// One clamp and the box about it, lower left and upper right.
#[derive(Debug, Clone)]
struct Clamp {
    shape: Outline,
    low: Point,
    high: Point,
}

impl Clamp {
    /// How far a place is from it, mm; 0 in it.
    fn off_mm(&self, at: Point) -> f64 {
        if self.shape.place_of(at) == Place::Outside {
            self.shape.distance_to(at).0
        } else {
            0.0
        }
    }

    /// Whether a straight move keeps off it. What begins or ends in it cannot.
    fn lets_by(&self, from: Point, to: Point, clear_mm: f64) -> bool {
        if from == to
            || from.x.max(to.x) < self.low.x - clear_mm
            || from.x.min(to.x) > self.high.x + clear_mm
            || from.y.max(to.y) < self.low.y - clear_mm
            || from.y.min(to.y) > self.high.y + clear_mm
        {
            return true;
        }
        let ends_mm = self.off_mm(from).min(self.off_mm(to));
        if ends_mm == 0.0 {
            return true;
        }
        let keep_mm = clear_mm.min(ends_mm) - SLACK_MM;
        let path = Segment::line(from, to);
        self.shape
            .segments()
            .all(|edge| edge.distance_between(&path).0 > keep_mm.max(0.0))
    }
}

/// All clamps, and the corners to go round them by.
#[derive(Debug, Clone)]
pub(crate) struct Clamps {
    clamps: Vec<Clamp>,
    clear_mm: f64,
    corners: Vec<Point>,
    /// From each corner to each: what it takes by the fastest way, and the corner before the last on it.
    between: Vec<Option<(u32, usize)>>,
}

/// A way round: what it takes, and the corners on it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Round {
    pub time_us: u32,
    pub via: Vec<Point>,
}

impl Clamps {
    /// `on_table` says whether the torch can go to a place; `straight_us` what a straight move takes.
    pub fn new(
        shapes: &[Outline],
        clear_mm: f64,
        on_table: impl Fn(Point) -> bool,
        straight_us: impl Fn(Point, Point) -> u32,
    ) -> Clamps {
        let clamps = shapes.iter().map(|shape| {
            let (low, high) = shape.bounds();
            let shape = shape.clone();
            Clamp { shape, low, high }
        });
        let mut all = Clamps {
            clamps: clamps.collect(),
            clear_mm,
            corners: Vec::new(),
            between: Vec::new(),
        };
        let corners = all.clamps.iter().flat_map(|clamp| {
            let (l, h) = (clamp.low, clamp.high);
            [
                Point::new(l.x - clear_mm, l.y - clear_mm),
                Point::new(h.x + clear_mm, l.y - clear_mm),
                Point::new(h.x + clear_mm, h.y + clear_mm),
                Point::new(l.x - clear_mm, h.y + clear_mm),
            ]
        });
        let open = |at: &Point| on_table(*at) && all.stand_clear_of(*at);
        all.corners = corners.filter(open).collect();
        all.between = all.all_between(straight_us);
        all
    }

    /// The fastest ways between the corners, by way of each in turn (Floyd and Warshall, 1962; from memory).
    fn all_between(&self, straight_us: impl Fn(Point, Point) -> u32) -> Vec<Option<(u32, usize)>> {
        let count = self.corners.len();
        let mut between: Vec<Option<(u32, usize)>> = Vec::with_capacity(count * count);
        for from in 0..count {
            for to in 0..count {
                let (a, b) = (self.corners[from], self.corners[to]);
                let time_us = if from == to { 0 } else { straight_us(a, b) };
                between.push((from == to || self.let_by(a, b)).then_some((time_us, from)));
            }
        }
        for by in 0..count {
            for from in 0..count {
                for to in 0..count {
                    let (Some((first_us, _)), Some((then_us, before))) =
                        (between[from * count + by], between[by * count + to])
                    else {
                        continue;
                    };
                    let time_us = first_us.saturating_add(then_us);
                    let known = &mut between[from * count + to];
                    if known.is_none_or(|(known_us, _)| time_us < known_us) {
                        *known = Some((time_us, before));
                    }
                }
            }
        }
        between
    }

    /// Whether a place to rest in on the way keeps the clearance from all of them.
    pub fn stand_clear_of(&self, at: Point) -> bool {
        self.clamps
            .iter()
            .all(|clamp| clamp.off_mm(at) >= self.clear_mm - SLACK_MM)
    }

    /// Whether a straight move keeps off all of them.
    pub fn let_by(&self, from: Point, to: Point) -> bool {
        self.clamps
            .iter()
            .all(|clamp| clamp.lets_by(from, to, self.clear_mm))
    }

    /// The ways round by corners, fastest first, one for each first and last corner; none where the clamps close a place in.
    pub fn rounds(
        &self,
        from: Point,
        to: Point,
        most: usize,
        straight_us: impl Fn(Point, Point) -> u32,
    ) -> Vec<Round> {
        let count = self.corners.len();
        let reached = |at: Point| -> Vec<Option<u32>> {
            let corners = self.corners.iter();
            corners
                .map(|corner| self.let_by(at, *corner).then(|| straight_us(at, *corner)))
                .collect()
        };
        let (out, home) = (reached(from), reached(to));
        let mut found: Vec<(u32, usize, usize)> = Vec::new();
        for (first, out_us) in out.iter().enumerate() {
            let Some(out_us) = out_us else { continue };
            for (last, home_us) in home.iter().enumerate() {
                if let (Some(home_us), Some((between_us, _))) = (home_us, self.between[first * count + last])
                {
                    let time_us = out_us.saturating_add(between_us).saturating_add(*home_us);
                    found.push((time_us, first, last));
                }
            }
        }
        found.sort_unstable();
        found.truncate(most);
        let rounds = found.into_iter().map(|(time_us, first, last)| Round {
            time_us,
            via: self.by(first, last),
        });
        rounds.collect()
    }

    /// The corners from one to another.
    fn by(&self, first: usize, last: usize) -> Vec<Point> {
        let mut by = vec![self.corners[last]];
        let mut at = last;
        while at != first {
            let Some((_, before)) = self.between[first * self.corners.len() + at] else {
                break;
            };
            at = before;
            by.push(self.corners[at]);
        }
        by.reverse();
        by
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(x: f64, y: f64, w: f64, h: f64) -> Outline {
        Outline::rectangle(Point::new(x, y), Point::new(x + w, y + h)).expect("a clamp")
    }

    fn micrometres(from: Point, to: Point) -> u32 {
        ((to - from).norm() * 1000.0) as u32
    }

    #[test]
    fn a_clamp_in_the_middle_is_gone_round_by_its_nearer_side() {
        let clamps = Clamps::new(&[block(40.0, -5.0, 20.0, 30.0)], 5.0, |_| true, micrometres);
        let (from, to) = (Point::new(0.0, 0.0), Point::new(100.0, 0.0));
        assert!(!clamps.let_by(from, to));
        let rounds = clamps.rounds(from, to, 4, micrometres);
        assert_eq!(rounds[0].via, [Point::new(35.0, -10.0), Point::new(65.0, -10.0)]);
        for round in &rounds {
            let places: Vec<Point> = [from].into_iter().chain(round.via.clone()).chain([to]).collect();
            assert!(places.windows(2).all(|leg| clamps.let_by(leg[0], leg[1])));
        }
    }

    #[test]
    fn two_clamps_in_a_row_are_gone_round_in_one_go() {
        let row = [block(40.0, -50.0, 10.0, 60.0), block(60.0, -10.0, 10.0, 60.0)];
        let clamps = Clamps::new(&row, 3.0, |p| p.y > -60.0, micrometres);
        let (from, to) = (Point::new(0.0, 0.0), Point::new(100.0, 0.0));
        let round = &clamps.rounds(from, to, 1, micrometres)[0];
        let places: Vec<Point> = [from].into_iter().chain(round.via.clone()).chain([to]).collect();
        assert!(
            places.windows(2).all(|leg| clamps.let_by(leg[0], leg[1])),
            "{places:?}"
        );
        assert!(
            round.via.len() >= 3,
            "over the first and under the second, or round both"
        );
    }

    #[test]
    fn a_place_walled_in_has_no_way() {
        let wall = [block(40.0, -100.0, 5.0, 200.0)];
        let clamps = Clamps::new(&wall, 3.0, |p| p.y.abs() < 90.0, micrometres);
        assert!(
            clamps
                .rounds(Point::origin(), Point::new(80.0, 0.0), 3, micrometres)
                .is_empty()
        );
    }

    #[test]
    fn what_stands_nearer_than_the_clearance_may_leave_but_not_cross() {
        let clamps = Clamps::new(&[block(0.0, 0.0, 10.0, 10.0)], 5.0, |_| true, micrometres);
        let near = Point::new(5.0, -1.0);
        assert!(clamps.let_by(near, Point::new(5.0, -50.0)));
        assert!(
            clamps.let_by(near, Point::new(-50.0, -1.0)),
            "along the side it stands by"
        );
        assert!(!clamps.let_by(near, Point::new(5.0, 50.0)));
    }
}
