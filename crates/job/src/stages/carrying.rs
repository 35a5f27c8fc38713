//! The part on its mounts with what it carries, as the proof takes it: everything in numbers, in equipment axes.

use fit::MountHole;
use handbook::{Family, FatigueDetail, FatigueGroup, Handbook, HeatRows, Limit, Metal, Welded};
use nalgebra::{Unit, Vector3};
use prove::helps::{FreeMount, Welding};
use prove::joint::{
    BoltShape, BoltSteel, Factors, Grip, HeadForm, Held, LeastDistances, ShearPlane, ThreadForm, bolt_gives,
    preload_n,
};
use prove::weld::{Fillet, FilletStrength};
use prove::{
    Act, Allowed, At, BesideWeld, Bracket, Fatigue, Load, Margins, Mount, PlateMetal, Support, Together, Weld,
};
use sheet::{OpeningShape, Part};

use crate::files::model::{Name, WeldSize};
use crate::run::Worked;

use super::equipment::{Equipment, MountPlace, MountWish};
use super::fastening::Fastening;
use super::loads::{ActWish, AtWish, HoldLimits};

/// Modulus of the steel that bolts are made of, MPa: EN 1993-1-1 3.2.6 (from memory for stainless, a little less).
const BOLT_ELASTIC_MPA: f64 = 205_000.0;
/// Across what presses on the plate, for each mm of the bolt, where neither washer nor head is known; common practice, no
/// source.
const FACE_PER_BOLT: f64 = 2.0;
/// Days of use in a year: every day.
pub(crate) const DAYS_IN_YEAR: f64 = 365.0;
/// How a thread is taken to be where nobody said: clean and dry.
const THREADS: &str = "dry clean";

/// The places of the equipment that the part does not use, as the proof would take them.
pub(crate) fn free_mounts(worked: &Worked) -> Vec<FreeMount> {
    let (Some(equipment), Ok(metal)) = (&worked.equipment, worked.book.metal(&worked.setting.metal)) else {
        return Vec::new();
    };
    let free = equipment.unused.iter().map(|unused| {
        let place = &unused.place;
        let slides = match place.into {
            MountHole::Slot { along, .. } => Some(along),
            _ => None,
        };
        let through = Through {
            // There is none yet.
            opening: 0,
            dia_mm: unused.hole_mm,
            slides,
        };
        FreeMount {
            mount: bolted(worked, metal, place, through),
            at: place.at,
            hole_mm: unused.hole_mm,
            gap_mm: place.gap_mm,
            tilt_rad: place.tilt_rad,
        }
    });
    free.collect()
}

/// The bracket of a job; none when it has no mounts, does not stand on them, or carries nothing.
pub(crate) fn bracket(worked: &Worked) -> Option<Bracket<'_>> {
    let equipment = worked.equipment.as_ref()?;
    let standing = worked.standing.as_ref()?;
    if equipment.mounts.is_empty() || equipment.loads.loads.is_empty() || standing.placement.is_none() {
        return None;
    }
    let metal = worked.book.metal(&worked.setting.metal).ok()?;
    let part = &worked.part;
    let limits = equipment.loads.limits;
    Some(Bracket {
        part,
        pose: standing.pose,
        metal: plate_metal(worked, metal),
        mounts: equipment
            .mounts
            .iter()
            .map(|wish| mount(worked, metal, wish))
            .collect::<Option<_>>()?,
        support: support(part, equipment),
        welds: welds(worked, metal),
        loads: loads(part, equipment)?,
        together: equipment
            .loads
            .together
            .iter()
            .map(|together| Together {
                name: together.name.clone(),
                loads: together.loads.clone(),
            })
            .collect(),
        down: equipment.loads.down,
        margins: Margins {
            on_yield: limits.times_yield,
            on_ultimate: limits.times_ultimate,
            sudden: limits.times_sudden,
        },
        allowed: allowed(&limits),
        fatigue: fatigue(worked, metal),
        factors: Factors::of(&worked.book),
        least: LeastDistances::of(&worked.book),
    })
}

fn opening(part: &Part, name: &Name) -> Option<usize> {
    part.openings
        .iter()
        .position(|opening| opening.name == name.value)
}

fn openings(part: &Part, names: &[Name]) -> Option<Vec<usize>> {
    names.iter().map(|name| opening(part, name)).collect()
}

fn plate_metal(worked: &Worked, metal: &Metal) -> PlateMetal {
    let value = |sourced: &Option<handbook::Sourced<f64>>| sourced.as_ref().map(|sourced| sourced.value);
    PlateMetal {
        elastic_mpa: metal.elastic_mpa.value,
        poisson: metal.poisson.value,
        density_kg_m3: worked.setting.density_kg_m3.value,
        yield_mpa: value(&metal.yield_least_mpa),
        ultimate_mpa: value(&metal.ultimate_least_mpa),
        beside_weld: beside_weld(worked, metal),
    }
}

fn filler(worked: &Worked) -> Option<&str> {
    let welder = worked.files.shop.as_ref()?.welder.as_ref()?;
    welder.filler.as_ref().map(|filler| filler.value.as_str())
}

/// Strengths beside a weld: only asked for when something is welded, and only different where heat takes strength.
fn beside_weld(worked: &Worked, metal: &Metal) -> Option<BesideWeld> {
    if worked.part.seams.is_empty() {
        return None;
    }
    match heated(worked, metal, worked.setting.thickness_mm)? {
        Heated::Weaker(beside) => Some(beside),
        Heated::AsStrong => None,
    }
}

/// What is left of the plate beside a weld.
enum Heated {
    /// As strong as away from it.
    AsStrong,
    /// Less strong.
    Weaker(BesideWeld),
}

/// What is left of plate of this thickness beside a weld; none when nothing is known of it, or it is not to be welded.
fn heated(worked: &Worked, metal: &Metal, t_mm: f64) -> Option<Heated> {
    let book = &worked.book;
    match book
        .welded(&metal.name, t_mm, filler(worked), HeatRows::Least)
        .ok()?
    {
        Welded::AsParent(_) => Some(Heated::AsStrong),
        Welded::NotWeldable(_) => None,
        Welded::Lowered {
            yield_mpa,
            ultimate_mpa,
            ..
        } => Some(Heated::Weaker(BesideWeld {
            yield_mpa: yield_mpa?.value,
            ultimate_mpa: ultimate_mpa?.value,
            width_mm: book.limit(Limit::HeatAffectedWidth).value,
        })),
    }
}

/// Two fillets with legs of this many thicknesses have the throat of the plate between them: 2 x 0.7 x 0.7; common
/// practice, no source.
const LEG_PER_THICKNESS: f64 = 0.7;
/// Legs are laid to the next half of a mm; common practice, no source.
const LEGS_PER_MM: f64 = 2.0;

/// How plates of this thickness are welded on: fillets as strong as the plate and no smaller than the least, and no leg
/// longer than the plate is thick.
pub(crate) fn welding(worked: &Worked, t_mm: f64) -> Option<Welding> {
    let book = &worked.book;
    let metal = book.metal(&worked.setting.metal).ok()?;
    let beside = match heated(worked, metal, t_mm)? {
        Heated::AsStrong => None,
        Heated::Weaker(beside) => Some(beside),
    };
    let ultimate_mpa = beside
        .map(|beside| beside.ultimate_mpa)
        .or_else(|| metal.ultimate_least_mpa.as_ref().map(|mpa| mpa.value))?;
    let weld = book.weld_metal(&metal.name, filler(worked)).ok()?;
    let as_strong_mm = (LEG_PER_THICKNESS * t_mm * LEGS_PER_MM).ceil() / LEGS_PER_MM;
    let least_mm = book.least_fillet_leg_mm(t_mm)?.value;
    Some(Welding {
        leg_mm: as_strong_mm.max(least_mm).min(t_mm),
        strength: FilletStrength::of(&weld, ultimate_mpa),
        beside,
    })
}

/// Across what presses on the plate: the washer, or the head.
fn face_mm(book: &Handbook, fastening: &Fastening, bolt_mm: f64) -> f64 {
    fastening
        .washer_mm
        .or_else(|| {
            let thread = fastening.thread?;
            let head = book.bolt_head(thread.designation()).ok()?;
            Some(head.value.hex_mm)
        })
        .unwrap_or(FACE_PER_BOLT * bolt_mm)
}

fn mount(worked: &Worked, metal: &Metal, wish: &MountWish) -> Option<Mount> {
    let part = &worked.part;
    let opening = opening(part, &wish.hole)?;
    let dia_mm = match &part.openings[opening].shape {
        OpeningShape::Round { dia_mm, .. } => *dia_mm,
        OpeningShape::Slot { width_mm, .. } => *width_mm,
        OpeningShape::Window(_) => return None,
    };
    let through = Through {
        opening,
        dia_mm,
        slides: slides(worked, &wish.place, opening),
    };
    Some(bolted(worked, metal, &wish.place, through))
}

/// The hole of the plate that a bolt goes through.
struct Through {
    opening: usize,
    dia_mm: f64,
    slides: Option<Unit<Vector3<f64>>>,
}

/// A bolt at a place of the equipment, through a hole of the plate.
fn bolted(worked: &Worked, metal: &Metal, place: &MountPlace, through: Through) -> Mount {
    let (book, part) = (&worked.book, &worked.part);
    let fastening = &place.fastening;
    let face_mm = face_mm(book, fastening, place.bolt_mm);
    let bolt = fastening
        .thread
        .and_then(|thread| book.bolt(thread.designation()).ok());
    let stress_area_mm2 = bolt.map_or_else(
        // A coarse thread leaves about three quarters of the bolt.
        || 0.75 * std::f64::consts::FRAC_PI_4 * place.bolt_mm.powi(2),
        |bolt| bolt.stress_area_mm2.value,
    );
    let into = fastening.into.as_ref();
    let seat_metal = into
        .and_then(|into| into.metal.as_ref())
        .and_then(|name| book.metal(name).ok());
    let tapped = place.into == MountHole::Tapped;
    let grip = Grip {
        bolt_mm: place.bolt_mm,
        stress_area_mm2,
        plate_mm: part.thickness_mm,
        // What is bolted to works about as deep as the bolt is thick, unless the depth of thread is known.
        seat_mm: into.and_then(|into| into.depth_mm).unwrap_or(place.bolt_mm),
        spacer_mm: 0.0,
        hole_mm: through.dia_mm,
        face_mm,
        bolt_elastic_mpa: BOLT_ELASTIC_MPA,
        plate_elastic_mpa: metal.elastic_mpa.value,
        seat_elastic_mpa: seat_metal.unwrap_or(metal).elastic_mpa.value,
    };
    let held = if tapped {
        // Without a depth nothing can be said of the thread.
        into.and_then(|into| into.depth_mm).and_then(|engaged_mm| {
            let bolt = bolt?;
            Some(Held::Tapped {
                thread: ThreadForm::loose(bolt.diameter_mm, bolt.pitch_mm),
                engaged_mm,
                ultimate_mpa: seat_metal
                    .and_then(|metal| metal.ultimate_least_mpa.as_ref())
                    .map(|mpa| mpa.value),
            })
        })
    } else {
        Some(Held::Nut)
    };
    Mount {
        name: place.name.clone(),
        opening: through.opening,
        axis: place.axis,
        shape: BoltShape {
            diameter_mm: place.bolt_mm,
            stress_area_mm2,
            plane: ShearPlane::Thread,
            head: HeadForm::Raised,
            face_mm,
        },
        steel: fastening.grade.as_ref().map(BoltSteel::from),
        held,
        seat_mm: fastening.seat_mm.unwrap_or(face_mm),
        slides: through.slides,
        // The plate that the bolt clamps is in the model itself.
        gives: bolt_gives(&grip, false),
        preload: fastening.torque_n_mm.and_then(|torque| {
            let nut_factor = book.nut_factor(THREADS).ok()?;
            Some(preload_n(torque, place.bolt_mm, nut_factor.value))
        }),
        friction: friction(book, metal),
        gap_mm: 0.0,
    }
}

/// A slot in the equipment or in the part lets the bolt slide.
fn slides(worked: &Worked, place: &MountPlace, opening: usize) -> Option<Unit<Vector3<f64>>> {
    if let MountHole::Slot { along, .. } = place.into {
        return Some(along);
    }
    let OpeningShape::Slot { from, to, .. } = worked.part.openings[opening].shape else {
        return None;
    };
    let panel = worked.part.panel_of_opening(opening)?;
    let run = to - from;
    let folded = worked.part.panels[panel].to_folded.rotation * Vector3::new(run.x, run.y, 0.0);
    Unit::try_new(
        worked.standing.as_ref()?.pose.rotation * folded,
        plane::SAME_POINT_MM,
    )
}

fn friction(book: &Handbook, metal: &Metal) -> f64 {
    let surface = match metal.family {
        Family::Aluminium => "aluminium as rolled",
        Family::Steel | Family::Stainless => "as rolled",
    };
    // Without a row no friction is counted on.
    book.slip_factor(surface).map_or(0.0, |factor| factor.value)
}

fn support(part: &Part, equipment: &Equipment) -> Option<Support> {
    let wish = equipment.support.as_ref()?;
    let holes = openings(part, &wish.holes)?;
    let across_mm = holes
        .iter()
        .map(|&hole| match &part.openings[hole].shape {
            OpeningShape::Round { dia_mm, .. } => *dia_mm,
            OpeningShape::Slot { width_mm, .. } => *width_mm,
            OpeningShape::Window(_) => 0.0,
        })
        .fold(0.0, f64::max);
    let holding = &wish.holding;
    // Either stiffness alone leaves the other way rigid, N/mm or N mm/rad: a thousand times any plate's of this kind, and not
    // so much more that digits are lost.
    const RIGID: f64 = 1e9;
    let gives = (holding.along_n_mm.is_some() || holding.about_n_mm_rad.is_some()).then(|| {
        [
            holding.along_n_mm.unwrap_or(RIGID),
            holding.about_n_mm_rad.unwrap_or(RIGID),
        ]
    });
    Some(Support {
        openings: holes,
        washer_mm: holding.screws.washer_mm.unwrap_or(FACE_PER_BOLT * across_mm),
        gives,
        mass_kg: holding.mass_kg.unwrap_or(0.0),
    })
}

fn loads(part: &Part, equipment: &Equipment) -> Option<Vec<Load>> {
    equipment
        .loads
        .loads
        .iter()
        .map(|wish| {
            Some(Load {
                name: wish.name.clone(),
                at: match &wish.at {
                    AtWish::Support => At::Support,
                    AtWish::Point(point) => At::Point(*point),
                    AtWish::Plate(point) => At::Plate(*point),
                    AtWish::Holes(names) => At::Openings(openings(part, names)?),
                },
                act: match wish.act {
                    ActWish::Steady { force_n, moment_n_mm } => Act::Push { force_n, moment_n_mm },
                    ActWish::Fall {
                        mass_kg,
                        height_mm,
                        toward,
                    } => Act::Drop {
                        mass_kg,
                        height_mm,
                        toward,
                    },
                },
                factor: wish.factor,
                sudden: wish.sudden,
                both_ways: wish.both_ways,
                per_day: wish.per_day,
            })
        })
        .collect()
}

fn allowed(limits: &HoldLimits) -> Allowed {
    Allowed {
        moves_mm: limits.moves_mm,
        turns_rad: limits.turns_rad,
        days: limits.years.map(|years| years * DAYS_IN_YEAR),
        least_hz: limits.least_hz,
    }
}

fn fatigue(worked: &Worked, metal: &Metal) -> Fatigue {
    let group = FatigueGroup::of(metal);
    let category = |detail: FatigueDetail| {
        worked
            .book
            .fatigue_category(group, detail)
            .ok()
            .map(|category| category.value.into())
    };
    let process = crate::judge::process_name(worked.files.shop.as_ref());
    Fatigue {
        edge: FatigueDetail::of_cut(process).and_then(category),
        hole: category(FatigueDetail::CutHole),
        face: category(FatigueDetail::Plate),
        toe: category(FatigueDetail::StructuralToe),
    }
}

fn welds(worked: &Worked, metal: &Metal) -> Vec<Weld> {
    let t_mm = worked.setting.thickness_mm;
    let beside_mpa = beside_weld(worked, metal)
        .map(|beside| beside.ultimate_mpa)
        .or_else(|| metal.ultimate_least_mpa.as_ref().map(|mpa| mpa.value));
    let strength = worked
        .book
        .weld_metal(&metal.name, filler(worked))
        .ok()
        .zip(beside_mpa)
        .map(|(weld, beside_mpa)| FilletStrength::of(&weld, beside_mpa));
    let seams = worked.files.design.seams.iter().enumerate();
    seams
        .map(|(seam, def)| {
            let leg_mm = match &def.weld {
                None => None,
                Some(WeldSize::Leg(sum)) => worked.scope.length_mm(sum).ok(),
                Some(WeldSize::Throat(sum)) => worked
                    .scope
                    .length_mm(sum)
                    .ok()
                    .map(|throat| throat * std::f64::consts::SQRT_2),
            };
            let fillet = leg_mm.map(|leg_mm| {
                if def.both_sides {
                    Fillet::both_sides(leg_mm, t_mm)
                } else {
                    Fillet::one_side(leg_mm)
                }
            });
            Weld {
                seam,
                fillet,
                strength,
            }
        })
        .collect()
}
