//! What is told of a part that is stuck, and of changes that would do.

use brake::needs::Practice;
use brake::order::{Outcome, Weights, plan};
use brake::tooling::Tooling;
use brake::why_not::{Change, Repair, explain};
use brake::work::{Notch, Work};
use handbook::Handbook;
use plane::{Outline, Point};
use sheet::{Crease, Face, Mockup, Relief, Way, develop};

use super::changes::{and, left_out_words, repair_words, share_words, vice_words};
use super::words::{blocked_words, in_itself_words, nears_words};
use crate::stages::bender::Whose;
use crate::stages::bending::{Bending, Found, Springs};

/// A strip of 60 mm with these legs, each bent up by 90 degrees from the one before, on the tools of common shapes.
fn stuck(legs_mm: &[f64]) -> Bending {
    let long_mm: f64 = legs_mm.iter().sum();
    let corners = [(0.0, 0.0), (long_mm, 0.0), (long_mm, 60.0), (0.0, 60.0)].map(|(x, y)| Point::new(x, y));
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
