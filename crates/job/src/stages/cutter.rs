//! The cutter as the shop says it, over what the handbook knows of its process.

mod chart;
mod controller;

use cut::gcode::{Dialect, OnOff};
use cut::place::Corner;
use cut::profile::{Clamp, Kerf, KerfFrom, LeadKind, Leads, Marker, Process, Profile, SquareSide, Stock};
use cut::whole::Zero;
use handbook::Handbook;
use plane::{Point, Vector};

use crate::files::Wrong;
use crate::files::model::{CutterDef, LeadsDef, Shop, Sum, TableDef, Told, ZeroDef};

use self::controller::program_place;
use super::scope::Scope;
use super::setting::{Setting, same_stock};

/// The cutter in numbers.
#[derive(Debug, Clone)]
pub(crate) struct Cutter {
    pub profile: Profile,
    /// The plate that the job is of.
    pub stock: Stock,
    pub zero: Zero,
    /// Where the lower left corner of the sheet lies on the table.
    pub sheet_at: Point,
    pub slats_along: Vector,
    pub first_slat_mm: Option<f64>,
}

/// What is said of the uncertainty of a kerf that the shop states without a test: a caliper in a slot tells no more.
/// Common practice, no source.
const SAID_KERF_SD_MM: f64 = 0.1;

/// The way of cutting by its word; none for a saw.
pub(crate) fn process(word: &str) -> Option<Process> {
    Process::ALL.into_iter().find(|process| process.name() == word)
}

/// The plate on the table.
pub(crate) fn stock(book: &Handbook, setting: &Setting) -> Option<Stock> {
    Some(Stock {
        name: format!("{} {}", setting.metal, units::both(setting.thickness_mm)),
        family: book.metal(&setting.metal).ok()?.family,
        thickness_mm: setting.thickness_mm,
    })
}

/// The cutter; none when the shop has none that follows a path.
pub(crate) fn cutter(
    book: &Handbook,
    shop: &Shop,
    scope: &Scope,
    setting: &Setting,
) -> Result<Option<Cutter>, Vec<Wrong>> {
    let word = crate::judge::process_name(Some(shop));
    let Some(process) = process(word) else {
        return Ok(None);
    };
    let (Ok(mut profile), Some(stock)) = (Profile::of(book, process), stock(book, setting)) else {
        return Ok(None);
    };
    let mut cutter = Said {
        scope,
        wrongs: Vec::new(),
    };
    let mut zero = Zero::Corner(Corner::LowerLeft);
    let mut sheet_at = Point::origin();
    let mut slats_along = Vector::y();
    let mut first_slat_mm = None;
    if let Some(def) = &shop.cutter {
        cutter.put(def, &mut profile);
        if let Some(def) = &def.table {
            slats_along = match def.slats_run.as_ref().map(|word| word.value.as_str()) {
                Some("x") => Vector::x(),
                _ => Vector::y(),
            };
            first_slat_mm = cutter.reach(def.first_slat.as_ref(), "the first slat");
            sheet_at = def.sheet_at.as_ref().map_or(sheet_at, |at| cutter.point(at));
        }
        zero = match &def.zero {
            Some(ZeroDef::Corner(word)) => Zero::Corner(corner(&word.value)),
            Some(ZeroDef::At(at)) => Zero::At(cutter.point(at)),
            None => zero,
        };
    }
    for def in &shop.kerfs {
        if same_stock(book, &def.stock, &setting.metal, setting.thickness_mm) {
            cutter.kerf_test(def, &stock, &mut profile);
        }
    }
    let mut wrongs = cutter.wrongs;
    if wrongs.is_empty() {
        // A number that no single key decides, as a least hole that no lead fits into.
        let at = shop.cutter.as_ref().map(|def| def.process.at.clone());
        let bad = profile.check();
        wrongs.extend(
            at.iter()
                .flat_map(|at| bad.iter().map(|bad| Wrong::new(at.clone(), bad.to_string()))),
        );
    }
    if !wrongs.is_empty() {
        return Err(wrongs);
    }
    Ok(Some(Cutter {
        profile,
        stock,
        zero,
        sheet_at,
        slats_along,
        first_slat_mm,
    }))
}

fn corner(word: &str) -> Corner {
    match word {
        "lower right" => Corner::LowerRight,
        "upper left" => Corner::UpperLeft,
        "upper right" => Corner::UpperRight,
        _ => Corner::LowerLeft,
    }
}

/// Puts what is said over what is known, and collects what cannot be.
struct Said<'a> {
    scope: &'a Scope,
    wrongs: Vec<Wrong>,
}

impl Said<'_> {
    fn keep<T>(&mut self, value: Result<T, Wrong>) -> Option<T> {
        value.map_err(|wrong| self.wrongs.push(wrong)).ok()
    }

    fn size(&mut self, sum: Option<&Sum>, what: &str) -> Option<f64> {
        let value = self.scope.size_mm(sum?, what);
        self.keep(value)
    }

    fn reach(&mut self, sum: Option<&Sum>, what: &str) -> Option<f64> {
        let value = self.scope.reach_mm(sum?, what);
        self.keep(value)
    }

    fn point(&mut self, at: &[Sum; 2]) -> Point {
        let [x, y] = at
            .each_ref()
            .map(|sum| self.reach(Some(sum), "this place on the table").unwrap_or(0.0));
        Point::new(x, y)
    }

    /// A number within bounds.
    fn number(&mut self, told: Option<&Told<f64>>, what: &str, low: f64, high: f64) -> Option<f64> {
        let told = told?;
        if (low..=high).contains(&told.value) {
            return Some(told.value);
        }
        let says = format!("{what} is {}", told.value);
        let expected = if high == f64::INFINITY {
            format!("{low} or more")
        } else {
            format!("{low} to {high}")
        };
        self.wrongs
            .push(Wrong::new(told.at.clone(), says).expected(expected));
        None
    }

    fn above_0(&mut self, told: Option<&Told<f64>>, what: &str) -> Option<f64> {
        let told = told?;
        if told.value > 0.0 {
            return Some(told.value);
        }
        let says = format!("{what} is {}", told.value);
        self.wrongs
            .push(Wrong::new(told.at.clone(), says).expected("more than 0"));
        None
    }

    fn put(&mut self, def: &CutterDef, profile: &mut Profile) {
        if let Some(width_mm) = self.size(def.kerf.as_ref(), "the kerf") {
            profile.kerf = Kerf {
                width_mm,
                sd_mm: SAID_KERF_SD_MM,
                from: KerfFrom::Said,
            };
        }
        let holes = &mut profile.holes;
        set(
            &mut holes.least_x_t,
            self.above_0(def.least_hole.as_ref(), "the least hole"),
        );
        set(
            &mut holes.small_x_t,
            self.number(def.small_hole.as_ref(), "the size of small holes", 0.0, 1e3),
        );
        set(
            &mut holes.feed_share,
            self.number(
                def.hole_feed.as_ref(),
                "the feed in small holes, a share,",
                0.01,
                1.0,
            ),
        );
        set(
            &mut holes.leave_to_drill_mm,
            self.reach(def.leave_to_drill.as_ref(), "what is left to drill"),
        );
        if let Some(class) = self.number(def.size_class.as_ref(), "the class of ISO 9013", 1.0, 2.0) {
            holes.tolerance_class = if class < 1.5 { 1 } else { 2 };
        }
        match def.square_side.as_ref().map(|word| word.value.as_str()) {
            Some("left") => profile.square_side = SquareSide::Left,
            Some(_) => profile.square_side = SquareSide::Right,
            None => {}
        }
        if let Some(def) = &def.outside {
            self.leads(def, &mut profile.leads.outline);
        }
        if let Some(def) = &def.inside {
            self.leads(def, &mut profile.leads.opening);
        }
        if let Some(radius_mm) = self.reach(def.puddle.as_ref(), "the puddle") {
            profile.leads.puddle.radius_mm = radius_mm;
            profile.leads.puddle.radius_x_t = 0.0;
        }
        if let Some(def) = &def.marks {
            let feed = self.above_0(Some(&def.feed), "the feed of marks");
            let tick = self.size(Some(&def.tick), "the mark");
            if let (Some(feed_mm_min), Some(tick_mm)) = (feed, tick) {
                profile.marker = Some(Marker { feed_mm_min, tick_mm });
            }
        }
        if let Some(def) = &def.travel {
            let travel = &mut profile.travel;
            set(
                &mut travel.height_mm,
                self.size(def.height.as_ref(), "the height of travel"),
            );
            set(
                &mut travel.speed_mm_min,
                self.above_0(def.speed.as_ref(), "the speed of travel"),
            );
            set(
                &mut travel.acceleration_mm_s2,
                self.above_0(def.acceleration.as_ref(), "the acceleration"),
            );
        }
        if let Some(def) = &def.table {
            self.table(def, profile);
        }
        self.chart(&def.chart, profile);
        if let Some(program) = &def.program {
            let dialect = self.dialect(program);
            match dialect.check() {
                Ok(()) => profile.dialect = dialect,
                Err(error) => self
                    .wrongs
                    .push(Wrong::new(program_place(program, def), error.to_string())),
            }
        }
        if let Some([on, off]) = def.marks.as_ref().and_then(|marks| marks.words.as_ref()) {
            let dialect = Dialect {
                marker: Some(OnOff::new(&on.value, &off.value)),
                ..profile.dialect.clone()
            };
            match dialect.check() {
                Ok(()) => profile.dialect = dialect,
                Err(error) => self
                    .wrongs
                    .push(Wrong::new(on.at.clone(), error.to_string()).expected(
                        "two switches that are the marker's own, such as [\"M64 P2\", \"M65 P2\"]",
                    )),
            }
        }
    }

    fn leads(&mut self, def: &LeadsDef, leads: &mut Leads) {
        if !def.kinds.is_empty() {
            leads.kinds = def
                .kinds
                .iter()
                .map(|word| match word.value.as_str() {
                    "line" => LeadKind::Line,
                    _ => LeadKind::Arc,
                })
                .collect();
        }
        if let Some(sum) = &def.angle {
            match self.scope.angle_rad(sum) {
                Ok(rad) if (0.0..=std::f64::consts::PI).contains(&rad) => leads.line_rad = rad,
                Ok(rad) => {
                    let says = format!("a straight lead at {}", units::deg(rad));
                    self.wrongs
                        .push(Wrong::new(sum.at.clone(), says).expected("0 to 180 deg"));
                }
                Err(wrong) => self.wrongs.push(wrong),
            }
        }
        if let Some(in_mm) = self.reach(def.length.as_ref(), "the lead-in") {
            leads.in_mm = in_mm;
            // Who says a length means that length.
            leads.in_x_t = 0.0;
        }
        set(
            &mut leads.in_x_t,
            self.number(def.in_thicknesses.as_ref(), "the lead by thickness", 0.0, 100.0),
        );
        set(
            &mut leads.least_mm,
            self.size(def.least.as_ref(), "the shortest lead"),
        );
        set(
            &mut leads.over_run_mm,
            self.reach(def.over_run.as_ref(), "the over-run"),
        );
        set(&mut leads.out_mm, self.reach(def.out.as_ref(), "the lead-out"));
    }

    fn table(&mut self, def: &TableDef, profile: &mut Profile) {
        let table = &mut profile.table;
        if let Some(size) = &def.size {
            for (reach, sum) in table.size_mm.iter_mut().zip(size) {
                set(reach, self.size(Some(sum), "the table"));
            }
        }
        if let Some(pitch_mm) = self.reach(def.slats.as_ref(), "the pitch of the slats") {
            table.slat_pitch_mm = (pitch_mm > 0.0).then_some(pitch_mm);
        }
        for (index, clamp) in def.clamps.iter().enumerate() {
            let (one, other) = (self.point(&clamp.from), self.point(&clamp.to));
            let (low, high) = (one.inf(&other), one.sup(&other));
            if (high - low).min() <= 0.0 {
                self.wrongs.push(
                    Wrong::new(clamp.to[0].at.clone(), "this clamp has no size").expected(
                        "two corners across from each other: from = [\"0 mm\", \"0 mm\"], to = [\"40 mm\", \"60 mm\"]",
                    ),
                );
                continue;
            }
            let name = clamp.name.as_ref().map(|name| name.value.clone());
            table.clamps.push(Clamp {
                name: name.unwrap_or_else(|| format!("clamp {}", index + 1)),
                low,
                high,
            });
        }
    }
}

fn set(value: &mut f64, said: Option<f64>) {
    if let Some(said) = said {
        *value = said;
    }
}
