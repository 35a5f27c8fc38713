//! What the shop writes, and what it comes to.

use std::collections::BTreeMap;

use units::{Dim, Expr, LengthUnit, ParseProblem, Quantity};

fn length_mm(text: &str) -> f64 {
    let value = Expr::parse(text, None)
        .unwrap_or_else(|error| panic!("{text}: {error}"))
        .value();
    value
        .unwrap_or_else(|error| panic!("{text}: {error}"))
        .length_mm()
        .expect("a length")
}

fn value_of(text: &str) -> Quantity {
    let sum = Expr::parse(text, None).unwrap_or_else(|error| panic!("{text}: {error}"));
    sum.value().unwrap_or_else(|error| panic!("{text}: {error}"))
}

fn near(one: f64, two: f64) -> bool {
    (one - two).abs() <= 1e-12 * one.abs().max(two.abs()).max(1.0)
}

#[test]
fn lengths_as_the_shop_writes_them() {
    for (text, mm) in [
        ("28.5 mm", 28.5),
        ("28,5 mm", 28.5),
        ("28.5mm", 28.5),
        ("2.85 cm", 28.5),
        (".5 in", 12.7),
        ("0,125 in", 3.175),
        ("1.2 m", 1200.0),
        ("1-1/8\"", 28.575),
        ("1-1/8 in", 28.575),
        ("1 1/8 in", 28.575),
        ("1  1/8in", 28.575),
        ("1\u{2013}1/8 in", 28.575),
        ("9/8 in", 28.575),
        ("3/16 in", 4.7625),
        ("\u{bd} in", 12.7),
        ("1\u{bd} in", 38.1),
        ("1\u{215b}\"", 28.575),
        ("1 \u{215b} in", 28.575),
        ("1-\u{215b}\u{2033}", 28.575),
        ("1 1\u{2044}8 in", 28.575),
        ("1'-2 3/4\"", 374.65),
        ("1'-2-3/4\"", 374.65),
        ("1' 2 3/4\"", 374.65),
        ("1\u{2032} 2\u{be}\u{2033}", 374.65),
        ("5 ft 3 in", 1600.2),
        ("5ft3in", 1600.2),
        ("5' 3''", 1600.2),
        ("5'", 1524.0),
        ("1'-0\"", 304.8),
        ("-1'-2 3/4\"", -374.65),
        ("\u{2212}3 mm", -3.0),
        ("12 thou", 0.3048),
        ("1e-3 m", 1.0),
    ] {
        assert!(
            near(length_mm(text), mm),
            "{text} is {} mm, not {mm}",
            length_mm(text)
        );
    }
}

#[test]
fn angles_forces_masses_and_stresses() {
    assert!(near(
        value_of("25 deg").angle_rad().expect("angle"),
        25_f64.to_radians()
    ));
    assert!(near(
        value_of("25\u{b0}").angle_rad().expect("angle"),
        25_f64.to_radians()
    ));
    assert!(near(
        value_of("30\u{b0} 15'").angle_rad().expect("angle"),
        30.25_f64.to_radians()
    ));
    assert!(near(
        value_of("30\u{b0}15\u{2032}36\u{2033}")
            .angle_rad()
            .expect("angle"),
        30.26_f64.to_radians()
    ));
    assert!(near(value_of("0.5 rad").angle_rad().expect("angle"), 0.5));
    assert!(near(value_of("1.2 kN").force_n().expect("force"), 1200.0));
    assert!(near(
        value_of("10 lbf").force_n().expect("force"),
        44.482_216_152_605
    ));
    assert!(near(value_of("10 kgf").force_n().expect("force"), 98.0665));
    assert!(near(
        value_of("2 lb 8 oz").mass_kg().expect("mass"),
        2.5 * 0.453_592_37
    ));
    assert!(near(value_of("850 g").mass_kg().expect("mass"), 0.85));
    assert!(near(value_of("0.07 GPa").stress_mpa().expect("stress"), 70.0));
    assert!(near(value_of("5 N/mm2").stress_mpa().expect("stress"), 5.0));
    // NIST SP 811, appendix B: 1 ksi = 6.894 757 MPa.
    assert!((value_of("31 ksi").stress_mpa().expect("stress") - 31.0 * 6.894_757).abs() < 1e-4);
}

#[test]
fn a_force_over_an_area_is_a_stress_and_a_moment_over_an_arm_is_a_force() {
    assert!(near(
        value_of("100 N / (5 mm * 4 mm)").stress_mpa().expect("stress"),
        5.0
    ));
    assert!(near(
        value_of("12 N * 1 m / 300 mm").force_n().expect("force"),
        40.0
    ));
}

#[test]
fn moments_and_stiffnesses_as_torque_wrenches_and_springs_are_marked() {
    let moment = |text: &str| value_of(text).moment_n_mm().expect("a moment");
    for text in [
        "20 N m",
        "20 Nm",
        "20 N-m",
        "20 N\u{b7}m",
        "20 N * 1 m",
        "2000 N cm",
        "20000 Nmm",
        "0.02 kN m",
    ] {
        assert!(near(moment(text), 20_000.0), "{text}: {}", moment(text));
    }
    // NIST SP 811, appendix B: 1 lbf ft = 1.355 818 N m, 1 lbf in = 0.112 984 8 N m, 1 kgf m = 9.806 65 N m.
    for (text, n_mm) in [
        ("1 lbf ft", 1355.818),
        ("1 ft-lbf", 1355.818),
        ("1 ft-lb", 1355.818),
        ("1 lb ft", 1355.818),
        ("1 lbf in", 112.984_8),
        ("1 in-lb", 112.984_8),
        ("1 kgf m", 9806.65),
    ] {
        assert!(
            (moment(text) / n_mm - 1.0).abs() < 5e-7,
            "{text}: {}",
            moment(text)
        );
    }
    let stiffness = |text: &str| value_of(text).as_kind(Dim::STIFFNESS);
    assert_eq!(stiffness("12 N/mm"), Ok(12.0));
    assert!(near(
        stiffness("1 lbf/in").expect("a stiffness"),
        4.448_221_615_260_5 / 25.4
    ));
    let turn = value_of("3 N m/deg").as_kind(Dim::TURN_STIFFNESS);
    assert!(near(turn.expect("a stiffness"), 3000.0 / 1f64.to_radians()));
}

#[test]
fn a_mass_and_a_length_apart_are_no_moment() {
    assert_eq!(value_of("2 lb * 1 in").dim.to_string(), "a quantity in mm kg");
    let says = value_of("5 kg").moment_n_mm().expect_err("a mass").to_string();
    assert_eq!(says, "this is a mass, and a moment is wanted here");
    let says = value_of("5").moment_n_mm().expect_err("a number").to_string();
    assert!(says.ends_with("write 5 N m or 5 lbf ft"), "{says}");
    assert!(Expr::parse("5 N kg", None).is_err());
    assert!(Expr::parse("5 N - m", None).is_err());
}

fn refused(text: &str) -> (ParseProblem, String, Vec<String>) {
    let error = Expr::parse(text, None)
        .err()
        .unwrap_or_else(|| panic!("{text} is not refused"));
    (error.problem, text[error.at].to_owned(), error.fixes)
}

#[test]
fn what_can_be_read_two_ways_is_refused_with_both() {
    for (text, problem, at, fixes) in [
        (
            "1 - 1/8 in",
            ParseProblem::AndOrMinus,
            "1 - 1/8 in",
            vec!["1-1/8 in", "1 in - (1/8 in)"],
        ),
        (
            "1\u{2212}1/8 in",
            ParseProblem::AndOrMinus,
            "1\u{2212}1/8",
            vec!["1-1/8 in"],
        ),
        (
            "5 ft - 3 in",
            ParseProblem::FeetOrMinus,
            "5 ft - 3 in",
            vec!["5 ft 3 in", "(5 ft) - 3 in"],
        ),
        ("5/16-18", ParseProblem::CloseDash, "5/16-18", vec!["5/16 - 18"]),
        ("wrist*2-3", ParseProblem::CloseDash, "2-3", vec!["wrist*2 - 3"]),
        (
            "wrist/2-1/8 in",
            ParseProblem::AndAfterOperator,
            "2-1/8 in",
            vec!["wrist/(2-1/8 in)", "wrist/2 - (1/8 in)"],
        ),
        (
            "8 in / 2/4",
            ParseProblem::FractionAfterDivision,
            "2/4",
            vec!["8 in / (2/4)"],
        ),
        (
            "3 / 8 in",
            ParseProblem::SpacedFraction,
            "3 / 8 in",
            vec!["3/8 in", "3 / (8 in)"],
        ),
        (
            "1,125 in",
            ParseProblem::ThousandsComma,
            "1,125",
            vec!["1.125 in", "1125 in"],
        ),
        (
            "max(1,5)",
            ParseProblem::CommaInFunction,
            "1,5",
            vec!["max(1, 5)"],
        ),
        (
            "max(1,5; 2)",
            ParseProblem::CommaInFunction,
            "1,5",
            vec!["max(1, 5; 2)", "max(1.5; 2)"],
        ),
    ] {
        let (found, found_at, found_fixes) = refused(text);
        assert_eq!((found, found_at.as_str()), (problem, at), "{text}");
        assert_eq!(found_fixes, fixes, "{text}");
    }
}

#[test]
fn slips_are_refused_at_their_place() {
    for (text, problem, at) in [
        ("", ParseProblem::Empty, ""),
        (
            "3 MM",
            ParseProblem::UnknownUnit {
                word: "MM".to_owned(),
            },
            "MM",
        ),
        (
            "2 wrist",
            ParseProblem::UnknownUnit {
                word: "wrist".to_owned(),
            },
            "wrist",
        ),
        ("3 in +", ParseProblem::NoValue { found: None }, ""),
        ("3 in + )", ParseProblem::NoValue { found: Some(')') }, ")"),
        ("3 in )", ParseProblem::Stray { found: ')' }, ")"),
        ("(3 in", ParseProblem::Unclosed, "(3 in"),
        ("3.", ParseProblem::BarePoint, "3."),
        ("1.000,5 mm", ParseProblem::SeveralPoints, "1.000,5"),
        ("1/0 in", ParseProblem::OverZero, "1/0"),
        ("1-9/8 in", ParseProblem::ImproperFraction, "1-9/8"),
        ("5 ft 14 in", ParseProblem::SmallerTooLarge { limit: 12 }, "14"),
        ("5.5 ft 3 in", ParseProblem::LargerNotWhole, "5.5 ft 3 in"),
        ("6'3", ParseProblem::NoInchMark, "3"),
        ("1 m 20 cm", ParseProblem::SideBySide, "1 m 20"),
        (
            "in",
            ParseProblem::UnitAlone {
                word: "in".to_owned(),
            },
            "in",
        ),
        ("1e999 mm", ParseProblem::TooLarge, "1e999"),
    ] {
        let (found, found_at, _) = refused(text);
        assert_eq!((found, found_at.as_str()), (problem, at), "{text}");
    }
}

#[test]
fn the_fix_for_a_slip_can_be_pasted() {
    for (text, fix) in [
        ("3 MM", "3 mm"),
        ("2 wrist", "2 * wrist"),
        ("6'3", "6'3 in"),
        ("(3 in", "(3 in)"),
        ("mx(a, b)", "max(a, b)"),
        ("3. mm", "3 mm"),
        ("1 000 mm", "1000 mm"),
        ("28.5 milimeter", "28.5 millimeter"),
    ] {
        assert_eq!(refused(text).2.first().map(String::as_str), Some(fix), "{text}");
    }
}

#[test]
fn sums_on_measures_and_functions() {
    let measures = BTreeMap::from([
        ("wrist".to_owned(), Quantity::from_mm(60.0)),
        ("pad_out".to_owned(), Quantity::from_mm(50.0)),
        ("tilt".to_owned(), Quantity::from_deg(30.0)),
    ]);
    let mm = |text: &str| {
        let sum = Expr::parse(text, None).unwrap_or_else(|error| panic!("{text}: {error}"));
        let value = sum
            .eval_in(&measures)
            .unwrap_or_else(|error| panic!("{text}: {error}"));
        value
            .length_mm()
            .unwrap_or_else(|error| panic!("{text}: {error}"))
    };
    for (text, wanted) in [
        ("pad_out + 3/8 in", 59.525),
        ("wrist / 2", 30.0),
        ("2 * wrist", 120.0),
        ("max(wrist, pad_out)", 60.0),
        ("min(wrist; 2 in)", 50.8),
        ("wrist - 1/8 in", 56.825),
        ("wrist-1/8 in", 56.825),
        ("wrist - 1-1/8 in", 31.425),
        ("wrist/2 - 1/8 in", 26.825),
        ("2 * (1-1/8 in)", 57.15),
        ("wrist * sin(tilt)", 30.0),
        ("hypot(3 in, 4 in)", 127.0),
        ("sqrt(wrist * wrist)", 60.0),
        ("abs(pad_out - wrist)", 10.0),
        ("round_up(wrist, 1/4 in)", 63.5),
        ("round_down(wrist, 1/4 in)", 57.15),
        ("round_near(wrist, 25 mm)", 50.0),
        ("round_up(3/8 in, 1/8 in)", 9.525),
        ("arc(wrist, 180 deg)", 60.0 * std::f64::consts::PI),
        ("wrist * tan(atan2(3 mm, 4 mm))", 45.0),
        ("(wrist + 28,5 mm) * 2", 177.0),
        ("--wrist", 60.0),
        ("wrist * 50 %", 30.0),
        ("wrist + 0", 60.0),
        ("3 in/8", 9.525),
        ("6 in / 3/8 in * 1 mm", 16.0),
    ] {
        assert!(near(mm(text), wanted), "{text} is {}, not {wanted}", mm(text));
    }
}

#[test]
fn kinds_that_do_not_go_together_are_both_named() {
    let measures = BTreeMap::from([("wrist".to_owned(), Quantity::from_mm(60.0))]);
    for (text, says, at) in [
        (
            "wrist + 30 deg",
            "a length and an angle cannot be added",
            "wrist + 30 deg",
        ),
        (
            "3 kg - 2 N",
            "a mass and a force cannot be subtracted",
            "3 kg - 2 N",
        ),
        (
            "wrist + 3",
            "a length and a number cannot be added: write the unit of 3",
            "3",
        ),
        (
            "1 mm + max(wrist, 2 kg)",
            "max takes values of one kind, not a length and a mass",
            "max(wrist, 2 kg)",
        ),
        (
            "sin(30)",
            "sin takes an angle, and this is a number: write 30 deg",
            "30",
        ),
        (
            "sqrt(wrist)",
            "a length has no square root; an area or a number has",
            "sqrt(wrist)",
        ),
        ("wrist / (1 - 1)", "this divides by zero", "wrist / (1 - 1)"),
        ("sqrt(0 - 4)", "sqrt has no value at -4", "sqrt(0 - 4)"),
        (
            "tan(90 deg)",
            "tan has no value at 1.5707963267948966",
            "tan(90 deg)",
        ),
        (
            "wirst / 2",
            "no measure is called `wirst`; did you mean `wrist`?",
            "wirst",
        ),
    ] {
        let sum = Expr::parse(text, None).unwrap_or_else(|error| panic!("{text}: {error}"));
        let error = sum.eval_in(&measures).expect_err(text);
        assert_eq!((error.to_string().as_str(), &text[error.at]), (says, at));
    }
}

#[test]
fn what_a_sum_lacks_is_offered_as_a_whole_text() {
    let measures = BTreeMap::from([("wrist".to_owned(), Quantity::from_mm(60.0))]);
    for (text, fixes) in [
        ("wrist + 3/8", vec!["wrist + 3/8 mm", "wrist + 3/8 in"]),
        ("2 - wrist", vec!["2 mm - wrist", "2 in - wrist"]),
        (
            "max(wrist, 1 + 2)",
            vec!["max(wrist, (1 + 2) * 1 mm)", "max(wrist, (1 + 2) * 1 in)"],
        ),
        ("wrist * sin(30)", vec!["wrist * sin(30 deg)"]),
        ("arc(wrist, 90)", vec!["arc(wrist, 90 deg)"]),
        ("wirst / 2", vec!["wrist / 2"]),
        ("wrist + 30 deg", vec![]),
    ] {
        let sum = Expr::parse(text, None).unwrap_or_else(|error| panic!("{text}: {error}"));
        let error = sum.eval_in(&measures).expect_err(text);
        assert_eq!(sum.fixes(&error), fixes, "{text}");
        for fix in fixes {
            let again = Expr::parse(fix, None).unwrap_or_else(|error| panic!("{fix}: {error}"));
            assert!(again.eval_in(&measures).is_ok(), "{fix}");
        }
    }
}

#[test]
fn bare_numbers_in_a_file_that_declares_inches() {
    let measures = BTreeMap::from([
        ("wrist".to_owned(), Quantity::from_mm(60.0)),
        ("share".to_owned(), Quantity::from_number(0.5)),
        ("tilt".to_owned(), Quantity::from_deg(30.0)),
    ]);
    let mm = |text: &str| {
        let sum = Expr::parse(text, Some(LengthUnit::In)).unwrap_or_else(|error| panic!("{text}: {error}"));
        sum.eval_in(&measures)
            .unwrap_or_else(|error| panic!("{text}: {error}"))
            .length_mm()
    };
    for (text, wanted) in [
        ("4.5", 114.3),
        ("1-1/8", 28.575),
        ("0", 0.0),
        ("2 * 3/8", 19.05),
        ("4 + 1/2", 114.3),
        ("wrist + 3", 136.2),
        ("3 - wrist", 16.2),
        ("2 * wrist + 1", 145.4),
        ("max(wrist, 3)", 76.2),
        ("share * 3", 38.1),
        ("3 * sin(tilt)", 38.1),
        ("hypot(3, 4)", 127.0),
        ("28.5 mm", 28.5),
        ("wrist / 2", 30.0),
    ] {
        let got = mm(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert!(near(got, wanted), "{text} is {got}, not {wanted}");
    }
    assert!(mm("share * 1 times").is_err(), "a plain number is no length");
    assert!(mm("wrist * 3 in").is_err(), "an area is no length");
    let k = Expr::parse("0.44", Some(LengthUnit::In))
        .expect("a number")
        .value()
        .expect("no names");
    assert_eq!(
        k.number(),
        Ok(0.44),
        "where a number is wanted, a bare number is one"
    );
}

#[test]
fn names_are_told_and_the_text_is_kept() {
    let sum = Expr::parse(" max(b, a) + b/2", None).expect("a sum");
    assert_eq!(sum.names().into_iter().collect::<Vec<_>>(), ["a", "b"]);
    assert!(!sum.is_plain());
    assert_eq!(sum.text(), " max(b, a) + b/2");
    assert!(Expr::parse("3 in + 4 mm", None).expect("a sum").is_plain());
}

#[test]
fn brackets_beyond_reason_and_endless_texts_are_refused_not_followed() {
    let deep = format!("{}1 mm{}", "(".repeat(400), ")".repeat(400));
    assert!(matches!(refused(&deep).0, ParseProblem::TooDeep { .. }));
    let long = format!("1 mm{}", " + 1 mm".repeat(10_000));
    assert!(matches!(refused(&long).0, ParseProblem::TooLong { .. }));
    assert!(near(length_mm(&format!("{}1 mm", "-".repeat(900))), 1.0));
}
