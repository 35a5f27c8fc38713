//! Changes tried one by one, the least first, each planned again.

use super::bite;
use super::change::{Change, LITTLE_MM, Offered, Repair, Tried};
use super::explain::Explanation;
use std::cell::Cell;

use sheet::Mockup;

use crate::needs::Practice;
use crate::order::{Plan, Setup, Weights, plan_if_any};
use crate::tooling::{Means, Tooling};
use crate::work::{Notch, NotchRoom, Notched, Stock, Work};

/// Shares of a bend that a first step is tried with.
const FIRST_SHARES: [f64; 4] = [0.5, 0.67, 0.33, 0.8];
/// Every kind of change is planned again so often at most: fewer times where there are many bends, as each plan then looks
/// at more sets of finished steps. What is then not asked for is counted.
const MOST_SETS: usize = 1 << 16;
const MOST_TRIES: usize = 120;
const FEWEST_TRIES: usize = 12;
/// A leg is altered by no more than this, mm, and not more than its share.
const MOST_ALTERED_MM: f64 = 60.0;
/// Rounds of halving between a change that works and one that does not.
const HALVINGS: usize = 5;
/// Tapers that are tried, degrees.
const LEANS_DEG: [f64; 5] = [1.5, 3.0, 8.0, 20.0, 40.0];
/// No more of a panel than this is cut out of it: what loses more is another part.
const MOST_NOTCHED_SHARE: f64 = 1.0 / 3.0;
/// Between a notch and any other edge stays this, x t. Common practice, no source.
const WEB_X_T: f64 = 2.0;
/// Where across a flat panel a seam is tried, of its length out from a bend: its middle first.
const SEAM_SHARES: [f64; 3] = [0.5, 0.3, 0.7];
/// A change of a leg is told rounded up to this, mm.
const ROUND_MM: f64 = 0.5;

/// The single changes that give an order, the least first, each verified by planning again; and how many changes were left
/// out, so that none found is not taken for none there.
pub fn repairs(
    work: &Work,
    tooling: &Tooling,
    practice: &Practice,
    weights: &Weights,
    why: &Explanation,
    offered: &Offered<'_>,
) -> Tried {
    let mut tries = Tries {
        work,
        tooling,
        practice,
        weights,
        offered,
        found: Vec::new(),
        left: Cell::new(0),
        cut_short: Cell::new(false),
        left_out: Vec::new(),
    };
    let each = (MOST_SETS >> work.stages.len()).clamp(FEWEST_TRIES, MOST_TRIES);
    let lines = why.lines();
    let legs = why.legs(work);
    let other_lines: Vec<usize> = (0..work.lines.len())
        .filter(|line| !lines.contains(line))
        .collect();
    let all_legs = (0..work.panels.len()).flat_map(|panel| {
        let lines = work.lines_at(panel).into_iter();
        lines.map(move |line| (line, panel))
    });
    let other_legs: Vec<(usize, usize)> = all_legs.filter(|leg| !legs.contains(leg)).collect();
    // Welded together from two, what stands in itself still would.
    let apart = why.in_each_other().is_none();
    let steps: [(Asked, Step<'_>); 14] = [
        (Asked::Always, &|tries| tries.two_steps(&lines)),
        (Asked::Always, &|tries| tries.tools()),
        (Asked::Always, &|tries| tries.legs(&legs, LITTLE_MM)),
        (Asked::Always, &|tries| tries.tapers(&legs)),
        (Asked::Always, &|tries| tries.notches(why)),
        (Asked::Always, &|tries| tries.hand_tools()),
        (Asked::Always, &|tries| tries.legs(&legs, MOST_ALTERED_MM)),
        (Asked::Always, &|tries| tries.radii(&lines)),
        (Asked::Always, &|tries| tries.plates()),
        (Asked::Always, &|tries| {
            if apart {
                tries.seams(&lines)
            }
        }),
        // What is stuck is told from one end only, and the change that frees it may be elsewhere.
        (Asked::ForWant, &|tries| tries.two_steps(&other_lines)),
        (Asked::ForWant, &|tries| tries.legs(&other_legs, MOST_ALTERED_MM)),
        (Asked::ForWant, &|tries| {
            if apart {
                tries.seams_across()
            }
        }),
        (Asked::Always, &|tries| tries.sent_out()),
    ];
    for (asked, step) in steps {
        if offered.enough > 0 && tries.found.len() >= offered.enough {
            break;
        }
        if asked == Asked::ForWant && !tries.found.is_empty() {
            continue;
        }
        tries.left.set(each);
        step(&mut tries);
    }
    let left_out = tries.left_out.len();
    let mut repairs = tries.found;
    repairs.sort_by(|a, b| {
        let (first, second) = (a.change.rank(), b.change.rank());
        first.0.cmp(&second.0).then(first.1.total_cmp(&second.1))
    });
    Tried { repairs, left_out }
}

/// Tries one kind of change.
type Step<'a> = &'a dyn Fn(&mut Tries<'_>);

/// When a kind of change is tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Asked {
    Always,
    /// Only where nothing was found before.
    ForWant,
}

/// How near a notch comes to what is not to be cut: no nearer to a bend than the edge of an opening, and to a hole as far as
/// its middle keeps from an end of the plate.
pub fn notch_room(practice: &Practice) -> NotchRoom {
    NotchRoom {
        to_bend_x_t: practice.to_bend_x_t.value,
        to_hole_x_width: practice.hole_to_end_x_d.value - 0.5,
        web_x_t: WEB_X_T,
    }
}

struct Tries<'a> {
    work: &'a Work,
    tooling: &'a Tooling,
    practice: &'a Practice,
    weights: &'a Weights,
    offered: &'a Offered<'a>,
    found: Vec<Repair>,
    /// How many plans the kind of change at hand may still ask for.
    left: Cell<usize>,
    /// A plan of the change at hand could not be asked for any more.
    cut_short: Cell<bool>,
    /// Changes that were not tried, or not to their least; each once.
    left_out: Vec<Untried>,
}

/// A change without by how much.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Untried {
    TwoSteps { line: usize },
    Tool { name: String },
    Leg { line: usize, panel: usize, longer: bool },
    Taper { line: usize, panel: usize },
    Notch(usize),
    Radius { line: usize, nth: usize },
    Plate(usize),
    Seam { line: usize },
    SeamAcross { panel: usize },
    SendOut,
}

impl Tries<'_> {
    fn planned(&self, work: &Work, tooling: &Tooling) -> Option<Plan> {
        let left = self.left.get();
        if left == 0 {
            self.cut_short.set(true);
            return None;
        }
        self.left.set(left - 1);
        plan_if_any(work, tooling, self.practice, self.weights)
    }

    /// Ends the trying of a change: it is left out if any plan of it was.
    fn tried(&mut self, change: Untried) {
        if self.cut_short.take() && !self.left_out.contains(&change) {
            self.left_out.push(change);
        }
    }

    fn keep(&mut self, change: Change, plans: Option<Vec<Plan>>) -> bool {
        let works = plans.is_some();
        self.found.extend(plans.map(|plans| Repair { change, plans }));
        works
    }

    fn enough(&self) -> bool {
        self.offered.enough > 0 && self.found.len() >= self.offered.enough
    }

    fn two_steps(&mut self, lines: &[usize]) {
        for &line in lines {
            for share in FIRST_SHARES {
                let first_to_rad = share * self.work.lines[line].bent_rad;
                let Ok(work) = self.work.in_two_steps(line, first_to_rad) else {
                    continue;
                };
                let plans = self.planned(&work, self.tooling).map(|plan| vec![plan]);
                if self.keep(Change::TwoSteps { line, first_to_rad }, plans) {
                    return;
                }
            }
            self.tried(Untried::TwoSteps { line });
        }
    }

    /// One die or one punch more.
    fn tools(&mut self) {
        if self.tooling.presses.is_empty() {
            return;
        }
        for die in &self.offered.tooling.dies {
            if self.enough() || self.tooling.dies.contains(die) {
                continue;
            }
            let mut tooling = self.tooling.clone();
            tooling.dies.push(die.clone());
            let plans = self.planned(self.work, &tooling).map(|plan| vec![plan]);
            let name = die.name.clone();
            self.keep(Change::Die { name: name.clone() }, plans);
            self.tried(Untried::Tool { name });
        }
        for punch in &self.offered.tooling.punches {
            if self.enough() || self.tooling.punches.contains(punch) {
                continue;
            }
            let mut tooling = self.tooling.clone();
            tooling.punches.push(punch.clone());
            let plans = self.planned(self.work, &tooling).map(|plan| vec![plan]);
            let name = punch.name.clone();
            self.keep(Change::Punch { name: name.clone() }, plans);
            self.tried(Untried::Tool { name });
        }
    }

    fn hand_tools(&mut self) {
        for vice in &self.offered.tooling.vices {
            if self.tooling.vices.contains(vice) {
                continue;
            }
            let mut tooling = self.tooling.clone();
            tooling.vices.push(vice.clone());
            let plans = self.planned(self.work, &tooling).map(|plan| vec![plan]);
            let name = vice.name.clone();
            self.keep(Change::Vice { name: name.clone() }, plans);
            self.tried(Untried::Tool { name });
        }
        for folder in &self.offered.tooling.folders {
            if self.tooling.folders.contains(folder) {
                continue;
            }
            let mut tooling = self.tooling.clone();
            tooling.folders.push(folder.clone());
            let plans = self.planned(self.work, &tooling).map(|plan| vec![plan]);
            let name = folder.name.clone();
            self.keep(Change::Folder { name: name.clone() }, plans);
            self.tried(Untried::Tool { name });
        }
    }

    /// Each leg shorter and longer by no more than this; the least that works by halving.
    fn legs(&mut self, legs: &[(usize, usize)], most_mm: f64) {
        for &(line, panel) in legs {
            for sign in [-1.0, 1.0] {
                let known = self.found.iter().any(|repair| {
                    matches!(repair.change, Change::Leg { panel: known, by_mm, .. } if known == panel && by_mm * sign > 0.0)
                });
                if known || self.enough() {
                    continue;
                }
                self.leg(line, panel, sign, most_mm);
                let longer = sign > 0.0;
                self.tried(Untried::Leg { line, panel, longer });
            }
        }
    }

    fn leg(&mut self, line: usize, panel: usize, sign: f64, most_mm: f64) {
        let half_strip_mm = self.work.lines[line].strip_mm() / 2.0;
        let room_mm = if sign > 0.0 {
            most_mm
        } else {
            // Rounded down, so that what is left is still a leg.
            let leg_mm = self.work.leg_mm(line, panel) - half_strip_mm - 2.0 * self.work.thickness_mm;
            most_mm.min((leg_mm / ROUND_MM).floor() * ROUND_MM)
        };
        if room_mm < ROUND_MM {
            return;
        }
        let with = |by_mm: f64| {
            let work = self.work.with_leg(line, panel, sign * by_mm)?;
            Some((by_mm, self.planned(&work, self.tooling)?))
        };
        // What is too much can fail where less works: from much to little in a few steps, then by halving.
        let rounded = |mm: f64| (mm / ROUND_MM).ceil() * ROUND_MM;
        let starts = [room_mm, rounded(room_mm / 2.0), rounded(room_mm / 4.0)];
        let Some(mut works) = starts.into_iter().find_map(with) else {
            return;
        };
        let mut fails_mm = 0.0;
        for _ in 0..HALVINGS {
            let middle_mm = rounded((works.0 + fails_mm) / 2.0);
            if middle_mm >= works.0 {
                break;
            }
            match with(middle_mm) {
                Some(less) => works = less,
                None => fails_mm = middle_mm,
            }
        }
        let change = Change::Leg {
            line,
            panel,
            by_mm: sign * works.0,
        };
        self.keep(change, Some(vec![works.1]));
    }

    fn tapers(&mut self, legs: &[(usize, usize)]) {
        for &(line, panel) in legs {
            if self.enough() {
                return;
            }
            for lean_deg in LEANS_DEG {
                let lean_rad = lean_deg.to_radians();
                let Some(work) = self.work.with_taper(line, panel, lean_rad) else {
                    break;
                };
                let plans = self.planned(&work, self.tooling).map(|plan| vec![plan]);
                if self.keep(
                    Change::Taper {
                        line,
                        panel,
                        lean_rad,
                    },
                    plans,
                ) {
                    break;
                }
            }
            self.tried(Untried::Taper { line, panel });
        }
    }

    /// The smallest notch round what meets that gives an order.
    fn notches(&mut self, why: &Explanation) {
        let room = notch_room(self.practice);
        let setup = Setup::of(self.work, self.tooling, self.practice);
        let mut cut: Vec<(Notch, Notched)> = bite::notches(self.work, &setup, &why.blocked())
            .into_iter()
            .filter_map(|notch| Some((notch, self.work.with_notch(&notch, &room).ok()?)))
            .filter(|(_, notched)| notched.takes_share <= MOST_NOTCHED_SHARE)
            .collect();
        cut.sort_by(|(_, a), (_, b)| a.takes_mm2.total_cmp(&b.takes_mm2));
        for (nth, (notch, notched)) in cut.into_iter().enumerate() {
            let plans = self.planned(&notched.work, self.tooling).map(|plan| vec![plan]);
            let change = Change::Notch {
                notch,
                takes_mm2: notched.takes_mm2,
                takes_share: notched.takes_share,
            };
            if self.keep(change, plans) {
                return;
            }
            self.tried(Untried::Notch(nth));
        }
    }

    /// The card developed again, as work.
    fn developed(&self, card: &Mockup, thickness_mm: f64, stock: Option<Stock>) -> Option<Work> {
        let part = sheet::develop(card, thickness_mm).ok()?;
        Work::of(&part, stock, self.practice.closed_past_rad.value).ok()
    }

    /// Another radius at one line.
    fn radii(&mut self, lines: &[usize]) {
        let Some(mockup) = self.offered.mockup else { return };
        for &line in lines {
            for (nth, &radius_mm) in self.offered.radii_mm.iter().enumerate() {
                if self.enough() {
                    return;
                }
                if (radius_mm - self.work.lines[line].radius_mm).abs() < ROUND_MM / 10.0 {
                    continue;
                }
                let mut card = mockup.clone();
                for &bend in &self.work.lines[line].bends {
                    if let Some(crease) = card.creases.get_mut(bend) {
                        crease.radius_mm = radius_mm;
                    }
                }
                let stock = self.work.stock.clone();
                let Some(work) = self.developed(&card, self.work.thickness_mm, stock) else {
                    continue;
                };
                let plans = self.planned(&work, self.tooling).map(|plan| vec![plan]);
                self.keep(Change::Radius { line, radius_mm }, plans);
                self.tried(Untried::Radius { line, nth });
            }
        }
    }

    /// Another plate.
    fn plates(&mut self) {
        let Some(mockup) = self.offered.mockup else { return };
        for (nth, (thickness_mm, stock)) in self.offered.plates.iter().enumerate() {
            if self.enough() {
                return;
            }
            let Some(work) = self.developed(mockup, *thickness_mm, stock.clone()) else {
                continue;
            };
            let plans = self.planned(&work, self.tooling).map(|plan| vec![plan]);
            self.keep(
                Change::Thickness {
                    thickness_mm: *thickness_mm,
                },
                plans,
            );
            self.tried(Untried::Plate(nth));
        }
    }

    /// The blocked lines first, then any other.
    fn seams(&mut self, lines: &[usize]) {
        let others = (0..self.work.lines.len()).filter(|line| !lines.contains(line));
        for line in lines.iter().copied().chain(others) {
            let parts = self.work.parted(line);
            let plans: Option<Vec<Plan>> = parts
                .iter()
                .map(|part| self.planned(part, self.tooling))
                .collect();
            if self.keep(Change::Seam { line }, plans) {
                return;
            }
            self.tried(Untried::Seam { line });
        }
    }

    /// A seam across a panel, where one at a bend does not do: what is over goes on when the rest is bent.
    fn seams_across(&mut self) {
        for panel in 0..self.work.panels.len() {
            let Some(line) = self.work.lines_at(panel).first().copied() else {
                continue;
            };
            let from_mm = self.work.lines[line].strip_mm() / 2.0;
            let flat_mm = self.work.leg_mm(line, panel) - from_mm;
            for share in SEAM_SHARES {
                let at_mm = ((from_mm + share * flat_mm) / ROUND_MM).round() * ROUND_MM;
                let Some(parts) = self.work.parted_across(line, panel, at_mm) else {
                    continue;
                };
                let plans: Option<Vec<Plan>> = parts
                    .iter()
                    .map(|part| self.planned(part, self.tooling))
                    .collect();
                if self.keep(Change::SeamAcross { line, panel, at_mm }, plans) {
                    return;
                }
            }
            self.tried(Untried::SeamAcross { panel });
        }
    }

    /// Sent out once, at whatever place in the order. A trip counts for more than all bends, and a bend for more than all
    /// else: there is a plan with one trip if any has one, and of those it sends out the fewest bends. To go out twice is more than
    /// one change.
    fn sent_out(&mut self) {
        let mut tooling = self.tooling.clone();
        tooling.away = tooling.away.or_else(|| self.offered.tooling.away.clone());
        if tooling == *self.tooling {
            return;
        }
        let plan = self.planned(self.work, &tooling);
        self.tried(Untried::SendOut);
        let Some(plan) = plan else { return };
        let trips = plan
            .steps
            .chunk_by(|a, b| (a.means == Means::Away) == (b.means == Means::Away))
            .filter(|run| run[0].means == Means::Away)
            .collect::<Vec<_>>();
        let [trip] = trips[..] else { return };
        let mut lines: Vec<usize> = Vec::new();
        for line in trip.iter().flat_map(|step| &step.lines) {
            if !lines.contains(line) {
                lines.push(*line);
            }
        }
        self.keep(Change::SendOut { lines }, Some(vec![plan]));
    }
}
