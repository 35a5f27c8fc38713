//! What stands against the plan of the cut, in words.

mod shifted;
mod words;

use cut::holes::{Because, HoleWay};
use cut::kerf::{Edge, Left};
use cut::lead::{Fits, NoLead, Why};
use cut::profile::NoLine;
use cut::tracks::TrackConcern;
use cut::whole::{CutPlan, NoPlan, PlacedPart, SheetConcern};
use units::both;

use crate::files::model::Place;
use crate::finding::{Finding, Level, Question};
use crate::run::Worked;
use crate::stages::cutting::{CutSheet, NotPlanned};

pub(crate) use words::hole_words;

/// Findings of the plan. `too_large` is whether the rules have already told that the blank goes on no sheet.
pub(super) fn findings(worked: &Worked, too_large: bool) -> Vec<Finding> {
    match &worked.cut {
        Ok(sheet) => of_plan(worked, sheet),
        Err(NotPlanned::No { why, .. }) => no_plan(worked, why),
        Err(NotPlanned::TooSmall { largest }) if !too_large => vec![Finding {
            fix: vec![
                "get a larger sheet, or turn the job to smaller plate".into(),
                "less margin: shorter leads in shop.toml, [cutter.outside]".into(),
            ],
            ..of_sheet(
                worked,
                "no-room",
                Level::Stop,
                format!(
                    "with room for kerf and leads the blank goes on no sheet at hand; the largest is {largest}"
                ),
            )
        }],
        Err(_) => Vec::new(),
    }
}

/// Why the question stays open, where a plan could not be made for want of something.
pub(super) fn open(worked: &Worked) -> Option<String> {
    match &worked.cut {
        Err(NotPlanned::No { why, sheet }) => match why {
            NoPlan::NoLine(NoLine::NotThisMetal { .. }) => None,
            why => Some(format!("there is no plan of the cut on {sheet}: {why}")),
        },
        Err(NotPlanned::NoSuchSheet { asked, known }) => Some(format!(
            "no sheet of this plate is called \"{asked}\"; there are {}",
            known.join("; ")
        )),
        Ok(sheet) => sheet.plan.concerns.iter().find_map(|concern| match concern {
            SheetConcern::Track {
                what:
                    TrackConcern::Left {
                        name,
                        left: Left::NotWorkedOut { .. },
                    },
                ..
            } => Some(format!("what the kerf leaves of {name} could not be worked out")),
            _ => None,
        }),
        Err(_) => None,
    }
}

fn plate_place(worked: &Worked) -> Place {
    worked.files.design.plate.stock.text.at.clone()
}

fn cutter_place(worked: &Worked) -> Option<Place> {
    let shop = worked.files.shop.as_ref()?;
    Some(shop.cutter.as_ref()?.process.at.clone())
}

fn of_sheet(worked: &Worked, code: &'static str, level: Level, says: String) -> Finding {
    Finding {
        code,
        level,
        question: Question::Cut,
        about: "sheet".into(),
        at: cutter_place(worked).or_else(|| Some(plate_place(worked))),
        says,
        fix: Vec::new(),
        margin: None,
    }
}

fn no_plan(worked: &Worked, why: &NoPlan) -> Vec<Finding> {
    match why {
        NoPlan::NoLine(why @ NoLine::NotThisMetal { .. }) => vec![Finding {
            fix: vec!["have it cut by another process".into(), "use plain steel".into()],
            ..of_sheet(worked, "wrong-metal", Level::Stop, why.to_string())
        }],
        NoPlan::NoLine(why) => vec![Finding {
            fix: vec!["add the line of the machine's own chart under [[cutter.chart]] in shop.toml".into()],
            ..of_sheet(worked, "no-chart-line", Level::Note, why.to_string())
        }],
        _ => Vec::new(),
    }
}

fn of_plan(worked: &Worked, sheet: &CutSheet) -> Vec<Finding> {
    let plan = &sheet.plan;
    let mut told_no_room = false;
    let mut found: Vec<Finding> = plan
        .concerns
        .iter()
        .filter_map(|concern| of_concern(worked, sheet, concern, &mut told_no_room))
        .collect();
    found.extend(shifted::findings(worked, sheet));
    let stopped = found.iter().any(|finding| finding.level == Level::Stop);
    if let (Err(wrongs), false) = (&plan.program, stopped) {
        let first = wrongs.first().map_or_else(String::new, ToString::to_string);
        found.push(Finding {
            fix: vec![
                "move zero, clamps or the sheet in shop.toml".into(),
                "look at [cutter.program] in shop.toml".into(),
            ],
            ..of_sheet(
                worked,
                "program-refused",
                Level::Stop,
                format!("the program, read back, does not do what was asked, and is not written: {first}"),
            )
        });
    }
    if sheet.bends_along_grain {
        found.push(Finding {
            fix: vec!["look for cracks at the test strip, bent the same way".into()],
            ..of_sheet(
                worked,
                "along-grain",
                Level::Note,
                "however the blank lies, some bend runs along the grain of the sheet".into(),
            )
        });
    }
    if let Some(part) = plan.placed.first() {
        found.extend(of_holes(worked, part));
    }
    let kerf = sheet.cutter.profile.kerf_in(&sheet.cutter.stock);
    if !kerf.is_measured() && !plan.placed.is_empty() {
        found.push(Finding {
            fix: vec!["cut the test comb of `gusset strip kerf`, and put its readings under [[kerfs]]".into()],
            ..of_sheet(
                worked,
                "kerf-not-measured",
                Level::Note,
                format!(
                    "the kerf of {:.2} mm was not measured in this plate: sizes can be {:.2} mm off by that alone",
                    kerf.width_mm,
                    2.0 * kerf.sd_mm
                ),
            )
        });
    }
    found
}

fn of_concern(
    worked: &Worked,
    sheet: &CutSheet,
    concern: &SheetConcern,
    told_no_room: &mut bool,
) -> Option<Finding> {
    let plan = &sheet.plan;
    let whole = |code, level, says| of_sheet(worked, code, level, says);
    let placed = |index: usize| {
        plan.placed
            .get(index)
            .map_or("the part", |part| part.name.as_str())
    };
    Some(match concern {
        // What holds of one copy holds of the others.
        SheetConcern::Track { placed, .. } if plan.placed.get(*placed).is_none_or(|part| part.copy > 1) => {
            return None;
        }
        SheetConcern::Track { what, .. } => return of_track(worked, sheet, what),
        SheetConcern::NoRoom { .. } if std::mem::replace(told_no_room, true) => return None,
        SheetConcern::NoRoom { .. } => Finding {
            fix: vec!["fewer copies, or a larger sheet: --copies, --sheet".into()],
            ..whole(
                "no-room",
                Level::Stop,
                match plan.placed.len() {
                    0 => format!("there is no room for it on {}", sheet.sheet.name),
                    1 => format!("there is room for one and no more on {}", sheet.sheet.name),
                    parts => format!("there is room for {parts} and no more on {}", sheet.sheet.name),
                },
            )
        },
        SheetConcern::PierceOffSheet { placed: at } => Finding {
            fix: vec![
                "a larger sheet".into(),
                "shorter leads in shop.toml, [cutter.outside]".into(),
            ],
            ..whole(
                "pierce-off-sheet",
                Level::Stop,
                format!(
                    "every start of the outside of {} would be beside the sheet, where no arc strikes",
                    placed(*at)
                ),
            )
        },
        SheetConcern::CanTip { placed: at } => Finding {
            fix: vec![
                "lay a bar under it across the slats".into(),
                "stop before its outside is closed, and take it out".into(),
            ],
            ..whole(
                "can-tip",
                Level::Care,
                format!(
                    "{} can tip on the slats when it is cut free, and no tabs reach where it would be held",
                    placed(*at)
                ),
            )
        },
        SheetConcern::HotStart {
            cut,
            pierced_c,
            ceiling_c,
        } => Finding {
            fix: vec!["stop before this cut and let the plate cool".into()],
            ..whole(
                "hot-start",
                Level::Care,
                format!(
                    "the plate is about {pierced_c:.0} C where cut {} starts, over {ceiling_c:.0} C, even after the longest \
                     wait",
                    cut + 1
                ),
            )
        },
        SheetConcern::LiftedByHand { cut } => Finding {
            fix: vec![
                "take out what has tipped before this cut".into(),
                "let the program say heights: heights = \"program\" under [cutter.program]".into(),
            ],
            ..whole(
                "lift-by-hand",
                Level::Care,
                if *cut < plan.cuts.len() {
                    format!(
                        "before cut {} the torch passes over what may have tipped, and the machine keeps heights by itself",
                        cut + 1
                    )
                } else {
                    "on its way to park the torch passes over what may have tipped, and the machine keeps heights by itself"
                        .into()
                },
            )
        },
        // Told once for each opening.
        SheetConcern::ShiftedHere { .. } => return None,
    })
}

fn of_track(worked: &Worked, sheet: &CutSheet, what: &TrackConcern) -> Option<Finding> {
    let kerf_mm = sheet.cutter.profile.kerf_in(&sheet.cutter.stock).width_mm;
    let about = |name: &str, code, level, says, fix: Vec<String>, margin| Finding {
        code,
        level,
        question: Question::Cut,
        about: name.to_owned(),
        at: super::design_place(worked, name).or_else(|| Some(plate_place(worked))),
        says,
        fix,
        margin,
    };
    Some(match what {
        TrackConcern::Left { name, left } => match *left {
            // Rounded corners are told by the rules; pieces one by one as the gaps between them; what could not be
            // worked out keeps the question open.
            Left::Corner { .. } | Left::InPieces { .. } | Left::NotWorkedOut { .. } => return None,
            Left::Gap { of, width_mm, .. } => about(
                name,
                "gap-shut",
                Level::Stop,
                format!(
                    "{} narrows to {}, and the kerf is {kerf_mm:.2} mm: it stays shut there",
                    edge_words(name, of),
                    both(width_mm)
                ),
                vec![
                    format!("make it {} wide or more", both(1.5 * kerf_mm)),
                    "leave it out, or saw it".into(),
                ],
                Some((width_mm - kerf_mm) / kerf_mm),
            ),
            Left::Opening { .. } => about(
                name,
                "opening-shut",
                Level::Stop,
                format!("{name} is nowhere wider than the kerf of {kerf_mm:.2} mm, and is not cut"),
                vec!["make it wider".into(), "drill it, or saw it".into()],
                None,
            ),
        },
        TrackConcern::NoLead { name, why, .. } => about(
            name,
            "no-lead",
            Level::Stop,
            format!("the cut of {name} cannot be begun: {why}"),
            lead_fixes(why),
            why.longest_mm().map(|longest_mm| longest_mm / why.least_mm - 1.0),
        ),
        TrackConcern::ShorterLead {
            name,
            longest_mm,
            wanted_mm,
            ..
        } => about(
            name,
            "short-lead",
            Level::Note,
            format!(
                "the lead of {name} is {} long, where {} is wanted",
                both(*longest_mm),
                both(*wanted_mm)
            ),
            vec!["look at its edge where the cut began, and file it".into()],
            None,
        ),
        TrackConcern::NoThread { name, why } => about(
            name,
            "unknown-tap",
            Level::Care,
            format!("{name} is only centre-marked: {why}"),
            vec!["drill for the tap by the tap's own table".into()],
            None,
        ),
    })
}

fn edge_words(name: &str, of: Edge) -> String {
    match of {
        Edge::Outline => format!("a slit in the outside of {name}"),
        Edge::Opening(_) => name.to_owned(),
    }
}

fn lead_fixes(why: &NoLead) -> Vec<String> {
    let fixes = why.fits.iter().map(|fits| match fits {
        Fits::OtherStart { length_mm, why, .. } => format!(
            "begin {}, with a lead of {}",
            match why {
                Why::Stressed => "where the loads stress the edge",
                Why::BendEnd => "at the end of a bend, and grind the scar off before bending",
                Why::Mates => "where it lies against another part, and file it",
                Why::Seam => "where it is welded",
                Why::Wanted => "where it was to be left alone",
            },
            both(*length_mm)
        ),
        Fits::ShorterLead { length_mm, .. } => format!(
            "take a lead of {}: least = \"{:.1} mm\" under [cutter.inside] or [cutter.outside]",
            both(*length_mm),
            (length_mm * 10.0).floor() / 10.0
        ),
        Fits::DrillHole { dia_mm, .. } => format!("mark it and drill {}", both(*dia_mm)),
        Fits::DrillStart { dia_mm, .. } => {
            format!("drill {} inside it first, and begin there", both(*dia_mm))
        }
        Fits::Room { apart_mm } => format!("lay the parts {} apart", both(*apart_mm)),
    });
    fixes.collect()
}

/// Holes that are not simply cut, where the rules have not told so.
fn of_holes(worked: &Worked, part: &PlacedPart) -> Vec<Finding> {
    let mut found = Vec::new();
    let named = |holes: &[&cut::holes::HolePlan]| {
        let names: Vec<&str> = holes.iter().map(|hole| hole.name.as_str()).collect();
        names.join(", ")
    };
    let mut told: Vec<String> = Vec::new();
    for hole in &part.holes {
        let drilled = matches!(hole.way, HoleWay::Drill { .. });
        let because = !matches!(
            hole.because,
            Because::TooSmall { .. } | Because::WideEnough { .. }
        );
        let words = hole_words(hole);
        if !drilled || !because || told.contains(&words) {
            continue;
        }
        let same: Vec<&cut::holes::HolePlan> = part
            .holes
            .iter()
            .filter(|other| hole_words(other) == words)
            .collect();
        told.push(words.clone());
        found.push(Finding {
            code: "drill-to-size",
            level: if hole.hard_edge { Level::Care } else { Level::Note },
            question: Question::Cut,
            about: hole.name.clone(),
            at: super::design_place(worked, &hole.name),
            says: format!("{}: {words}", named(&same)),
            fix: vec![
                "measure the kerf in this plate, so that holes can be cut closer: `gusset strip kerf`".into(),
            ],
            margin: None,
        });
    }
    found
}

/// What the plan comes to, for the answer.
pub(super) fn in_short(plan: &CutPlan) -> String {
    let tightest = plan.answer.as_ref().and_then(|answer| {
        let (found, least) = (answer.found_mm?, answer.least_mm?);
        Some(format!(
            "; nearest its limit is {}, {} where {} is the least",
            match answer.decides {
                cut::tracks::Decides::Lead => format!("the lead of {}", answer.name),
                cut::tracks::Decides::LeastHole => format!("the hole {}", answer.name),
                _ => answer.name.clone(),
            },
            both(found),
            both(least)
        ))
    });
    format!(
        "{} {}, {:.0} mm of cutting{}",
        plan.work.pierces,
        if plan.work.pierces == 1 {
            "pierce"
        } else {
            "pierces"
        },
        plan.work.cut_mm,
        tightest.unwrap_or_default()
    )
}
