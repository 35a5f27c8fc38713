//! The part on the equipment: mounts, support, keep-outs, and the measures that are found so that they are met.

use std::collections::BTreeMap;

use fit::{
    Allowance, Apart, Bound, HoleShape, Mount, MountHole, PartHole, Placement, Seat, Settle, Shape,
    SolveOptions, SupportState, SupportWant,
};
use handbook::{Handbook, Limit};
use nalgebra::{Isometry3, Point3, Unit, Vector3};
use sheet::{OpeningShape, Part};
use units::Quantity;

use crate::files::model::{
    Design, Fit, KeepOutShape, MountDef, MountKind, Name, Place, PlaceDef, Shop, Told, Where,
};
use crate::files::{Wrong, nearest};

use super::scope::{Scope, Unknown};

/// The wishes of the equipment: everything of the fit that does not hang on the part.
#[derive(Debug, Clone)]
pub(crate) struct Equipment {
    /// Mounts; a clamp counts as two.
    pub mounts: Vec<MountWish>,
    /// The support.
    pub support: Option<SupportWish>,
    /// What must stay clear.
    pub keep_outs: Vec<KeepOut>,
}

/// A mount before the part's hole is known.
#[derive(Debug, Clone)]
pub(crate) struct MountWish {
    pub name: String,
    pub hole: Name,
    pub at: Point3<f64>,
    pub axis: Unit<Vector3<f64>>,
    pub bolt_mm: f64,
    pub into: MountHole,
    pub gap_mm: f64,
    pub tilt_rad: f64,
    pub said: Place,
}

/// The support before the part is known.
#[derive(Debug, Clone)]
pub(crate) struct SupportWish {
    pub holes: Vec<Name>,
    pub want: SupportWant,
    pub bolt_mm: Option<f64>,
    pub apart_mm: Option<f64>,
}

/// A keep-out.
#[derive(Debug, Clone)]
pub(crate) struct KeepOut {
    pub name: Told<String>,
    pub shape: Shape,
    pub least_mm: f64,
}

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

/// Reads the equipment.
pub(crate) fn equipment(
    book: &Handbook,
    shop: Option<&Shop>,
    fit: &Fit,
    scope: &Scope,
) -> Result<Equipment, Vec<Wrong>> {
    let mut wrongs = Vec::new();
    let places = super::survey_places::places(book, shop, fit, scope)?;
    let mut mounts = Vec::new();
    for def in &fit.mounts {
        match mount(book, def, scope, &places, &fit.places) {
            Ok(found) => mounts.extend(found),
            Err(wrong) => wrongs.push(wrong),
        }
    }
    let mut support = None;
    if let Some(def) = &fit.support {
        let made = (|| {
            let at = place_of(&def.at, scope, &places, &fit.places)?;
            let angle = |sum: &Option<_>| sum.as_ref().map_or(Ok(0.0), |sum| scope.angle_rad(sum));
            let (facing, along) = fit::facing_frame(angle(&def.pitch)?, angle(&def.toe)?, angle(&def.roll)?);
            let allowed_mm = match &def.allowed {
                Some(sum) => scope.size_mm(sum, "the allowed offset")?,
                None => book.limit(Limit::SupportOffset).value,
            };
            let allowed_turn_rad = match &def.allowed_turn {
                Some(sum) => scope.angle_rad(sum)?,
                None => book.limit(Limit::SupportTurn).value,
            };
            let apart_mm = def
                .apart
                .as_ref()
                .map(|sum| scope.size_mm(sum, "the spacing"))
                .transpose()?;
            let bolt_mm = def.bolt.as_ref().map(|bolt| bolt.value.nominal_mm());
            let want = SupportWant {
                at,
                facing,
                along,
                allowed_mm,
                allowed_turn_rad,
                apart: None,
            };
            Ok(SupportWish {
                holes: def.holes.clone(),
                want,
                bolt_mm,
                apart_mm,
            })
        })();
        match made {
            Ok(wish) => support = Some(wish),
            Err(wrong) => wrongs.push(wrong),
        }
    }
    let mut keep_outs = Vec::new();
    for def in &fit.keep_outs {
        let made = (|| {
            let place = |at: &Where| place_of(at, scope, &places, &fit.places);
            let shape = match &def.shape {
                KeepOutShape::Box { at, size } => Shape::Box {
                    middle: place(at)?,
                    size_mm: Vector3::new(
                        scope.size_mm(&size[0], "the box")?,
                        scope.size_mm(&size[1], "the box")?,
                        scope.size_mm(&size[2], "the box")?,
                    ),
                },
                KeepOutShape::Cylinder { from, to, radius } => Shape::Cylinder {
                    from: place(from)?,
                    to: place(to)?,
                    radius_mm: scope.size_mm(radius, "the radius")?,
                },
                KeepOutShape::Capsule { from, to, radius } => Shape::Capsule {
                    from: place(from)?,
                    to: place(to)?,
                    radius_mm: scope.size_mm(radius, "the radius")?,
                },
                KeepOutShape::Beyond { at, toward } => Shape::Beyond {
                    at: place(at)?,
                    toward: direction(&toward.value),
                },
            };
            let least_mm = def
                .clear
                .as_ref()
                .map_or(Ok(0.0), |sum| scope.reach_mm(sum, "the clearance"))?;
            Ok(KeepOut {
                name: def.name.clone(),
                shape,
                least_mm,
            })
        })();
        match made {
            Ok(keep_out) => keep_outs.push(keep_out),
            Err(wrong) => wrongs.push(wrong),
        }
    }
    if wrongs.is_empty() {
        Ok(Equipment {
            mounts,
            support,
            keep_outs,
        })
    } else {
        Err(wrongs)
    }
}

fn direction(of: &[f64; 3]) -> Unit<Vector3<f64>> {
    // The reader has made it a unit vector; this only removes rounding.
    Unit::new_normalize(Vector3::from(*of))
}

fn place_of(
    at: &Where,
    scope: &Scope,
    places: &BTreeMap<String, Point3<f64>>,
    defs: &[PlaceDef],
) -> Result<Point3<f64>, Wrong> {
    match at {
        Where::At([x, y, z]) => Ok(Point3::new(
            scope.length_mm(x)?,
            scope.length_mm(y)?,
            scope.length_mm(z)?,
        )),
        Where::Place(name) => places.get(&name.value).copied().ok_or_else(|| {
            let mut wrong = Wrong::new(
                name.at.clone(),
                format!("there is no place \"{}\" under [places]", name.value),
            );
            wrong.fix = nearest(&name.value, defs.iter().map(|def| def.name.value.as_str()))
                .map(|n| format!("\"{n}\""));
            wrong
        }),
    }
}

fn mount(
    book: &Handbook,
    def: &MountDef,
    scope: &Scope,
    places: &BTreeMap<String, Point3<f64>>,
    defs: &[PlaceDef],
) -> Result<Vec<MountWish>, Wrong> {
    let at = place_of(&def.at, scope, places, defs)?;
    let axis = direction(&def.axis.value);
    let gap_mm = match &def.gap {
        Some(sum) => scope.size_mm(sum, "the allowed gap")?,
        None => book.limit(Limit::SeatGap).value,
    };
    let tilt_rad = match &def.tilt {
        Some(sum) => {
            let rad = scope.angle_rad(sum)?;
            if rad <= 0.0 {
                return Err(
                    Wrong::new(sum.at.clone(), "the allowed tilt is not above 0").fix("tilt = \"1 deg\"")
                );
            }
            rad
        }
        None => book.limit(Limit::SeatTilt).value,
    };
    let wish = |name: String, hole: &Name, at: Point3<f64>, into: MountHole| MountWish {
        name,
        hole: hole.clone(),
        at,
        axis,
        bolt_mm: def.bolt.value.nominal_mm(),
        into,
        gap_mm,
        tilt_rad,
        said: def.name.at.clone(),
    };
    let name = &def.name.value;
    let holes = &def.holes;
    Ok(match (&def.kind, holes.as_slice()) {
        (MountKind::TappedHole, [hole, ..]) => vec![wish(name.clone(), hole, at, MountHole::Tapped)],
        (MountKind::ThroughHole { dia }, [hole, ..]) => {
            vec![wish(
                name.clone(),
                hole,
                at,
                MountHole::Through {
                    dia_mm: scope.size_mm(dia, "the hole")?,
                },
            )]
        }
        (MountKind::Slot { width, length, along }, [hole, ..]) => vec![wish(
            name.clone(),
            hole,
            at,
            MountHole::Slot {
                along: direction(&along.value),
                length_mm: scope.size_mm(length, "the slot")?,
                width_mm: scope.size_mm(width, "the slot")?,
            },
        )],
        (MountKind::Clamp { apart, along }, [first, second, ..]) => {
            let half = direction(&along.value).into_inner() * (scope.size_mm(apart, "the clamp")? / 2.0);
            vec![
                wish(format!("{name}.1"), first, at - half, MountHole::Tapped),
                wish(format!("{name}.2"), second, at + half, MountHole::Tapped),
            ]
        }
        // The reader asks two holes of a clamp and one of all others.
        (_, _) => vec![],
    })
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
    for wish in wishes {
        let made = find_hole(&wish.hole, holes, design).and_then(|hole| {
            let allowance: Allowance =
                fit::allowance(&holes[hole].shape, wish.bolt_mm, &wish.into).map_err(|error| {
                    Wrong::new(
                        wish.said.clone(),
                        format!("mount \"{}\", hole \"{}\": {error}", wish.name, wish.hole.value),
                    )
                    .expected("a hole larger than its bolt")
                })?;
            Ok(Mount {
                name: wish.name.clone(),
                hole,
                at: wish.at,
                axis: wish.axis,
                allowance,
                gap_allowed_mm: wish.gap_mm,
                tilt_allowed_rad: wish.tilt_rad,
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
            .map_or_else(|| design.title.at.clone(), |mount| mount.said.clone());
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

/// What the search for the open measures came to.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    /// The measures.
    pub values: BTreeMap<String, Quantity>,
    /// Was everything met?
    pub met: bool,
    /// Those that stand at an end of their range.
    pub at_end: Vec<String>,
    /// Those that the mounts and the support do not decide.
    pub undecided: Vec<String>,
}

/// Finds the open measures, so that mounts and support are met; the pose is searched along with them.
pub(crate) fn find(
    equipment: &Equipment,
    unknowns: &[Unknown],
    design: &Design,
    develop: &dyn Fn(&BTreeMap<String, Quantity>) -> Option<Part>,
) -> Result<Found, Vec<Wrong>> {
    let at = unknowns
        .first()
        .map_or_else(|| design.title.at.clone(), |unknown| unknown.name.at.clone());
    let values_of = |x: &[f64]| -> BTreeMap<String, Quantity> {
        let named = unknowns.iter().zip(x);
        named
            .map(|(unknown, x)| (unknown.name.value.clone(), Quantity::new(*x, unknown.start.dim)))
            .collect()
    };
    let start: Vec<f64> = unknowns.iter().map(|unknown| unknown.start.value).collect();
    let first = develop(&values_of(&start)).ok_or_else(|| {
        vec![
            Wrong::new(at.clone(), "the part cannot be drawn where the search starts")
                .expected("a value, or ends of the range, at which the outline and bends can be made"),
        ]
    })?;
    let holes = part_holes(&first);
    let first_mounts = mounts(&equipment.mounts, &holes, design)?;
    let first_seat = equipment
        .support
        .as_ref()
        .map(|wish| seat(wish, &holes, design))
        .transpose()
        .map_err(|w| vec![w])?;
    let fault = |error: &dyn std::fmt::Display| vec![Wrong::new(at.clone(), error.to_string())];
    let settle = match &first_seat {
        Some((seat, want)) => Settle::Support { seat, want },
        None => Settle::LeastTurn,
    };
    let start_pose = fit::place(&holes, &first_mounts, settle)
        .map_err(|error| fault(&error))?
        .pose;
    let mut x = start;
    x.extend([0.0; 6]);
    let mut bounds: Vec<Bound> = unknowns
        .iter()
        .map(|unknown| Bound {
            low: unknown.low,
            high: unknown.high,
        })
        .collect();
    bounds.extend([Bound::OPEN; 6]);
    let mut residuals = |x: &[f64]| -> Option<Vec<f64>> {
        let (measures, twist) = x.split_at(unknowns.len());
        let part = develop(&values_of(measures))?;
        let holes = part_holes(&part);
        let mounts = mounts(&equipment.mounts, &holes, design).ok()?;
        let seat = equipment
            .support
            .as_ref()
            .map(|wish| seat(wish, &holes, design))
            .transpose()
            .ok()?;
        let pose = fit::twisted(&start_pose, twist);
        let support = seat.as_ref().map(|(seat, want)| (seat, want));
        fit::misfit(&holes, &mounts, support, &pose, &start_pose).ok()
    };
    let solved = fit::solve_bounded(&mut residuals, &x, &bounds, &SolveOptions::default())
        .map_err(|error| fault(&error))?;
    let pick = |flags: &[bool]| -> Vec<String> {
        let named = unknowns.iter().zip(flags);
        named
            .filter(|(_, flag)| **flag)
            .map(|(unknown, _)| unknown.name.value.clone())
            .collect()
    };
    Ok(Found {
        values: values_of(&solved.x),
        met: solved.met,
        at_end: pick(&solved.at_bound),
        undecided: pick(&solved.undetermined),
    })
}
