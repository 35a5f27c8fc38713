//! Strips that move far, against published shapes.

mod strips;

use std::f64::consts::PI;

use nalgebra::{Vector3, Vector6};
use shell::{
    Axis, Dof, LargeOptions, LargeSolution, LoadCase, Model, Seat, Stopped, Tie, believable, large, prepare,
    ties_distributing, ties_fixing, ties_rigid,
};
use strips::{built_in, hold, nodes_where, off, spread, steel, strip};

const LENGTH: f64 = 100.0;
const WIDTH: f64 = 10.0;
const THICKNESS: f64 = 0.5;

fn bending_n_mm2() -> f64 {
    210_000.0 * WIDTH * THICKNESS.powi(3) / 12.0
}

fn cantilever(along: u32) -> (Model, Vec<u32>) {
    let mesh = strip(LENGTH, WIDTH, along, 2, steel(THICKNESS, 0.0));
    let foot = nodes_where(&mesh, |p| p.x == 0.0);
    let tip = nodes_where(&mesh, |p| p.x == LENGTH);
    let model = Model {
        mesh,
        ties: built_in(&foot),
        ..Model::default()
    };
    (model, tip)
}

fn loaded(model: &Model, at_nodes: Vec<(u32, Vector6<f64>)>) -> LargeSolution {
    let case = LoadCase {
        at_nodes,
        ..LoadCase::default()
    };
    large(model, &case, LargeOptions::default()).unwrap()
}

/// A moment `2 pi E I / L` rolls a cantilever into a circle (any text on the elastica). For the whole circle the strip is
/// guided in the plane in which it rolls: left to itself under moments that keep their axes, the rounds no longer settle from
/// 0.94 of the circle on.
#[test]
fn an_end_moment_rolls_a_strip_into_half_a_circle_and_a_whole_one() {
    let (mut model, tip) = cantilever(24);
    for turns in [0.5, 1.0] {
        if turns == 1.0 {
            let all = nodes_where(&model.mesh, |_| true);
            hold(&mut model.ties, &all, &[Axis::Y, Axis::AboutX, Axis::AboutZ]);
        }
        let total = turns * 2.0 * PI * bending_n_mm2() / LENGTH;
        let found = loaded(
            &model,
            spread(&tip, Vector6::new(0.0, 0.0, 0.0, 0.0, -total, 0.0)),
        );
        let angle = 2.0 * PI * turns;
        let (x, z) = (
            LENGTH * angle.sin() / angle - LENGTH,
            LENGTH * (1.0 - angle.cos()) / angle,
        );
        let moved = found.moves[tip[1] as usize];
        println!(
            "{turns} turns: {} steps, {} rounds, off by {:.5} {:.5} of the length",
            found.steps,
            found.iterations,
            (moved.x - x) / LENGTH,
            (moved.z - z) / LENGTH,
        );
        assert_eq!((found.reached, found.stopped), (1.0, None));
        assert!(
            (moved.x - x).abs() < 0.005 * LENGTH && (moved.z - z).abs() < 0.005 * LENGTH,
            "{moved}"
        );
        // Bending along the strip alone, the same everywhere: what does not hang on the axes of each triangle.
        for forces in &found.forces {
            for moment in &forces.moment_n {
                let (sum, product) = (moment.xx + moment.yy, moment.xx * moment.yy - moment.xy.powi(2));
                assert!(off(sum, -total / WIDTH) < 0.01, "{moment:?}");
                assert!(product.abs() < 0.01 * sum * sum, "{moment:?}");
            }
        }
    }
}

/// Movements of the tip over the length, across and along, for `P L^2 / E I`: K. E. Bisshopp and D. C. Drucker, Quarterly of
/// Applied Mathematics 3 (1945) 272-275; values to three places from K. Mattiasson, International Journal for
/// Numerical Methods in Engineering 17 (1981) 145-153 (from memory).
const ELASTICA: [(f64, f64, f64); 3] = [(1.0, 0.302, 0.056), (2.0, 0.493, 0.161), (5.0, 0.714, 0.388)];

#[test]
fn an_end_force_bends_a_strip_into_the_elastica() {
    let (model, tip) = cantilever(24);
    for (load, across, along) in ELASTICA {
        let force = load * bending_n_mm2() / LENGTH.powi(2);
        let found = loaded(&model, spread(&tip, Vector6::z() * force));
        let moved = found.moves[tip[1] as usize] / LENGTH;
        println!(
            "{load}: {:.4} {:.4} in {} steps, {} rounds",
            moved.z, -moved.x, found.steps, found.iterations
        );
        // Half of the last place of the table, and half a per cent.
        assert!(
            (moved.z - across).abs() < 5e-4 + 0.005 * across,
            "{load}: {moved}"
        );
        assert!((-moved.x - along).abs() < 5e-4 + 0.005 * along, "{load}: {moved}");
        assert_eq!(found.reached, 1.0);
    }
}

#[test]
fn a_load_through_a_coupling_bends_the_strip_alike() {
    let (bare, tip) = cantilever(24);
    let force = Vector6::z() * (2.0 * bending_n_mm2() / LENGTH.powi(2));
    let direct = loaded(&bare, spread(&tip, force)).moves[tip[1] as usize];
    for rigid in [false, true] {
        let (mut model, tip) = cantilever(24);
        let middle = model.mesh.nodes[tip[1] as usize];
        let reference = model.mesh.nodes.len() as u32;
        model.mesh.nodes.push(middle);
        if rigid {
            for &node in &tip {
                model.ties.extend(ties_rigid(&model.mesh, node, reference));
            }
        } else {
            let weighted: Vec<(u32, f64)> = tip.iter().map(|&node| (node, 1.0)).collect();
            model
                .ties
                .extend(ties_distributing(&model.mesh, reference, &weighted).unwrap());
        }
        let found = loaded(&model, vec![(reference, force)]);
        let moved = found.moves[reference as usize];
        assert!(
            (moved - direct).amax() < 2e-3 * direct.amax(),
            "{rigid}: {moved} {direct}"
        );
    }
}

#[test]
fn a_part_that_is_carried_round_is_not_strained() {
    let (mut model, tip) = cantilever(6);
    model.ties.clear();
    let hub = model.mesh.nodes.len() as u32;
    model.mesh.nodes.push(shell::Point::new(-30.0, 5.0, 12.0));
    model.ties.extend(ties_fixing(hub));
    let (turn_rad, about) = (2.5, Axis::AboutY);
    for tie in &mut model.ties {
        if tie.dof.axis == about {
            *tie = Tie::prescribed(
                Dof {
                    node: hub,
                    axis: about,
                },
                turn_rad,
            );
        }
    }
    for node in nodes_where(&model.mesh, |p| p.x == 0.0) {
        model.ties.extend(ties_rigid(&model.mesh, node, hub));
    }
    let found = loaded(&model, Vec::new());
    assert_eq!(found.reached, 1.0);
    let arm = Vector3::new(LENGTH + 30.0, 0.0, -12.0);
    let moved = nalgebra::Rotation3::from_axis_angle(&Vector3::y_axis(), turn_rad) * arm - arm;
    let tip = found.moves[tip[1] as usize];
    assert!(
        (tip.fixed_rows::<3>(0) - moved).amax() < 1e-9 * LENGTH,
        "{tip} {moved}"
    );
    // A strain of 1e-9.
    for forces in &found.forces {
        for at in 0..3 {
            let pull = forces.membrane_n_mm[at];
            let most = pull.xx.abs().max(pull.yy.abs()).max(pull.xy.abs());
            assert!(most < 1e-9 * 210_000.0 * THICKNESS, "{pull:?}");
        }
    }
}

#[test]
fn a_small_load_gives_the_linear_answer() {
    let (mut model, tip) = cantilever(12);
    for node in &mut model.mesh.nodes {
        if node.x > 0.5 * LENGTH {
            *node = shell::Point::new(0.5 * LENGTH, node.y, node.x - 0.5 * LENGTH);
        }
    }
    let case = LoadCase {
        at_nodes: spread(&tip, Vector6::new(2e-4, 1e-3, 1e-4, 0.0, 0.0, 0.0)),
        ..LoadCase::default()
    };
    let linear = prepare(&model).unwrap().solve(&case).unwrap();
    let found = large(&model, &case, LargeOptions::default()).unwrap();
    let most = linear.moves.iter().map(|six| six.amax()).fold(0.0, f64::max);
    for (one, other) in linear.moves.iter().zip(&found.moves) {
        assert!((one - other).amax() < 1e-4 * most, "{one} {other}");
    }
    assert!(believable(&model.mesh, &linear).is_small());
}

#[test]
fn a_linear_answer_that_moves_far_is_marked() {
    let (model, tip) = cantilever(12);
    let case = LoadCase {
        at_nodes: spread(&tip, Vector6::z() * (bending_n_mm2() / LENGTH.powi(2))),
        ..LoadCase::default()
    };
    let linear = prepare(&model).unwrap().solve(&case).unwrap();
    let measured = believable(&model.mesh, &linear);
    assert!(!measured.is_small());
    // P L^2 / 2 E I and P L^3 / 3 E I.
    assert!(
        off(measured.turn_rad, 0.5) < 0.01 && off(measured.over_thickness, LENGTH / 3.0 / THICKNESS) < 0.01
    );
}

/// The facets of the moving strip tilt as wholes, so it buckles late by a part that falls with the square of their size.
#[test]
fn a_straight_column_stops_where_it_buckles() {
    let late = |along: u32| {
        let (model, tip) = cantilever(along);
        let euler = PI.powi(2) * bending_n_mm2() / (4.0 * LENGTH.powi(2));
        let found = loaded(&model, spread(&tip, Vector6::x() * (-2.0 * euler)));
        println!(
            "{along} cells: stopped at {:.5} of the buckling load",
            2.0 * found.reached
        );
        assert_eq!(found.stopped, Some(Stopped::GivesWay));
        2.0 * found.reached - 1.0
    };
    let (coarse, fine) = (late(12), late(24));
    assert!(
        coarse.abs() < 0.01 && fine.abs() < 0.5 * coarse.abs(),
        "{coarse} {fine}"
    );
}

#[test]
fn a_tip_that_comes_down_on_a_seat_stays_there() {
    let (mut model, tip) = cantilever(12);
    let gap_mm = 5.0;
    model.seats = tip
        .iter()
        .map(|&node| Seat {
            node,
            push: Vector3::z(),
            stiffness_n_mm: 1e4,
            gap_mm,
        })
        .collect();
    let middle = nodes_where(&model.mesh, |p| p.x == 0.5 * LENGTH);
    let all = nodes_where(&model.mesh, |_| true);
    hold(&mut model.ties, &all, &[Axis::Y]);
    let force = 12.0 * bending_n_mm2() / LENGTH.powi(2);
    let found = loaded(&model, spread(&middle, -Vector6::z() * force));
    assert_eq!(found.reached, 1.0);
    let pushed: f64 = found.seats_n.iter().sum();
    for &node in &tip {
        assert!(
            (found.moves[node as usize].z + gap_mm).abs() < 0.01,
            "{}",
            found.moves[node as usize]
        );
    }
    assert!(pushed > 0.0 && pushed < force);
}
