//! Roofs, spheres and cylinders.

use std::f64::consts::FRAC_PI_2;

use shell::{Axis, Mesh, Point, Section, Vector};

use crate::join::joined;
use crate::rows;
use crate::shapes::grid::Grid;
use crate::trial::{MIRROR_X, MIRROR_Y, MIRROR_Z, Trial, column, moved};

/// Scordelis and Lo's roof under its own weight: how far the middle of the free edge comes down. A quarter is meshed, x
/// along the roof from its middle.
fn roof(times: usize) -> f64 {
    const RADIUS: f64 = 25.0;
    const HALF_LENGTH: f64 = 25.0;
    const WEIGHT_PER_AREA: f64 = 90.0;
    let half_angle = 40_f64.to_radians();
    let section = Section {
        thickness_mm: 0.25,
        elastic_mpa: 4.32e8,
        poisson: 0.0,
        // Under an acceleration of 1.
        density_t_mm3: WEIGHT_PER_AREA / 0.25,
    };
    let grid = Grid::new(times, times, |u, v| {
        let angle = half_angle * v;
        Point::new(HALF_LENGTH * u, RADIUS * angle.sin(), RADIUS * angle.cos())
    });
    let (middle, end, crown) = (grid.row(0), grid.row(times), column(&grid, 0));
    let watched = grid.node(0, times);
    let mut trial = Trial::new(grid.mesh(section, |_| 0));
    trial.fix(&middle, &MIRROR_X);
    trial.fix(&crown, &MIRROR_Y);
    trial.fix(&end, &[Axis::Y, Axis::Z]);
    trial.load.gravity_mm_s2 = -Vector::z();
    -moved(&trial.solve(), watched).z
}

#[test]
fn a_roof_under_its_own_weight() {
    rows::check("roof", &[8, 16, 32, 64], roof);
}

/// A quarter of a hemisphere with a hole of 18 degrees at its top, pulled out along x and pushed in along y by 1 at its rim:
/// the movement under the forces.
fn hemisphere_with_hole(times: usize) -> f64 {
    const RADIUS: f64 = 10.0;
    let section = Section {
        thickness_mm: 0.04,
        elastic_mpa: 6.825e7,
        poisson: 0.3,
        density_t_mm3: 0.0,
    };
    let top = 72_f64.to_radians();
    let grid = Grid::new(times, times, |u, v| {
        let (round, up) = (FRAC_PI_2 * u, top * v);
        Point::new(
            RADIUS * up.cos() * round.cos(),
            RADIUS * up.cos() * round.sin(),
            RADIUS * up.sin(),
        )
    });
    let (along_x, along_y) = (grid.node(0, 0), grid.node(times, 0));
    let (plane_y, plane_x) = (grid.row(0), grid.row(times));
    let mut trial = Trial::new(grid.mesh(section, |_| 0));
    trial.fix(&[along_x], &[Axis::Z]);
    pinched_sphere(trial, [along_x, along_y], &plane_x, &plane_y, 1.0)
}

/// NAFEMS LE3: a quarter of a whole hemisphere, forces of 2 kN. Newtons and metres.
fn hemisphere(times: usize) -> f64 {
    const RADIUS: f64 = 10.0;
    let section = Section {
        thickness_mm: 0.04,
        elastic_mpa: 68.25e9,
        poisson: 0.3,
        density_t_mm3: 0.0,
    };
    let corners = [
        Point::new(1.0, 0.0, 0.0),
        Point::new(0.0, 1.0, 0.0),
        Point::new(0.0, 0.0, 1.0),
    ];
    let middle = |a: &Point, b: &Point| Point::from(((a.coords + b.coords) / 2.0).normalize());
    let centre = Point::from(Vector::new(1.0, 1.0, 1.0).normalize());
    // Three sides of a cube blown up: each from a corner through the middles of its edges to the centre.
    let parts: Vec<Mesh> = (0..3)
        .map(|k| {
            let (here, next, last) = (corners[k], corners[(k + 1) % 3], corners[(k + 2) % 3]);
            let (to_next, to_last) = (middle(&here, &next), middle(&here, &last));
            let grid = Grid::new(times, times, |u, v| {
                let flat = here.coords * ((1.0 - u) * (1.0 - v))
                    + to_next.coords * (u * (1.0 - v))
                    + centre.coords * (u * v)
                    + to_last.coords * ((1.0 - u) * v);
                Point::from(flat.normalize() * RADIUS)
            });
            grid.mesh(section, |_| 0)
        })
        .collect();
    let mut mesh = joined(&parts);
    mesh.patches.fill(0);
    let mut trial = Trial::new(mesh);
    let near = |x: f64| x.abs() < 1e-9;
    let (plane_x, plane_y) = (trial.nodes(|p| near(p.x)), trial.nodes(|p| near(p.y)));
    let along_x = trial.nodes(|p| near(p.y) && near(p.z))[0];
    let along_y = trial.nodes(|p| near(p.x) && near(p.z))[0];
    // The top does not move up: that holds the whole along z.
    let top = trial.nodes(|p| near(p.x) && near(p.y));
    trial.fix(&top, &[Axis::Z]);
    pinched_sphere(trial, [along_x, along_y], &plane_x, &plane_y, 2000.0)
}

fn pinched_sphere(mut trial: Trial, at: [u32; 2], plane_x: &[u32], plane_y: &[u32], force: f64) -> f64 {
    trial.fix(plane_x, &MIRROR_X);
    trial.fix(plane_y, &MIRROR_Y);
    trial.push(at[0], Vector::x() * force);
    trial.push(at[1], -Vector::y() * force);
    moved(&trial.solve(), at[0]).x
}

#[test]
fn a_hemisphere_with_a_hole_pulled_and_pinched() {
    rows::check("hemisphere-with-hole", &[8, 16, 32, 64], hemisphere_with_hole);
}

#[test]
fn a_whole_hemisphere_pulled_and_pinched() {
    rows::check("hemisphere", &[4, 8, 16, 32], hemisphere);
}

/// A cylinder between diaphragms, pinched by two forces of 1 at the middle of its length: movement under a force. An eighth
/// is meshed, x along the cylinder from its middle, the force at its top.
fn pinched_cylinder(times: usize) -> f64 {
    const RADIUS: f64 = 300.0;
    const HALF_LENGTH: f64 = 300.0;
    let section = Section {
        thickness_mm: 3.0,
        elastic_mpa: 3e6,
        poisson: 0.3,
        density_t_mm3: 0.0,
    };
    let grid = Grid::new(times, times, |u, v| {
        let angle = FRAC_PI_2 * v;
        Point::new(HALF_LENGTH * u, RADIUS * angle.sin(), RADIUS * angle.cos())
    });
    let (middle, end) = (grid.row(0), grid.row(times));
    let (top, side) = (column(&grid, 0), column(&grid, times));
    let under = grid.node(0, 0);
    let mut trial = Trial::new(grid.mesh(section, |_| 0));
    trial.fix(&middle, &MIRROR_X);
    trial.fix(&top, &MIRROR_Y);
    trial.fix(&side, &MIRROR_Z);
    trial.fix(&end, &[Axis::Y, Axis::Z, Axis::AboutX]);
    trial.push(under, -Vector::z() * 0.25);
    -moved(&trial.solve(), under).z
}

#[test]
fn a_cylinder_pinched_between_diaphragms() {
    rows::check("pinched-cylinder", &[16, 32, 64, 128], pinched_cylinder);
}
