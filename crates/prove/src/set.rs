//! Does it stay bent?

use shell::{InPlane, PanelForces};

use crate::answer::Set;

/// What the linear answer says of permanent set: none while no face reaches yield; at a spot when a face does; through
/// the section where force and moment together would make the whole thickness yield,
/// (N / N_p)^2 + (M / M_p)^2 >= 1 with N_p = f t and M_p = f t^2 / 4 in von Mises' measure (Ilyushin's linear form; from
/// memory).
pub(crate) fn set<'a>(peak_mpa: f64, yield_mpa: f64, forces: impl Iterator<Item = &'a PanelForces>) -> Set {
    if peak_mpa <= yield_mpa {
        return Set::None;
    }
    let middle = |corners: &[InPlane; 3]| (corners[0] + corners[1] + corners[2]) * (1.0 / 3.0);
    let mut through = false;
    for force in forces {
        let t_mm = force.thickness_mm;
        let pull = middle(&force.membrane_n_mm).von_mises() / (yield_mpa * t_mm);
        let bend = middle(&force.moment_n).von_mises() / (yield_mpa * t_mm * t_mm / 4.0);
        through |= pull * pull + bend * bend >= 1.0;
    }
    if through { Set::Section } else { Set::Spot }
}
