//! The estimate beside the true error.

use std::f64::consts::PI;

use nalgebra::Point2;
use shell::{Axis, InPlane, LoadCase, Point};

use crate::grid::Grid;

use crate::exact::{
    ACROSS, IN_PLANE, Known, SECTION, estimated, filled, kirsch, model, none, pulls, quarter_with_hole,
    solved, true_error,
};

/// Told over true at ever finer meshes, printed; with the order at which the true error falls.
fn effectivities(name: &str, sizes: &[f64], run: impl Fn(f64) -> (f64, f64)) -> Vec<f64> {
    let mut before: Option<(f64, f64)> = None;
    sizes
        .iter()
        .map(|&size| {
            let (told, truly) = run(size);
            let order = before.map(|(s, e)| (e / truly).ln() / (s / size).ln());
            println!("{name}: size {size}: told {told:.4e}, true {truly:.4e}, effectivity {:.3}, order {order:.2?}", told / truly);
            before = Some((size, truly));
            told / truly
        })
        .collect()
}

#[track_caller]
fn assert_believable(found: &[f64]) {
    assert!(found.iter().all(|share| (0.8..1.3).contains(share)), "{found:?}");
}

/// As shares of the solution: told, true.
fn shares(told: &shell::ErrorEstimate, truly: f64) -> (f64, f64) {
    (told.whole / told.of_solution, truly / told.of_solution)
}

#[test]
fn a_plate_with_a_hole() {
    let found = effectivities("hole", &[0.4, 0.2, 0.1], |size| {
        let near = |at: Point2<f64>| size * (0.5 + 0.3 * (at.coords.norm() - 1.0).max(0.0));
        let mesh = quarter_with_hole(&near, (PI / size).ceil() as usize);
        let case = pulls(&mesh, kirsch, |at| at.x > 4.0 - 1e-9 || at.y > 4.0 - 1e-9);
        let model = model(mesh, |_, at| {
            let mut held = ACROSS.to_vec();
            if at.x < 1e-9 {
                held.extend([Axis::X, Axis::AboutZ]);
            }
            if at.y < 1e-9 {
                held.extend([Axis::Y, Axis::AboutZ]);
            }
            held
        });
        let solution = solved(&model, &case);
        let (told, forces) = estimated(&model.mesh, &solution);
        let known = Known {
            membrane_n_mm: kirsch,
            moment_n: none,
        };
        shares(&told, true_error(&model.mesh, &forces, known))
    });
    assert_believable(&found);
}

/// A beam 10 long, 2 deep, under an end shear of 1 N: from Timoshenko and Goodier, article 21 (from memory).
fn beam(at: Point) -> InPlane {
    const I: f64 = 2.0 * 2.0 * 2.0 / 12.0;
    InPlane {
        xx: -(10.0 - at.x) * at.y / I,
        yy: 0.0,
        xy: (1.0 - at.y * at.y) / (2.0 * I),
    }
}

#[test]
fn a_cantilever_in_its_plane() {
    let found = effectivities("beam", &[0.8, 0.4, 0.2], |size| {
        let mesh = filled(&[(0.0, -1.0), (10.0, -1.0), (10.0, 1.0), (0.0, 1.0)], &|_| size);
        let case = pulls(&mesh, beam, |at| at.x < 1e-9 || at.x > 10.0 - 1e-9);
        let model = model(mesh, |node, _| {
            let mut held = ACROSS.to_vec();
            match node {
                0 => held.extend([Axis::X, Axis::Y]),
                3 => held.push(Axis::X),
                _ => {}
            }
            held
        });
        let solution = solved(&model, &case);
        let (told, forces) = estimated(&model.mesh, &solution);
        let known = Known {
            membrane_n_mm: beam,
            moment_n: none,
        };
        shares(&told, true_error(&model.mesh, &forces, known))
    });
    assert_believable(&found);
}

const SIDE: f64 = 40.0;
const DEEP: f64 = 0.1;

/// A square plate on supports bent to one wave each way (Navier; Timoshenko and Woinowsky-Krieger, article 27).
fn wave(at: Point) -> InPlane {
    let nu = SECTION.poisson;
    let k = PI / SIDE;
    let stiff = SECTION.elastic_mpa * SECTION.thickness_mm.powi(3) / (12.0 * (1.0 - nu * nu)) * DEEP * k * k;
    let both = -stiff * (1.0 + nu) * (k * at.x).sin() * (k * at.y).sin();
    InPlane {
        xx: both,
        yy: both,
        xy: stiff * (1.0 - nu) * (k * at.x).cos() * (k * at.y).cos(),
    }
}

#[test]
fn a_plate_on_supports_under_a_wave_of_pressure() {
    let found = effectivities("wave", &[8.0, 4.0, 2.0], |size| {
        let mesh = filled(&[(0.0, 0.0), (SIDE, 0.0), (SIDE, SIDE), (0.0, SIDE)], &|_| size);
        let nu = SECTION.poisson;
        let k = PI / SIDE;
        let stiff = SECTION.elastic_mpa * SECTION.thickness_mm.powi(3) / (12.0 * (1.0 - nu * nu));
        let most = stiff * DEEP * (2.0 * k * k).powi(2);
        let case = LoadCase {
            pressures: (0..mesh.triangles.len())
                .map(|t| {
                    let [a, b, c] = mesh.corners(t);
                    let at = (a.coords + b.coords + c.coords) / 3.0;
                    (t as u32, most * (k * at.x).sin() * (k * at.y).sin())
                })
                .collect(),
            ..LoadCase::default()
        };
        let on = |v: f64| !(1e-9..=SIDE - 1e-9).contains(&v);
        let model = model(mesh, |_, at| {
            let mut held = IN_PLANE.to_vec();
            if on(at.x) || on(at.y) {
                held.push(Axis::Z);
            }
            if on(at.x) {
                held.push(Axis::AboutX);
            }
            if on(at.y) {
                held.push(Axis::AboutY);
            }
            held
        });
        let solution = solved(&model, &case);
        let (told, forces) = estimated(&model.mesh, &solution);
        let known = Known {
            membrane_n_mm: none,
            moment_n: wave,
        };
        shares(&told, true_error(&model.mesh, &forces, known))
    });
    assert_believable(&found);
}

/// A quarter of Scordelis and Lo's roof under its own weight, with so many cells each way: mesh, forces, recovered.
fn roof(cells: usize) -> (shell::Mesh, Vec<shell::PanelForces>, shell::Recovered) {
    const RADIUS: f64 = 25.0;
    const HALF_LENGTH: f64 = 25.0;
    let half_angle = 40_f64.to_radians();
    let section = shell::Section {
        thickness_mm: 0.25,
        elastic_mpa: 4.32e8,
        poisson: 0.0,
        density_t_mm3: 360.0,
    };
    let grid = Grid::new(cells, cells, |u, v| {
        let angle = half_angle * v;
        Point::new(HALF_LENGTH * u, RADIUS * angle.sin(), RADIUS * angle.cos())
    });
    let (middle, end) = (grid.row(0), grid.row(cells));
    let model = model(grid.mesh(section, |_| 0), |node, at| {
        let mut held = Vec::new();
        if middle.contains(&node) {
            held.extend([Axis::X, Axis::AboutY, Axis::AboutZ]);
        } else if end.contains(&node) {
            held.extend([Axis::Y, Axis::Z]);
        }
        if at.y < 1e-9 {
            for axis in [Axis::Y, Axis::AboutX, Axis::AboutZ] {
                if !held.contains(&axis) {
                    held.push(axis);
                }
            }
        }
        held
    });
    let case = LoadCase {
        gravity_mm_s2: -shell::Vector::z(),
        ..LoadCase::default()
    };
    let solution = solved(&model, &case);
    let forces = shell::forces(&model.mesh, &solution.moves);
    let recovered = shell::recover(&model.mesh, &forces);
    (model.mesh, forces, recovered)
}

#[test]
fn a_curved_roof() {
    // What a mesh of 96 cells recovers stands for the truth at the nodes it shares with the coarser ones.
    const FINE: usize = 96;
    let (_, _, fine) = roof(FINE);
    let at_fine = |cells: usize, node: u32| {
        let (i, j) = (node as usize / (cells + 1), node as usize % (cells + 1));
        let times = FINE / cells;
        // One patch and one section: recovered nodes are in the order of the mesh's.
        fine.nodes[i * times * (FINE + 1) + j * times]
    };
    let found = effectivities("roof", &[1.0 / 8.0, 1.0 / 16.0, 1.0 / 24.0], |size| {
        let cells = (1.0 / size).round() as usize;
        let (mesh, forces, recovered) = roof(cells);
        let told = shell::estimate(&mesh, &forces, &recovered);
        let truth = shell::Recovered {
            nodes: recovered.nodes.iter().map(|at| at_fine(cells, at.node)).collect(),
            of_triangle: recovered.of_triangle.clone(),
        };
        let truly = shell::estimate(&mesh, &forces, &truth).whole;
        shares(&told, truly)
    });
    assert_believable(&found);
}

#[test]
fn the_sizes_asked_for_meet_the_target() {
    let known = Known {
        membrane_n_mm: kirsch,
        moment_n: none,
    };
    const TARGET: f64 = 0.03;
    let run = |mesh: shell::Mesh| {
        let case = pulls(&mesh, kirsch, |at| at.x > 4.0 - 1e-9 || at.y > 4.0 - 1e-9);
        let model = model(mesh, |_, at| {
            let mut held = ACROSS.to_vec();
            if at.x < 1e-9 {
                held.extend([Axis::X, Axis::AboutZ]);
            } else if at.y < 1e-9 {
                held.extend([Axis::Y, Axis::AboutZ]);
            }
            held
        });
        let solution = solved(&model, &case);
        let (told, forces) = estimated(&model.mesh, &solution);
        let truly = true_error(&model.mesh, &forces, known);
        (model.mesh, told, truly)
    };
    let (mut mesh, mut told, mut truly) = run(quarter_with_hole(&|_| 0.8, 16));
    for turn in 0..4 {
        println!(
            "turn {turn}: {} nodes, told {:.4}, true {:.4}",
            mesh.nodes.len(),
            told.share(),
            truly / told.of_solution
        );
        if told.share() <= TARGET {
            break;
        }
        let sizes = told.size_wanted_mm(&mesh, TARGET);
        let wanted = |at: Point2<f64>| {
            // The size of the nearest triangle.
            let far = |t: &usize| {
                let [a, b, c] = mesh.corners(*t);
                ((a.coords + b.coords + c.coords) / 3.0 - at.coords.push(0.0)).norm_squared()
            };
            let nearest = (0..sizes.len()).min_by(|a, b| far(a).total_cmp(&far(b)));
            nearest.map_or(1.0, |t| sizes[t])
        };
        (mesh, told, truly) = run(quarter_with_hole(&wanted, 48));
    }
    assert!(told.share() <= TARGET * 1.1, "{}", told.share());
}
