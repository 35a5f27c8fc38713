//! A plan told step by step with its numbers, and why a bend is blocked.

use super::clear::{Asked, motion_of, of_tool, overlap, self_motion};
use super::effort::Effort;
use super::held::Gauge;
use super::moves::{Round, Stroke};
use super::plan::{Block, Blocked, Clearance, Held, Plan, Proof, Step, What};
use super::search::{Choice, Search};
use super::setup::stops_of;
use crate::needs::Stop;
use crate::solid::Prism;
use crate::sweep::{Motion, Mover, Scratch, Sector, least_gap, meeting};
use crate::tooling::Means;
use crate::work::Solid;

/// What comes no nearer than this is not told, mm.
const NEAR_MM: f64 = 25.0;

/// The steps of these choices.
pub(super) fn plan(search: &mut Search<'_>, choices: &[(u32, Choice)], proof: Proof) -> Plan {
    let mut steps = Vec::new();
    let mut total = Effort::default();
    let mut last: Option<Choice> = None;
    for &(done, choice) in choices {
        let step = step(search, last, done, choice);
        total += step.effort;
        steps.push(step);
        last = Some(choice);
    }
    Plan {
        steps,
        effort: total,
        proof,
    }
}

fn step(search: &mut Search<'_>, last: Option<Choice>, done: u32, choice: Choice) -> Step {
    let mut effort = search.own_effort(choice.stroke, choice.round, done);
    effort += search.tool_effort(choice.stroke, choice.variant, choice.off_the_end);
    let pose = search.pose(choice.stroke, choice.round);
    let (mut flip, mut turn, mut change) = (false, false, false);
    if last.is_none() {
        effort += search.first_effort(choice.variant);
    }
    if let Some(last) = last {
        let turned = search.turn_effort(search.pose(last.stroke, last.round), pose);
        (flip, turn) = {
            let ((face, back), (next_face, next_back)) = (
                search.setup.lies[search.pose(last.stroke, last.round)],
                search.setup.lies[pose],
            );
            (face != next_face, back != next_back)
        };
        change = last.variant != choice.variant;
        effort += turned;
        effort += search.change_effort(last.variant, choice.variant);
    }
    let ahead = search.reach(choice.stroke, choice.round, Mover::Ahead, done);
    let behind = search.reach(choice.stroke, choice.round, Mover::Behind, done);
    let bears = search.bears(choice.stroke, choice.variant, &ahead);
    effort.gauge += search.gauge_effort(bears);
    let front_heavy_n_mm = search.front_heavy_n_mm(choice.stroke, choice.round, done);
    let made = &search.setup.strokes[choice.stroke];
    let station = &search.setup.variants[choice.variant].station;
    let half_strip_mm = search.work.lines[made.lines[0]].strip_mm() / 2.0;
    let [(front_mm, _), (back_mm, _)] = [Mover::Behind, Mover::Ahead].map(|side| {
        let sign = if side == Mover::Ahead { 1.0 } else { -1.0 };
        let far = (0..search.work.bodies.len())
            .filter(|&body| {
                made.hangs[body]
                    .as_ref()
                    .is_some_and(|hangs| Stroke::mover(hangs, choice.round) == side)
            })
            .flat_map(|body| made.pieces(search.work, body, choice.round, done))
            .flat_map(|piece| piece.corners().map(|corner| corner.x * sign).collect::<Vec<_>>())
            .fold(0.0, f64::max);
        (far, side)
    });
    Step {
        lines: made.lines.clone(),
        before: done,
        after: done | made.bits,
        from_rad: made.from_rad,
        to_rad: made.to_rad,
        loaded_rad: search.setup.last_rad[choice.stroke],
        closing: made.closing,
        means: station.means,
        tool_mm: station.tool_mm,
        round: choice.round,
        marked_up: search.setup.lies[pose].0,
        flip,
        turn,
        change,
        gauge: Gauge {
            to_middle_mm: ahead.farthest_mm,
            to_tangent_mm: ahead.farthest_mm - half_strip_mm,
            edge: bears,
        },
        held: Held {
            mass_kg: search.work.mass_kg(),
            front_heavy_n_mm,
            front_mm,
            back_mm,
        },
        off_the_end: choice.off_the_end,
        clearance: clearance(search, choice, done),
        leg_short_in_part: search.short_in_part(choice, [ahead.nearly_all_mm, behind.nearly_all_mm]),
        effort,
    }
}

/// The nearest two solids of a step, but for what lies on each other.
fn clearance(search: &Search<'_>, choice: Choice, done: u32) -> Option<Clearance> {
    let made = &search.setup.strokes[choice.stroke];
    let variant = &search.setup.variants[choice.variant];
    let last_rad = search.setup.last_rad[choice.stroke];
    let (motion, alone) = (
        motion_of(search.work, made, &variant.station, last_rad),
        self_motion(search.work, made),
    );
    let bodies: Vec<_> = (0..search.work.bodies.len())
        .filter_map(|body| {
            let hangs = made.hangs[body].as_ref()?;
            let flat = Stroke::lies_flat(search.work, hangs, done);
            let pieces = made.pieces(search.work, body, choice.round, done);
            Some((
                search.work.bodies[body].solid,
                Stroke::mover(hangs, choice.round),
                flat,
                pieces,
            ))
        })
        .collect();
    let mut best: Option<Clearance> = None;
    let mut tell = |motion: &Motion, a: (&Prism, Mover), b: (&Prism, Mover), part: Solid, to: What| {
        let under_mm = best.map_or(NEAR_MM, |known| known.mm);
        let mm = least_gap(motion, a, b, made.from_rad, last_rad, under_mm);
        if mm < under_mm {
            best = Some(Clearance { mm, part, to });
        }
    };
    for (solid, mover, flat, pieces) in &bodies {
        for piece in pieces {
            // The legs lie along punch and die from the start: only what stands up or hangs down is told against them.
            for tool in variant.pieces.iter().filter(|_| !made.closing && !*flat) {
                tell(
                    &motion,
                    (piece, *mover),
                    (&tool.prism, tool.mover),
                    *solid,
                    What::Tool(tool.solid),
                );
            }
        }
    }
    for (solid, mover, flat, pieces) in bodies.iter().filter(|body| body.1 == Mover::Ahead) {
        for (other, other_mover, other_flat, others) in bodies.iter().filter(|body| body.1 == Mover::Behind) {
            if *flat && *other_flat {
                continue;
            }
            for piece in pieces {
                for against in others {
                    tell(
                        &alone,
                        (piece, *mover),
                        (against, *other_mover),
                        *solid,
                        What::Part(*other),
                    );
                }
            }
        }
    }
    best
}

/// Why nothing goes on from the fullest end.
pub(super) fn blocked(search: &mut Search<'_>, ends: &[u32]) -> Vec<Blocked> {
    let Some(&done) = ends.first() else {
        return Vec::new();
    };
    let mut told = Vec::new();
    for stroke in 0..search.setup.strokes.len() {
        let made = &search.setup.strokes[stroke];
        if made.next_to(done) && made.stages.len() == 1 {
            told.push(why(search, stroke, done));
        }
    }
    told
}

/// Why a stroke cannot be made when these steps are done, with the tools that come nearest.
pub(crate) fn why(search: &mut Search<'_>, stroke: usize, done: u32) -> Blocked {
    let line = search.setup.strokes[stroke].lines[0];
    let choice = |variant: usize, round: Round| Choice {
        stroke,
        round,
        variant,
        off_the_end: false,
    };
    let own = Round::BOTH.map(|round| meets_itself(search, choice(0, round), done));
    let mut nearest: Vec<(Choice, Against)> = Vec::new();
    for variant in 0..search.setup.variants.len() {
        let means = search.setup.variants[variant].station.means;
        for (round, own) in Round::BOTH.into_iter().zip(own) {
            let choice = choice(variant, round);
            let against = why_with(search, choice, done, own);
            let of_means = |known: &&mut (Choice, Against)| {
                search.setup.variants[known.0.variant].station.means == means
            };
            match nearest.iter_mut().find(of_means) {
                Some(known) if against.of_one_tool() < known.1.of_one_tool() => *known = (choice, against),
                Some(_) => {}
                None => nearest.push((choice, against)),
            }
        }
    }
    let mut best: Option<(Choice, Against)> = None;
    for (choice, against) in nearest {
        let nearer = |known: &(Choice, Against)| against.of_tools() < known.1.of_tools();
        if best.as_ref().is_none_or(nearer) {
            best = Some((choice, against));
        }
    }
    let Some((choice, against)) = best else {
        return for_no_bend(search, stroke, done);
    };
    let station = &search.setup.variants[choice.variant].station;
    Blocked {
        line,
        done,
        means: Some(station.means),
        tool_mm: (station.means != Means::Away).then_some(station.tool_mm),
        round: Some(choice.round),
        why: against.why,
    }
}

/// Why a stroke cannot be made where no tool serves any bend: of all tools at their longest, what the one with least against
/// it says.
fn for_no_bend(search: &Search<'_>, stroke: usize, done: u32) -> Blocked {
    let (tooling, made) = (search.tooling, &search.setup.strokes[stroke]);
    let against = tooling.means().into_iter().filter_map(|means| {
        let stops = stops_of(
            search.work,
            tooling,
            search.practice,
            means,
            tooling.longest_mm(means)?,
            made,
            search.setup.last_rad[stroke],
        );
        Some((stops.len(), means, stops.into_iter().next()?))
    });
    let least = against.min_by_key(|(count, ..)| *count);
    let (means, why) = match least {
        Some((_, means, stop)) => (Some(means), Block::Stop(stop)),
        None => (None, Block::NoTools),
    };
    Blocked {
        line: made.lines[0],
        done,
        means,
        tool_mm: None,
        round: None,
        why,
    }
}

/// What stands against a stroke with certain tools.
struct Against {
    /// Of what must all be so for a stroke to be made, how much is.
    nearness: u8,
    /// By how much it is missed, mm.
    by_mm: f64,
    why: Block,
}

impl Against {
    fn one(nearness: u8, by_mm: f64, why: Block) -> Against {
        Against { nearness, by_mm, why }
    }

    /// Of the lengths that one tool is made up to, and of both ways round, the one that misses it by least; of a vice one that meets
    /// its body or its screw first, as other jaws are soon made, and then these are met.
    fn of_one_tool(&self) -> (u8, bool, f64) {
        use crate::sweep::ToolSolid::{InnerJaw, OuterJaw};
        let by_jaw = matches!(
            self.why,
            Block::Meets {
                with: What::Tool(InnerJaw | OuterJaw),
                ..
            }
        );
        (u8::MAX - self.nearness, by_jaw, self.by_mm)
    }

    /// Of different tools, the one that misses it by least.
    fn of_tools(&self) -> (u8, f64) {
        (u8::MAX - self.nearness, self.by_mm)
    }
}

fn why_with(search: &mut Search<'_>, choice: Choice, done: u32, own: Deepest) -> Against {
    let Choice {
        stroke,
        round,
        variant,
        ..
    } = choice;
    if let Some(stop) = search.setup.stops[stroke][variant].first() {
        return Against::one(0, 0.0, Block::Stop(stop.clone()));
    }
    let closing = search.setup.strokes[stroke].closing;
    if !closing && let Some(stop) = search.short_leg(stroke, round, variant, done) {
        let by_mm = match stop {
            Stop::Leg {
                found_mm, needs_mm, ..
            } => needs_mm - found_mm,
            _ => 0.0,
        };
        return Against::one(1, by_mm, Block::Stop(stop));
    }
    let tools = meets_tools(search, choice, done);
    let deepest = match (tools, own) {
        (Some(tools), Some(own)) if own.3 > tools.3 => Some(own),
        (tools, own) => tools.or(own),
    };
    if let Some((part, with, at_rad, depth_mm)) = deepest {
        let why = Block::Meets {
            part,
            with,
            at_rad,
            depth_mm,
        };
        return Against::one(2, depth_mm, why);
    }
    let why = match trapped(search, choice, done) {
        Some((part, with)) => Block::Trapped { part, with },
        None => Block::NoTools,
    };
    Against::one(3, 0.0, why)
}

/// What meets deepest: the part's solid, with what, the angle and the depth.
type Deepest = Option<(Solid, What, f64, f64)>;

/// A piece of the part as it stands before a stroke, with all that it passes through.
struct Piece {
    solid: Solid,
    mover: Mover,
    flat: bool,
    prism: Prism,
    sector: Sector,
}

fn pieces(search: &Search<'_>, motion: &Motion, choice: Choice, done: u32) -> Vec<Piece> {
    let made = &search.setup.strokes[choice.stroke];
    let last_rad = search.setup.last_rad[choice.stroke];
    let bodies = made.hangs.iter().enumerate();
    bodies
        .filter_map(|(body, hangs)| Some((body, hangs.as_ref()?)))
        .flat_map(|(body, hangs)| {
            let mover = Stroke::mover(hangs, choice.round);
            let flat = Stroke::lies_flat(search.work, hangs, done);
            let own = made.pieces(search.work, body, choice.round, done).into_iter();
            own.map(move |prism| Piece {
                solid: search.work.bodies[body].solid,
                mover,
                flat,
                sector: Sector::of(prism.corners(), motion.radius_mm).swept(
                    motion,
                    mover,
                    made.from_rad,
                    last_rad,
                ),
                prism,
            })
        })
        .collect()
}

/// Followed from the start of a stroke to its end: what of this meets, deeper than is known.
fn deeper(
    search: &Search<'_>,
    stroke: usize,
    motion: &Motion,
    (a, b): ((&Prism, Mover), (&Prism, Mover)),
    (part, with): (Solid, What),
    deepest: &mut Deepest,
) {
    let (from_rad, last_rad) = (
        search.setup.strokes[stroke].from_rad,
        search.setup.last_rad[stroke],
    );
    let Some(met) = meeting(motion, a, b, from_rad, last_rad, &mut Scratch::default()) else {
        return;
    };
    let depth_mm = -least_gap(motion, a, b, from_rad, last_rad, 0.0);
    if deepest.is_none_or(|known| depth_mm > known.3) {
        *deepest = Some((part, with, met.bent_rad, depth_mm));
    }
}

/// What of the part meets itself deepest in a stroke, whatever the tool.
fn meets_itself(search: &Search<'_>, choice: Choice, done: u32) -> Deepest {
    let alone = self_motion(search.work, &search.setup.strokes[choice.stroke]);
    let all = pieces(search, &alone, choice, done);
    let mut deepest = None;
    for first in all.iter().filter(|piece| piece.mover == Mover::Ahead) {
        for second in all.iter().filter(|piece| piece.mover == Mover::Behind) {
            if !first.sector.is_clear_of(&second.sector) {
                let pair = ((&first.prism, first.mover), (&second.prism, second.mover));
                let names = (first.solid, What::Part(second.solid));
                deeper(search, choice.stroke, &alone, pair, names, &mut deepest);
            }
        }
    }
    deepest
}

/// What of the part meets a tool deepest in a stroke.
fn meets_tools(search: &Search<'_>, choice: Choice, done: u32) -> Deepest {
    let made = &search.setup.strokes[choice.stroke];
    if made.closing {
        return None;
    }
    let variant = &search.setup.variants[choice.variant];
    let last_rad = search.setup.last_rad[choice.stroke];
    let motion = motion_of(search.work, made, &variant.station, last_rad);
    let tools: Vec<Sector> = variant
        .pieces
        .iter()
        .map(|tool| of_tool(&motion, tool, made.from_rad, last_rad))
        .collect();
    let mut deepest = None;
    for piece in pieces(search, &motion, choice, done) {
        for (tool, sector) in variant.pieces.iter().zip(&tools) {
            if (piece.flat && tool.holds.flat(piece.mover)) || piece.sector.is_clear_of(sector) {
                continue;
            }
            let pair = ((&piece.prism, piece.mover), (&tool.prism, tool.mover));
            let names = (piece.solid, What::Tool(tool.solid));
            deeper(search, choice.stroke, &motion, pair, names, &mut deepest);
        }
    }
    deepest
}

fn trapped(search: &mut Search<'_>, choice: Choice, done: u32) -> Option<(Solid, crate::sweep::ToolSolid)> {
    let after = [false, true].into_iter().find(|&after| {
        let (own, asked) = (1 << choice.variant, Asked::Lift { after });
        let clear = &mut search.clear;
        clear.tools_meet(choice.stroke, choice.round, done, asked, own) == own
    })?;
    let made = &search.setup.strokes[choice.stroke];
    let variant = &search.setup.variants[choice.variant];
    let motion = motion_of(
        search.work,
        made,
        &variant.station,
        search.setup.last_rad[choice.stroke],
    );
    let at_rad = if after { made.to_rad } else { made.from_rad };
    for (body, hangs) in made.hangs.iter().enumerate() {
        let Some(hangs) = hangs else { continue };
        let mover = Stroke::mover(hangs, choice.round);
        for piece in made.pieces(search.work, body, choice.round, done) {
            for tool in &variant.lifts {
                if overlap(&motion, (&piece, mover), (&tool.prism, tool.mover), at_rad) {
                    return Some((search.work.bodies[body].solid, tool.solid));
                }
            }
        }
    }
    None
}
