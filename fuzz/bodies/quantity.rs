//! What must hold when any bytes are read as a quantity. Shared by the fuzz target and the smoke test.

use units::{DrillSize, Expr, Gauge, LengthUnit, Quantity, StockText, Thread};

/// Reads the bytes in every way that the `units` room reads text, and panics with the broken promise if one is broken.
pub fn check(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    for bare in [None, Some(LengthUnit::In), Some(LengthUnit::Mm)] {
        check_sum(text, bare);
    }
    check_stock(text);
    if let Ok(thread) = Thread::parse(text) {
        assert_eq!(
            Thread::parse(thread.designation()),
            Ok(thread),
            "a thread reads back by its designation"
        );
    }
    if let Ok(drill) = DrillSize::parse(text) {
        let again = DrillSize::parse(&drill.to_string());
        assert_eq!(again.as_ref(), Ok(&drill), "a drill reads back by its name");
        assert!(drill.dia_mm() > 0.0, "a drill has a diameter");
    }
    if let Ok(gauge) = Gauge::parse(text) {
        assert_eq!(
            Gauge::parse(&gauge.to_string()),
            Ok(gauge),
            "a gauge reads back as printed"
        );
    }
}

fn check_sum(text: &str, bare: Option<LengthUnit>) {
    let sum = match Expr::parse(text, bare) {
        Ok(sum) => sum,
        Err(error) => {
            assert!(
                text.get(error.at.clone()).is_some(),
                "an error stands on characters of its text: {error:?}"
            );
            for fix in &error.fixes {
                assert!(
                    Expr::parse(fix, bare).is_ok(),
                    "a fix parses: `{fix}` for `{text}`"
                );
            }
            let _ = (error.to_string(), error.expected());
            return;
        }
    };
    assert_eq!(sum.text(), text, "what was typed is kept");
    assert_eq!(
        sum.is_plain(),
        sum.names().is_empty(),
        "a plain sum is one without names"
    );
    let lookup = |name: &str| match name.len() % 3 {
        0 => Some(Quantity::from_mm(name.len() as f64)),
        1 => Some(Quantity::from_deg(30.0)),
        _ => None,
    };
    match sum.eval(&lookup) {
        Ok(value) => {
            assert!(value.value.is_finite(), "a result is finite");
            let printed = value.to_string();
            // A kind of very many factors prints longer than any text is read.
            if let Ok(again) = Expr::parse(&printed, None) {
                assert_eq!(
                    again.value(),
                    Ok(value),
                    "a quantity reads back as printed: {printed}"
                );
            }
        }
        Err(error) => {
            assert!(
                text.get(error.at.clone()).is_some(),
                "an error stands on characters of its text: {error:?}"
            );
            for fix in sum.fixes(&error) {
                assert!(
                    Expr::parse(&fix, bare).is_ok(),
                    "a fix parses: `{fix}` for `{text}`"
                );
            }
            let _ = error.to_string();
        }
    }
}

fn check_stock(text: &str) {
    match StockText::parse(text) {
        Ok(stock) => {
            assert_eq!(
                text.get(stock.metal_at),
                Some(stock.metal.as_str()),
                "the metal stands where it is said to"
            );
            assert!(
                text.get(stock.thickness_at).is_some(),
                "the thickness stands where it is said to"
            );
        }
        Err(error) => {
            assert!(
                text.get(error.at.clone()).is_some(),
                "an error stands on characters of its text: {error:?}"
            );
            for fix in &error.fixes {
                assert!(
                    StockText::parse(fix).is_ok(),
                    "a fix parses: `{fix}` for `{text}`"
                );
            }
        }
    }
}
