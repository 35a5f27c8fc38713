//! The bounded solver against problems with known answers: More, Garbow and Hillstrom, Testing unconstrained
//! optimization software, ACM Transactions on Mathematical Software 7 (1981) 17 (data and minima from memory, except
//! the Kowalik and Osborne row, which NIST certifies as MGH09).

use fit::{Bound, SolveError, SolveOptions, Solved, Stopped, solve_bounded};

fn solve(residuals: impl Fn(&[f64]) -> Vec<f64>, start: &[f64]) -> Solved {
    let open = vec![Bound::OPEN; start.len()];
    let options = SolveOptions {
        max_evaluations: 20_000,
        met: 0.0,
        grid: 0,
    };
    solve_bounded(&mut |x| Some(residuals(x)), start, &open, &options).expect("the problem is sound")
}

fn sum_of_squares(solved: &Solved) -> f64 {
    solved.residuals.iter().map(|r| r * r).sum()
}

fn close(found: f64, wanted: f64, share: f64) -> bool {
    (found - wanted).abs() <= share * wanted.abs().max(1e-30)
}

fn rosenbrock(x: &[f64]) -> Vec<f64> {
    vec![10.0 * (x[1] - x[0] * x[0]), 1.0 - x[0]]
}

#[test]
fn rosenbrock_comes_to_one_and_one() {
    let solved = solve(rosenbrock, &[-1.2, 1.0]);
    assert!(
        (solved.x[0] - 1.0).abs() < 1e-8 && (solved.x[1] - 1.0).abs() < 1e-8,
        "{solved:?}"
    );
    assert_eq!(solved.rank, 2);
}

#[test]
fn freudenstein_and_roth_comes_to_either_of_its_minima() {
    let f = |x: &[f64]| {
        vec![
            -13.0 + x[0] + ((5.0 - x[1]) * x[1] - 2.0) * x[1],
            -29.0 + x[0] + ((x[1] + 1.0) * x[1] - 14.0) * x[1],
        ]
    };
    let solved = solve(f, &[0.5, -2.0]);
    assert!(close(sum_of_squares(&solved), 48.984_25, 1e-6), "{solved:?}");
    let best = solve(f, &[5.5, 3.5]);
    assert!(
        (best.x[0] - 5.0).abs() < 1e-7 && (best.x[1] - 4.0).abs() < 1e-7,
        "{best:?}"
    );
}

#[test]
fn powells_badly_scaled_pair_is_found() {
    let f = |x: &[f64]| vec![1e4 * x[0] * x[1] - 1.0, (-x[0]).exp() + (-x[1]).exp() - 1.0001];
    let solved = solve(f, &[0.0, 1.0]);
    assert!(solved.largest < 1e-8, "{solved:?}");
    assert!(close(solved.x[1], 9.106, 1e-4), "{solved:?}");
}

#[test]
fn beale_comes_to_three_and_a_half() {
    let f = |x: &[f64]| {
        let y = [1.5, 2.25, 2.625];
        (0..3)
            .map(|i| y[i] - x[0] * (1.0 - x[1].powi(i as i32 + 1)))
            .collect()
    };
    let solved = solve(f, &[1.0, 1.0]);
    assert!(
        (solved.x[0] - 3.0).abs() < 1e-7 && (solved.x[1] - 0.5).abs() < 1e-7,
        "{solved:?}"
    );
}

#[test]
fn the_helical_valley_is_followed_round() {
    let f = |x: &[f64]| {
        let theta = (x[1] / x[0]).atan() / std::f64::consts::TAU + if x[0] < 0.0 { 0.5 } else { 0.0 };
        vec![
            10.0 * (x[2] - 10.0 * theta),
            10.0 * (x[0].hypot(x[1]) - 1.0),
            x[2],
        ]
    };
    let solved = solve(f, &[-1.0, 0.0, 0.0]);
    assert!(
        (solved.x[0] - 1.0).abs() < 1e-8 && solved.x[1].abs() < 1e-8,
        "{solved:?}"
    );
}

#[test]
fn bard_comes_to_8_21487e_3() {
    let y = [
        0.14, 0.18, 0.22, 0.25, 0.29, 0.32, 0.35, 0.39, 0.37, 0.58, 0.73, 0.96, 1.34, 2.10, 4.39,
    ];
    let f = |x: &[f64]| {
        (0..15)
            .map(|i| {
                let u = f64::from(i + 1);
                let v = 16.0 - u;
                y[i as usize] - (x[0] + u / (v * x[1] + u.min(v) * x[2]))
            })
            .collect()
    };
    let solved = solve(f, &[1.0, 1.0, 1.0]);
    assert!(close(sum_of_squares(&solved), 8.214_87e-3, 1e-5), "{solved:?}");
}

#[test]
fn kowalik_and_osborne_comes_to_the_certified_row() {
    let y = [
        0.1957, 0.1947, 0.1735, 0.1600, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246,
    ];
    let u = [
        4.0, 2.0, 1.0, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625,
    ];
    let f = |x: &[f64]| {
        y.iter()
            .zip(u)
            .map(|(y, u)| y - x[0] * (u * u + u * x[1]) / (u * u + u * x[2] + x[3]))
            .collect()
    };
    let solved = solve(f, &[0.25, 0.39, 0.415, 0.39]);
    let row = |id: &str| -> f64 {
        let rows = include_str!("../../../reference/check_values.csv");
        let row = rows
            .lines()
            .find(|l| l.starts_with(id))
            .expect("the row is there");
        row.split(',')
            .nth(3)
            .and_then(|v| v.parse().ok())
            .expect("the row has a value")
    };
    assert!(close(solved.x[0], row("I048,"), 1e-6), "{solved:?}");
    assert!(close(sum_of_squares(&solved), row("I049,"), 1e-9), "{solved:?}");
}

#[test]
fn meyer_comes_to_87_9458() {
    let y = [
        34780.0, 28610.0, 23650.0, 19630.0, 16370.0, 13720.0, 11540.0, 9744.0, 8261.0, 7030.0, 6005.0,
        5147.0, 4427.0, 3820.0, 3307.0, 2872.0,
    ];
    let f = |x: &[f64]| {
        y.iter()
            .enumerate()
            .map(|(i, y)| x[0] * (x[1] / (45.0 + 5.0 * (i as f64 + 1.0) + x[2])).exp() - y)
            .collect()
    };
    let solved = solve(f, &[0.02, 4000.0, 250.0]);
    assert!(close(sum_of_squares(&solved), 87.9458, 1e-5), "{solved:?}");
}

#[test]
fn jennrich_and_sampson_comes_to_124_362() {
    let f = |x: &[f64]| {
        (1..=10)
            .map(|i| {
                let i = f64::from(i);
                2.0 + 2.0 * i - ((i * x[0]).exp() + (i * x[1]).exp())
            })
            .collect()
    };
    let solved = solve(f, &[0.3, 0.4]);
    assert!(close(sum_of_squares(&solved), 124.362, 1e-5), "{solved:?}");
    assert!((solved.x[0] - 0.2578).abs() < 1e-4, "{solved:?}");
}

#[test]
fn brown_and_dennis_comes_to_85822_2() {
    let f = |x: &[f64]| {
        (1..=20)
            .map(|i| {
                let t = f64::from(i) / 5.0;
                (x[0] + t * x[1] - t.exp()).powi(2) + (x[2] + x[3] * t.sin() - t.cos()).powi(2)
            })
            .collect()
    };
    let solved = solve(f, &[25.0, 5.0, -5.0, -1.0]);
    assert!(close(sum_of_squares(&solved), 85822.2, 1e-6), "{solved:?}");
}

#[test]
fn powells_singular_four_come_to_nothing_and_two_mixtures_are_not_decided_there() {
    let f = |x: &[f64]| {
        vec![
            x[0] + 10.0 * x[1],
            5.0_f64.sqrt() * (x[2] - x[3]),
            (x[1] - 2.0 * x[2]).powi(2),
            10.0_f64.sqrt() * (x[0] - x[3]).powi(2),
        ]
    };
    let solved = solve(f, &[3.0, -1.0, 0.0, 1.0]);
    assert!(solved.largest < 1e-7, "{solved:?}");
    assert!(solved.x.iter().all(|x| x.abs() < 1e-2), "{solved:?}");
}

#[test]
fn a_bound_that_binds_is_named_and_the_rest_is_still_best() {
    let bounds = [Bound { low: -2.0, high: 0.5 }, Bound { low: -2.0, high: 2.0 }];
    let options = SolveOptions::default();
    let solved = solve_bounded(&mut |x| Some(rosenbrock(x)), &[-1.2, 1.0], &bounds, &options).expect("sound");
    assert_eq!(solved.at_bound, [true, false]);
    assert!(
        (solved.x[0] - 0.5).abs() < 1e-12 && (solved.x[1] - 0.25).abs() < 1e-8,
        "{solved:?}"
    );
    assert!(solved.met && close(solved.largest, 0.5, 1e-8));
}

#[test]
fn an_unknown_that_moves_nothing_is_named() {
    let bounds = [
        Bound { low: 0.0, high: 50.0 },
        Bound { low: 0.0, high: 1.0 },
        Bound { low: 0.0, high: 1.0 },
    ];
    let f = |x: &[f64]| Some(vec![(x[0] - 20.0) / 0.3, x[1] + 0.0 * x[2] - 0.4]);
    let solved =
        solve_bounded(&mut { f }, &[10.0, 0.1, 0.7], &bounds, &SolveOptions::default()).expect("sound");
    assert!((solved.x[0] - 20.0).abs() < 1e-9 && (solved.x[2] - 0.7).abs() < 1e-12);
    assert_eq!((solved.rank, solved.undetermined), (2, vec![false, false, true]));
}

#[test]
fn two_unknowns_of_which_only_the_sum_counts_are_both_named() {
    let bounds = [Bound { low: 0.0, high: 10.0 }; 2];
    let mut f = |x: &[f64]| Some(vec![x[0] + x[1] - 6.0, 2.0 * (x[0] + x[1]) - 12.0]);
    let solved = solve_bounded(&mut f, &[1.0, 1.0], &bounds, &SolveOptions::default()).expect("sound");
    assert!(solved.largest < 1e-9);
    assert_eq!((solved.rank, solved.undetermined), (1, vec![true, true]));
}

#[test]
fn what_cannot_be_made_is_gone_round() {
    let bounds = [Bound { low: 0.0, high: 10.0 }; 2];
    // A leg too short to bend: nothing below a line through the way down.
    let mut f = |x: &[f64]| (x[0] + x[1] >= 4.0).then(|| vec![x[0] - 1.0, 2.0 * (x[1] - 3.5)]);
    let solved = solve_bounded(&mut f, &[9.0, 0.5], &bounds, &SolveOptions::default()).expect("sound");
    assert!(
        (solved.x[0] - 1.0).abs() < 1e-7 && (solved.x[1] - 3.5).abs() < 1e-7,
        "{solved:?}"
    );
}

#[test]
fn a_start_that_cannot_be_made_is_left_for_one_that_can() {
    let bounds = [Bound { low: -3.0, high: 3.0 }];
    let mut f = |x: &[f64]| (x[0] > 0.0).then(|| vec![(x[0] * x[0] - 2.0) * 100.0]);
    let solved = solve_bounded(&mut f, &[-1.0], &bounds, &SolveOptions::default()).expect("sound");
    assert!((solved.x[0] - 2.0_f64.sqrt()).abs() < 1e-10, "{solved:?}");
}

#[test]
fn a_start_in_the_wrong_valley_is_left_for_the_grid() {
    let bounds = [Bound { low: -4.0, high: 4.0 }];
    let mut f = |x: &[f64]| {
        let far = (x[0] - 3.0) / 0.1;
        let near = 2.0 + (x[0] + 2.0).abs();
        Some(vec![if far.abs() < near { far } else { near }])
    };
    let solved = solve_bounded(
        &mut f,
        &[-1.9],
        &bounds,
        &SolveOptions {
            grid: 16,
            ..SolveOptions::default()
        },
    );
    assert!((solved.expect("sound").x[0] - 3.0).abs() < 1e-6);
}

#[test]
fn nothing_to_solve_says_why() {
    let options = SolveOptions::default();
    let mut none = |_: &[f64]| None;
    let bound = [Bound { low: 0.0, high: 1.0 }];
    assert_eq!(
        solve_bounded(&mut none, &[], &[], &options),
        Err(SolveError::NoUnknowns)
    );
    let uneven = SolveError::NotAsMany {
        unknowns: 2,
        bounds: 1,
    };
    assert_eq!(
        solve_bounded(&mut none, &[0.5, 0.5], &bound, &options),
        Err(uneven)
    );
    let empty = SolveError::EmptyBound {
        unknown: 0,
        low: 2.0,
        high: 1.0,
    };
    let upside_down = [Bound { low: 2.0, high: 1.0 }];
    assert_eq!(
        solve_bounded(&mut none, &[1.5], &upside_down, &options),
        Err(empty)
    );
    assert_eq!(
        solve_bounded(&mut none, &[0.5], &bound, &options),
        Err(SolveError::ImpossibleEverywhere { tried: 5 })
    );
    let mut nothing = |_: &[f64]| Some(Vec::new());
    assert_eq!(
        solve_bounded(&mut nothing, &[0.5], &bound, &options),
        Err(SolveError::NoResiduals)
    );
}

#[test]
fn evaluations_are_never_more_than_allowed() {
    let mut count = 0;
    let mut f = |x: &[f64]| {
        count += 1;
        Some(rosenbrock(x))
    };
    let options = SolveOptions {
        max_evaluations: 17,
        met: 0.0,
        grid: 4,
    };
    let solved = solve_bounded(&mut f, &[-1.2, 1.0], &[Bound::OPEN; 2], &options).expect("sound");
    assert_eq!((solved.stopped, solved.evaluations), (Stopped::Evaluations, 17));
    assert_eq!(count, 17);
}
