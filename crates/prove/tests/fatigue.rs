//! Life under loads that come and go, as published, and what must hold of every life.

use handbook::{FatigueCategory, FatigueDetail, FatigueGroup, Handbook};
use proptest::prelude::*;
use prove::fatigue::{Block, Curve, Spread, class_step, damage, life_band};
use published::{row, rows, rows_starting};

/// EN 1993-1-9: slopes 3 and 5, knee at 5 million, cut-off at 100 million.
fn steel(category_mpa: f64) -> Curve {
    Curve::from(FatigueCategory {
        category_mpa,
        slope: 3.0,
        knee_cycles: 5e6,
        slope_beyond: 5.0,
        cut_off_cycles: 1e8,
    })
}

#[test]
fn knee_and_cut_off() {
    let curve = steel(1.0);
    row("F001").check(curve.knee_mpa());
    row("F002").check(curve.cut_off_mpa());
    row("F003").check(curve.cut_off_mpa() / curve.knee_mpa());
}

#[test]
fn cycles_of_category_80() {
    let by_table = Handbook::builtin()
        .fatigue_category(FatigueGroup::Steel, FatigueDetail::TransverseTo50)
        .expect("steel")
        .value;
    for row in rows_starting("cycles to failure, category 80") {
        row.check(steel(80.0).cycles(row.number("range")));
        row.check(Curve::from(by_table).cycles(row.number("range")));
    }
    let row = &rows("below cut-off, category 80")[0];
    assert_eq!((row.id.as_str(), row.expected.as_str()), ("F011", "inf"));
    assert_eq!(steel(80.0).cycles(row.number("range")), f64::INFINITY);
}

#[test]
fn the_sum_of_four_blocks() {
    let row = row("F012");
    let blocks: Vec<Block> = row
        .text("blocks")
        .split('|')
        .map(|block| {
            let (range, cycles) = block.split_once(':').expect("range:cycles");
            Block {
                range_mpa: range.parse().expect("a range"),
                cycles: cycles.parse().expect("cycles"),
            }
        })
        .collect();
    row.check(damage(&steel(80.0), &blocks));
}

#[test]
fn a_class_up_is_the_next_of_the_standard_ones() {
    for (from, to) in [(36.0, 40.0), (71.0, 80.0), (80.0, 90.0), (112.0, 125.0)] {
        let step: f64 = to / from;
        assert!((step / class_step() - 1.0).abs() < 0.012, "{from} to {to}");
    }
}

#[test]
fn a_weld_toe_that_is_pushed_a_thousand_times_a_day() {
    // 60 MPa a thousand times a day on category 80: 4.74 million cycles, 4741 days.
    let push = Block {
        range_mpa: 60.0,
        cycles: 1000.0,
    };
    let band = life_band(steel(80.0), &[push], &Spread::default());
    assert!((band.middle.days - 4740.74).abs() < 0.01, "{band:?}");
    assert!((band.middle.years(250.0) - 18.963).abs() < 0.001);
    assert!(band.short.days < 0.45 * band.middle.days && band.long.days > 2.0 * band.middle.days);
    assert!(steel(80.0).cycles(f64::NAN).is_nan());
    let nothing = life_band(steel(80.0), &[], &Spread::default());
    assert!(nothing.short.days.is_infinite());
}

fn cases() -> ProptestConfig {
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(64);
    ProptestConfig::with_cases(cases)
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn more_stress_never_lasts_longer(a in 1.0..400.0f64, b in 1.0..400.0f64) {
        let book = Handbook::builtin();
        for detail in FatigueDetail::ALL.iter().copied() {
            for group in [FatigueGroup::Steel, FatigueGroup::Aluminium] {
                let Ok(category) = book.fatigue_category(group, detail) else { continue };
                let curve = Curve::from(category.value);
                prop_assert!(curve.cycles(a.max(b)) <= curve.cycles(a.min(b)));
            }
        }
    }

    #[test]
    fn a_category_and_a_load_scaled_alike_last_alike(range in 10.0..300.0f64, scale in 0.2..5.0f64) {
        let (one, other) = (steel(80.0).cycles(range), steel(80.0 * scale).cycles(range * scale));
        prop_assert!(one == other || (one / other - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_day_twice_as_long_is_half_the_life(range in 40.0..300.0f64, cycles in 1.0..1e5f64) {
        let days = |n: f64| {
            let block = Block { range_mpa: range, cycles: n };
            life_band(steel(80.0), &[block], &Spread::default()).middle.days
        };
        prop_assert!((days(cycles) / days(2.0 * cycles) - 2.0).abs() < 1e-9);
    }
}
