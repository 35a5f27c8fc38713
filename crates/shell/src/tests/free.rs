//! Parts that are not held, and how it is said.

use nalgebra::{Matrix6, Rotation3, Vector6};

use super::*;
use crate::*;

fn said(model: &Model) -> String {
    match prepare(model) {
        Err(PrepareError::Free(free)) => free.to_string(),
        other => panic!("expected to be free, got {:?}", other.map(|_| ())),
    }
}

fn modes(model: &Model) -> Vec<FreeMotion> {
    match prepare(model) {
        Err(PrepareError::Free(free)) => free.modes.iter().map(|mode| mode.motion).collect(),
        other => panic!("expected to be free, got {:?}", other.map(|_| ())),
    }
}

#[test]
fn a_floating_part_is_free_in_six_ways() {
    let model = Model {
        mesh: angle(40.0, 30.0, 3),
        ..Model::default()
    };
    let modes = modes(&model);
    assert_eq!(modes.len(), 6);
    assert!(
        modes[..3]
            .iter()
            .all(|motion| matches!(motion, FreeMotion::About { .. })),
        "{modes:?}"
    );
    assert!(
        modes[3..]
            .iter()
            .all(|motion| matches!(motion, FreeMotion::Along(_))),
        "{modes:?}"
    );
}

#[test]
fn a_part_held_at_three_feet_slides_and_turns_in_their_plane() {
    let mesh = strip(60.0, 20.0, 6, 2, PLATE);
    let ties = [0, 2, 20]
        .iter()
        .flat_map(|&node| held(node, &[Axis::Z]))
        .collect();
    let model = Model {
        mesh,
        ties,
        ..Model::default()
    };
    let said = said(&model);
    assert_eq!(
        said,
        "free to move: about z through (30.0, 10.0, 0.0) (the part of node 0), \
         along x (the part of node 0), along y (the part of node 0)"
    );
}

#[test]
fn a_hinge_is_told_by_its_line() {
    let mesh = strip(60.0, 20.0, 6, 2, PLATE);
    let hinge = nodes_where(&mesh, |p| p.x == 60.0);
    let ties = hinge
        .iter()
        .flat_map(|&node| held(node, &[Axis::X, Axis::Y, Axis::Z]))
        .collect();
    let model = Model {
        mesh,
        ties,
        ..Model::default()
    };
    let modes = modes(&model);
    let [
        FreeMotion::About {
            axis,
            through,
            advance_mm,
        },
    ] = modes[..]
    else {
        panic!("{modes:?}")
    };
    assert!((axis.y.abs() - 1.0).abs() < 1e-9 && advance_mm.abs() < 1e-6);
    assert!(
        (through.x - 60.0).abs() < 1e-6 && through.z.abs() < 1e-6,
        "{through}"
    );
}

#[test]
fn two_parts_joined_by_a_spring_float_together() {
    let mut mesh = strip(60.0, 20.0, 6, 2, PLATE);
    let other = mesh.clone();
    let shift = mesh.nodes.len() as u32;
    mesh.nodes
        .extend(other.nodes.iter().map(|p| Point::new(p.x, p.y, 10.0)));
    mesh.triangles
        .extend(other.triangles.iter().map(|nodes| nodes.map(|node| node + shift)));
    mesh.patches.extend(other.patches.iter().map(|patch| patch + 1));
    mesh.section_of.extend(other.section_of);
    let stiff = Matrix6::from_diagonal(&Vector6::new(1e4, 1e4, 1e4, 1e5, 1e5, 1e5));
    let spring = Spring {
        from: 4,
        to: Some(4 + shift),
        axes: Rotation3::identity(),
        stiffness: stiff,
    };
    let mut model = Model {
        mesh,
        springs: vec![spring],
        ..Model::default()
    };
    let Err(PrepareError::Free(free)) = prepare(&model) else {
        panic!("held")
    };
    assert_eq!(free.modes.len(), 6);
    assert!(free.modes.iter().all(|mode| mode.with_others == 1));

    // Held at one of them, both are held; without the spring the other floats by itself.
    model.ties = built_in(&[0]);
    assert!(prepare(&model).is_ok());
    model.springs.clear();
    let Err(PrepareError::Free(free)) = prepare(&model) else {
        panic!("held")
    };
    assert_eq!(free.modes.len(), 6);
    assert!(
        free.modes
            .iter()
            .all(|mode| mode.with_others == 0 && mode.node == shift)
    );
}

#[test]
fn a_part_on_a_turned_spring_that_lets_one_way_go_slides_that_way() {
    let mesh = strip(60.0, 20.0, 6, 2, PLATE);
    let turn = Rotation3::from_axis_angle(&Vector::z_axis(), 0.5);
    let stiffness = Matrix6::from_diagonal(&Vector6::new(0.0, 1e4, 1e4, 1e5, 1e5, 1e5));
    let model = Model {
        mesh,
        springs: vec![Spring {
            from: 7,
            to: None,
            axes: turn,
            stiffness,
        }],
        ..Model::default()
    };
    let modes = modes(&model);
    let [FreeMotion::Along(direction)] = modes[..] else {
        panic!("{modes:?}")
    };
    assert!(direction.cross(&(turn * Vector::x())).norm() < 1e-9);
}

#[test]
fn a_reference_that_only_carries_the_load_is_no_free_part() {
    let mut mesh = strip(60.0, 20.0, 6, 2, PLATE);
    mesh.nodes.push(Point::new(80.0, 10.0, 0.0));
    let reference = mesh.nodes.len() as u32 - 1;
    let mut ties = built_in(&nodes_where(&mesh, |p| p.x == 0.0));
    for node in nodes_where(&mesh, |p| p.x == 60.0) {
        ties.extend(ties_rigid(&mesh, node, reference));
    }
    let model = Model {
        mesh,
        ties,
        ..Model::default()
    };
    assert!(prepare(&model).is_ok());
    // Held by the reference alone, which nothing holds, it is free.
    let free = Model {
        ties: model.ties[18..].to_vec(),
        ..model
    };
    assert_eq!(modes(&free).len(), 6);
}
