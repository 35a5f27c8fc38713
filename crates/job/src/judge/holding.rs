//! Will it hold? What is missing for an answer.

use crate::files::model::{Fit, LoadKind};
use crate::finding::{Finding, Level, Question, Verdict};
use crate::run::Worked;

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

pub(super) fn verdict(worked: &Worked) -> Verdict {
    let prove = "prove the part with a test on the bench before a body depends on it";
    let why = match worked.files.fit.as_ref() {
        None => "this job has no fit, so neither mounts nor loads are known".to_owned(),
        Some(fit) => {
            let mut missing = Vec::new();
            if fit.mounts.is_empty() {
                missing.push("where it is fastened ([mounts])");
            }
            if fit.loads.is_empty() {
                missing.push("what it carries ([loads])");
            } else {
                if not_asked(fit, LoadKind::Drop) {
                    missing.push("what happens when it is dropped (a load of kind drop, or why never)");
                }
                if not_asked(fit, LoadKind::Jam) {
                    missing.push("what happens when it catches (a load of kind jam, or why never)");
                }
            }
            match missing.as_slice() {
                [] => "stress, bolts and welds are not worked out yet".to_owned(),
                missing => format!("the fit does not say {}", missing.join(", nor ")),
            }
        }
    };
    Verdict::not_checked(format!("{why}; {prove}"))
}
