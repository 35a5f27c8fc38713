//! Can it be bent? The rules of brake and plate; the order and the tools come with the bend plan.

use brake::rules::{self, Breach, Concern, Fix, LegEnd, Limits, Weight};
use handbook::{Sourced, Status};

use crate::finding::{Answer, Finding, Level, Question, Verdict};
use crate::run::Worked;

use super::worst;

fn limits(worked: &Worked) -> Option<Limits> {
    let t_mm = worked.setting.thickness_mm;
    let bender = worked.files.shop.as_ref().and_then(|shop| shop.bender.as_ref());
    let own = bender
        .and_then(|bender| bender.die.as_ref())
        .and_then(|die| worked.scope.length_mm(die).ok());
    let over_die = bender.is_none_or(|bender| bender.process.value == "brake");
    let die = match own {
        Some(mm) => Some(Sourced {
            value: mm,
            source: "shop.toml".into(),
            status: Status::Shop,
            row: "bender: die".into(),
        }),
        None if over_die => worked.book.vdie_opening_mm(t_mm).ok(),
        None => None,
    };
    Limits::of(&worked.book, &worked.setting.metal, t_mm, die).ok()
}

pub(super) fn findings(worked: &Worked) -> Vec<Finding> {
    let Some(limits) = limits(worked) else {
        return Vec::new();
    };
    let mut findings: Vec<Finding> = rules::check(&worked.part, &limits)
        .iter()
        .map(|concern| finding(worked, concern, &limits))
        .collect();
    for missing in rules::not_checked(&worked.part, &limits) {
        let rules::NotChecked::Radii(why) = missing;
        findings.push(Finding {
            code: "radius-not-checked",
            level: Level::Care,
            question: Question::Bend,
            about: "inside radius".into(),
            at: Some(worked.files.design.plate.stock.text.at.clone()),
            says: format!("the inside radii could not be checked: {why}"),
            fix: vec!["ask the mill or bend a test strip, and look for cracks on the outside".into()],
            margin: None,
        });
    }
    findings
}

fn finding(worked: &Worked, concern: &Concern, limits: &Limits) -> Finding {
    let both = units::both;
    let (found, limit) = (concern.found, concern.limit);
    let source = super::source_words(&concern.rests_on);
    let (code, about, says) = match &concern.what {
        Breach::TightRadius { bend } => (
            "tight-radius",
            bend,
            format!(
                "the inside radius of {bend} is {}, and {} takes {} at {} without cracking ({source})",
                both(found),
                worked.setting.metal,
                both(limit),
                both(worked.setting.thickness_mm)
            ),
        ),
        Breach::ShortLeg {
            bend,
            panel,
            ends_at,
            share_of_bend,
        } => {
            let die = limits.die.as_ref().map_or_else(
                || "the tool".to_owned(),
                |die| format!("the {} die", both(die.opening_mm.value)),
            );
            let end = match ends_at {
                LegEnd::Edge => String::new(),
                LegEnd::Bend(other) => format!(" up to bend {other}"),
            };
            let part = if *share_of_bend < 0.99 {
                format!(", over {:.0} % of the bend", 100.0 * share_of_bend)
            } else {
                String::new()
            };
            (
                "short-leg",
                bend,
                format!(
                    "the leg \"{panel}\" of {bend}{end} is {}; {die} needs {}{part} ({source})",
                    both(found),
                    both(limit)
                ),
            )
        }
        Breach::OpeningNearBend { opening, bend } => (
            "opening-near-bend",
            opening,
            format!(
                "the edge of {opening} is {} from the bend {bend}, and {} keeps it true ({source})",
                both(found),
                both(limit)
            ),
        ),
        Breach::NoRelief { bend, .. } => (
            "no-relief",
            bend,
            format!("the bend {bend} ends inside the plate without a relief, and tears there ({source})"),
        ),
        Breach::BentTooFar { bend } => (
            "bent-too-far",
            bend,
            format!(
                "the bend {bend} is bent through {}; tools close to {} ({source})",
                units::deg(found),
                units::deg(limit)
            ),
        ),
    };
    Finding {
        code,
        level: match concern.weight {
            Weight::Stop => Level::Stop,
            Weight::Care => Level::Care,
            Weight::Note => Level::Note,
        },
        question: Question::Bend,
        about: about.clone(),
        at: super::design_place(worked, about),
        says,
        fix: concern.fixes.iter().map(fix_words).collect(),
        margin: None,
    }
}

fn fix_words(fix: &Fix) -> String {
    let both = units::both;
    match fix {
        Fix::Radius { radius_mm } => format!("bend to an inside radius of {}", both(*radius_mm)),
        Fix::Metal {
            name,
            least_radius_mm,
        } => format!("use {name}, which takes {}", both(*least_radius_mm)),
        Fix::Thinner { at_most_mm } => format!("use plate of at most {}", both(*at_most_mm)),
        Fix::LengthenLeg { panel, by_mm } => format!("lengthen \"{panel}\" by {}", both(*by_mm)),
        Fix::Die { opening_mm } => format!("use a die of {} or less", both(*opening_mm)),
        Fix::TrimAfter { panel, by_mm } => {
            format!(
                "leave {} more on \"{panel}\", bend, and trim it off",
                both(*by_mm)
            )
        }
        Fix::MoveOpening {
            opening,
            by_mm,
            toward,
        } => format!(
            "move {opening} by {} ({:+.1}, {:+.1} mm on the blank)",
            both(*by_mm),
            by_mm * toward.x,
            by_mm * toward.y
        ),
        Fix::OpenAfterBending {
            opening,
            dia_mm: Some(dia_mm),
        } => {
            format!("drill {opening} to {} after bending", both(*dia_mm))
        }
        Fix::OpenAfterBending {
            opening,
            dia_mm: None,
        } => format!("cut {opening} after bending"),
        Fix::CutRelief { width_mm, past_mm } => {
            format!(
                "cut a relief {} wide, {} past the bend",
                both(*width_mm),
                both(*past_mm)
            )
        }
        Fix::DrillRelief { dia_mm } => format!("drill a hole of {} at the bend's end", both(*dia_mm)),
        Fix::BendLess { to_rad } => format!("bend through {} at most", units::deg(*to_rad)),
        Fix::TwoBends { each_rad } => format!("make two bends of {} each", units::deg(*each_rad)),
    }
}

pub(super) fn verdict(worked: &Worked, findings: &[Finding]) -> Verdict {
    if worked.part.bends.is_empty() {
        return Verdict {
            answer: Answer::Yes,
            margin: None,
            decides: Some("no bends".into()),
            says: "there is nothing to bend".into(),
        };
    }
    if limits(worked).is_none() {
        return Verdict::not_checked("the handbook has no rules for bending this metal");
    }
    let plan = "the order of the bends and what they meet are not worked out yet";
    match worst(findings, Question::Bend).filter(|finding| finding.level < Level::Note) {
        Some(finding) => Verdict::not_checked(format!("{plan}; already, {}", finding.says)),
        None => Verdict::not_checked(format!("{plan}; radii, legs and openings keep their rules")),
    }
}
