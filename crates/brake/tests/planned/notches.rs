//! A notch in a panel, where that is all that helps, and where it is not cut.

use brake::needs::Practice;
use brake::order::{Block, Outcome, Weights, What, plan};
use brake::sweep::ToolSolid;
use brake::tooling::Tooling;
use brake::why_not::{Change, NOTCH_CLEAR_MM, Offered, Repair, explain, notch_room, repairs};
use brake::work::{NoNotch, Notch, Work};
use handbook::Handbook;
use plane::Point;
use sheet::{Mockup, Opening, OpeningShape, Way};

use crate::card::{T_MM, card, crease, planned, work};

/// A brake with uprights near each other and a shallow throat.
fn small_brake() -> Tooling {
    let mut tooling = Tooling::starter_brake();
    tooling.presses[0].between_uprights_mm = 300.0;
    tooling.presses[0].throat_mm = 60.0;
    tooling
}

/// A large plate with two tabs in a recess. With the plate to the back it reaches past an upright; with the tabs to the
/// back, its right lobe does. The left lobe stands between the uprights, and is as high.
fn lobed() -> Mockup {
    let corners = [
        (-250.0, -400.0),
        (250.0, -400.0),
        (250.0, 100.0),
        (200.0, 100.0),
        (200.0, 0.0),
        (-60.0, 0.0),
        (-60.0, 30.0),
        (-120.0, 30.0),
        (-120.0, 0.0),
        (-150.0, 0.0),
        (-150.0, 30.0),
        (-210.0, 30.0),
        (-210.0, 0.0),
        (-215.0, 0.0),
        (-215.0, 100.0),
        (-250.0, 100.0),
    ];
    let creases = vec![
        crease("first", (-210.0, 0.0), (-150.0, 0.0), 90.0, Way::Up),
        crease("second", (-120.0, 0.0), (-60.0, 0.0), 90.0, Way::Up),
    ];
    card(&corners, creases, Some((0.0, -200.0)))
}

/// All single changes, with no tools lent.
fn mended(work: &Work, tooling: &Tooling) -> Vec<Repair> {
    let practice = Practice::of(&Handbook::builtin());
    let Outcome::None(none) = planned(work, tooling) else {
        panic!("bent after all")
    };
    let why = explain(work, tooling, &practice, &none);
    for blocked in why.blocked() {
        assert!(
            matches!(
                blocked.why,
                Block::Meets {
                    with: What::Tool(ToolSolid::Upright),
                    ..
                }
            ),
            "{blocked:?}"
        );
    }
    repairs(
        work,
        tooling,
        &practice,
        &Weights::default(),
        &why,
        &Offered::default(),
    )
    .repairs
}

#[test]
fn a_lobe_that_reaches_past_an_upright_is_mended_by_a_notch_and_by_nothing_else() {
    let (work, tooling) = (work(&lobed()), small_brake());
    let found = mended(&work, &tooling);
    let [
        Repair {
            change:
                Change::Notch {
                    notch,
                    takes_mm2,
                    takes_share,
                },
            plans,
        },
    ] = &found[..]
    else {
        panic!(
            "{:?}",
            found.iter().map(|repair| &repair.change).collect::<Vec<_>>()
        )
    };
    println!("{notch:?} takes {takes_mm2} mm2, {:?}", notch.corners(&work));
    // All of the lobe's 50 mm go, from what the throat holds up to its end.
    assert!((*takes_mm2 - 50.0 * (100.0 - 60.0)).abs() < 50.0 * (NOTCH_CLEAR_MM + 5.0));
    assert!(*takes_share < 0.02);
    // What is planned is the notched part, and it clears what it met by what a notch stands off.
    let practice = Practice::of(&Handbook::builtin());
    let notched = work
        .with_notch(notch, &notch_room(&practice))
        .expect("the notch is cut");
    let again = plan(&notched.work, &tooling, &practice, &Weights::default()).expect("sound tools");
    let again = again.plan().expect("an order");
    assert_eq!((&again.steps, again.effort), (&plans[0].steps, plans[0].effort));
    let least_mm = plans[0]
        .least_clearance()
        .map_or(f64::INFINITY, |clearance| clearance.mm);
    assert!(least_mm > NOTCH_CLEAR_MM - 1.0, "{least_mm}");
}

#[test]
fn no_notch_is_cut_through_a_bend() {
    // The lobe carries a lip at its end, bent where the notch would go.
    let mut lipped = lobed();
    lipped
        .creases
        .push(crease("lip", (199.0, 80.0), (251.0, 80.0), 45.0, Way::Up));
    let work = work(&lipped);
    let found = mended(&work, &small_brake());
    assert!(
        found
            .iter()
            .all(|repair| !matches!(repair.change, Change::Notch { .. })),
        "{found:?}"
    );
    let lobe = over(&work, [197.0, 55.0], [253.0, 90.0]);
    let refused = work.with_notch(&lobe, &notch_room(&Practice::of(&Handbook::builtin())));
    assert!(
        matches!(refused, Err(NoNotch::Bend { line, found_mm, needs_mm }) if work.lines[line].name == "lip" && found_mm < 0.0 && needs_mm > 2.5 * T_MM),
        "{refused:?}"
    );
}

#[test]
fn no_notch_is_cut_into_what_a_hole_needs_about_it() {
    let mut drilled = lobed();
    let hole = |at: Point| Opening {
        name: "m1".to_owned(),
        shape: OpeningShape::Round { at, dia_mm: 10.0 },
    };
    drilled.openings.push(hole(Point::new(225.0, 48.0)));
    let drilled = work(&drilled);
    let found = mended(&drilled, &small_brake());
    assert!(
        found
            .iter()
            .all(|repair| !matches!(repair.change, Change::Notch { .. })),
        "{found:?}"
    );
    // Its edge is at 53: 0.7 diameters from that no notch begins.
    let room = notch_room(&Practice::of(&Handbook::builtin()));
    let from = |from_mm: f64| {
        let lobe = over(&drilled, [197.0, from_mm], [253.0, 103.0]);
        drilled.with_notch(&lobe, &room)
    };
    assert!(
        matches!(from(58.0), Err(NoNotch::Opening { found_mm, needs_mm, .. }) if found_mm < 5.5 && (needs_mm - 7.0).abs() < 0.3),
        "{:?}",
        from(58.0)
    );
    assert!(from(61.0).is_ok());
}

#[test]
fn a_notch_is_a_bite_out_of_an_edge_and_leaves_enough_beside_it() {
    let work = work(&lobed());
    let room = notch_room(&Practice::of(&Handbook::builtin()));
    let cut = |from: [f64; 2], to: [f64; 2]| work.with_notch(&over(&work, from, to), &room);
    // 20 by 30 out of the lower right corner; the plate is 500 by 400 and what stands beside the recess.
    let corner = cut([230.0, -410.0], [260.0, -370.0]).expect("a corner");
    assert!(
        (corner.takes_mm2 - 20.0 * 30.0).abs() < 1e-6,
        "{}",
        corner.takes_mm2
    );
    let edge = cut([0.0, -410.0], [40.0, -380.0]).expect("an edge");
    assert!((edge.takes_mm2 - 40.0 * 20.0).abs() < 1e-6);
    // Within the plate; all of a side; a sliver left beside it; nothing of the panel.
    assert_eq!(
        cut([0.0, -300.0], [40.0, -280.0]).err(),
        None.or(Some(NoNotch::NoBite))
    );
    assert_eq!(
        cut([-260.0, -410.0], [260.0, -390.0]).err(),
        Some(NoNotch::NoBite)
    );
    assert_eq!(
        cut([-247.0, -410.0], [249.0, -390.0]).err(),
        Some(NoNotch::NoBite)
    );
    assert_eq!(cut([0.0, 30.0], [100.0, 60.0]).err(), Some(NoNotch::Nothing));
}

/// A notch of the plate over a rectangle of the card. Round the recess card and blank agree, as the plate is what the tabs
/// hang on.
fn over(work: &Work, [x0, y0]: [f64; 2], [x1, y1]: [f64; 2]) -> Notch {
    let (line, made) = work
        .lines
        .iter()
        .enumerate()
        .find(|(_, line)| line.name == "first")
        .expect("the first tab");
    let panel = made.fixed;
    // Out of the tab's line into the plate is down on the card, and left of that is to the right.
    let out = |y: f64| made.middle.y - y;
    let along = |x: f64| x - made.middle.x;
    Notch {
        panel,
        line,
        out_mm: [out(y1), out(y0)],
        along_mm: [along(x0), along(x1)],
    }
}
