//! How long tracks take, against closed forms and against a fine integration that knows nothing of the method.

use cut::motion::{Between, CornerRule, Doubts, Drive, DriveError, Mover, Pierce, Rates, bill, work};
use cut::{Cut, Of, Track};
use plane::{Point, Segment, Vertex};
use proptest::prelude::*;

fn drive() -> Drive {
    Drive {
        travel_mm_s: 250.0,
        accel_mm_s2: 1000.0,
        jerk_mm_s3: None,
        sideways_mm_s2: 1000.0,
        corner: CornerRule::Round { off_mm: 0.05 },
    }
}

fn mover(drive: Drive) -> Mover {
    Mover::new(drive).expect("limits of the test are above 0")
}

fn track(vertices: &[(f64, f64, f64)]) -> Track {
    let vertex = |&(x, y, bulge): &(f64, f64, f64)| Vertex {
        at: Point::new(x, y),
        bulge,
    };
    Track {
        vertices: vertices.iter().map(vertex).collect(),
    }
}

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b} within {within}");
}

#[test]
fn a_long_line_is_a_trapezoid_and_a_short_one_a_triangle() {
    let m = mover(drive());
    // v/a up, v/a down, v^2/a of the way on the ramps.
    near(m.straight_s(500.0), 500.0 / 250.0 + 250.0 / 1000.0, 1e-12);
    near(m.straight_s(40.0), 2.0 * (40.0_f64 / 1000.0).sqrt(), 1e-12);
    assert_eq!(m.straight_s(0.0), 0.0);
    let line = track(&[(0.0, 0.0, 0.0), (300.0, 400.0, 0.0)]);
    near(
        m.track_time(&line, 6000.0).expect("a feed").time_s,
        500.0 / 100.0 + 0.1,
        1e-12,
    );
}

#[test]
fn with_a_jerk_limit_a_line_is_the_seven_phase_move() {
    let m = mover(Drive {
        jerk_mm_s3: Some(8000.0),
        ..drive()
    });
    // All seven phases: L/v + v/a + a/j.
    near(
        m.straight_s(500.0),
        500.0 / 250.0 + 250.0 / 1000.0 + 1000.0 / 8000.0,
        1e-12,
    );
    // So short that the full acceleration is never reached: four phases of (L / (2 j))^(1/3).
    near(m.straight_s(2.0), 4.0 * (2.0_f64 / 16000.0).cbrt(), 1e-12);
    // As a track, where the peak is searched for, every length takes the same time.
    for length_mm in [0.01, 1.0, 5.0, 31.2, 31.3, 40.0, 90.0, 93.7, 93.8, 300.0] {
        let line = track(&[(0.0, 0.0, 0.0), (length_mm, 0.0, 0.0)]);
        let time_s = m.track_time(&line, 15_000.0).expect("a feed").time_s;
        near(m.straight_s(length_mm), time_s, 1e-9);
    }
}

#[test]
fn a_full_circle_is_held_by_the_pull_sideways() {
    let m = mover(drive());
    // 10 mm about: 1000 mm/s2 allows 100 mm/s; run up and down from rest takes v^2/a of the way.
    let circle = track(&[(10.0, 0.0, 1.0), (-10.0, 0.0, 1.0), (10.0, 0.0, 0.0)]);
    let time = m.track_time(&circle, 12_000.0).expect("a feed");
    near(
        time.time_s,
        20.0 * std::f64::consts::PI / 100.0 + 100.0 / 1000.0,
        1e-9,
    );
    assert_eq!(time.passed.len(), 1, "the two halves join smoothly");
    near(time.passed[0].peak_mm_s, 100.0, 1e-9);
}

#[test]
fn a_square_corner_is_passed_on_the_circle_that_leaves_it_by_the_allowance() {
    let m = mover(drive());
    let bent = track(&[(0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 100.0, 0.0)]);
    let time = m.track_time(&bent, 6000.0).expect("a feed");
    let sine = std::f64::consts::FRAC_1_SQRT_2;
    let radius_mm = 0.05 * sine / (1.0 - sine);
    near(time.passed[0].leaves_mm_s, (radius_mm * 1000.0).sqrt(), 1e-9);
    let stop = mover(Drive {
        corner: CornerRule::Stop,
        ..drive()
    });
    assert_eq!(
        stop.track_time(&bent, 6000.0).expect("a feed").passed[0].leaves_mm_s,
        0.0
    );
    let step = mover(Drive {
        corner: CornerRule::Step { most_mm_s: 10.0 },
        ..drive()
    });
    near(
        step.track_time(&bent, 6000.0).expect("a feed").passed[0].leaves_mm_s,
        10.0 * sine,
        1e-9,
    );
}

#[test]
fn a_circle_cut_into_many_short_lines_takes_as_long_as_the_circle() {
    let m = mover(drive());
    let points: Vec<(f64, f64, f64)> = (0..=720)
        .map(|i| {
            let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / 720.0).sin_cos();
            (10.0 * cos, 10.0 * sin, 0.0)
        })
        .collect();
    let lines = m.track_time(&track(&points), 12_000.0).expect("a feed").time_s;
    let circle = track(&[(10.0, 0.0, 1.0), (-10.0, 0.0, 1.0), (10.0, 0.0, 0.0)]);
    let arc = m.track_time(&circle, 12_000.0).expect("a feed").time_s;
    near(lines, arc, 0.01 * arc);
}

#[test]
fn a_machine_without_acceleration_and_a_cut_without_feed_are_refused() {
    let still = Drive {
        accel_mm_s2: 0.0,
        ..drive()
    };
    assert!(matches!(
        Mover::new(still),
        Err(DriveError::NotPositive {
            which: "acceleration",
            ..
        })
    ));
    let line = track(&[(0.0, 0.0, 0.0), (1.0, 0.0, 0.0)]);
    assert!(matches!(
        mover(drive()).track_time(&line, f64::NAN),
        Err(DriveError::NoFeed { .. })
    ));
}

/// The fastest way over the track in steps of a thousandth of its length, by the limits alone: speed squared over the
/// way, what each place allows, what can be reached, what can be left. Corner speeds are the track's own.
fn integrated_s(m: &Mover, path: &Track, feed_mm_s: f64) -> f64 {
    let drive = m.drive();
    let time = m.track_time(path, feed_mm_s * 60.0).expect("a feed");
    let joints: Vec<f64> = {
        let mut along = 0.0;
        time.passed
            .iter()
            .map(|passed| {
                along += passed.length_mm;
                along
            })
            .collect()
    };
    const STEPS: usize = 60_000;
    let step = time.length_mm / STEPS as f64;
    let mut most = vec![f64::INFINITY; STEPS + 1];
    let mut along = 0.0;
    for edge in path.segments() {
        let cap = match edge {
            Segment::Line { .. } => feed_mm_s,
            Segment::Arc { radius_mm, .. } => feed_mm_s.min((drive.sideways_mm_s2 * radius_mm).sqrt()),
        };
        let (from, to) = (along / step, (along + edge.length_mm()) / step);
        for (k, most) in most.iter_mut().enumerate() {
            if k as f64 >= from - 1e-9 && k as f64 <= to + 1e-9 {
                *most = most.min(cap * cap);
            }
        }
        along += edge.length_mm();
    }
    for (passed, at) in time.passed.iter().zip(&joints) {
        let k = ((at / step).round() as usize).min(STEPS);
        most[k] = most[k].min(passed.leaves_mm_s * passed.leaves_mm_s);
    }
    most[0] = 0.0;
    most[STEPS] = 0.0;
    let gain = 2.0 * drive.accel_mm_s2 * step;
    for k in 1..=STEPS {
        most[k] = most[k].min(most[k - 1] + gain);
    }
    for k in (0..STEPS).rev() {
        most[k] = most[k].min(most[k + 1] + gain);
    }
    most.windows(2)
        .map(|pair| 2.0 * step / (pair[0].sqrt() + pair[1].sqrt()))
        .sum()
}

fn random_track() -> impl Strategy<Value = Track> {
    prop::collection::vec(
        (-80.0..80.0_f64, -80.0..80.0_f64, -0.9..0.9_f64, any::<bool>()),
        2..7,
    )
    .prop_map(|places| {
        let mut vertices: Vec<Vertex> = Vec::new();
        for (x, y, bulge, straight) in places {
            let at = Point::new(x, y);
            if vertices.last().is_none_or(|last| (last.at - at).norm() > 2.0) {
                vertices.push(Vertex {
                    at,
                    bulge: if straight { 0.0 } else { bulge },
                });
            }
        }
        let end = vertices.last().map_or(Point::origin(), |v| v.at) + plane::Vector::new(15.0, 4.0);
        vertices.push(Vertex { at: end, bulge: 0.0 });
        Track { vertices }
    })
}

fn cases() -> u32 {
    std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(24)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    #[test]
    fn the_time_of_a_track_is_that_of_a_fine_integration(path in random_track(), feed in 10.0..200.0_f64) {
        let m = mover(drive());
        let said = m.track_time(&path, feed * 60.0).expect("a feed").time_s;
        let fine = integrated_s(&m, &path, feed);
        prop_assert!((said - fine).abs() <= 2e-3 * fine, "{} against {}", said, fine);
    }

    #[test]
    fn speeds_keep_their_limits_and_each_stretch_is_as_long_as_its_ramps(
        path in random_track(), feed in 10.0..200.0_f64, jerk in 2e3..1e6_f64,
    ) {
        let drive = Drive { jerk_mm_s3: Some(jerk), ..drive() };
        let m = mover(drive);
        let time = m.track_time(&path, feed * 60.0).expect("a feed");
        for passed in &time.passed {
            prop_assert!(passed.peak_mm_s <= feed * (1.0 + 1e-9));
            // The phases of jerk, stepped in time: they must end at the speeds and the length that were said.
            let (up, up_s) = stepped(passed.enters_mm_s, passed.peak_mm_s, &drive);
            let (down, down_s) = stepped(passed.leaves_mm_s, passed.peak_mm_s, &drive);
            let along = passed.length_mm - up - down;
            prop_assert!(along >= -1e-3 * passed.length_mm - 1e-6, "{passed:?}: {along}");
            let whole = up_s + down_s + along.max(0.0) / passed.peak_mm_s;
            prop_assert!((whole - passed.time_s).abs() <= 2e-3 * whole + 1e-6, "{whole} {passed:?}");
        }
        let without = mover(Drive { jerk_mm_s3: None, ..drive });
        prop_assert!(time.time_s >= without.track_time(&path, feed * 60.0).expect("a feed").time_s - 1e-9);
    }
}

/// Way and time of a change of speed under a jerk limit, by small steps of time.
fn stepped(from: f64, to: f64, drive: &Drive) -> (f64, f64) {
    let jerk = drive.jerk_mm_s3.expect("a jerk limit");
    if to - from < 1e-9 {
        return (0.0, 0.0);
    }
    let peak = drive.accel_mm_s2.min((jerk * (to - from)).sqrt());
    let ramp_s = peak / jerk;
    let flat_s = (to - from - peak * ramp_s) / peak;
    let total = 2.0 * ramp_s + flat_s;
    const STEPS: u32 = 4000;
    let dt = total / f64::from(STEPS);
    let (mut v, mut way) = (from, 0.0);
    for k in 0..STEPS {
        let t = (f64::from(k) + 0.5) * dt;
        let a = (jerk * t).min(peak).min(jerk * (total - t));
        way += (v + a * dt / 2.0) * dt;
        v += a * dt;
    }
    assert!((v - to).abs() < 1e-3 * to, "{v} {to}");
    (way, total)
}

fn one_cut() -> Cut {
    Cut {
        name: "plate".into(),
        of: Of::Outline { part: 0 },
        track: track(&[(0.0, 0.0, 0.0), (1200.0, 0.0, 0.0)]),
        around: [0, 1],
        kerf_mm: 1.5,
        feed_mm_min: 1200.0,
    }
}

#[test]
fn the_bill_grows_from_what_is_sure_to_what_may_be() {
    let between = |low, high| Between::new(low, high).expect("a range");
    let pierce = Pierce {
        each_s: between(0.4, 0.8),
        up_and_down_s: between(1.0, 2.0),
    };
    let doubts = Doubts {
        feed_share: between(0.9, 1.0),
        accel_share: between(0.5, 1.0),
        handling_s: between(0.0, 0.0),
    };
    let cuts = [one_cut(), one_cut()];
    let done = work(&cuts, &[500.0, 500.0], 0.0, &mover(drive()), &pierce, &doubts).expect("a feed");
    assert_eq!(done.pierces, 2);
    near(done.cut_mm, 2400.0, 1e-9);
    near(done.cut_s.low, 2.0 * (60.0 + 0.02), 1e-9);
    near(done.cut_s.high, 2.0 * (1200.0 / 18.0 + 18.0 / 500.0), 1e-9);
    near(done.pierce_s.low, 2.8, 1e-12);
    near(done.travel_s.low, 2.0 * 2.25, 1e-12);
    let rates = Rates {
        shop_per_h: between(60.0, 60.0),
        burning_per_min: between(0.1, 0.2),
        set: between(20.0, 20.0),
        set_pierces: between(200.0, 400.0),
        set_burning_min: between(100.0, 200.0),
        plate: between(5.0, 5.0),
    };
    let bill = bill(&done, &rates);
    near(
        bill.sets_worn.low,
        2.0 / 400.0 + done.cut_s.low / 60.0 / 200.0,
        1e-12,
    );
    near(
        bill.sets_worn.high,
        2.0 / 200.0 + done.cut_s.high / 60.0 / 100.0,
        1e-12,
    );
    near(bill.time.low, done.total_s.low / 60.0, 1e-12);
    assert!(bill.total.low < bill.total.high);
    near(
        bill.total.high,
        bill.wear.high + bill.burning.high + bill.time.high + 5.0,
        1e-12,
    );
    assert!(Between::new(2.0, 1.0).is_err());
}
