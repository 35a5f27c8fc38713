//! Networks with published answers, driven from the check values I001 to I033.

use std::collections::BTreeMap;

use survey::{AdjustOptions, Adjusted, Mark, MarkOut, Of, Reading, SLIP_W, Side, Value, adjust, critical_w};

fn fixed(x: f64, y: f64) -> Mark {
    Mark::At {
        x: Value::exact(x, 0),
        y: Value::exact(y, 0),
    }
}

fn pair(text: &str) -> (f64, f64) {
    let (x, y) = text
        .trim_matches(['(', ')'])
        .split_once(',')
        .expect("two numbers");
    (x.parse().expect("a number"), y.parse().expect("a number"))
}

#[test]
fn swung_arcs_meet_where_printed() {
    for row in published::rows("swung arcs") {
        let ((ax, ay), (bx, by)) = (pair(row.text("A")), pair(row.text("B")));
        let mark_out = MarkOut::new(vec![
            ("A".into(), fixed(ax, ay)),
            ("B".into(), fixed(bx, by)),
            (
                "C".into(),
                Mark::Swing {
                    a: "A".into(),
                    ra: Value::read(row.number("rA"), 0.5, 1),
                    b: "B".into(),
                    rb: Value::read(row.number("rB"), 0.5, 2),
                    side: Side::Left,
                },
            ),
        ])
        .expect("a good mark-out");
        let c = mark_out.place().expect("the arcs meet")[2];
        let (x, y) = pair(&row.expected);
        let within: f64 = row.tolerance.parse().expect("a number");
        assert!(
            (c.x - x).abs() <= within && (c.y - y).abs() <= within,
            "{row}: got {c}"
        );
    }
}

/// Sides and diagonals adjusted; the skew is how far the corner at A is from square.
#[test]
fn diagonals_of_a_parallelogram_show_its_skew() {
    for row in published::rows("parallelogram skew from diagonals") {
        let (a, b) = (row.number("a"), row.number("b"));
        let free = |x: f64, y: f64| Mark::At {
            x: Value::start(x, 0),
            y: Value::start(y, 0),
        };
        let mark_out = MarkOut::new(vec![
            ("A".into(), fixed(0.0, 0.0)),
            (
                "B".into(),
                Mark::At {
                    x: Value::start(a, 0),
                    y: Value::exact(0.0, 0),
                },
            ),
            ("C".into(), free(a, b)),
            ("D".into(), free(0.0, b)),
        ])
        .expect("a good mark-out");
        let side = |p: &str, q: &str, value: Value| Reading::new(Of::Distance([p.into(), q.into()]), value);
        // The sides are held; the row's formula takes the two diagonals as they are, which the law of cosines lets
        // disagree with the sides a little: equal weights split that evenly.
        let readings = [
            side("A", "B", Value::exact(a, 1)),
            side("D", "C", Value::exact(a, 2)),
            side("A", "D", Value::exact(b, 3)),
            side("B", "C", Value::exact(b, 4)),
            side("A", "C", Value::read(row.number("d1"), 0.5, 5)),
            side("B", "D", Value::read(row.number("d2"), 0.5, 6)),
        ];
        let adjusted = adjust(&mark_out, &readings, AdjustOptions::default()).expect("it closes");
        let d = adjusted.points[3];
        row.check((d.x / d.y).atan().to_degrees());
    }
}

/// "fixed 1a=1000.000; obs 1a-4 -1.225|4-3 -0.848|...; sd 5 mm each[; obs 1 changed by +0.030 to -1.195]", metres.
fn level_network(inputs: &str) -> (Adjusted, Vec<String>) {
    let parts: Vec<&str> = inputs.split(';').map(str::trim).collect();
    let (name, height) = parts[0]
        .strip_prefix("fixed ")
        .and_then(|rest| rest.split_once('='))
        .expect("the fixed height");
    let sd = parts[2]
        .strip_prefix("sd ")
        .and_then(|rest| rest.split(' ').next())
        .expect("the standard deviation")
        .parse::<f64>()
        .expect("mm")
        / 1000.0;
    let height: f64 = height.parse().expect("a height");
    let pole = |z: Value| Mark::InSpace {
        x: Value::exact(0.0, 0),
        y: Value::exact(0.0, 0),
        z,
    };
    let mut points = BTreeMap::from([(name.to_owned(), pole(Value::exact(height, 0)))]);
    let mut readings = Vec::new();
    let list = parts[1].strip_prefix("obs ").expect("the readings");
    for (index, text) in list.split('|').enumerate() {
        let (ends, value) = text.split_once(' ').expect("ends and value");
        let (from, to) = ends.split_once('-').expect("two ends");
        for end in [from, to] {
            points
                .entry(end.to_owned())
                .or_insert_with(|| pole(Value::start(height, 0)));
        }
        readings.push(Reading::new(
            Of::Height([from.to_owned(), to.to_owned()]),
            Value::read(value.parse().expect("a height"), sd, index + 1),
        ));
    }
    if let Some(change) = parts.get(3) {
        let words: Vec<&str> = change.split(' ').collect();
        let number: usize = words[1].parse().expect("which reading");
        readings[number - 1].value.value = words[6].parse().expect("the changed value");
    }
    let names = points.keys().cloned().collect();
    let mark_out = MarkOut::new(points.into_iter().collect()).expect("a good mark-out");
    let adjusted = adjust(&mark_out, &readings, AdjustOptions::default()).expect("it closes");
    (adjusted, names)
}

fn largest_w(adjusted: &Adjusted) -> (usize, f64) {
    adjusted
        .readings
        .iter()
        .map(|r| (r.about, r.w.unwrap_or(0.0).abs()))
        .fold((0, 0.0), |most, next| if next.1 > most.1 { next } else { most })
}

#[test]
fn the_level_network_comes_out_as_printed() {
    let mut checked = 0;
    for row in published::rows_starting("level network") {
        let (adjusted, names) = level_network(&row.inputs);
        let point = |name: &str| names.iter().position(|n| n == name).expect("a point");
        let (_, what) = row.topic.split_once(": ").expect("what is printed");
        checked += 1;
        match what {
            "height 4" | "height 3" | "height 2" => {
                row.check(adjusted.points[point(&what[7..])].z);
            }
            "sd of 4" | "sd of 3" | "sd of 2" => {
                let sd = adjusted.sd_mm(point(&what[6..])).expect("a point");
                row.check(sd[2] * 1000.0);
            }
            "pvv" => row.check(adjusted.readings.iter().map(|r| (r.residual * 1e3).powi(2)).sum()),
            "a posteriori m0" => row.check(adjusted.sigma0.expect("freedom") * 5.0),
            "max normalised residual" => row.check(largest_w(&adjusted).1),
            "obs number of max normalised residual" => row.check(largest_w(&adjusted).0 as f64),
            "critical value at 5 %" => row.check(critical_w(0.05)),
            "degrees of freedom" => row.check(adjusted.freedom as f64),
            "redundancy number of each obs" => {
                adjusted.readings.iter().for_each(|r| row.check(r.redundancy));
            }
            "|w| of obs 1" => {
                let w = adjusted.readings[0].w.expect("it is checked").abs();
                row.check(w);
                assert!(w > SLIP_W && adjusted.readings[0].is_suspect());
            }
            "flagged obs" => row.check(largest_w(&adjusted).0 as f64),
            other => panic!("{row}: what is {other:?}?"),
        }
    }
    assert_eq!(checked, 15);
}

/// Two level circuits over the rows' closures: the sum of squared residuals over the freedom.
#[test]
fn the_level_circuit_has_the_printed_scatter() {
    for row in published::rows("level circuit S0") {
        let vv: f64 = row
            .text("[vv]")
            .split('+')
            .map(|v| v.parse::<f64>().expect("a square"))
            .sum();
        let (m, n) = (row.number("m") as usize, row.number("n") as usize);
        // The source prints only the sum of squares: n heights on m readings, two of which carry all of it.
        let height = |i: usize| format!("H{i}");
        let points = (0..n).map(|i| {
            let mark = Mark::InSpace {
                x: Value::exact(0.0, 0),
                y: Value::exact(0.0, 0),
                z: Value::start(0.0, 0),
            };
            (height(i), mark)
        });
        let mark_out = MarkOut::new(points.collect()).expect("a good mark-out");
        let half = (vv / 2.0).sqrt();
        let readings: Vec<Reading> = (0..m)
            .map(|k| {
                let value = [half, -half].get(k).copied().unwrap_or(0.0);
                let of = Of::Z(height(if k < 2 { 0 } else { k % n }));
                Reading::new(of, Value::read(value, 1.0, k))
            })
            .collect();
        let adjusted = adjust(&mark_out, &readings, AdjustOptions::default()).expect("it closes");
        row.check(adjusted.sigma0.expect("freedom"));
    }
}

#[test]
fn the_braced_quadrilateral_comes_out_as_printed() {
    let mut checked = 0;
    for row in published::rows_starting("braced quadrilateral LS") {
        let start = |x: f64, y: f64| Mark::At {
            x: Value::start(x, 0),
            y: Value::start(y, 0),
        };
        let baseline = Mark::At {
            x: Value::start(1500.0, 0),
            y: Value::exact(0.0, 0),
        };
        let mark_out = MarkOut::new(vec![
            ("A".into(), fixed(0.0, 0.0)),
            ("B".into(), baseline),
            ("C".into(), start(2300.0, 2000.0)),
            ("D".into(), start(600.0, 2300.0)),
        ])
        .expect("a good mark-out");
        let mut readings = Vec::new();
        for ends in ["AB", "BC", "CD", "AD", "AC", "BD"] {
            let value = row
                .inputs
                .split([';', ','])
                .find_map(|part| part.trim().strip_prefix(ends)?.strip_prefix('='))
                .and_then(|v| v.split_whitespace().next())
                .expect("the distance");
            let (p, q) = ends.split_at(1);
            readings.push(Reading::new(
                Of::Distance([p.into(), q.into()]),
                Value::read(value.parse().expect("a distance"), 1.0, readings.len()),
            ));
        }
        let adjusted = adjust(&mark_out, &readings, AdjustOptions::default()).expect("it closes");
        let [_, b, c, d] = adjusted.points[..] else {
            panic!("four points")
        };
        let (_, what) = row.topic.split_once(": ").expect("what is printed");
        checked += 1;
        match what {
            "xB" => row.check(b.x),
            "xC" => row.check(c.x),
            "yC" => row.check(c.y),
            "xD" => row.check(d.x),
            "yD" => row.check(d.y),
            "vAB" => row.check(adjusted.readings[0].residual),
            "vAC" => row.check(adjusted.readings[4].residual),
            "[vv]" => row.check(adjusted.test.sum),
            "s0 (dof 1)" => {
                assert_eq!(adjusted.freedom, 1);
                row.check(adjusted.sigma0.expect("freedom"));
            }
            "|w|*sigma same for all" => {
                for reading in &adjusted.readings {
                    row.check(reading.w.expect("it is checked").abs());
                }
            }
            other => panic!("{row}: what is {other:?}?"),
        }
    }
    assert_eq!(checked, 10);
}

#[test]
fn the_trilateration_comes_out_as_printed() {
    for row in published::rows_starting("trilateration LS") {
        let mut points: Vec<(String, Mark)> = ["A", "B", "C"]
            .map(|name| {
                let (x, y) = pair(row.text(name));
                (name.to_owned(), fixed(x, y))
            })
            .into();
        points.push((
            "U".into(),
            Mark::At {
                x: Value::start(7000.0, 0),
                y: Value::start(4000.0, 0),
            },
        ));
        let mark_out = MarkOut::new(points).expect("a good mark-out");
        let readings = ["A", "B", "C"].map(|name| {
            let value = Value::read(row.number(&format!("{name}U")), 0.05, 0);
            Reading::new(Of::Distance([name.into(), "U".into()]), value)
        });
        let adjusted = adjust(&mark_out, &readings, AdjustOptions::default()).expect("it closes");
        let (_, what) = row.topic.split_once(": ").expect("what is printed");
        match what {
            "xU" => row.check(adjusted.points[3].x),
            "yU" => row.check(adjusted.points[3].y),
            "v AU" => row.check(adjusted.readings[0].residual),
            "v BU" => row.check(adjusted.readings[1].residual),
            "v CU" => row.check(adjusted.readings[2].residual),
            other => panic!("{row}: what is {other:?}?"),
        }
    }
}
