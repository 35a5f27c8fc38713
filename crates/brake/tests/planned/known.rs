//! Parts whose answer a fabricator knows.

use brake::needs::{Practice, Stop};
use brake::order::{Block, Blocked, Edge, Outcome, What};
use brake::sweep::ToolSolid;
use brake::tooling::{Lengths, Tooling};
use brake::why_not::{Explanation, explain};
use brake::work::Solid;
use handbook::Handbook;

use sheet::Way;

use crate::card::{card, crease, order, pan, planned, strip, work};

#[test]
fn the_starter_tools_are_sound() {
    assert_eq!(Tooling::starter().check(), []);
    let offered = Tooling {
        punches: vec![Tooling::relieved_punch()],
        dies: Tooling::narrow_dies().into(),
        vices: vec![Tooling::fold_bars()],
        ..Tooling::default()
    };
    assert_eq!(offered.check(), []);
}

fn bent(legs: &[f64], bends: &[f64]) -> Option<Vec<String>> {
    let work = work(&strip(100.0, legs, bends));
    order(&work, &planned(&work, &Tooling::starter_brake()))
}

/// The order of one bend before another.
fn before(order: &[String], first: &str, second: &str) -> bool {
    let at = |name: &str| order.iter().position(|step| step == name);
    at(first) < at(second)
}

#[test]
fn angle_channel_zed_and_offset_are_bent() {
    assert_eq!(bent(&[40.0, 40.0], &[90.0]).map(|order| order.len()), Some(1));
    // The second leg of a wide channel stands clear of a straight punch.
    assert_eq!(
        bent(&[40.0, 60.0, 40.0], &[90.0, 90.0]).map(|order| order.len()),
        Some(2)
    );
    assert_eq!(
        bent(&[40.0, 40.0, 40.0], &[90.0, -90.0]).map(|order| order.len()),
        Some(2)
    );
    assert_eq!(
        bent(&[60.0, 20.0, 60.0], &[45.0, -45.0]).map(|order| order.len()),
        Some(2)
    );
}

/// How often the part is turned over in the plan.
fn flips(legs: &[f64], bends: &[f64]) -> usize {
    let work = work(&strip(100.0, legs, bends));
    let outcome = planned(&work, &Tooling::starter_brake());
    let plan = outcome.plan().unwrap_or_else(|| panic!("{outcome:?}"));
    plan.steps.iter().filter(|step| step.flip).count()
}

#[test]
fn what_bends_one_way_is_never_turned_over_and_what_bends_both_ways_is_once() {
    // Channel, and tray with return flanges: all up.
    assert_eq!(flips(&[40.0, 60.0, 40.0], &[90.0, 90.0]), 0);
    assert_eq!(flips(&[15.0, 40.0, 100.0, 40.0, 15.0], &[90.0; 4]), 0);
    // Z and offset: one up, one down.
    assert_eq!(flips(&[40.0, 40.0, 40.0], &[90.0, -90.0]), 1);
    assert_eq!(flips(&[60.0, 20.0, 60.0], &[45.0, -45.0]), 1);
    // Hat: both brims down, then both sides of the crown up.
    assert_eq!(
        flips(&[30.0, 40.0, 60.0, 40.0, 30.0], &[-90.0, 90.0, 90.0, -90.0]),
        1
    );
}

#[test]
fn an_offset_whose_web_is_shorter_than_half_the_narrowest_die_is_not_bent() {
    // Either bend can be the first, over the whole plate. The second then has a web of 4 mm less half the first bend's arc to
    // lie on a shoulder 4 mm from the middle of a V of 8.
    assert_eq!(bent(&[60.0, 4.0, 60.0], &[45.0, -45.0]), None);
}

#[test]
fn the_brims_of_a_hat_come_before_its_crown() {
    let order = bent(&[30.0, 40.0, 60.0, 40.0, 30.0], &[-90.0, 90.0, 90.0, -90.0]).expect("a hat is bent");
    // With the crown made first, the last brim would be bent with the other wall hanging in the die's way, or the wall up
    // into the punch: one brim at least comes before the wall beside it.
    assert!(
        before(&order, "b1", "b2") || before(&order, "b4", "b3"),
        "{order:?}"
    );
}

#[test]
fn return_flanges_come_before_the_walls_they_stand_on() {
    let order = bent(&[15.0, 40.0, 100.0, 40.0, 15.0], &[90.0; 4]).expect("a wide tray with returns is bent");
    assert!(
        before(&order, "b1", "b2") && before(&order, "b4", "b3"),
        "{order:?}"
    );
}

#[test]
fn a_tube_closes_round_the_punch_and_cannot_be_bent() {
    assert_eq!(bent(&[40.0, 60.0, 60.0, 60.0, 15.0], &[90.0; 4]), None);
}

#[test]
fn a_pan_is_bent_on_the_brake_between_its_walls_with_a_punch_made_up_to_fit_and_in_the_box_folder() {
    let work = work(&pan(120.0, 80.0, 25.0));
    // In a vice the far wall stands where a half of its body is, unless the jaws are held so that nothing stands about them.
    let mut bare_vice = Tooling::starter_vice();
    bare_vice.vices[0].body = None;
    assert!(planned(&work, &Tooling::starter_vice()).plan().is_none());
    for tooling in [Tooling::starter_brake(), Tooling::starter_folder(), bare_vice] {
        let outcome = planned(&work, &tooling);
        let plan = outcome.plan().unwrap_or_else(|| panic!("{outcome:?}"));
        assert_eq!(plan.steps.len(), 4);
        // The last is bent with the walls beside it up.
        let last = plan.steps.last().expect("four steps");
        let opening_mm = if work.lines[last.lines[0]].length_mm > 100.0 {
            120.0
        } else {
            80.0
        };
        assert!(last.tool_mm <= opening_mm, "{last:?}");
    }
}

#[test]
fn a_pan_in_the_vice_meets_its_body_and_is_not_said_to_stand_in_itself() {
    let (work, tooling) = (work(&pan(120.0, 80.0, 25.0)), Tooling::starter_vice());
    // What a brake bends does not stand in itself, though its bends come together at the corners.
    assert_eq!(work.stands_in_itself(), None);
    let Outcome::None(none) = planned(&work, &tooling) else {
        panic!("the walls go past the body of the vice");
    };
    let by_body = |blocked: &Blocked| {
        matches!(
            blocked.why,
            Block::Meets {
                part: Solid::Panel(_),
                with: What::Tool(ToolSolid::ViceBody),
                ..
            }
        )
    };
    // The floor between jaws of 80 mm meets these too, by a millimetre: with 76 mm of them it would not, and is not bent either.
    assert!(none.blocked.iter().all(by_body), "{:?}", none.blocked);
    let why = explain(&work, &tooling, &Practice::of(&Handbook::builtin()), &none);
    let Explanation::Each(long, short) = &why else {
        panic!("{why:?}")
    };
    assert!(by_body(short) && short.tool_mm == Some(80.0), "{why:?}");
    assert!(matches!(long.why, Block::Meets { .. }), "{why:?}");
    let mut shorter = tooling.clone();
    shorter.vices[0].jaws = Lengths::Sections(vec![76.0, 115.0]);
    assert!(planned(&work, &shorter).plan().is_none());
}

#[test]
fn a_pan_with_one_punch_in_one_piece_stops_at_its_third_wall() {
    let mut tooling = Tooling::starter_brake();
    for punch in &mut tooling.punches {
        punch.lengths = brake::tooling::Lengths::Whole(1000.0);
    }
    let work = work(&pan(120.0, 80.0, 25.0));
    let Outcome::None(none) = planned(&work, &tooling) else {
        panic!("a punch of 1 m goes between walls 80 mm apart");
    };
    assert_eq!(none.ends[0].count_ones(), 2);
    let meets = |block: &Block| {
        matches!(
            block,
            Block::Meets {
                with: What::Tool(ToolSolid::Punch | ToolSolid::Die),
                ..
            }
        )
    };
    assert!(
        none.blocked.iter().all(|blocked| meets(&blocked.why)),
        "{:?}",
        none.blocked
    );
}

#[test]
fn a_plate_too_thick_for_the_folder_is_told_so_not_that_there_is_no_tool() {
    let mut thick = work(&strip(100.0, &[40.0, 60.0], &[90.0]));
    thick.thickness_mm = 6.0;
    let Outcome::None(none) = planned(&thick, &Tooling::starter_folder()) else {
        panic!("6 mm in a small folder");
    };
    assert!(
        matches!(&none.blocked[0].why, Block::Stop(Stop::Thick { t_mm, most_mm }) if t_mm > most_mm),
        "{:?}",
        none.blocked
    );
    assert!(none.blocked[0].means.is_some());
}

#[test]
fn a_bend_that_slants_to_the_next_bears_on_the_gauge_with_one_end_only() {
    let card = card(
        &[(0.0, 0.0), (170.0, 0.0), (170.0, 80.0), (0.0, 80.0)],
        vec![
            crease("b1", (30.0, -1.0), (60.0, 81.0), 90.0, Way::Up),
            crease("b2", (120.0, -1.0), (120.0, 81.0), 90.0, Way::Down),
        ],
        None,
    );
    let work = work(&card);
    let outcome = planned(&work, &Tooling::starter_brake());
    let plan = outcome.plan().expect("an order");
    for step in &plan.steps {
        assert_ne!(step.gauge.edge, Edge::Bent, "{step:?}");
    }
}
