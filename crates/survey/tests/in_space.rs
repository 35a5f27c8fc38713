//! Places on a machine found by a tape alone: the same search in three dimensions.

use survey::{
    AdjustError, AdjustOptions, Adjusted, Mark, MarkOut, Of, Reading, Value, Writing, adjust, find_slips,
};

const TAPE_SD: f64 = 0.7;

/// Three known bolts of a frame and three places found from them, with rough starts for the last three.
const TRUE: [(&str, [f64; 3]); 6] = [
    ("bolt 1", [0.0, 0.0, 0.0]),
    ("bolt 2", [420.0, 0.0, 15.0]),
    ("bolt 3", [60.0, 380.0, -20.0]),
    ("pad", [180.0, 150.0, 240.0]),
    ("lug", [310.0, 260.0, 130.0]),
    ("grip", [-90.0, 120.0, 170.0]),
];

fn apart(i: usize, j: usize) -> f64 {
    let (p, q) = (TRUE[i].1, TRUE[j].1);
    (0..3).map(|k| (p[k] - q[k]).powi(2)).sum::<f64>().sqrt()
}

fn mark_out(start_z: f64, off: f64) -> MarkOut {
    let marks = TRUE.iter().enumerate().map(|(i, (name, [x, y, z]))| {
        let value = |v: f64, by: f64| {
            if i < 3 {
                Value::exact(v, i)
            } else {
                Value::start(v + by, i)
            }
        };
        let z = if i < 3 { *z } else { start_z };
        let mark = Mark::InSpace {
            x: value(*x, off),
            y: value(*y, -off),
            z: value(z, 0.0),
        };
        ((*name).to_owned(), mark)
    });
    MarkOut::new(marks.collect()).expect("a good mark-out")
}

/// Every distance that is not between two bolts.
fn readings() -> Vec<Reading> {
    let mut out = Vec::new();
    for (i, (from, _)) in TRUE.iter().enumerate() {
        for (j, (to, _)) in TRUE.iter().enumerate().skip(i.max(2) + 1) {
            let of = Of::Distance([(*from).into(), (*to).into()]);
            out.push(Reading::new(of, Value::read(apart(i, j), TAPE_SD, out.len())));
        }
    }
    out
}

#[track_caller]
fn assert_found(adjusted: &Adjusted) {
    for (point, (name, [x, y, z])) in adjusted.points.iter().zip(TRUE) {
        let miss = (point.x - x).hypot(point.y - y).hypot(point.z - z);
        assert!(miss < 1e-6, "{name} is {miss} mm off");
    }
}

#[test]
fn places_are_found_by_distances_from_starts_a_hand_off() {
    let adjusted = adjust(&mark_out(60.0, 80.0), &readings(), AdjustOptions::default()).expect("it closes");
    assert_eq!(adjusted.readings.len(), 12);
    assert_eq!(adjusted.freedom, 3);
    assert_found(&adjusted);
}

#[test]
fn a_slip_in_space_is_found_like_one_on_card() {
    let mut readings = readings();
    readings.push(Reading::new(
        Of::Height(["bolt 1".into(), "pad".into()]),
        Value::read(240.0, TAPE_SD, 50),
    ));
    readings.push(Reading::new(
        Of::Corner(["pad".into(), "lug".into(), "grip".into()]),
        Value::read(
            {
                let (a, b, c) = (apart(4, 3), apart(4, 5), apart(3, 5));
                ((a * a + b * b - c * c) / (2.0 * a * b)).acos()
            },
            0.003,
            51,
        ),
    ));
    readings[2].value.value += 25.4;
    let found = find_slips(
        &mark_out(200.0, 10.0),
        &readings,
        AdjustOptions::default(),
        Writing::unknown(),
        TAPE_SD,
    )
    .expect("it closes");
    assert!(
        found.suspects[0].readings.iter().any(|r| r.about == 2),
        "{:?}",
        found.suspects
    );
}

#[test]
fn three_distances_from_bolts_in_one_plane_with_a_start_in_it_leave_the_height_open() {
    let flat = TRUE.map(|(name, [x, y, _])| (name, [x, y, 0.0]));
    let marks = flat.iter().enumerate().map(|(i, (name, [x, y, z]))| {
        let value = |v: f64| {
            if i < 3 {
                Value::exact(v, i)
            } else {
                Value::start(v, i)
            }
        };
        let mark = Mark::InSpace {
            x: value(*x),
            y: value(*y),
            z: value(*z),
        };
        ((*name).to_owned(), mark)
    });
    let mark_out = MarkOut::new(marks.take(4).collect()).expect("a good mark-out");
    let readings: Vec<Reading> = (0..3)
        .map(|i| {
            let (p, q) = (flat[i].1, flat[3].1);
            let apart = (p[0] - q[0]).hypot(p[1] - q[1]);
            Reading::new(
                Of::Distance([flat[i].0.into(), "pad".into()]),
                Value::read(apart, TAPE_SD, i),
            )
        })
        .collect();
    assert_eq!(
        adjust(&mark_out, &readings, AdjustOptions::default()).expect_err("nothing feels its height"),
        AdjustError::Loose {
            points: vec!["pad".into()]
        }
    );
}
