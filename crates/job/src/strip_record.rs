//! The readings of a bent strip as they are typed: what they say, and the row that keeps them in shop.toml.

use brake::strip::{StripError, StripSays};
use toml_edit::{Array, Table, Value, value};
use units::{both, deg};

use crate::bend_strip::{NoBendStrip, StripAsked, bend_strip};
use crate::files::read_shop;
use crate::folder::Folder;
use crate::run::Outcome;
use crate::shop_record::{RecordError, push_row};
use crate::stages::strips::{self, Doubt, Readings, SAME_THICKNESS_SHARE, StripGrain};
use crate::typed::{Named, NotAReading, bent_rad, length_mm, named};

/// What may be typed.
const NAMES: [&str; 9] = [
    "flat",
    "thickness",
    "legs",
    "angle",
    "loaded",
    "radius",
    "tool",
    "grain",
    "date",
];
/// Why nothing was put into shop.toml.
#[derive(Debug, thiserror::Error)]
pub enum StripRecordError {
    /// There is no such strip.
    #[error(transparent)]
    None(#[from] NoBendStrip),
    /// A reading that is none.
    #[error(transparent)]
    Typed(#[from] NotAReading),
    /// A reading that must be there.
    #[error("{0} is missing; the card asks for flat, thickness, legs and angle")]
    Missing(&'static str),
    /// The readings say nothing.
    #[error("{0}. Legs are outside legs, each to where the outsides meet; nothing was changed")]
    Says(#[from] StripError),
    /// They say what is hardly so.
    #[error(
        "these readings ask for K {k:.2} and an inside radius of {}, where K {expected_k:.2} and {} were to be expected: {strain:.1} \
         standard deviations off. Read legs, flat and angle again; or hold a radius gauge to it, and add radius = ____ mm. Nothing \
         was changed",
        both(*.radius_mm),
        both(*.expected_mm)
    )]
    Strained {
        /// K.
        k: f64,
        /// As it was expected.
        expected_k: f64,
        /// Inside radius, mm.
        radius_mm: f64,
        /// That the tool should leave, mm.
        expected_mm: f64,
        /// How far off, in standard deviations.
        strain: f64,
    },
    /// K is none that plate has.
    #[error(
        "with an inside radius of {} by the gauge, these readings ask for K {k:.2}, and plate has {:.1} to {:.1}. Read legs, flat and angle \
         again, and the gauge. Nothing was changed",
        both(*.radius_mm),
        .band[0],
        .band[1]
    )]
    NoSuchK {
        /// K.
        k: f64,
        /// What plate has, from and to.
        band: [f64; 2],
        /// As gauged, mm.
        radius_mm: f64,
    },
    /// The row would not be read again.
    #[error("as it would stand in shop.toml it could not be read again: {0}. Nothing was changed")]
    NotReadAgain(String),
    /// The plate is another.
    #[error(
        "the strip reads {} thick, and this job's plate is {}: that is {:.0} % off, and another plate. Nothing was changed",
        both(*.read_mm),
        both(*.plate_mm),
        100.0 * (*.read_mm - *.plate_mm).abs() / *.plate_mm
    )]
    OtherPlate {
        /// As read, mm.
        read_mm: f64,
        /// The job's, mm.
        plate_mm: f64,
    },
    /// The angle is the other one, or was read wrong.
    #[error(
        "it came out bent through {} ({} between the legs), and it was bent to {} under load: a bend opens when it is let go. Is it the \
         angle between the legs? Then write it so: angle = {} between legs. Nothing was changed",
        deg(*.bent_rad),
        deg(std::f64::consts::PI - *.bent_rad),
        deg(*.loaded_rad),
        deg(*.bent_rad)
    )]
    Closed {
        /// As read, rad.
        bent_rad: f64,
        /// Under load, rad.
        loaded_rad: f64,
    },
    /// The file cannot be edited.
    #[error(transparent)]
    Record(#[from] RecordError),
}

/// A strip that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct StripMeasured {
    /// K, with its standard uncertainty.
    pub neutral_share: [f64; 2],
    /// Inside radius, likewise, mm.
    pub radius_mm: [f64; 2],
    /// Whether a gauge was held to it.
    pub gauged: bool,
    /// What it opened by, likewise, rad.
    pub opens_rad: [f64; 2],
    /// Outside legs less the flat at this angle, likewise, mm.
    pub deduction_mm: [f64; 2],
    /// Angle bent through, rad.
    pub bent_rad: f64,
    /// Under load, rad.
    pub loaded_rad: f64,
    /// By which share it is thicker than the plate is taken to be; below 0 thinner.
    pub thicker_share: f64,
    /// The tool.
    pub tool: String,
    /// How the bend lay to the way of rolling.
    pub grain: StripGrain,
    /// When.
    pub date: String,
}

/// Puts the readings of a strip into shop.toml, for the job's plate.
///
/// # Errors
/// [`StripRecordError`]; then shop.toml is as it was.
pub fn record_bend_strip(
    folder: &Folder,
    outcome: &Outcome,
    asked: &StripAsked,
    typed: &str,
    today: &str,
) -> Result<StripMeasured, StripRecordError> {
    let said = named(typed, &NAMES)?;
    let of = |name: &'static str| said.iter().find(|said| said.name == name);
    let all = |name: &'static str| of(name).map(|said| &said.values);
    let one = |name: &'static str| of(name).map(Named::one).transpose();
    let word = |name: &'static str| of(name).map(Named::word).transpose();
    let mut asked = asked.clone();
    let own_tool = word("tool")?;
    if let Some(tool) = own_tool {
        asked.tool = Some(tool.to_owned());
    }
    if let Some(text) = one("grain")? {
        let grain = StripGrain::of(text).ok_or_else(|| {
            NotAReading(format!(
                "grain = {text}: the line of the bend runs \"along\" or \"across\" the way of rolling"
            ))
        })?;
        asked.grain = Some(grain);
    }
    let strip = bend_strip(outcome, &asked)?;
    let mean = |name: &'static str| -> Result<Option<f64>, StripRecordError> {
        let Some(values) = all(name) else { return Ok(None) };
        let numbers = values
            .iter()
            .map(|text| length_mm(text))
            .collect::<Result<Vec<_>, _>>()?;
        Ok((!numbers.is_empty()).then(|| numbers.iter().sum::<f64>() / numbers.len() as f64))
    };
    let must = |value: Option<f64>, name| value.ok_or(StripRecordError::Missing(name));
    let legs = all("legs").ok_or(StripRecordError::Missing("legs"))?;
    let [a, b] = legs[..] else {
        return Err(NotAReading(format!(
            "a strip has two legs, written legs = 79.6 mm, 79.5 mm; typed was {}",
            legs.join(", ")
        ))
        .into());
    };
    let angle = one("angle")?.ok_or(StripRecordError::Missing("angle"))?;
    let read = Readings {
        thickness_mm: must(mean("thickness")?, "thickness")?,
        flat_mm: must(mean("flat")?, "flat")?,
        legs_mm: [length_mm(a)?, length_mm(b)?],
        bent_rad: bent_rad(angle)?,
        loaded_rad: Some(match one("loaded")? {
            Some(text) => bent_rad(text)?,
            None => strip.loaded_rad,
        }),
        gauged_mm: mean("radius")?,
        expects_mm: strip.radius_mm,
    };
    let says = believed(outcome, &read)?;
    let date = word("date")?.unwrap_or(today).to_owned();
    let tool = own_tool.map_or_else(|| strip.tool.clone(), str::to_owned);
    let mut row = Table::new();
    row["plate"] = value(outcome.worked.files.design.plate.stock.text.value.clone());
    row["thickness"] = value(kept(all("thickness"), read.thickness_mm));
    if let Some(mm) = read.gauged_mm {
        row["radius"] = value(kept(all("radius"), mm));
    }
    row["expects"] = value(millimetres(read.expects_mm));
    row["bent"] = value(degrees(read.bent_rad));
    row["loaded"] = value(degrees(read.loaded_rad.unwrap_or(strip.loaded_rad)));
    row["flat"] = value(kept(all("flat"), read.flat_mm));
    row["legs"] = value([a, b].into_iter().map(Value::from).collect::<Array>());
    row["tool"] = value(tool.clone());
    row["grain"] = value(strip.grain.word());
    row["date"] = value(date.clone());
    push_row(folder, "strips", row, |text| read_again(outcome, text))?;
    Ok(StripMeasured {
        neutral_share: says.neutral_share,
        radius_mm: says.radius_mm,
        gauged: read.gauged_mm.is_some(),
        opens_rad: says.opens_rad,
        deduction_mm: says.deduction_mm,
        bent_rad: read.bent_rad,
        loaded_rad: read.loaded_rad.unwrap_or(strip.loaded_rad),
        thicker_share: read.thickness_mm / outcome.worked.setting.thickness_mm - 1.0,
        tool,
        grain: strip.grain,
        date,
    })
}

/// What the readings say, when they can be so.
fn believed(outcome: &Outcome, read: &Readings) -> Result<StripSays, StripRecordError> {
    let setting = &outcome.worked.setting;
    let off_mm = (read.thickness_mm - setting.thickness_mm).abs();
    if off_mm > SAME_THICKNESS_SHARE * setting.thickness_mm {
        return Err(StripRecordError::OtherPlate {
            read_mm: read.thickness_mm,
            plate_mm: setting.thickness_mm,
        });
    }
    if let Some([bent_rad, loaded_rad]) = read.closed_rad() {
        return Err(StripRecordError::Closed { bent_rad, loaded_rad });
    }
    let says = read.say(&outcome.worked.book)?;
    let [k, _] = says.gauged_neutral_share.unwrap_or(says.neutral_share);
    let radius_mm = read.gauged_mm.unwrap_or(says.radius_mm[0]);
    match read.doubt(&says) {
        None => Ok(says),
        Some(Doubt::K(band)) => Err(StripRecordError::NoSuchK { k, band, radius_mm }),
        Some(Doubt::Strained(strain)) => Err(StripRecordError::Strained {
            k,
            expected_k: says.expected_neutral_share,
            radius_mm,
            expected_mm: read.expects_mm,
            strain,
        }),
    }
}

/// Whether shop.toml, with the new row last, is read as every run reads it: what is written with success must not stop the next run.
fn read_again(outcome: &Outcome, text: &str) -> Result<(), StripRecordError> {
    let worked = &outcome.worked;
    let wrong = |wrong: &crate::files::Wrong| StripRecordError::NotReadAgain(wrong.says.clone());
    let no_row = || StripRecordError::NotReadAgain("the strip is not found in it".into());
    let shop = read_shop(text).map_err(|wrongs| wrongs.first().map_or_else(no_row, wrong))?;
    let row = shop.strips.last().ok_or_else(no_row)?;
    let read = strips::strip(&worked.book, &worked.scope, row, &worked.setting.metal);
    read.map_err(|error| wrong(&error))?.ok_or_else(no_row)?;
    Ok(())
}

/// A reading as it was typed when it is the only one, else the mean of all.
fn kept(typed: Option<&Vec<&str>>, mean_mm: f64) -> String {
    match typed.map(Vec::as_slice) {
        Some([one]) => (*one).to_owned(),
        _ => millimetres(mean_mm),
    }
}

/// Kept to a thousandth of a mm, and angles to a hundredth of a degree: below what any of the instruments tells.
fn millimetres(mm: f64) -> String {
    let tidy = (mm * 1000.0).round() / 1000.0;
    format!("{tidy} mm")
}

fn degrees(rad: f64) -> String {
    let tidy = (rad.to_degrees() * 100.0).round() / 100.0;
    format!("{tidy} deg")
}
