//! A card marked out on the bench with a tape, and what the tool says when a reading is wrong.

use survey::{
    AdjustError, AdjustOptions, Graduation, Mark, MarkOut, Of, Reading, Side, Slip, Snooped, Value, Writing,
    adjust, find_slips,
};

/// A steel tape on card: half a millimetre.
const TAPE_SD: f64 = 0.5;

/// Five corners of a card: A at the origin, B along x, the rest by two tape readings each.
const CORNERS: [(&str, f64, f64); 5] = [
    ("A", 0.0, 0.0),
    ("B", 300.0, 0.0),
    ("C", 340.0, 180.0),
    ("D", 150.0, 260.0),
    ("E", -40.0, 150.0),
];

fn apart(p: &str, q: &str) -> f64 {
    let place = |name: &str| {
        let &(_, x, y) = CORNERS.iter().find(|c| c.0 == name).expect("a corner");
        (x, y)
    };
    let ((px, py), (qx, qy)) = (place(p), place(q));
    (px - qx).hypot(py - qy)
}

fn card() -> MarkOut {
    let swing = |p: &str, about: usize| Mark::Swing {
        a: "A".into(),
        ra: Value::read(apart("A", p), TAPE_SD, about),
        b: "B".into(),
        rb: Value::read(apart("B", p), TAPE_SD, about + 1),
        side: Side::Left,
    };
    MarkOut::new(vec![
        (
            "A".into(),
            Mark::At {
                x: Value::exact(0.0, 0),
                y: Value::exact(0.0, 0),
            },
        ),
        (
            "B".into(),
            Mark::At {
                x: Value::read(300.0, TAPE_SD, 1),
                y: Value::exact(0.0, 0),
            },
        ),
        ("C".into(), swing("C", 2)),
        ("D".into(), swing("D", 4)),
        ("E".into(), swing("E", 6)),
    ])
    .expect("a good mark-out")
}

/// Distances across the card, numbered from 10, true but for the changes.
fn across(pairs: &[(&str, &str)], change: &[(usize, f64)]) -> Vec<Reading> {
    pairs
        .iter()
        .enumerate()
        .map(|(index, (p, q))| {
            let about = 10 + index;
            let by: f64 = change.iter().filter(|c| c.0 == about).map(|c| c.1).sum();
            Reading::new(
                Of::Distance([(*p).into(), (*q).into()]),
                Value::read(apart(p, q) + by, TAPE_SD, about),
            )
        })
        .collect()
}

const ALL_ACROSS: [(&str, &str); 3] = [("C", "D"), ("D", "E"), ("C", "E")];

fn snoop(readings: &[Reading], writing: Writing<'_>) -> Snooped {
    find_slips(&card(), readings, AdjustOptions::default(), writing, TAPE_SD).expect("it closes")
}

#[test]
fn good_readings_raise_no_suspicion() {
    let found = snoop(&across(&ALL_ACROSS, &[(10, 0.4), (11, -0.3)]), Writing::unknown());
    assert!(found.suspects.is_empty() && found.without.is_none());
    assert!(found.all.test.passes());
    assert_eq!(found.all.freedom, 3);
    let sum: f64 = found.all.readings.iter().map(|r| r.redundancy).sum();
    assert!((sum - 3.0).abs() < 1e-9, "redundancies add up to the freedom");
}

#[test]
fn a_dropped_inch_is_located_sized_and_named() {
    let readings = across(&ALL_ACROSS, &[(10, -25.4), (11, 0.2)]);
    let found = snoop(&readings, Writing::unknown());
    let [suspect] = &found.suspects[..] else {
        panic!("one slip: {:?}", found.suspects)
    };
    assert!(suspect.is_located() && suspect.deciding.is_none());
    let reading = &suspect.readings[0];
    assert_eq!(reading.about, 10);
    assert!((reading.slip + 25.4).abs() < 1.0, "{}", reading.slip);
    assert_eq!(reading.did_you_mean[0].slip, Slip::Dropped(Graduation::Inch));
    let without = found.without.expect("it is located");
    assert!(without.test.passes());
    assert!((without.points[2].x - 340.0).abs() < 1.0);
}

#[test]
fn swapped_digits_are_read_back_from_what_was_typed() {
    // 381.2 was read and 318.2 written down.
    assert_eq!((apart("C", "E") * 10.0).round(), 3812.0);
    let mut readings = across(&ALL_ACROSS, &[]);
    readings[2].value.value = 318.2;
    let writing = Writing {
        typed: &|about| (about == 12).then(|| "318.2 mm".to_owned()),
        meaning: &|_, text| text.strip_suffix(" mm")?.parse().ok(),
        ..Writing::unknown()
    };
    let found = snoop(&readings, writing);
    let reading = &found.suspects[0].readings[0];
    assert_eq!(reading.about, 12);
    assert_eq!(
        reading.did_you_mean[0].slip,
        Slip::SwappedDigits {
            text: "381.2 mm".into()
        }
    );
    assert_eq!(reading.did_you_mean[0].value, 381.2);
}

#[test]
fn a_hook_and_a_thickness_left_out_are_offered() {
    let writing = Writing {
        hook_mm: Some(3.0),
        thickness_mm: Some(4.76),
        ..Writing::unknown()
    };
    for (by, slip) in [
        (-3.0, Slip::HookEnd { counted: false }),
        (4.76, Slip::Thickness { counted: true }),
    ] {
        let found = snoop(&across(&ALL_ACROSS, &[(11, by)]), writing);
        let of_11: Vec<_> = found
            .suspects
            .iter()
            .flat_map(|s| &s.readings)
            .filter(|r| r.about == 11)
            .collect();
        assert_eq!(of_11[0].did_you_mean[0].slip, slip, "{:?}", found.suspects);
    }
}

#[test]
fn two_slips_are_both_named_and_good_readings_are_not() {
    let mut readings = across(
        &[
            ("C", "D"),
            ("D", "E"),
            ("C", "E"),
            ("C", "D"),
            ("C", "E"),
            ("A", "D"),
        ],
        &[(11, 100.0), (12, -25.4)],
    );
    readings.push(Reading::new(
        Of::Corner(["A".into(), "E".into(), "D".into()]),
        Value::read(corner("A", "E", "D"), 0.002, 20),
    ));
    let found = snoop(&readings, Writing::unknown());
    let mut named: Vec<usize> = found.suspects.iter().map(|s| s.readings[0].about).collect();
    named.sort_unstable();
    assert_eq!(named, [11, 12], "{:?}", found.suspects);
}

fn corner(p: &str, at: &str, q: &str) -> f64 {
    let (a, b, c) = (apart(at, p), apart(at, q), apart(p, q));
    ((a * a + b * b - c * c) / (2.0 * a * b)).acos()
}

#[test]
fn with_one_reading_to_spare_no_suspect_stands_out_and_a_further_one_would_decide() {
    let found = snoop(&across(&[("C", "D")], &[(10, 10.0)]), Writing::unknown());
    let suspect = &found.suspects[0];
    let abouts: Vec<usize> = suspect.readings.iter().map(|r| r.about).collect();
    assert_eq!(abouts.len(), 6, "all that meet in C and D: {abouts:?}");
    let w = suspect.readings[0].w.abs();
    assert!(suspect.readings.iter().all(|r| (r.w.abs() - w).abs() < 1e-6));
    assert!(found.without.is_none());
    let deciding = suspect.deciding.as_ref().expect("a distance that decides");
    assert_eq!(deciding.expected_mm.len(), 6);
    // E was found from A and B too, so its distances to C and D see their slips.
    assert!(deciding.between.contains(&"E".to_owned()), "{deciding:?}");
}

#[test]
fn the_deciding_reading_does_decide() {
    let slipped = across(&[("C", "D")], &[(10, 10.0)]);
    let first = snoop(&slipped, Writing::unknown());
    let deciding = first.suspects[0]
        .deciding
        .clone()
        .expect("a distance that decides");
    let [p, q] = deciding.between.clone();
    let true_distance = apart(&p, &q);
    let of_10 = first.suspects[0]
        .readings
        .iter()
        .position(|r| r.about == 10)
        .expect("a suspect");
    assert!((deciding.expected_mm[of_10] - true_distance).abs() < 0.5);
    let mut readings = slipped;
    readings.push(Reading::new(
        Of::Distance([p, q]),
        Value::read(true_distance, TAPE_SD, 30),
    ));
    let then = snoop(&readings, Writing::unknown());
    assert!(then.suspects[0].readings.len() < first.suspects[0].readings.len());
    assert!(then.suspects[0].readings.iter().any(|r| r.about == 10));
}

#[test]
fn without_spare_readings_nothing_is_checked_and_the_next_best_is_asked_for() {
    let adjusted = adjust(&card(), &[], AdjustOptions::default()).expect("it closes");
    assert_eq!(adjusted.freedom, 0);
    assert_eq!(adjusted.sigma0, None);
    assert_eq!(adjusted.unchecked().len(), adjusted.readings.len());
    let next = adjusted.next_readings(&[], TAPE_SD, 3);
    assert_eq!(next.len(), 3);
    for reading in &next {
        let [p, q] = &reading.between;
        assert!((reading.predicted_mm - apart(p, q)).abs() < 1e-6);
        assert!(reading.predicted_sd_mm > TAPE_SD);
    }
    // What it promises is what adding it gives.
    let variance = |a: &survey::Adjusted| -> f64 {
        (0..5)
            .filter_map(|i| a.sd_mm(i))
            .flatten()
            .map(|sd| sd * sd)
            .sum()
    };
    let before = variance(&adjusted);
    for reading in &next {
        let extra = [Reading::new(
            Of::Distance(reading.between.clone()),
            Value::read(reading.predicted_mm, TAPE_SD, 10),
        )];
        let after = variance(&adjust(&card(), &extra, AdjustOptions::default()).expect("it closes"));
        assert!(((before - after) / before - reading.gain).abs() < 1e-9);
    }
    assert!(next[0].gain >= next[1].gain && next[1].gain >= next[2].gain);
}

#[test]
fn points_that_nothing_holds_are_named() {
    let mut points: Vec<(String, Mark)> = vec![(
        "A".into(),
        Mark::At {
            x: Value::exact(0.0, 0),
            y: Value::exact(0.0, 0),
        },
    )];
    points.push((
        "P".into(),
        Mark::At {
            x: Value::start(100.0, 0),
            y: Value::start(20.0, 0),
        },
    ));
    let mark_out = MarkOut::new(points).expect("a good mark-out");
    let one = [Reading::new(
        Of::Distance(["A".into(), "P".into()]),
        Value::read(102.0, TAPE_SD, 1),
    )];
    assert_eq!(
        adjust(&mark_out, &one, AdjustOptions::default()).expect_err("P can swing about A"),
        AdjustError::Loose {
            points: vec!["P".into()]
        }
    );
}

#[test]
fn an_exact_reading_holds_and_two_that_cannot_are_told() {
    let exact = |p: &str, q: &str, mm: f64, about| {
        Reading::new(Of::Distance([p.into(), q.into()]), Value::exact(mm, about))
    };
    let held = adjust(&card(), &[exact("C", "D", 200.0, 40)], AdjustOptions::default()).expect("it closes");
    let reading = held.readings.last().expect("the exact one");
    assert!((reading.adjusted - 200.0).abs() < 1e-9 && reading.adjusted_sd < 1e-6);
    assert_eq!(held.freedom, 1);
    let both = [exact("C", "D", 200.0, 40), exact("C", "D", 207.0, 41)];
    let error = adjust(&card(), &both, AdjustOptions::default()).expect_err("they conflict");
    assert!(matches!(error, AdjustError::ExactConflict { .. }), "{error:?}");
    let twice = [exact("C", "D", 200.0, 40), exact("D", "C", 200.0, 41)];
    let twice = adjust(&card(), &twice, AdjustOptions::default()).expect("once over again is no conflict");
    assert_eq!(twice.freedom, 1);
}
