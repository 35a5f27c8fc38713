//! Plate too thick for the hand, and the kerf that lets it be drawn over.

use brake::by_hand::{hand_strength, with_kerfs};
use brake::needs::Practice;
use brake::order::{Block, Blocked, Outcome, Weights, What};
use brake::sweep::ToolSolid;
use brake::tooling::{Capacity, Tooling};
use handbook::{Family, Handbook};
use plane::{Outline, Point};

use sheet::Way;

use crate::card::{T_MM, card, crease, planned, strip, work};

/// A vice that draws over this much aluminium in a bend of 75 mm.
fn vice(takes_mm: f64) -> Tooling {
    let mut tooling = Tooling::starter_vice();
    // Held so that nothing stands about the jaws.
    tooling.vices[0].body = None;
    tooling.vices[0].capacity = vec![Capacity {
        family: Family::Aluminium,
        thickest_mm: takes_mm,
    }];
    tooling
}

fn kerfed(legs: &[f64], bends: &[f64], tooling: &Tooling) -> Option<brake::by_hand::Kerfed> {
    let practice = Practice::of(&Handbook::builtin());
    let work = work(&strip(75.0, legs, bends));
    with_kerfs(&work, tooling, &practice, &Weights::default()).expect("sound tools")
}

#[test]
fn an_angle_too_thick_for_the_vice_is_sawn_to_what_a_hand_takes() {
    let weak = vice(1.5);
    let work = work(&strip(75.0, &[40.0, 40.0], &[90.0]));
    assert!(matches!(planned(&work, &weak), Outcome::None(_)));
    let kerfed = kerfed(&[40.0, 40.0], &[90.0], &weak).expect("a kerf");
    let [(0, kerf)] = kerfed.kerfs[..] else {
        panic!("one bend, one kerf: {:?}", kerfed.kerfs);
    };
    assert!(kerf.left_mm < 1.5 && kerf.left_mm > T_MM / 3.0, "{kerf:?}");
    assert!((kerf.left_mm + kerf.deep_mm - T_MM).abs() < 1e-12);
    let strength = hand_strength(&work, &weak, &kerfed.plan.steps[0]).expect("a step by hand");
    assert!(strength.thickness_mm > strength.most_mm && kerf.left_mm < strength.most_mm);
}

#[test]
fn plate_that_a_hand_takes_needs_no_kerf_and_much_thicker_plate_is_no_work_for_one() {
    assert!(kerfed(&[40.0, 40.0], &[90.0], &vice(2.0)).is_none());
    // Less than a third would be left.
    assert!(kerfed(&[40.0, 40.0], &[90.0], &vice(0.7)).is_none());
    // A brake knows no kerf.
    assert!(kerfed(&[40.0, 40.0], &[90.0], &Tooling::starter_brake()).is_none());
}

#[test]
fn a_kerf_does_not_mend_what_the_jaws_stand_in_the_way_of() {
    // The leg is shorter than the jaws hold.
    assert!(kerfed(&[8.0, 8.0], &[90.0], &vice(1.5)).is_none());
}

#[test]
fn a_part_that_a_kerf_closes_into_itself_is_not_sawn() {
    // The last leg comes down beside the end of the first: as drawn it clears it by 0.6 mm, and sawn at its two corners it comes
    // 0.8 mm nearer for each.
    let mut thin = vice(1.5);
    thin.vices[0].inner = Outline::polygon(
        &[(0.0, 0.0), (30.0, 0.0), (30.0, 8.0), (2.0, 8.0), (0.0, 3.0)].map(|(x, y)| Point::new(x, y)),
    )
    .expect("a thin jaw");
    let box_of = |last_mm: f64| {
        let found = kerfed(&[60.0, 40.0, 60.0, last_mm], &[90.0; 3], &thin);
        found.map(|found| found.kerfs.len())
    };
    let clear_mm = 40.0 - T_MM;
    assert_eq!(box_of(clear_mm - 8.0), Some(3), "far off the first leg");
    assert_eq!(box_of(clear_mm - 0.6), None);
    // As drawn there is an order: it is the kerf that is in the way.
    let drawn = work(&strip(75.0, &[60.0, 40.0, 60.0, clear_mm - 0.6], &[90.0; 3]));
    let mut strong = thin.clone();
    strong.vices[0].capacity[0].thickest_mm = 5.0;
    assert!(planned(&drawn, &strong).plan().is_some());
}

#[test]
fn a_long_leg_goes_past_the_screw_only_where_the_jaws_are_short_enough_to_stand_beside_it() {
    let bent = |wide_mm: f64, leg_mm: f64, body: bool| {
        let mut tooling = Tooling::starter_vice();
        if !body {
            tooling.vices[0].body = None;
        }
        let outcome = planned(&work(&strip(wide_mm, &[leg_mm, leg_mm], &[90.0])), &tooling);
        outcome.plan().is_some()
    };
    // Jaws of 80 mm go beside a screw of 40 in a body of 125; jaws of 110 do not.
    assert!(bent(80.0, 60.0, true) && bent(80.0, 120.0, true));
    assert!(bent(110.0, 60.0, true));
    assert!(!bent(110.0, 120.0, true) && bent(110.0, 120.0, false));
}

#[test]
fn a_channel_is_not_bent_about_the_body_of_a_vice() {
    // Whichever leg is bent last, the other stands where a half of the body is: beside the jaws, or under them.
    let with = |body: bool| {
        let mut tooling = Tooling::starter_vice();
        if !body {
            tooling.vices[0].body = None;
        }
        planned(&work(&strip(40.0, &[60.0, 50.0, 40.0], &[90.0, 90.0])), &tooling)
    };
    assert!(with(false).plan().is_some());
    let Outcome::None(none) = with(true) else {
        panic!("bent about the body")
    };
    let in_body = |blocked: &Blocked| {
        matches!(
            blocked.why,
            Block::Meets {
                with: What::Tool(ToolSolid::ViceBody),
                ..
            }
        )
    };
    assert!(none.blocked.iter().any(in_body), "{:?}", none.blocked);
}

#[test]
fn no_more_bends_are_sawn_into_than_must_be() {
    // A folder takes the plate over its length, and only the last bend of the box section does not go in it; a vice that is
    // too weak takes any of them, kerfed.
    let mut tooling = vice(1.5);
    tooling.folders = Tooling::starter_folder().folders;
    // Without the count of kerfs, changing over to the vice would cost more than sawing all of them.
    let legs = [40.0, 60.0, 40.0];
    let work = work(&strip(75.0, &legs, &[90.0, 110.0]));
    tooling.folders[0].swing_rad = 100f64.to_radians();
    tooling.vices[0].swing_rad = 130f64.to_radians();
    assert!(matches!(planned(&work, &tooling), Outcome::None(_)));
    let kerfed = kerfed(&legs, &[90.0, 110.0], &tooling).expect("a kerf");
    let sawn: Vec<usize> = kerfed.kerfs.iter().map(|(line, _)| *line).collect();
    assert_eq!(sawn, [1], "{:?}", kerfed.plan.steps);
}

#[test]
fn two_tabs_in_one_stroke_are_as_long_as_from_the_first_end_to_the_last() {
    let corners = [
        (0.0, 0.0),
        (150.0, 0.0),
        (150.0, 40.0),
        (145.0, 40.0),
        (145.0, 80.0),
        (105.0, 80.0),
        (105.0, 40.0),
        (45.0, 40.0),
        (45.0, 80.0),
        (5.0, 80.0),
        (5.0, 40.0),
        (0.0, 40.0),
    ];
    let creases = vec![
        crease("left", (5.0, 40.0), (45.0, 40.0), 90.0, Way::Up),
        crease("right", (105.0, 40.0), (145.0, 40.0), 90.0, Way::Up),
    ];
    let work = work(&card(&corners, creases, Some((75.0, 20.0))));
    let tooling = Tooling::starter_vice();
    let outcome = planned(&work, &tooling);
    let plan = outcome.plan().unwrap_or_else(|| panic!("{outcome:?}"));
    assert_eq!(plan.steps[0].lines.len(), 2);
    let strength = hand_strength(&work, &tooling, &plan.steps[0]).expect("a step by hand");
    // 5 mm of aluminium over 75 mm; over 140 mm less, by the root of the lengths.
    let expected_mm = 5.0 * (75f64 / 140.0).sqrt();
    assert!((strength.most_mm - expected_mm).abs() < 0.02, "{strength:?}");
}
