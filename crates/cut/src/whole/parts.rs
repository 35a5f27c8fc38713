//! Where the parts lie, and the tracks of each.

use nalgebra::Isometry2;
use plane::{Outline, Region};

use super::{Asked, NoPlan, PlacedPart, SheetConcern, Zero};
use crate::place::{Corner, Layout, Part, Remnant, Sheet, place};
use crate::profile::Profile;
use crate::tracks::{OnTable, Tracks, tracks};

/// The parts as they lie.
pub(super) struct Laid {
    lie: Vec<Lies>,
    pub of_sheet: f64,
    pub remnant: Remnant,
}

struct Lies {
    part: usize,
    copy: usize,
    name: String,
    placed: Isometry2<f64>,
    region: Region,
}

/// Clamps as outlines, in table coordinates; one without area stands nowhere.
pub(crate) fn clamps(profile: &Profile) -> Vec<Outline> {
    let clamps = profile.table.clamps.iter();
    clamps
        .filter_map(|clamp| Outline::rectangle(clamp.low, clamp.high).ok())
        .collect()
}

pub(super) fn laid(asked: &Asked<'_>, concerns: &mut Vec<SheetConcern>) -> Result<Laid, NoPlan> {
    let mut which = Vec::new();
    let mut parts = Vec::new();
    for (part, wanted) in asked.parts.iter().enumerate() {
        for copy in 1..=wanted.copies {
            which.push((part, copy));
            parts.push(Part {
                region: wanted.blank.region.clone(),
                turns: wanted.turns.clone(),
            });
        }
    }
    let sheet = Sheet {
        region: asked.sheet.clone(),
        clamps: clamps(asked.profile),
        zero: match asked.zero {
            Zero::Corner(corner) => corner,
            Zero::At(_) => Corner::LowerLeft,
        },
    };
    let Layout {
        placed,
        left_out,
        of_sheet,
        remnant,
        ..
    } = place(&parts, &sheet, &asked.running.gaps, asked.effort)?;
    concerns.extend(left_out.iter().map(|part| {
        let (part, copy) = which[*part];
        SheetConcern::NoRoom { part, copy }
    }));
    let lie = placed.into_iter().map(|lies| {
        let (part, copy) = which[lies.part];
        let name = &asked.parts[part].blank.name;
        Lies {
            part,
            copy,
            name: if asked.parts[part].copies > 1 {
                format!("{name} {copy}")
            } else {
                name.clone()
            },
            placed: Isometry2::new(lies.by, lies.turn_rad),
            region: lies.region,
        }
    });
    Ok(Laid {
        lie: lie.collect(),
        of_sheet,
        remnant,
    })
}

/// Everything but this part that a lead must keep off, in table coordinates.
pub(super) fn others<'a>(
    regions: impl Iterator<Item = &'a Region>,
    this: usize,
    profile: &Profile,
) -> Vec<Region> {
    let parts = regions.enumerate().filter(|(other, _)| *other != this);
    let parts = parts.map(|(_, region)| region.clone());
    parts
        .chain(clamps(profile).into_iter().map(Region::solid))
        .collect()
}

pub(super) fn tracked(
    asked: &Asked<'_>,
    laid: &Laid,
    concerns: &mut Vec<SheetConcern>,
) -> Result<(Vec<PlacedPart>, Vec<Tracks>), NoPlan> {
    let several = laid.lie.len() > 1;
    let (mut placed, mut all) = (Vec::new(), Vec::new());
    for (part, lies) in laid.lie.iter().enumerate() {
        let others = others(laid.lie.iter().map(|lies| &lies.region), part, asked.profile);
        let wanted = &asked.parts[lies.part];
        let on_table = OnTable {
            blank: wanted.blank,
            part,
            placed: lies.placed,
            avoid: wanted.avoid,
            others: &others,
        };
        let mut found =
            tracks(&on_table, asked.profile, asked.stock, asked.book).map_err(|why| NoPlan::NoTracks {
                name: lies.name.clone(),
                why,
            })?;
        if several {
            for contour in &mut found.contours {
                let name = match contour.of {
                    crate::Of::Outline { .. } => lies.name.clone(),
                    crate::Of::Opening { .. } => format!("{} {}", lies.name, contour.name),
                };
                for cut in &mut contour.cuts {
                    cut.name.clone_from(&name);
                }
                contour.name = name;
            }
        }
        concerns.extend(found.concerns.iter().map(|what| SheetConcern::Track {
            placed: part,
            what: what.clone(),
        }));
        placed.push(PlacedPart {
            part: lies.part,
            copy: lies.copy,
            name: lies.name.clone(),
            placed: lies.placed,
            as_cut: found.as_cut.clone(),
            holes: found.holes.clone(),
            marks: found.marks.clone(),
            tabs: Vec::new(),
        });
        all.push(found);
    }
    Ok((placed, all))
}
