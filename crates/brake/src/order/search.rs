//! What is asked of a single stroke: with which tools it can be made when certain steps are done, and what it costs.

use super::clear::{Asked, Clear};
use super::effort::{Effort, Weights};
use super::held::{Edge, Reach, reach};
use super::moves::{Round, Stroke};
use super::plan::{Outcome, Plan, PlanError};
use super::setup::Setup;
use crate::needs::{OverV, Practice, Stop};
use crate::sweep::{Mover, Sector, Station};
use crate::tooling::{Means, Tooling};
use crate::work::{Work, balance};

/// Newtons to a kilogram.
const G_M_S2: f64 = 9.81;
/// What is held counts in steps of what one hand holds, up to this many.
const MOST_HANDS: f64 = 10.0;

/// The best order of the bends with these tools, or the proof that there is none.
///
/// Every set of finished steps that can be reached is looked at, with every stroke that could come next, every tool in
/// every length that may serve, and both ways round. The first face up follows from the bend's way.
pub fn plan(
    work: &Work,
    tooling: &Tooling,
    practice: &Practice,
    weights: &Weights,
) -> Result<Outcome, PlanError> {
    let faults = tooling.check();
    if !faults.is_empty() {
        return Err(PlanError::Tools(faults));
    }
    let setup = Setup::of(work, tooling, practice);
    let mut search = Search::of(work, tooling, practice, weights, &setup)?;
    Ok(search.run())
}

/// The best order, or none without asking further why.
pub(crate) fn plan_if_any(
    work: &Work,
    tooling: &Tooling,
    practice: &Practice,
    weights: &Weights,
) -> Option<Plan> {
    if !tooling.check().is_empty() {
        return None;
    }
    let setup = Setup::of(work, tooling, practice);
    let mut search = Search::of(work, tooling, practice, weights, &setup).ok()?;
    if work.all_done() != 0 && search.ends_badly() {
        return None;
    }
    search.found().ok()
}

/// The best order on tools that take thicker plate than they do, as bends that are too thick are sawn into first. How many
/// bends of a stroke are, is asked for every stroke and tool; none where no kerf will do. Each counts, so that no more are
/// than must. The lines of `sawn` are followed against the part itself as a kerf of that width (mm) closes them, no further than
/// until its walls meet; against the tools, as drawn.
pub(crate) fn plan_kerfed(
    work: &Work,
    eased: &Tooling,
    practice: &Practice,
    weights: &Weights,
    sawn: &[(usize, f64)],
    kerfs: impl Fn(&Stroke, &Station, f64) -> Option<u32>,
) -> Result<Option<Plan>, PlanError> {
    let faults = eased.check();
    if !faults.is_empty() {
        return Err(PlanError::Tools(faults));
    }
    let mut setup = Setup::of(work, eased, practice);
    for (index, stroke) in setup.strokes.iter().enumerate() {
        for (variant, made_up) in setup.variants.iter().enumerate() {
            match kerfs(stroke, &made_up.station, setup.last_rad[index]) {
                Some(count) => setup.kerfs[index][variant] = count,
                None => setup.wanted[index] &= !(1 << variant),
            }
        }
    }
    let closed = work.sawn(sawn);
    let is_sawn = |stroke: &Stroke| sawn.iter().any(|(line, _)| stroke.lines.contains(line));
    let to_rad: Vec<f64> = setup
        .strokes
        .iter()
        .zip(&setup.last_rad)
        .map(|(stroke, last_rad)| if is_sawn(stroke) { stroke.to_rad } else { *last_rad })
        .collect();
    let mut search = Search::of(work, eased, practice, weights, &setup)?;
    if !sawn.is_empty() {
        let (wanted, pieces) = (setup.wanted.clone(), &setup.pieces);
        search.itself = Some(Clear::new(&closed, &setup.strokes, &to_rad, wanted, pieces));
    }
    Ok(search.found().ok())
}

/// A search with all it has found out so far.
pub(crate) struct Search<'a> {
    pub work: &'a Work,
    pub tooling: &'a Tooling,
    pub practice: &'a Practice,
    pub weights: &'a Weights,
    pub setup: &'a Setup,
    pub clear: Clear<'a>,
    /// The part against itself, where it is not bent as drawn.
    itself: Option<Clear<'a>>,
    reaches: Vec<Vec<Option<Reach>>>,
    moments: Vec<Vec<f64>>,
    /// Least flat plate from the middle of the bend that each variant asks for: toward the back, toward the person, mm.
    needs_flat: Vec<Vec<[f64; 2]>>,
}

/// With which variants a stroke can be made, as bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Ways {
    pub free: u128,
    /// Those of them with which the part goes on or comes off along the bend only.
    pub off_the_end: u128,
}

/// One way to make a stroke when certain steps are done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Choice {
    pub stroke: usize,
    pub round: Round,
    pub variant: usize,
    /// It goes on or comes off along the bend only.
    pub off_the_end: bool,
}

impl<'a> Search<'a> {
    pub fn of(
        work: &'a Work,
        tooling: &'a Tooling,
        practice: &'a Practice,
        weights: &'a Weights,
        setup: &'a Setup,
    ) -> Result<Search<'a>, PlanError> {
        if setup.variants.len() > super::variants::MOST_VARIANTS {
            return Err(PlanError::TooManyTools {
                variants: setup.variants.len(),
                most: super::variants::MOST_VARIANTS,
            });
        }
        let needs_flat = setup
            .strokes
            .iter()
            .zip(&setup.last_rad)
            .map(|(stroke, last_rad)| {
                let needs = |variant: &super::variants::Variant| {
                    needs_flat(work, tooling, &variant.station, stroke, *last_rad)
                };
                setup.variants.iter().map(needs).collect()
            })
            .collect();
        Ok(Search {
            work,
            tooling,
            practice,
            weights,
            setup,
            clear: Clear::new(
                work,
                &setup.strokes,
                &setup.last_rad,
                setup.wanted.clone(),
                &setup.pieces,
            ),
            itself: None,
            reaches: vec![Vec::new(); setup.strokes.len() * 2],
            moments: vec![Vec::new(); setup.strokes.len() * work.bodies.len()],
            needs_flat,
        })
    }

    pub fn pose(&self, stroke: usize, round: Round) -> usize {
        self.setup.poses[stroke][usize::from(round == Round::FixedBack)]
    }

    pub fn turn_effort(&self, from: usize, to: usize) -> Effort {
        let ((face, back), (next_face, next_back)) = (self.setup.lies[from], self.setup.lies[to]);
        Effort {
            flips: u32::from(face != next_face) * self.weights.flip,
            turns: u32::from(back != next_back) * self.weights.turn,
            ..Effort::default()
        }
    }

    pub fn change_effort(&self, from: usize, to: usize) -> Effort {
        let (a, b) = (
            &self.setup.variants[from].station,
            &self.setup.variants[to].station,
        );
        let same_machine = match (a.means, b.means) {
            (Means::Press { press: first, .. }, Means::Press { press: second, .. }) => first == second,
            (first, second) => first == second,
        };
        let tool_changes = if from == to {
            0
        } else if a.means == b.means {
            self.weights.length_change
        } else if same_machine {
            self.weights.tool_change
        } else {
            self.weights.machine_change
        };
        let goes_out = b.means == Means::Away && a.means != Means::Away;
        Effort {
            tool_changes,
            work: u32::from(goes_out) * self.weights.trip,
            ..Effort::default()
        }
    }

    /// What it costs to begin with a tool: a trip if the part is sent out first.
    pub fn first_effort(&self, variant: usize) -> Effort {
        let goes_out = self.setup.variants[variant].station.means == Means::Away;
        Effort {
            work: u32::from(goes_out) * self.weights.trip,
            ..Effort::default()
        }
    }

    /// What a tool costs in itself, whatever the part.
    pub fn tool_effort(&self, stroke: usize, variant: usize, off_the_end: bool) -> Effort {
        let work = match self.setup.variants[variant].station.means {
            Means::Press { .. } => self.weights.press,
            Means::Folder(_) => self.weights.fold,
            Means::Vice(_) => self.weights.vice,
            Means::Away => self.weights.away,
        };
        let work = work + self.setup.kerfs[stroke][variant] * self.weights.kerf;
        let off_the_end = u32::from(off_the_end) * self.weights.off_the_end;
        let radius = self.setup.off_radius[stroke][variant] * self.weights.radius;
        Effort {
            work,
            off_the_end,
            radius,
            ..Effort::default()
        }
    }

    /// What a stroke costs by how the part stands, whatever the tool; the gauge comes on top.
    pub fn own_effort(&mut self, stroke: usize, round: Round, done: u32) -> Effort {
        let behind = self.reach(stroke, round, Mover::Behind, done);
        let hands =
            (self.front_heavy_n_mm(stroke, round, done) / self.practice.hand_n_mm.value).min(MOST_HANDS);
        Effort {
            held: (hands.max(0.0) * f64::from(self.weights.held)) as u32,
            fingers: u32::from(behind.farthest_mm < self.practice.hand_mm.value) * self.weights.fingers,
            ..Effort::default()
        }
    }

    /// The variants that a stroke is not forbidden with before anything is moved, as bits.
    pub fn held(&mut self, stroke: usize, round: Round, done: u32) -> u128 {
        let wanted = self.setup.wanted[stroke];
        if wanted == 0 || self.setup.strokes[stroke].closing {
            return wanted;
        }
        wanted & self.held_enough(stroke, round, done)
    }

    /// With which of some variants a stroke can be made when these steps are done.
    pub fn ways(&mut self, stroke: usize, round: Round, done: u32, of: u128) -> Ways {
        let mut free = of & self.held(stroke, round, done);
        let itself = self.itself.as_mut().unwrap_or(&mut self.clear);
        if free == 0 || itself.self_meets(stroke, done) {
            return Ways::default();
        }
        let mut off_the_end = 0;
        if !self.setup.strokes[stroke].closing {
            free &= !self.clear.tools_meet(stroke, round, done, Asked::Bending, free);
            for after in [false, true] {
                let lifts = self
                    .clear
                    .tools_meet(stroke, round, done, Asked::Lift { after }, free);
                let mut slides = lifts;
                for forward in [false, true] {
                    let asked = Asked::Slide { after, forward };
                    slides &= self.clear.tools_meet(stroke, round, done, asked, slides);
                }
                // Both ways off along the bend are shut.
                free &= !slides;
                off_the_end |= lifts & !slides;
            }
        }
        Ways {
            free,
            off_the_end: off_the_end & free,
        }
    }

    /// Whether the last two strokes of no order at all can be made, so that none is worth looking for. What it does not see
    /// is not thereby possible.
    pub fn ends_badly(&mut self) -> bool {
        let all = self.work.all_done();
        let strokes = self.setup.strokes.len();
        let last: Vec<u32> = (0..strokes)
            .map(|stroke| (stroke, all & !self.setup.strokes[stroke].bits))
            .filter(|&(stroke, done)| self.setup.strokes[stroke].next_to(done))
            .collect::<Vec<_>>()
            .into_iter()
            .filter(|&(stroke, done)| self.can_be_made(stroke, done))
            .map(|(_, done)| done)
            .collect();
        !last.into_iter().any(|then| {
            then == 0
                || (0..strokes).any(|stroke| {
                    let bits = self.setup.strokes[stroke].bits;
                    let done = then & !bits;
                    then & bits == bits
                        && self.setup.strokes[stroke].next_to(done)
                        && self.can_be_made(stroke, done)
                })
        })
    }

    /// Whether a stroke can be made at all when these steps are done.
    pub fn can_be_made(&mut self, stroke: usize, done: u32) -> bool {
        Round::BOTH
            .into_iter()
            .any(|round| self.ways(stroke, round, done, u128::MAX).free != 0)
    }

    /// The variants whose tools hold enough of both legs, as bits.
    pub fn held_enough(&mut self, stroke: usize, round: Round, done: u32) -> u128 {
        let ahead_mm = self.reach(stroke, round, Mover::Ahead, done).half_mm;
        let behind_mm = self.reach(stroke, round, Mover::Behind, done).half_mm;
        self.needs_flat[stroke]
            .iter()
            .enumerate()
            .fold(0, |bits, (variant, [ahead, behind])| {
                bits | u128::from(ahead_mm >= *ahead && behind_mm >= *behind) << variant
            })
    }

    /// The leg that this variant does not hold, if it does not.
    pub fn short_leg(&mut self, stroke: usize, round: Round, variant: usize, done: u32) -> Option<Stop> {
        let needs = self.needs_flat[stroke][variant];
        for (side, needs_mm) in [Mover::Ahead, Mover::Behind].into_iter().zip(needs) {
            let found_mm = self.reach(stroke, round, side, done).half_mm;
            if found_mm < needs_mm {
                let line = &self.work.lines[self.setup.strokes[stroke].lines[0]];
                let moving = (side == Mover::Ahead) == (round == Round::MovingBack);
                let panel = if moving { line.moving } else { line.fixed };
                return Some(Stop::Leg {
                    panel,
                    found_mm,
                    needs_mm,
                });
            }
        }
        None
    }

    /// Whether a leg is too short over part of the bend, though held over most of it.
    pub fn short_in_part(&self, choice: Choice, nearly_all_mm: [f64; 2]) -> bool {
        let needs = self.needs_flat[choice.stroke][choice.variant];
        !self.setup.strokes[choice.stroke].closing
            && nearly_all_mm.iter().zip(needs).any(|(has, needs)| *has < needs)
    }

    /// What bears on the gauge: a mark where no gauge of the machine reaches, or its finger would meet the part. Hand tools
    /// have a stop anywhere.
    pub fn bears(&self, stroke: usize, variant: usize, ahead: &Reach) -> Edge {
        let station = &self.setup.variants[variant].station;
        match station.means {
            Means::Press { press, .. } if !self.setup.strokes[stroke].closing => {
                let [near_mm, most_mm] = self.tooling.presses[press].gauge_mm;
                if ahead.shut || !(near_mm..=most_mm).contains(&ahead.farthest_mm) {
                    Edge::Mark
                } else {
                    ahead.edge
                }
            }
            _ => ahead.edge,
        }
    }

    /// What it costs that no more than this bears on the gauge.
    pub fn gauge_effort(&self, edge: Edge) -> u32 {
        match edge {
            Edge::Square => 0,
            Edge::Bent => self.weights.gauge_bent,
            Edge::Point => self.weights.gauge_point,
            Edge::Mark => self.weights.gauge_mark,
        }
    }

    /// Whether something hangs where the finger of a brake's gauge stands as a bend begins.
    fn finger_meets(&mut self, stroke: usize, round: Round, done: u32, far_mm: f64) -> bool {
        if self.tooling.presses.is_empty() {
            return false;
        }
        let made = &self.setup.strokes[stroke];
        let Some(finger) = Station::gauge(far_mm, self.work.thickness_mm) else {
            return false;
        };
        let motion = super::clear::self_motion(self.work, made);
        let stands = Sector::of(finger.prism.corners(), motion.radius_mm);
        (0..self.work.bodies.len()).any(|body| {
            let ahead = made.hangs[body]
                .as_ref()
                .is_some_and(|hangs| Stroke::mover(hangs, round) == Mover::Ahead);
            if !ahead || self.clear.sector(stroke, body, done, round).is_clear_of(&stands) {
                return false;
            }
            let pieces = made.pieces(self.work, body, round, done);
            pieces.iter().any(|piece| {
                super::clear::overlap(&motion, (piece, Mover::Ahead), (&finger.prism, Mover::Ahead), 0.0)
            })
        })
    }

    pub fn reach(&mut self, stroke: usize, round: Round, side: Mover, done: u32) -> Reach {
        let moving = (side == Mover::Ahead) == (round == Round::MovingBack);
        let made = &self.setup.strokes[stroke];
        let bits = made
            .hangs
            .iter()
            .flatten()
            .filter(|hangs| hangs.moving == moving)
            .fold(0, |bits, hangs| bits | hangs.bits);
        let table = stroke * 2 + usize::from(moving);
        let (slot, size) = (super::clear::squeezed(done, bits), 1usize << bits.count_ones());
        if self.reaches[table].is_empty() {
            self.reaches[table] = vec![None; size];
        }
        if let Some(found) = self.reaches[table][slot] {
            return found;
        }
        let mut found = reach(
            self.work,
            made,
            round,
            side,
            done,
            self.practice.short_share.value,
        );
        // Seen with this side to the back, where the gauge is.
        let to_back = if moving {
            Round::MovingBack
        } else {
            Round::FixedBack
        };
        found.shut = self.finger_meets(stroke, to_back, done, found.solid_mm);
        self.reaches[table][slot] = Some(found);
        found
    }

    /// By how much the front outweighs the back about the bend, N mm; 0 where the metal is not known.
    pub fn front_heavy_n_mm(&mut self, stroke: usize, round: Round, done: u32) -> f64 {
        let Some(stock) = &self.work.stock else { return 0.0 };
        let per_mm4 = stock.density_kg_m3.value / 1e9 * G_M_S2;
        let total: f64 = (0..self.work.bodies.len())
            .map(|body| self.moment_mm4(stroke, body, done))
            .sum();
        // Positive x is toward the moving panel.
        let toward_back = if round == Round::MovingBack { total } else { -total };
        -toward_back * per_mm4
    }

    fn moment_mm4(&mut self, stroke: usize, body: usize, done: u32) -> f64 {
        let made = &self.setup.strokes[stroke];
        let Some(hangs) = &made.hangs[body] else {
            return 0.0;
        };
        let table = stroke * self.work.bodies.len() + body;
        let (slot, size) = (
            super::clear::squeezed(done, hangs.bits),
            1usize << hangs.bits.count_ones(),
        );
        if self.moments[table].is_empty() {
            self.moments[table] = vec![f64::NAN; size];
        }
        if self.moments[table][slot].is_nan() {
            let (centre, volume) = balance(made.pieces(self.work, body, Round::MovingBack, done).iter());
            self.moments[table][slot] = centre.x * volume;
        }
        self.moments[table][slot]
    }
}

/// What must lie flat toward the back and toward the person, mm from the middle of the bend.
fn needs_flat(work: &Work, tooling: &Tooling, station: &Station, stroke: &Stroke, last_rad: f64) -> [f64; 2] {
    let line = &work.lines[stroke.lines[0]];
    let half_strip_mm = line.strip_mm() / 2.0;
    match station.means {
        Means::Press { die, .. } => {
            let die = &tooling.dies[die];
            let over = OverV {
                bent_rad: last_rad,
                radius_mm: line.radius_mm,
                neutral_mm: line.neutral_mm,
                t_mm: work.thickness_mm,
                opening_mm: die.opening_mm,
                shoulder_mm: die.shoulder_mm,
            };
            [over.least_flat_mm(); 2]
        }
        Means::Folder(folder) => {
            let folder = &tooling.folders[folder];
            [
                half_strip_mm + folder.least_clamped_mm,
                half_strip_mm + folder.least_swung_mm,
            ]
        }
        Means::Vice(vice) => {
            let vice = &tooling.vices[vice];
            [
                half_strip_mm + vice.least_clamped_mm,
                half_strip_mm + vice.least_drawn_mm,
            ]
        }
        // What its legs must be was asked by their drawn lengths: nothing is known of what they lie on.
        Means::Away => [0.0; 2],
    }
}
