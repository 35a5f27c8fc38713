//! What acts at once, and how hard.

use nalgebra::{Point3, Vector3, Vector6};

use crate::bracket::Bracket;
use crate::load::{Act, At, GRAVITY_MM_S2, Load};

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

/// The steady force that strains a spring as far as a falling mass does, N: m g (1 + sqrt(1 + 2 h k / (m g))).
///
/// Energy of the fall stored in the spring, nothing lost: the height h from rest to first touch in mm, k in N/mm. A fall of
/// no height is a load put on at once: twice the weight. Real blows lose energy, so it is on the heavy side for a stiff
/// ground and says nothing of a hammer. Young and Budynas, Roark's Formulas for Stress and Strain, dynamic loading.
pub fn drop_force_n(mass_kg: f64, height_mm: f64, stiffness_n_mm: f64) -> f64 {
    let weight_n = mass_kg * GRAVITY_MM_S2 * 1e-3;
    if weight_n <= 0.0 {
        return 0.0;
    }
    weight_n * (1.0 + (1.0 + 2.0 * height_mm * stiffness_n_mm / weight_n).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_weight_put_on_at_once_counts_twice() {
        let weight_n = 2.0 * GRAVITY_MM_S2 * 1e-3;
        assert!((drop_force_n(2.0, 0.0, 1e6) - 2.0 * weight_n).abs() < 1e-9);
    }

    #[test]
    fn the_spring_stores_what_the_fall_gave() {
        let (mass_kg, height_mm, stiffness_n_mm) = (2.1, 500.0, 80.0);
        let force_n = drop_force_n(mass_kg, height_mm, stiffness_n_mm);
        let stored = force_n * force_n / (2.0 * stiffness_n_mm);
        let fallen = mass_kg * GRAVITY_MM_S2 * 1e-3 * (height_mm + force_n / stiffness_n_mm);
        assert!((stored - fallen).abs() < 1e-9 * stored);
    }
}
