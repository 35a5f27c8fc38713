//! Plate too thick for the hand, and the kerf that lets it be drawn over.

use brake::by_hand::{hand_strength, with_kerfs};
use brake::needs::Practice;
use brake::order::{Outcome, Weights};
use brake::tooling::{Capacity, Tooling};
use handbook::{Family, Handbook};

use crate::card::{T_MM, planned, strip, work};

/// A vice that draws over this much aluminium in a bend of 75 mm.
fn vice(takes_mm: f64) -> Tooling {
    let mut tooling = Tooling::starter_vice();
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
