//! What the proof came to, for the summary.

use prove::joint::{BoltJudged, TooNear, WhichDistance};
use prove::{Answer, Case, Corrected, Followed, NoCorrection, Reading, Suggests, correct};
use units::{NEWTON_PER_KGF, NEWTON_PER_LBF};

use crate::judge;
use crate::run::Worked;
use crate::stages::carrying;
use crate::stages::loads::{LoadWish, ProofWish};
use crate::summary::*;

use super::{along, at};

/// A pull within this of another's direction (its cosine) is that pull: 8 degrees by eye.
const SAME_WAY: f64 = 0.99;
/// Shell and strip further apart than this are remarked on.
const FAR_APART: f64 = 2.0;

/// A number that JSON can hold; none where it has no end.
fn finite(value: f64) -> Option<Num> {
    value.is_finite().then_some(Num(value))
}

/// Absent when there is no answer.
pub(super) fn proved(worked: &Worked) -> Option<Prove> {
    let answer = worked.held.answer()?;
    let bracket = carrying::bracket(worked)?;
    let name = |case: usize| {
        answer
            .cases
            .get(case)
            .map_or(String::new(), |case| case.name.clone())
    };
    let buckling = answer
        .cases
        .iter()
        .filter_map(|case| Some((case.buckles_at.filter(|at| at.is_finite())?, &case.name)))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(factor, load)| Buckling {
            factor: Num(factor),
            load: load.clone(),
        });
    let fatigue = answer.lasts.iter().map(|lasts| ProvedLife {
        detail: judge::detail_words(lasts.detail),
        at_mm: at(lasts.at),
        range_mpa: Num(lasts.range_mpa),
        load: bracket
            .loads
            .get(lasts.load)
            .map_or(String::new(), |load| load.name.clone()),
        days: [lasts.life.short, lasts.life.middle, lasts.life.long].map(|life| Num(life.days)),
        estimate: true,
    });
    let checks = answer.checks.iter().map(|check| CheckRow {
        code: judge::check_code(check.what),
        load: check.case.map(name),
        has: Num(check.has),
        limit: Num(check.limit),
        used: Num(check.used),
        says: judge::check_words(worked, answer, check),
    });
    Some(Prove {
        loads: answer
            .cases
            .iter()
            .map(|case| load(worked, &bracket, case))
            .collect(),
        bolts: bolts(answer, &bracket),
        welds: welds(worked, answer, &bracket),
        buckling,
        first_hz: answer.first_hz.and_then(finite),
        fatigue: fatigue.collect(),
        checks: checks.collect(),
        missing: judge::missing_words(worked, answer),
        proof: proof(answer, &bracket),
        corrected: corrected(worked, answer),
        error_pct: ErrorPct {
            movement: Num(100.0 * answer.trust.movement),
            stress: Num(100.0 * answer.trust.stress),
        },
        dof: answer.trust.unknowns,
        meshes: answer.trust.meshes,
        fine_enough: answer.trust.reached,
    })
}

fn load(worked: &Worked, bracket: &prove::Bracket<'_>, case: &Case) -> ProvedLoad {
    let peak = case.peak.as_ref();
    let metal = &bracket.metal;
    let beside = peak.filter(|peak| peak.beside_weld).and(metal.beside_weld);
    let yields = beside.map(|beside| beside.yield_mpa).or(metal.yield_mpa);
    let breaks = beside.map(|beside| beside.ultimate_mpa).or(metal.ultimate_mpa);
    let over = |strength: Option<f64>| {
        let (strength, peak) = strength.zip(peak)?;
        finite(strength / peak.mises_mpa)
    };
    let margins = &bracket.margins;
    let asked = |usual: f64| if case.sudden { margins.sudden } else { usual };
    let moves = case.moves.as_ref();
    ProvedLoad {
        name: case.name.clone(),
        force_n: along(case.force_n),
        sudden: case.sudden,
        peak_mpa: peak.map(|peak| Num(peak.mises_mpa)),
        yield_mpa: yields.map(Num),
        safety: over(yields),
        safety_asked: Num(asked(margins.on_yield)),
        safety_ultimate: over(breaks),
        safety_ultimate_asked: Num(asked(margins.on_ultimate)),
        where_: peak.map(|peak| judge::part_name(worked, peak.in_)),
        face: peak.map(|peak| judge::face_words(peak.side)),
        at_mm: peak.map(|peak| at(peak.at)),
        blank_mm: peak.map(|peak| [Num(peak.blank_at.x), Num(peak.blank_at.y)]),
        direction: peak.map(|peak| along(peak.direction)),
        sense: peak.map(|peak| {
            if peak.principal_mpa > 0.0 {
                "pulls"
            } else {
                "presses"
            }
        }),
        rule: peak.map(|peak| match peak.rule {
            prove::PeakRule::Recovered => "as recovered from the elements".to_owned(),
            prove::PeakRule::Notch { factor } => {
                format!("read beside a notch, times a notch factor of {factor:.2}")
            }
            prove::PeakRule::HotSpot => "extrapolated to the toe of the weld".to_owned(),
        }),
        beside_weld: peak.is_some_and(|peak| peak.beside_weld),
        support_moves_mm: moves.map(|moves| Num(moves.moves_mm.norm())),
        moves_mm: moves.map(|moves| along(moves.moves_mm)),
        support_turns_deg: moves.map(|moves| Num(moves.turns_rad.norm().to_degrees())),
        twist_deg: moves.map(|moves| Num(moves.twist_rad.to_degrees())),
        bend_deg: moves.map(|moves| Num(moves.bend_rad.to_degrees())),
        set: case.set.map(|set| match set {
            prove::Set::None => "none",
            prove::Set::Spot => "at a spot",
            prove::Set::Section => "through a section",
        }),
        buckles_at: case.buckles_at.and_then(finite),
        large: case.large.map(large),
        by_hand: case.by_hand.as_ref().map(|hand| by_hand(bracket, case, hand)),
    }
}

fn large(large: prove::Large) -> LargeRow {
    let (moves_mm, followed_to) = match large.followed {
        None => (None, None),
        Some(Followed::Moves { moves_mm, .. }) => (Some(Num(moves_mm)), Some(Num(1.0))),
        Some(Followed::GivesWay { at } | Followed::Lost { at }) => (None, Some(Num(at))),
    };
    LargeRow {
        in_thicknesses: Num(large.in_thicknesses),
        linear_mm: Num(large.linear_mm),
        moves_mm,
        followed_to,
        gives_way: matches!(large.followed, Some(Followed::GivesWay { .. })),
        says: judge::large_words(large),
    }
}

/// The strip's formula with its numbers, and how it stands to the shell.
fn by_hand(bracket: &prove::Bracket<'_>, case: &Case, hand: &prove::ByHand) -> ByHandRow {
    let (worst, t_mm) = (&hand.worst, bracket.part.thickness_mm);
    let ratio = case
        .peak
        .as_ref()
        .map(|peak| peak.mises_mpa / worst.mises_mpa)
        .filter(|ratio| ratio.is_finite());
    let flat_mpa = 6.0 / (worst.width_mm * t_mm * t_mm);
    let parts = [
        (
            flat_mpa * worst.bending_n_mm.abs(),
            format!("6 M/(w t^2) with M {}", units::moment(worst.bending_n_mm.abs())),
        ),
        (
            worst.edgewise_n_mm.abs() / worst.width_mm,
            format!(
                "bending on edge with {}",
                units::moment(worst.edgewise_n_mm.abs())
            ),
        ),
        (
            flat_mpa / 2.0 * worst.twist_n_mm.abs(),
            format!("3 T/(w t^2) with T {}", units::moment(worst.twist_n_mm.abs())),
        ),
        (
            worst.pull_n.abs() / (worst.width_mm * t_mm),
            format!("F/(w t) with F {}", units::force(worst.pull_n.abs())),
        ),
    ];
    // What adds less than a percent is no part of the formula; bending on edge is kept, as its width counts twice.
    let counts: Vec<&str> = parts
        .iter()
        .filter(|(size, _)| *size > 0.01 * worst.mises_mpa)
        .map(|(_, words)| words.as_str())
        .collect();
    let mut says = format!(
        "a flat strip {} wide and {} thick, {} long: {}: {}",
        units::both(worst.width_mm),
        units::both(t_mm),
        units::both(hand.length_mm),
        counts.join(", "),
        units::stress(worst.mises_mpa)
    );
    if let (Some(peak), Some(ratio)) = (&case.peak, ratio) {
        says.push_str(&format!("; the shell says {}", units::stress(peak.mises_mpa)));
        if ratio > FAR_APART {
            says.push_str(&format!(
                ", {ratio:.1} times as much: the strip leaves out how stress crowds beside a window, a fold or an inside \
                 corner, and the local bending at the bolts"
            ));
        } else if ratio < 1.0 / FAR_APART {
            says.push_str(&format!(
                ", {:.1} times less: the strip leaves out that the fold, the plate beside it and the second bolt carry too",
                1.0 / ratio
            ));
        }
    }
    ByHandRow {
        stress_mpa: Num(worst.mises_mpa),
        moves_mm: Num(hand.moves_mm),
        by_twist_mm: Num(hand.by_twist_mm),
        width_mm: Num(worst.width_mm),
        blank_mm: [Num(worst.blank_at.x), Num(worst.blank_at.y)],
        ratio: ratio.map(Num),
        says,
    }
}

fn bolts(answer: &Answer, bracket: &prove::Bracket<'_>) -> Vec<ProvedBolt> {
    let used = |judged: Option<&BoltJudged>| {
        judged
            .and_then(BoltJudged::decides)
            .map_or(0.0, |ratio| ratio.utilisation)
    };
    let mut rows = Vec::new();
    for (mount, of) in bracket.mounts.iter().enumerate() {
        let worst = (0..answer.cases.len()).max_by(|&a, &b| {
            let used = |case: usize| used(answer.cases[case].bolts_judged.get(mount));
            // The first of equals.
            used(a).total_cmp(&used(b)).then(b.cmp(&a))
        });
        for (index, case) in answer.cases.iter().enumerate() {
            let Some(bolt) = case.bolts.get(mount) else {
                continue;
            };
            let judged = case.bolts_judged.get(mount);
            let decides = judged.and_then(BoltJudged::decides);
            rows.push(ProvedBolt {
                mount: of.name.clone(),
                load: case.name.clone(),
                worst: worst == Some(index),
                tension_n: Num(bolt.tension_n),
                shear_n: Num(bolt.shear_n.norm()),
                bending_n_mm: Num(bolt.bending_n_mm),
                foot_n: Num(bolt.foot_n),
                lifted: Num(bolt.lifted),
                decides: decides.map(|ratio| judge::mode_words(ratio.mode)),
                utilisation: decides.and_then(|ratio| finite(ratio.utilisation)),
                on_yield: judged
                    .and_then(BoltJudged::least_on_yield)
                    .and_then(|ratio| finite(ratio.on_yield?)),
                on_ultimate: judged
                    .and_then(BoltJudged::least_on_ultimate)
                    .and_then(|ratio| finite(ratio.on_ultimate)),
                slips_at: judged
                    .and_then(|judged| judged.of(prove::joint::Mode::Slip))
                    .and_then(|ratio| finite(ratio.on_ultimate)),
                too_near: judged
                    .map_or_else(Vec::new, |judged| judged.too_near.iter().map(too_near).collect()),
            });
        }
    }
    rows
}

fn too_near(near: &TooNear) -> String {
    let what = match near.which {
        WhichDistance::End => "the edge it presses toward",
        WhichDistance::Side => "the edge beside it",
        WhichDistance::Pitch => "the next hole along the force",
        WhichDistance::Gauge => "the next hole across the force",
    };
    format!(
        "{} from {what}, and the formulas ask for {}",
        units::both(near.is_mm),
        units::both(near.least_mm)
    )
}

fn welds(worked: &Worked, answer: &Answer, bracket: &prove::Bracket<'_>) -> Vec<ProvedWeld> {
    let rows = answer.cases.iter().flat_map(|case| {
        case.welds.iter().map(move |weld| {
            let of = bracket.welds.get(weld.weld);
            let seam = of.and_then(|of| worked.part.seams.get(of.seam));
            let breaks = of
                .and_then(|of| of.strength)
                .zip(weld.throat)
                .map(|(strength, throat)| strength.directional(&throat));
            ProvedWeld {
                seam: seam.map_or(String::new(), |seam| seam.name.clone()),
                load: case.name.clone(),
                line_n_mm: Num(weld.line_n_mm.norm()),
                at_mm: at(weld.at),
                throat_mpa: weld.throat.and_then(|throat| finite(throat.mises_mpa())),
                on_ultimate: breaks.and_then(finite),
            }
        })
    });
    rows.collect()
}

/// When to stop a test, gravest first.
const STOP: [&str; 3] = [
    "it creaks, cracks, slips, or goes on moving while you do not pull harder",
    "a reading is more than the higher figure of its step",
    "it does not come back to within a tenth of its largest movement when the pull is taken off",
];

fn proof(answer: &Answer, bracket: &prove::Bracket<'_>) -> Option<ProofPlan> {
    let proof = answer.proof.as_ref()?;
    let steps = proof.steps.iter().map(|step| ProofStepRow {
        force_n: Num(step.force_n),
        kgf: Num(step.force_n / NEWTON_PER_KGF),
        lbf: Num(step.force_n / NEWTON_PER_LBF),
        moves_mm: Num(step.moves_mm),
        low_mm: Num(step.band_mm[0]),
        high_mm: Num(step.band_mm[1]),
    });
    Some(ProofPlan {
        load: bracket.loads.get(proof.load)?.name.clone(),
        toward: along(proof.toward),
        steps: steps.collect(),
        stop: STOP.map(str::to_owned).to_vec(),
    })
}

/// Movement per N along a reading's own way, by the load whose pull goes the same way; none when there is none.
fn predicted_mm_n(loads: &[LoadWish], answer: &Answer, reading: &ProofWish) -> Option<f64> {
    let pull = reading.force_n.try_normalize(f64::EPSILON)?;
    answer.cases.iter().find_map(|case| {
        let ([load], [moves_mm]) = (&case.loads[..], &case.load_moves_mm[..]) else {
            return None;
        };
        let at = &loads.get(*load)?.at;
        if *at != reading.at || *at != reading.read_at {
            return None;
        }
        let size_n = case.force_n.norm();
        let way = case.force_n.try_normalize(f64::EPSILON)?;
        (way.dot(&pull) > SAME_WAY).then(|| moves_mm.dot(&reading.along) / size_n)
    })
}

fn corrected(worked: &Worked, answer: &Answer) -> Option<CorrectedRow> {
    let wish = &worked.equipment.as_ref()?.loads;
    let (said, loads) = (&wish.proof, &wish.loads);
    if said.is_empty() {
        return None;
    }
    // Readings of one pull tell of one stiffness: those that go the way of the first that some load goes.
    let first = said
        .iter()
        .find_map(|reading| predicted_mm_n(loads, answer, reading));
    let Some(per_n) = first else {
        return Some(nothing_said(
            0,
            "no load of this fit comes in where the part was pulled and goes the same way, so there is nothing to hold the readings against"
                .into(),
        ));
    };
    let readings: Vec<Reading> = said
        .iter()
        .filter(|reading| {
            predicted_mm_n(loads, answer, reading)
                .is_some_and(|mm_n| (mm_n - per_n).abs() <= 1e-9 * per_n.abs())
        })
        .map(|reading| Reading {
            force_n: reading.force_n.norm(),
            moved_mm: reading.read_mm,
        })
        .collect();
    Some(match correct(&readings, &|force_n| per_n * force_n) {
        Ok(corrected) => row(readings.len(), &corrected),
        Err(error @ NoCorrection::NoReadings) => nothing_said(0, error.to_string()),
        Err(error) => nothing_said(readings.len(), format!("the readings say nothing: {error}")),
    })
}

fn nothing_said(readings: usize, says: String) -> CorrectedRow {
    CorrectedRow {
        readings,
        stiffness: None,
        sd: None,
        slack_mm: None,
        says,
    }
}

fn row(readings: usize, corrected: &Corrected) -> CorrectedRow {
    let suggests = match corrected.suggests {
        Suggests::AsPredicted => "as it should be",
        Suggests::StifferThroughout => {
            "the plate is thicker than said, or something helps to carry that is not in the model"
        }
        Suggests::SofterThroughout => {
            "the plate is thinner or softer than said, or what it is bolted to gives"
        }
        Suggests::SlackFirst => {
            "it moves at once by some slack: a hole that is not filled, or a bolt that slips"
        }
        Suggests::Stiffens => "it grows stiffer as it is loaded: a gap closes",
        Suggests::Softens => {
            "it grows softer as it is loaded: something yields, slips or lifts; stop, and look for it"
        }
    };
    let slack = if corrected.slack_mm > 0.0 {
        format!(" after {} of slack", units::both(corrected.slack_mm))
    } else {
        String::new()
    };
    CorrectedRow {
        readings,
        stiffness: finite(corrected.stiffness),
        sd: corrected.sd.and_then(finite),
        slack_mm: finite(corrected.slack_mm),
        says: format!(
            "the bench finds it {:.2} times as stiff as the model{slack}: {suggests}",
            corrected.stiffness
        ),
    }
}
