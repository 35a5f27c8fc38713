//! Points drawn from their numbers, and every way in which they cannot be.

use survey::{Mark, MarkError, MarkOut, Side, Value};

fn v(value: f64) -> Value {
    Value::read(value, 0.5, 0)
}

fn at(x: f64, y: f64) -> Mark {
    Mark::At { x: v(x), y: v(y) }
}

fn swing(a: &str, ra: f64, b: &str, rb: f64, side: Side) -> Mark {
    Mark::Swing {
        a: a.into(),
        ra: v(ra),
        b: b.into(),
        rb: v(rb),
        side,
    }
}

fn line(a: &str, b: &str) -> [String; 2] {
    [a.into(), b.into()]
}

fn mark_out(points: Vec<(&str, Mark)>) -> Result<MarkOut, MarkError> {
    MarkOut::new(points.into_iter().map(|(n, m)| (n.to_owned(), m)).collect())
}

/// Where the last point of these lands, after A (0, 0), B (100, 0), C (100, 80), D (0, 80).
fn lands(mark: Mark) -> Result<(f64, f64), MarkError> {
    let place = mark_out(vec![
        ("A", at(0.0, 0.0)),
        ("B", at(100.0, 0.0)),
        ("C", at(100.0, 80.0)),
        ("D", at(0.0, 80.0)),
        ("P", mark),
    ])?
    .place()?[4];
    Ok((place.x, place.y))
}

#[track_caller]
fn near(got: Result<(f64, f64), MarkError>, x: f64, y: f64) {
    let (gx, gy) = got.expect("it can be drawn");
    assert!(
        (gx - x).abs() < 1e-9 && (gy - y).abs() < 1e-9,
        "got ({gx}, {gy}), not ({x}, {y})"
    );
}

#[test]
fn an_offset_runs_along_the_baseline_and_then_to_its_left() {
    let offset = |along, off| Mark::Offset {
        from: "B".into(),
        toward: "C".into(),
        along: v(along),
        off: v(off),
    };
    near(lands(offset(30.0, 10.0)), 90.0, 30.0);
    near(lands(offset(-5.0, -10.0)), 110.0, -5.0);
}

#[test]
fn a_polar_point_turns_counter_clockwise_from_x_or_from_a_line() {
    let polar = |of| Mark::Polar {
        from: "B".into(),
        reach: v(20.0),
        angle: v(std::f64::consts::FRAC_PI_2),
        of,
    };
    near(lands(polar(None)), 100.0, 20.0);
    near(lands(polar(Some(line("B", "C")))), 80.0, 0.0);
}

#[test]
fn swung_arcs_meet_on_the_side_asked_for() {
    near(lands(swing("A", 60.0, "B", 80.0, Side::Left)), 36.0, 48.0);
    near(lands(swing("A", 60.0, "B", 80.0, Side::Right)), 36.0, -48.0);
}

#[test]
fn constructions_land_where_geometry_says() {
    near(
        lands(Mark::Crossing {
            first: line("A", "C"),
            second: line("D", "B"),
        }),
        50.0,
        40.0,
    );
    near(
        lands(Mark::Foot {
            of: "D".into(),
            on: line("B", "A"),
        }),
        0.0,
        0.0,
    );
    near(lands(Mark::Middle(["A".into(), "C".into()])), 50.0, 40.0);
    near(
        lands(Mark::Mirror {
            of: "A".into(),
            over: line("C", "B"),
        }),
        200.0,
        0.0,
    );
}

#[test]
fn a_tangent_touches_at_a_right_angle_to_the_radius() {
    for (side, sign) in [(Side::Left, 1.0), (Side::Right, -1.0)] {
        let mark = Mark::Tangent {
            from: "A".into(),
            round: "B".into(),
            radius: v(60.0),
            side,
        };
        near(lands(mark), 64.0, sign * 48.0);
    }
}

#[test]
fn a_point_may_be_found_from_later_ones() {
    let marks = mark_out(vec![
        ("P", Mark::Middle(["A".into(), "B".into()])),
        ("A", at(0.0, 0.0)),
        ("B", at(10.0, 0.0)),
    ])
    .expect("it can be drawn");
    assert_eq!(marks.place().expect("it can be drawn")[0].x, 5.0);
}

#[test]
fn points_found_from_each_other_are_named_as_a_circle() {
    let found = mark_out(vec![
        ("A", at(0.0, 0.0)),
        ("P", Mark::Middle(["A".into(), "Q".into()])),
        ("Q", Mark::Middle(["R".into(), "A".into()])),
        ("R", Mark::Middle(["P".into(), "A".into()])),
    ]);
    assert_eq!(
        found,
        Err(MarkError::Circle {
            points: vec!["P".into(), "Q".into(), "R".into()]
        })
    );
}

#[test]
fn names_must_be_there_and_be_there_once() {
    assert_eq!(
        mark_out(vec![("P", Mark::Middle(["A".into(), "P".into()]))]),
        Err(MarkError::Unknown {
            point: "P".into(),
            unknown: "A".into()
        })
    );
    assert_eq!(
        mark_out(vec![("P", at(0.0, 0.0)), ("P", at(1.0, 0.0))]),
        Err(MarkError::Twice { point: "P".into() })
    );
}

#[test]
fn arcs_that_stop_short_say_by_how_much() {
    let error = lands(swing("A", 40.0, "B", 56.8, Side::Left)).expect_err("they stop short");
    let MarkError::ArcsDoNotReach {
        point,
        a,
        b,
        short_by_mm,
    } = &error
    else {
        panic!("{error:?}")
    };
    assert_eq!((point.as_str(), a.as_str(), b.as_str()), ("P", "A", "B"));
    assert!((short_by_mm - 3.2).abs() < 1e-9);
    assert_eq!(
        error.to_string(),
        "the arcs from A and B for P do not reach each other by 3.20 mm"
    );
}

#[test]
fn an_arc_inside_the_other_says_which_and_the_gap() {
    let error = lands(swing("A", 130.0, "B", 25.0, Side::Left)).expect_err("it is inside");
    let MarkError::ArcInsideArc {
        inner, outer, gap_mm, ..
    } = &error
    else {
        panic!("{error:?}")
    };
    assert_eq!((inner.as_str(), outer.as_str()), ("B", "A"));
    assert!((gap_mm - 5.0).abs() < 1e-9);
}

#[test]
fn arcs_that_just_touch_meet_on_the_line_of_centres() {
    near(lands(swing("A", 40.0, "B", 60.0, Side::Left)), 40.0, 0.0);
}

#[test]
fn parallel_lines_one_place_and_inside_the_circle_are_told() {
    assert_eq!(
        lands(Mark::Crossing {
            first: line("A", "B"),
            second: line("D", "C"),
        }),
        Err(MarkError::LinesParallel {
            point: "P".into(),
            first: line("A", "B"),
            second: line("D", "C"),
        })
    );
    assert_eq!(
        lands(Mark::Foot {
            of: "A".into(),
            on: line("B", "B"),
        }),
        Err(MarkError::SamePoint {
            point: "P".into(),
            a: "B".into(),
            b: "B".into(),
        })
    );
    let inside = Mark::Tangent {
        from: "A".into(),
        round: "B".into(),
        radius: v(104.0),
        side: Side::Left,
    };
    let Err(MarkError::TangentInside { inside_by_mm, .. }) = lands(inside) else {
        panic!("no tangent runs from inside")
    };
    assert!((inside_by_mm - 4.0).abs() < 1e-9);
}

#[test]
fn numbers_that_are_no_measurement_are_refused() {
    for (value, sd) in [(f64::NAN, 1.0), (1.0, 0.0), (1.0, -1.0), (f64::INFINITY, 1.0)] {
        let mark = Mark::At {
            x: Value::read(value, sd, 7),
            y: v(0.0),
        };
        let Err(MarkError::NotAReading { about, .. }) = lands(mark) else {
            panic!("{value} with {sd} is no reading")
        };
        assert_eq!(about, 7);
    }
    let below = lands(swing("A", -3.0, "B", 60.0, Side::Left));
    assert!(matches!(below, Err(MarkError::BelowZero { value_mm, .. }) if value_mm == -3.0));
}
