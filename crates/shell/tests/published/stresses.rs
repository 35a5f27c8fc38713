//! Stresses where they are published: NAFEMS LE1 and LE5, and holes in strips.

use std::f64::consts::FRAC_PI_2;

use nalgebra::{Matrix3, Vector6};
use shell::{Frame, InPlane, Mesh, Point, Section, Vector};

use crate::join::joined;
use crate::rows;
use crate::shapes::grid::Grid;
use crate::trial::{BUILT_IN, MIRROR_X, MIRROR_Y, Trial, column, moved};

/// Components in a frame as a tensor in space.
fn in_space(frame: &Frame, of: InPlane) -> Matrix3<f64> {
    let (x, y) = (frame.x, frame.y);
    x * x.transpose() * of.xx + y * y.transpose() * of.yy + (x * y.transpose() + y * x.transpose()) * of.xy
}

/// The stress recovered in the middle surface at a node of a patch.
fn middle_stress(mesh: &Mesh, moves: &[Vector6<f64>], node: u32, patch: u32) -> Matrix3<f64> {
    let recovered = shell::recover(mesh, &shell::forces(mesh, moves));
    let at = recovered
        .nodes
        .iter()
        .find(|at| (at.node, at.patch) == (node, patch))
        .expect("the patch reaches the node");
    in_space(&at.frame, at.membrane_n_mm) / at.thickness_mm
}

/// A quarter of an elliptic plate of 100 mm, metres and MPa, pulled outward by 10 MPa at its outer edge: sy at the end of the
/// inner long axis.
fn elliptic_membrane(times: usize) -> f64 {
    const PULL: f64 = 10.0;
    let section = Section {
        thickness_mm: 0.1,
        elastic_mpa: 210e3,
        poisson: 0.3,
        density_t_mm3: 0.0,
    };
    let grid = Grid::new(times, times, |u, v| {
        let angle = FRAC_PI_2 * v;
        // Finer toward the inner edge, where the stress is asked.
        let out = 0.5 * (u + u * u);
        let inner = Vector::new(2.0 * angle.cos(), angle.sin(), 0.0);
        let outer = Vector::new(3.25 * angle.cos(), 2.75 * angle.sin(), 0.0);
        Point::from(inner * (1.0 - out) + outer * out)
    });
    let at_d = grid.node(0, 0);
    let (outer, on_x, on_y) = (grid.row(times), column(&grid, 0), column(&grid, times));
    let mut trial = Trial::new(grid.mesh(section, |_| 0));
    trial.fix(&on_x, &MIRROR_Y);
    trial.fix(&on_y, &MIRROR_X);
    trial.fix(&[at_d], &BUILT_IN[2..3]);
    for pair in outer.windows(2) {
        let [from, to] = [pair[0], pair[1]].map(|node| trial.model.mesh.nodes[node as usize]);
        // The edge runs counter-clockwise, so outward is to its right.
        let along = to - from;
        let force = Vector::new(along.y, -along.x, 0.0) * (PULL * section.thickness_mm);
        trial.push(pair[0], force / 2.0);
        trial.push(pair[1], force / 2.0);
    }
    let solution = trial.solve();
    middle_stress(&trial.model.mesh, &solution.moves, at_d, 0)[(1, 1)]
}

#[test]
fn an_elliptic_membrane() {
    rows::check("le1", &[8, 16, 32, 64], elliptic_membrane);
}

/// A Z of 1 + 2 + 1 m, 0.1 m thick and 10 m long, twisted at its end by shears of 0.6 MN on its flanges; metres and MPa: sx in
/// the middle surface at the edge of a flange, 2.5 m from the root.
fn z_section(times: usize) -> f64 {
    const SHEAR_MN: f64 = 0.6;
    let section = Section {
        thickness_mm: 0.1,
        elastic_mpa: 210e3,
        poisson: 0.3,
        density_t_mm3: 0.0,
    };
    let plate = |across: usize, place: &dyn Fn(f64, f64) -> (f64, f64)| {
        let grid = Grid::new(10 * times, across, |u, v| {
            let (y, z) = place(u, v);
            Point::new(10.0 * u, y, z)
        });
        grid.mesh(section, |_| 0)
    };
    let mesh = joined(&[
        plate(times, &|_, v| (v, 1.0)),
        plate(2 * times, &|_, v| (0.0, 1.0 - 2.0 * v)),
        plate(times, &|_, v| (v - 1.0, -1.0)),
    ]);
    let mut trial = Trial::new(mesh);
    let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
    let root = trial.nodes(|p| near(p.x, 0.0));
    trial.fix(&root, &BUILT_IN);
    let flange = |z: f64| {
        let mut edge = trial.nodes(|p| near(p.x, 10.0) && near(p.z, z));
        edge.sort_by(|a, b| {
            let y = |node: &u32| trial.model.mesh.nodes[*node as usize].y;
            y(a).total_cmp(&y(b))
        });
        edge
    };
    let (upper, lower) = (flange(1.0), flange(-1.0));
    trial.push_edge(&upper, Vector::y() * SHEAR_MN);
    trial.push_edge(&lower, -Vector::y() * SHEAR_MN);
    let at_a = trial.nodes(|p| near(p.x, 2.5) && near(p.y, 1.0) && near(p.z, 1.0))[0];
    let solution = trial.solve();
    middle_stress(&trial.model.mesh, &solution.moves, at_a, 0)[(0, 0)]
}

#[test]
fn a_z_section_in_torsion() {
    rows::check("le5", &[2, 4, 8, 16], z_section);
}

/// How the pull along a rim is read off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Rim {
    /// As everywhere: a plane through what the triangles say.
    Recovered,
    /// A free edge carries nothing across, so along it the stress is the modulus times the stretch of the edge: the mean of
    /// the two pieces beside the node, which by symmetry are alike.
    Stretched,
}

/// Greatest pull along the rim of a hole in a strip, as a multiple of the mean over the net section. A quarter is meshed, in
/// rings round the hole out to a square, then in rectangles.
fn hole(share_of_width: f64, round: usize, rim: Rim) -> f64 {
    const WIDTH_MM: f64 = 100.0;
    const HALF_LENGTH_MM: f64 = 150.0;
    const PULL_MPA: f64 = 10.0;
    let section = Section {
        thickness_mm: 3.0,
        elastic_mpa: 70_000.0,
        poisson: 0.33,
        density_t_mm3: 0.0,
    };
    let (radius, half) = (0.5 * share_of_width * WIDTH_MM, 0.5 * WIDTH_MM);
    // Cells as long as they are wide: the rings grow by the same share as the arc of a cell is of the radius.
    let growth = FRAC_PI_2 / round as f64;
    let rings = ((half / radius).ln() / growth).round().max(2.0) as usize;
    let near_hole = Grid::new(rings, round, |u, v| {
        let angle = FRAC_PI_2 * v;
        let (cos, sin) = (angle.cos(), angle.sin());
        let edge = half / cos.max(sin);
        let out = radius * (half / radius).powf(u);
        // From a circle at the rim to the square at the edge.
        let blend = (out - radius) / (half - radius);
        let r = out * (1.0 - blend) + blend * edge;
        Point::new(r * cos, r * sin, 0.0)
    });
    // The nodes on the side of the square that the strip goes on from.
    let cells = round / 2;
    let heights: Vec<f64> = (0..=cells)
        .map(|j| half * (FRAC_PI_2 * j as f64 / round as f64).tan())
        .collect();
    let along = ((HALF_LENGTH_MM - half) / half * cells as f64).round() as usize;
    let beyond = Grid::new(along, cells, |u, v| {
        let j = (v * cells as f64).round() as usize;
        Point::new(half + (HALF_LENGTH_MM - half) * u, heights[j], 0.0)
    });
    let (at_rim, beside) = (near_hole.node(0, round), near_hole.node(0, round - 1));
    let mut mesh = joined(&[near_hole.mesh(section, |_| 0), beyond.mesh(section, |_| 0)]);
    mesh.patches.fill(0);
    let mut trial = Trial::new(mesh);
    let near = |a: f64, b: f64| (a - b).abs() < 1e-7;
    let (on_x, on_y) = (trial.nodes(|p| near(p.y, 0.0)), trial.nodes(|p| near(p.x, 0.0)));
    let end = trial.nodes(|p| near(p.x, HALF_LENGTH_MM));
    trial.fix(&on_x, &MIRROR_Y);
    trial.fix(&on_y, &MIRROR_X);
    trial.fix(&[at_rim], &BUILT_IN[2..3]);
    trial.push_edge(&end, Vector::x() * (PULL_MPA * half * section.thickness_mm));
    let solution = trial.solve();
    let mesh = &trial.model.mesh;
    let peak = match rim {
        Rim::Recovered => middle_stress(mesh, &solution.moves, at_rim, 0)[(0, 0)],
        Rim::Stretched => {
            let edge = mesh.nodes[beside as usize] - mesh.nodes[at_rim as usize];
            let longer = moved(&solution, beside) - moved(&solution, at_rim);
            section.elastic_mpa * longer.dot(&edge) / edge.norm_squared()
        }
    };
    peak / (PULL_MPA / (1.0 - share_of_width))
}

#[test]
fn holes_in_strips() {
    for (share, of) in [(0.1, "0.1"), (0.2, "0.2"), (0.3, "0.3"), (0.5, "0.5")] {
        rows::check(&format!("hole-{of}"), &[4, 8, 16, 32], |round| {
            hole(share, round, Rim::Recovered)
        });
        rows::check(&format!("hole-{of}-rim"), &[4, 8, 16], |round| {
            hole(share, round, Rim::Stretched)
        });
    }
}

/// A ring of inner radius 1 and outer radius 2 under pressure from inside: Lame's movement at the inner edge, and how far the
/// stresses at the centres of triangles are off his on the whole.
fn ring(times: usize) -> [f64; 2] {
    const PRESSURE: f64 = 10.0;
    let section = Section {
        thickness_mm: 0.1,
        elastic_mpa: 210e3,
        poisson: 0.3,
        density_t_mm3: 0.0,
    };
    let grid = Grid::new(times, 2 * times, |u, v| {
        let (radius, angle) = (1.0 + u, FRAC_PI_2 * v);
        Point::new(radius * angle.cos(), radius * angle.sin(), 0.0)
    });
    let at_inner = grid.node(0, 0);
    let (inner, on_x, on_y) = (grid.row(0), column(&grid, 0), column(&grid, 2 * times));
    let mut trial = Trial::new(grid.mesh(section, |_| 0));
    trial.fix(&on_x, &MIRROR_Y);
    trial.fix(&on_y, &MIRROR_X);
    trial.fix(&[at_inner], &BUILT_IN[2..3]);
    for pair in inner.windows(2) {
        let [from, to] = [pair[0], pair[1]].map(|node| trial.model.mesh.nodes[node as usize]);
        let along = to - from;
        let force = Vector::new(along.y, -along.x, 0.0) * (PRESSURE * section.thickness_mm);
        trial.push(pair[0], force / 2.0);
        trial.push(pair[1], force / 2.0);
    }
    let solution = trial.solve();
    // For radii 1 and 2: radial p/3 (1 - 4/r2), round p/3 (1 + 4/r2).
    let (poisson, elastic) = (section.poisson, section.elastic_mpa);
    let moves = PRESSURE / 3.0 * ((1.0 - poisson) + 4.0 * (1.0 + poisson)) / elastic;
    let mut off = 0.0;
    let mut whole = 0.0;
    for panel in shell::forces(&trial.model.mesh, &solution.moves) {
        let place = panel.frame.centre.coords;
        let (out, r2) = (place.normalize(), place.norm_squared());
        let round = Vector::new(-out.y, out.x, 0.0);
        let exact = out * out.transpose() * (PRESSURE / 3.0 * (1.0 - 4.0 / r2))
            + round * round.transpose() * (PRESSURE / 3.0 * (1.0 + 4.0 / r2));
        let said = in_space(&panel.frame, panel.membrane_at_centre_n_mm()) / section.thickness_mm;
        off += (said - exact).norm_squared();
        whole += exact.norm_squared();
    }
    [moved(&solution, at_inner).x / moves - 1.0, (off / whole).sqrt()]
}

#[test]
fn a_ring_under_pressure_nears_the_exact_solution_at_its_order() {
    let off: Vec<[f64; 2]> = [4, 8, 16, 32, 64].map(ring).to_vec();
    for pair in off.windows(2) {
        let [movement, stress] = [0, 1].map(|k| (pair[0][k] / pair[1][k]).abs().log2());
        println!(
            "ring: movement off {:+.3e} order {movement:.2}, stress off {:.3e} order {stress:.2}",
            pair[1][0], pair[1][1]
        );
        assert!(
            movement >= 1.8,
            "movements near the exact ones at order {movement:.2}"
        );
        assert!(stress >= 0.9, "stresses near the exact ones at order {stress:.2}");
    }
}
