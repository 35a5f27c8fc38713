//! Will it hold? What the proof came to, and what is missing for an answer.

mod words;

use prove::joint::Mode;
use prove::{Answer as Proof, Check, Missing, What};

use crate::files::model::{Fit, LoadKind};
use crate::finding::{Answer, Finding, Level, Question, Verdict};
use crate::run::{Held, Worked};

pub(crate) use words::large_words;
use words::{check_fix, error_fix, error_words, lacks_words, mount_name, twist_short_words};
pub(crate) use words::{check_words, detail_words, face_words, mode_words, part_name, within};

pub(super) fn findings(worked: &Worked) -> Vec<Finding> {
    let Some((fit, equipment)) = worked.files.fit.as_ref().zip(worked.equipment.as_ref()) else {
        return Vec::new();
    };
    let mut findings = Vec::new();
    if fit.loads.is_empty() {
        return findings;
    }
    if !equipment.loads.down_said {
        findings.push(Finding {
            code: "down-assumed",
            level: Level::Note,
            question: Question::Hold,
            about: "down".into(),
            at: None,
            says: "down is taken to be -z in the axes of the equipment".into(),
            fix: vec!["write down = \"-z\", or what it is, at the top of the fit".into()],
            margin: None,
        });
    }
    for (kind, code, happens, never) in [
        (
            LoadKind::Drop,
            "drop-not-asked",
            "it is dropped",
            "it cannot be dropped",
        ),
        (
            LoadKind::Jam,
            "jam-not-asked",
            "it catches on something",
            "it cannot catch",
        ),
    ] {
        if !not_asked(fit, kind) {
            continue;
        }
        let word = kind.word();
        findings.push(Finding {
            code,
            level: Level::Care,
            question: Question::Hold,
            about: word.into(),
            at: equipment.loads.loads.first().map(|load| load.said.clone()),
            says: format!("nothing is said of what happens when {happens}"),
            fix: vec![
                format!("write a load with kind = \"{word}\" under [loads]"),
                format!("write {word} = \"why {never}\" under [never]"),
            ],
            margin: None,
        });
    }
    findings.extend(proved(worked));
    findings
}

/// Is there neither a load of this kind nor a reason why it cannot happen?
fn not_asked(fit: &Fit, kind: LoadKind) -> bool {
    let never = match kind {
        LoadKind::Drop => &fit.never.drop,
        LoadKind::Jam => &fit.never.jam,
        _ => return false,
    };
    never.is_none() && fit.loads.iter().all(|load| load.kind.value != kind)
}

/// Said with every answer: what strength figures are worth.
const CAUTION: &str = "for the loads listed; a fall, a jam or another person can be more, so prove the part with a test on the \
                       bench before a body depends on it";
/// Closer to a limit than this is worth a look, as for the fit.
const THIN: f64 = 0.1;

/// What could not be checked, each once, and what is too tight.
fn proved(worked: &Worked) -> Vec<Finding> {
    let mut findings = Vec::new();
    let fit = worked.files.fit.as_ref();
    let place = |check: &Check| {
        let fit = fit?;
        if let What::BoltYield { mount, .. } | What::BoltBreaks { mount, .. } = check.what {
            let wish = worked.equipment.as_ref()?.mounts.get(mount)?;
            return Some(wish.place.said.clone());
        }
        // The load that decides, where the fit says it.
        let load = match (check.what, worked.held.answer()) {
            (What::Lasts { detail }, Some(proof)) => {
                let worst = proof.lasts.iter().find(|lasts| lasts.detail == detail);
                worst.map(|lasts| lasts.load)
            }
            (_, Some(proof)) => check
                .case
                .and_then(|case| proof.cases[case].loads.first().copied()),
            _ => None,
        };
        fit.loads.get(load.unwrap_or(0)).map(|load| load.name.at.clone())
    };
    let Held::Came(came) = &worked.held else {
        return findings;
    };
    match came.as_ref() {
        Err(error) => findings.push(Finding {
            code: "not-proved",
            level: Level::Care,
            question: Question::Hold,
            about: "hold".into(),
            at: fit.and_then(|fit| fit.loads.first().map(|load| load.name.at.clone())),
            says: error_words(error),
            fix: error_fix(error),
            margin: None,
        }),
        Ok(proof) => {
            let mut told: Vec<Kind> = Vec::new();
            for check in &proof.checks {
                if check.used <= 1.0 - THIN {
                    break;
                }
                // One finding for each way to give and place: the load under which it is worst.
                let kind = Kind::of(check.what);
                if told.contains(&kind) {
                    continue;
                }
                told.push(kind);
                let stops = check.used > 1.0;
                findings.push(Finding {
                    code: if stops { kind.code() } else { "thin-strength" },
                    level: if stops { Level::Stop } else { Level::Care },
                    question: Question::Hold,
                    about: check
                        .case
                        .map_or_else(|| "hold".to_owned(), |case| proof.cases[case].name.clone()),
                    at: place(check),
                    says: check_words(worked, proof, check),
                    fix: check_fix(check),
                    margin: Some(1.0 - check.used),
                });
            }
            findings.extend(missing(worked, proof));
            findings.extend(twist_short(worked, proof));
            for case in &proof.cases {
                let Some(large) = case.large else { continue };
                let says = format!("under \"{}\" {}", case.name, large_words(large));
                findings.push(Finding {
                    code: "moves-far",
                    level: Level::Care,
                    question: Question::Hold,
                    about: case.name.clone(),
                    at: case
                        .loads
                        .first()
                        .and_then(|&load| fit?.loads.get(load))
                        .map(|load| load.name.at.clone()),
                    says,
                    fix: vec!["stiffen it; `gusset hold` shows each load, followed as it moves, and what would help".into()],
                    margin: None,
                });
            }
        }
    }
    findings
}

/// Twist that the proof tells short, under the load where that matters most.
fn twist_short(worked: &Worked, proof: &Proof) -> Option<Finding> {
    let cases = proof.cases.iter();
    let cases = cases.filter_map(|case| Some((case, case.by_hand.as_ref()?.twist_short?)));
    let (case, short) = cases.reduce(|most, next| {
        if next.1.left_out > most.1.left_out {
            next
        } else {
            most
        }
    })?;
    let load = case.loads.first();
    let fit = worked.files.fit.as_ref();
    Some(Finding {
        code: "twist-told-short",
        level: Level::Note,
        question: Question::Hold,
        about: case.name.clone(),
        at: load.and_then(|&load| Some(fit?.loads.get(load)?.name.at.clone())),
        says: twist_short_words(&case.name, &short, worked.part.thickness_mm),
        fix: vec![format!(
            "leave {:.0} % to spare in what it may move and turn; the test on the bench shows what it does",
            100.0 * short.left_out
        )],
        margin: None,
    })
}

/// Checks of one kind and place, of which only the tightest is told.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    Plate,
    Moves,
    Turns,
    Buckles,
    GivesWay,
    Bolt(usize),
    Weld(usize),
    Lasts,
    Frequency,
}

impl Kind {
    fn of(what: What) -> Kind {
        match what {
            What::Yield | What::Ultimate => Kind::Plate,
            What::Moves => Kind::Moves,
            What::Turns => Kind::Turns,
            What::Buckles => Kind::Buckles,
            What::GivesWay => Kind::GivesWay,
            What::BoltYield { mount, .. } | What::BoltBreaks { mount, .. } => Kind::Bolt(mount),
            What::Weld { weld } => Kind::Weld(weld),
            What::Lasts { .. } => Kind::Lasts,
            What::Frequency => Kind::Frequency,
        }
    }

    fn code(self) -> &'static str {
        match self {
            Kind::Plate => "plate-too-weak",
            Kind::Moves => "moves-too-far",
            Kind::Turns => "turns-too-far",
            Kind::Buckles => "buckles",
            Kind::GivesWay => "gives-way",
            Kind::Bolt(_) => "bolt-too-weak",
            Kind::Weld(_) => "weld-too-weak",
            Kind::Lasts => "too-short-a-life",
            Kind::Frequency => "too-low-a-frequency",
        }
    }
}

/// The fixed word of a check that does not hold.
pub(crate) fn check_code(what: What) -> &'static str {
    Kind::of(what).code()
}

/// What could not be checked, each once.
pub(crate) fn missing_words(worked: &Worked, proof: &Proof) -> Vec<String> {
    missing(worked, proof)
        .into_iter()
        .map(|finding| finding.says)
        .collect()
}

fn missing(worked: &Worked, proof: &Proof) -> Vec<Finding> {
    let fit = worked.files.fit.as_ref();
    let metal = &worked.setting.metal;
    let mut found: Vec<Finding> = Vec::new();
    let mut say = |code, about: String, says: String, fix: Vec<String>, at| {
        if found.iter().any(|told| told.says == says) {
            return;
        }
        found.push(Finding {
            code,
            level: Level::Care,
            question: Question::Hold,
            about,
            at,
            says,
            fix,
            margin: None,
        });
    };
    let first = fit.and_then(|fit| fit.loads.first().map(|load| load.name.at.clone()));
    for missing in &proof.missing {
        match *missing {
            Missing::YieldStrength | Missing::UltimateStrength => say(
                "strength-not-known",
                "metal".into(),
                format!("the handbook has no least strength for {metal}"),
                vec![
                    "take it from the mill's certificate into [[handbook]] of the shop file, table \"metal_properties\"".into(),
                    "use a metal whose strength is known".into(),
                ],
                Some(worked.files.design.plate.stock.text.at.clone()),
            ),
            Missing::Bolt { mode: Mode::Slip, .. } => {}
            Missing::Bolt { mount, lacks, .. } => {
                let name = mount_name(worked, mount).to_owned();
                let (what, fix) = lacks_words(lacks);
                let at = worked
                    .equipment
                    .as_ref()
                    .and_then(|equipment| equipment.mounts.get(mount))
                    .map(|mount| mount.place.said.clone());
                let says = format!("mount \"{name}\" is not checked in full: {what}");
                say("bolt-not-known", format!("mount {name}"), says, vec![fix.into()], at);
            }
            Missing::Weld { weld } => {
                let seam = &worked.files.design.seams[weld].name;
                say(
                    "weld-not-known",
                    format!("seam {}", seam.value),
                    format!("the weld of seam \"{}\" is not checked: its size or its metal is not known", seam.value),
                    vec!["write leg = \"3 mm\" under the seam, and the filler under [welder] of the shop file".into()],
                    Some(seam.at.clone()),
                );
            }
            Missing::Often { load } => {
                let Some(load) = fit.and_then(|fit| fit.loads.get(load)) else {
                    continue;
                };
                say(
                    "life-not-asked",
                    load.name.value.clone(),
                    format!("how long it lasts under \"{}\" is not checked: nothing says how often it comes", load.name.value),
                    vec!["write per_day = 100, or what it is, under the load".into()],
                    Some(load.name.at.clone()),
                );
            }
            Missing::Category { detail } => say(
                "life-not-known",
                "life".into(),
                format!("how long {} lasts is not checked: the handbook has no category for it", detail_words(detail)),
                vec!["add a row to table \"fatigue_categories\" under [[handbook]] of the shop file".into()],
                first.clone(),
            ),
            Missing::Fineness => say(
                "mesh-not-fine",
                "hold".into(),
                format!(
                    "stress is known {} and movement {} at {} unknowns, which is not as fine as asked for",
                    within(proof.trust.stress),
                    within(proof.trust.movement),
                    proof.trust.unknowns
                ),
                vec!["round the sharpest inside corners of the outline; leave the more to spare".into()],
                first.clone(),
            ),
            Missing::Followed { case } => say(
                "not-followed",
                proof.cases[case].name.clone(),
                format!(
                    "under \"{}\" it moves too far for the linear answer, and could not be followed to the whole load",
                    proof.cases[case].name
                ),
                vec!["stiffen it, or lower the load".into()],
                first.clone(),
            ),
            Missing::Stress { case } => say(
                "stress-not-read",
                proof.cases[case].name.clone(),
                format!("under \"{}\" there is no plate outside the washers to read a stress in", proof.cases[case].name),
                vec!["use smaller washers, or a larger part".into()],
                first.clone(),
            ),
        }
    }
    found
}

pub(super) fn verdict(worked: &Worked, findings: &[Finding]) -> Verdict {
    let prove = "prove the part with a test on the bench before a body depends on it";
    let why = match (&worked.held, worked.files.fit.as_ref()) {
        (Held::ToCome, _) => "it is being worked out".to_owned(),
        (Held::BrokeOff, _) => {
            "this is our fault: the proof broke off, and the other answers stand".to_owned()
        }
        (Held::Came(came), Some(fit)) => match came.as_ref() {
            Ok(proof) => return answered(worked, fit, proof, findings),
            Err(error) => error_words(error),
        },
        (_, None) => "this job has no fit, so neither mounts nor loads are known".to_owned(),
        (Held::NotAsked, Some(fit)) => {
            let mut missing = Vec::new();
            if fit.mounts.is_empty() {
                missing.push("where it is fastened ([mounts])");
            }
            if fit.loads.is_empty() {
                missing.push("what it carries ([loads])");
            }
            match missing.as_slice() {
                [] => "the part does not stand on its mounts".to_owned(),
                missing => format!("the fit does not say {}", missing.join(", nor ")),
            }
        }
    };
    Verdict::not_checked(format!("{why}; {prove}"))
}

fn answered(worked: &Worked, fit: &Fit, proof: &Proof, findings: &[Finding]) -> Verdict {
    let Some(tightest) = proof.checks.first() else {
        return Verdict::not_checked(format!("nothing could be held against a limit; {CAUTION}"));
    };
    let says = check_words(worked, proof, tightest);
    let mut unknown: Vec<&str> = Vec::new();
    if not_asked(fit, LoadKind::Drop) {
        unknown.push("what happens when it is dropped (a load of kind drop, or why never)");
    }
    if not_asked(fit, LoadKind::Jam) {
        unknown.push("what happens when it catches (a load of kind jam, or why never)");
    }
    let lacking = |missing: &Missing| {
        !matches!(
            missing,
            Missing::Bolt { mode: Mode::Slip, .. } | Missing::Often { .. } | Missing::Fineness
        )
    };
    let more = super::tally(findings, Question::Hold, super::worst(findings, Question::Hold));
    let answer = if tightest.used > 1.0 {
        Answer::No
    } else if !unknown.is_empty() || proof.missing.iter().any(lacking) {
        Answer::NotChecked
    } else if tightest.used > 1.0 - THIN
        || findings
            .iter()
            .any(|finding| finding.question == Question::Hold && finding.level <= Level::Care)
    {
        Answer::Care
    } else {
        Answer::Yes
    };
    let says = match answer {
        Answer::NotChecked => {
            let not = if unknown.is_empty() {
                "not all that it takes is known (see the findings)".to_owned()
            } else {
                format!("the fit does not say {}", unknown.join(", nor "))
            };
            format!("{not}; so far the tightest is: {says}; {CAUTION}")
        }
        _ => format!("{says}{more}; {CAUTION}"),
    };
    Verdict {
        answer,
        margin: Some(1.0 - tightest.used),
        decides: Some(
            tightest
                .case
                .map_or_else(|| "hold".to_owned(), |case| proof.cases[case].name.clone()),
        ),
        says,
    }
}
