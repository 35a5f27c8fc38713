//! Where a value from memory or from habit decides something, the person is told so.

use handbook::{Sourced, Status};

use crate::finding::{Finding, Level, Question};
use crate::run::Worked;

use super::source_words;

pub(super) fn findings(worked: &Worked) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut seen: Vec<String> = Vec::new();
    let mut say = |what: String, value: &Sourced<f64>, question, at| {
        if !value.status.wants_checking() || seen.contains(&value.row) {
            return;
        }
        seen.push(value.row.clone());
        findings.push(Finding {
            code: "unconfirmed",
            level: Level::Note,
            question,
            about: what.clone(),
            at,
            says: format!("{what} is not confirmed: {}", source_words(value)),
            fix: vec![format!(
                "check it, and write your own under [[handbook]] in shop.toml (row {})",
                value.row
            )],
            margin: None,
        });
    };
    for (hole, cut) in worked.files.design.holes.iter().zip(&worked.holes) {
        if let Some(from) = &cut.from {
            let what = format!(
                "the {} hole of {} ({})",
                units::both(cut.dia_mm),
                hole.name.value,
                cut.takes
            );
            say(what, from, Question::Fit, Some(hole.name.at.clone()));
        }
    }
    let metal = &worked.setting.metal;
    say(
        format!("the density of {metal}, which the mass rests on,"),
        &worked.setting.density_kg_m3,
        Question::Other,
        None,
    );
    for (bend, of) in worked.files.design.bends.iter().zip(&worked.setting.bends) {
        if of.neutral.status == Status::FromMemory {
            findings.push(Finding {
                code: "unconfirmed",
                level: Level::Note,
                question: Question::Bend,
                about: bend.name.value.clone(),
                at: Some(bend.name.at.clone()),
                says: format!(
                    "K of {} is {:.3} by {}, from memory",
                    bend.name.value, of.neutral.share, of.neutral.from
                ),
                fix: vec!["bend a test strip of this stock: `gusset strip bend`".to_owned()],
                margin: None,
            });
        }
    }
    if !worked.files.design.bends.is_empty()
        && worked
            .setting
            .bends
            .iter()
            .all(|bend| bend.neutral.status != Status::Shop)
    {
        findings.push(Finding {
            code: "no-test-strip",
            level: Level::Note,
            question: Question::Bend,
            about: "K".into(),
            at: None,
            says: format!(
                "the blank rests on K by {}, not on a strip of this stock bent in this shop",
                worked
                    .setting
                    .bends
                    .first()
                    .map_or("", |bend| bend.neutral.from.as_str())
            ),
            fix: vec!["bend a test strip, and type its readings: `gusset strip bend`".to_owned()],
            margin: None,
        });
    }
    if !worked.setting.measured {
        findings.push(Finding {
            code: "thickness-not-measured",
            level: Level::Note,
            question: Question::Bend,
            about: "thickness".into(),
            at: Some(worked.files.design.plate.stock.text.at.clone()),
            says: format!(
                "the thickness {} is the nominal one",
                units::both(worked.setting.thickness_mm)
            ),
            fix: vec![
                "measure the sheet with a caliper and write measured under its [[stock]] in shop.toml"
                    .to_owned(),
            ],
            margin: None,
        });
    }
    findings
}
