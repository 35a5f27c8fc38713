//! Plates and strips that buckle, against published factors.

mod strips;

use std::f64::consts::PI;

use nalgebra::{Vector3, Vector6};
use shell::{Axis, EigenError, LoadCase, Model, Seat, Solution, prepare};
use strips::{built_in, hold, nodes_where, off, spread, steel, strip};

/// How a long edge is held.
#[derive(Clone, Copy, PartialEq)]
enum Edge {
    Supported,
    BuiltIn,
    Free,
}

const WIDTH: f64 = 100.0;
const THICKNESS: f64 = 1.0;
const POISSON: f64 = 0.3;

/// The coefficient `k` of `k pi^2 E / (12 (1 - nu^2)) (t / b)^2` for a plate pressed along its length between supported
/// ends.
fn coefficient(length_over_width: f64, along: u32, across: u32, edges: [Edge; 2]) -> f64 {
    let length = length_over_width * WIDTH;
    let mesh = strip(length, WIDTH, along, across, steel(THICKNESS, POISSON));
    let ends = [
        nodes_where(&mesh, |p| p.x == 0.0),
        nodes_where(&mesh, |p| p.x == length),
    ];
    let mut ties = Vec::new();
    for end in &ends {
        hold(&mut ties, end, &[Axis::Z, Axis::AboutX]);
    }
    for (edge, y) in edges.into_iter().zip([0.0, WIDTH]) {
        let nodes = nodes_where(&mesh, |p| p.y == y);
        match edge {
            Edge::Supported => hold(&mut ties, &nodes, &[Axis::Z, Axis::AboutY]),
            Edge::BuiltIn => hold(&mut ties, &nodes, &[Axis::Z, Axis::AboutX, Axis::AboutY]),
            Edge::Free => {}
        }
    }
    hold(&mut ties, &ends[0][..1], &[Axis::X, Axis::Y]);
    hold(&mut ties, &ends[1][..1], &[Axis::Y]);
    let press = WIDTH * THICKNESS;
    let case = LoadCase {
        at_nodes: [
            spread(&ends[0], Vector6::x() * press),
            spread(&ends[1], Vector6::x() * -press),
        ]
        .concat(),
        ..LoadCase::default()
    };
    let model = Model {
        mesh,
        ties,
        ..Model::default()
    };
    let prepared = prepare(&model).unwrap();
    let solution = prepared.solve(&case).unwrap();
    let buckling = prepared.buckling(&solution, 1).unwrap();
    let forces = shell::forces(&model.mesh, &solution.moves);
    for within in [1e-2, 1e-4] {
        let quick = prepared.buckles_at(&solution, &forces, within).unwrap().unwrap();
        assert!(
            (quick / buckling[0].factor - 1.0).abs() < within,
            "{quick} within {within}"
        );
    }
    let section = steel(THICKNESS, POISSON);
    let stress =
        PI.powi(2) * section.elastic_mpa / (12.0 * (1.0 - POISSON.powi(2))) * (THICKNESS / WIDTH).powi(2);
    buckling[0].factor / stress
}

/// Timoshenko and Gere, Theory of Elastic Stability, 1961, chapter 9 (from memory), for Poisson's ratio 0.3 and the length
/// at which the factor is least.
#[test]
fn pressed_plates_buckle_at_the_published_coefficients() {
    use Edge::{BuiltIn, Free, Supported};
    for (name, found, published) in [
        (
            "supported all round",
            coefficient(3.0, 36, 12, [Supported; 2]),
            4.00,
        ),
        // A long plate: 0.425 + (b / a)^2, here 0.6 % more.
        (
            "one edge free",
            coefficient(20.0, 80, 8, [Supported, Free]),
            0.425,
        ),
        (
            "built in and free",
            coefficient(4.92, 48, 10, [BuiltIn, Free]),
            1.277,
        ),
        (
            "built in along both",
            coefficient(1.98, 30, 14, [BuiltIn; 2]),
            6.97,
        ),
    ] {
        println!(
            "{name}: {found:.4}, published {published}, {:+.2} %",
            100.0 * (found / published - 1.0)
        );
        assert!(off(found, published) < 0.015, "{name}: {found}");
    }
}

#[test]
fn coefficient_closes_in_on_4_with_finer_triangles() {
    let error = |cells| off(coefficient(1.0, cells, cells, [Edge::Supported; 2]), 4.0);
    let (coarse, fine) = (error(6), error(12));
    println!(
        "6 cells {coarse:.5}, 12 cells {fine:.5}, order {:.2}",
        (coarse / fine).log2()
    );
    assert!(coarse < 0.02 && fine < 0.3 * coarse, "{coarse} {fine}");
}

const COLUMN: [f64; 3] = [200.0, 20.0, 2.0];

/// A column built in at one end, pressed with 1 N at the other. `flat`: only in its plane.
fn column(flat: bool) -> (Model, LoadCase) {
    let [length, width, thickness] = COLUMN;
    let mesh = strip(length, width, 40, 4, steel(thickness, 0.0));
    let (foot, tip) = (
        nodes_where(&mesh, |p| p.x == 0.0),
        nodes_where(&mesh, |p| p.x == length),
    );
    let mut ties = built_in(&foot);
    if flat {
        let all = nodes_where(&mesh, |_| true);
        hold(&mut ties, &all, &[Axis::Z, Axis::AboutX, Axis::AboutY]);
    }
    let case = LoadCase {
        at_nodes: spread(&tip, -Vector6::x()),
        ..LoadCase::default()
    };
    let model = Model {
        mesh,
        ties,
        ..Model::default()
    };
    (model, case)
}

/// Euler: pi^2 E I / (4 L^2) for a column built in at its foot and free at its tip, and nine times as much next.
#[test]
fn a_strip_buckles_as_the_column_of_euler() {
    let [length, width, thickness] = COLUMN;
    for (flat, inertia) in [
        (false, width * thickness.powi(3) / 12.0),
        (true, thickness * width.powi(3) / 12.0),
    ] {
        let (model, case) = column(flat);
        let prepared = prepare(&model).unwrap();
        let solution = prepared.solve(&case).unwrap();
        let found = prepared.buckling(&solution, 2).unwrap();
        let exact = PI.powi(2) * 210_000.0 * inertia / (4.0 * length * length);
        println!("in its plane {flat}: {:.5} of Euler", found[0].factor / exact);
        assert!(off(found[0].factor, exact) < 0.01, "{} {exact}", found[0].factor);
        // The second shape has three quarters of a wave. In its plane the strip is so deep that shear, which Euler leaves
        // out, takes 5 % of it.
        let second = found[1].factor / exact;
        assert!(
            (9.0 * if flat { 0.93 } else { 0.99 }..9.05).contains(&second),
            "{second}"
        );
        let tip = found[0].shape.last().unwrap();
        assert!((tip[if flat { 1 } else { 2 }] - 1.0).abs() < 0.01, "{tip}");
    }
}

/// Timoshenko and Gere, Theory of Elastic Stability, 1961, article 6.5 (from memory): a narrow rectangular cantilever with a
/// load at the middle of its end tips over sideways at 4.013 (E I G J)^(1/2) / L^2.
#[test]
fn a_narrow_cantilever_tips_over_sideways() {
    let (length, depth, thickness) = (400.0, 20.0, 1.0);
    let section = steel(thickness, 0.0);
    let mesh = strip(length, depth, 80, 4, section);
    let (foot, tip) = (
        nodes_where(&mesh, |p| p.x == 0.0),
        nodes_where(&mesh, |p| p.x == length),
    );
    let model = Model {
        mesh,
        ties: built_in(&foot),
        ..Model::default()
    };
    let case = LoadCase {
        at_nodes: spread(&tip, Vector6::y()),
        ..LoadCase::default()
    };
    let prepared = prepare(&model).unwrap();
    let found = prepared.buckling(&prepared.solve(&case).unwrap(), 1).unwrap()[0].factor;
    let bending = section.elastic_mpa * depth * thickness.powi(3) / 12.0;
    let twisting = 0.5 * section.elastic_mpa * depth * thickness.powi(3) / 3.0;
    let published = 4.013 * (bending * twisting).sqrt() / length.powi(2);
    println!("tips over at {:.4} of 4.013", found / published);
    assert!(off(found, published) < 0.015, "{}", found / published);
}

#[test]
fn a_strip_that_is_pulled_does_not_buckle() {
    let (model, mut case) = column(false);
    let prepared = prepare(&model).unwrap();
    for (_, force) in &mut case.at_nodes {
        *force = -*force;
    }
    assert!(
        prepared
            .buckling(&prepared.solve(&case).unwrap(), 1)
            .unwrap()
            .is_empty()
    );
    let nothing = prepared.solve(&LoadCase::default()).unwrap();
    assert!(prepared.buckling(&nothing, 1).unwrap().is_empty());
    assert_eq!(
        prepared.buckles_at(&nothing, &shell::forces(&model.mesh, &nothing.moves), 1e-4),
        Ok(None)
    );
}

#[test]
fn a_load_that_stays_takes_its_part_of_the_factor() {
    let (model, case) = column(false);
    let prepared = prepare(&model).unwrap();
    let live = prepared.solve(&case).unwrap();
    let alone = prepared.buckling(&live, 1).unwrap()[0].factor;
    let scaled = |by: f64| {
        let mut case = case.clone();
        for (_, force) in &mut case.at_nodes {
            *force *= by;
        }
        prepared.solve(&case).unwrap()
    };
    let beside = prepared.buckling_beside(&scaled(0.25 * alone), &live, 1).unwrap()[0].factor;
    assert!(off(beside, 0.75 * alone) < 1e-6, "{beside} {alone}");
    let too_much = prepared.buckling_beside(&scaled(1.01 * alone), &live, 1);
    assert!(
        matches!(too_much, Err(EigenError::GivesWay { .. })),
        "{too_much:?}"
    );
}

#[test]
fn a_seat_that_carries_props_the_column_and_one_that_is_open_does_not() {
    let (mut model, mut case) = column(false);
    let bare = {
        let prepared = prepare(&model).unwrap();
        prepared.buckling(&prepared.solve(&case).unwrap(), 1).unwrap()[0].factor
    };
    let tip = case.at_nodes.iter().map(|(node, _)| *node).collect::<Vec<_>>();
    model.seats = tip
        .iter()
        .map(|&node| Seat {
            node,
            push: Vector3::z(),
            stiffness_n_mm: 1e5,
            gap_mm: 0.0,
        })
        .collect();
    let prepared = prepare(&model).unwrap();
    let mut factor = |across: f64| {
        case.at_nodes.truncate(tip.len());
        for &node in &tip {
            case.at_nodes.push((node, Vector6::z() * across));
        }
        prepared.buckling(&prepared.solve(&case).unwrap(), 1).unwrap()[0].factor
    };
    assert!(off(factor(1e-6), bare) < 1e-6);
    // Euler with one end built in and the other held sideways: 20.19 E I / L^2 against pi^2 / 4 (Timoshenko and Gere 1961,
    // article 2.1, from memory).
    let propped = factor(-1e-6);
    assert!(
        off(propped, 20.19 / (PI.powi(2) / 4.0) * bare) < 0.01,
        "{}",
        propped / bare
    );
}

#[test]
fn a_solution_of_another_model_is_refused() {
    let (model, _) = column(false);
    let prepared = prepare(&model).unwrap();
    let other = Solution {
        moves: Vec::new(),
        springs: Vec::new(),
        seats_n: Vec::new(),
        ties: Vec::new(),
        energy_n_mm: 0.0,
    };
    assert_eq!(
        prepared.buckling(&other, 1),
        Err(EigenError::OtherModel { moves: 0, seats: 0 })
    );
}
