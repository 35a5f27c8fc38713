//! Can it be bent? The rules of brake and plate, and the order on the shop's tools.

pub(crate) mod changes;
#[cfg(test)]
mod tests;
pub(crate) mod words;

use brake::needs::{Grain, RadiusFrom};
use brake::order::Plan;
use brake::rules::{self, Breach, Concern, Fix, LegEnd, Limits, Weight};
use brake::tooling::Means;
use handbook::{Sourced, Status};

use crate::finding::{Answer, Finding, Level, Question, Verdict};
use crate::run::Worked;

use crate::stages::bender::Whose;
use crate::stages::bending::{Bending, Found, NotAsked, grain_on_blank};
use crate::stages::coming::From;

use super::{tally, worst};
use changes::repair_words;
use words::{blocked_words, in_itself_words, nears_words, solid_words, step_bends, what_words};

fn limits(worked: &Worked) -> Option<Limits> {
    let t_mm = worked.setting.thickness_mm;
    let bender = worked.files.shop.as_ref().and_then(|shop| shop.bender.as_ref());
    let own = bender
        .and_then(|bender| bender.die.as_ref())
        .and_then(|die| worked.scope.length_mm(die).ok());
    let over_die = bender.is_none_or(|bender| bender.process.value == "brake");
    let usual = worked.book.vdie_opening_mm(t_mm);
    // Of the shop's own dies the one nearest to what is usual for the plate; none where it has brakes' tools of no kind.
    let own_die = || {
        let away = |mm: f64| usual.as_ref().map_or(0.0, |usual| (usual.value - mm).abs());
        let dies = worked.tools.tooling.dies.iter();
        let near = dies.min_by(|a, b| away(a.opening_mm).total_cmp(&away(b.opening_mm)))?;
        Some(Sourced {
            value: near.opening_mm,
            source: "shop.toml".into(),
            status: Status::Shop,
            row: format!("bender: the die \"{}\"", near.name),
        })
    };
    let die = match own {
        Some(mm) => Some(Sourced {
            value: mm,
            source: "shop.toml".into(),
            status: Status::Shop,
            row: "bender: die".into(),
        }),
        None if over_die && worked.tools.whose == Whose::Own => own_die(),
        None if over_die => usual.ok(),
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
        // What is drawn wide enough and comes tighter is told with what makes it so.
        .filter(|concern| !super::coming::comes_tighter(worked, concern))
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
    findings.extend(of_order(worked));
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
    let decider = worst(findings, Question::Bend).filter(|finding| finding.level < Level::Note);
    let bending = match &worked.bent {
        Ok(bending) => bending,
        Err(why) => {
            let why = not_asked_words(why);
            return match decider {
                Some(finding) => Verdict::not_checked(format!("{why}; already, {}", finding.says)),
                None => Verdict::not_checked(format!("{why}; radii, legs and openings keep their rules")),
            };
        }
    };
    let order = match &bending.found {
        Found::Order(plan) => {
            let names: Vec<String> = plan.steps.iter().map(|step| step_bends(bending, step)).collect();
            names.join(", ")
        }
        Found::None { .. } => String::new(),
    };
    if !bending.said() {
        let says = match &bending.found {
            Found::Order(_) => format!("on tools of common shapes the order {order} works"),
            Found::None { .. } => "on tools of common shapes there is no order".into(),
        };
        let already = decider.map_or(String::new(), |finding| format!("; already, {}", finding.says));
        return Verdict::not_checked(format!(
            "shop.toml does not say what the tools are like; {says}{already}"
        ));
    }
    if let Some(finding) = decider {
        let answer = if finding.level == Level::Stop {
            Answer::No
        } else {
            Answer::Care
        };
        return Verdict {
            answer,
            margin: finding.margin,
            decides: Some(finding.about.clone()),
            says: format!(
                "{}{}",
                finding.says,
                tally(findings, Question::Bend, Some(finding))
            ),
        };
    }
    let Found::Order(plan) = &bending.found else {
        // A finding says so, and has decided.
        return Verdict::not_checked(
            "no order of the bends was found, and not every length of tool was looked at",
        );
    };
    let nearest = plan.least_clearance();
    Verdict {
        answer: Answer::Yes,
        // Closer than this is a care of its own, and has decided.
        margin: nearest.map(|clearance| 1.0 - CLOSE_MM / clearance.mm),
        decides: Some(nearest.map_or_else(|| "order".into(), |_| "clearance".into())),
        says: match nearest {
            Some(clearance) => format!(
                "in the order {order}; the least clearance on the way is {}",
                units::both(clearance.mm.max(0.0))
            ),
            None => format!("in the order {order}; nothing comes near on the way"),
        },
    }
}

/// A clearance under this is close, mm: what a bend and a gauge are off together. Common practice, no source.
const CLOSE_MM: f64 = 3.0;

fn not_asked_words(why: &NotAsked) -> String {
    match why {
        NotAsked::NoBends => "there is nothing to bend".into(),
        NotAsked::NoShop => "there is no shop.toml to say what the tools are".into(),
        NotAsked::Work(error) => format!("the order of the bends is not worked out: {error}"),
        NotAsked::Plan(error) => format!("the order of the bends is not worked out: {error}"),
    }
}

/// What the order of the bends has to say, when the shop's tools are known.
fn of_order(worked: &Worked) -> Vec<Finding> {
    let Ok(bending) = &worked.bent else {
        return Vec::new();
    };
    if !bending.said() {
        return Vec::new();
    }
    let found = |code, level, bend: &str, says: String, fix: Vec<String>, margin| Finding {
        code,
        level,
        question: Question::Bend,
        about: bend.to_owned(),
        at: super::design_place(worked, bend),
        says,
        fix,
        margin,
    };
    match &bending.found {
        // What is not proven keeps the question open, and stops nothing.
        Found::None { proven: false, .. } => Vec::new(),
        Found::None { why, repairs, .. } => {
            let blocked = why.blocked();
            let Some(first) = blocked.first() else {
                return Vec::new();
            };
            let says: Vec<String> = match in_itself_words(bending, why) {
                Some(in_itself) => vec![in_itself],
                None => blocked
                    .iter()
                    .take(MOST_BLOCKED)
                    .map(|blocked| blocked_words(bending, blocked))
                    .collect(),
            };
            vec![found(
                "no-order",
                Level::Stop,
                &bending.work.lines[first.line].name,
                format!("no order of the bends works: {}", says.join("; and ")),
                if repairs.is_empty() {
                    vec!["ask `gusset bend` which single changes give an order".into()]
                } else {
                    repairs
                        .iter()
                        .map(|repair| repair_words(bending, repair))
                        .collect()
                },
                None,
            )]
        }
        Found::Order(plan) => {
            let close = plan.steps.iter().filter_map(|step| {
                let clearance = step.clearance.filter(|clearance| clearance.mm < CLOSE_MM)?;
                Some(found(
                    "close-bend",
                    Level::Care,
                    &bending.work.lines[step.lines[0]].name,
                    format!(
                        "at {} {} {} {}",
                        step_bends(bending, step),
                        solid_words(bending, clearance.part),
                        nears_words(clearance.mm),
                        what_words(bending, clearance.to)
                    ),
                    vec!["bend a test piece first, and look from the side".into()],
                    Some(clearance.mm / CLOSE_MM - 1.0),
                ))
            });
            let short = bending.swept_short().into_iter().map(|short| {
                let step = &plan.steps[short.step];
                found(
                    "swept-short",
                    Level::Care,
                    &bending.work.lines[step.lines[0]].name,
                    format!(
                        "at {} what comes near was looked at up to {}, and the strip of its tool asks for {} under load",
                        step_bends(bending, step),
                        units::deg(short.swept_rad),
                        units::deg(short.aim_rad)
                    ),
                    vec!["bend a test piece first, and look from the side at the end of the bend".into()],
                    None,
                )
            });
            let short: Vec<Finding> = short.collect();
            close.chain(short).chain(cracks(worked, bending, plan)).collect()
        }
    }
}

/// No radius gauge tells them apart, mm.
const SAME_RADIUS_MM: f64 = 0.005;

/// The inside radius that tools leave.
#[derive(Debug, Clone, PartialEq)]
struct Leaves {
    radius_mm: f64,
    /// What leaves it, with its verb.
    by: String,
    by_v: bool,
}

/// Bends whose outside may crack with the radius that these tools leave, those of one radius together. A radius that is drawn
/// too tight is told by the rules.
fn cracks(worked: &Worked, bending: &Bending, plan: &Plan) -> Vec<Finding> {
    let grain = grain_on_blank(worked);
    let steps = plan.steps.iter().filter(|step| step.means != Means::Away);
    let mut told: Vec<(Grain, Leaves, Sourced<f64>, Vec<&str>)> = Vec::new();
    for (step, line) in steps.flat_map(|step| step.lines.iter().map(move |line| (step, *line))) {
        let made = &bending.work.lines[line];
        let asks = bending.asks(step, line, grain);
        let (Some(least), Some(comes)) = (asks.crack.least_mm.clone(), asks.comes) else {
            continue;
        };
        let coming = super::coming::of_line(worked, &made.bends);
        let drawn_mm = coming.map_or(made.radius_mm, |coming| coming.drawn_mm);
        let leaves = match coming {
            Some(coming) => Leaves {
                radius_mm: coming.comes_mm,
                by: super::coming::leaves_words(&coming.from),
                by_v: coming.from == From::Opening,
            },
            None => Leaves {
                radius_mm: comes.radius_mm,
                by: match comes.from {
                    RadiusFrom::Opening => "the V leaves".into(),
                    RadiusFrom::Nose => "the nose leaves".into(),
                    RadiusFrom::Drawn => "there is".into(),
                },
                by_v: comes.from == RadiusFrom::Opening,
            },
        };
        if drawn_mm < least.value || leaves.radius_mm >= least.value - SAME_RADIUS_MM {
            continue;
        }
        let same = told
            .iter_mut()
            .find(|(_, known, limit, _)| *known == leaves && *limit == least);
        match same {
            Some((.., names)) => names.push(&made.name),
            None => told.push((asks.crack.grain, leaves, least, vec![&made.name])),
        }
    }
    let finding = |(grain, leaves, least, names): (Grain, Leaves, Sourced<f64>, Vec<&str>)| {
        let along = match grain {
            Grain::Along => ", along the grain",
            _ => "",
        };
        let share = bending
            .work
            .stock
            .as_ref()
            .and_then(|stock| stock.radius_per_opening.as_ref());
        let wider = share
            .filter(|_| leaves.by_v)
            .map(|share| format!("use a V of {} or more", units::both(least.value / share.value)));
        let nose = format!("use a nose of {} or more", units::both(least.value));
        let strip = "bend a test strip with it (`gusset strip bend`), and look at its outside with a glass"
            .to_owned();
        Finding {
            code: "may-crack",
            level: Level::Care,
            question: Question::Bend,
            about: names[0].to_owned(),
            at: super::design_place(worked, names[0]),
            says: format!(
                "{} may crack outside: {} an inside radius of {}{along}, and {} takes {} ({})",
                names.join(", "),
                leaves.by,
                units::both(leaves.radius_mm),
                worked.setting.metal,
                units::both(least.value),
                super::source_words(&least)
            ),
            fix: wider.into_iter().chain([nose, strip]).collect(),
            margin: Some(leaves.radius_mm / least.value - 1.0),
        }
    };
    told.into_iter().map(finding).collect()
}

/// More reasons than these bury the first.
const MOST_BLOCKED: usize = 3;
