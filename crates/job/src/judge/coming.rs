//! The inside radius that really comes, the strips that the blank rests on, and a sheet that is not the strip's.

use brake::rules::{Breach, Concern};
use handbook::Status;

use crate::files::model::Shop;
use crate::finding::{Finding, Level, Question};
use crate::run::Worked;
use crate::stages::coming::{Came, Coming, ComingBend, From, from_words, strips_at_hand};
use crate::stages::strips::Strip;

/// A sheet that is by so much of its thickness off the strip's is not taken for the same without a question: by then a blank
/// of two bends is off by what a rule shows. Common practice, no source.
const OTHER_SHEET_SHARE: f64 = 0.02;

pub(super) fn findings(worked: &Worked) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let Some(coming) = &worked.coming {
        findings.extend(of_radii(worked, coming));
    }
    findings.extend(of_sheet(worked));
    findings
}

/// The line that draws a bend as it comes.
pub(crate) fn line_to_draw(bend: &ComingBend) -> String {
    format!("radius = \"{:.2} mm\"", bend.comes_mm)
}

/// Whether the design says an inside radius of this bend.
fn is_said(worked: &Worked, bend: usize) -> bool {
    let design = &worked.files.design;
    design.plate.radius.is_some() || design.bends.get(bend).is_some_and(|bend| bend.radius.is_some())
}

fn of_radii(worked: &Worked, coming: &Coming) -> Vec<Finding> {
    let both = units::both;
    let differing = coming.bends.iter().filter(|bend| bend.comes_mm != bend.drawn_mm);
    let mut findings = Vec::new();
    for bend in differing {
        let Some(drawn) = worked.part.bends.get(bend.bend) else {
            continue;
        };
        let name = &drawn.name;
        let said = is_said(worked, bend.bend);
        let (code, level, then, mut fix) = match &coming.came {
            Came::Developed(again) => {
                let by_mm = again
                    .bends
                    .get(bend.bend)
                    .map_or(0.0, |change| change.deduction_mm[0] - change.deduction_mm[1]);
                (
                    "true-radius",
                    if said { Level::Care } else { Level::Note },
                    format!(
                        "the blank is developed for what comes, and is {:.2} mm {} over this bend",
                        by_mm.abs(),
                        if by_mm >= 0.0 { "longer" } else { "shorter" }
                    ),
                    vec![format!(
                        "draw it as it comes: {} under [bends.{name}] in design.toml",
                        line_to_draw(bend)
                    )],
                )
            }
            Came::Unsettled => (
                "true-radius-open",
                Level::Care,
                "with what comes, other tools are the better ones, which leave another radius again: the blank is as drawn"
                    .to_owned(),
                vec![format!(
                    "draw it as it comes: {} under [bends.{name}] in design.toml",
                    line_to_draw(bend)
                )],
            ),
            Came::NoBlank(error) => (
                "true-radius-no-blank",
                Level::Stop,
                format!("for what comes there is no blank: {error}"),
                vec!["use a tool that leaves a smaller radius".to_owned()],
            ),
        };
        if !matches!(bend.from, From::Strip(_)) {
            fix.push(format!(
                "bend a strip with this tool, which tells it: `gusset strip bend JOB --bend {name}`"
            ));
        }
        let drawn_words = if said { "is drawn with" } else { "is taken with" };
        findings.push(Finding {
            code,
            level,
            question: Question::Bend,
            about: name.clone(),
            at: super::design_place(worked, name),
            says: format!(
                "{name} {drawn_words} an inside radius of {}, and {} leaves {} ({}): {then}",
                both(bend.drawn_mm),
                bend.tool,
                both(bend.comes_mm),
                from_words(&bend.from)
            ),
            fix,
            margin: None,
        });
    }
    findings
}

/// The bend as it comes, of a line that makes these bends.
pub(super) fn of_line<'a>(worked: &'a Worked, bends: &[usize]) -> Option<&'a ComingBend> {
    let coming = worked.coming.as_ref()?;
    coming.bends.iter().find(|coming| bends.contains(&coming.bend))
}

/// Whether it is of a radius that is drawn wide enough, and that the tools leave tighter than the metal is sure to take: what comes is
/// then foretold by a rule or by a strip, so that it is to be looked at, and stops nothing.
pub(super) fn comes_tighter(worked: &Worked, concern: &Concern) -> bool {
    let Breach::TightRadius { bend } = &concern.what else {
        return false;
    };
    let index = worked.part.bends.iter().position(|own| own.name == *bend);
    let coming = index.and_then(|index| of_line(worked, &[index]));
    let ordered = matches!(&worked.bent, Ok(bending) if !bending.is_stuck());
    ordered && coming.is_some_and(|coming| coming.drawn_mm >= concern.limit)
}

/// What leaves a radius, with its verb.
pub(super) fn leaves_words(from: &From) -> String {
    match from {
        From::Strip(strip) => format!("{} came with", strip.short()),
        From::Opening => "the V leaves".into(),
        From::Nose => "the nose leaves".into(),
    }
}

/// The strips that K or a radius rests on.
fn strips_used(worked: &Worked) -> Vec<Strip> {
    strips_at_hand(worked)
        .into_iter()
        .filter(|strip| {
            let words = strip.words();
            let for_k = worked
                .setting
                .bends
                .iter()
                .any(|bend| bend.neutral_status == Status::Shop && bend.neutral_from.starts_with(&words));
            let for_radius = worked
                .coming
                .iter()
                .flat_map(|coming| &coming.bends)
                .any(|bend| matches!(&bend.from, From::Strip(used) if **used == *strip));
            for_k || for_radius
        })
        .collect()
}

/// "A sheet that differs is asked about."
fn of_sheet(worked: &Worked) -> Vec<Finding> {
    let both = units::both;
    let t_mm = worked.setting.thickness_mm;
    let mut findings = Vec::new();
    for strip in strips_used(worked) {
        let off = (strip.read.thickness_mm - t_mm) / t_mm;
        if off.abs() <= OTHER_SHEET_SHARE {
            continue;
        }
        let (sheet, first) = if worked.setting.measured {
            (
                format!("the sheet is {} by caliper", both(t_mm)),
                "bend a strip of this sheet: `gusset strip bend`",
            )
        } else {
            (
                format!("the sheet is {} by its name", both(t_mm)),
                "measure the sheet with a caliper and write measured under its [[stock]] in shop.toml",
            )
        };
        findings.push(Finding {
            code: "other-sheet",
            level: Level::Care,
            question: Question::Bend,
            about: "thickness".into(),
            at: Some(strip.at.clone()),
            says: format!(
                "{sheet}, and {} that the blank rests on was {}: {:.1} % {}, where {:.0} % may be the same; is it the same plate?",
                strip.short(),
                both(strip.read.thickness_mm),
                100.0 * off.abs(),
                if off > 0.0 { "thicker" } else { "thinner" },
                100.0 * OTHER_SHEET_SHARE
            ),
            fix: vec![first.to_owned(), "take a sheet of the strip's batch".into()],
            margin: None,
        });
    }
    if let Some(finding) = other_metal(worked) {
        findings.push(finding);
    }
    findings
}

/// Strips of this thickness, and all of another metal or temper.
fn other_metal(worked: &Worked) -> Option<Finding> {
    let shop: &Shop = worked.files.shop.as_ref()?;
    if shop.strips.is_empty() || worked.part.bends.is_empty() || !strips_at_hand(worked).is_empty() {
        return None;
    }
    let metals: Vec<&str> = shop
        .strips
        .iter()
        .map(|strip| strip.stock.text.value.as_str())
        .collect();
    let first = shop.strips.first()?;
    Some(Finding {
        code: "strips-of-other-plate",
        level: Level::Note,
        question: Question::Bend,
        about: "K".into(),
        at: Some(first.stock.text.at.clone()),
        says: format!(
            "this plate is {} {}, and the shop's strips are of {}: none of them is used",
            worked.setting.metal,
            units::both(worked.setting.thickness_mm),
            metals.join(", ")
        ),
        fix: vec!["bend a strip of this plate: `gusset strip bend`".into()],
        margin: None,
    })
}
