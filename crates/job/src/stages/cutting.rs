//! The blank on a sheet of this shop: which sheet, how it lies, and everything that the table is given.

use std::f64::consts::FRAC_PI_2;

use cut::dxf::{DxfOptions, DxfUnit, DxfVersion};
use cut::holes::{Hole, Purpose};
use cut::lead::{Avoid, Why};
use cut::motion::{Between, NotARange, Rates};
use cut::order::{Plate, Search};
use cut::place::{Effort, Turns};
use cut::profile::ChartLine;
use cut::tracks::{Blank, LeaveAlone};
use cut::whole::{Asked, CutPlan, Heat, NoPlan, Running, SheetConcern, SheetPart, plan_while};
use nalgebra::Isometry2;
use plane::{Outline, Point, Region, Vector, difference};

use crate::files::Wrong;
use crate::files::model::{Clearance, HoleSize, RatesDef, SheetDef, Sum};
use crate::run::Worked;
use crate::stop::Stop;

use super::cutter::Cutter;
use super::scope::Scope;
use super::setting;
use super::strips::StripGrain;

/// A sheet or remnant of the shop.
#[derive(Debug, Clone)]
pub(crate) struct AtHand {
    /// Which of the shop's list.
    pub index: usize,
    /// What it is called.
    pub name: String,
    /// Its size, mm.
    pub size_mm: [f64; 2],
    /// Its material, its lower left corner in the origin.
    pub region: Region,
    /// The way it was rolled.
    pub grain: Option<Vector>,
}

/// The plan, and what it was made for.
#[derive(Debug, Clone)]
pub(crate) struct CutSheet {
    pub cutter: Cutter,
    pub line: ChartLine,
    pub running: Running,
    pub sheet: AtHand,
    /// The sheet as it lies on the table.
    pub on_table: Region,
    pub plan: CutPlan,
    /// No way of laying it has every bend across the grain.
    pub bends_along_grain: bool,
    /// What the shop's money is called; none without rates.
    pub money: Option<String>,
    pub cautions: Vec<String>,
}

/// Why there is no plan.
#[derive(Debug, Clone)]
pub(crate) enum NotPlanned {
    /// There is no shop.toml.
    NoShop,
    /// The shop saws and drills.
    ByHand,
    /// The shop lists no sheet of this plate.
    NoSheet,
    /// No sheet of that name or number is of this plate.
    NoSuchSheet { asked: String, known: Vec<String> },
    /// The blank goes on none of the sheets.
    TooSmall { largest: String },
    /// The room for cutting says why.
    No { sheet: String, why: NoPlan },
}

/// What may be chosen at the command line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CutChoice {
    /// How many of the part, at least 1.
    pub copies: usize,
    /// The sheet, by its name or its number in shop.toml from 1; the smallest that holds them when not said.
    pub sheet: Option<String>,
}

impl Default for CutChoice {
    /// One part, on the smallest sheet that holds it.
    fn default() -> Self {
        Self {
            copies: 1,
            sheet: None,
        }
    }
}

/// Edges this near the greatest stress of a load are to spare, mm: about what a notch of a start would reach.
/// Common practice, no source.
const NEAR_PEAK_MM: f64 = 10.0;
/// How much a start at a stressed edge is disliked beside others, 1 being a lot.
const STRESSED_WEIGHT: f64 = 2.0;
/// A bend runs across the grain when it is nearer square to it than along it.
const ACROSS_COS: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// The sheets of this plate, the smallest first.
pub(crate) fn sheets(worked: &Worked) -> Vec<AtHand> {
    let Some(shop) = &worked.files.shop else {
        return Vec::new();
    };
    let mut found: Vec<AtHand> = shop
        .stock
        .iter()
        .enumerate()
        .filter(|(_, sheet)| {
            setting::same_stock(
                &worked.book,
                &sheet.stock,
                &worked.setting.metal,
                worked.setting.thickness_mm,
            )
        })
        // What cannot be a sheet was told when the shop was read.
        .filter_map(|(index, def)| at_hand(&worked.scope, index, def).ok())
        .collect();
    found.sort_by(|a, b| {
        a.region
            .area_mm2()
            .total_cmp(&b.region.area_mm2())
            .then(a.index.cmp(&b.index))
    });
    found
}

fn corners(scope: &Scope, corners: &[[Sum; 2]]) -> Result<Vec<Point>, Wrong> {
    let points = corners
        .iter()
        .map(|[x, y]| Ok(Point::new(scope.length_mm(x)?, scope.length_mm(y)?)));
    points.collect()
}

/// The sheet in numbers, or what cannot be one.
pub(crate) fn at_hand(scope: &Scope, index: usize, def: &SheetDef) -> Result<AtHand, Wrong> {
    let size_mm = [
        scope.size_mm(&def.size[0], "the sheet")?,
        scope.size_mm(&def.size[1], "the sheet")?,
    ];
    let shape = |points: &[[Sum; 2]], what: &str| -> Result<Outline, Wrong> {
        let at = points.first().map_or(&def.stock.text.at, |[x, _]| &x.at);
        Outline::polygon(&corners(scope, points)?)
            .map_err(|error| Wrong::new(at.clone(), format!("{what}: {error}")))
    };
    let outer = if def.outline.is_empty() {
        Outline::rectangle(Point::origin(), Point::new(size_mm[0], size_mm[1])).map_err(|error| {
            Wrong::new(
                def.size[0].at.clone(),
                format!("the sheet has no outline: {error}"),
            )
        })?
    } else {
        shape(&def.outline, "the outline of the sheet")?
    };
    let mut left = vec![Region::solid(outer)];
    for gone in &def.gone {
        let gone = Region::solid(shape(gone, "a place that is cut away")?);
        left = difference(&left, std::slice::from_ref(&gone)).map_err(|error| {
            Wrong::new(
                def.stock.text.at.clone(),
                format!("what is left of this sheet cannot be worked out: {error}"),
            )
        })?;
    }
    // Pieces that have come off are no longer on the sheet.
    let region = left
        .into_iter()
        .max_by(|a, b| a.area_mm2().total_cmp(&b.area_mm2()))
        .ok_or_else(|| Wrong::new(def.stock.text.at.clone(), "nothing is left of this sheet"))?;
    let plate = &def.stock.text.value;
    Ok(AtHand {
        index,
        name: def.name.as_ref().map_or_else(
            || format!("{plate}, {:.0} by {:.0} mm", size_mm[0], size_mm[1]),
            |name| name.value.clone(),
        ),
        size_mm,
        region,
        grain: def.grain.as_ref().map(|grain| match grain.value.as_str() {
            "x" => Vector::x(),
            _ => Vector::y(),
        }),
    })
}

/// Rates in the shop's money; a kilogram of plate makes what the parts weigh the least, and their boxes the most.
pub(crate) fn rates(def: &RatesDef, mass_kg: Between) -> Result<Rates, Wrong> {
    let between = |range: &Option<crate::files::model::FromTo>| -> Result<Between, Wrong> {
        let Some(told) = range else {
            return Ok(Between { low: 0.0, high: 0.0 });
        };
        Between::new(told.value[0], told.value[1]).map_err(|error: NotARange| {
            Wrong::new(told.at.clone(), error.to_string()).expected("the least and the most, as [20, 30]")
        })
    };
    let plate_kg = between(&def.plate_kg)?;
    Ok(Rates {
        shop_per_h: between(&def.shop_hour)?,
        burning_per_min: between(&def.burning_minute)?,
        set: between(&def.set)?,
        set_pierces: between(&def.set_pierces)?,
        set_burning_min: between(&def.set_minutes)?,
        plate: Between {
            low: plate_kg.low * mass_kg.low,
            high: plate_kg.high * mass_kg.high,
        },
    })
}

/// What a plan hangs on beside the plate, the shop and what is chosen.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct AskedOf {
    title: String,
    holes: Vec<Hole>,
    avoid: Vec<Avoid>,
}

/// What the plan is asked for.
pub(crate) fn asked_of(worked: &Worked) -> AskedOf {
    AskedOf {
        title: worked.files.design.title.value.clone(),
        holes: holes(worked),
        avoid: avoid(worked),
    }
}

/// The plan on the smallest sheet that holds the parts. Once it was stopped it is of no use, and there is mostly none.
pub(crate) fn planned(worked: &Worked, choice: &CutChoice, stop: &Stop) -> Result<CutSheet, NotPlanned> {
    let AskedOf { title, holes, avoid } = asked_of(worked);
    let blank = Blank::of_part(&worked.part, &title, &holes);
    planned_blank(worked, choice, &blank, &avoid, StripGrain::Across, stop)
}

/// The plan of any blank of the job's plate, its bends laid so to the grain where the sheet says how it was rolled.
pub(crate) fn planned_blank(
    worked: &Worked,
    choice: &CutChoice,
    blank: &Blank,
    avoid: &[Avoid],
    lies: StripGrain,
    stop: &Stop,
) -> Result<CutSheet, NotPlanned> {
    if worked.files.shop.is_none() {
        return Err(NotPlanned::NoShop);
    }
    let cutter = worked.cutter.as_ref().ok_or(NotPlanned::ByHand)?;
    let mut sheets = sheets(worked);
    if sheets.is_empty() {
        return Err(NotPlanned::NoSheet);
    }
    if let Some(asked) = &choice.sheet {
        let known: Vec<String> = sheets
            .iter()
            .map(|sheet| format!("{} ({})", sheet.index + 1, sheet.name))
            .collect();
        sheets.retain(|sheet| sheet.name == *asked || (sheet.index + 1).to_string() == asked.trim());
        if sheets.is_empty() {
            return Err(NotPlanned::NoSuchSheet {
                asked: asked.clone(),
                known,
            });
        }
    }
    let lay = Lay {
        blank,
        avoid,
        copies: choice.copies,
        lies,
    };
    let count = sheets.len();
    let largest = sheets.last().map_or_else(String::new, |sheet| sheet.name.clone());
    for (tried, sheet) in sheets.into_iter().enumerate() {
        let last = tried + 1 == count;
        if !last && !may_hold(blank, &sheet, choice.copies) {
            continue;
        }
        let name = sheet.name.clone();
        let found =
            on_sheet(worked, cutter, sheet, &lay, stop).map_err(|why| NotPlanned::No { sheet: name, why })?;
        let held = !found
            .plan
            .concerns
            .iter()
            .any(|concern| matches!(concern, SheetConcern::NoRoom { .. }));
        if held || last {
            if found.plan.placed.is_empty() {
                return Err(NotPlanned::TooSmall { largest });
            }
            return Ok(found);
        }
    }
    Err(NotPlanned::TooSmall { largest })
}

/// Whether a sheet could hold so many, by area and by the longer sides; no more than a quick no.
fn may_hold(blank: &Blank, sheet: &AtHand, copies: usize) -> bool {
    let (low, high) = blank.region.bounds();
    let sides = |size: Vector| (size.x.min(size.y), size.x.max(size.y));
    let (short, long) = sides(high - low);
    let (sheet_low, sheet_high) = sheet.region.bounds();
    let (sheet_short, sheet_long) = sides(sheet_high - sheet_low);
    short <= sheet_short
        && long <= sheet_long
        && copies as f64 * blank.region.area_mm2() <= sheet.region.area_mm2()
}

/// What is known of the round holes.
fn holes(worked: &Worked) -> Vec<Hole> {
    let design = &worked.files.design;
    let holes = design.holes.iter().zip(&worked.holes).map(|(def, cut)| {
        let (purpose, tolerance_mm) = match &def.size {
            HoleSize::Dia(_) => (Purpose::Clearance, None),
            HoleSize::For { thread, clearance } => match clearance {
                Clearance::Tapped => (
                    Purpose::Tapped {
                        thread: thread.value.designation().to_owned(),
                    },
                    None,
                ),
                // The bolt must go through: it may come out smaller by its play and no more.
                Clearance::Close | Clearance::Normal | Clearance::Loose => {
                    let play_mm = cut.dia_mm - thread.value.nominal_mm();
                    (Purpose::Clearance, (play_mm > 0.0).then_some(play_mm))
                }
            },
        };
        Hole {
            name: def.name.value.clone(),
            dia_mm: cut.dia_mm,
            purpose,
            tolerance_mm,
        }
    });
    holes.collect()
}

/// Stretches of the edge where no cut should begin: ends of bends, seams, and where the loads stress the plate most.
fn avoid(worked: &Worked) -> Vec<Avoid> {
    let mut avoid = LeaveAlone::default().on(&worked.part);
    let peaks = worked.held.answer().into_iter().flat_map(|answer| &answer.cases);
    avoid.extend(peaks.filter_map(|case| case.peak.as_ref()).map(|peak| Avoid {
        from: peak.blank_at,
        to: peak.blank_at,
        within_mm: NEAR_PEAK_MM,
        why: Why::Stressed,
        weight: STRESSED_WEIGHT,
    }));
    avoid
}

/// Quarter turns, those that have every bend so to the grain if there are any.
fn turns(blank: &Blank, grain: Option<Vector>, lies: StripGrain) -> (Turns, bool) {
    let quarters: Vec<f64> = (0..4).map(|turn| f64::from(turn) * FRAC_PI_2).collect();
    let Some(grain) = grain.filter(|_| !blank.bends.is_empty()) else {
        return (Turns::Listed(quarters), false);
    };
    let as_asked = |turn: &f64| {
        let turned = nalgebra::Rotation2::new(*turn);
        blank.bends.iter().all(|bend| {
            let along = turned * (bend.to - bend.from);
            let is_across = along.dot(&grain).abs() <= ACROSS_COS * along.norm();
            is_across == (lies == StripGrain::Across)
        })
    };
    let good: Vec<f64> = quarters.iter().copied().filter(as_asked).collect();
    if good.is_empty() {
        (Turns::Listed(quarters), true)
    } else {
        (Turns::Listed(good), false)
    }
}

/// What is laid on a sheet.
struct Lay<'a> {
    blank: &'a Blank,
    avoid: &'a [Avoid],
    copies: usize,
    /// Its bends to the grain.
    lies: StripGrain,
}

/// The plan of so many on this sheet, whether or not all of them find room.
fn on_sheet(
    worked: &Worked,
    cutter: &Cutter,
    sheet: AtHand,
    lay: &Lay<'_>,
    stop: &Stop,
) -> Result<CutSheet, NoPlan> {
    let Lay {
        blank,
        avoid,
        copies,
        lies,
    } = *lay;
    let line = cutter.profile.line_for(&cutter.stock)?;
    let mut running = Running::of(&cutter.profile, &line, &cutter.stock, &worked.book).map_err(|_| {
        // A profile is of a process that the handbook knows.
        NoPlan::NoLine(cut::profile::NoLine::NoMetal {
            family: cutter.stock.family,
        })
    })?;
    if let Some(slats) = &mut running.slats {
        slats.along = cutter.slats_along;
        slats.first_mm = cutter.first_slat_mm;
    }
    running.heat = heat(worked, cutter, &line);
    let to_table = Isometry2::new(cutter.sheet_at.coords, 0.0);
    let on_table = sheet.region.transformed(&to_table);
    let (turns, bends_along_grain) = turns(blank, sheet.grain, lies);
    let parts = [SheetPart {
        blank,
        copies,
        turns,
        avoid,
    }];
    let shop = worked.files.shop.as_ref();
    let rates_def = shop.and_then(|shop| shop.cutter.as_ref()?.rates.as_ref());
    let (low, high) = blank.region.bounds();
    let kg_per_mm2 = cutter.stock.thickness_mm * worked.setting.density_kg_m3.value / MM3_PER_M3;
    let box_mm2 = (high.x - low.x) * (high.y - low.y);
    let mass_kg = Between {
        low: copies as f64 * blank.region.area_mm2() * kg_per_mm2,
        high: copies as f64 * box_mm2 * kg_per_mm2,
    };
    // What cannot be a range was told when the shop was read.
    let rates = rates_def.and_then(|def| rates(def, mass_kg).ok());
    let cautions = crate::text::cut_cautions(cutter.profile.process, cutter.stock.family);
    let asked = Asked {
        title: &blank.name,
        parts: &parts,
        sheet: &on_table,
        zero: cutter.zero,
        profile: &cutter.profile,
        stock: &cutter.stock,
        book: &worked.book,
        running: &running,
        rates: rates.as_ref(),
        cautions: &cautions,
        dxf: DxfOptions {
            version: DxfVersion::R2000,
            unit: DxfUnit::Millimetre,
        },
        effort: Effort::default(),
        search: Search::default(),
    };
    let plan = plan_while(&asked, stop.flag())?;
    Ok(CutSheet {
        cutter: cutter.clone(),
        line,
        running,
        sheet,
        on_table,
        plan,
        bends_along_grain,
        money: rates_def.map(|def| {
            def.money
                .as_ref()
                .map_or_else(|| "of the shop's money".into(), |money| money.value.clone())
        }),
        cautions,
    })
}

const MM3_PER_M3: f64 = 1e9;

/// The shop, C. Common practice, no source.
const AMBIENT_C: f64 = 20.0;
/// Heat lost from each face of a warm plate in still air, W/(mm2 K): 15 W/(m2 K), from memory.
const LOSS_W_MM2_K: f64 = 15e-6;
/// Nobody waits longer for one pierce, s. Common practice, no source.
const LONGEST_WAIT_S: f64 = 120.0;

/// The plate as a hot cut warms it: what stays in it is a share of what melts the kerf. None for a cold cut.
fn heat(worked: &Worked, cutter: &Cutter, line: &ChartLine) -> Option<Heat> {
    if !cutter.profile.process.is_hot() {
        return None;
    }
    let flow = worked.book.heat_flow(cutter.stock.family)?.value;
    let t_mm = cutter.stock.thickness_mm;
    let kerf_mm = cutter.profile.kerf_in(&cutter.stock).width_mm;
    let heat_j_mm3_k = flow.conductivity_w_mm_k / flow.diffusivity_mm2_s;
    Some(Heat {
        plate: Plate {
            thickness_mm: t_mm,
            conductivity_w_mm_k: flow.conductivity_w_mm_k,
            diffusivity_mm2_s: flow.diffusivity_mm2_s,
            loss_per_s: 2.0 * LOSS_W_MM2_K / (heat_j_mm3_k * t_mm),
            ambient_c: AMBIENT_C,
        },
        power_w: flow.kept_share * flow.to_melt_j_mm3 * kerf_mm * t_mm * line.feed_mm_min
            / SECONDS_PER_MINUTE,
        ceiling_c: flow.ceiling_c,
        longest_wait_s: LONGEST_WAIT_S,
    })
}

const SECONDS_PER_MINUTE: f64 = 60.0;
