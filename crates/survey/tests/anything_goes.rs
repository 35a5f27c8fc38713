//! Mark-outs as no one would draw them: whatever is typed, the answer is points or a typed error, and an answer keeps
//! its promises.

use proptest::prelude::*;
use survey::{AdjustOptions, Mark, MarkOut, Of, Reading, Side, Value, Writing, find_slips};

fn cases() -> ProptestConfig {
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(200);
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Few, round numbers: coincidences, parallels and tangencies come up often.
fn value() -> impl Strategy<Value = Value> {
    let number = prop_oneof![
        8 => prop::sample::select(vec![10.0, 30.0, 40.0, 50.0]),
        1 => prop::sample::select(vec![-30.0, 0.0, 1e9]),
    ];
    (number, 0..10_usize).prop_map(|(v, sure)| {
        let about = 0;
        match sure {
            0 => Value::exact(v, about),
            1 => Value::start(v, about),
            _ => Value::read(v, 0.5, about),
        }
    })
}

/// A point is found from earlier ones, so that most mark-outs get as far as being drawn.
fn name(before: usize) -> impl Strategy<Value = String> {
    (0..before).prop_map(|i| format!("P{i}"))
}

fn line(before: usize) -> impl Strategy<Value = [String; 2]> {
    [name(before), name(before)]
}

fn side() -> impl Strategy<Value = Side> {
    prop::sample::select(vec![Side::Left, Side::Right])
}

/// Three points somewhere sensible, most of them held.
fn anchors() -> impl Strategy<Value = Vec<Mark>> {
    let number = |v: f64| {
        (0..4_usize).prop_map(move |sure| match sure {
            0 => Value::read(v, 0.5, 0),
            1 => Value::start(v, 0),
            _ => Value::exact(v, 0),
        })
    };
    let at = move |x: f64, y: f64| (number(x), number(y)).prop_map(|(x, y)| Mark::At { x, y });
    (at(0.0, 0.0), at(50.0, 0.0), at(10.0, 40.0)).prop_map(|(a, b, c)| vec![a, b, c])
}

fn mark(before: usize) -> impl Strategy<Value = Mark> {
    prop_oneof![
        4 => (value(), value()).prop_map(|(x, y)| Mark::At { x, y }),
        1 => (value(), value(), value()).prop_map(|(x, y, z)| Mark::InSpace { x, y, z }),
        1 => (name(before), name(before), value(), value())
            .prop_map(|(from, toward, along, off)| Mark::Offset { from, toward, along, off }),
        1 => (name(before), value(), value(), prop::option::of(line(before)))
            .prop_map(|(from, reach, angle, of)| Mark::Polar { from, reach, angle, of }),
        1 => (name(before), value(), name(before), value(), side())
            .prop_map(|(a, ra, b, rb, side)| Mark::Swing { a, ra, b, rb, side }),
        1 => (line(before), line(before)).prop_map(|(first, second)| Mark::Crossing { first, second }),
        1 => (name(before), line(before)).prop_map(|(of, on)| Mark::Foot { of, on }),
        1 => line(before).prop_map(Mark::Middle),
        1 => (name(before), line(before)).prop_map(|(of, over)| Mark::Mirror { of, over }),
        1 => (name(before), name(before), value(), side())
            .prop_map(|(from, round, radius, side)| Mark::Tangent { from, round, radius, side }),
    ]
}

fn reading(before: usize) -> impl Strategy<Value = Reading> {
    let of = prop_oneof![
        name(before).prop_map(Of::X),
        name(before).prop_map(Of::Z),
        line(before).prop_map(Of::Distance),
        line(before).prop_map(Of::Direction),
        [name(before), name(before), name(before)].prop_map(Of::Corner),
        [name(before), name(before), name(before)].prop_map(Of::Turn),
        (line(before), line(before)).prop_map(|(a, b)| Of::Between(a, b)),
        (name(before), line(before)).prop_map(|(point, line)| Of::Off { point, line }),
        (name(before), line(before)).prop_map(|(point, line)| Of::Along { point, line }),
    ];
    (of, value()).prop_map(|(of, value)| Reading::new(of, value))
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn whatever_is_typed_is_answered(
        anchors in anchors(),
        rest in (mark(3), mark(4), mark(5)),
        readings in prop::collection::vec(reading(6), 0..6),
    ) {
        let marks = anchors.into_iter().chain([rest.0, rest.1, rest.2]);
        let points = marks.enumerate().map(|(i, m)| (format!("P{i}"), m)).collect();
        let Ok(mark_out) = MarkOut::new(points) else { return Ok(()) };
        let Ok(places) = mark_out.place() else { return Ok(()) };
        prop_assert!(places.iter().all(|p| p.iter().all(|v| v.is_finite())));
        let found = find_slips(&mark_out, &readings, AdjustOptions::default(), Writing::unknown(), 0.5);
        let Ok(found) = found else { return Ok(()) };
        let all = found.all;
        prop_assert!(all.points.iter().all(|p| p.iter().all(|v| v.is_finite())));
        for reading in &all.readings {
            prop_assert!(reading.residual.is_finite() && reading.adjusted_sd.is_finite());
            prop_assert!((0.0..=1.0).contains(&reading.redundancy));
        }
        let next = all.next_readings(&[], 0.5, 3);
        prop_assert!(next.iter().all(|n| n.gain.is_finite() && n.predicted_sd_mm.is_finite()));
    }
}
