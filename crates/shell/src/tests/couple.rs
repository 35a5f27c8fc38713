//! Nodes that follow others.

use nalgebra::{Vector3, Vector6};

use super::*;
use crate::*;

fn with_reference(place: Point) -> (Mesh, u32) {
    let mut mesh = strip(60.0, 20.0, 6, 4, PLATE);
    mesh.nodes.push(place);
    let reference = mesh.nodes.len() as u32 - 1;
    (mesh, reference)
}

/// Moves a tie gives, for moves of the rest.
fn value(tie: &Tie, moves: &[Vector6<f64>]) -> f64 {
    tie.offset
        + tie
            .follows
            .iter()
            .map(|(dof, share)| share * moves[dof.node as usize][dof.axis.index()])
            .sum::<f64>()
}

fn rigid(mesh: &Mesh) -> Vec<Vector6<f64>> {
    let (movement, turn) = (Vector3::new(0.3, -0.2, 0.7), Vector3::new(0.02, -0.05, 0.04));
    mesh.nodes
        .iter()
        .map(|place| {
            let moved = movement + turn.cross(&place.coords);
            Vector6::new(moved.x, moved.y, moved.z, turn.x, turn.y, turn.z)
        })
        .collect()
}

#[test]
fn couplings_follow_a_rigid_motion() {
    let (mesh, reference) = with_reference(Point::new(80.0, 5.0, 30.0));
    let moves = rigid(&mesh);
    let line: Vec<(u32, f64)> = nodes_where(&mesh, |p| p.x == 60.0)
        .into_iter()
        .map(|node| (node, 1.0 + f64::from(node)))
        .collect();
    let area: Vec<(u32, f64)> = nodes_where(&mesh, |p| p.x >= 50.0 && p.z == 0.0)
        .into_iter()
        .map(|node| (node, 2.0))
        .collect();
    let mut ties = ties_rigid(&mesh, reference, 3).to_vec();
    ties.extend(ties_distributing(&mesh, reference, &area).expect("couples"));
    ties.extend(ties_distributing(&mesh, reference, &line).expect("couples"));
    ties.extend(ties_distributing(&mesh, reference, &line[..1]).expect("couples"));
    ties.extend(ties_to_surface(&mesh, reference, 2, [0.2, 0.5, 0.3]).expect("couples"));
    for tie in ties {
        let exact = moves[reference as usize][tie.dof.axis.index()];
        assert!((value(&tie, &moves) - exact).abs() < 1e-12, "{tie:?}");
    }
}

#[test]
fn a_spread_load_keeps_its_force_and_moment() {
    for line_only in [false, true] {
        let (mesh, reference) = with_reference(Point::new(80.0, 5.0, 30.0));
        let nodes: Vec<(u32, f64)> = nodes_where(&mesh, |p| {
            p.z == 0.0 && (p.x == 60.0 || (p.x == 50.0 && !line_only))
        })
        .into_iter()
        .map(|node| (node, 1.0))
        .collect();
        let mut ties = built_in(&nodes_where(&mesh, |p| p.x == 0.0));
        let fixed = ties.len();
        ties.extend(ties_distributing(&mesh, reference, &nodes).expect("couples"));
        let model = Model {
            mesh,
            ties,
            ..Model::default()
        };
        let ready = prepare(&model).expect("held");
        let load = Vector6::new(3.0, -5.0, 10.0, 100.0, -200.0, 300.0);
        let case = LoadCase {
            at_nodes: vec![(reference, load)],
            ..Default::default()
        };
        let solution = ready.solve(&case).expect("solves");
        assert!(ready.out_of_balance(&case, &solution).expect("applies") < 1e-8);
        // The root alone holds what was put on.
        let (mut force, mut moment) = (Vector3::zeros(), Vector3::zeros());
        for (tie, &value) in model.ties[..fixed].iter().zip(&solution.ties) {
            let axis = tie.dof.axis.index();
            if axis < 3 {
                let own = Vector3::ith(axis, value);
                force += own;
                moment += model.mesh.nodes[tie.dof.node as usize].coords.cross(&own);
            } else {
                moment += Vector3::ith(axis - 3, value);
            }
        }
        let own: Vector3<f64> = load.fixed_rows::<3>(0).into_owned();
        let about = model.mesh.nodes[reference as usize].coords.cross(&own) + load.fixed_rows::<3>(3);
        assert!((force + own).norm() < 1e-8 * own.norm());
        assert!((moment + about).norm() < 1e-8 * about.norm());
        // What the ties put on the reference node is the load turned round.
        for (at, &value) in solution.ties[fixed..].iter().enumerate() {
            assert!((value + load[at]).abs() < 1e-8 * load.amax());
        }
    }
}

#[test]
fn ties_chain_and_the_order_they_are_told_in_does_not_matter() {
    let (mesh, reference) = with_reference(Point::new(70.0, 10.0, 0.0));
    let end = nodes_where(&mesh, |p| p.x == 60.0);
    // The end follows its first node, which follows the reference, which is held.
    let mut ties = built_in(&nodes_where(&mesh, |p| p.x == 0.0));
    ties.push(Tie::prescribed(
        Dof {
            node: reference,
            axis: Axis::Z,
        },
        0.25,
    ));
    ties.extend(ties_rigid(&mesh, end[0], reference));
    for &node in &end[1..] {
        ties.extend(ties_rigid(&mesh, node, end[0]));
    }
    let model = Model {
        mesh,
        ties,
        ..Model::default()
    };
    let mut turned_round = model.clone();
    turned_round.ties.reverse();
    let one = prepare(&model)
        .expect("held")
        .solve(&LoadCase::default())
        .expect("solves");
    let ready = prepare(&turned_round).expect("held");
    let other = ready.solve(&LoadCase::default()).expect("solves");
    assert_eq!(one.moves, other.moves);
    let held: f64 = 0.25;
    assert!((one.moves[reference as usize][2] - held).abs() < 1e-12);
    assert!(
        ready
            .out_of_balance(&LoadCase::default(), &other)
            .expect("applies")
            < 1e-8
    );
    let pushed = one.ties[5 * 6];
    assert!((one.energy_n_mm - 0.5 * held * pushed).abs() < 1e-8 * one.energy_n_mm);
}

#[test]
fn bad_ties_are_named() {
    let mesh = strip(60.0, 20.0, 6, 4, PLATE);
    let z = |node| Dof { node, axis: Axis::Z };
    let with = |extra: Vec<Tie>| {
        let model = Model {
            mesh: mesh.clone(),
            ties: extra,
            ..Model::default()
        };
        prepare(&model).err()
    };
    assert_eq!(
        with(vec![Tie::fixed(z(4)), Tie::prescribed(z(4), 1.0)]),
        Some(PrepareError::Tie(TieError::Twice { dof: z(4) }))
    );
    let follows = |node, other| Tie {
        dof: z(node),
        follows: vec![(z(other), 1.0)],
        offset: 0.0,
    };
    assert!(matches!(
        with(vec![follows(1, 2), follows(2, 3), follows(3, 1)]),
        Some(PrepareError::Tie(TieError::Circle { .. }))
    ));
    assert_eq!(
        with(vec![follows(1, 999)]),
        Some(PrepareError::Tie(TieError::NoNode { dof: z(999) }))
    );
    assert_eq!(
        ties_distributing(&mesh, 3, &[]),
        Err(CouplingError::NoNodes { reference: 3 })
    );
    assert_eq!(
        ties_distributing(&mesh, 3, &[(3, 1.0)]),
        Err(CouplingError::FollowsItself { reference: 3 })
    );
    assert_eq!(
        ties_distributing(&mesh, 3, &[(4, 0.0)]),
        Err(CouplingError::BadWeight { node: 4, weight: 0.0 })
    );
}
