//! The part on the equipment: how it stands on its mounts, how the support sits, how far the keep-outs are.

use fit::{Allowance, Apart, HoleShape, Mount, PartHole, Placement, Seat, Settle, SupportState, SupportWant};
use nalgebra::{Isometry3, Point3, Unit, Vector3};
use sheet::{OpeningShape, Part};

use crate::files::model::{Design, Name};
use crate::files::{Wrong, nearest};

use super::equipment::{Equipment, KeepOut, MountWish, SupportWish};
use super::loads::AtWish;

/// The part where it stands.
#[derive(Debug, Clone)]
pub(crate) struct Standing {
    /// From the part's axes to the equipment's.
    pub pose: Isometry3<f64>,
    /// Where the mounts are on the equipment.
    pub mounts: Vec<Mount>,
    /// Mounts as placed; none when there are no mounts.
    pub placement: Option<Placement>,
    /// The support.
    pub support: Option<SupportState>,
    /// Clearance of each keep-out, least, and the point of the part where it is.
    pub keep_outs: Vec<(KeepOut, f64, Point3<f64>)>,
}

/// The part's holes as the mounts see them: round holes and slots, in the order of the part's openings.
pub(crate) fn part_holes(part: &Part) -> Vec<PartHole> {
    let mut holes = Vec::new();
    for (index, opening) in part.openings.iter().enumerate() {
        let Some(placed) = part.opening_in_space(index) else {
            continue;
        };
        let shape = match &opening.shape {
            OpeningShape::Round { dia_mm, .. } => HoleShape::Round { dia_mm: *dia_mm },
            OpeningShape::Slot { from, to, width_mm } => {
                let panel = &part.panels[placed.panel];
                let run = to - from;
                let along = panel.to_folded.rotation * Vector3::new(run.x, run.y, 0.0);
                HoleShape::Slot {
                    along: Unit::new_normalize(along),
                    length_mm: run.norm() + width_mm,
                    width_mm: *width_mm,
                }
            }
            OpeningShape::Window(_) => continue,
        };
        if let Some(hole) = PartHole::between(opening.name.clone(), placed.far, placed.near, shape) {
            holes.push(hole);
        }
    }
    holes
}

/// The mounts for these holes.
pub(crate) fn mounts(
    wishes: &[MountWish],
    holes: &[PartHole],
    design: &Design,
) -> Result<Vec<Mount>, Vec<Wrong>> {
    let mut wrongs = Vec::new();
    let mut mounts = Vec::new();
    for MountWish { hole: name, place } in wishes {
        let made = find_hole(name, holes, design).and_then(|hole| {
            let allowance: Allowance = fit::allowance(&holes[hole].shape, place.bolt_mm, &place.into)
                .map_err(|error| {
                    Wrong::new(
                        place.said.clone(),
                        format!("mount \"{}\", hole \"{}\": {error}", place.name, name.value),
                    )
                    .expected("a hole larger than its bolt")
                })?;
            Ok(Mount {
                name: place.name.clone(),
                hole,
                at: place.at,
                axis: place.axis,
                allowance,
                gap_allowed_mm: place.gap_mm,
                tilt_allowed_rad: place.tilt_rad,
            })
        });
        match made {
            Ok(mount) => mounts.push(mount),
            Err(wrong) => wrongs.push(wrong),
        }
    }
    if wrongs.is_empty() {
        Ok(mounts)
    } else {
        Err(wrongs)
    }
}

fn find_hole(name: &Name, holes: &[PartHole], design: &Design) -> Result<usize, Wrong> {
    holes
        .iter()
        .position(|hole| hole.name == name.value)
        .ok_or_else(|| {
            let drawn = design.holes.iter().map(|hole| hole.name.value.as_str());
            let drawn = drawn.chain(design.slots.iter().map(|slot| slot.name.value.as_str()));
            let mut wrong = Wrong::new(
                name.at.clone(),
                format!("the design has no hole \"{}\"", name.value),
            )
            .expected("a hole or slot of the design");
            wrong.fix = nearest(&name.value, drawn).map(|near| format!("\"{near}\""));
            wrong
        })
}

/// The support's seat on the part, and the support wanted with its spacing.
pub(crate) fn seat(
    wish: &SupportWish,
    holes: &[PartHole],
    design: &Design,
) -> Result<(Seat, SupportWant), Wrong> {
    let indices: Vec<usize> = wish
        .holes
        .iter()
        .map(|name| find_hole(name, holes, design))
        .collect::<Result<_, _>>()?;
    let chosen: Vec<&PartHole> = indices.iter().map(|index| &holes[*index]).collect();
    let at = wish.holes.first().map(|name| name.at.clone());
    let fault = |error: fit::SupportError| {
        Wrong::new(
            at.clone().unwrap_or_else(|| design.title.at.clone()),
            error.to_string(),
        )
    };
    let seat = Seat::of(&chosen).map_err(fault)?;
    let mut want = wish.want;
    if let Some(wanted_mm) = wish.apart_mm {
        let play = |hole: &PartHole| match (hole.shape, wish.bolt_mm) {
            (HoleShape::Round { dia_mm }, Some(bolt)) => dia_mm - bolt,
            (HoleShape::Slot { length_mm, .. }, Some(bolt)) => length_mm - bolt,
            (_, None) => SPACING_PLAY_MM,
        };
        // Two bolts in tapped holes, each with half its play to give in either direction.
        let allowed_mm = chosen
            .iter()
            .map(|hole| play(hole))
            .fold(f64::INFINITY, f64::min)
            .max(LEAST_PLAY_MM);
        want.apart = Some(Apart {
            wanted_mm,
            allowed_mm,
        });
    }
    Ok((seat, want))
}

/// Play of a support hole whose screw is not said: what a normal clearance hole gives an M6. ISO 273.
const SPACING_PLAY_MM: f64 = 0.6;
/// A screw that fills its hole still finds it when the spacing is right to this.
const LEAST_PLAY_MM: f64 = 0.01;

/// Places the part, and measures how it stands.
pub(crate) fn stand(
    equipment: &Equipment,
    part: &Part,
    design: &Design,
    mesh: &draw::Mesh,
) -> Result<Standing, Vec<Wrong>> {
    let holes = part_holes(part);
    let mounts = mounts(&equipment.mounts, &holes, design)?;
    let named = equipment.loads.loads.iter().flat_map(|load| match &load.at {
        AtWish::Holes(names) => names.as_slice(),
        _ => &[],
    });
    let unknown: Vec<Wrong> = named
        .filter_map(|name| find_hole(name, &holes, design).err())
        .collect();
    if !unknown.is_empty() {
        return Err(unknown);
    }
    let seat = equipment
        .support
        .as_ref()
        .map(|wish| seat(wish, &holes, design))
        .transpose()
        .map_err(|w| vec![w])?;
    let fault = |error: &dyn std::fmt::Display| {
        let at = equipment
            .mounts
            .first()
            .map_or_else(|| design.title.at.clone(), |mount| mount.place.said.clone());
        vec![Wrong::new(at, error.to_string())]
    };
    let mut placement = None;
    let mut pose = Isometry3::identity();
    if !mounts.is_empty() {
        let settle = match &seat {
            Some((seat, want)) => Settle::Support { seat, want },
            None => Settle::LeastTurn,
        };
        let placed = fit::place(&holes, &mounts, settle).map_err(|error| fault(&error))?;
        pose = placed.pose;
        placement = Some(placed);
    }
    let support = match &seat {
        Some((seat, want)) if placement.is_some() => {
            Some(fit::sit(seat, want, &pose).map_err(|error| fault(&error))?)
        }
        _ => None,
    };
    let mut keep_outs = Vec::new();
    if placement.is_some() && !equipment.keep_outs.is_empty() {
        let triangles: Vec<fit::Triangle> = mesh
            .triangles
            .iter()
            .map(|corners| mesh.corners(*corners))
            .collect();
        for keep_out in &equipment.keep_outs {
            let clearance = fit::clearance(&triangles, &pose, &keep_out.shape)
                .map_err(|error| vec![Wrong::new(keep_out.name.at.clone(), error.to_string())])?;
            keep_outs.push((keep_out.clone(), clearance.clearance_mm, clearance.on_part));
        }
    }
    Ok(Standing {
        pose,
        mounts,
        placement,
        support,
        keep_outs,
    })
}
