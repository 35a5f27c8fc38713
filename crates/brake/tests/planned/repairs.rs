//! Parts with no order: why, and what least change gives one.

use std::collections::BTreeMap;

use brake::needs::{Practice, Stop};
use brake::order::{Block, NoOrder, Outcome, Weights, What, plan};
use brake::sweep::ToolSolid;
use brake::tooling::{Means, Tooling};
use brake::why_not::{Change, Explanation, Offered, Repair, explain, repairs};
use brake::work::Work;
use handbook::Handbook;
use sheet::Mockup;

use crate::card::{planned, strip, work};
use crate::orders::{seed, works};

fn none(work: &Work, tooling: &Tooling) -> NoOrder {
    match planned(work, tooling) {
        Outcome::None(none) => none,
        Outcome::Plan(plan) => panic!("bent after all: {:?}", plan.steps),
    }
}

fn asked(work: &Work, tooling: &Tooling, offered: &Offered<'_>) -> (Explanation, Vec<Repair>) {
    let practice = Practice::of(&Handbook::builtin());
    let why = explain(work, tooling, &practice, &none(work, tooling));
    let found = repairs(work, tooling, &practice, &Weights::default(), &why, offered).repairs;
    (why, found)
}

#[test]
fn a_channel_narrower_than_its_legs_are_high_meets_the_punch_and_each_bend_must_come_first() {
    let work = work(&strip(100.0, &[60.0, 30.0, 60.0], &[90.0, 90.0]));
    let offered = Offered {
        enough: 0,
        ..Offered::starter()
    };
    let (why, found) = asked(&work, &Tooling::starter_brake(), &offered);
    let Explanation::Each(first, second) = &why else {
        panic!("{why:?}")
    };
    for blocked in [first, second] {
        assert!(
            matches!(blocked.why, Block::Meets { with: What::Tool(ToolSolid::Punch | ToolSolid::Ram), depth_mm, .. } if depth_mm > 1.0),
            "{blocked:?}"
        );
    }
    println!(
        "{:?}",
        found.iter().map(|repair| &repair.change).collect::<Vec<_>>()
    );
    assert!(
        found
            .iter()
            .any(|repair| matches!(repair.change, Change::Punch { .. } | Change::Leg { .. }))
    );
    // Sent out once for one bend, which is a step of the plan like the other.
    let sent = found.iter().find_map(|repair| match &repair.change {
        Change::SendOut { lines } => Some((lines.len(), &repair.plans[0])),
        _ => None,
    });
    let (lines, plan) = sent.expect("a shop with a large brake takes it in");
    let away = plan.steps.iter().filter(|step| step.means == Means::Away);
    assert_eq!((lines, plan.steps.len(), away.count()), (1, 2, 1));
}

#[test]
fn a_lip_too_short_for_every_die_stands_alone_and_is_lengthened_by_what_it_lacks() {
    let work = work(&strip(100.0, &[60.0, 5.0], &[90.0]));
    let (why, found) = asked(
        &work,
        &Tooling::starter_brake(),
        &Offered {
            enough: 0,
            ..Offered::starter()
        },
    );
    assert!(
        matches!(why, Explanation::Alone(ref blocked) if matches!(blocked.why, Block::Stop(_))),
        "{why:?}"
    );
    println!(
        "{:?}",
        found.iter().map(|repair| &repair.change).collect::<Vec<_>>()
    );
    let longer = found.iter().find_map(|repair| match repair.change {
        Change::Leg { by_mm, .. } if by_mm > 0.0 => Some(by_mm),
        _ => None,
    });
    assert!(longer.is_some_and(|by_mm| by_mm <= 5.0), "{longer:?}");
}

/// What a user is offered, of which the first that works is enough.
fn offered<'a>(work: &Work, mockup: &'a Mockup) -> Offered<'a> {
    let book = Handbook::builtin();
    Offered {
        enough: 1,
        ..Offered::for_stock(&book, work.stock.as_ref(), work.thickness_mm, mockup)
    }
}

fn told(why: &Explanation) -> String {
    let of = |blocked: &brake::order::Blocked| {
        let why = match &blocked.why {
            Block::Stop(stop) => format!("{stop:?}"),
            Block::Meets { part, with, .. } => format!("{part:?} meets {with:?}"),
            other => format!("{other:?}"),
        };
        format!("[b{} after {:b}: {why}]", blocked.line + 1, blocked.done)
    };
    let kind = match why {
        Explanation::Alone(_) => "alone",
        Explanation::Each(..) => "each",
        Explanation::End(_) => "end",
        Explanation::InItself { .. } => "in itself",
    };
    let all: Vec<String> = why.blocked().into_iter().map(of).collect();
    format!("{kind} {}", all.join(" "))
}

/// The legs along a strip, mm, and its bends between them, degrees.
fn drawn(mockup: &Mockup) -> String {
    let bends = mockup.creases.iter().map(|crease| {
        let deg = crease.bent_rad.to_degrees();
        format!("at {:.1} {:?} {deg:.0}", crease.from.x, crease.way)
    });
    bends.collect::<Vec<_>>().join(", ")
}

/// How often it would have to be sent out, or why that does not do either.
fn sent_out(work: &Work, tooling: &Tooling, practice: &Practice) -> String {
    let tooling = Tooling {
        away: Some(Tooling::starter_away()),
        ..tooling.clone()
    };
    match plan(work, &tooling, practice, &Weights::default()).expect("sound tools") {
        Outcome::Plan(plan) => {
            let steps = plan.steps.iter();
            format!(
                "{:?}",
                steps.map(|step| step.means == Means::Away).collect::<Vec<_>>()
            )
        }
        Outcome::None(none) => told(&explain(work, &tooling, practice, &none)),
    }
}

/// What became of random parts with no order.
#[derive(Debug, Default)]
struct Mended {
    /// Parts asked about, with an order or without.
    parts: usize,
    /// Without an order, though they do not stand in themselves.
    asked: usize,
    /// Of these, those that a change mends.
    mended: usize,
    /// Of these, those where the change is to send out several bends.
    by_sending_several: usize,
    /// Without any, those whose only change is to send out more than three bends: most of the part is then made elsewhere, and it does
    /// not count as mended.
    sent_out_whole: usize,
    /// Those that stand in themselves when finished, which no order and no tool bends; and how many a change mends.
    crossed: usize,
    crossed_mended: usize,
    /// Changes that were left out.
    left_out: usize,
}

/// Sent out with more bends than these, most of a part is made elsewhere.
const MOST_SENT_OUT: usize = 3;

fn repaired(seed: u8, parts: usize) -> Mended {
    let practice = Practice::of(&Handbook::builtin());
    let (tooling, weights) = (Tooling::starter_brake(), Weights::default());
    let mut all = Mended {
        parts,
        ..Mended::default()
    };
    let mut by: BTreeMap<String, usize> = BTreeMap::new();
    let mut longest_s = 0f64;
    for (index, (mockup, work)) in works(seed, parts).enumerate() {
        let outcome = plan(&work, &tooling, &practice, &weights).expect("sound tools");
        let Outcome::None(none) = outcome else { continue };
        let started = std::time::Instant::now();
        let why = explain(&work, &tooling, &practice, &none);
        let offered = offered(&work, &mockup);
        let tried = repairs(&work, &tooling, &practice, &weights, &why, &offered);
        longest_s = longest_s.max(started.elapsed().as_secs_f64());
        all.left_out += tried.left_out;
        let crosses = matches!(why, Explanation::InItself { .. });
        let first = tried.repairs.first().map(|repair| &repair.change);
        let whole = matches!(first, Some(Change::SendOut { lines }) if lines.len() > MOST_SENT_OUT);
        if whole {
            println!("part {index} of seed {seed}: {}; {}", drawn(&mockup), told(&why));
            all.sent_out_whole += usize::from(!crosses);
        }
        let mends = first.is_some() && !whole;
        if crosses {
            all.crossed += 1;
            all.crossed_mended += usize::from(mends);
        } else {
            all.asked += 1;
            all.mended += usize::from(mends);
        }
        let kind = match first {
            Some(Change::SendOut { lines }) => {
                all.by_sending_several += usize::from(mends && lines.len() > 1 && !crosses);
                format!("SendOut of {}", lines.len())
            }
            Some(change) => format!("{change:?}")
                .split(' ')
                .next()
                .unwrap_or_default()
                .to_owned(),
            None if crosses => "none, stands in itself".to_owned(),
            None => {
                println!("part {index} of seed {seed}: {}; {}", drawn(&mockup), told(&why));
                println!("    sent out: {}", sent_out(&work, &tooling, &practice));
                "none".to_owned()
            }
        };
        *by.entry(kind).or_default() += 1;
    }
    let alone = all.mended - all.by_sending_several;
    println!("{all:?}; {alone} without sending out several; {by:?}; longest {longest_s:.1} s");
    all
}

/// How many random parts are asked for changes: a few in a plain run, which says little of how many of a hundred are mended;
/// GUSSET_REPAIRS of them in a long one, which measures that.
fn parts_to_mend() -> usize {
    let asked = std::env::var("GUSSET_REPAIRS").ok();
    asked.map_or(12, |count| count.parse().expect("GUSSET_REPAIRS is a number"))
}

#[test]
fn of_the_random_parts_of_this_run_that_have_no_order_one_change_mends_19_in_20() {
    let found = repaired(seed(2), parts_to_mend());
    assert!(
        found.asked > 0 && found.mended * 20 >= found.asked * 19,
        "{found:?}"
    );
    // Parts that stand in themselves are told apart, and are not most of what is drawn at random.
    assert!(found.crossed * 2 <= found.parts, "{found:?}");
}

#[test]
fn a_part_that_stands_in_itself_is_told_and_one_that_only_comes_round_is_not() {
    let crossed = work(&strip(60.0, &[60.0, 30.0, 30.0, 30.0, 60.0], &[90.0; 4]));
    let (tooling, practice) = (Tooling::starter_brake(), Practice::of(&Handbook::builtin()));
    let why = explain(&crossed, &tooling, &practice, &none(&crossed, &tooling));
    let Explanation::InItself { solids, blocked } = &why else {
        panic!("{why:?}")
    };
    assert_eq!(Some(*solids), crossed.stands_in_itself());
    assert!(solids[0] != solids[1] && !blocked.is_empty());
    // Made as two and welded, it would stand in itself all the same: only what alters its shape mends it.
    let offered = Offered {
        enough: 0,
        ..Offered::starter()
    };
    let (_, found) = asked(&crossed, &tooling, &offered);
    let alters = |repair: &Repair| {
        matches!(
            repair.change,
            Change::Leg { .. } | Change::Taper { .. } | Change::Notch { .. }
        )
    };
    assert!(found.iter().all(alters), "{found:?}");
    let comes_round = work(&strip(60.0, &[40.0, 60.0, 60.0, 60.0, 15.0], &[90.0; 4]));
    assert_eq!(comes_round.stands_in_itself(), None);
}

#[test]
fn thinner_plate_that_is_commonly_had_is_offered_for_what_the_plate_is_too_thick_for() {
    // The folder takes 1.3 mm of aluminium over its length, and nothing else is lent.
    let card = strip(100.0, &[60.0, 60.0], &[90.0]);
    let work = work(&card);
    let book = Handbook::builtin();
    let offered = Offered {
        tooling: Tooling::default(),
        enough: 0,
        ..Offered::for_stock(&book, work.stock.as_ref(), work.thickness_mm, &card)
    };
    let mut tooling = Tooling::starter_folder();
    tooling.folders[0].capacity[1].thickest_mm = 1.3;
    let (_, found) = asked(&work, &tooling, &offered);
    let thinner = found.iter().find_map(|repair| match repair.change {
        Change::Thickness { thickness_mm } => Some(thickness_mm),
        _ => None,
    });
    assert!(thinner.is_some_and(|t_mm| t_mm < 1.7), "{found:?}");
}

#[test]
fn what_goes_out_goes_out_once_though_more_bends_go() {
    let practice = Practice::of(&Handbook::builtin());
    let tooling = Tooling {
        away: Some(Tooling::starter_away()),
        ..Tooling::starter_brake()
    };
    for (index, (_, work)) in works(seed(5), 6).enumerate() {
        let outcome = plan(&work, &tooling, &practice, &Weights::default()).expect("sound tools");
        let Some(plan) = outcome.plan() else { continue };
        let away: Vec<bool> = plan.steps.iter().map(|step| step.means == Means::Away).collect();
        let trips = usize::from(away.first() == Some(&true))
            + away.windows(2).filter(|two| !two[0] && two[1]).count();
        assert!(trips <= 1, "part {index}: {away:?}");
        let effort = brake::order::Afresh::of(&work, &tooling, &practice).least_effort(&Weights::default());
        assert_eq!(effort, Some(plan.effort.total()), "part {index}");
    }
}

#[test]
fn a_shop_that_only_sends_out_is_told_what_the_one_it_sends_to_does_not_take() {
    let wide = work(&strip(3000.0, &[60.0, 60.0], &[90.0]));
    let tooling = Tooling {
        away: Some(Tooling::starter_away()),
        ..Tooling::default()
    };
    let blocked = &none(&wide, &tooling).blocked[0];
    assert!(
        matches!(blocked.why, Block::Stop(Stop::Length { has_mm, .. }) if has_mm == 2500.0),
        "{blocked:?}"
    );
}

#[test]
fn a_part_in_two_meets_at_the_corner_where_its_bend_was_and_keeps_its_plate_across_a_panel() {
    let whole = work(&strip(60.0, &[60.0, 14.0, 60.0], &[90.0, 90.0]));
    // The web is welded on to the first leg: its inside runs on by the inside radius to the corner.
    let line = whole
        .lines
        .iter()
        .position(|line| line.name == "b1")
        .expect("a bend");
    let (strip_mm, radius_mm) = (whole.lines[line].strip_mm(), whole.lines[line].radius_mm);
    let web = whole.parted(line).into_iter().find(|part| !part.lines.is_empty());
    let web = web.expect("the side of the other bend");
    let reach_mm = |work: &Work| {
        let line = work
            .lines
            .iter()
            .position(|line| line.name == "b2")
            .expect("a bend");
        let beside = [work.lines[line].fixed, work.lines[line].moving];
        let legs = beside.map(|panel| work.leg_mm(line, panel));
        legs[0].min(legs[1])
    };
    assert!((reach_mm(&web) - reach_mm(&whole) - radius_mm).abs() < 1e-9);
    // Over the punch it lies on all of that.
    let outcome = planned(&web, &Tooling::starter_brake());
    let step = &outcome.plan().expect("an angle").steps[0];
    assert!(step.gauge.to_middle_mm > reach_mm(&whole) - 1e-9, "{step:?}");
    // Across the web there is a part with each of its bends, and no plate is lost.
    let panel = whole.lines_at(whole.lines[line].fixed).len();
    let panel = [whole.lines[line].fixed, whole.lines[line].moving][usize::from(panel != 2)];
    let at_mm = strip_mm / 2.0 + 3.0;
    let parts = whole.parted_across(line, panel, at_mm).expect("two parts");
    assert!(parts.iter().all(|part| part.lines.len() == 1), "{parts:?}");
    let kg = |work: &Work| work.mass_kg().expect("a metal");
    assert!((kg(&parts[0]) + kg(&parts[1]) - kg(&whole)).abs() < 1e-9);
    // Where no plate is, none is cut.
    assert_eq!(whole.parted_across(line, panel, 200.0), None);
}
