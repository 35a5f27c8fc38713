//! Where a label goes: near what it names, on free paper, off the lines, with a leader when it stands away.

use plane::{Point, Vector};

use crate::frame::Frame;

/// Free paper kept round every label, mm.
const CLEAR_MM: f64 = 0.9;
/// A label this near needs no leader, unless asked otherwise, mm.
const NEAR_MM: f64 = 2.5;
/// Directions tried round a place.
const DIRECTIONS: usize = 16;
/// Distances tried, mm on the page.
const RINGS_MM: [f64; 22] = [
    1.5, 3.0, 5.0, 7.0, 9.5, 12.0, 15.0, 18.0, 22.0, 26.0, 31.0, 36.0, 42.0, 50.0, 60.0, 72.0, 86.0, 102.0,
    120.0, 145.0, 175.0, 210.0,
];

/// A label's place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Placed {
    pub frame: Frame,
    /// From the thing to the label, when it stands away from it.
    pub leader: Option<(Point, Point)>,
}

/// A label of a line, which stands past one end of it or the other.
#[derive(Debug, Clone, Copy)]
pub(crate) struct AtEnd {
    pub ends: [Point; 2],
    pub gap_mm: f64,
    /// Width and height.
    pub size_mm: [f64; 2],
}

impl AtEnd {
    /// Past both ends: where it will want to stand.
    fn lanes(&self) -> [(Point, Point); 2] {
        let [one, two] = self.ends;
        let run = (two - one).try_normalize(f64::EPSILON).unwrap_or_default() * LANE_MM;
        [(one, one - run), (two, two + run)]
    }
}

/// Labels as they stand when they are put one after another.
struct Together {
    placer: Placer,
    /// With what each costs.
    labels: Vec<Option<(f64, Placed)>>,
}

impl Together {
    fn cost_of(&self, label: usize) -> f64 {
        self.labels[label].map_or(NOWHERE_COST, |(cost, _)| cost)
    }

    fn cost(&self) -> f64 {
        (0..self.labels.len()).map(|label| self.cost_of(label)).sum()
    }

    /// The one that stands worst, where it stands on an edge or across another's leader.
    fn bad(&self) -> Option<usize> {
        (0..self.labels.len())
            .filter(|&label| self.cost_of(label) >= BAD_COST)
            .reduce(|worst, next| {
                if self.cost_of(next) > self.cost_of(worst) {
                    next
                } else {
                    worst
                }
            })
    }
}

/// Keeps account of the paper that is taken.
#[derive(Debug, Clone)]
pub(crate) struct Placer {
    area: Frame,
    near_mm: f64,
    taken: Vec<Frame>,
    lines: Vec<(Point, Point, f64)>,
    holes: Vec<(Point, f64)>,
    leaders: Vec<(Point, Point)>,
    lanes: Vec<(Point, Point)>,
}

impl Placer {
    pub fn new(area: Frame) -> Self {
        Self {
            area,
            near_mm: NEAR_MM,
            taken: Vec::new(),
            lines: Vec::new(),
            holes: Vec::new(),
            leaders: Vec::new(),
            lanes: Vec::new(),
        }
    }

    /// A label farther than this from what it names has a leader: the less, the surer it is where many stand close.
    pub fn with_leaders_from(mut self, near_mm: f64) -> Self {
        self.near_mm = near_mm;
        self
    }

    /// Paper no label may cover.
    pub fn take(&mut self, frame: Frame) {
        self.taken.push(frame);
    }

    /// A line labels should stay off, the more the higher its weight (an edge is 1).
    pub fn avoid(&mut self, from: Point, to: Point, weight: f64) {
        self.lines.push((from, to, weight));
    }

    /// A hole that leaders go round: one across it would be taken for its own.
    pub fn go_round(&mut self, at: Point, radius_mm: f64) {
        self.holes.push((at, radius_mm));
    }

    /// Puts a label of this size near one of the places given (each with a way to lean), `gap_mm` clear of it.
    /// Deterministic: the cheapest of a fixed list of places, the first of equals. `None` when no place is free.
    pub fn place(
        &mut self,
        places: &[(Point, Vector)],
        gap_mm: f64,
        width_mm: f64,
        height_mm: f64,
    ) -> Option<Placed> {
        let (_, placed) = self.cheapest(places, gap_mm, [width_mm, height_mm])?;
        Some(placed)
    }

    fn cheapest(
        &mut self,
        places: &[(Point, Vector)],
        gap_mm: f64,
        [width_mm, height_mm]: [f64; 2],
    ) -> Option<(f64, Placed)> {
        let mut best: Option<(f64, Placed)> = None;
        for &(at, toward) in places {
            let found = self.find(at, gap_mm, width_mm, height_mm, toward);
            if let Some((cost, placed)) = found
                && best.as_ref().is_none_or(|(least, _)| cost < *least)
            {
                best = Some((cost, placed));
            }
        }
        let (_, placed) = best?;
        self.taken.push(placed.frame);
        self.leaders.extend(placed.leader);
        best
    }

    /// Puts labels past the ends of their lines so that all of them stand well, as far as a few orders show it. The same
    /// labels in the same order stand the same.
    pub fn place_at_ends(&mut self, labels: &[AtEnd]) -> Vec<Option<Placed>> {
        let best = self.best_of_orders(labels);
        *self = best.placer;
        let placed = best.labels.into_iter();
        placed.map(|label| label.map(|(_, placed)| placed)).collect()
    }

    /// In the order given, and with the one that stood worst before all others, as often as there are labels.
    fn best_of_orders(&self, labels: &[AtEnd]) -> Together {
        let mut order: Vec<usize> = (0..labels.len()).collect();
        let mut best = self.in_order(labels, &order);
        let mut bad = best.bad();
        for _ in labels {
            let Some(first) = bad else { break };
            order.retain(|label| *label != first);
            order.insert(0, first);
            let tried = self.in_order(labels, &order);
            bad = tried.bad();
            if tried.cost() < best.cost() {
                best = tried;
            }
        }
        best
    }

    fn in_order(&self, labels: &[AtEnd], order: &[usize]) -> Together {
        let mut placer = self.clone();
        let mut placed = vec![None; labels.len()];
        for (turn, &label) in order.iter().enumerate() {
            // Those yet to come are left their room, if it costs little.
            let yet_to_come = order[turn + 1..].iter();
            placer.lanes = yet_to_come.flat_map(|&other| labels[other].lanes()).collect();
            let AtEnd {
                ends: [one, two],
                gap_mm,
                size_mm,
            } = labels[label];
            placed[label] = placer.cheapest(&[(one, one - two), (two, two - one)], gap_mm, size_mm);
        }
        placer.lanes.clear();
        Together {
            placer,
            labels: placed,
        }
    }

    fn find(
        &self,
        at: Point,
        gap_mm: f64,
        width_mm: f64,
        height_mm: f64,
        toward: Vector,
    ) -> Option<(f64, Placed)> {
        let first = if toward.norm() > 0.0 {
            toward.y.atan2(toward.x)
        } else {
            -std::f64::consts::FRAC_PI_4
        };
        let mut best: Option<(f64, Placed)> = None;
        for ring_mm in RINGS_MM {
            // Nothing further out can beat what was found: distance alone costs more.
            if best.as_ref().is_some_and(|(cost, _)| *cost <= ring_mm * FAR_COST) {
                break;
            }
            for step in 0..DIRECTIONS {
                let turn = if step % 2 == 0 {
                    step / 2
                } else {
                    DIRECTIONS - step.div_ceil(2)
                };
                let angle = first + std::f64::consts::TAU * turn as f64 / DIRECTIONS as f64;
                let aim = Vector::new(angle.cos(), angle.sin());
                let to_rim =
                    (width_mm / 2.0 / aim.x.abs().max(1e-9)).min(height_mm / 2.0 / aim.y.abs().max(1e-9));
                let centre = at + aim * (gap_mm + ring_mm + to_rim);
                let frame = Frame::new(
                    centre.x - width_mm / 2.0,
                    centre.y - height_mm / 2.0,
                    width_mm,
                    height_mm,
                );
                let most = best.as_ref().map_or(f64::INFINITY, |(least, _)| *least);
                let Some((cost, placed)) = self.weigh(at, gap_mm, ring_mm, frame, most) else {
                    continue;
                };
                let cost = cost + 0.15 * step as f64;
                if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                    best = Some((cost, placed));
                }
            }
        }
        if best.is_none() {
            best = self.anywhere(at, gap_mm, width_mm, height_mm);
        }
        best
    }

    /// The cheapest free place on a grid over the whole area: the way out when everything near is taken.
    fn anywhere(&self, at: Point, gap_mm: f64, width_mm: f64, height_mm: f64) -> Option<(f64, Placed)> {
        const GRID_MM: f64 = 2.5;
        let columns = ((self.area.width - width_mm) / GRID_MM).floor().max(0.0) as usize;
        let rows = ((self.area.height - height_mm) / GRID_MM).floor().max(0.0) as usize;
        let mut frames: Vec<(f64, Frame)> = (0..=columns)
            .flat_map(|column| (0..=rows).map(move |row| (column, row)))
            .map(|(column, row)| {
                let left = self.area.left + CLEAR_MM + GRID_MM * column as f64;
                let top = self.area.top + CLEAR_MM + GRID_MM * row as f64;
                let frame = Frame::new(left, top, width_mm, height_mm);
                ((frame.nearest(at) - at).norm(), frame)
            })
            .filter(|(away_mm, _)| *away_mm >= gap_mm)
            .collect();
        frames.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut best: Option<(f64, Placed)> = None;
        for (away_mm, frame) in frames {
            if best
                .as_ref()
                .is_some_and(|(least, _)| *least <= away_mm * FAR_COST)
            {
                break;
            }
            let most = best.as_ref().map_or(f64::INFINITY, |(least, _)| *least);
            if let Some((cost, placed)) = self.weigh(at, gap_mm, away_mm, frame, most)
                && best.as_ref().is_none_or(|(least, _)| cost < *least)
            {
                best = Some((cost, placed));
            }
        }
        best
    }

    /// Puts a label over `at` or a little way off it inside `within`, where it covers no other label and no edge; else
    /// nowhere.
    pub fn place_close(&mut self, at: Point, within: Frame, width_mm: f64, height_mm: f64) -> Option<Placed> {
        const STEP_MM: f64 = 3.0;
        const STEPS: i32 = 10;
        let mut tries: Vec<(i32, i32)> = (-STEPS..=STEPS)
            .flat_map(|across| (-STEPS..=STEPS).map(move |down| (across, down)))
            .collect();
        tries.sort_by_key(|&(across, down)| (across * across + down * down, down, across));
        let frame = tries.into_iter().find_map(|(across, down)| {
            let centre = at + Vector::new(f64::from(across), f64::from(down)) * STEP_MM;
            let frame = Frame::new(
                centre.x - width_mm / 2.0,
                centre.y - height_mm / 2.0,
                width_mm,
                height_mm,
            );
            let room = frame.grown(CLEAR_MM);
            let free = self.area.holds(&room)
                && within.holds(&room)
                && !self.taken.iter().any(|other| other.overlaps(&room))
                && !self
                    .lines
                    .iter()
                    .any(|(from, to, _)| room.clip(*from, *to).is_some())
                && !self
                    .leaders
                    .iter()
                    .any(|(from, to)| room.clip(*from, *to).is_some());
            free.then_some(frame)
        })?;
        self.taken.push(frame);
        Some(Placed { frame, leader: None })
    }

    /// Puts a label with its middle on the first of these places where it covers no other label and no leader; lines may
    /// run under it.
    pub fn place_on(&mut self, places: &[Point], width_mm: f64, height_mm: f64) -> Option<Placed> {
        let frame = places.iter().find_map(|at| {
            let frame = Frame::new(at.x - width_mm / 2.0, at.y - height_mm / 2.0, width_mm, height_mm);
            let room = frame.grown(CLEAR_MM);
            let free = self.area.holds(&room)
                && !self.taken.iter().any(|other| other.overlaps(&room))
                && !self
                    .leaders
                    .iter()
                    .any(|(from, to)| room.clip(*from, *to).is_some());
            free.then_some(frame)
        })?;
        self.taken.push(frame);
        Some(Placed { frame, leader: None })
    }

    /// What a place costs, and how the label stands there; none when it is taken or costs more than `most`.
    fn weigh(&self, at: Point, gap_mm: f64, ring_mm: f64, frame: Frame, most: f64) -> Option<(f64, Placed)> {
        let room = frame.grown(CLEAR_MM);
        if !self.area.holds(&room) || self.taken.iter().any(|other| other.overlaps(&room)) {
            return None;
        }
        let end = frame.nearest(at);
        let reach_mm = (end - at).norm();
        let leader = (reach_mm > gap_mm + self.near_mm).then(|| {
            let aim = (end - at) / reach_mm;
            (at + aim * gap_mm, end - aim * 0.4)
        });
        if let Some((from, to)) = leader
            && self.taken.iter().any(|other| other.clip(from, to).is_some())
        {
            return None;
        }
        let on = |lines: &[(Point, Point)]| {
            lines
                .iter()
                .filter(|(from, to)| room.clip(*from, *to).is_some())
                .count() as f64
        };
        let others = LEADER_COST * on(&self.leaders);
        let in_lanes = LANE_COST * on(&self.lanes);
        let crossed = LEADER_COST
            * leader.map_or(0.0, |leader| {
                let others = self.leaders.iter().filter(|other| cross(**other, leader)).count();
                let holes = self.holes.iter().filter(|hole| runs_into(leader, **hole)).count();
                (others + holes) as f64
            });
        // Costs only add up: past the best place known there is nothing to learn.
        let beyond = |cost: f64| cost + others + in_lanes + crossed > most + SAME_COST;
        let mut cost = ring_mm * FAR_COST;
        let (mut runs_along, mut crosses) = (0.0, 0.0);
        let ground = frame.grown(0.4);
        for &(from, to, weight) in &self.lines {
            if beyond(cost) {
                return None;
            }
            if ground.clip(from, to).is_some() {
                cost += LINE_COST * weight;
            }
            if let Some(leader) = leader {
                runs_along += f64::from(u8::from(along((from, to), leader)));
                crosses += f64::from(u8::from(cross((from, to), leader)));
            }
        }
        cost += others;
        cost += in_lanes;
        cost += crossed;
        cost += ALONG_COST * runs_along;
        cost += 0.3 * crosses;
        Some((cost, Placed { frame, leader }))
    }
}

/// Costs that differ by less are told apart by rounding alone.
const SAME_COST: f64 = 1e-9;
/// Per mm away from the thing named.
const FAR_COST: f64 = 0.35;
/// For standing on an edge.
const LINE_COST: f64 = 25.0;
/// For crossing another leader, or a hole.
const LEADER_COST: f64 = 25.0;

/// For standing where another label will want to stand.
const LANE_COST: f64 = 15.0;
/// How far past the end of a line its label will want to stand, mm on the page.
const LANE_MM: f64 = 14.0;
/// A label that costs this much stands badly: on an edge, or across a leader.
const BAD_COST: f64 = LINE_COST;
/// For not being there at all.
const NOWHERE_COST: f64 = 1e4;
/// For a leader that runs along an edge and looks like one.
const ALONG_COST: f64 = 40.0;
/// A leader this near an edge, mm, and as much in line with it, looks like part of it.
const LOOKS_LIKE_MM: f64 = 1.5;
/// Sine of the angle under which a leader still looks in line.
const IN_LINE: f64 = 0.1;

/// Whether a leader runs along a line, close enough to be taken for it.
fn along(line: (Point, Point), leader: (Point, Point)) -> bool {
    let (of_line, of_leader) = (line.1 - line.0, leader.1 - leader.0);
    let (length, reach) = (of_line.norm(), of_leader.norm());
    if length < LOOKS_LIKE_MM || reach < LOOKS_LIKE_MM {
        return false;
    }
    let in_line = (of_line.perp(&of_leader) / (length * reach)).abs() < IN_LINE;
    let away = |at: Point| (of_line.perp(&(at - line.0)) / length).abs();
    let share = |at: Point| of_line.dot(&(at - line.0)) / (length * length);
    let (one, two) = (share(leader.0), share(leader.1));
    in_line
        && away(nalgebra::center(&leader.0, &leader.1)) < LOOKS_LIKE_MM
        && one.min(two) < 1.0
        && one.max(two) > 0.0
}

/// Whether two straight lines cross inside both.
fn cross(first: (Point, Point), second: (Point, Point)) -> bool {
    let side = |a: Point, b: Point, c: Point| (b - a).perp(&(c - a));
    side(first.0, first.1, second.0) * side(first.0, first.1, second.1) < 0.0
        && side(second.0, second.1, first.0) * side(second.0, second.1, first.1) < 0.0
}

/// Whether a leader runs into a hole; one that begins at its edge or in it is its own.
fn runs_into(leader: (Point, Point), (at, radius_mm): (Point, f64)) -> bool {
    const AT_ITS_EDGE_MM: f64 = 0.05;
    let run = leader.1 - leader.0;
    let share = run.dot(&(at - leader.0)) / run.norm_squared().max(f64::EPSILON);
    let nearest = leader.0 + run * share.clamp(0.0, 1.0);
    let within = |place: Point| (place - at).norm() < radius_mm - AT_ITS_EDGE_MM;
    within(nearest) && !within(leader.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forty_labels_of_crowded_places_stand_clear_of_each_other() {
        let mut placer = Placer::new(Frame::new(0.0, 0.0, 400.0, 300.0));
        let anchors: Vec<Point> = (0..40)
            .map(|index| {
                Point::new(
                    160.0 + 12.0 * f64::from(index % 8),
                    120.0 + 12.0 * f64::from(index / 8),
                )
            })
            .collect();
        for &at in &anchors {
            placer.avoid(at - Vector::new(2.0, 0.0), at + Vector::new(2.0, 0.0), 1.0);
        }
        let placed: Vec<_> = anchors
            .into_iter()
            .filter_map(|at| placer.place(&[(at, at - Point::new(200.0, 150.0))], 1.0, 12.0, 4.0))
            .collect();
        assert_eq!(placed.len(), 40);
        for (index, one) in placed.iter().enumerate() {
            for other in &placed[..index] {
                assert!(!one.frame.overlaps(&other.frame));
            }
        }
    }

    /// Bends across an arm under a shoulder, as a hoe's blank has them, in many places and with labels of many widths.
    #[test]
    fn labels_past_ends_stand_no_worse_than_in_the_order_given_and_some_of_them_well() {
        let at = Point::new;
        let mut open = Placer::new(Frame::new(0.0, 0.0, 150.0, 100.0));
        let corners = [
            (20.0, 80.0),
            (95.0, 80.0),
            (95.0, 45.0),
            (130.0, 20.0),
            (130.0, 92.0),
            (20.0, 92.0),
        ];
        for (index, (x, y)) in corners.into_iter().enumerate() {
            let (next_x, next_y) = corners[(index + 1) % corners.len()];
            open.avoid(at(x, y), at(next_x, next_y), 1.0);
        }
        let mut mended = 0;
        for (first, second) in [(70, 45), (80, 55), (85, 60), (90, 70), (60, 50)] {
            for width in (20..80).step_by(6) {
                let labels = [first, second].map(|x| AtEnd {
                    ends: [at(f64::from(x), 80.0), at(f64::from(x), 92.0)],
                    gap_mm: 1.5,
                    size_mm: [f64::from(width), 14.0],
                });
                let given = open.in_order(&labels, &[0, 1]);
                let best = open.best_of_orders(&labels);
                assert!(best.cost() <= given.cost());
                mended += u32::from(given.bad().is_some() && best.bad().is_none());
                let mut placer = open.clone();
                let placed = placer.place_at_ends(&labels);
                let stands = |label: usize| best.labels[label].map(|(_, placed)| placed);
                assert_eq!(placed, [stands(0), stands(1)]);
                let frames: Vec<Frame> = placed.iter().flatten().map(|placed| placed.frame).collect();
                assert!(frames.len() == 2 && frames.iter().all(|frame| placer.taken.contains(frame)));
            }
        }
        assert!(mended > 0, "no order but the given one was ever needed");
    }

    #[test]
    fn a_leader_beside_an_edge_looks_like_it_and_one_across_does_not() {
        let edge = (Point::new(0.0, 0.0), Point::new(80.0, 0.0));
        let beside = (Point::new(10.0, 0.8), Point::new(60.0, 1.2));
        assert!(along(edge, beside));
        assert!(!along(edge, (Point::new(10.0, 0.8), Point::new(20.0, 30.0))));
        assert!(!along(edge, (Point::new(90.0, 0.8), Point::new(140.0, 0.8))));
    }

    #[test]
    fn a_leader_across_a_hole_costs_what_one_across_a_leader_does_and_one_from_it_nothing() {
        let (hole, radius_mm) = (Point::new(50.0, 50.0), 4.0);
        let open = Placer::new(Frame::new(0.0, 0.0, 100.0, 100.0));
        let mut holed = open.clone();
        holed.go_round(hole, radius_mm);
        let more = |at: Point, gap_mm: f64, label: Point| {
            let frame = Frame::new(label.x, label.y - 2.0, 12.0, 4.0);
            let cost = |placer: &Placer| {
                let found = placer.weigh(at, gap_mm, 10.0, frame, f64::INFINITY);
                found.map_or(f64::NAN, |(cost, _)| cost)
            };
            cost(&holed) - cost(&open)
        };
        let end_of_bend = Point::new(40.0, 50.0);
        assert!((more(end_of_bend, 0.2, Point::new(60.0, 50.0)) - LEADER_COST).abs() < 1e-9);
        assert!(more(end_of_bend, 0.2, Point::new(60.0, 20.0)).abs() < 1e-9);
        for gap_mm in [0.0, radius_mm] {
            assert!(
                more(hole, gap_mm, Point::new(60.0, 52.0)).abs() < 1e-9,
                "{gap_mm}"
            );
        }
    }

    #[test]
    fn a_label_steps_off_an_edge_that_runs_past_its_hole() {
        let mut placer = Placer::new(Frame::new(0.0, 0.0, 100.0, 100.0));
        placer.avoid(Point::new(55.0, 0.0), Point::new(55.0, 100.0), 1.0);
        let placed = placer
            .place(&[(Point::new(50.0, 50.0), Vector::new(1.0, 0.0))], 2.0, 12.0, 4.0)
            .expect("there is room");
        assert!(
            placed
                .frame
                .clip(Point::new(55.0, 0.0), Point::new(55.0, 100.0))
                .is_none()
        );
    }
}
