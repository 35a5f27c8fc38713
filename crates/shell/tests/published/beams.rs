//! Beams made of shells: the straight, curved and twisted ones of MacNeal and Harder, and the hook.

use std::f64::consts::FRAC_PI_2;

use shell::{Mesh, Point, Section, Vector};

use crate::rows;
use crate::shapes::grid::Grid;
use crate::trial::{BUILT_IN, Trial, moved};

/// How the six cells of the straight beam are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Cells {
    Rectangles,
    /// The cuts between cells lean 45 degrees, this way and that.
    Trapezoids,
    /// All cuts lean 45 degrees the same way.
    Parallelograms,
}

/// The ends of a beam and its middle line.
struct Beam {
    mesh: Mesh,
    root: Vec<u32>,
    tip: Vec<u32>,
}

impl Beam {
    fn new(grid: Grid, section: Section) -> Self {
        Self {
            root: grid.row(0),
            tip: grid.row(grid.along),
            mesh: grid.mesh(section, |_| 0),
        }
    }

    fn held(&self) -> Trial {
        let mut trial = Trial::new(self.mesh.clone());
        trial.fix(&self.root, &BUILT_IN);
        trial
    }

    /// Movement of the middle of the tip along a force of 1 spread over the tip.
    fn under(&self, force: Vector) -> f64 {
        let mut trial = self.held();
        trial.push_edge(&self.tip, force);
        let solution = trial.solve();
        // The mean of the ends is the middle where there is no node in the middle.
        let (first, last) = (self.tip[0], self.tip[self.tip.len() - 1]);
        let middle = if self.tip.len() % 2 == 1 {
            moved(&solution, self.tip[self.tip.len() / 2])
        } else {
            (moved(&solution, first) + moved(&solution, last)) / 2.0
        };
        middle.dot(&force)
    }

    /// Turn of the tip about x under a couple of 1: two forces at its corners.
    fn under_twist(&self) -> f64 {
        let mut trial = self.held();
        let (first, last) = (self.tip[0], self.tip[self.tip.len() - 1]);
        let place = |node: u32| self.mesh.nodes[node as usize];
        let arm = (place(last) - place(first)).norm();
        trial.push(last, Vector::z() / arm);
        trial.push(first, -Vector::z() / arm);
        let solution = trial.solve();
        (moved(&solution, last).z - moved(&solution, first).z) / arm
    }
}

fn straight(cells: Cells, times: usize) -> Beam {
    const LENGTH: f64 = 6.0;
    const DEPTH: f64 = 0.2;
    const CELLS: usize = 6;
    let section = section(0.1, 1e7, 0.3);
    let lean = |cut: usize| match cells {
        _ if cut == 0 || cut == CELLS => 0.0,
        Cells::Rectangles => 0.0,
        Cells::Trapezoids => [1.0, -1.0][cut % 2],
        Cells::Parallelograms => 1.0,
    };
    let grid = Grid::new(CELLS * times, times, |u, v| {
        let cut = (u * CELLS as f64).floor().min(CELLS as f64 - 1.0);
        let part = u * CELLS as f64 - cut;
        let lean = (1.0 - part) * lean(cut as usize) + part * lean(cut as usize + 1);
        Point::new(u * LENGTH + lean * (v - 0.5) * DEPTH, (v - 0.5) * DEPTH, 0.0)
    });
    Beam::new(grid, section)
}

fn curved(times: usize) -> Beam {
    let grid = Grid::new(6 * times, times, |u, v| {
        let (radius, angle) = (4.32 - 0.2 * v, FRAC_PI_2 * u);
        Point::new(radius * angle.cos(), radius * angle.sin(), 0.0)
    });
    Beam::new(grid, section(0.1, 1e7, 0.25))
}

fn twisted(times: usize, thickness: f64) -> Beam {
    let grid = Grid::new(12 * times, 2 * times, |u, v| {
        let (across, angle) = ((v - 0.5) * 1.1, FRAC_PI_2 * u);
        Point::new(12.0 * u, across * angle.cos(), across * angle.sin())
    });
    Beam::new(grid, section(thickness, 29e6, 0.22))
}

/// From the wall through 60 degrees on a radius of 14, then through 150 degrees the other way on a radius of 46.
fn hook(times: usize) -> Beam {
    const SMALL: f64 = 14.0;
    const LARGE: f64 = 46.0;
    const WIDTH: f64 = 20.0;
    let (first, second) = (60_f64.to_radians(), 150_f64.to_radians());
    // Cells of about one length: the first arc is 14.7 long, the second 120.4.
    let (cells_first, cells_second) = (times, 8 * times);
    let along = cells_first + cells_second;
    let grid = Grid::new(along, 2 * times, |u, v| {
        let cell = u * along as f64;
        let (x, y) = if cell <= cells_first as f64 {
            let turned = first * cell / cells_first as f64;
            (SMALL * turned.sin(), SMALL * (1.0 - turned.cos()))
        } else {
            // The centre of the second arc lies on the other side of the line that both touch.
            let turned = second * (cell - cells_first as f64) / cells_second as f64;
            let heading = first - turned;
            (
                (SMALL + LARGE) * first.sin() - LARGE * heading.sin(),
                SMALL - (SMALL + LARGE) * first.cos() + LARGE * heading.cos(),
            )
        };
        Point::new(x, y, v * WIDTH)
    });
    Beam::new(grid, section(2.0, 3300.0, 0.35))
}

fn section(thickness: f64, elastic: f64, poisson: f64) -> Section {
    Section {
        thickness_mm: thickness,
        elastic_mpa: elastic,
        poisson,
        density_t_mm3: 0.0,
    }
}

const REFINED: [usize; 4] = [1, 2, 4, 8];
const REFINED_FURTHER: [usize; 6] = [1, 2, 4, 8, 16, 32];

#[test]
fn a_straight_beam_of_rectangles() {
    let cells = Cells::Rectangles;
    rows::check("straight-pulled", &REFINED, |n| {
        straight(cells, n).under(Vector::x())
    });
    rows::check("straight-in-plane", &REFINED, |n| {
        straight(cells, n).under(Vector::y())
    });
    rows::check("straight-out-of-plane", &REFINED, |n| {
        straight(cells, n).under(Vector::z())
    });
    rows::check("straight-twisted", &REFINED, |n| straight(cells, n).under_twist());
    rows::check("straight-twisted-thin", &REFINED, |n| {
        straight(cells, n).under_twist()
    });
}

#[test]
fn a_straight_beam_of_trapezoids() {
    let cells = Cells::Trapezoids;
    rows::check("straight-in-plane-trapezoids", &REFINED_FURTHER, |n| {
        straight(cells, n).under(Vector::y())
    });
    rows::check("straight-out-of-plane-trapezoids", &REFINED, |n| {
        straight(cells, n).under(Vector::z())
    });
}

#[test]
fn a_straight_beam_of_parallelograms() {
    let cells = Cells::Parallelograms;
    rows::check("straight-in-plane-parallelograms", &REFINED_FURTHER, |n| {
        straight(cells, n).under(Vector::y())
    });
    rows::check("straight-out-of-plane-parallelograms", &REFINED, |n| {
        straight(cells, n).under(Vector::z())
    });
}

#[test]
fn a_curved_beam() {
    rows::check("curved-in-plane", &REFINED, |n| curved(n).under(Vector::y()));
    rows::check("curved-out-of-plane", &REFINED, |n| curved(n).under(Vector::z()));
    rows::check("curved-out-of-plane-thin", &REFINED, |n| {
        curved(n).under(Vector::z())
    });
}

#[test]
fn a_twisted_beam() {
    rows::check("twisted-in-plane", &REFINED, |n| {
        twisted(n, 0.32).under(Vector::z())
    });
    rows::check("twisted-out-of-plane", &REFINED, |n| {
        twisted(n, 0.32).under(Vector::y())
    });
    rows::check("twisted-thin-in-plane", &REFINED_FURTHER[..5], |n| {
        1e-6 * twisted(n, 0.0032).under(Vector::z())
    });
    rows::check("twisted-thin-out-of-plane", &REFINED_FURTHER[..5], |n| {
        1e-6 * twisted(n, 0.0032).under(Vector::y())
    });
}

#[test]
fn a_hook() {
    rows::check("hook", &[2, 4, 8], |n| hook(n).under(Vector::z()));
    rows::check("hook-thin", &[2, 4, 8], |n| hook(n).under(Vector::z()));
}

/// Cook's panel: 48 long, 44 deep at the root and 16 at the tip, its edges swept up; movement of the middle of the tip under
/// a shear of 1.
fn swept_panel(times: usize) -> f64 {
    let grid = Grid::new(times, times, |u, v| {
        let (low, high) = (44.0 * u, 44.0 + 16.0 * u);
        Point::new(48.0 * u, low + (high - low) * v, 0.0)
    });
    Beam::new(grid, section(1.0, 1.0, 1.0 / 3.0)).under(Vector::y())
}

#[test]
fn a_swept_panel() {
    rows::check("swept-panel", &[2, 4, 8, 16, 32], swept_panel);
}
