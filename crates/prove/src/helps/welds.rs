//! What the welds of added plates carry, and whether they hold.

use nalgebra::{Point3, Vector3};
use shell::{Mesh, Solution};

use super::change::ExtraPlate;
use super::outcome::{HeldWeld, Welds};
use super::weld_on::WeldedOn;
use crate::seams::{line_force, share_of_length};
use crate::weld::{LineForce, Place, worst};

/// Whether the welds of these plates can be checked.
pub(super) fn known(extra: &[ExtraPlate]) -> Welds {
    if extra.is_empty() {
        Welds::None
    } else if extra.iter().all(|plate| plate.welding.is_some()) {
        Welds::Checked
    } else {
        Welds::NotKnown
    }
}

/// The weld that uses most of its strength under a case, by the directional method on the stretch of each that carries
/// most; `margin` is how many times the case a weld is to stand. None when nothing is welded on, or nothing is known of it.
pub(super) fn tightest(
    extra: &[ExtraPlate],
    welded: &[WeldedOn],
    mesh: &Mesh,
    solution: &Solution,
    margin: f64,
) -> Option<HeldWeld> {
    let each = welded
        .iter()
        .filter_map(|weld| held(extra.get(weld.plate)?, weld, mesh, solution, margin));
    // The first of equals.
    each.fold(None, |most: Option<HeldWeld>, next| match most {
        Some(most) if most.used >= next.used => Some(most),
        _ => Some(next),
    })
}

fn held(
    plate: &ExtraPlate,
    welded: &WeldedOn,
    mesh: &Mesh,
    solution: &Solution,
    margin: f64,
) -> Option<HeldWeld> {
    let strength = plate.welding?.strength;
    let fillet = plate.fillet(plate.welds.get(welded.weld)?)?;
    let nodes: Vec<u32> = welded.nodes.iter().map(|(node, _)| *node).collect();
    let place = |(place, (_, ties)): (usize, &(u32, std::ops::Range<usize>))| {
        let length_mm = share_of_length(mesh, &nodes, place);
        let held: Vec<f64> = solution.ties[ties.clone()].to_vec();
        let (force_n, moment_n_mm) = match held[..] {
            [x, y, z, about_x, about_y, about_z] => {
                (Vector3::new(x, y, z), Vector3::new(about_x, about_y, about_z))
            }
            // A hinge holds nothing about its line.
            [x, y, z, ..] => (Vector3::new(x, y, z), Vector3::zeros()),
            _ => return None,
        };
        let per_mm = [force_n, moment_n_mm].map(|held| held / length_mm);
        Some(Place {
            length_mm,
            line: line_force(per_mm, welded.along, welded.into_plate),
        })
    };
    let places: Vec<Place> = welded.nodes.iter().enumerate().filter_map(place).collect();
    let used = |line: &LineForce| margin / strength.directional(&line.throat(&fillet));
    let worst = worst(&places, fillet.stretch_mm(), &used)?;
    let start: Point3<f64> = mesh.nodes[*nodes.first()? as usize];
    Some(HeldWeld {
        leg_mm: fillet.leg_mm(),
        line_n_mm: worst.line.size_n_mm(),
        throat: worst.line.throat(&fillet),
        at: start + welded.along * worst.middle_mm,
        breaks_at: margin / worst.size,
        used: worst.size,
    })
}
