//! What has no answer, each with its reason.

use nalgebra::Point3;
use prove::{At, ProveError, analyse};
use shell::PrepareError;

use crate::fixture::{bracket, once, push, strip};

#[test]
fn a_strip_on_nothing_or_under_nothing_is_told() {
    let part = strip(Vec::new());
    let mut on_nothing = bracket(&part, vec![push("push", [0.0, 0.0, -20.0])], None);
    on_nothing.mounts.clear();
    assert_eq!(analyse(&on_nothing, &once()).err(), Some(ProveError::NoMounts));
    let under_nothing = bracket(&part, Vec::new(), None);
    assert_eq!(analyse(&under_nothing, &once()).err(), Some(ProveError::NoLoads));
}

#[test]
fn a_strip_on_one_loose_bolt_is_free_to_turn_about_it() {
    let part = strip(Vec::new());
    let mut one = bracket(&part, vec![push("push", [0.0, 10.0, 0.0])], None);
    one.mounts.truncate(1);
    let error = analyse(&one, &once()).expect_err("nothing keeps it from turning");
    let ProveError::Prepare(PrepareError::Free(free)) = error else {
        panic!("{error}");
    };
    assert_eq!(free.modes.len(), 1);
}

#[test]
fn a_load_at_a_support_that_is_not_there_is_told() {
    let part = strip(Vec::new());
    let mut none = bracket(&part, vec![push("push", [0.0, 0.0, -20.0])], None);
    none.support = None;
    assert!(matches!(
        analyse(&none, &once()),
        Err(ProveError::NoSupport { load }) if load == "push"
    ));
}

#[test]
fn a_load_a_metre_away_is_carried_and_found_too_much() {
    let part = strip(Vec::new());
    let mut far = push("far", [0.0, 0.0, -50.0]);
    far.at = At::Point(Point3::new(1_200.0, 20.0, 0.0));
    let bracket = bracket(&part, vec![far], Some(8_000.0));
    let answer = analyse(&bracket, &once()).expect("it is solved");
    assert!(answer.checks[0].used > 1.0);
    assert!(
        answer.cases[0].large.is_some(),
        "it moves too far for the linear answer"
    );
}

#[test]
fn a_million_elements_are_refused_before_they_are_made() {
    let part = strip(Vec::new());
    let bracket = bracket(&part, vec![push("push", [0.0, 0.0, -20.0])], None);
    let mut much = once();
    much.first_unknowns = 3_000_000;
    assert!(matches!(analyse(&bracket, &much), Err(ProveError::Body(_))));
}
