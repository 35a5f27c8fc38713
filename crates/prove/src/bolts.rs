//! What each bolt and its foot carry, out of a solution.

use nalgebra::Vector3;
use shell::Solution;

use crate::answer::BoltForces;
use crate::mounting::Mounted;

/// A seat that pushes with less than this share of the mount's hardest push carries nothing.
const CARRIES: f64 = 1e-9;

pub(crate) fn bolts(mounted: &Mounted, solution: &Solution) -> Vec<BoltForces> {
    let read = |(mount, bolted): (usize, &crate::mounting::Bolted)| {
        let spring = &solution.springs[bolted.spring as usize];
        let axes = mounted.model.springs[bolted.spring as usize].axes;
        let foot = &solution.seats_n[bolted.foot.clone()];
        let hardest_n = foot.iter().copied().fold(0.0, f64::max);
        let lifted = foot.iter().filter(|&&push| push <= CARRIES * hardest_n).count();
        BoltForces {
            mount,
            tension_n: solution.seats_n[bolted.pull],
            shear_n: axes * Vector3::new(spring[0], spring[1], 0.0),
            bending_n_mm: spring[3].hypot(spring[4]),
            foot_n: foot.iter().sum(),
            lifted: lifted as f64 / foot.len().max(1) as f64,
        }
    };
    mounted.bolts.iter().enumerate().map(read).collect()
}
