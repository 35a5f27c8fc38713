//! Does it fit? Mounts, support, keep-outs, seams, the measures that were found, and the mass that was allowed.

use fit::{ApartState, Deciding};

use crate::finding::{Answer, Finding, Level, Question, Verdict};
use crate::run::Worked;

use super::{tally, whole_mm, worst};

/// A margin below this is passed by the next bend or a worn drill: worth a look.
const THIN_MARGIN: f64 = 0.1;

/// One thing that must be met, as a ratio of what is allowed.
struct Wish {
    about: String,
    ratio: f64,
    says: String,
    /// Is it a hole off its bolt, which a slot would take up?
    slot_helps: bool,
}

fn wishes(worked: &Worked) -> Vec<Wish> {
    let mut wishes = Vec::new();
    let Some(standing) = &worked.standing else {
        return wishes;
    };
    for mount in standing.placement.iter().flat_map(|placement| &placement.mounts) {
        let (what, is, may, unit) = match mount.deciding() {
            Deciding::Offset => ("off its hole", mount.offset_mm, mount.allowed_mm, "mm"),
            Deciding::Gap if mount.gap_mm < 0.0 => {
                ("sunk into its seat", -mount.gap_mm, mount.gap_allowed_mm, "mm")
            }
            Deciding::Gap => ("off its seat", mount.gap_mm, mount.gap_allowed_mm, "mm"),
            Deciding::Tilt => (
                "tilted on its seat",
                mount.tilt_rad.to_degrees(),
                mount.tilt_allowed_rad.to_degrees(),
                "deg",
            ),
        };
        wishes.push(Wish {
            about: format!("mount {}", mount.mount),
            ratio: mount.ratio(),
            says: format!("mount {} is {is:.2} {unit} {what}, {may:.2} allowed", mount.mount),
            slot_helps: mount.deciding() == Deciding::Offset,
        });
    }
    if let Some(support) = &standing.support {
        let offset = support.offset_mm / support.allowed_mm;
        let turn = support.turn_rad / support.allowed_turn_rad;
        let says = if offset >= turn {
            format!(
                "the support is {:.2} mm off its place, {:.2} allowed",
                support.offset_mm, support.allowed_mm
            )
        } else {
            format!(
                "the support is turned by {:.2} deg, {:.2} allowed",
                support.turn_deg(),
                support.allowed_turn_rad.to_degrees()
            )
        };
        wishes.push(Wish {
            about: "support".into(),
            ratio: offset.max(turn),
            says,
            slot_helps: false,
        });
        if let Some(apart) = &support.apart {
            wishes.push(Wish {
                about: "support".into(),
                ratio: apart.off_mm.abs() / apart.allowed_mm,
                says: apart_words(apart),
                slot_helps: true,
            });
        }
    }
    wishes
}

/// How far the support's holes are apart, and the part's.
pub(super) fn apart_words(apart: &ApartState) -> String {
    format!(
        "the support's holes are {} apart and the part's are {}",
        units::both(apart.wanted_mm),
        units::both(apart.apart_mm)
    )
}

pub(super) fn findings(worked: &Worked) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut say = |code, level, about: &str, says: String, fix: Vec<String>, at| {
        findings.push(Finding {
            code,
            level,
            question: Question::Fit,
            about: about.to_owned(),
            at,
            says,
            fix,
            margin: None,
        });
    };
    let fit = worked.files.fit.as_ref();
    let place = |about: &str| {
        let fit = fit?;
        let name = about
            .trim_start_matches("mount ")
            .split('.')
            .next()
            .unwrap_or_default();
        fit.mounts
            .iter()
            .find(|mount| mount.name.value == name)
            .map(|mount| mount.name.at.clone())
            .or_else(|| {
                let support = fit.support.as_ref()?;
                support.holes.first().map(|hole| hole.at.clone())
            })
    };
    for wish in wishes(worked) {
        let at = place(&wish.about);
        let open: Vec<&str> = worked
            .files
            .design
            .measures
            .iter()
            .filter(|m| m.fit)
            .map(|m| m.name.value.as_str())
            .collect();
        if wish.ratio > 1.0 {
            let mut fix = Vec::new();
            if !worked.snooped.suspects.is_empty() {
                fix.push("settle the slipped reading first; this may only follow from it".to_owned());
            }
            fix.push("measure the mount or support again and correct the fit".to_owned());
            if worked.found.is_none() {
                fix.push(if open.is_empty() {
                    "give the measures that carry the leg there solve = true and between = [least, most]"
                        .to_owned()
                } else {
                    format!(
                        "change one of the measures left to the fit ({}), or mark it solve",
                        open.join(", ")
                    )
                });
            }
            if wish.slot_helps {
                fix.push("make the hole a slot where it is off".to_owned());
            }
            say("does-not-meet", Level::Stop, &wish.about, wish.says, fix, at);
        } else if wish.ratio > 1.0 - THIN_MARGIN {
            let fix = vec!["bend and measure this leg first, and drill its hole to the equipment".to_owned()];
            say("thin-margin", Level::Care, &wish.about, wish.says, fix, at);
        }
    }
    if let Some(standing) = &worked.standing {
        for free in standing.placement.iter().flat_map(|placement| &placement.free) {
            let says = format!("the mounts leave the part free to {free}");
            let fix = vec!["add a second mount, or one more bolt off that line".to_owned()];
            say(
                "free-to-turn",
                Level::Care,
                "mounts",
                says,
                fix,
                fit.map(|fit| fit.title.at.clone()),
            );
        }
        for (keep_out, clearance_mm, on_part) in &standing.keep_outs {
            let short_mm = keep_out.least_mm - clearance_mm;
            if short_mm > KEEP_OUT_SLACK_MM {
                let place = format!(
                    "at {}, {}, {} mm",
                    whole_mm(on_part.x),
                    whole_mm(on_part.y),
                    whole_mm(on_part.z)
                );
                let name = &keep_out.name.value;
                let says = if *clearance_mm < 0.0 {
                    format!(
                        "the part stands {} inside the keep-out {name}, {place}",
                        units::both(-clearance_mm)
                    )
                } else {
                    format!(
                        "the part comes within {} of the keep-out {name} {place}, and {} must stay free",
                        units::both(*clearance_mm),
                        units::both(keep_out.least_mm)
                    )
                };
                let fix = vec![
                    format!("take {} off the outline there", units::both(short_mm)),
                    "move the leg or its bend away from it".to_owned(),
                ];
                say(
                    "keep-out",
                    Level::Stop,
                    name,
                    says,
                    fix,
                    Some(keep_out.name.at.clone()),
                );
            }
        }
    }
    if let Some(found) = &worked.found {
        if !found.met {
            let names: Vec<&str> = found.values.keys().map(String::as_str).collect();
            let names = names.join(", ");
            let says = format!(
                "no choice of {names} within their ranges meets all mounts and the support; the nearest is taken"
            );
            let fix = vec![
                "look below at what stays open, and by how much".to_owned(),
                "widen the ranges, or leave one more measure to be found".to_owned(),
            ];
            say("search-not-met", Level::Care, "measures", says, fix, None);
        }
        for name in &found.at_end {
            let says = format!(
                "the search left the measure {name} at an end of its range, at {}",
                shown(worked, name)
            );
            let fix = vec![format!(
                "widen between for {name}, if a part like that can be made"
            )];
            say(
                "at-end-of-range",
                Level::Care,
                name,
                says,
                fix,
                measure_place(worked, name),
            );
        }
        for name in &found.undecided {
            let says = format!(
                "neither mounts nor support decide the measure {name}; it stays at {}",
                shown(worked, name)
            );
            let fix = vec![format!("give {name} a value instead of solve = true")];
            say(
                "undecided-measure",
                Level::Care,
                name,
                says,
                fix,
                measure_place(worked, name),
            );
        }
    } else {
        for measure in worked
            .files
            .design
            .measures
            .iter()
            .filter(|measure| measure.solve.is_some())
        {
            let name = &measure.name.value;
            let says = format!(
                "there are no mounts to find the measure {name} from; it is taken as {}",
                shown(worked, name)
            );
            let fix = vec![
                "give the fit its mounts and support".to_owned(),
                format!("give {name} a value"),
            ];
            say(
                "not-found",
                Level::Care,
                name,
                says,
                fix,
                Some(measure.name.at.clone()),
            );
        }
    }
    for (seam, gap) in worked.files.design.seams.iter().zip(&worked.part.seams) {
        let allowed = allowed_gap_mm(worked, seam);
        let widest = gap.gap_mm[0].max(gap.gap_mm[1]);
        if widest > allowed {
            let says = format!(
                "the seam {} gapes by {} and {} at its ends, {} allowed, twisted by {:.1} deg",
                gap.name,
                units::both(gap.gap_mm[0]),
                units::both(gap.gap_mm[1]),
                units::both(allowed),
                gap.twist_rad.to_degrees()
            );
            let fix = vec![
                format!(
                    "lengthen the shorter of its edges by {}",
                    units::both(widest - allowed)
                ),
                "bend one of the two legs a little further and measure again".to_owned(),
            ];
            say(
                "seam-gapes",
                Level::Stop,
                &gap.name,
                says,
                fix,
                Some(seam.name.at.clone()),
            );
        }
    }
    if let Some((mass_kg, limit_kg)) = mass_limit(worked)
        && mass_kg > limit_kg
    {
        let says = format!("the part has {mass_kg:.3} kg and may have {limit_kg:.3} kg");
        let fix = vec![
            "cut a window where the metal does nothing".to_owned(),
            format!(
                "thinner plate: {} would do",
                units::mm(worked.part.thickness_mm * limit_kg / mass_kg)
            ),
        ];
        let at = fit
            .and_then(|fit| fit.limits.mass.as_ref())
            .map(|limit| limit.at.clone());
        say("too-heavy", Level::Stop, "mass", says, fix, at);
    }
    findings
}

/// Contact within this is contact and no fault: a keep-out of 0 may touch.
const KEEP_OUT_SLACK_MM: f64 = 1e-6;

fn measure_place(worked: &Worked, name: &str) -> Option<crate::files::model::Place> {
    worked
        .files
        .design
        .measures
        .iter()
        .find(|measure| measure.name.value == name)
        .map(|m| m.name.at.clone())
}

fn shown(worked: &Worked, name: &str) -> String {
    worked
        .scope
        .get(name)
        .map_or_else(|| "?".into(), crate::report::quantity_shown)
}

pub(crate) fn allowed_gap_mm(worked: &Worked, seam: &crate::files::model::SeamDef) -> f64 {
    let said = seam.gap.as_ref().and_then(|gap| worked.scope.length_mm(gap).ok());
    said.unwrap_or_else(|| worked.book.limit(handbook::Limit::SeamGap).value)
}

fn mass_limit(worked: &Worked) -> Option<(f64, f64)> {
    let limit = worked.files.fit.as_ref()?.limits.mass.as_ref()?;
    let limit_kg = worked.scope.mass_kg(limit).ok()?;
    Some((worked.part.mass_kg(worked.setting.density_kg_m3.value), limit_kg))
}

pub(super) fn verdict(worked: &Worked, findings: &[Finding]) -> Verdict {
    let worst_finding = worst(findings, Question::Fit).filter(|finding| finding.level < Level::Note);
    let placed = worked
        .standing
        .as_ref()
        .is_some_and(|standing| standing.placement.is_some());
    if !placed {
        if let Some(stop) = worst_finding.filter(|finding| finding.level == Level::Stop) {
            return Verdict {
                answer: Answer::No,
                margin: None,
                decides: Some(stop.about.clone()),
                says: stop.says.clone(),
            };
        }
        let why = match &worked.files.fit {
            None => "there is no fit file to say where the part is fastened",
            Some(_) => "the fit has no mounts to place the part on",
        };
        return Verdict::not_checked(why);
    }
    let tightest = wishes(worked)
        .into_iter()
        .max_by(|one, two| one.ratio.total_cmp(&two.ratio));
    let (margin, decides, mut says) = match tightest {
        Some(wish) => (Some(1.0 - wish.ratio), Some(wish.about), wish.says),
        None => (None, None, String::new()),
    };
    let level = worst_finding.map(|finding| finding.level);
    let answer = match level {
        Some(Level::Stop) => Answer::No,
        Some(Level::Care) => Answer::Care,
        _ => Answer::Yes,
    };
    let met = margin.is_some_and(|margin| margin >= 0.0);
    if let Some(finding) = worst_finding
        && finding.says != says
    {
        // Something other than the tightest mount decides.
        if met {
            says = format!("{}; {says}", finding.says);
            return Verdict {
                answer,
                margin: margin.filter(|_| finding.level != Level::Stop),
                decides: Some(finding.about.clone()),
                says: format!("{says}{}", tally(findings, Question::Fit, Some(finding))),
            };
        }
    }
    let decider = findings
        .iter()
        .find(|finding| finding.question == Question::Fit && finding.says == says);
    says.push_str(&tally(findings, Question::Fit, decider));
    Verdict {
        answer,
        margin,
        decides,
        says,
    }
}
