//! What must hold for every quantity and every text. GUSSET_CASES raises the number of cases.

#[path = "../../../fuzz/bodies/quantity.rs"]
mod promises;

use proptest::prelude::*;
use units::{Dim, Expr, LengthUnit, Quantity, inch64};

fn cases(usual: u32) -> ProptestConfig {
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|count| count.parse().ok())
        .unwrap_or(usual);
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

fn kind() -> impl Strategy<Value = Dim> {
    let power = -3_i8..=3;
    (power.clone(), power.clone(), power.clone(), power).prop_map(|(length, angle, force, mass)| Dim {
        length,
        angle,
        force,
        mass,
    })
}

/// Values from far below a wavelength to far above any workpiece, and any finite value at times.
fn value() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -1e4..1e4_f64,
        1 => prop::num::f64::NORMAL | prop::num::f64::SUBNORMAL | prop::num::f64::ZERO,
    ]
}

fn read(text: &str) -> Quantity {
    let sum = Expr::parse(text, None).unwrap_or_else(|error| panic!("{text}: {error}"));
    sum.value().unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// Characters that the grammar knows, so that random texts get past its first letter.
fn shop_text() -> impl Strategy<Value = String> {
    let part = prop_oneof![
        Just(" ".to_owned()),
        "[0-9]{1,3}".prop_map(|digits| digits),
        prop::sample::select(vec![
            "-", "/", "1/8", "1-1/8", ",", ".", ";", "(", ")", "+", "*", "'", "\"", "mm", "in", "ft", "deg",
            "\u{b0}", "N", "kg", "lb", "oz", "max(", "sqrt(", "sin(", "a", "wrist", "\u{bd}", "\u{2032}",
            "\u{2212}", "\u{2013}", "e5", "x", "%", "MPa", "#", "M6", "UNC", "ga", "mm2",
        ])
        .prop_map(str::to_owned),
    ];
    prop::collection::vec(part, 0..12).prop_map(|parts| parts.concat())
}

proptest! {
    #![proptest_config(cases(500))]

    #[test]
    fn what_is_printed_reads_back_to_the_last_bit(value in value(), dim in kind()) {
        let quantity = Quantity::new(value, dim);
        prop_assert_eq!(read(&quantity.to_string()), quantity, "{}", quantity);
    }

    #[test]
    fn any_text_is_read_or_refused_within_its_own_characters(text in "\\PC{0,40}") {
        promises::check(text.as_bytes());
    }

    #[test]
    fn any_text_of_shop_signs_is_read_or_refused_within_its_own_characters(text in shop_text()) {
        promises::check(text.as_bytes());
    }

    #[test]
    fn sixty_fourths_with_their_remainder_sum_to_the_length(length_mm in -2e4..2e4_f64) {
        let again_mm = read(&inch64(length_mm)).length_mm().expect("a length");
        // The remainder is printed to a thousandth, so it is out by no more than half of one.
        prop_assert!((again_mm - length_mm).abs() <= 0.0005 * 25.4 + 1e-9, "{} is {again_mm}", inch64(length_mm));
    }

    #[test]
    fn a_sum_comes_out_the_same_in_any_units(a in 0.0..500.0_f64, b in 0.0..500.0_f64, factor in 0.1..10.0_f64) {
        let in_mm = read(&format!("{factor} * ({a} mm + {b} mm) - hypot({a} mm, {b} mm)"));
        for (unit, per_mm) in [("in", 25.4), ("ft", 304.8), ("cm", 10.0), ("m", 1000.0), ("thou", 0.0254)] {
            let (one, two) = (a / per_mm, b / per_mm);
            let other = read(&format!("{factor} * ({one} {unit} + {two} {unit}) - hypot({one} {unit}, {two} {unit})"));
            prop_assert_eq!(other.dim, Dim::LENGTH);
            prop_assert!((other.value - in_mm.value).abs() < 1e-9 * (1.0 + (a + b) * factor));
        }
    }

    #[test]
    fn a_bare_sum_in_a_declared_unit_is_the_sum_with_that_unit_written(a in 0_u16..999, b in 1_u16..64) {
        for unit in LengthUnit::ALL {
            let (bare, said) = (format!("{a} {b}/64 + 2 * {b}"), format!("{a} {b}/64 x + 2 * {b} x"));
            let bare = Expr::parse(&bare, Some(unit)).expect("a sum").value().expect("plain").length_mm();
            let said = read(&said.replace('x', unit.symbol())).length_mm();
            let (bare, said) = (bare.expect("a length"), said.expect("a length"));
            prop_assert!((bare - said).abs() <= 1e-12 * said, "{bare} {said}");
        }
    }

    #[test]
    fn every_way_of_writing_a_mixed_inch_is_the_same_length(whole in 1_u16..200, over in 1_u16..64) {
        let length_mm = (f64::from(whole) + f64::from(over) / 64.0) * 25.4;
        let decimal = f64::from(whole) + f64::from(over) / 64.0;
        let (feet, inches) = (whole / 12, whole % 12);
        for text in [
            format!("{whole}-{over}/64 in"),
            format!("{whole} {over}/64\""),
            format!("{decimal} in"),
            format!("{feet}'-{inches} {over}/64\""),
            format!("{feet} ft {inches}-{over}/64 in"),
            format!("{whole} in + {over}/64 in"),
        ] {
            let got = read(&text).length_mm().expect("a length");
            prop_assert!((got - length_mm).abs() < 1e-9, "{text} is {got}");
        }
    }
}
