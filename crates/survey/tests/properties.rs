//! What must hold of every adjustment, on random braced quadrilaterals.

use std::f64::consts::PI;

use proptest::prelude::*;
use survey::{AdjustOptions, Adjusted, Mark, MarkOut, Of, Reading, Value, Writing, adjust, find_slips};

/// Cases of each property; GUSSET_CASES raises them.
fn cases() -> ProptestConfig {
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(48);
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// A card of four corners with every side, diagonal and corner angle read.
#[derive(Debug, Clone)]
struct Card {
    corners: [[f64; 2]; 4],
    /// Errors of the ten readings, in standard deviations.
    errors: [f64; 10],
}

const DISTANCE_SD: f64 = 0.5;
const ANGLE_SD: f64 = 0.003;
const NAMES: [&str; 4] = ["A", "B", "C", "D"];

fn card() -> impl Strategy<Value = Card> {
    let near = |x: f64, y: f64| [x - 60.0..x + 60.0, y - 60.0..y + 60.0];
    let corners = (200.0..420.0_f64, near(300.0, 250.0), near(0.0, 250.0))
        .prop_map(|(b, c, d)| [[0.0, 0.0], [b, 0.0], c, d]);
    (corners, prop::array::uniform10(-1.0..1.0_f64)).prop_map(|(corners, errors)| Card { corners, errors })
}

fn of(index: usize) -> Of {
    let name = |i: usize| NAMES[i % 4].to_owned();
    match index {
        0..4 => Of::Distance([name(index), name(index + 1)]),
        4 => Of::Distance([name(0), name(2)]),
        5 => Of::Distance([name(1), name(3)]),
        _ => Of::Corner([name(index - 6), name(index - 5), name(index - 4)]),
    }
}

impl Card {
    fn truth(&self, index: usize) -> f64 {
        let apart = |i: usize, j: usize| {
            let (p, q) = (self.corners[i % 4], self.corners[j % 4]);
            [q[0] - p[0], q[1] - p[1]]
        };
        let length = |v: [f64; 2]| v[0].hypot(v[1]);
        match index {
            0..4 => length(apart(index, index + 1)),
            4 => length(apart(0, 2)),
            5 => length(apart(1, 3)),
            _ => {
                let (a, b) = (apart(index - 5, index - 6), apart(index - 5, index - 4));
                ((a[0] * b[0] + a[1] * b[1]) / (length(a) * length(b))).acos()
            }
        }
    }

    fn readings(&self) -> Vec<Reading> {
        (0..10)
            .map(|i| {
                let sd = if i < 6 { DISTANCE_SD } else { ANGLE_SD };
                let value = self.truth(i) + self.errors[i] * sd;
                Reading::new(of(i), Value::read(value, sd, i))
            })
            .collect()
    }

    /// Corners as rough starts, A held.
    fn points(&self, held: [f64; 2], place: impl Fn([f64; 2]) -> [f64; 2]) -> Vec<(String, Mark)> {
        (0..4)
            .map(|i| {
                let [x, y] = place(self.corners[i]);
                let value = |v: f64, by: f64| Value::start(v + by, 0);
                let mark = if i == 0 {
                    Mark::At {
                        x: Value::exact(held[0], 0),
                        y: Value::exact(held[1], 0),
                    }
                } else {
                    Mark::At {
                        x: value(x, 3.0),
                        y: value(y, -2.0),
                    }
                };
                (NAMES[i].to_owned(), mark)
            })
            .collect()
    }

    fn adjusted_with(&self, readings: &[Reading]) -> Adjusted {
        self.turned(readings, 0.0, [0.0, 0.0])
    }

    /// With A held at `by` and B in the direction `turn` from it.
    fn turned(&self, readings: &[Reading], turn: f64, by: [f64; 2]) -> Adjusted {
        let (sin, cos) = turn.sin_cos();
        let place = |[x, y]: [f64; 2]| [by[0] + cos * x - sin * y, by[1] + sin * x + cos * y];
        let mark_out = MarkOut::new(self.points(by, place)).expect("a good mark-out");
        let mut all = vec![Reading::new(
            Of::Direction(["A".into(), "B".into()]),
            Value::exact(turn, 99),
        )];
        all.extend(readings.iter().cloned());
        adjust(&mark_out, &all, AdjustOptions::default()).expect("it closes")
    }

    /// With B held on the x axis by its own coordinate, and no exact reading.
    fn mark_out(&self) -> MarkOut {
        let mut points = self.points([0.0, 0.0], |p| p);
        points[1].1 = Mark::At {
            x: Value::start(self.corners[1][0], 0),
            y: Value::exact(0.0, 0),
        };
        MarkOut::new(points).expect("a good mark-out")
    }
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn the_datum_changes_no_residual_and_moves_the_points_as_one(
        card in card(), turn in -PI..PI, x in -900.0..900.0_f64, y in -900.0..900.0_f64,
    ) {
        let readings = card.readings();
        let (here, there) = (card.adjusted_with(&readings), card.turned(&readings, turn, [x, y]));
        prop_assert_eq!(here.freedom, 5);
        prop_assert_eq!(there.freedom, 5);
        prop_assert!((here.test.sum - there.test.sum).abs() < 1e-7);
        for (a, b) in here.readings.iter().zip(&there.readings).skip(1) {
            prop_assert!((a.residual - b.residual).abs() < 1e-8);
            prop_assert!((a.redundancy - b.redundancy).abs() < 1e-8);
        }
        let (sin, cos) = turn.sin_cos();
        for (a, b) in here.points.iter().zip(&there.points) {
            prop_assert!((x + cos * a.x - sin * a.y - b.x).abs() < 1e-7);
            prop_assert!((y + sin * a.x + cos * a.y - b.y).abs() < 1e-7);
        }
        // Held by an exact coordinate rather than an exact direction: the same net.
        let plain = adjust(&card.mark_out(), &readings, AdjustOptions::default()).expect("it closes");
        for i in 0..4 {
            prop_assert!((plain.points[i] - here.points[i]).norm() < 1e-7);
            let (p, h) = (plain.covariance(i, 3).expect("a point"), here.covariance(i, 3).expect("a point"));
            prop_assert!((p - h).norm() < 1e-7);
        }
    }

    #[test]
    fn a_reading_that_says_what_was_known_moves_nothing(card in card(), pick in 0..10_usize) {
        let mut readings = card.readings();
        let before = card.adjusted_with(&readings);
        let known = before.readings[pick + 1].adjusted;
        let sd = readings[pick].value.sure;
        readings.push(Reading::new(of(pick), Value { value: known, sure: sd, about: 10 }));
        let after = card.adjusted_with(&readings);
        prop_assert_eq!(after.freedom, before.freedom + 1);
        prop_assert!((after.test.sum - before.test.sum).abs() < 1e-7);
        for i in 0..4 {
            prop_assert!((after.points[i] - before.points[i]).norm() < 1e-7);
            let (b, a) = (before.sd_mm(i).expect("a point"), after.sd_mm(i).expect("a point"));
            // What is held exactly has a variance of zero but for rounding, whose root is about 1e-8.
            prop_assert!(a.iter().zip(&b).all(|(a, b)| *a <= b + 1e-7), "more readings, no less sure");
        }
        prop_assert!(after.readings[11].residual.abs() < 1e-7);
    }

    #[test]
    fn redundancies_add_up_to_the_freedom(card in card()) {
        let adjusted = card.adjusted_with(&card.readings());
        let sum: f64 = adjusted.readings.iter().map(|r| r.redundancy).sum();
        prop_assert!((sum - adjusted.freedom as f64).abs() < 1e-8);
    }

    #[test]
    fn inches_and_millimetres_judge_alike(card in card()) {
        let scale = 25.4;
        let larger = Card { corners: card.corners.map(|c| c.map(|v| v * scale)), ..card.clone() };
        let mut readings = card.readings();
        let here = card.adjusted_with(&readings);
        for reading in readings.iter_mut().take(6) {
            reading.value.value *= scale;
            reading.value.sure = survey::Sure::Sd(DISTANCE_SD * scale);
        }
        let there = larger.adjusted_with(&readings);
        for (a, b) in here.readings.iter().zip(&there.readings).skip(1) {
            let (a, b) = (a.w.expect("it is checked"), b.w.expect("it is checked"));
            prop_assert!((a - b).abs() < 1e-6);
        }
        for (a, b) in here.points.iter().zip(&there.points) {
            prop_assert!((a.coords * scale - b.coords).norm() < 1e-6);
        }
    }

    #[test]
    fn the_order_of_the_readings_does_not_matter(card in card(), first in 0..10_usize) {
        let readings = card.readings();
        let mut turned = readings.clone();
        turned.rotate_left(first);
        let (a, b) = (card.adjusted_with(&readings), card.adjusted_with(&turned));
        for i in 0..4 {
            prop_assert!((a.points[i] - b.points[i]).norm() < 1e-7);
        }
    }

    #[test]
    fn the_same_readings_give_the_same_bits(card in card()) {
        let readings = card.readings();
        let (a, b) = (card.adjusted_with(&readings), card.adjusted_with(&readings));
        prop_assert_eq!(a.points, b.points);
        prop_assert_eq!(a.readings, b.readings);
    }

    #[test]
    fn an_exact_reading_is_the_end_of_a_surer_and_surer_one(card in card(), by in -1.0..1.0_f64) {
        let mut readings = card.readings();
        let value = card.truth(4) + by;
        let diagonal = || Of::Distance(["A".into(), "C".into()]);
        readings.push(Reading::new(diagonal(), Value::exact(value, 10)));
        let exact = card.adjusted_with(&readings);
        readings[10] = Reading::new(diagonal(), Value::read(value, 1e-5, 10));
        let sure = card.adjusted_with(&readings);
        prop_assert!((exact.readings[11].adjusted - value).abs() < 1e-8);
        for i in 0..4 {
            prop_assert!((exact.points[i] - sure.points[i]).norm() < 1e-4);
            let (e, s) = (exact.sd_mm(i).expect("a point"), sure.sd_mm(i).expect("a point"));
            prop_assert!(e.iter().zip(&s).all(|(e, s)| (e - s).abs() < 1e-4));
        }
    }

    #[test]
    fn a_slip_of_ten_deviations_is_named_and_no_good_reading_is(
        card in card(), which in 0..10_usize, up in any::<bool>(),
    ) {
        // A corner angle near 0 or pi, or a reading that the rest hardly check, hides its slip from anyone.
        let honest = card.adjusted_with(&card.readings());
        prop_assume!(honest.readings[which + 1].redundancy > 0.35);
        let mut slipped = card.readings();
        let sd = if which < 6 { DISTANCE_SD } else { ANGLE_SD };
        slipped[which].value.value += if up { 10.0 * sd } else { -10.0 * sd };
        let found = find_slips(&card.mark_out(), &slipped, AdjustOptions::default(), Writing::unknown(), 0.5)
            .expect("it closes");
        prop_assert!(!found.suspects.is_empty());
        prop_assert!(found.suspects[0].readings.iter().any(|r| r.about == which), "{:?}", found.suspects);
        for suspect in found.suspects.iter().filter(|s| s.is_located()) {
            prop_assert_eq!(suspect.readings[0].about, which);
        }
    }
}
