//! Plates and strips that swing, against published frequencies.

mod strips;

use std::f64::consts::{PI, TAU};

use nalgebra::{Rotation3, Vector3, Vector6};
use shell::{Axis, EigenError, LoadCase, Model, PointMass, Seat, prepare, ties_distributing};
use strips::{built_in, hold, nodes_where, off, spread, steel, strip};

const LENGTH: f64 = 200.0;
const WIDTH: f64 = 20.0;
const THICKNESS: f64 = 2.0;

fn cantilever(along: u32, across: u32) -> Model {
    let mesh = strip(LENGTH, WIDTH, along, across, steel(THICKNESS, 0.0));
    let foot = nodes_where(&mesh, |p| p.x == 0.0);
    Model {
        mesh,
        ties: built_in(&foot),
        ..Model::default()
    }
}

fn bending_n_mm2() -> f64 {
    210_000.0 * WIDTH * THICKNESS.powi(3) / 12.0
}

fn mass_t_mm() -> f64 {
    7.85e-9 * WIDTH * THICKNESS
}

/// Young and Budynas, Roark's Formulas for Stress and Strain, 7th edition, table 16.1 (from memory): a uniform cantilever has
/// K = 3.516 and 22.03 in `K / (2 pi) (E I / (m L^4))^(1/2)`.
#[test]
fn a_strip_swings_as_a_cantilever() {
    let model = cantilever(40, 4);
    let modes = prepare(&model).unwrap().frequencies(4).unwrap();
    let unit = (bending_n_mm2() / (mass_t_mm() * LENGTH.powi(4))).sqrt() / TAU;
    for (mode, k) in modes.iter().zip([3.516, 22.03]) {
        println!("{:.3} Hz, {:.5} of published", mode.hz, mode.hz / (k * unit));
        assert!(off(mode.hz, k * unit) < 0.01, "{} {}", mode.hz, k * unit);
    }
    assert!(modes.windows(2).all(|pair| pair[0].hz <= pair[1].hz));
}

/// pi / 2 (m^2 / a^2 + n^2 / b^2) (D / mass per area)^(1/2): Leissa, Vibration of Plates, NASA SP-160, 1969, chapter 4.
#[test]
fn a_supported_plate_swings_as_published_and_a_square_one_twice_the_same() {
    for (a, b, waves) in [
        (200.0, 300.0, [(1, 1), (1, 2), (2, 1)]),
        (200.0, 200.0, [(1, 1), (1, 2), (2, 1)]),
    ] {
        let section = steel(THICKNESS, 0.3);
        let mesh = strip(a, b, 24, 24, section);
        let rim = nodes_where(&mesh, |p| p.x == 0.0 || p.x == a || p.y == 0.0 || p.y == b);
        let mut ties = Vec::new();
        hold(&mut ties, &rim, &[Axis::Z]);
        let all = nodes_where(&mesh, |_| true);
        hold(&mut ties, &all, &[Axis::X, Axis::Y, Axis::AboutZ]);
        let model = Model {
            mesh,
            ties,
            ..Model::default()
        };
        let modes = prepare(&model).unwrap().frequencies(3).unwrap();
        let plate = section.elastic_mpa * THICKNESS.powi(3) / (12.0 * (1.0 - 0.3 * 0.3));
        let root = (plate / (section.density_t_mm3 * THICKNESS)).sqrt();
        for (mode, (m, n)) in modes.iter().zip(waves) {
            let published = 0.5 * PI * (f64::from(m * m) / (a * a) + f64::from(n * n) / (b * b)) * root;
            println!("{a} x {b}, {m} {n}: {:.5} of published", mode.hz / published);
            assert!(off(mode.hz, published) < 0.01, "{m} {n}: {} {published}", mode.hz);
        }
    }
}

/// Rayleigh: 33/140 of the strip's own mass swings with the lump (Timoshenko, Vibration Problems in Engineering, 1955,
/// article 4, from memory).
#[test]
fn a_lump_at_the_tip_slows_the_strip() {
    let mut model = cantilever(40, 4);
    let tip = nodes_where(&model.mesh, |p| p.x == LENGTH);
    // The lump hangs on a node of its own that takes the mean movement of the edge.
    let lump = model.mesh.nodes.len() as u32;
    model.mesh.nodes.push(shell::Point::new(LENGTH, 0.5 * WIDTH, 0.0));
    let weighted: Vec<(u32, f64)> = tip.iter().map(|&node| (node, 1.0)).collect();
    model
        .ties
        .extend(ties_distributing(&model.mesh, lump, &weighted).unwrap());
    let own = mass_t_mm() * LENGTH;
    for times in [1.0, 10.0] {
        model.masses = vec![PointMass {
            node: lump,
            mass_t: times * own,
        }];
        let found = prepare(&model).unwrap().frequencies(1).unwrap()[0].hz;
        let swinging = times * own + 33.0 / 140.0 * own;
        let exact = (3.0 * bending_n_mm2() / (swinging * LENGTH.powi(3))).sqrt() / TAU;
        println!("{times} times its own mass: {:.5} of Rayleigh", found / exact);
        assert!(off(found, exact) < 0.01, "{found} {exact}");
    }
}

#[test]
fn a_turned_part_swings_the_same() {
    let mut model = cantilever(12, 2);
    let still = prepare(&model).unwrap().frequencies(3).unwrap();
    let turn = Rotation3::from_euler_angles(0.4, -0.9, 2.0);
    for node in &mut model.mesh.nodes {
        *node = turn * *node;
    }
    let turned = prepare(&model).unwrap().frequencies(3).unwrap();
    for (one, other) in still.iter().zip(&turned) {
        assert!(off(one.hz, other.hz) < 1e-8, "{} {}", one.hz, other.hz);
        for (one, other) in one.shape.iter().zip(&other.shape) {
            let back = turn.inverse() * other.fixed_rows::<3>(0);
            let moved = one.fixed_rows::<3>(0);
            assert!((moved - back).norm().min((moved + back).norm()) < 1e-4);
        }
    }
}

#[test]
fn a_seat_that_is_open_does_not_hold_the_tip() {
    let mut model = cantilever(20, 2);
    let bare = prepare(&model).unwrap().frequencies(1).unwrap()[0].hz;
    let tip = nodes_where(&model.mesh, |p| p.x == LENGTH);
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
    let solved = |across: f64| {
        let case = LoadCase {
            at_nodes: spread(&tip, Vector6::z() * across),
            ..LoadCase::default()
        };
        prepared.solve(&case).unwrap()
    };
    let lifted = prepared.frequencies_seated(&solved(1.0), 1).unwrap()[0].hz;
    assert!(off(lifted, bare) < 1e-7, "{lifted} {bare}");
    // Built in at one end, held at the other: K = 15.42 (Roark, table 16.1, from memory).
    let pressed = prepared.frequencies_seated(&solved(-1.0), 1).unwrap()[0].hz;
    assert!(off(pressed, 15.42 / 3.516 * bare) < 0.01, "{}", pressed / bare);
    assert_eq!(prepared.frequencies(1).unwrap()[0].hz, pressed);
    for across in [1.0, -1.0] {
        let fine = prepared.frequencies_seated(&solved(across), 1).unwrap()[0].hz;
        let quick = prepared.first_hz(&solved(across), 1e-4).unwrap().unwrap();
        assert!(off(quick, fine) < 1e-4, "{quick} {fine}");
    }
}

#[test]
fn what_has_no_mass_has_no_frequency_and_one_lump_has_three() {
    let mut model = cantilever(8, 2);
    model.mesh.sections[0].density_t_mm3 = 0.0;
    assert_eq!(prepare(&model).unwrap().frequencies(1), Err(EigenError::NoMass));
    model.masses = vec![PointMass {
        node: model.mesh.nodes.len() as u32 - 1,
        mass_t: 1e-3,
    }];
    let modes = prepare(&model).unwrap().frequencies(5).unwrap();
    assert_eq!(modes.len(), 3);
}

#[test]
fn the_same_part_gives_the_same_bytes() {
    let model = cantilever(20, 3);
    let once = prepare(&model).unwrap().frequencies(3).unwrap();
    assert_eq!(prepare(&model).unwrap().frequencies(3).unwrap(), once);
}
