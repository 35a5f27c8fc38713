//! Measures that use each other.

use std::collections::BTreeMap;

use units::{
    BadName, Expr, LengthUnit, Quantity, check_measure_name, resolve_measures, resolve_measures_given,
};

fn sums(rows: &[(&str, &str)]) -> BTreeMap<String, Expr> {
    let sum = |text: &str| Expr::parse(text, None).unwrap_or_else(|error| panic!("{text}: {error}"));
    rows.iter()
        .map(|(name, text)| ((*name).to_owned(), sum(text)))
        .collect()
}

#[test]
fn each_is_worked_out_after_those_it_needs() {
    let values =
        resolve_measures(&sums(&[("a", "b + c"), ("b", "2 * c"), ("c", "10 mm")])).expect("all have a value");
    assert_eq!(values["a"], Quantity::from_mm(30.0));
    assert_eq!(values["b"], Quantity::from_mm(20.0));
}

#[test]
fn a_cycle_is_told_as_a_cycle_and_what_hangs_on_it_is_left_out() {
    let rows = [
        ("pad", "reach + 1 mm"),
        ("reach", "tilt_out * 2"),
        ("tilt_out", "pad / 2"),
        ("after", "pad * 3"),
    ];
    let errors = resolve_measures(&sums(&rows)).expect_err("a cycle");
    let says: Vec<String> = errors.iter().map(ToString::to_string).collect();
    assert_eq!(
        says,
        ["these measures need each other: pad -> reach -> tilt_out -> pad"]
    );
    let alone = resolve_measures(&sums(&[("a", "a + 1 mm")])).expect_err("a cycle of one");
    assert_eq!(alone[0].to_string(), "these measures need each other: a -> a");
}

#[test]
fn all_errors_come_at_once_in_the_order_of_the_names() {
    let rows = [
        ("d", "wirst"),
        ("a", "1 mm + 1 deg"),
        ("c", "a + 1 mm"),
        ("wrist", "60 mm"),
        ("x", "y"),
        ("y", "x"),
    ];
    let errors = resolve_measures(&sums(&rows)).expect_err("three are wrong");
    let says: Vec<String> = errors.iter().map(ToString::to_string).collect();
    assert_eq!(
        says,
        [
            "a: a length and an angle cannot be added",
            "d: no measure is called `wirst`; did you mean `wrist`?",
            "these measures need each other: x -> y -> x",
        ]
    );
}

#[test]
fn two_cycles_through_one_measure_are_reported_without_hanging() {
    let errors = resolve_measures(&sums(&[("a", "b + c"), ("b", "a"), ("c", "a")])).expect_err("cycles");
    assert!(!errors.is_empty());
}

#[test]
fn a_measure_that_is_given_wins_over_its_sum() {
    let given = BTreeMap::from([("tilt".to_owned(), Quantity::from_deg(20.0))]);
    let values = resolve_measures_given(&sums(&[("tilt", "tilt_missing"), ("twice", "2 * tilt")]), &given);
    assert_eq!(values.expect("tilt is given")["twice"], Quantity::from_deg(40.0));
}

#[test]
fn a_bare_measure_is_a_length_in_the_unit_its_own_file_declares() {
    let mut rows = sums(&[("sum", "a + b"), ("count", "3 times")]);
    rows.insert(
        "a".to_owned(),
        Expr::parse("60", Some(LengthUnit::Mm)).expect("a number"),
    );
    rows.insert(
        "b".to_owned(),
        Expr::parse("2", Some(LengthUnit::In)).expect("a number"),
    );
    let values = resolve_measures(&rows).expect("all have a value");
    assert_eq!(values["sum"], Quantity::from_mm(110.8));
    assert_eq!(values["count"].number(), Ok(3.0));
}

#[test]
fn a_long_chain_of_measures_costs_no_stack() {
    let mut rows = sums(&[("m0", "1 mm")]);
    for index in 1..20_000 {
        let text = format!("m{} + 0 mm", index - 1);
        rows.insert(format!("m{index}"), Expr::parse(&text, None).expect("a sum"));
    }
    assert_eq!(
        resolve_measures(&rows).expect("a chain")["m19999"],
        Quantity::from_mm(1.0)
    );
}

#[test]
fn names_that_would_read_as_something_else_are_refused() {
    assert_eq!(check_measure_name("pad_out"), Ok(()));
    assert_eq!(check_measure_name("in"), Err(BadName::Unit));
    assert_eq!(check_measure_name("max"), Err(BadName::Function));
    assert_eq!(check_measure_name("2nd"), Err(BadName::Shape));
    assert_eq!(check_measure_name("pad-out"), Err(BadName::Shape));
    assert_eq!(check_measure_name(""), Err(BadName::Shape));
}
