//! What the part carries, in numbers: N, N mm, mm, kg, radians, in the axes of the equipment.

use std::collections::BTreeMap;

use handbook::{Handbook, Margin};
use nalgebra::{Point3, Unit, Vector3};
use units::{Dim, NEWTON_PER_KGF};

use crate::files::model::{
    Fit, ForceDef, LimitsDef, LoadAt, LoadDef, LoadHow, LoadKind, Name, NeverDef, Place, ProofDef, Shop, Sum,
    Told,
};
use crate::files::{Wrong, nearest};

use super::equipment::{direction, place_of};
use super::instrument::{self, Doubt, Read};
use super::scope::Scope;
use super::stated::above_zero;

/// No bracket that one person makes carries more, N; beyond it a unit is wrong.
const HARDEST_N: f64 = 1e7;
/// The same for a moment, N mm: that force on an arm of 1 m.
const HARDEST_N_MM: f64 = 1e10;
/// The same for what hangs or falls, kg: the weight of the hardest force.
const HEAVIEST_KG: f64 = 1e6;
/// A load that is met harder is said harder.
const LARGEST_FACTOR: f64 = 100.0;
/// A hundred times each second of a day.
const MOST_PER_DAY: f64 = 1e7;
/// The instrument of a proof reading that names none.
const USUAL_INSTRUMENT: &str = "rule";

/// All that is said of loads.
#[derive(Debug, Clone)]
pub(crate) struct LoadsWish {
    /// Each load, in the order said.
    pub loads: Vec<LoadWish>,
    /// What acts at once.
    pub together: Vec<TogetherWish>,
    /// Why a drop or a jam cannot happen.
    pub never: NeverDef,
    /// Which way is down.
    pub down: Unit<Vector3<f64>>,
    /// Was it said, or is it the usual -z?
    pub down_said: bool,
    /// What must hold.
    pub limits: HoldLimits,
    /// Readings of the test on the bench.
    pub proof: Vec<ProofWish>,
}

/// One load.
#[derive(Debug, Clone)]
pub(crate) struct LoadWish {
    /// The user's name for it.
    pub name: String,
    /// What happens.
    pub kind: LoadKind,
    /// What acts, without the factor.
    pub act: ActWish,
    /// Where it comes in.
    pub at: AtWish,
    /// Its worst over its steady size, at least 1; 1 for a fall, which has its own.
    pub factor: f64,
    /// Was the factor said, or is it the usual of its kind?
    pub factor_said: bool,
    /// Comes all at once.
    pub sudden: bool,
    /// Acts the other way too, so that the stress ranges over twice its size.
    pub both_ways: bool,
    /// Times a day; not known when absent.
    pub per_day: Option<f64>,
    /// Where it was said.
    pub said: Place,
}

/// What acts on the part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum ActWish {
    /// A force and a moment.
    Steady {
        /// N.
        force_n: Vector3<f64>,
        /// N mm.
        moment_n_mm: Vector3<f64>,
    },
    /// A fall that ends on the part.
    Fall {
        /// What falls, kg.
        mass_kg: f64,
        /// How far, mm.
        height_mm: f64,
        /// Which way the blow pushes the part.
        toward: Unit<Vector3<f64>>,
    },
}

/// Where a load comes in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum AtWish {
    /// At the middle of the support's holes.
    Support,
    /// At a point, carried in by the support's holes.
    Point(Point3<f64>),
    /// At a point, by the plate where it is nearest: the fit has no support.
    Plate(Point3<f64>),
    /// At these holes of the part.
    Holes(Vec<Name>),
}

/// Loads that act at once.
#[derive(Debug, Clone)]
pub(crate) struct TogetherWish {
    /// Its name.
    pub name: String,
    /// Which of the loads.
    pub loads: Vec<usize>,
}

/// What must hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct HoldLimits {
    /// Largest movement of the support, mm.
    pub moves_mm: Option<f64>,
    /// Largest turn of the support, radians.
    pub turns_rad: Option<f64>,
    /// Yield strength over stress: as said, or the handbook's, as the two below.
    pub times_yield: f64,
    /// Ultimate strength over stress.
    pub times_ultimate: f64,
    /// Yield strength over stress, for what comes suddenly.
    pub times_sudden: f64,
    /// How long it must last.
    pub years: Option<f64>,
    /// Lowest frequency.
    pub least_hz: Option<f64>,
}

/// One step of the test on the bench.
#[derive(Debug, Clone)]
pub(crate) struct ProofWish {
    /// The pull, N.
    pub force_n: Vector3<f64>,
    /// Where it was pulled.
    pub at: AtWish,
    /// How far it moved, mm.
    pub read_mm: f64,
    /// Standard deviation of that reading, mm; none when it is exact.
    pub sd_mm: Option<f64>,
    /// The way of the movement that was read.
    pub along: Unit<Vector3<f64>>,
    /// Where it was read.
    pub read_at: AtWish,
}

/// The part of a fit that the loads are worked out with.
struct Carrier<'a> {
    book: &'a Handbook,
    scope: &'a Scope,
    fit: &'a Fit,
    places: &'a BTreeMap<String, Point3<f64>>,
    down: Unit<Vector3<f64>>,
}

/// All that a fit says of loads.
///
/// # Errors
/// Everything that is wrong with them, each with its place.
pub(super) fn loads(
    book: &Handbook,
    shop: Option<&Shop>,
    fit: &Fit,
    scope: &Scope,
    places: &BTreeMap<String, Point3<f64>>,
) -> Result<LoadsWish, Vec<Wrong>> {
    let down = fit
        .down
        .as_ref()
        .map_or(-Vector3::z_axis(), |down| direction(&down.value));
    let of = Carrier {
        book,
        scope,
        fit,
        places,
        down,
    };
    let mut wrongs = Vec::new();
    let mut loads = Vec::new();
    for def in &fit.loads {
        match of.load(def) {
            Ok(load) => loads.push(load),
            Err(wrong) => wrongs.push(wrong),
        }
    }
    let mut together = Vec::new();
    for def in &fit.together {
        let mut members = Vec::new();
        for name in &def.loads {
            match fit.loads.iter().position(|load| load.name.value == name.value) {
                Some(index) => members.push(index),
                None => wrongs.push(no_load(name, &fit.loads)),
            }
        }
        together.push(TogetherWish {
            name: def.name.value.clone(),
            loads: members,
        });
    }
    let mut proof = Vec::new();
    for def in &fit.proof {
        match of.proof(def, shop) {
            Ok(step) => proof.push(step),
            Err(wrong) => wrongs.push(wrong),
        }
    }
    match limits(book, &fit.limits, scope) {
        Ok(limits) if wrongs.is_empty() => Ok(LoadsWish {
            loads,
            together,
            never: fit.never.clone(),
            down,
            down_said: fit.down.is_some(),
            limits,
            proof,
        }),
        limits => {
            wrongs.extend(limits.err().into_iter().flatten());
            Err(wrongs)
        }
    }
}

fn no_load(name: &Name, loads: &[LoadDef]) -> Wrong {
    let says = format!("there is no load \"{}\" under [loads]", name.value);
    let mut wrong = Wrong::new(name.at.clone(), says).expected("the name of a load");
    let known = loads.iter().map(|load| load.name.value.as_str());
    wrong.fix = nearest(&name.value, known).map(|near| format!("\"{near}\""));
    wrong
}

impl Carrier<'_> {
    fn load(&self, def: &LoadDef) -> Result<LoadWish, Wrong> {
        let act = match &def.how {
            LoadHow::Steady { force, moment } => ActWish::Steady {
                force_n: match force {
                    Some(force) => self.force_n(force)?,
                    None => Vector3::zeros(),
                },
                moment_n_mm: match moment {
                    Some((size, about)) => {
                        let size = self.bounded(size, "the moment", Dim::MOMENT, HARDEST_N_MM)?;
                        direction(&about.value).into_inner() * size
                    }
                    None => Vector3::zeros(),
                },
            },
            LoadHow::Fall { mass, height, toward } => ActWish::Fall {
                mass_kg: self.bounded(mass, "what falls", Dim::MASS, HEAVIEST_KG)?,
                height_mm: self.scope.size_mm(height, "the height")?,
                toward: toward
                    .as_ref()
                    .map_or(-self.down, |toward| direction(&toward.value)),
            },
        };
        let what = format!("the load \"{}\"", def.name.value);
        let at = self.at(&def.at, &def.name.at, &what)?;
        let usual = self
            .book
            .load_kind(def.kind.value.word())
            .map_err(|error| Wrong::new(def.kind.at.clone(), error.to_string()))?;
        let usual_factor = match act {
            ActWish::Steady { .. } => usual.factor.value,
            ActWish::Fall { .. } => 1.0,
        };
        if let Some(factor) = &def.factor {
            within(
                factor,
                "factor",
                1.0,
                LARGEST_FACTOR,
                "1 or more: 1 is a load that comes on slowly",
            )?;
        }
        if let Some(per_day) = &def.per_day {
            if per_day.value <= 0.0 {
                let says = format!(
                    "the load \"{}\" comes {} times a day",
                    def.name.value, per_day.value
                );
                return Err(Wrong::new(per_day.at.clone(), says)
                    .expected("more than 0; leave it out where it is not known"));
            }
            within(per_day, "per_day", 0.0, MOST_PER_DAY, "a number of times a day")?;
        }
        let or = |said: &Option<Told<bool>>, usual: bool| said.as_ref().map_or(usual, |said| said.value);
        Ok(LoadWish {
            name: def.name.value.clone(),
            kind: def.kind.value,
            act,
            at,
            factor: def.factor.as_ref().map_or(usual_factor, |factor| factor.value),
            factor_said: def.factor.is_some(),
            sudden: or(&def.sudden, usual.sudden),
            both_ways: or(&def.both_ways, def.kind.value == LoadKind::Shake),
            per_day: def.per_day.as_ref().map(|per_day| per_day.value),
            said: def.name.at.clone(),
        })
    }

    fn force_n(&self, def: &ForceDef) -> Result<Vector3<f64>, Wrong> {
        match def {
            ForceDef::Force { size, toward } => {
                let size_n = self.bounded(size, "the force", Dim::FORCE, HARDEST_N)?;
                Ok(direction(&toward.value).into_inner() * size_n)
            }
            ForceDef::Weight { mass, toward } => {
                let mass_kg = self.bounded(mass, "the mass", Dim::MASS, HEAVIEST_KG)?;
                let toward = toward
                    .as_ref()
                    .map_or(self.down, |toward| direction(&toward.value));
                Ok(toward.into_inner() * (mass_kg * NEWTON_PER_KGF))
            }
        }
    }

    /// A quantity above 0 and at most `most`, in base units.
    fn bounded(&self, sum: &Sum, what: &str, kind: Dim, most: f64) -> Result<f64, Wrong> {
        let (expected, shown): (_, fn(f64) -> String) = match kind {
            Dim::FORCE => ("a force, as 250 N or 55 lbf", units::force),
            Dim::MOMENT => ("a moment, as 5 N m or 4 lbf ft", units::moment),
            _ => ("a mass, as 1.6 kg", units::mass),
        };
        let value = self.scope.of_kind(sum, kind, expected);
        above_zero(sum, what, value.clone()).map_err(|wrong| match kind {
            Dim::FORCE if value.is_ok() => wrong.expected("more than 0; toward says which way it acts"),
            Dim::MOMENT if value.is_ok() => wrong.expected("more than 0; about says which way it turns"),
            _ => wrong,
        })?;
        let value = value?;
        if value <= most {
            return Ok(value);
        }
        let says = format!("{what} comes out as {}", shown(value));
        Err(Wrong::new(sum.at.clone(), says).expected(format!("at most {}", shown(most))))
    }

    /// Where something acts; `what` acts there and was said at `said`.
    fn at(&self, at: &LoadAt, said: &Place, what: &str) -> Result<AtWish, Wrong> {
        let place = match (at, &self.fit.support) {
            (LoadAt::Holes(holes), _) => return Ok(AtWish::Holes(holes.clone())),
            (LoadAt::Support, Some(_)) => return Ok(AtWish::Support),
            (LoadAt::Support, None) => {
                let says = format!("{what} acts at the support, and this fit has none");
                return Err(Wrong::new(said.clone(), says)
                    .expected("a [support], or where it acts: at = a place of the equipment")
                    .fix("at = [\"0 mm\", \"0 mm\", \"0 mm\"]"));
            }
            (LoadAt::Place(place), _) => place_of(place, self.scope, self.places, &self.fit.places)?,
        };
        Ok(match self.fit.support {
            Some(_) => AtWish::Point(place),
            None => AtWish::Plate(place),
        })
    }

    fn proof(&self, def: &ProofDef, shop: Option<&Shop>) -> Result<ProofWish, Wrong> {
        let force_n = self.force_n(&def.pull)?;
        let at = self.at(&def.at, &def.said, "this step")?;
        let read_mm = self.scope.size_mm(&def.read, "the movement")?;
        let usual = Told {
            value: USUAL_INSTRUMENT.to_owned(),
            at: def.read.at.clone(),
        };
        let name = def.with.as_ref().unwrap_or(&usual);
        let read = Read {
            value: read_mm,
            angle: false,
            hook: false,
        };
        let sd_mm = match instrument::doubt(self.book, shop, self.scope, name, read)? {
            Doubt::Sd(sd) => Some(sd),
            Doubt::Exact => None,
            Doubt::NotThisKind => {
                let says = format!("\"{}\" reads no lengths", name.value);
                return Err(Wrong::new(name.at.clone(), says).expected("an instrument that reads lengths"));
            }
        };
        let along = match &def.along {
            Some(along) => direction(&along.value),
            // The pull is above 0.
            None => Unit::new_normalize(force_n),
        };
        let read_at = match &def.read_at {
            Some(place) => self.at(place, &def.said, "this step")?,
            None => at.clone(),
        };
        Ok(ProofWish {
            force_n,
            at,
            read_mm,
            sd_mm,
            along,
            read_at,
        })
    }
}

/// A plain number within its bounds.
fn within(number: &Told<f64>, name: &str, least: f64, most: f64, expected: &str) -> Result<(), Wrong> {
    if (least..=most).contains(&number.value) {
        return Ok(());
    }
    let says = format!("{name} is {}", number.value);
    let expected = if number.value > most {
        format!("at most {most}")
    } else {
        expected.to_owned()
    };
    Err(Wrong::new(number.at.clone(), says).expected(expected))
}

fn limits(book: &Handbook, def: &LimitsDef, scope: &Scope) -> Result<HoldLimits, Vec<Wrong>> {
    let mut wrongs = Vec::new();
    let mut keep = |result: Result<(), Wrong>| wrongs.extend(result.err());
    let moves = def
        .moves
        .as_ref()
        .map(|sum| scope.size_mm(sum, "the largest movement"));
    let turns = def.turns.as_ref().map(|sum| {
        let rad = scope.angle_rad(sum);
        above_zero(sum, "the largest turn", rad.clone())?;
        rad
    });
    let strengths = [
        (&def.times_yield, "times_yield"),
        (&def.times_ultimate, "times_ultimate"),
        (&def.times_sudden, "times_sudden"),
    ];
    for (number, name) in strengths {
        if let Some(number) = number {
            keep(within(
                number,
                name,
                1.0,
                LARGEST_FACTOR,
                "1 or more: below 1 the part would give way under what it must hold",
            ));
        }
    }
    for (number, name) in [(&def.years, "years"), (&def.least_hz, "least_hz")] {
        if let Some(number) = number.as_ref().filter(|number| number.value <= 0.0) {
            let says = format!("{name} is {}", number.value);
            keep(Err(Wrong::new(number.at.clone(), says).expected("more than 0")));
        }
    }
    let value = |number: &Option<Told<f64>>| number.as_ref().map(|number| number.value);
    let times = |said: &Option<Told<f64>>, margin| value(said).unwrap_or_else(|| book.margin(margin).value);
    match (moves.transpose(), turns.transpose()) {
        (Ok(moves_mm), Ok(turns_rad)) if wrongs.is_empty() => Ok(HoldLimits {
            moves_mm,
            turns_rad,
            times_yield: times(&def.times_yield, Margin::Yield),
            times_ultimate: times(&def.times_ultimate, Margin::Ultimate),
            times_sudden: times(&def.times_sudden, Margin::Sudden),
            years: value(&def.years),
            least_hz: value(&def.least_hz),
        }),
        (moves, turns) => {
            wrongs.extend(moves.err());
            wrongs.extend(turns.err());
            Err(wrongs)
        }
    }
}
