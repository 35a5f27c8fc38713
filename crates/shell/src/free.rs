//! What can move without resistance, found before anything is factored.
//!
//! Each part that triangles connect can move as a rigid body in six ways, for six unknowns at each node leave no hinge
//! inside it. Ties and springs resist some of these, alone or between parts. What resists none of them is free: the null
//! space of a small matrix with six rows a part, told as turns about axes first and movements after.

use std::fmt;

use nalgebra::{DMatrix, Matrix6, SymmetricEigen, Vector6};
use thiserror::Error;

use crate::{Model, PER_NODE, Point, Vector, reduce::Reduction};

/// A way to move without resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FreeMotion {
    /// Along a unit direction.
    Along(Vector),
    /// About an axis.
    About {
        /// Unit direction of the axis.
        axis: Vector,
        /// A point it passes through, mm.
        through: Point,
        /// Movement along the axis that comes with the turn, mm/rad: a screw when not zero.
        advance_mm: f64,
    },
}

/// A part that moves without resistance, by itself or with others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeMode {
    /// A node of the part: its lowest.
    pub node: u32,
    /// How it moves.
    pub motion: FreeMotion,
    /// How many further parts move with it.
    pub with_others: usize,
}

/// All ways in which a model can move without resistance: at least one.
#[derive(Debug, Clone, PartialEq, Error)]
pub struct Free {
    /// Independent ones; every other is made of these.
    pub modes: Vec<FreeMode>,
}

/// A motion is free when less than this part of what resists the best held one resists it, both taken squared. Supports a
/// hundred-thousandth of the model's size apart still count.
const RESISTS: f64 = 1e-11;
/// A spring is taken for slack in a direction in which it has less than this part of its largest stiffness, turns
/// measured at half the size of the model.
const SLACK: f64 = 1e-12;
/// Components of a free motion below this, against the largest being 1, are rounding.
const ROUNDING: f64 = 1e-6;

/// Shares of the rigid motions of parts in something.
type Row = Vec<(usize, f64)>;

/// The parts of a model and the constraints on their rigid motions.
struct Parts<'a> {
    model: &'a Model,
    reduction: &'a Reduction,
    /// For each node its part, if it has one.
    of_node: Vec<Option<usize>>,
    /// For each part its lowest node.
    lowest: Vec<u32>,
    /// For each part the point its motion is told at.
    centre: Vec<Point>,
    /// Whether the part is a node that no triangle touches.
    is_lone: Vec<bool>,
    /// Half the size of the model, mm: turns are scaled by it.
    size_mm: f64,
}

/// Finds what is free to move in a model, with every seat held. Terms of the reduction are by place.
pub(crate) fn find(model: &Model, reduction: &Reduction) -> Result<(), Free> {
    let parts = Parts::new(model, reduction);
    let count = 6 * parts.lowest.len();
    let mut resistance = DMatrix::<f64>::zeros(count, count);
    parts.for_constraints(|row| {
        for &(i, one) in row {
            for &(j, other) in row {
                resistance[(i, j)] += one * other;
            }
        }
    });
    // What nothing acts on at a lone node takes no part, as for any other unknown without stiffness.
    for variable in 0..count {
        if parts.is_lone[variable / 6] && resistance[(variable, variable)] == 0.0 {
            resistance[(variable, variable)] = 1.0;
        }
    }
    // Usually all is held, and a factor shows it for a tenth of what the motions cost: of a free one the last pivot is
    // rounding only.
    let largest = resistance.diagonal().max();
    if let Some(factor) = resistance.clone().cholesky() {
        let weakest = factor.l_dirty().diagonal().min();
        if weakest * weakest > RESISTS * largest {
            return Ok(());
        }
    }
    let eigen = SymmetricEigen::new(resistance);
    let most = eigen.eigenvalues.max().max(f64::MIN_POSITIVE);
    let free: Vec<usize> = (0..count)
        .filter(|&at| eigen.eigenvalues[at] <= RESISTS * most)
        .collect();
    if free.is_empty() {
        return Ok(());
    }
    let mut motions = DMatrix::from_fn(free.len(), count, |row, column| {
        eigen.eigenvectors[(column, free[row])]
    });
    let pivots = told_apart(&mut motions);
    let modes = pivots
        .iter()
        .enumerate()
        .map(|(row, &pivot)| parts.mode(&motions, row, pivot / 6))
        .collect();
    Err(Free { modes })
}

/// Combines motions so that each has something no other has: turns where they have any, in the order of the parts, then
/// movements. Gives what each has for itself.
fn told_apart(motions: &mut DMatrix<f64>) -> Vec<usize> {
    let (rows, columns) = motions.shape();
    let turns = (0..columns).filter(|column| column % 6 >= 3);
    let movements = (0..columns).filter(|column| column % 6 < 3);
    let mut pivots = Vec::new();
    for column in turns.chain(movements) {
        let done = pivots.len();
        if done == rows {
            break;
        }
        let best = done + motions.view((done, column), (rows - done, 1)).column(0).iamax();
        if motions[(best, column)].abs() <= ROUNDING {
            continue;
        }
        motions.swap_rows(done, best);
        let by = motions[(done, column)];
        motions.row_mut(done).scale_mut(1.0 / by);
        let own = motions.row(done).into_owned();
        for row in (0..rows).filter(|&row| row != done) {
            let factor = motions[(row, column)];
            let mut other = motions.row_mut(row);
            other -= &own * factor;
        }
        pivots.push(column);
    }
    pivots
}

impl<'a> Parts<'a> {
    fn new(model: &'a Model, reduction: &'a Reduction) -> Self {
        let nodes = &model.mesh.nodes;
        let mut joined = Joined::new(nodes.len());
        let mut touched = vec![false; nodes.len()];
        for &[a, b, c] in &model.mesh.triangles {
            joined.join(a, b);
            joined.join(a, c);
            for node in [a, b, c] {
                touched[node as usize] = true;
            }
        }
        // Lone nodes count when something stiff hangs on one of their unknowns.
        let mut counts = touched.clone();
        let mut hang_on = |node: u32| {
            for axis in 0..PER_NODE {
                for &(place, _) in reduction.terms(node as usize * PER_NODE + axis) {
                    counts[place as usize / PER_NODE] = true;
                }
            }
        };
        (0..)
            .zip(&touched)
            .filter(|(_, touched)| **touched)
            .for_each(|(node, _)| hang_on(node));
        for spring in &model.springs {
            std::iter::once(spring.from)
                .chain(spring.to)
                .for_each(&mut hang_on);
        }
        model.seats.iter().for_each(|seat| hang_on(seat.node));

        let mut part_of_root: Vec<Option<usize>> = vec![None; nodes.len()];
        let mut of_node = vec![None; nodes.len()];
        let (mut lowest, mut is_lone, mut sums) = (Vec::new(), Vec::new(), Vec::<(Vector, f64)>::new());
        for (node, place) in (0_u32..).zip(nodes) {
            if !counts[node as usize] {
                continue;
            }
            let part = *part_of_root[joined.root(node) as usize].get_or_insert_with(|| {
                lowest.push(node);
                is_lone.push(!touched[node as usize]);
                sums.push((Vector::zeros(), 0.0));
                lowest.len() - 1
            });
            of_node[node as usize] = Some(part);
            sums[part].0 += place.coords;
            sums[part].1 += 1.0;
        }
        let (mut low, mut high) = (nodes[0], nodes[0]);
        for place in nodes {
            (low, high) = (low.inf(place), high.sup(place));
        }
        Self {
            model,
            reduction,
            of_node,
            lowest,
            centre: sums
                .into_iter()
                .map(|(sum, count)| Point::from(sum / count))
                .collect(),
            is_lone,
            size_mm: 0.5 * (high - low).norm(),
        }
    }

    /// What an unknown takes from the rigid motion of its own part, turns made as long as movements.
    fn own(&self, place: usize) -> Row {
        let (node, axis) = (place / PER_NODE, place % PER_NODE);
        let Some(part) = self.of_node[node] else {
            return Row::new();
        };
        if axis >= 3 {
            return vec![(6 * part + axis, 1.0)];
        }
        let arm = (self.model.mesh.nodes[node] - self.centre[part]) / self.size_mm;
        let (next, last) = ((axis + 1) % 3, (axis + 2) % 3);
        // turn x arm, along this axis.
        vec![
            (6 * part + axis, 1.0),
            (6 * part + 3 + next, arm[last]),
            (6 * part + 3 + last, -arm[next]),
        ]
    }

    /// What an unknown takes from the motions of the parts it follows, or of its own; adds it to a row.
    fn add(&self, place: usize, factor: f64, row: &mut Row) {
        let to_length = |place: usize| if place % PER_NODE >= 3 { self.size_mm } else { 1.0 };
        for &(followed, share) in self.reduction.terms(place) {
            let scale = factor * share * to_length(place) / to_length(followed as usize);
            row.extend(
                self.own(followed as usize)
                    .into_iter()
                    .map(|(at, value)| (at, scale * value)),
            );
        }
    }

    /// Calls with everything that resists rigid motions: rows of size about 1.
    fn for_constraints(&self, mut call: impl FnMut(&[(usize, f64)])) {
        let mut give = |mut row: Row| {
            row.sort_by_key(|&(at, _)| at);
            row.dedup_by(|next, kept| {
                let same = next.0 == kept.0;
                if same {
                    kept.1 += next.1;
                }
                same
            });
            // What cancels but for rounding is no resistance.
            row.retain(|&(_, value)| value.abs() > f64::EPSILON.sqrt() * ROUNDING);
            call(&row);
        };
        for tie in &self.model.ties {
            let place = tie.dof.index();
            if self.of_node[place / PER_NODE].is_some_and(|part| !self.is_lone[part]) {
                let mut row = self.own(place);
                self.add(place, -1.0, &mut row);
                give(row);
            }
        }
        for spring in &self.model.springs {
            let to_length = Matrix6::from_diagonal(&Vector6::new(
                1.0,
                1.0,
                1.0,
                1.0 / self.size_mm,
                1.0 / self.size_mm,
                1.0 / self.size_mm,
            ));
            let eigen = SymmetricEigen::new(to_length * spring.global_stiffness() * to_length);
            let stiffest = eigen.eigenvalues.max();
            for (&value, direction) in eigen.eigenvalues.iter().zip(eigen.eigenvectors.column_iter()) {
                if value > SLACK * stiffest {
                    let mut row = Row::new();
                    for (axis, &component) in direction.iter().enumerate() {
                        self.add(spring.from as usize * PER_NODE + axis, component, &mut row);
                        if let Some(to) = spring.to {
                            self.add(to as usize * PER_NODE + axis, -component, &mut row);
                        }
                    }
                    give(row);
                }
            }
        }
        for seat in &self.model.seats {
            let mut row = Row::new();
            for axis in 0..3 {
                self.add(seat.node as usize * PER_NODE + axis, seat.push[axis], &mut row);
            }
            give(row);
        }
    }

    /// Tells a motion by the part that it is the motion of.
    fn mode(&self, motions: &DMatrix<f64>, row: usize, part: usize) -> FreeMode {
        let clean = |value: f64| if value.abs() <= ROUNDING { 0.0 } else { value };
        let component = |at: usize| clean(motions[(row, 6 * part + at)]);
        let movement = Vector::new(component(0), component(1), component(2));
        let turn = Vector::new(component(3), component(4), component(5)) / self.size_mm;
        let motion = if turn == Vector::zeros() {
            FreeMotion::Along(movement.normalize())
        } else {
            let square = turn.norm_squared();
            FreeMotion::About {
                axis: turn.normalize(),
                through: self.centre[part] + turn.cross(&movement) / square,
                advance_mm: turn.dot(&movement) / square,
            }
        };
        let moves = |other: usize| (0..6).any(|at| clean(motions[(row, 6 * other + at)]) != 0.0);
        FreeMode {
            node: self.lowest[part],
            motion,
            with_others: (0..self.lowest.len())
                .filter(|&other| other != part && moves(other))
                .count(),
        }
    }
}

/// Which nodes are joined, however indirectly.
struct Joined(Vec<u32>);

impl Joined {
    fn new(nodes: usize) -> Self {
        Self((0..).take(nodes).collect())
    }

    fn root(&mut self, mut node: u32) -> u32 {
        while self.0[node as usize] != node {
            let further = self.0[self.0[node as usize] as usize];
            self.0[node as usize] = further;
            node = further;
        }
        node
    }

    fn join(&mut self, one: u32, other: u32) {
        let (one, other) = (self.root(one), self.root(other));
        self.0[one.max(other) as usize] = one.min(other);
    }
}

impl fmt::Display for FreeMotion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Along(direction) => write!(f, "along {}", Direction(direction)),
            Self::About {
                axis,
                through,
                advance_mm,
            } => {
                // The sum with 0 takes the sign off a zero.
                let [x, y, z] = [through.x, through.y, through.z].map(|mm| (10.0 * mm).round() / 10.0 + 0.0);
                write!(f, "about {} through ({x:.1}, {y:.1}, {z:.1})", Direction(axis))?;
                if advance_mm.abs() > ROUNDING {
                    write!(f, " with {advance_mm:.1} mm along it a radian")?;
                }
                Ok(())
            }
        }
    }
}

/// A direction, by the name of an axis where it is one.
struct Direction<'a>(&'a Vector);

impl fmt::Display for Direction<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [x, y, z] = (*self.0).into();
        for (name, axis) in [("x", Vector::x()), ("y", Vector::y()), ("z", Vector::z())] {
            if self.0.cross(&axis).norm() <= ROUNDING {
                return f.write_str(name);
            }
        }
        write!(f, "({x:.3}, {y:.3}, {z:.3})")
    }
}

impl fmt::Display for Free {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("free to move: ")?;
        for (at, mode) in self.modes.iter().enumerate() {
            let separator = if at > 0 { ", " } else { "" };
            write!(f, "{separator}{} (the part of node {})", mode.motion, mode.node)?;
        }
        Ok(())
    }
}
