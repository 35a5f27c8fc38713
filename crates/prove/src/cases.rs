//! What acts at once, and how hard.

use nalgebra::{Point3, Vector3, Vector6};

use crate::bracket::Bracket;
use crate::load::{Act, At, Load};

/// Loads that act at once, in the order told: each alone, then those said to come together.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Acting {
    pub name: String,
    pub loads: Vec<usize>,
    pub sudden: bool,
}

pub(crate) fn acting(bracket: &Bracket<'_>) -> Vec<Acting> {
    let sudden = |loads: &[usize]| loads.iter().any(|&load| bracket.loads[load].sudden);
    let alone = bracket.loads.iter().enumerate().map(|(index, load)| Acting {
        name: load.name.clone(),
        loads: vec![index],
        sudden: load.sudden,
    });
    let together = bracket.together.iter().map(|together| Acting {
        name: together.name.clone(),
        loads: together.loads.clone(),
        sudden: sudden(&together.loads),
    });
    alone.chain(together).collect()
}

/// Force and moment of a load on the node where it comes in, factors included.
///
/// `drop_n` is what a drop has been found to come to.
pub(crate) fn on_node(load: &Load, node_at: Point3<f64>, drop_n: f64) -> Vector6<f64> {
    let (force_n, moment_n_mm) = match &load.act {
        Act::Push { force_n, moment_n_mm } => (*force_n, *moment_n_mm),
        Act::Drop { toward, .. } => (toward.into_inner() * drop_n, Vector3::zeros()),
    };
    let arm = match &load.at {
        At::Point(at) => at - node_at,
        At::Support | At::Openings(_) | At::Plate(_) => Vector3::zeros(),
    };
    let moment_n_mm = moment_n_mm + arm.cross(&force_n);
    let mut both = Vector6::zeros();
    both.fixed_rows_mut::<3>(0).copy_from(&(force_n * load.factor));
    both.fixed_rows_mut::<3>(3)
        .copy_from(&(moment_n_mm * load.factor));
    both
}
