//! Feet that only press.

use nalgebra::{Matrix6, Rotation3, Vector6};

use super::*;
use crate::*;

/// A plate on a row of seats, held down by one soft spring in the middle.
fn bedded(gaps: bool) -> Model {
    let mesh = strip(80.0, 30.0, 8, 3, PLATE);
    let seats = nodes_where(&mesh, |p| p.y == 0.0)
        .into_iter()
        .map(|node| Seat {
            node,
            push: Vector::z(),
            stiffness_n_mm: 2e4,
            gap_mm: if gaps && node % 3 == 0 {
                1e-4 * f64::from(node)
            } else {
                0.0
            },
        })
        .collect();
    let middle = nodes_where(&mesh, |p| p.x == 40.0 && p.y == 10.0)[0];
    let stiffness = Matrix6::from_diagonal(&Vector6::new(1e4, 1e4, 1e3, 1e5, 1e5, 1e6));
    let springs = vec![Spring {
        from: middle,
        to: None,
        axes: Rotation3::identity(),
        stiffness,
    }];
    Model {
        mesh,
        seats,
        springs,
        ..Model::default()
    }
}

/// Every set of open and closed seats, until one presses where closed and is clear where open.
fn by_trying_all(model: &Model, case: &LoadCase) -> Solution {
    let seats = &model.seats;
    for set in 0..1_u32 << seats.len() {
        let mut other = Model {
            seats: Vec::new(),
            ..model.clone()
        };
        let mut case = case.clone();
        let closed: Vec<usize> = (0..seats.len()).filter(|seat| set >> seat & 1 == 1).collect();
        for &seat in &closed {
            let Seat {
                node,
                stiffness_n_mm: k,
                gap_mm,
                ..
            } = seats[seat];
            let stiffness = Matrix6::from_diagonal(&Vector6::new(0.0, 0.0, k, 0.0, 0.0, 0.0));
            other.springs.push(Spring {
                from: node,
                to: None,
                axes: Rotation3::identity(),
                stiffness,
            });
            case.at_nodes
                .push((node, Vector6::new(0.0, 0.0, -k * gap_mm, 0.0, 0.0, 0.0)));
        }
        let solution = prepare(&other).expect("held").solve(&case).expect("solves");
        let right = seats.iter().enumerate().all(|(index, seat)| {
            let open_mm = solution.moves[seat.node as usize][2] + seat.gap_mm;
            if closed.contains(&index) {
                open_mm <= 0.0
            } else {
                open_mm >= 0.0
            }
        });
        if right {
            return solution;
        }
    }
    panic!("no set is right");
}

#[test]
fn a_plate_pressed_on_one_side_lifts_at_the_other() {
    for gaps in [false, true] {
        let model = bedded(gaps);
        let ready = prepare(&model).expect("held");
        let end = nodes_where(&model.mesh, |p| p.x == 80.0 && p.y == 0.0)[0];
        let case = LoadCase {
            at_nodes: vec![(end, force(0.0, 0.0, -200.0))],
            ..Default::default()
        };
        let solution = ready.solve(&case).expect("decides");
        assert!(
            solution.seats_n[0] == 0.0 && solution.moves[0][2] > 0.0,
            "{:?}",
            solution.seats_n
        );
        assert!(solution.seats_n[8] > 0.0);
        let right = by_trying_all(&model, &case);
        for (one, other) in solution.moves.iter().zip(&right.moves) {
            assert!(
                (one - other).amax() < 1e-8 * other.amax().max(1e-3),
                "{one} {other}"
            );
        }
        assert!(ready.out_of_balance(&case, &solution).expect("applies") < 1e-8);
    }
}

#[test]
fn a_part_that_only_rests_is_held_by_what_presses_it_and_lifts_off_when_pulled() {
    let mesh = strip(
        80.0,
        40.0,
        8,
        4,
        Section {
            thickness_mm: 12.0,
            ..PLATE
        },
    );
    let feet = nodes_where(&mesh, |p| {
        (p.x == 0.0 || p.x == 80.0) && (p.y == 0.0 || p.y == 40.0)
    });
    let seats = feet
        .iter()
        .map(|&node| Seat {
            node,
            push: Vector::z(),
            stiffness_n_mm: 1e4,
            gap_mm: 0.0,
        })
        .collect();
    let mut ties = held(feet[0], &[Axis::X, Axis::Y]);
    ties.extend(held(feet[1], &[Axis::X]));
    let model = Model {
        mesh,
        seats,
        ties,
        ..Model::default()
    };
    let ready = prepare(&model).expect("held");
    let press = |x: f64, y: f64, n: f64| {
        let node = nodes_where(&model.mesh, |p| p.x == x && p.y == y)[0];
        LoadCase {
            at_nodes: vec![(node, force(0.0, 0.0, n))],
            ..Default::default()
        }
    };
    let solution = ready.solve(&press(40.0, 20.0, -100.0)).expect("rests");
    assert!(
        solution.seats_n.iter().all(|&push| (push - 25.0).abs() < 1e-6),
        "{:?}",
        solution.seats_n
    );
    // Near one foot of a stiff plate, the one across from it lifts.
    let case = press(10.0, 10.0, -100.0);
    let solution = ready.solve(&case).expect("rests");
    let total: f64 = solution.seats_n.iter().sum();
    assert!(
        (total - 100.0).abs() < 1e-6 && solution.seats_n.contains(&0.0),
        "{:?}",
        solution.seats_n
    );
    assert!(ready.out_of_balance(&case, &solution).expect("applies") < 1e-8);
    assert_eq!(ready.solve(&press(40.0, 20.0, 100.0)), Err(SolveError::LiftsOff));
}

#[test]
fn loads_solved_together_come_out_as_they_do_alone_and_a_bad_one_spoils_none() {
    let model = bedded(true);
    let prepared = prepare(&model).unwrap();
    let corner = nodes_where(&model.mesh, |p| p.x == 80.0 && p.y == 30.0)[0];
    let push = |force: f64| LoadCase {
        at_nodes: vec![(corner, Vector6::new(0.0, 3.0, force, 0.0, 20.0, 0.0))],
        ..LoadCase::default()
    };
    let nowhere = LoadCase {
        at_nodes: vec![(9_999, Vector6::x())],
        ..LoadCase::default()
    };
    let cases = [push(-40.0), nowhere, push(25.0), LoadCase::default(), push(-7.0)];
    let together = prepared.solve_all(&cases);
    for (case, together) in cases.iter().zip(&together) {
        assert_eq!(*together, prepared.solve(case));
    }
    assert!(together[1].is_err() && together[4].is_ok());
    assert!(prepared.solve_all(&[]).is_empty());
}
