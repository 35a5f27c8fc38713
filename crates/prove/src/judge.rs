//! Everything held against its limit, the tightest first; and what could not be.

use crate::answer::{Case, Detail, Followed, Lasts, Trust};
use crate::bracket::Bracket;
use crate::joint::{Lacks, Mode, Ratio};

/// What is held against a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// Yield strength of the plate over its stress.
    Yield,
    /// Ultimate strength of the plate over its stress.
    Ultimate,
    /// Movement of the support, mm.
    Moves,
    /// Turn of the support, rad.
    Turns,
    /// Factor on the load at which the plate buckles.
    Buckles,
    /// Share of the load at which the part gives way as it is followed, under 1.
    GivesWay,
    /// A bolt, a hole or a thread at yield.
    BoltYield {
        /// Index into the mounts.
        mount: usize,
        /// How it would give.
        mode: Mode,
    },
    /// A bolt, a hole or a thread at breaking.
    BoltBreaks {
        /// Index into the mounts.
        mount: usize,
        /// How it would give.
        mode: Mode,
    },
    /// A weld at breaking.
    Weld {
        /// Index into the welds.
        weld: usize,
    },
    /// Days of use.
    Lasts {
        /// Kind of place.
        detail: Detail,
    },
    /// Lowest frequency, Hz.
    Frequency,
}

/// Something held against its limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Check {
    /// What.
    pub what: What,
    /// Under which case; none where it is not of one case.
    pub case: Option<usize>,
    /// What it has.
    pub has: f64,
    /// What it must have, or may have at most (movement, turn).
    pub limit: f64,
    /// Share of the limit that is used: over 1 does not hold.
    pub used: f64,
}

/// What could not be checked, and why.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Missing {
    /// The metal's least yield strength is not known.
    YieldStrength,
    /// The metal's least ultimate strength is not known.
    UltimateStrength,
    /// A bolt, hole or thread.
    Bolt {
        /// Index into the mounts.
        mount: usize,
        /// How it might give.
        mode: Mode,
        /// What was lacking.
        lacks: Lacks,
    },
    /// The size or strength of a weld.
    Weld {
        /// Index into the welds.
        weld: usize,
    },
    /// How often a load comes.
    Often {
        /// Index into the loads.
        load: usize,
    },
    /// No category for this kind of place.
    Category {
        /// Kind of place.
        detail: Detail,
    },
    /// The mesh could not be made fine enough for the error asked for.
    Fineness,
    /// There is no place where stress can be read.
    Stress {
        /// Index of the case.
        case: usize,
    },
    /// It moves too far for the linear answer, and could not be followed to the whole load.
    Followed {
        /// Index of the case.
        case: usize,
    },
}

/// What is no number is not held to a limit: it counts as past it.
fn share(used: f64) -> f64 {
    if used.is_nan() { f64::INFINITY } else { used }
}

/// Has at least `limit`.
fn at_least(what: What, case: Option<usize>, has: f64, limit: f64) -> Check {
    Check {
        what,
        case,
        has,
        limit,
        used: share(limit / has),
    }
}

/// Has at most `limit`.
fn at_most(what: What, case: Option<usize>, has: f64, limit: f64) -> Check {
    Check {
        what,
        case,
        has,
        limit,
        used: share(has / limit),
    }
}

pub(crate) fn checks(
    bracket: &Bracket<'_>,
    cases: &[Case],
    lasts: &[Lasts],
    first_hz: Option<f64>,
) -> Vec<Check> {
    let mut checks = Vec::new();
    for (index, case) in cases.iter().enumerate() {
        of_case(bracket, index, case, &mut checks);
    }
    if let Some(days) = bracket.allowed.days {
        checks.extend(lasts.iter().map(|lasts| {
            at_least(
                What::Lasts { detail: lasts.detail },
                None,
                lasts.life.short.days,
                days,
            )
        }));
    }
    if let (Some(least), Some(hz)) = (bracket.allowed.least_hz, first_hz) {
        checks.push(at_least(What::Frequency, None, hz, least));
    }
    checks.sort_by(|a, b| b.used.total_cmp(&a.used));
    checks
}

fn of_case(bracket: &Bracket<'_>, index: usize, case: &Case, checks: &mut Vec<Check>) {
    let at = Some(index);
    let margins = bracket.margins;
    let on_yield = if case.sudden {
        margins.sudden
    } else {
        margins.on_yield
    };
    // What is sudden and seldom is held to its own margin alone, at breaking as at yield.
    let on_ultimate = if case.sudden {
        margins.sudden
    } else {
        margins.on_ultimate
    };
    if let Some(peak) = &case.peak {
        let beside = bracket.metal.beside_weld.filter(|_| peak.beside_weld);
        let yields = beside.map(|beside| beside.yield_mpa).or(bracket.metal.yield_mpa);
        let breaks = beside
            .map(|beside| beside.ultimate_mpa)
            .or(bracket.metal.ultimate_mpa);
        let stress = case.held_mises_mpa().unwrap_or(peak.mises_mpa);
        checks.extend(yields.map(|mpa| at_least(What::Yield, at, mpa / stress, on_yield)));
        checks.extend(breaks.map(|mpa| at_least(What::Ultimate, at, mpa / stress, on_ultimate)));
    }
    // A sudden load is told what it moves, and not held to it: it is over before anyone minds.
    if !case.sudden {
        let mut at_most_of = |what: What, has: Option<f64>, most: Option<f64>| {
            checks.extend(has.zip(most).map(|(has, most)| at_most(what, at, has, most)));
        };
        at_most_of(What::Moves, case.held_moves_mm(), bracket.allowed.moves_mm);
        at_most_of(What::Turns, case.held_turns_rad(), bracket.allowed.turns_rad);
    }
    if let Some(Followed::GivesWay { at: share }) = case.large.and_then(|large| large.followed) {
        checks.push(at_least(What::GivesWay, at, share, on_yield));
    }
    checks.extend(
        case.buckles_at
            .map(|factor| at_least(What::Buckles, at, factor, on_yield)),
    );
    for (mount, judged) in case.bolts_judged.iter().enumerate() {
        let yields = judged
            .least_on_yield()
            .and_then(|ratio| Some((ratio.mode, ratio.on_yield?)));
        checks.extend(yields.map(|(mode, has)| at_least(What::BoltYield { mount, mode }, at, has, on_yield)));
        checks.extend(judged.least_on_ultimate().map(|ratio| {
            let Ratio {
                mode,
                on_ultimate: has,
                ..
            } = *ratio;
            at_least(What::BoltBreaks { mount, mode }, at, has, on_ultimate)
        }));
    }
    for weld in &case.welds {
        let strength = bracket.welds[weld.weld].strength;
        if let (Some(strength), Some(throat)) = (strength, weld.throat) {
            let has = strength.directional(&throat);
            checks.push(at_least(What::Weld { weld: weld.weld }, at, has, on_ultimate));
        }
    }
}

pub(crate) fn missing(bracket: &Bracket<'_>, cases: &[Case], trust: &Trust) -> Vec<Missing> {
    let mut missing = Vec::new();
    if bracket.metal.yield_mpa.is_none() {
        missing.push(Missing::YieldStrength);
    }
    if bracket.metal.ultimate_mpa.is_none() {
        missing.push(Missing::UltimateStrength);
    }
    // What a bolt lacks it lacks under every load.
    let first = cases.first().map_or(&[][..], |case| &case.bolts_judged[..]);
    for (mount, judged) in first.iter().enumerate() {
        missing.extend(judged.not_checked.iter().map(|not| Missing::Bolt {
            mount,
            mode: not.mode,
            lacks: not.lacks,
        }));
    }
    for (index, weld) in bracket.welds.iter().enumerate() {
        if weld.fillet.is_none() || weld.strength.is_none() {
            missing.push(Missing::Weld { weld: index });
        }
    }
    for (index, load) in bracket.loads.iter().enumerate() {
        if load.per_day.is_none() && !load.sudden {
            missing.push(Missing::Often { load: index });
        }
    }
    for (index, case) in cases.iter().enumerate() {
        if case.peak.is_none() {
            missing.push(Missing::Stress { case: index });
        }
        if let Some(Followed::Lost { .. }) = case.large.and_then(|large| large.followed) {
            missing.push(Missing::Followed { case: index });
        }
    }
    if !trust.reached {
        missing.push(Missing::Fineness);
    }
    missing
}
