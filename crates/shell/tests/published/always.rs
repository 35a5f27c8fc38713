//! What holds for every case: rigid movements cost nothing, turning the whole turns the answer, forces balance, and what a
//! force here does there is what a force there does here.

use nalgebra::{Rotation3, Vector6};
use shell::{Axis, LoadCase, Point, Solution, Vector};

use crate::shapes::grid::Grid;
use crate::shapes::l_bracket::{LBracket, PLATE, Spread};
use crate::trial::{BUILT_IN, Trial, moved};

/// Rounding of a solution, as a share of its greatest movement.
const ROUNDING: f64 = 1e-9;
/// Forces balance to this share of the load.
const BALANCE: f64 = 1e-8;

fn bracket(cell_mm: f64) -> (LBracket, Trial) {
    let bracket = LBracket::new(cell_mm);
    let mut trial = Trial::new(bracket.mesh.clone());
    trial.model.ties = bracket.built_in();
    trial.load = bracket.load(Spread::Corner);
    (bracket, trial)
}

fn tilted() -> Rotation3<f64> {
    Rotation3::from_euler_angles(0.7, -1.1, 2.3)
}

fn both(turn: &Rotation3<f64>, six: &Vector6<f64>) -> Vector6<f64> {
    let (force, moment) = (
        turn * six.fixed_rows::<3>(0).into_owned(),
        turn * six.fixed_rows::<3>(3).into_owned(),
    );
    Vector6::new(force.x, force.y, force.z, moment.x, moment.y, moment.z)
}

fn greatest(solution: &Solution) -> f64 {
    solution.moves.iter().map(Vector6::amax).fold(0.0, f64::max)
}

/// A bent and twisted strip, so that nothing lies along an axis.
fn strip() -> Grid {
    Grid::new(12, 4, |u, v| {
        let (across, angle) = ((v - 0.5) * 30.0, 1.3 * u);
        Point::new(
            120.0 * u,
            across * angle.cos() + 8.0 * (3.0 * u).sin(),
            across * angle.sin() + 20.0 * u * u,
        )
    })
}

#[test]
fn a_bracket_turned_in_space_gives_its_answer_turned() {
    let (_, trial) = bracket(4.0);
    let straight = trial.solve();
    let turn = tilted();
    let away = Vector::new(310.0, -45.0, 77.0);
    let mut tilted = trial.clone();
    for node in &mut tilted.model.mesh.nodes {
        *node = turn * *node + away;
    }
    for (_, load) in &mut tilted.load.at_nodes {
        *load = both(&turn, load);
    }
    let tilted = tilted.solve();
    let scale = greatest(&straight);
    for (there, here) in tilted.moves.iter().zip(&straight.moves) {
        let off = (there - both(&turn, here)).amax();
        assert!(off <= ROUNDING * scale, "off by {off:e} of {scale:e}");
    }
    assert!((tilted.energy_n_mm / straight.energy_n_mm - 1.0).abs() <= ROUNDING);
}

#[test]
fn a_pressed_strip_turned_in_space_gives_its_answer_turned() {
    let grid = strip();
    let root = grid.row(0);
    let mut trial = Trial::new(grid.mesh(PLATE, |_| 0));
    trial.fix(&root, &BUILT_IN);
    trial.press(0.01);
    trial.load.gravity_mm_s2 = Vector::new(0.0, 900.0, -9810.0);
    let straight = trial.solve();
    let turn = tilted();
    let mut tilted = trial.clone();
    for node in &mut tilted.model.mesh.nodes {
        *node = turn * *node;
    }
    tilted.load.gravity_mm_s2 = turn * tilted.load.gravity_mm_s2;
    let tilted = tilted.solve();
    let scale = greatest(&straight);
    for (there, here) in tilted.moves.iter().zip(&straight.moves) {
        assert!((there - both(&turn, here)).amax() <= ROUNDING * scale);
    }
}

#[test]
fn the_order_of_nodes_and_triangles_does_not_matter() {
    let (_, trial) = bracket(4.0);
    let straight = trial.solve();
    let count = trial.model.mesh.nodes.len() as u32;
    let other = |node: u32| count - 1 - node;
    let mut turned = trial.clone();
    turned.model.mesh.nodes.reverse();
    for triangle in &mut turned.model.mesh.triangles {
        let [a, b, c] = *triangle;
        *triangle = [other(b), other(c), other(a)];
    }
    turned.model.mesh.triangles.reverse();
    turned.model.mesh.patches.reverse();
    for tie in &mut turned.model.ties {
        tie.dof.node = other(tie.dof.node);
    }
    for (node, _) in &mut turned.load.at_nodes {
        *node = other(*node);
    }
    let turned = turned.solve();
    let scale = greatest(&straight);
    for (there, here) in turned.moves.iter().rev().zip(&straight.moves) {
        assert!((there - here).amax() <= ROUNDING * scale);
    }
}

/// Three points are moved as one rigid body would be; all others must follow, and nothing is strained.
#[test]
fn a_rigid_movement_costs_nothing() {
    let grid = strip();
    let held = [grid.node(0, 0), grid.node(12, 1), grid.node(5, 4)];
    let mut trial = Trial::new(grid.mesh(PLATE, |_| 0));
    let (shift, turn) = (Vector::new(0.3, -0.2, 0.5), Vector::new(2e-3, -1e-3, 3e-3));
    let rigid = |p: &Point| {
        let moved = shift + turn.cross(&p.coords);
        Vector6::new(moved.x, moved.y, moved.z, turn.x, turn.y, turn.z)
    };
    for node in held {
        let place = trial.model.mesh.nodes[node as usize];
        for (axis, by) in BUILT_IN.into_iter().zip(rigid(&place).iter()) {
            trial.impose(node, axis, *by);
        }
    }
    let solution = trial.solve();
    for (moves, place) in solution.moves.iter().zip(&trial.model.mesh.nodes) {
        assert!((moves - rigid(place)).amax() <= ROUNDING * shift.norm());
    }
    // Against the energy of a like movement that strains: the tip held, the root moved.
    let stiff = PLATE.elastic_mpa * PLATE.thickness_mm.powi(3);
    assert!(solution.energy_n_mm.abs() <= ROUNDING * stiff);
    for (tie, force) in trial.model.ties.iter().zip(&solution.ties) {
        assert!(force.abs() <= 1e-6, "{:?} holds with {force:e}", tie.dof);
    }
}

/// Force and moment about the origin of all loads at nodes and all that holds.
fn sum(trial: &Trial, solution: &Solution) -> (Vector, Vector) {
    let place = |node: u32| trial.model.mesh.nodes[node as usize].coords;
    let mut force = Vector::zeros();
    let mut moment = Vector::zeros();
    for (node, load) in &trial.load.at_nodes {
        let f: Vector = load.fixed_rows::<3>(0).into_owned();
        force += f;
        moment += place(*node).cross(&f) + load.fixed_rows::<3>(3);
    }
    for (tie, reaction) in trial.model.ties.iter().zip(&solution.ties) {
        let unit = match tie.dof.axis {
            Axis::X | Axis::AboutX => Vector::x(),
            Axis::Y | Axis::AboutY => Vector::y(),
            Axis::Z | Axis::AboutZ => Vector::z(),
        };
        match tie.dof.axis {
            Axis::X | Axis::Y | Axis::Z => {
                force += unit * *reaction;
                moment += place(tie.dof.node).cross(&unit) * *reaction;
            }
            _ => moment += unit * *reaction,
        }
    }
    (force, moment)
}

#[test]
fn reactions_balance_the_load() {
    for (cell_mm, spread) in [(8.0, Spread::Corner), (2.0, Spread::Edge)] {
        let (bracket, mut trial) = bracket(cell_mm);
        trial.load = bracket.load(spread);
        let solution = trial.solve();
        let (force, moment) = sum(&trial, &solution);
        // 100 N at an arm of 66 mm.
        assert!(force.norm() <= BALANCE * 100.0, "force left {force:?}");
        assert!(moment.norm() <= BALANCE * 6600.0, "moment left {moment:?}");
    }
}

#[test]
fn reactions_carry_pressure_and_weight() {
    let (bracket, mut trial) = bracket(4.0);
    trial.load = LoadCase::default();
    trial.press(0.02);
    trial.load.gravity_mm_s2 = Vector::new(0.0, 0.0, -9810.0);
    let solution = trial.solve();
    let (force, _) = sum(&trial, &solution);
    let mut carried = Vector::zeros();
    let mut load = 0.0;
    for [a, b, c] in &bracket.mesh.triangles {
        let at = |node: &u32| bracket.mesh.nodes[*node as usize];
        let area = (at(b) - at(a)).cross(&(at(c) - at(a))) / 2.0;
        let weight = area.norm() * PLATE.thickness_mm * PLATE.density_t_mm3 * 9810.0;
        carried += -area * 0.02 - Vector::z() * weight;
        load += area.norm() * 0.02;
    }
    assert!(
        (force + carried).norm() <= BALANCE * load,
        "left {:?}",
        force + carried
    );
}

#[test]
fn a_force_here_moves_there_as_a_force_there_moves_here() {
    let (bracket, mut trial) = bracket(3.0);
    let nodes = bracket.mesh.nodes.len() as u32;
    let pairs = [
        (bracket.tip(), nodes / 2),
        (bracket.corner(), nodes / 3),
        (nodes / 2, nodes / 4),
    ];
    for (here, there) in pairs {
        let (a, b) = (Vector::new(1.0, 0.4, -0.3), Vector::new(-0.2, 0.5, 1.0));
        let mut under = |node: u32, force: Vector| {
            trial.load = LoadCase::default();
            trial.push(node, force);
            trial.solve()
        };
        let (first, second) = (under(here, a), under(there, b));
        let (w_first, w_second) = (moved(&first, there).dot(&b), moved(&second, here).dot(&a));
        let scale = w_first.abs().max(greatest(&first) * 1e-3);
        assert!(
            (w_first - w_second).abs() <= ROUNDING * scale,
            "{w_first:e} {w_second:e}"
        );
    }
}

#[test]
fn half_the_work_of_the_load_is_kept_as_strain() {
    let (_, trial) = bracket(3.0);
    let solution = trial.solve();
    let loads = trial.load.at_nodes.iter();
    let work: f64 = loads
        .map(|(node, load)| load.dot(&solution.moves[*node as usize]))
        .sum();
    assert!((solution.energy_n_mm / (0.5 * work) - 1.0).abs() <= BALANCE);
}

#[test]
fn twice_the_load_moves_twice_as_far() {
    let (_, mut trial) = bracket(4.0);
    let once = trial.solve();
    for (_, load) in &mut trial.load.at_nodes {
        *load *= 2.0;
    }
    let twice = trial.solve();
    for (two, one) in twice.moves.iter().zip(&once.moves) {
        assert!((two - one * 2.0).amax() <= ROUNDING * greatest(&once));
    }
}
