//! The real part: what was measured on the bends already made, and the rest of them solved again so that the holes land.

mod gauge;
#[cfg(test)]
mod tests;
mod would_do;

use std::f64::consts::PI;

use brake::measured::{Freedom, Landing, Lands, Left, MeasuredBend, MeasuredError, Resolved, resolve};
use brake::order::Plan;
use brake::standing::GaugedLeg;
use serde::Serialize;
use sheet::OpeningShape;
use units::{both, deg};

use crate::judge::bend_words::step_bends;
use crate::report::VERSION;
use crate::run::{Outcome, Worked};
use crate::stages::bending::{Bending, Found};
use crate::summary::Num;
use crate::typed::{NotAReading, bent_rad, length_mm, pieces};

use gauge::{Real, back_panel, edge_by_mm, gauge_by_mm, leg_mm, moving_over_mm};
use would_do::would_do;

/// An angle this far off the drawn one was not read as it was asked, rad.
const FAR_OFF_RAD: f64 = 0.262;
/// And a leg, mm.
const FAR_OFF_MM: f64 = 5.0;
/// A hole that nothing is known to go through may be off by so much, mm. Common practice, no source.
const FREE_HOLE_MM: f64 = 0.5;
/// No hole is asked to land closer than a caliper tells, mm.
const LEAST_ALLOWED_MM: f64 = 0.05;
/// A gauge that moves by less than this stands where it stood, mm: closer than one is set.
const SAME_GAUGE_MM: f64 = 0.05;

/// Why the remaining bends were not solved.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MeasuredBendsError {
    /// There is no order to go on in.
    #[error("there is no order of the bends to go on in: {0}")]
    NoOrder(String),
    /// Not a bend and what it measured.
    #[error(
        "\"{0}\" is not a bend and what it measured; write b1=88.5deg, b1=88.5deg,leg=41.2mm or b1=drawn"
    )]
    NotABend(String),
    /// No such bend.
    #[error("there is no bend \"{asked}\"; in their order there are: {}", .known.join(", "))]
    NoSuchBend {
        /// As asked.
        asked: String,
        /// In the order of the plan.
        known: Vec<String>,
    },
    /// Said twice.
    #[error("{0} is said twice")]
    Twice(String),
    /// A bend before it was not said.
    #[error(
        "{bend} is bent after {}; say what came of {} too, or {}=drawn where it came as drawn",
        .before.join(" and "),
        if .before.len() == 1 { "it" } else { "them" },
        .before.first().map_or("", String::as_str)
    )]
    NotYet {
        /// The bend.
        bend: String,
        /// Those that come before and were not said.
        before: Vec<String>,
    },
    /// A number that is none.
    #[error("{bend}: {why}")]
    Typed {
        /// The bend.
        bend: String,
        /// Why.
        why: NotAReading,
    },
    /// Far from the drawn angle.
    #[error(
        "{bend} is drawn bent through {} ({} between the legs), and {} was typed{}",
        deg(*.drawn_rad),
        deg(PI - *.drawn_rad),
        deg(*.typed_rad),
        if (PI - *.typed_rad - *.drawn_rad).abs() < FAR_OFF_RAD {
            format!(": is that the angle between the legs? Then write {bend}=\"{} between legs\"", deg(*.typed_rad))
        } else {
            ": read it again; a bend so far off is bent on or begun anew".to_owned()
        }
    )]
    AngleFarOff {
        /// The bend.
        bend: String,
        /// As drawn, rad.
        drawn_rad: f64,
        /// As typed, rad.
        typed_rad: f64,
    },
    /// Far from the drawn leg.
    #[error(
        "the leg \"{leg}\" of {bend} should be {}, outside, from the edge at the gauge to {}; {} was typed. Was it measured \
         from there?",
        both(*.drawn_mm),
        if *.over_the_bend { "the outermost of the bend" } else { "where the outsides meet" },
        both(*.typed_mm)
    )]
    LegFarOff {
        /// The bend.
        bend: String,
        /// The panel.
        leg: String,
        /// Past a right angle it is read over the round of the bend.
        over_the_bend: bool,
        /// As it should be at this angle, mm.
        drawn_mm: f64,
        /// As typed, mm.
        typed_mm: f64,
    },
    /// A leg that cannot be told from here.
    #[error("the leg of {bend} is not measured from an edge that stood at the gauge: give its angle only")]
    NoLeg {
        /// The bend.
        bend: String,
    },
    /// No hole to land.
    #[error("the part has no hole that must land")]
    NoHoles,
    /// It cannot be solved.
    #[error(transparent)]
    Measured(#[from] MeasuredError),
}

/// What was understood of a bend.
#[derive(Debug, Clone, Serialize)]
pub struct Understood {
    /// The bend.
    pub bend: String,
    /// Bent through, as drawn and as measured.
    pub bent_deg: [Num; 2],
    /// Left between the legs, likewise.
    pub between_legs_deg: [Num; 2],
    /// The leg that was measured; absent when none was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub leg: Option<String>,
    /// Its outside length, as it should be at this angle and as measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub leg_mm: Option<[Num; 2]>,
}

/// A bend that is still to be made.
#[derive(Debug, Clone, Serialize)]
pub struct Remaining {
    /// Its step in the plan, from 1.
    pub number: usize,
    /// The bend.
    pub bend: String,
    /// Bent through after release, as planned and now.
    pub bent_deg: [Num; 2],
    /// Left between the legs after release, likewise.
    pub between_legs_deg: [Num; 2],
    /// Bent through under load, likewise.
    pub loaded_deg: [Num; 2],
    /// From the middle of the bend to the edge at the gauge, likewise.
    pub gauge_to_middle_mm: [Num; 2],
    /// From its nearer tangent line, likewise.
    pub gauge_to_tangent_mm: [Num; 2],
    /// Which of the two the card gives: `middle` or `tangent`.
    pub gauge_to: &'static str,
}

/// Where a hole comes.
#[derive(Debug, Clone, Serialize)]
pub struct HoleLands {
    /// The hole.
    pub hole: String,
    /// Off its place when the rest is bent as planned.
    pub before_mm: Num,
    /// And as solved.
    pub off_mm: Num,
    /// How far off it may be.
    pub allowed_mm: Num,
}

/// The rest of the bends around the real part.
#[derive(Debug, Clone, Serialize)]
pub struct MeasuredBends {
    /// The program's version.
    pub gusset: &'static str,
    /// What was understood.
    pub measured: Vec<Understood>,
    /// The rest, in the order of the plan.
    pub remaining: Vec<Remaining>,
    /// Hole by hole.
    pub holes: Vec<HoleLands>,
    /// Every hole lands.
    pub lands: bool,
    /// Every hole lands with the rest as planned, and no gauge stands elsewhere: nothing needs to be changed.
    pub lands_as_planned: bool,
    /// Where they do not land: what would do.
    pub would_do: Vec<String>,
}

/// Takes "b1=88.5deg,leg=41.2mm" for every bend that is made, and solves the others.
///
/// # Errors
/// [`MeasuredBendsError`]
pub fn measured_bends(outcome: &Outcome, typed: &[String]) -> Result<MeasuredBends, MeasuredBendsError> {
    let worked = &outcome.worked;
    let no_order = || MeasuredBendsError::NoOrder(outcome.summary.verdicts.bend.says.clone());
    let Ok(bending) = &worked.bent else {
        return Err(no_order());
    };
    let Found::Order(plan) = &bending.found else {
        return Err(no_order());
    };
    let mut said: Vec<Typed> = Vec::new();
    for text in typed {
        let one = typed_one(worked, bending, plan, text)?;
        if said.iter().any(|known| known.step == one.step) {
            return Err(MeasuredBendsError::Twice(step_bends(
                bending,
                &plan.steps[one.step],
            )));
        }
        said.push(one);
    }
    said.sort_by_key(|typed| typed.step);
    let steps: Vec<usize> = said.iter().map(|typed| typed.step).collect();
    let last = steps.last().copied();
    let before = unsaid(plan, &steps);
    if let Some(last) = last.filter(|_| !before.is_empty()) {
        let name = |step: usize| step_bends(bending, &plan.steps[step]);
        return Err(MeasuredBendsError::NotYet {
            bend: name(last),
            before: before.into_iter().map(name).collect(),
        });
    }
    let (mut read, mut made): (Vec<Read>, Vec<MeasuredBend>) = (Vec::new(), Vec::new());
    for typed in &said {
        let one = read_one(bending, plan, typed, &made)?;
        made.extend(&one.bends);
        read.push(one);
    }
    let left = left(plan, last);
    let holes = landings(worked);
    if holes.is_empty() {
        return Err(MeasuredBendsError::NoHoles);
    }
    let mut found = resolve(&bending.work, &made, &holes, &Freedom::default(), &left)?;
    as_planned_where_nothing_is_gained(bending, &mut found);
    let lands = found.all_land();
    let would_do = if lands {
        Vec::new()
    } else {
        would_do(bending, &left, &read, &made, &holes, &found)?
    };
    let remaining = remaining(bending, plan, last, &made, &found);
    let moves = |row: &Remaining| {
        let [planned, now] = row.gauge_to_middle_mm;
        (now.0 - planned.0).abs() > SAME_GAUGE_MM
    };
    Ok(MeasuredBends {
        gusset: VERSION,
        measured: read.into_iter().map(|read| read.told).collect(),
        lands_as_planned: found.lands.iter().all(|hole| hole.before_mm <= hole.allowed_mm)
            && !remaining.iter().any(moves),
        remaining,
        holes: found
            .lands
            .iter()
            .map(|hole| HoleLands {
                hole: hole.name.clone(),
                before_mm: Num(hole.before_mm),
                off_mm: Num(hole.off_mm),
                allowed_mm: Num(hole.allowed_mm),
            })
            .collect(),
        lands,
        would_do,
    })
}

/// What was typed of one step.
struct Read {
    bends: Vec<MeasuredBend>,
    told: Understood,
}

/// What was typed of one step, before it is held against the plan.
struct Typed {
    name: String,
    line: usize,
    step: usize,
    angle_rad: Option<f64>,
    leg_mm: Option<f64>,
}

fn typed_one(
    worked: &Worked,
    bending: &Bending,
    plan: &Plan,
    text: &str,
) -> Result<Typed, MeasuredBendsError> {
    let work = &bending.work;
    let (name, values) = text
        .split_once('=')
        .ok_or_else(|| MeasuredBendsError::NotABend(text.to_owned()))?;
    let name = name.trim();
    let line = work.lines.iter().position(|line| {
        line.bends
            .iter()
            .any(|bend| worked.part.bends[*bend].name == name)
    });
    // A bend that is made in two steps is measured when it is finished.
    let step = line.and_then(|line| plan.steps.iter().rposition(|step| step.lines.contains(&line)));
    let (Some(line), Some(step)) = (line, step) else {
        return Err(MeasuredBendsError::NoSuchBend {
            asked: name.to_owned(),
            known: plan.steps.iter().map(|step| step_bends(bending, step)).collect(),
        });
    };
    let why = |why: NotAReading| MeasuredBendsError::Typed {
        bend: name.to_owned(),
        why,
    };
    let twice = |what: &str| MeasuredBendsError::Twice(format!("{what} of {name}"));
    let (mut angle, mut leg): (Option<f64>, Option<f64>) = (None, None);
    let mut said_drawn = false;
    for piece in pieces(values) {
        if piece.eq_ignore_ascii_case("drawn") {
            if said_drawn || angle.is_some() {
                return Err(twice("the angle"));
            }
            said_drawn = true;
        } else if let Some((what, value)) = piece.split_once('=') {
            if !what.trim().eq_ignore_ascii_case("leg") {
                return Err(MeasuredBendsError::NotABend(text.to_owned()));
            }
            if leg.replace(length_mm(value).map_err(why)?).is_some() {
                return Err(twice("the leg"));
            }
        } else {
            if said_drawn || angle.replace(bent_rad(piece).map_err(why)?).is_some() {
                return Err(twice("the angle"));
            }
        }
    }
    if !said_drawn && angle.is_none() && leg.is_none() {
        return Err(MeasuredBendsError::NotABend(text.to_owned()));
    }
    let drawn_rad = work.lines[line].bent_rad;
    if let Some(typed_rad) = angle.filter(|rad| (rad - drawn_rad).abs() > FAR_OFF_RAD) {
        return Err(MeasuredBendsError::AngleFarOff {
            bend: name.to_owned(),
            drawn_rad,
            typed_rad,
        });
    }
    Ok(Typed {
        name: name.to_owned(),
        line,
        step,
        angle_rad: angle,
        leg_mm: leg,
    })
}

/// Held against the plan, and against the bends that were made before it.
fn read_one(
    bending: &Bending,
    plan: &Plan,
    typed: &Typed,
    before: &[MeasuredBend],
) -> Result<Read, MeasuredBendsError> {
    let work = &bending.work;
    let (name, step) = (&typed.name, typed.step);
    let (made, at) = (&work.lines[typed.line], &plan.steps[step]);
    let is_rad = typed.angle_rad.unwrap_or(made.bent_rad);
    let lead = &work.lines[at.lines[0]];
    let back = back_panel(lead, at);
    let mut gauged_over_mm = 0.0;
    let mut leg_told = None;
    if let Some(typed_mm) = typed.leg_mm {
        let Some(gauged) = GaugedLeg::of(work, at) else {
            return Err(MeasuredBendsError::NoLeg { bend: name.clone() });
        };
        // A bend that stood at the gauge may itself lie elsewhere.
        let edge_by_mm = edge_by_mm(work, at, &Real::of(work, before, &[]));
        let drawn_mm = leg_mm(lead, at, is_rad, work.thickness_mm) + edge_by_mm;
        if (typed_mm - drawn_mm).abs() > FAR_OFF_MM {
            return Err(MeasuredBendsError::LegFarOff {
                bend: name.clone(),
                leg: work.panels[back].clone(),
                over_the_bend: gauged.over_the_bend,
                drawn_mm,
                typed_mm,
            });
        }
        gauged_over_mm = typed_mm - drawn_mm;
        leg_told = Some([Num(drawn_mm), Num(typed_mm)]);
    }
    let degrees = |rad: f64| Num(rad.to_degrees());
    Ok(Read {
        bends: at
            .lines
            .iter()
            .map(|&line| MeasuredBend {
                line,
                bent_rad: Some(is_rad),
                leg_over_mm: moving_over_mm(work, at, line, gauged_over_mm),
            })
            .collect(),
        told: Understood {
            bend: step_bends(bending, at),
            bent_deg: [made.bent_rad, is_rad].map(degrees),
            between_legs_deg: [PI - made.bent_rad, PI - is_rad].map(degrees),
            leg: leg_told.map(|_| work.panels[back].clone()),
            leg_mm: leg_told,
        },
    })
}

/// What is left after the last step that was read: lines that are finished in one stroke are altered as one, and what an earlier step
/// has begun does not move any more.
fn left(plan: &Plan, last: Option<usize>) -> Left {
    let done = last.map_or(0, |last| last + 1).min(plan.steps.len());
    let (made, rest) = plan.steps.split_at(done);
    let later = |line: &usize| rest.iter().any(|step| step.lines.contains(line));
    let begun = made.iter().flat_map(|step| &step.lines).copied();
    Left {
        together: plan.steps.iter().rev().map(|step| step.lines.clone()).collect(),
        begun: begun.filter(later).collect(),
    }
}

/// The steps before the last that was said of which nothing was said: but for those whose lines are finished by a later step, where
/// they are measured.
fn unsaid(plan: &Plan, said: &[usize]) -> Vec<usize> {
    let last = said.iter().copied().max().unwrap_or(0);
    let later = |line: usize, step: usize| {
        plan.steps
            .iter()
            .skip(step + 1)
            .any(|later| later.lines.contains(&line))
    };
    let read = |line: usize| said.iter().any(|step| plan.steps[*step].lines.contains(&line));
    (0..last)
        .filter(|step| {
            let lines = &plan.steps[*step].lines;
            lines.iter().any(|line| !read(*line) && !later(*line, *step))
        })
        .collect()
}

/// The holes that bolts go through, each with the play that is left; without any, every round hole.
fn landings(worked: &Worked) -> Vec<Landing> {
    let part = &worked.part;
    let left = |allowed_mm: f64, used_mm: f64| (allowed_mm - used_mm).max(LEAST_ALLOWED_MM);
    let mut wanted: Vec<(String, f64)> = Vec::new();
    if let Some(standing) = &worked.standing {
        let mounts = standing.placement.iter().flat_map(|placement| &placement.mounts);
        wanted.extend(mounts.map(|mount| (mount.hole.clone(), left(mount.allowed_mm, mount.offset_mm))));
        let support = worked
            .equipment
            .as_ref()
            .and_then(|equipment| equipment.support.as_ref());
        if let (Some(state), Some(wish)) = (&standing.support, support) {
            let allowed_mm = left(state.allowed_mm, state.offset_mm);
            wanted.extend(wish.holes.iter().map(|hole| (hole.value.clone(), allowed_mm)));
        }
    }
    if wanted.is_empty() {
        let round = part
            .openings
            .iter()
            .filter(|opening| matches!(opening.shape, OpeningShape::Round { .. }));
        wanted.extend(round.map(|opening| (opening.name.clone(), FREE_HOLE_MM)));
    }
    let mut holes: Vec<Landing> = Vec::new();
    for (name, allowed_mm) in wanted {
        if let Some(known) = holes.iter_mut().find(|hole| hole.name == name) {
            known.allowed_mm = known.allowed_mm.min(allowed_mm);
            continue;
        }
        let Some(index) = part.openings.iter().position(|opening| opening.name == name) else {
            continue;
        };
        let panel = part
            .panels
            .iter()
            .position(|panel| panel.openings.contains(&index));
        let at = match part.blank.openings.get(index) {
            Some(Some(OpeningShape::Round { at, .. })) => Some(*at),
            Some(Some(OpeningShape::Slot { from, to, .. })) => Some(nalgebra::center(from, to)),
            _ => None,
        };
        if let (Some(panel), Some(at)) = (panel, at) {
            holes.push(Landing {
                name,
                panel,
                at,
                allowed_mm,
            });
        }
    }
    holes
}

/// Another angle and another gauge are a chance of a slip: they are asked for only where they bring the worst hole nearer by a
/// quarter, or where a hole would not land without them.
fn as_planned_where_nothing_is_gained(bending: &Bending, found: &mut Resolved) {
    const WORTH_IT: f64 = 0.75;
    let shares = |off: fn(&Lands) -> f64| {
        let shares = found.lands.iter().map(|hole| off(hole) / hole.allowed_mm);
        shares.fold(0.0, f64::max)
    };
    let (before, after) = (shares(|hole| hole.before_mm), shares(|hole| hole.off_mm));
    if before > 1.0 || after < WORTH_IT * before {
        return;
    }
    for bend in &mut found.bends {
        bend.bent_rad = bending.work.lines[bend.line].bent_rad;
        bend.place_mm = 0.0;
    }
    for hole in &mut found.lands {
        hole.off_mm = hole.before_mm;
    }
}

/// The steps that are left after the last that was read, each with its angle and its gauge as they are now.
fn remaining(
    bending: &Bending,
    plan: &Plan,
    last: Option<usize>,
    made: &[MeasuredBend],
    found: &Resolved,
) -> Vec<Remaining> {
    let work = &bending.work;
    let real = Real::of(work, made, &found.bends);
    let mut rows = Vec::new();
    for (index, step) in plan.steps.iter().enumerate() {
        if last.is_some_and(|last| index <= last) {
            continue;
        }
        let Some(corrected) = found.bends.iter().find(|bend| step.lines.contains(&bend.line)) else {
            continue;
        };
        let line = &work.lines[corrected.line];
        // What is bent in two steps is only altered in its last.
        let last = plan
            .steps
            .iter()
            .rposition(|later| later.lines.contains(&corrected.line))
            == Some(index);
        let to_rad = if last { corrected.bent_rad } else { step.to_rad };
        let share = if step.to_rad > 0.0 {
            to_rad / step.to_rad
        } else {
            1.0
        };
        // By how much it opens goes with how far it is bent.
        let planned_rad = bending.aim_rad(step).unwrap_or(step.loaded_rad);
        let loaded_rad = to_rad + (planned_rad - step.to_rad) * share;
        let by_mm = gauge_by_mm(work, step, &real);
        let degrees = |rad: f64| Num(rad.to_degrees());
        // Nearer to the tangent line by half of what the strip is longer, as the bend goes further.
        let strip_mm = (to_rad - step.to_rad) * line.neutral_mm / 2.0;
        rows.push(Remaining {
            number: index + 1,
            bend: step_bends(bending, step),
            bent_deg: [step.to_rad, to_rad].map(degrees),
            between_legs_deg: [PI - step.to_rad, PI - to_rad].map(degrees),
            loaded_deg: [planned_rad, loaded_rad].map(degrees),
            gauge_to_middle_mm: [step.gauge.to_middle_mm, step.gauge.to_middle_mm + by_mm].map(Num),
            gauge_to_tangent_mm: [
                step.gauge.to_tangent_mm,
                step.gauge.to_tangent_mm + by_mm - strip_mm,
            ]
            .map(Num),
            gauge_to: bending.gauge_to(step.means).word(),
        });
    }
    rows
}
