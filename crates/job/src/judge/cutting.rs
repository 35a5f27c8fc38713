//! Can it be cut? The rules of the cutter and the sheets at hand.

use cut::rules::{self, Breach, Concern, CutEdge, Fix, Limits, NotChecked, SheetAtHand, Weight};
use handbook::{Sourced, Status};

use crate::finding::{Answer, Finding, Level, Question, Verdict};
use crate::run::Worked;
use crate::stages::cutting;

use super::{planned, tally, worst};

fn limits(worked: &Worked) -> Option<Limits> {
    let cutter = worked.files.shop.as_ref().and_then(|shop| shop.cutter.as_ref());
    let process = cutter.map_or(super::USUAL_PROCESS, |cutter| cutter.process.value.as_str());
    let mut limits = Limits::of(&worked.book, process).ok()?;
    let own = |value: f64, row: &str| Sourced {
        value,
        source: "shop.toml".into(),
        status: Status::Shop,
        row: row.into(),
    };
    if let Some(cutter) = cutter {
        if let Some(kerf_mm) = cutter
            .kerf
            .as_ref()
            .and_then(|kerf| worked.scope.length_mm(kerf).ok())
        {
            limits.kerf_mm = own(kerf_mm, "cutter: kerf");
        }
        if let Some(least) = &cutter.least_hole {
            limits.least_hole_x_t = own(least.value, "cutter: least_hole");
        }
    }
    Some(limits)
}

/// The sheets of this stock.
fn sheets(worked: &Worked) -> Vec<SheetAtHand> {
    let sheets = cutting::sheets(worked).into_iter().map(|sheet| SheetAtHand {
        name: sheet.name,
        size_mm: sheet.size_mm,
    });
    sheets.collect()
}

pub(super) fn findings(worked: &Worked) -> Vec<Finding> {
    let Some(limits) = limits(worked) else {
        return Vec::new();
    };
    let concerns = rules::check(&worked.part, &limits, &sheets(worked));
    let mut findings = Vec::new();
    let mut told: Vec<i64> = Vec::new();
    for concern in &concerns {
        let mut names = Vec::new();
        if matches!(concern.what, Breach::SmallHole { .. }) {
            // Holes of one size are one thing to do.
            let size = same_size(concern.found_mm);
            if told.contains(&size) {
                continue;
            }
            told.push(size);
            names = concerns
                .iter()
                .filter(|other| same_size(other.found_mm) == size)
                .filter_map(small_hole)
                .collect();
        }
        findings.push(finding(worked, concern, &names, &limits));
    }
    let too_large = findings.iter().any(|finding| finding.code == "larger-than-sheet");
    findings.extend(planned::findings(worked, too_large));
    findings
}

/// Sizes that no caliper tells apart, as one number: hundredths of a mm.
fn same_size(mm: f64) -> i64 {
    (100.0 * mm).round() as i64
}

fn small_hole(concern: &Concern) -> Option<String> {
    match &concern.what {
        Breach::SmallHole { hole } => Some(name(hole)),
        _ => None,
    }
}

fn name(edge: &CutEdge) -> String {
    match edge {
        CutEdge::Outside => "the outside edge".into(),
        CutEdge::Opening(name) => name.clone(),
        CutEdge::Hole(index) => format!("opening {}", index + 1),
    }
}

/// One concern; `holes` are all the small holes of its size.
fn finding(worked: &Worked, concern: &Concern, holes: &[String], limits: &Limits) -> Finding {
    let both = units::both;
    let (found, limit) = (concern.found_mm, concern.limit_mm);
    let source = super::source_words(&concern.rests_on);
    let process = &limits.process;
    let thick = both(worked.setting.thickness_mm);
    let (code, about, says) = match &concern.what {
        Breach::SmallHole { hole } => (
            "small-hole",
            name(hole),
            format!(
                "the hole{} {} {} {}; {process} in {thick} cuts {} and more well ({source})",
                if holes.len() > 1 { "s" } else { "" },
                holes.join(", "),
                if holes.len() > 1 { "are" } else { "is" },
                both(found),
                both(limit)
            ),
        ),
        Breach::NarrowOpening { opening } => (
            "narrow-opening",
            name(opening),
            format!(
                "{} is {} wide; {process} in {thick} cuts {} and more well ({source})",
                name(opening),
                both(found),
                both(limit)
            ),
        ),
        Breach::NearEdge { opening } => (
            "near-edge",
            name(opening),
            format!(
                "{} is {} from the outside edge; {process} in {thick} needs {} ({source})",
                name(opening),
                both(found),
                both(limit)
            ),
        ),
        Breach::ThinWeb { first, second } => (
            "thin-web",
            name(first),
            format!(
                "between {} and {} stand {}; {process} in {thick} needs {} ({source})",
                name(first),
                name(second),
                both(found),
                both(limit)
            ),
        ),
        Breach::SharpCorners { of, corners } => (
            "sharp-corners",
            name(of),
            format!(
                "{corners} inside corner{} of {} come out round, with a radius of {} ({source})",
                if *corners == 1 { "" } else { "s" },
                name(of),
                both(limit)
            ),
        ),
        Breach::LargerThanEverySheet { nearest, blank_mm } => (
            "larger-than-sheet",
            "blank".into(),
            format!(
                "the blank is {} by {} and with its margin fits no sheet at hand; {nearest} comes nearest, {} short",
                both(blank_mm[0]),
                both(blank_mm[1]),
                both((found - limit).abs())
            ),
        ),
    };
    let at = match super::design_place(worked, &about) {
        Some(place) => Some(place),
        None if about == "blank" => Some(worked.files.design.plate.stock.text.at.clone()),
        None => worked
            .files
            .design
            .outline
            .through
            .first()
            .map(|name| name.at.clone()),
    };
    Finding {
        code,
        level: match concern.weight {
            Weight::Stop => Level::Stop,
            Weight::Care => Level::Care,
            Weight::Note => Level::Note,
        },
        question: Question::Cut,
        about,
        at,
        says,
        fix: concern.fixes.iter().map(fix_words).collect(),
        margin: margin(concern),
    }
}

/// How much of the limit is left: what there is over what must be, less 1. For a blank against a sheet the other way
/// round, since there the limit is the sheet.
fn margin(concern: &Concern) -> Option<f64> {
    let share = match concern.what {
        Breach::LargerThanEverySheet { .. } => concern.limit_mm / concern.found_mm,
        _ => concern.found_mm / concern.limit_mm,
    };
    share.is_finite().then_some(share - 1.0)
}

fn fix_words(fix: &Fix) -> String {
    let both = units::both;
    match fix {
        Fix::Drill { dia_mm } => format!("mark the centre and drill to {}", both(*dia_mm)),
        Fix::DrillEnds { dia_mm } => format!("drill {} at both ends and file between", both(*dia_mm)),
        Fix::Widen { to_mm } => format!("make it {} wide", both(*to_mm)),
        Fix::OtherProcess { name, limit_mm } => {
            format!("have it cut by {name}, which needs {}", both(*limit_mm))
        }
        Fix::Thinner { at_most_mm } => format!("use plate of at most {}", both(*at_most_mm)),
        Fix::Move {
            opening,
            by_mm,
            toward,
        } => format!(
            "move {} by {} ({:+.1}, {:+.1} mm on the blank)",
            name(opening),
            both(*by_mm),
            by_mm * toward.x,
            by_mm * toward.y
        ),
        Fix::MoveEdge { by_mm, .. } => format!("move the edge out by {}", both(*by_mm)),
        Fix::RoundCorners { radius_mm } => format!("round them in the design, {} or more", both(*radius_mm)),
        Fix::LeaveRound { radius_mm } => {
            format!("leave them round, or file them out of {}", both(*radius_mm))
        }
        Fix::LargerSheet {
            size_mm: [width, length],
        } => {
            format!("get a sheet of {} by {}", both(*width), both(*length))
        }
        Fix::Shorten { by_mm, .. } => format!("make the blank {} shorter", both(*by_mm)),
    }
}

pub(super) fn verdict(worked: &Worked, findings: &[Finding]) -> Verdict {
    let decider = worst(findings, Question::Cut).filter(|finding| finding.level < Level::Note);
    if let Some(finding) = decider {
        let answer = if finding.level == Level::Stop {
            Answer::No
        } else {
            Answer::Care
        };
        let says = format!(
            "{}{}",
            finding.says,
            tally(findings, Question::Cut, Some(finding))
        );
        // A stop is a stop whatever else could not be checked; a care is not the whole answer while something is open.
        if answer == Answer::No || open(worked).is_none() {
            return Verdict {
                answer,
                margin: finding.margin,
                decides: Some(finding.about.clone()),
                says,
            };
        }
    }
    if let Some(why) = open(worked) {
        return Verdict::not_checked(why);
    }
    let process = limits(worked).map_or_else(String::new, |limits| limits.process);
    let keeps = format!("holes, webs, edges and corners keep the rules of {process}");
    let Ok(sheet) = &worked.cut else {
        return Verdict {
            answer: Answer::Yes,
            margin: None,
            decides: Some("holes, webs, edges, corners, sheet".into()),
            says: format!("{keeps}, and a sheet at hand holds the blank"),
        };
    };
    let answer = sheet.plan.answer.as_ref();
    Verdict {
        answer: Answer::Yes,
        margin: answer.and_then(|answer| answer.margin),
        decides: answer.map(|answer| answer.name.clone()),
        says: format!(
            "{keeps}, and {} holds the blank: {}",
            sheet.sheet.name,
            planned::in_short(&sheet.plan)
        ),
    }
}

/// What keeps the answer open.
fn open(worked: &Worked) -> Option<String> {
    if worked.files.shop.is_none() {
        return Some("there is no shop.toml to say which cutter and which sheets there are".into());
    }
    let Some(limits) = limits(worked) else {
        return Some("the handbook has no rules for this way of cutting".into());
    };
    let open = rules::not_checked(&worked.part, &limits, &sheets(worked));
    let rule = open.first().map(|what| match what {
        NotChecked::NoSheetSaid => format!(
            "shop.toml lists no sheet of {} {}",
            worked.setting.metal,
            units::both(worked.setting.thickness_mm)
        ),
        NotChecked::WindowWidth(edge) => format!("how narrow {} gets could not be worked out", name(edge)),
    });
    rule.or_else(|| planned::open(worked))
}
