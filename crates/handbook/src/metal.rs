//! Metals: family, hardness, mass, stiffness and strength.

use crate::Handbook;
use crate::book::or_nearest;
use crate::nearest::nearest;
use crate::sourced::Sourced;
use crate::table::{BadCell, RowView, Table, Wanted};

/// MPa in a ksi.
const MPA_PER_KSI: f64 = 6.894_757_293_168_361;

/// Which gauge numbers and which cutting habits a metal follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    /// Aluminium alloys.
    Aluminium,
    /// Plain and low alloy steels.
    Steel,
    /// Stainless steels.
    Stainless,
}

/// The band of the generic K table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hardness {
    /// Soft aluminium.
    Soft,
    /// Mild steel, hard aluminium.
    Medium,
    /// Stainless and heat-treated steel.
    Hard,
}

/// A metal in its temper.
#[derive(Debug, Clone, PartialEq)]
pub struct Metal {
    /// As ordered: "5052-H32".
    pub name: String,
    /// Family.
    pub family: Family,
    /// Band of the generic K table.
    pub hardness: Sourced<Hardness>,
    /// Density, kg/m3.
    pub density_kg_m3: Sourced<f64>,
    /// Modulus of elasticity, MPa.
    pub elastic_mpa: Sourced<f64>,
    /// Poisson's ratio.
    pub poisson: Sourced<f64>,
    /// Least yield strength that the stock must have, MPa.
    pub yield_least_mpa: Option<Sourced<f64>>,
    /// Least ultimate strength, MPa.
    pub ultimate_least_mpa: Option<Sourced<f64>>,
    /// Yield strength that is usual, MPa: for springback and bending force, not for what the part may carry.
    pub yield_typical_mpa: Option<Sourced<f64>>,
    /// Ultimate strength that is usual, MPa.
    pub ultimate_typical_mpa: Option<Sourced<f64>>,
}

impl Metal {
    /// Mass of a plate, kg, from its area in mm2 and thickness in mm.
    pub fn mass_kg(&self, area_mm2: f64, t_mm: f64) -> Sourced<f64> {
        const MM3_PER_M3: f64 = 1e9;
        self.density_kg_m3
            .clone()
            .map(|density| density * area_mm2 * t_mm / MM3_PER_M3)
    }

    /// Shear modulus, MPa: E / (2 (1 + nu)).
    pub fn shear_mpa(&self) -> Sourced<f64> {
        self.elastic_mpa
            .clone()
            .and(self.poisson.clone(), |e, nu| e / (2.0 * (1.0 + nu)))
    }
}

/// No such metal in the handbook.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the handbook has no metal {asked:?}{}", or_nearest(.nearest))]
pub struct UnknownMetal {
    /// As asked.
    pub asked: String,
    /// The most alike.
    pub nearest: Option<String>,
}

impl Handbook {
    /// The metal of this name; capitals, spaces and dashes do not count ("5052 h32" is 5052-H32).
    pub fn metal(&self, name: &str) -> Result<&Metal, UnknownMetal> {
        let plain = |name: &str| -> String {
            name.chars()
                .filter(|c| !matches!(c, ' ' | '-' | '_'))
                .collect::<String>()
                .to_lowercase()
        };
        let wanted = plain(name);
        self.metals
            .iter()
            .find(|metal| plain(&metal.name) == wanted)
            .ok_or_else(|| UnknownMetal {
                asked: name.to_owned(),
                nearest: nearest(name, self.metals.iter().map(|metal| metal.name.as_str())),
            })
    }

    /// Every metal, in the order of the table.
    pub fn metals(&self) -> &[Metal] {
        &self.metals
    }
}

pub(crate) const FAMILIES: &[&str] = &["aluminium", "steel", "stainless"];
const HARDNESSES: &[&str] = &["soft", "medium", "hard"];
const PROPERTIES: &[&str] = &[
    "density",
    "elastic",
    "poisson",
    "yield_least",
    "ultimate_least",
    "yield_typical",
    "ultimate_typical",
];
const UNITS: &[&str] = &["MPa", "ksi", "kg/m3", "-"];

pub(crate) fn hardness(word: &str) -> Option<Hardness> {
    match word {
        "soft" => Some(Hardness::Soft),
        "medium" => Some(Hardness::Medium),
        "hard" => Some(Hardness::Hard),
        _ => None,
    }
}

pub(crate) fn read_hardness(row: &RowView<'_>) -> Result<Hardness, BadCell> {
    row.word("hardness", HARDNESSES, hardness)
}

pub(crate) fn family(word: &str) -> Option<Family> {
    match word {
        "aluminium" => Some(Family::Aluminium),
        "steel" => Some(Family::Steel),
        "stainless" => Some(Family::Stainless),
        _ => None,
    }
}

struct Property {
    metal: String,
    property: String,
    value: Sourced<f64>,
}

pub(crate) fn read(metals: &Table, properties: &Table) -> Result<Vec<Metal>, BadCell> {
    let properties = properties.read(|row| {
        let per_unit = row.word("unit", UNITS, |unit| match unit {
            "MPa" | "kg/m3" | "-" => Some(1.0),
            "ksi" => Some(MPA_PER_KSI),
            _ => None,
        })?;
        let property = row.word("property", PROPERTIES, |word| {
            PROPERTIES.contains(&word).then(|| word.to_owned())
        })?;
        let value = row.sourced_positive("value")?.map(|value| value * per_unit);
        Ok(Property {
            metal: row.text("metal")?.to_owned(),
            property,
            value,
        })
    })?;
    metals.read(|row| {
        let name = row.key().to_owned();
        let find = |property: &str| {
            properties
                .iter()
                .find(|p| p.metal == name && p.property == property)
                .map(|p| p.value.clone())
        };
        let must = |property: &'static str| {
            find(property).ok_or_else(|| BadCell {
                table: "metal_properties",
                row: format!("{name} {property}"),
                column: "value".to_owned(),
                text: String::new(),
                wanted: Wanted::Present,
            })
        };
        Ok(Metal {
            family: row.word("family", FAMILIES, family)?,
            hardness: row.sourced(&["hardness"], read_hardness(&row)?)?,
            density_kg_m3: must("density")?,
            elastic_mpa: must("elastic")?,
            poisson: must("poisson")?,
            yield_least_mpa: find("yield_least"),
            ultimate_least_mpa: find("ultimate_least"),
            yield_typical_mpa: find("yield_typical"),
            ultimate_typical_mpa: find("ultimate_typical"),
            name: name.clone(),
        })
    })
}
