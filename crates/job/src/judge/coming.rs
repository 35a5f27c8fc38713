//! The inside radius that really comes, the strips that the blank rests on, and a sheet that is not the strip's.

use brake::rules::{Breach, Concern};

use crate::files::model::Shop;
use crate::finding::{Finding, Level, Question};
use crate::run::Worked;
use crate::stages::coming::{Came, Coming, ComingBend, From, from_words, strips_at_hand};
use crate::stages::strips::{Doubt, Strip};

/// A sheet that is by so much of its thickness off the strip's is not taken for the same without a question: by then a blank
/// of two bends is off by what a rule shows. Common practice, no source.
const OTHER_SHEET_SHARE: f64 = 0.02;

pub(super) fn findings(worked: &Worked) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let Some(coming) = &worked.coming {
        findings.extend(of_radii(worked, coming));
    }
    findings.extend(of_sheet(worked));
    findings.extend(in_doubt(worked));
    findings.extend(springs_too_far(worked));
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

/// The strips that K or a radius rests on, each once.
fn strips_used(worked: &Worked) -> Vec<&Strip> {
    let for_k = worked
        .setting
        .bends
        .iter()
        .filter_map(|bend| bend.neutral.strip.as_deref());
    let coming = worked.coming.iter().flat_map(|coming| &coming.bends);
    let for_radius = coming.filter_map(|bend| match &bend.from {
        From::Strip(strip) => Some(strip.as_ref()),
        From::Opening | From::Nose => None,
    });
    let mut used: Vec<&Strip> = Vec::new();
    for strip in for_k.chain(for_radius) {
        if !used.contains(&strip) {
            used.push(strip);
        }
    }
    used.sort_by_key(|strip| strip.at.span.start);
    used
}

/// Strips whose readings are hardly so: a row may be typed by hand, past what `--read` refuses.
fn in_doubt(worked: &Worked) -> Vec<Finding> {
    let strips = strips_at_hand(worked);
    let doubted = strips
        .iter()
        .filter_map(|strip| Some((strip, strip.read.doubt(&strip.says)?)));
    doubted
        .map(|(strip, doubt)| {
            let says = &strip.says;
            let [k, _] = says.gauged_neutral_share.unwrap_or(says.neutral_share);
            let radius_mm = strip.read.gauged_mm.unwrap_or(says.radius_mm[0]);
            let why = match doubt {
                Doubt::K([least, most]) => format!("where plate has {least:.1} to {most:.1}"),
                Doubt::Strained(strain) => format!(
                    "where K {:.2} and {} were to be expected: {strain:.1} standard deviations off",
                    strip.says.expected_neutral_share,
                    units::both(strip.read.expects_mm)
                ),
            };
            Finding {
                code: "strip-in-doubt",
                level: Level::Care,
                question: Question::Bend,
                about: "K".into(),
                at: Some(strip.at.clone()),
                says: format!(
                    "{} says K {k:.2} and an inside radius of {}, {why}; was a leg, the flat, the angle or the radius read wrong?",
                    strip.short(),
                    units::both(radius_mm)
                ),
                fix: vec![
                    "read the strip again, or bend another: `gusset strip bend`".into(),
                    "take its row out of shop.toml".into(),
                ],
                margin: None,
            }
        })
        .collect()
}

/// Strips that opened further than any plate springs: they tell nothing of the angle under load.
fn springs_too_far(worked: &Worked) -> Vec<Finding> {
    let Ok(bending) = &worked.bent else {
        return Vec::new();
    };
    let Some(stock) = &bending.springs.stock else {
        return Vec::new();
    };
    let elastic_mpa = stock.elastic_mpa.value;
    let far = bending.springs.strips.iter().filter_map(|strip| {
        let loaded_rad = strip.read.loaded_rad?;
        strip
            .springs_as_mpa(elastic_mpa)
            .is_none()
            .then_some((strip, loaded_rad))
    });
    far.map(|(strip, loaded_rad)| Finding {
        code: "strip-springs-too-far",
        level: Level::Care,
        question: Question::Bend,
        about: "springback".into(),
        at: Some(strip.at.clone()),
        says: format!(
            "{} was bent to {} under load and came out at {}: no plate of this thickness opens by {}, so it is not asked how far to bend",
            strip.short(),
            units::deg(loaded_rad),
            units::deg(strip.read.bent_rad),
            units::deg(strip.says.opens_rad[0])
        ),
        fix: vec![
            "both angles are bent through, not between the legs: read them again".into(),
            "take loaded out of its row in shop.toml".into(),
        ],
        margin: None,
    })
    .collect()
}

/// Asks about a sheet whose thickness is not that of the strips the blank rests on.
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
