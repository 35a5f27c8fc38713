//! Springs and seats when what they hold has moved far.

use nalgebra::{SMatrix, UnitQuaternion, Vector6};

use super::{State, turn};
use crate::{Mesh, Seat, Spring, Vector, spring::Matrix12};

/// Forces and moments on the two ends of a spring that hold it so, and how they change with small movements, in global
/// axes.
///
/// A spring to the ground keeps its axes; one between two nodes has them turn with the node `to`. The turn between the ends
/// is a rotation vector. The change leaves out what turning moments add, which slows the iteration and alters no answer.
pub(crate) fn spring(spring: &Spring, mesh: &Mesh, state: &State) -> (Vector6<f64>, Vector6<f64>, Matrix12) {
    let from = spring.from as usize;
    let (turn_to, moved) = match spring.to {
        None => (UnitQuaternion::identity(), state.places[from] - mesh.nodes[from]),
        Some(to) => {
            let to = to as usize;
            let turn = state.turns[to];
            let before = mesh.nodes[from] - mesh.nodes[to];
            (
                turn,
                turn.inverse() * (state.places[from] - state.places[to]) - before,
            )
        }
    };
    let turned = (turn_to.inverse() * state.turns[from]).scaled_axis();
    let mut stretch = Vector6::zeros();
    stretch.fixed_rows_mut::<3>(0).copy_from(&moved);
    stretch.fixed_rows_mut::<3>(3).copy_from(&turned);
    let own = spring.to_global(&(spring.stiffness * spring.to_own(&stretch)));
    let force: Vector = turn_to * own.fixed_rows::<3>(0).into_owned();
    let moment: Vector = turn_to * (turn::change(&turned).transpose() * own.fixed_rows::<3>(3));
    let on_from = six(&force, &moment);
    let on_to = match spring.to {
        None => Vector6::zeros(),
        Some(to) => {
            let arm = state.places[from] - state.places[to as usize];
            six(&-force, &(-moment - arm.cross(&force)))
        }
    };
    let now = Spring {
        axes: turn_to.to_rotation_matrix() * spring.axes,
        ..spring.clone()
    };
    (on_from, on_to, now.between())
}

fn six(force: &Vector, moment: &Vector) -> Vector6<f64> {
    let mut six = Vector6::zeros();
    six.fixed_rows_mut::<3>(0).copy_from(force);
    six.fixed_rows_mut::<3>(3).copy_from(moment);
    six
}

/// How far a node presses into its seat, mm; below 0 when it is clear. Seats keep their place and direction.
pub(crate) fn pressed_mm(seat: &Seat, mesh: &Mesh, state: &State) -> f64 {
    let node = seat.node as usize;
    -seat.push.dot(&(state.places[node] - mesh.nodes[node])) - seat.gap_mm
}

/// Stiffness against the ground out of that between two nodes.
pub(crate) fn grounded(both: &Matrix12) -> SMatrix<f64, 6, 6> {
    both.fixed_view::<6, 6>(0, 0).into_owned()
}
