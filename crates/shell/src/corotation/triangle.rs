//! One triangle that has moved far: the linear one in a frame that goes with it.
//!
//! Axes that go with the triangle are the global ones turned by `E E_0^T`, `E` and `E_0` being the axes along the first edge
//! now and at first. In them the triangle has moved little: `d` holds movements of the nodes from where a rigid triangle
//! would have them, and rotation vectors of their turns against it. With the linear stiffness `K` the forces are
//! `P^T H^T K d`, exactly the slope of the energy `d^T K d / 2`; `H` leads from small turns to changes of rotation vectors
//! and `P = I - S G` takes off the turn `G` of the frame.
//!
//! B. Nour-Omid, C. C. Rankin, Computer Methods in Applied Mechanics and Engineering 93 (1991) 353-384; C. A. Felippa,
//! B. Haugen, the same 194 (2005) 2285-2335.

use nalgebra::{Matrix3, SMatrix, UnitQuaternion};

use super::turn;
use crate::{
    Frame, Point, Section, Vector,
    element::{Matrix18, Vector18, stiffness},
};

type Tall = SMatrix<f64, 18, 3>;
type Wide = SMatrix<f64, 3, 18>;

/// A triangle, before and now.
pub(crate) struct Moved<'a> {
    pub(crate) corners: [Point; 3],
    pub(crate) section: &'a Section,
    pub(crate) places: [Point; 3],
    pub(crate) turns: [UnitQuaternion<f64>; 3],
}

/// What a moved triangle does, in axes that go with it.
pub(crate) struct Carried {
    /// Those axes.
    axes: Matrix3<f64>,
    stiffness: Matrix18,
    /// `d`.
    bent: Vector18,
    /// `S`: what a small turn of the whole moves.
    moved_by_turn: Tall,
    /// `G`.
    turn_of: Wide,
}

/// Which stiffness of a moved triangle is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tangent {
    /// With what its forces add as they turn.
    Full,
    /// Without, and so nowhere negative.
    OfMaterial,
}

impl Carried {
    pub(crate) fn new(moved: &Moved<'_>) -> Self {
        let Moved {
            corners,
            section,
            places,
            turns,
        } = moved;
        let (before, now) = (Frame::along_edge(corners), Frame::along_edge(places));
        let first = before.axes();
        let axes = now.axes() * first.transpose();
        let back = axes.transpose();
        let stiffness = stiffness(corners, section);
        let (mut bent, mut moved_by_turn) = (Vector18::zeros(), Tall::zeros());
        for node in 0..3 {
            let arm = back * (places[node] - now.centre);
            let turned = turn::of_matrix(back * turns[node].to_rotation_matrix().matrix()).scaled_axis();
            set(&mut bent, 6 * node, &(arm - (corners[node] - before.centre)));
            set(&mut bent, 6 * node + 3, &turned);
            moved_by_turn
                .fixed_view_mut::<3, 3>(6 * node, 0)
                .copy_from(&-arm.cross_matrix());
            moved_by_turn
                .fixed_view_mut::<3, 3>(6 * node + 3, 0)
                .copy_from(&Matrix3::identity());
        }
        let turn_of = turn_of(&now.plan(places), &first);
        Self {
            axes,
            stiffness,
            bent,
            moved_by_turn,
            turn_of,
        }
    }

    /// `d`: movements and rotation vectors of the nodes against the rigid triangle, in the axes that go with it.
    pub(crate) fn bent(&self) -> &Vector18 {
        &self.bent
    }

    /// What `d` becomes, to first order, when the nodes move and turn a little further, told in global axes.
    pub(crate) fn bent_further(&self, change: &Vector18) -> Vector18 {
        let mut own = *change;
        for block in 0..6 {
            let back = self.axes.transpose() * at(change, 3 * block);
            set(&mut own, 3 * block, &back);
        }
        own -= self.moved_by_turn * (self.turn_of * own);
        for node in 0..3 {
            let first = 6 * node + 3;
            let changed = turn::change(&at(&self.bent, first)) * at(&own, first);
            set(&mut own, first, &changed);
        }
        self.bent + own
    }

    /// `P^T H^T K d`, and the moments of `K d`, for any `d`.
    fn held(&self, bent: &Vector18) -> (Vector18, [Vector; 3]) {
        let mut forces = self.stiffness * bent;
        let moments: [Vector; 3] = std::array::from_fn(|node| at(&forces, 6 * node + 3));
        for (node, moment) in moments.iter().enumerate() {
            let first = 6 * node + 3;
            let changed = turn::change(&at(&self.bent, first)).transpose() * moment;
            set(&mut forces, first, &changed);
        }
        forces -= self.turn_of.transpose() * (self.moved_by_turn.transpose() * forces);
        (forces, moments)
    }

    /// Forces and moments on the nodes that hold the triangle so, in global axes.
    pub(crate) fn forces(&self) -> Vector18 {
        let (own, _) = self.held(&self.bent);
        let mut global = own;
        for block in 0..6 {
            let turned = self.axes * at(&own, 3 * block);
            set(&mut global, 3 * block, &turned);
        }
        global
    }

    /// How the forces change with small movements and turns, in global axes, made symmetric: in equilibrium under forces that
    /// keep their direction it is so by itself. What forces add is made from the forces of `bent`, which is `d` or near it.
    pub(crate) fn tangent(&self, which: Tangent, bent: &Vector18) -> Matrix18 {
        let (forces, moments) = self.held(bent);
        let mut inner = self.stiffness;
        for node in 0..3 {
            let change = turn::change(&at(&self.bent, 6 * node + 3));
            let first = 6 * node + 3;
            let columns = inner.fixed_columns::<3>(first) * change;
            inner.fixed_columns_mut::<3>(first).copy_from(&columns);
            let rows = change.transpose() * inner.fixed_rows::<3>(first);
            inner.fixed_rows_mut::<3>(first).copy_from(&rows);
        }
        if which == Tangent::Full {
            for (node, moment) in moments.iter().enumerate() {
                let first = 6 * node + 3;
                let mut own = inner.fixed_view_mut::<3, 3>(first, first);
                own += turn::change_of_moment(&at(&self.bent, first), moment);
            }
        }
        let (s, g) = (&self.moved_by_turn, &self.turn_of);
        let (of_turn, on_turn) = (inner * s, s.transpose() * inner);
        let mut tangent = inner - of_turn * g - g.transpose() * (on_turn - (on_turn * s) * g);
        if which == Tangent::Full {
            let (mut all, mut of_movements) = (Tall::zeros(), Tall::zeros());
            for block in 0..6 {
                let skew = at(&forces, 3 * block).cross_matrix();
                all.fixed_view_mut::<3, 3>(3 * block, 0).copy_from(&skew);
                if block % 2 == 0 {
                    of_movements.fixed_view_mut::<3, 3>(3 * block, 0).copy_from(&skew);
                }
            }
            let across = of_movements.transpose();
            tangent -= all * g + g.transpose() * (across - (across * s) * g);
        }
        let mut global = Matrix18::zeros();
        for i in 0..6 {
            for j in 0..6 {
                let block = (tangent.fixed_view::<3, 3>(3 * i, 3 * j)
                    + tangent.fixed_view::<3, 3>(3 * j, 3 * i).transpose())
                    * 0.5;
                let turned = self.axes * block * self.axes.transpose();
                global.fixed_view_mut::<3, 3>(3 * i, 3 * j).copy_from(&turned);
            }
        }
        global
    }
}

/// The turn of the axes along the first edge that small movements of the nodes make, in the axes that go with the triangle.
fn turn_of(plan: &[[f64; 2]; 3], first: &Matrix3<f64>) -> Wide {
    let edge = plan[1][0] - plan[0][0];
    let (along, height) = (plan[2][0] - plan[0][0], plan[2][1] - plan[0][1]);
    let part = along / edge;
    let of_nodes = [
        Matrix3::new(
            0.0,
            0.0,
            (part - 1.0) / height,
            0.0,
            0.0,
            1.0 / edge,
            0.0,
            -1.0 / edge,
            0.0,
        ),
        Matrix3::new(
            0.0,
            0.0,
            -part / height,
            0.0,
            0.0,
            -1.0 / edge,
            0.0,
            1.0 / edge,
            0.0,
        ),
        Matrix3::new(0.0, 0.0, 1.0 / height, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    ];
    let mut turn_of = Wide::zeros();
    for (node, own) in of_nodes.iter().enumerate() {
        turn_of
            .fixed_view_mut::<3, 3>(0, 6 * node)
            .copy_from(&(first * own * first.transpose()));
    }
    turn_of
}

fn at(values: &Vector18, first: usize) -> Vector {
    values.fixed_rows::<3>(first).into_owned()
}

fn set(values: &mut Vector18, first: usize, to: &Vector) {
    values.fixed_rows_mut::<3>(first).copy_from(to);
}
