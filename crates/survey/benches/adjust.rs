//! Time to adjust nets of 100 and 1,000 points with three readings to a point, and to look for slips and the next best
//! reading. The limit for 1,000 points with 3,000 readings is 1 s.

use survey::{AdjustOptions, Mark, MarkOut, Of, Reading, Value, Writing, adjust, find_slips};

fn main() {
    divan::main();
}

/// Points on a skewed grid, read to their neighbours along, up and across: about three readings to a point.
struct Net {
    mark_out: MarkOut,
    readings: Vec<Reading>,
}

const SD_MM: f64 = 0.5;

/// Errors of good readings from -1 to 1 standard deviations, the same every time.
fn error(index: usize) -> f64 {
    let golden = 0.618_033_988_749_894_9;
    2.0 * (index as f64 * golden).fract() - 1.0
}

fn net(points: usize, slipped: bool) -> Net {
    let wide = (points as f64).sqrt().round() as usize;
    let tall = points.div_ceil(wide);
    let count = wide * tall;
    let place = |i: usize| {
        let (x, y) = ((i % wide) as f64, (i / wide) as f64);
        (60.0 * x + 9.0 * (y * 1.3).sin(), 55.0 * y + 7.0 * (x * 0.9).sin())
    };
    let name = |i: usize| format!("P{i}");
    let marks = (0..count)
        .map(|i| {
            let (x, y) = place(i);
            let rough = |v: f64, k: usize| Value::start(v + 2.0 * error(7 * i + k), 0);
            let mark = Mark::At {
                x: if i == 0 { Value::exact(x, 0) } else { rough(x, 1) },
                y: if i < 2 { Value::exact(y, 0) } else { rough(y, 2) },
            };
            (name(i), mark)
        })
        .collect();
    let mut readings = Vec::new();
    for i in 0..count {
        let (x, y) = (i % wide, i / wide);
        let mut to = Vec::new();
        if x + 1 < wide {
            to.push(i + 1);
        }
        if y + 1 < tall {
            to.push(i + wide);
            to.push(if x + 1 < wide { i + wide + 1 } else { i + wide - 1 });
        } else if x + 2 < wide {
            to.push(i + 2);
            to.push(i + 1 - wide);
        }
        for j in to {
            let ((px, py), (qx, qy)) = (place(i), place(j));
            let about = readings.len();
            let value = (px - qx).hypot(py - qy) + SD_MM * error(about);
            readings.push(Reading::new(
                Of::Distance([name(i), name(j)]),
                Value::read(value, SD_MM, about),
            ));
        }
    }
    if slipped {
        readings[points / 2].value.value += 25.4;
    }
    Net {
        mark_out: MarkOut::new(marks).expect("a good mark-out"),
        readings,
    }
}

#[divan::bench(args = [100, 1000], max_time = 3)]
fn adjusting(bencher: divan::Bencher, points: usize) {
    let net = net(points, false);
    bencher
        .with_inputs(|| (&net.mark_out, &net.readings))
        .bench_refs(|(mark_out, readings)| {
            adjust(mark_out, readings, AdjustOptions::default()).expect("it closes")
        });
}

#[divan::bench(args = [100, 1000], max_time = 3)]
fn finding_a_slip(bencher: divan::Bencher, points: usize) {
    let net = net(points, true);
    bencher.bench(|| {
        let found = find_slips(
            &net.mark_out,
            &net.readings,
            AdjustOptions::default(),
            Writing::unknown(),
            SD_MM,
        )
        .expect("it closes");
        assert_eq!(found.suspects.len(), 1);
        found
    });
}

#[divan::bench(args = [100, 1000], max_time = 3)]
fn next_best_reading(bencher: divan::Bencher, points: usize) {
    let net = net(points, false);
    let adjusted = adjust(&net.mark_out, &net.readings, AdjustOptions::default()).expect("it closes");
    bencher.bench(|| adjusted.next_readings(&[], SD_MM, 3));
}
