//! Flat plates across their load: MacNeal and Harder's rectangles and Timoshenko's square.

use shell::{Axis, Point, Section, Vector};

use crate::rows;
use crate::shapes::grid::Grid;
use crate::trial::{BUILT_IN, MIRROR_X, MIRROR_Y, Trial, column, moved};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Edges {
    Supported,
    Clamped,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Carries {
    Pressure(f64),
    CentreForce(f64),
}

/// How far the centre goes down; a quarter of the plate is meshed.
fn centre(sides: [f64; 2], cells: [usize; 2], section: Section, edges: Edges, carries: Carries) -> f64 {
    let [a, b] = sides;
    let grid = Grid::new(cells[0], cells[1], |u, v| {
        Point::new(0.5 * a * u, 0.5 * b * v, 0.0)
    });
    let centre = grid.node(0, 0);
    let (mirror_x, edge_x) = (grid.row(0), grid.row(grid.along));
    let (mirror_y, edge_y) = (column(&grid, 0), column(&grid, grid.across));
    let mut trial = Trial::new(grid.mesh(section, |_| 0));
    match edges {
        Edges::Supported => {
            trial.fix(&edge_x, &[Axis::Z, Axis::AboutX]);
            trial.fix(&edge_y, &[Axis::Z, Axis::AboutY]);
        }
        Edges::Clamped => {
            trial.fix(&edge_x, &BUILT_IN);
            trial.fix(&edge_y, &BUILT_IN);
        }
    }
    trial.fix(&mirror_x, &MIRROR_X);
    trial.fix(&mirror_y, &MIRROR_Y);
    match carries {
        Carries::Pressure(pressure) => trial.press(pressure),
        Carries::CentreForce(force) => trial.push(centre, -Vector::z() * (force / 4.0)),
    }
    -moved(&trial.solve(), centre).z
}

fn rectangle(long: bool, edges: Edges, carries: Carries, times: usize) -> f64 {
    let section = Section {
        thickness_mm: 1e-4,
        elastic_mpa: 1.7472e7,
        poisson: 0.3,
        density_t_mm3: 0.0,
    };
    let (sides, cells) = if long {
        ([2.0, 10.0], [times, 5 * times])
    } else {
        ([2.0, 2.0], [times, times])
    };
    centre(sides, cells, section, edges, carries)
}

const PRESSURE: Carries = Carries::Pressure(1e-4);
const FORCE: Carries = Carries::CentreForce(4e-4);
const REFINED: [usize; 4] = [4, 8, 16, 32];
const REFINED_LONG: [usize; 3] = [4, 8, 16];

#[test]
fn a_square_plate_on_supports() {
    let edges = Edges::Supported;
    rows::check("plate-2x2-supported-pressure", &REFINED, |n| {
        rectangle(false, edges, PRESSURE, n)
    });
    rows::check("plate-2x2-supported-force", &REFINED, |n| {
        rectangle(false, edges, FORCE, n)
    });
}

#[test]
fn a_square_plate_clamped() {
    let edges = Edges::Clamped;
    rows::check("plate-2x2-clamped-pressure", &REFINED, |n| {
        rectangle(false, edges, PRESSURE, n)
    });
    rows::check("plate-2x2-clamped-force", &REFINED, |n| {
        rectangle(false, edges, FORCE, n)
    });
}

#[test]
fn a_long_plate_on_supports() {
    let edges = Edges::Supported;
    rows::check("plate-2x10-supported-pressure", &REFINED_LONG, |n| {
        rectangle(true, edges, PRESSURE, n)
    });
    rows::check("plate-2x10-supported-force", &REFINED_LONG, |n| {
        rectangle(true, edges, FORCE, n)
    });
}

#[test]
fn a_long_plate_clamped() {
    let edges = Edges::Clamped;
    rows::check("plate-2x10-clamped-pressure", &REFINED_LONG, |n| {
        rectangle(true, edges, PRESSURE, n)
    });
    rows::check("plate-2x10-clamped-force", &REFINED_LONG, |n| {
        rectangle(true, edges, FORCE, n)
    });
}

/// Timoshenko's coefficients, worked out on a steel plate of 400 x 400 x 4 mm: w D / (q a4) and w D / (P a2).
fn coefficient(edges: Edges, carries: Carries, times: usize) -> f64 {
    const SIDE_MM: f64 = 400.0;
    let section = Section {
        thickness_mm: 4.0,
        elastic_mpa: 210_000.0,
        poisson: 0.3,
        density_t_mm3: 7.85e-9,
    };
    let stiffness =
        section.elastic_mpa * section.thickness_mm.powi(3) / (12.0 * (1.0 - section.poisson.powi(2)));
    let per_load = match carries {
        Carries::Pressure(q) => q * SIDE_MM.powi(4),
        Carries::CentreForce(p) => p * SIDE_MM.powi(2),
    };
    centre([SIDE_MM, SIDE_MM], [times, times], section, edges, carries) * stiffness / per_load
}

#[test]
fn the_coefficients_of_a_square_plate() {
    let (pressure, force) = (Carries::Pressure(0.02), Carries::CentreForce(500.0));
    rows::check("square-supported-pressure", &REFINED, |n| {
        coefficient(Edges::Supported, pressure, n)
    });
    rows::check("square-clamped-pressure", &REFINED, |n| {
        coefficient(Edges::Clamped, pressure, n)
    });
    rows::check("square-supported-force", &REFINED, |n| {
        coefficient(Edges::Supported, force, n)
    });
    rows::check("square-clamped-force", &REFINED, |n| {
        coefficient(Edges::Clamped, force, n)
    });
}
