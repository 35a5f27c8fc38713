//! Parts that are held, and what holds them.

use std::f64::consts::FRAC_1_SQRT_2;

use nalgebra::{Matrix6, Rotation3, Vector6};

use super::*;
use crate::*;

/// A strip 100 x 20 built in at x = 0.
fn cantilever() -> Model {
    let mesh = strip(100.0, 20.0, 20, 4, PLATE);
    let ties = built_in(&nodes_where(&mesh, |p| p.x == 0.0));
    Model {
        mesh,
        ties,
        ..Model::default()
    }
}

/// A force spread over the free end.
fn at_the_end(model: &Model, all: Vector6<f64>) -> LoadCase {
    let end = nodes_where(&model.mesh, |p| p.x == 100.0);
    LoadCase {
        at_nodes: end.iter().map(|&node| (node, all / end.len() as f64)).collect(),
        ..Default::default()
    }
}

#[test]
fn a_strip_bends_as_a_beam_of_wide_plate() {
    let model = cantilever();
    let case = at_the_end(&model, force(0.0, 0.0, -10.0));
    let ready = prepare(&model).expect("held");
    let solution = ready.solve(&case).expect("solves");
    let tip = solution.moves.last().expect("has nodes")[2];
    // Between a beam and a plate that cannot curve across: P l^3 / 3 E I, with 1 - nu^2 at most.
    let beam = -10.0 * 100.0_f64.powi(3) / (3.0 * 70_000.0 * 20.0 * 27.0 / 12.0);
    assert!(tip / beam > 0.97 && tip / beam < 1.0, "{tip} against {beam}");
    let reaction: f64 = model
        .ties
        .iter()
        .zip(&solution.ties)
        .filter(|(tie, _)| tie.dof.axis == Axis::Z)
        .map(|(_, force)| force)
        .sum();
    assert!((reaction - 10.0).abs() < 1e-8, "{reaction}");
    let balance = ready.out_of_balance(&case, &solution).expect("applies");
    assert!(balance < 1e-8, "{balance}");
    assert!((solution.energy_n_mm + 0.5 * 10.0 * mean_tip(&model, &solution)).abs() < 1e-8);
}

fn mean_tip(model: &Model, solution: &Solution) -> f64 {
    let end = nodes_where(&model.mesh, |p| p.x == 100.0);
    end.iter()
        .map(|&node| solution.moves[node as usize][2])
        .sum::<f64>()
        / end.len() as f64
}

#[test]
fn the_answer_turns_with_the_part() {
    let turn = Rotation3::from_euler_angles(0.4, 1.3, -2.0);
    let model = cantilever();
    let mut other = model.clone();
    for node in &mut other.mesh.nodes {
        *node = turn * *node;
    }
    let load = force(3.0, 5.0, -10.0);
    let straight = prepare(&model)
        .expect("held")
        .solve(&at_the_end(&model, load))
        .expect("solves");
    let case = LoadCase {
        at_nodes: at_the_end(&model, load)
            .at_nodes
            .iter()
            .map(|(node, six)| (*node, turned(&turn, six)))
            .collect(),
        ..Default::default()
    };
    let solution = prepare(&other).expect("held").solve(&case).expect("solves");
    let largest = straight.moves.iter().map(Vector6::amax).fold(0.0, f64::max);
    for (one, other) in straight.moves.iter().zip(&solution.moves) {
        assert!((turned(&turn, one) - other).amax() < 1e-9 * largest);
    }
    assert!((straight.energy_n_mm / solution.energy_n_mm - 1.0).abs() < 1e-9);
}

#[test]
fn a_load_here_moves_there_as_much_as_a_load_there_moves_here() {
    let mesh = angle(40.0, 30.0, 5);
    let ties = built_in(&nodes_where(&mesh, |p| p.x == 0.0));
    let model = Model {
        mesh,
        ties,
        ..Model::default()
    };
    let ready = prepare(&model).expect("held");
    let (here, there) = (20_u32, 60_u32);
    let one = Vector6::new(1.0, 0.0, 0.0, 0.0, 30.0, 0.0);
    let other = Vector6::new(0.0, 1.0, 2.0, 0.0, 0.0, -10.0);
    let solved = |node, six| {
        ready
            .solve(&LoadCase {
                at_nodes: vec![(node, six)],
                ..Default::default()
            })
            .expect("solves")
    };
    let (first, second) = (solved(here, one), solved(there, other));
    let (a, b) = (
        first.moves[there as usize].dot(&other),
        second.moves[here as usize].dot(&one),
    );
    assert!((a / b - 1.0).abs() < 1e-8, "{a} {b}");
}

#[test]
fn springs_with_turned_axes_and_preload_balance() {
    let mesh = strip(100.0, 20.0, 10, 2, PLATE);
    let corners = nodes_where(&mesh, |p| (p.x == 0.0 || p.x == 100.0) && p.y != 10.0);
    let stiffness = Matrix6::from_diagonal(&Vector6::new(5e3, 1e4, 2e4, 1e5, 2e5, 3e5));
    let springs = corners
        .iter()
        .map(|&from| Spring {
            from,
            to: None,
            axes: Rotation3::from_euler_angles(0.2, 0.5, 1.0),
            stiffness,
        })
        .collect();
    let model = Model {
        mesh,
        springs,
        ..Model::default()
    };
    let ready = prepare(&model).expect("held");
    let case = LoadCase {
        at_nodes: vec![(7, force(10.0, 20.0, 30.0))],
        pressures: vec![(3, 0.1), (4, -0.2)],
        gravity_mm_s2: Vector::new(0.0, 0.0, -9810.0),
        preloads: vec![(1, Vector6::new(0.0, 0.0, 100.0, 0.0, 0.0, 0.0))],
    };
    let solution = ready.solve(&case).expect("solves");
    let balance = ready.out_of_balance(&case, &solution).expect("applies");
    assert!(balance < 1e-8, "{balance}");
}

#[test]
fn a_part_pushed_where_it_is_held_moves_and_holds_as_prescribed() {
    let mesh = strip(60.0, 20.0, 6, 2, PLATE);
    let mut ties = built_in(&nodes_where(&mesh, |p| p.x == 0.0));
    let pushed = nodes_where(&mesh, |p| p.x == 60.0);
    ties.extend(
        pushed
            .iter()
            .map(|&node| Tie::prescribed(Dof { node, axis: Axis::Z }, 0.5)),
    );
    let model = Model {
        mesh,
        ties,
        ..Model::default()
    };
    let ready = prepare(&model).expect("held");
    let case = LoadCase::default();
    let solution = ready.solve(&case).expect("solves");
    assert!(pushed.iter().all(|&node| solution.moves[node as usize][2] == 0.5));
    let push: f64 = solution.ties[18..].iter().sum();
    let beam = 3.0 * 70_000.0 * 20.0 * 27.0 / 12.0 / 60.0_f64.powi(3) * 0.5;
    assert!(push / beam > 1.0 && push / beam < 1.1, "{push} against {beam}");
    assert!((solution.energy_n_mm - 0.25 * push).abs() < 1e-8 * push);
    assert!(ready.out_of_balance(&case, &solution).expect("applies") < 1e-8);
}

#[test]
fn a_node_that_nothing_touches_takes_no_part_and_takes_no_load() {
    let mut model = cantilever();
    model.mesh.nodes.push(Point::new(500.0, 0.0, 0.0));
    let lone = model.mesh.nodes.len() as u32 - 1;
    let ready = prepare(&model).expect("held");
    let case = at_the_end(&model, force(0.0, 0.0, 1.0));
    assert_eq!(
        ready.solve(&case).expect("solves").moves[lone as usize],
        Vector6::zeros()
    );
    let case = LoadCase {
        at_nodes: vec![(lone, force(1.0, 0.0, 0.0))],
        ..Default::default()
    };
    assert_eq!(
        ready.solve(&case),
        Err(SolveError::Unheld {
            dof: Dof {
                node: lone,
                axis: Axis::X
            }
        })
    );
}

#[test]
fn frames_do_not_flip_round_a_bend() {
    let mut mesh = strip(40.0, 20.0, 16, 4, PLATE);
    let radius = 10.0;
    for node in &mut mesh.nodes {
        let turn = node.x / radius;
        *node = Point::new(radius * turn.sin(), node.y, radius * (1.0 - turn.cos()));
    }
    let frames = mesh.frames();
    assert!(frames.iter().all(|frame| (frame.x.y.abs() - 1.0).abs() < 1e-12));
    assert!(
        frames
            .iter()
            .all(|frame| frame.x.dot(&frames[0].x) > FRAC_1_SQRT_2)
    );
}
