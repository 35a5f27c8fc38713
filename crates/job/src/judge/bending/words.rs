//! The order of the bends in words.

use brake::hand::{Aid, HandStep};
use brake::needs::{BendNeeds, Grain, RadiusFrom, Stop};
use brake::order::{Block, Blocked, Edge, Step, What};
use brake::sweep::ToolSolid;
use brake::tooling::{Means, Tooling};
use brake::why_not::{Change, Explanation, NOTCH_CLEAR_MM, NOTCH_ROUND_MM, Repair};
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

/// That not all changes were tried, in a sentence; none where all were.
pub(crate) fn left_out_words(left_out: usize) -> Option<String> {
    (left_out > 0).then(|| {
        let (changes, were) = if left_out == 1 {
            ("change", "was")
        } else {
            ("changes", "were")
        };
        format!(
            "with so many bends {left_out} {changes} {were} not tried, or not to the least: others may do too, and smaller ones"
        )
    })
}

/// "b1", "b1 and b2", "b1, b2 and b3".
fn and(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// A share of a panel as a percentage, so small a one as less than one.
fn share_words(share: f64) -> String {
    if share < 0.01 {
        "less than 1 %".into()
    } else {
        format!("{:.0} %", 100.0 * share)
    }
}

/// Folding in a vice that the shop does not list: what bars for it are like, as no shop sells them.
fn vice_words(name: &str) -> String {
    let bars = Tooling::fold_bars();
    if bars.name != name {
        return format!("fold it in a vice: {name}");
    }
    let (low, high) = bars.inner.bounds();
    format!(
        "fold it by hand between {name}: two flat bars of {:.0} by {:.0} mm, {:.0} mm long, bolted together past both ends of the \
         plate, one of them held in the vice",
        high.x - low.x,
        high.y - low.y,
        bars.jaws.longest_mm()
    )
}

/// A change that gives an order, in a sentence.
pub(crate) fn repair_words(bending: &Bending, repair: &Repair) -> String {
    let line = |line: usize| bending.work.lines[line].name.clone();
    let panel = |panel: usize| bending.work.panels[panel].clone();
    match &repair.change {
        Change::TwoSteps {
            line: of,
            first_to_rad,
        } => {
            format!(
                "bend {} to {} first, and finish it later",
                line(*of),
                deg(*first_to_rad)
            )
        }
        Change::Punch { name } => format!("use a {name}"),
        Change::Die { name } => format!("use a {name}"),
        Change::Taper {
            line: of,
            panel: leg,
            lean_rad,
        } => format!(
            "taper \"{}\" at {} by {} on both sides",
            panel(*leg),
            line(*of),
            deg(*lean_rad)
        ),
        Change::Notch {
            notch,
            takes_mm2,
            takes_share,
        } => {
            let notch = notch.over_panel(&bending.work);
            let [wide_mm, deep_mm] = notch.size_mm();
            let [one, _, other, _] = notch.corners(&bending.work);
            format!(
                "cut a notch of {} by {} out of the edge of \"{}\", over ({:.1}, {:.1}) to ({:.1}, {:.1}) mm on the blank, {} \
                 clear all round of what it meets; it takes {:.0} mm2, {} of the panel, and what is left beside it is weaker: \
                 round its inner corners with a radius of {} or a little more",
                both(wide_mm),
                both(deep_mm),
                panel(notch.panel),
                one.x,
                one.y,
                other.x,
                other.y,
                both(NOTCH_CLEAR_MM),
                takes_mm2,
                share_words(*takes_share),
                both(NOTCH_ROUND_MM),
            )
        }
        Change::Leg {
            line: of,
            panel: leg,
            by_mm,
        } => format!(
            "make \"{}\" at {} {} {}",
            panel(*leg),
            line(*of),
            both(by_mm.abs()),
            if *by_mm > 0.0 { "longer" } else { "shorter" }
        ),
        Change::Vice { name } => vice_words(name),
        Change::Folder { name } => format!("fold it in a folder: {name}"),
        Change::Radius { line: of, radius_mm } => {
            format!("draw {} with an inside radius of {}", line(*of), both(*radius_mm))
        }
        Change::Thickness { thickness_mm } => format!("use plate of {}", both(*thickness_mm)),
        Change::Seam { line: of } => format!("make two parts of it, welded where {} was", line(*of)),
        Change::SeamAcross {
            line: of,
            panel: across,
            at_mm,
        } => format!(
            "make two parts of it, welded across \"{}\" {} from the middle of {} on the blank",
            panel(*across),
            both(*at_mm),
            line(*of)
        ),
        Change::SendOut { lines } => {
            let lines: Vec<String> = lines.iter().map(|of| line(*of)).collect();
            format!("send it out once for {}", and(&lines))
        }
    }
}

#[cfg(test)]
mod tests {
    use brake::needs::Practice;
    use brake::order::{Outcome, Weights, plan};
    use brake::why_not::explain;
    use brake::work::{Notch, Work};
    use handbook::Handbook;
    use plane::{Outline, Point};
    use sheet::{Crease, Face, Mockup, Relief, Way, develop};

    use super::*;
    use crate::stages::bender::Whose;
    use crate::stages::bending::{Found, Springs};

    /// A strip of 60 mm with these legs, each bent up by 90 degrees from the one before, on the tools of common shapes.
    fn stuck(legs_mm: &[f64]) -> Bending {
        let long_mm: f64 = legs_mm.iter().sum();
        let corners =
            [(0.0, 0.0), (long_mm, 0.0), (long_mm, 60.0), (0.0, 60.0)].map(|(x, y)| Point::new(x, y));
        let mut x_mm = 0.0;
        let creases = legs_mm[1..]
            .iter()
            .zip(legs_mm)
            .enumerate()
            .map(|(index, (_, leg_mm))| {
                x_mm += leg_mm;
                Crease {
                    name: format!("b{}", index + 1),
                    from: Point::new(x_mm, -1.0),
                    to: Point::new(x_mm, 61.0),
                    bent_rad: std::f64::consts::FRAC_PI_2,
                    way: Way::Up,
                    radius_mm: 2.4,
                    neutral_share: 0.42,
                    relief: Relief::Auto { least_width_mm: 1.0 },
                }
            });
        let card = Mockup {
            creases: creases.collect(),
            outline: Outline::polygon(&corners).expect("a strip"),
            openings: Vec::new(),
            seams: Vec::new(),
            marks: Vec::new(),
            panel_names: Vec::new(),
            root: None,
            lines_on: Face::Far,
            card_mm: 0.0,
        };
        let (tooling, practice) = (Tooling::starter_brake(), Practice::of(&Handbook::builtin()));
        let part = develop(&card, 2.0).expect("it develops");
        let work = Work::of(&part, None, practice.closed_past_rad.value).expect("work");
        let Outcome::None(none) = plan(&work, &tooling, &practice, &Weights::default()).expect("sound tools")
        else {
            panic!("bent after all")
        };
        let why = explain(&work, &tooling, &practice, &none);
        Bending {
            work,
            tooling,
            practice,
            whose: Whose::Starter,
            gauge_to: None,
            springs: Springs::default(),
            settled: false,
            found: Found::None {
                why,
                proven: true,
                repairs: Vec::new(),
                left_out: 0,
                kerfed: None,
            },
        }
    }

    #[test]
    fn a_notch_is_told_with_where_it_is_what_it_clears_and_what_it_costs() {
        let bending = stuck(&[60.0, 30.0, 60.0]);
        let notch = Notch {
            panel: bending.work.lines[1].moving,
            line: 1,
            out_mm: [40.0, 65.0],
            along_mm: [10.0, 32.0],
        };
        let change = Change::Notch {
            notch,
            takes_mm2: 400.4,
            takes_share: 0.112,
        };
        let said = repair_words(
            &bending,
            &Repair {
                change,
                plans: Vec::new(),
            },
        );
        // It is drawn to past the edge, and told as far as the leg goes.
        let leg_mm = bending.work.leg_mm(1, notch.panel);
        let (over, deep) = (
            notch.over_panel(&bending.work),
            format!("{:.1} mm", leg_mm - 40.0),
        );
        assert!(
            leg_mm < 65.0 && over.along_mm == [10.0, 30.0],
            "{leg_mm} {over:?}"
        );
        for part in [
            deep.as_str(),
            "20.0 mm",
            "3.0 mm",
            "400 mm2",
            "11 % of the panel",
            "round its inner corners with a radius of 3.0 mm",
        ] {
            assert!(said.contains(part), "{part} in: {said}");
        }
        // Its corner that is nearest to the bend, on the blank.
        let corner = over.corners(&bending.work)[0];
        assert!(
            said.contains(&format!("({:.1}, {:.1})", corner.x, corner.y)),
            "{said}"
        );
        assert_eq!(share_words(0.002), "less than 1 %");
    }

    #[test]
    fn a_part_that_stands_in_itself_is_told_and_another_that_is_stuck_is_not() {
        let why = |bending: &Bending| match &bending.found {
            Found::None { why, .. } => in_itself_words(bending, why),
            Found::Order(_) => None,
        };
        let said = why(&stuck(&[60.0, 30.0, 30.0, 30.0, 60.0])).expect("it is told");
        assert!(said.contains("stand in each other"), "{said}");
        assert_eq!(why(&stuck(&[60.0, 30.0, 60.0])), None);
    }

    #[test]
    fn a_tool_that_is_met_is_told_with_how_much_of_it_is_put_up_and_fold_bars_with_what_they_are() {
        let bending = stuck(&[60.0, 30.0, 60.0]);
        let Found::None { why, .. } = &bending.found else {
            panic!("bent after all")
        };
        let said = blocked_words(&bending, why.blocked()[0]);
        assert!(said.contains(" mm of it: the panel "), "{said}");
        assert!(vice_words("fold bars").contains("two flat bars of 20 by 10 mm, 200 mm long, bolted"));
        assert_eq!(vice_words("bench vice"), "fold it in a vice: bench vice");
        assert_eq!(nears_words(0.01), "only just clears");
        assert!(nears_words(1.7).starts_with("comes within 1.7 mm"));
    }

    #[test]
    fn changes_that_were_not_tried_are_counted() {
        assert_eq!(left_out_words(0), None);
        assert!(left_out_words(7).is_some_and(|said| said.contains("7 changes were not tried")));
        assert!(left_out_words(1).is_some_and(|said| said.contains("1 change was not tried")));
        let names = ["b1", "b2", "b3"].map(str::to_owned);
        assert_eq!(
            [and(&names[..1]), and(&names[..2]), and(&names)],
            ["b1", "b1 and b2", "b1, b2 and b3"]
        );
    }
}
