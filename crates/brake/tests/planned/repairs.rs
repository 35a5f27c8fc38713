//! Parts with no order: why, and what least change gives one.

use std::collections::BTreeMap;

use brake::needs::Practice;
use brake::order::{Block, NoOrder, Outcome, Weights, What, plan};
use brake::sweep::ToolSolid;
use brake::tooling::{Means, Tooling};
use brake::why_not::{Change, Explanation, Offered, Repair, explain, repairs};
use brake::work::{Stock, Work};
use handbook::Handbook;
use sheet::Mockup;

use crate::card::{planned, strip, work};
use crate::orders::{cases, seed, works};

fn none(work: &Work, tooling: &Tooling) -> NoOrder {
    match planned(work, tooling) {
        Outcome::None(none) => none,
        Outcome::Plan(plan) => panic!("bent after all: {:?}", plan.steps),
    }
}

fn asked(work: &Work, tooling: &Tooling, offered: &Offered<'_>) -> (Explanation, Vec<Repair>) {
    let practice = Practice::of(&Handbook::builtin());
    let why = explain(work, tooling, &practice, &none(work, tooling));
    let found = repairs(work, tooling, &practice, &Weights::default(), &why, offered);
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

/// What a caller who knows the stock offers beside the starter set: thinner and thicker plate of the same metal.
fn offered(mockup: &Mockup) -> Offered<'_> {
    let book = Handbook::builtin();
    let plate = |t_mm: f64| (t_mm, Stock::of(&book, "5052-H32", t_mm).ok());
    Offered {
        mockup: Some(mockup),
        plates: [1.5, 1.0].map(plate).into(),
        radii_mm: vec![1.0],
        enough: 1,
        ..Offered::starter()
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

/// Of random parts with no order: how many get a verified change, of how many; and the same of those that stand in
/// themselves when finished, which no order and no tool bends.
fn repaired(seed: u8, parts: usize) -> ([usize; 2], [usize; 2]) {
    let practice = Practice::of(&Handbook::builtin());
    let tooling = Tooling::starter_brake();
    let (mut sound, mut crossed) = ([0; 2], [0; 2]);
    let mut by: BTreeMap<String, usize> = BTreeMap::new();
    let mut longest_s = 0f64;
    for (index, (mockup, work)) in works(seed, parts).enumerate() {
        let outcome = plan(&work, &tooling, &practice, &Weights::default()).expect("sound tools");
        let Outcome::None(none) = outcome else { continue };
        let started = std::time::Instant::now();
        let why = explain(&work, &tooling, &practice, &none);
        let found = repairs(
            &work,
            &tooling,
            &practice,
            &Weights::default(),
            &why,
            &offered(&mockup),
        );
        longest_s = longest_s.max(started.elapsed().as_secs_f64());
        let crosses = work.stands_in_itself();
        let counts = if crosses.is_some() {
            &mut crossed
        } else {
            &mut sound
        };
        counts[0] += usize::from(!found.is_empty());
        counts[1] += 1;
        let kind = match found.first().map(|repair| &repair.change) {
            Some(Change::SendOut { lines }) => format!("SendOut of {}", lines.len()),
            Some(change) => format!("{change:?}")
                .split(' ')
                .next()
                .unwrap_or_default()
                .to_owned(),
            None if crosses.is_some() => "none, stands in itself".to_owned(),
            None => {
                println!("part {index} of seed {seed}: {}; {}", drawn(&mockup), told(&why));
                println!("    sent out: {}", sent_out(&work, &tooling, &practice));
                "none".to_owned()
            }
        };
        *by.entry(kind).or_default() += 1;
    }
    println!(
        "{sound:?} mended, of those that stand in themselves {crossed:?}; {by:?}; longest {longest_s:.1} s"
    );
    (sound, crossed)
}

#[test]
fn at_least_95_of_100_random_parts_with_no_order_are_mended_by_one_change() {
    let ([mended, asked], _) = repaired(seed(2), cases(12));
    assert!(asked > 0 && mended * 20 >= asked * 19, "{mended} of {asked}");
}

#[test]
fn a_part_that_stands_in_itself_is_told_and_one_that_only_comes_round_is_not() {
    let crossed = work(&strip(60.0, &[60.0, 30.0, 30.0, 30.0, 60.0], &[90.0; 4]));
    assert!(crossed.stands_in_itself().is_some());
    let comes_round = work(&strip(60.0, &[40.0, 60.0, 60.0, 60.0, 15.0], &[90.0; 4]));
    assert_eq!(comes_round.stands_in_itself(), None);
}
