//! The order of the bends in words.

use brake::hand::{Aid, HandStep};
use brake::needs::{BendNeeds, Grain, RadiusFrom, Stop};
use brake::order::{Block, Blocked, Edge, Step, What};
use brake::sweep::ToolSolid;
use brake::tooling::Means;
use brake::why_not::Explanation;
use brake::work::Solid;
use units::{both, deg};

use crate::stages::bending::Bending;

/// The names of the bends of a step.
pub(crate) fn step_bends(bending: &Bending, step: &Step) -> String {
    let names: Vec<&str> = step
        .lines
        .iter()
        .map(|line| bending.work.lines[*line].name.as_str())
        .collect();
    names.join(" and ")
}

/// What a step needs that is not to be taken for granted with one hand.
pub(crate) fn needs_words(step: &Step, hand: &HandStep) -> Vec<String> {
    let mut needs: Vec<String> = hand
        .aids
        .iter()
        .filter_map(|aid| match *aid {
            // A straight edge against the gauge is what a gauge is for; guards are said once for all steps.
            Aid::Stop | Aid::TwoHandControl => None,
            Aid::Clamp if step.gauge.edge == Edge::Mark => {
                Some("pen marks at both ends of the bend, and a clamp to hold it there".into())
            }
            Aid::Clamp => {
                Some("a clamped bar or a stop made for it, so that it stands square at the gauge".into())
            }
            Aid::Magnet => Some("a magnet on the bed to hold it at the gauge".into()),
            Aid::Rest {
                front_heavy_n_mm,
                out_mm,
            } => Some(format!(
                "a rest {:.0} mm in front of the bend, as it tips ({:.2} N m)",
                out_mm,
                front_heavy_n_mm / 1000.0
            )),
            Aid::KeepOff { front_mm } => Some(format!(
                "a push stick or a block: only {front_mm:.0} mm of plate stand out for a hand to hold"
            )),
            Aid::OffTheEnd => Some("room at the end of the tool: it comes off sideways".into()),
            Aid::Struck => Some("a hammer and a block: the vice holds, one hand strikes".into()),
        })
        .collect();
    if step.leg_short_in_part {
        needs.push(
            "a look at the corner: over part of the bend the leg is too short to lie on the tool".into(),
        );
    }
    if step.closing {
        needs.push("flat faces to press it shut".into());
    }
    if hand.send_out {
        needs.push("help, or a shop that takes it in: it is more than one hand should hold".into());
    }
    needs
}

/// What is done with tools and part before a step.
pub(crate) fn done_first(step: &Step) -> Vec<String> {
    let acts = [
        (step.change || step.before == 0, "put up the tools"),
        (step.flip, "turn the part over"),
        (step.turn, "turn the part round"),
    ];
    acts.into_iter()
        .filter(|(asked, _)| *asked)
        .map(|(_, act)| act.to_owned())
        .collect()
}

/// The tools, one a line.
pub(crate) fn tool_lines(bending: &Bending, step: &Step) -> Vec<String> {
    let tooling = &bending.tooling;
    let long = |name: &str| format!("{name}, {:.0} mm of it", step.tool_mm);
    let Means::Press { press, punch, die } = step.means else {
        let name = means_words(bending, step.means);
        return match step.means {
            Means::Folder(_) => vec![long(&name)],
            _ => vec![name],
        };
    };
    let mut lines = Vec::new();
    lines.extend(tooling.presses.get(press).map(|press| press.name.clone()));
    lines.extend(tooling.punches.get(punch).map(|punch| long(&punch.name)));
    lines.extend(tooling.dies.get(die).map(|die| die.name.clone()));
    lines
}

/// Where the free hand is in a step, and where it is not.
pub(crate) fn hand_words(bending: &Bending, step: &Step, hand: &HandStep) -> String {
    let mass = hand
        .mass_kg
        .map_or_else(String::new, |mass_kg| format!("{mass_kg:.2} kg; "));
    let near_mm = bending.practice.hand_mm.value;
    match step.means {
        Means::Vice(_) => format!("{mass}the vice holds it, the hand strikes"),
        Means::Away => format!("{mass}the shop that takes it in holds it"),
        Means::Press { .. } | Means::Folder(_) if hand.front_mm < near_mm => {
            format!("{mass}not on the plate, nor between the tools or behind the gauge")
        }
        Means::Press { .. } | Means::Folder(_) => format!(
            "{mass}under the front, {near_mm:.0} mm or more from the tool; never between the tools or behind the gauge"
        ),
    }
}

/// What a bend asks for, in a sentence.
pub(crate) fn asks_words(t_mm: f64, opening_mm: Option<f64>, asks: &BendNeeds) -> String {
    let mut says = Vec::new();
    if let Some(opening_mm) = opening_mm {
        says.push(format!(
            "V of {:.1} mm, {:.1} times the thickness",
            opening_mm,
            opening_mm / t_mm
        ));
    }
    if let Some(least_mm) = asks.least_leg_mm {
        says.push(format!("no leg under {} outside", both(least_mm)));
    }
    if let Some(comes) = asks.comes {
        let from = match comes.from {
            RadiusFrom::Opening => "by the V",
            RadiusFrom::Nose => "by the nose",
            RadiusFrom::Drawn => "as drawn",
        };
        says.push(format!("inside radius {:.1} mm {from}", comes.radius_mm));
    }
    if let Some(force) = &asks.force {
        let of_bend = |n_per_mm: f64| n_per_mm * force.total_n / force.n_per_mm[2];
        says.push(format!(
            "{} by the rule that asks for least, {} by the one that asks for most",
            units::force(of_bend(force.n_per_mm[0])),
            units::force(force.total_n)
        ));
    }
    if let Some(used) = asks.force_used {
        says.push(format!(
            "{:.0} % of what the brake presses or the tools stand",
            100.0 * used
        ));
    }
    if let Some(spring) = asks.spring {
        says.push(format!("springs back {}", deg(spring.opens_rad)));
    }
    let grain = match asks.crack.grain {
        Grain::Across => "across the grain",
        Grain::Slanting => "slanting to the grain",
        Grain::Along => "along the grain",
        Grain::Unknown => "grain not known",
    };
    says.push(match (&asks.crack.least_mm, asks.crack.is_likely()) {
        (Some(least), Some(true)) => {
            format!(
                "may crack outside: the metal takes {:.1} mm, {grain}",
                least.value
            )
        }
        (Some(least), _) => format!("the metal takes {:.1} mm without cracking, {grain}", least.value),
        (None, _) => format!("whether it cracks is not known, {grain}"),
    });
    says.join("; ")
}

/// The tools in words.
pub(crate) fn means_words(bending: &Bending, means: Means) -> String {
    bending.tool_names(means).words().to_owned()
}

pub(crate) fn solid_words(bending: &Bending, solid: Solid) -> String {
    match solid {
        Solid::Panel(panel) => format!("the panel \"{}\"", bending.work.panels[panel]),
        Solid::Strip(line) => format!("the bend {}", bending.work.lines[line].name),
    }
}

fn tool_words(solid: ToolSolid) -> &'static str {
    match solid {
        ToolSolid::Punch => "the punch",
        ToolSolid::Die => "the die",
        ToolSolid::Ram => "the ram",
        ToolSolid::Bed => "the bed",
        ToolSolid::Upright => "an upright of the brake",
        ToolSolid::Gauge => "the back gauge",
        ToolSolid::Finger => "the fingers",
        ToolSolid::Beam => "the clamping beam",
        ToolSolid::Apron => "the apron",
        ToolSolid::InnerJaw => "the inner jaw",
        ToolSolid::OuterJaw => "the outer jaw",
        ToolSolid::ViceBody => "the body of the vice",
        ToolSolid::Screw => "the screw of the vice",
    }
}

pub(crate) fn what_words(bending: &Bending, what: What) -> String {
    match what {
        What::Tool(solid) => tool_words(solid).into(),
        What::Part(solid) => solid_words(bending, solid),
    }
}

/// How near something comes to what follows, where it comes close.
pub(crate) fn nears_words(mm: f64) -> String {
    /// Nearer than this is no distance that a shop reads.
    const TOUCHES_MM: f64 = 0.05;
    if mm < TOUCHES_MM {
        "only just clears".into()
    } else {
        format!("comes within {} of", both(mm))
    }
}

pub(crate) fn done_names(bending: &Bending, blocked: &Blocked) -> Vec<String> {
    let stages = bending.work.stages.iter().enumerate();
    let mut names: Vec<String> = stages
        .filter(|(stage, _)| blocked.done & (1 << stage) != 0)
        .map(|(_, stage)| bending.work.lines[stage.line].name.clone())
        .collect();
    names.dedup();
    names
}

/// Why a bend cannot be made, in a sentence.
pub(crate) fn blocked_words(bending: &Bending, blocked: &Blocked) -> String {
    let name = &bending.work.lines[blocked.line].name;
    let after = match done_names(bending, blocked).as_slice() {
        [] => "as the first".to_owned(),
        names => format!("after {}", names.join(", ")),
    };
    let with = blocked.means.map_or_else(String::new, |means| {
        let tool_mm = blocked
            .tool_mm
            .filter(|_| matches!(blocked.why, Block::Meets { .. } | Block::Trapped { .. }));
        let much = tool_mm.map_or_else(String::new, |mm| format!(", {mm:.0} mm of it"));
        format!(" with {}{much}", means_words(bending, means))
    });
    format!(
        "{name} cannot be made {after}{with}: {}",
        block_words(bending, &blocked.why)
    )
}

fn block_words(bending: &Bending, block: &Block) -> String {
    match block {
        Block::Stop(stop) => stop_words(bending, stop),
        Block::Meets {
            part,
            with,
            at_rad,
            depth_mm,
        } => format!(
            "{} meets {} at {} bent, {} deep",
            solid_words(bending, *part),
            what_words(bending, *with),
            deg(*at_rad),
            both(*depth_mm)
        ),
        Block::Trapped { part, with } => format!(
            "{} closes round {}, and the part does not come off",
            solid_words(bending, *part),
            tool_words(*with)
        ),
        Block::NoTools => "there is no tool for it".into(),
    }
}

/// Why tools are not for a bend.
pub(crate) fn stop_words(bending: &Bending, stop: &Stop) -> String {
    match *stop {
        Stop::MachineForce { needs_n, has_n } => format!(
            "it takes {}, and the machine presses with {}",
            units::force(needs_n),
            units::force(has_n)
        ),
        Stop::ToolForce {
            needs_n_per_mm,
            has_n_per_mm,
        } => format!("it takes {needs_n_per_mm:.0} N/mm, and the tool stands {has_n_per_mm:.0}"),
        Stop::Length { needs_mm, has_mm } => {
            format!("it is {} long, and the tool {}", both(needs_mm), both(has_mm))
        }
        Stop::Angle { needs_rad, has_rad } => format!(
            "under load it is bent through {}, and the tool closes to {}",
            deg(needs_rad),
            deg(has_rad)
        ),
        Stop::Thick { t_mm, most_mm } => format!(
            "the plate is {}, and the tool takes {} over this length",
            both(t_mm),
            both(most_mm)
        ),
        Stop::Daylight { needs_mm, has_mm } => format!(
            "tools and plate stand {} high, and the machine opens to {}",
            both(needs_mm),
            both(has_mm)
        ),
        Stop::Opening { needs_mm, has_mm } => format!(
            "thickness and radius ask for a V of {}, and the widest that fits is {}",
            both(needs_mm),
            both(has_mm)
        ),
        Stop::Wide { most_mm, has_mm } => format!(
            "the V of {} is wider than the {} that keep such a plate true",
            both(has_mm),
            both(most_mm)
        ),
        Stop::Nose { radius_mm, nose_mm } => format!(
            "the inside radius is {}, and the nose {}",
            both(radius_mm),
            both(nose_mm)
        ),
        Stop::Leg {
            panel,
            found_mm,
            needs_mm,
        } => format!(
            "\"{}\" lies {} flat from the middle of the bend, and the tool holds {}",
            bending.work.panels[panel],
            both(found_mm),
            both(needs_mm)
        ),
    }
}

/// That the finished part stands in itself, in a sentence; none where it does not.
pub(crate) fn in_itself_words(bending: &Bending, why: &Explanation) -> Option<String> {
    let [one, other] = why.in_each_other()?;
    Some(format!(
        "when finished, {} and {} stand in each other: as it is drawn, no order and no tool bends it",
        solid_words(bending, one),
        solid_words(bending, other)
    ))
}
