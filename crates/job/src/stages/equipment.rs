//! The equipment of a fit: mounts, support and keep-outs in numbers, everything that does not hang on the part.

use std::collections::BTreeMap;

use fit::{HoleShape, MountHole, Shape, SupportWant};
use handbook::{Clearance, Handbook, Limit};
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
    /// Places that take a bolt and that the part does not use: they are offered, and count for nothing.
    pub unused: Vec<UnusedMount>,
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
    pub hole: Name,
    pub place: MountPlace,
}

/// A place that the part does not use.
#[derive(Debug, Clone)]
pub(crate) struct UnusedMount {
    pub place: MountPlace,
    /// What the plate's hole for its bolt would be cut to: normal clearance.
    pub hole_mm: f64,
}

/// A place of the equipment that takes a bolt.
#[derive(Debug, Clone)]
pub(crate) struct MountPlace {
    pub name: String,
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
    let mut unused = Vec::new();
    for def in &fit.unused {
        match unused_mount(book, def, scope, &places, &fit.places) {
            Ok(found) => unused.push(found),
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
            unused,
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
    let place = mount_place(book, def, scope, places, defs)?;
    Ok(match (&def.kind, def.holes.as_slice()) {
        (MountKind::Clamp { apart, along }, [first, second, ..]) => {
            let half = direction(&along.value).into_inner() * (scope.size_mm(apart, "the clamp")? / 2.0);
            let bolts = [(first, 1, place.at - half), (second, 2, place.at + half)];
            let wishes = bolts.into_iter().map(|(hole, number, at)| MountWish {
                hole: hole.clone(),
                place: MountPlace {
                    name: format!("{}.{number}", place.name),
                    at,
                    ..place.clone()
                },
            });
            wishes.collect()
        }
        (_, [hole, ..]) => vec![MountWish {
            hole: hole.clone(),
            place,
        }],
        // The reader asks two holes of a clamp and one of all others.
        (_, []) => vec![],
    })
}

/// A place that the part does not use. Its bolt must be one that a hole of the part can be cut for.
fn unused_mount(
    book: &Handbook,
    def: &MountDef,
    scope: &Scope,
    places: &BTreeMap<String, Point3<f64>>,
    defs: &[PlaceDef],
) -> Result<UnusedMount, Wrong> {
    let place = mount_place(book, def, scope, places, defs)?;
    let bolt = &def.bolt.value;
    let hole = book
        .clearance_dia_mm(bolt.designation(), bolt.nominal_mm(), Clearance::Normal)
        .map_err(|error| {
            Wrong::new(def.bolt.at.clone(), error.to_string())
                .expected("a bolt that the handbook has a hole for")
        })?;
    let round = HoleShape::Round { dia_mm: hole.value };
    fit::allowance(&round, place.bolt_mm, &place.into).map_err(|error| {
        Wrong::new(
            place.said.clone(),
            format!(
                "mount \"{}\", with a hole for its bolt in the part: {error}",
                place.name
            ),
        )
        .expected("a hole larger than its bolt")
    })?;
    Ok(UnusedMount {
        place,
        hole_mm: hole.value,
    })
}

/// Where a mount is and how it holds. A clamp's is half way between its bolts, each of which stands in a thread.
fn mount_place(
    book: &Handbook,
    def: &MountDef,
    scope: &Scope,
    places: &BTreeMap<String, Point3<f64>>,
    defs: &[PlaceDef],
) -> Result<MountPlace, Wrong> {
    let at = place_of(&def.at, scope, places, defs)?;
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
    Ok(MountPlace {
        name: def.name.value.clone(),
        at,
        axis: direction(&def.axis.value),
        bolt_mm: def.bolt.value.nominal_mm(),
        into: match &def.kind {
            MountKind::TappedHole | MountKind::Clamp { .. } => MountHole::Tapped,
            MountKind::ThroughHole { dia } => MountHole::Through {
                dia_mm: scope.size_mm(dia, "the hole")?,
            },
            MountKind::Slot { width, length, along } => MountHole::Slot {
                along: direction(&along.value),
                length_mm: scope.size_mm(length, "the slot")?,
                width_mm: scope.size_mm(width, "the slot")?,
            },
        },
        gap_mm,
        tilt_rad,
        fastening: fastening::of_mount(book, def, scope)?,
        said: def.name.at.clone(),
    })
}
