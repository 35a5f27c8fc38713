//! The equipment of a fit: mounts, support and keep-outs in numbers, everything that does not hang on the part.

use std::collections::BTreeMap;

use fit::{MountHole, Shape, SupportWant};
use handbook::{Handbook, Limit};
use nalgebra::{Point3, Unit, Vector3};

use crate::files::model::{Fit, KeepOutShape, MountDef, MountKind, Name, Place, PlaceDef, Shop, Told, Where};
use crate::files::{Wrong, nearest};

use super::fastening::{self, Fastening, Holding};
use super::loads::{self, LoadsWish};
use super::scope::Scope;
use super::stated::above_zero;

/// The wishes of the equipment: everything of the fit that does not hang on the part.
#[derive(Debug, Clone)]
pub(crate) struct Equipment {
    /// Mounts; a clamp counts as two.
    pub mounts: Vec<MountWish>,
    /// The support.
    pub support: Option<SupportWish>,
    /// What must stay clear.
    pub keep_outs: Vec<KeepOut>,
    /// What the part carries.
    pub loads: LoadsWish,
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
    pub fastening: Fastening,
    pub said: Place,
}

/// The support before the part is known.
#[derive(Debug, Clone)]
pub(crate) struct SupportWish {
    pub holes: Vec<Name>,
    pub want: SupportWant,
    pub bolt_mm: Option<f64>,
    pub apart_mm: Option<f64>,
    pub holding: Holding,
}

/// A keep-out.
#[derive(Debug, Clone)]
pub(crate) struct KeepOut {
    pub name: Told<String>,
    pub shape: Shape,
    pub least_mm: f64,
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
                Some(sum) => {
                    let rad = scope.angle_rad(sum);
                    above_zero(sum, "the allowed turn", rad.clone())?;
                    rad?
                }
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
                holding: fastening::holding(book, def, scope)?,
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
    match loads::loads(book, shop, fit, scope, &places) {
        Ok(loads) if wrongs.is_empty() => Ok(Equipment {
            mounts,
            support,
            keep_outs,
            loads,
        }),
        loads => {
            wrongs.extend(loads.err().into_iter().flatten());
            Err(wrongs)
        }
    }
}

pub(super) fn direction(of: &[f64; 3]) -> Unit<Vector3<f64>> {
    // The reader has made it a unit vector; this only removes rounding.
    Unit::new_normalize(Vector3::from(*of))
}

pub(super) fn place_of(
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
    let fastening = fastening::of_mount(book, def, scope)?;
    let wish = |name: String, hole: &Name, at: Point3<f64>, into: MountHole| MountWish {
        name,
        hole: hole.clone(),
        at,
        axis,
        bolt_mm: def.bolt.value.nominal_mm(),
        into,
        gap_mm,
        tilt_rad,
        fastening: fastening.clone(),
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
