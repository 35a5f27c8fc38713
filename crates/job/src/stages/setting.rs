//! What the plate is: metal, thickness, the radius and the K of every bend, and where each of these comes from.

use handbook::{Handbook, Sourced, Status};

use crate::files::model::{BendDef, Design, Shop, StockSpec, StockThickness};
use crate::files::{Wrong, nearest};

use super::scope::Scope;

/// Stock of a test strip or K row is the same stock when its thickness differs by less than this: mills keep to about
/// five in a hundred.
const SAME_THICKNESS_SHARE: f64 = 0.05;
/// A strip or row of another radius is nearer the truth than a general formula while its r/t is within this of ours.
const NEAR_RADIUS_PER_THICKNESS: f64 = 0.5;

/// The plate and its bends.
#[derive(Debug, Clone)]
pub(crate) struct Setting {
    /// The metal's name in the handbook.
    pub metal: String,
    /// Thickness: by caliper when the shop has measured it, else nominal.
    pub thickness_mm: f64,
    /// Was it measured?
    pub measured: bool,
    /// Density.
    pub density_kg_m3: Sourced<f64>,
    /// Radius and K of each bend, in the design's order.
    pub bends: Vec<BendSetting>,
}

/// One bend.
#[derive(Debug, Clone)]
pub(crate) struct BendSetting {
    /// Inside radius.
    pub radius_mm: f64,
    /// Where the radius comes from.
    pub radius_from: String,
    /// K as a share of the thickness.
    pub neutral_share: f64,
    /// Where K comes from.
    pub neutral_from: String,
    /// How far K can be trusted.
    pub neutral_status: Status,
}

/// The handbook with this shop's overrides.
pub(crate) fn book(shop: Option<&Shop>) -> Result<Handbook, Vec<Wrong>> {
    let mut book = Handbook::builtin();
    let mut wrongs = Vec::new();
    for row in shop.map_or(&[][..], |shop| &shop.handbook) {
        let source = row
            .source
            .as_ref()
            .map_or("this shop", |source| source.value.as_str());
        match book.with_override(
            &row.table.value,
            &row.row.value,
            &row.column.value,
            &row.value.value,
            source,
        ) {
            Ok(better) => book = better,
            Err(error) => {
                use handbook::OverrideError as E;
                let (at, near) = match &error {
                    E::UnknownTable { nearest, .. } => (&row.table.at, nearest.clone()),
                    E::UnknownRow { nearest, .. } => (&row.row.at, nearest.clone()),
                    E::UnknownColumn { .. } => (&row.column.at, None),
                    _ => (&row.value.at, None),
                };
                let mut wrong = Wrong::new(at.clone(), error.to_string());
                wrong.fix = near.map(|near| format!("\"{near}\""));
                wrongs.push(wrong);
            }
        }
    }
    if wrongs.is_empty() { Ok(book) } else { Err(wrongs) }
}

/// The thickness of a stock, mm, nominal.
pub(crate) fn nominal_mm(book: &Handbook, stock: &StockSpec) -> Result<f64, Wrong> {
    match stock.thickness {
        StockThickness::Mm(mm) => Ok(mm),
        StockThickness::Gauge(gauge) => match book.gauge_mm(&stock.metal, gauge) {
            Ok(mm) => Ok(mm.value),
            Err(error) => Err(Wrong::new(stock.text.at.clone(), error.to_string())
                .expected("a gauge the handbook lists for this metal, or a thickness in mm or in")),
        },
    }
}

/// Is it this metal, at this thickness within what mills keep?
pub(crate) fn same_stock(book: &Handbook, one: &StockSpec, metal: &str, thickness_mm: f64) -> bool {
    let same_metal = book.metal(&one.metal).is_ok_and(|found| found.name == metal);
    same_metal
        && nominal_mm(book, one)
            .is_ok_and(|mm| (mm - thickness_mm).abs() <= SAME_THICKNESS_SHARE * thickness_mm)
}

/// Metal, thickness, radii and K.
pub(crate) fn setting(
    book: &Handbook,
    design: &Design,
    shop: Option<&Shop>,
    scope: &Scope,
) -> Result<Setting, Vec<Wrong>> {
    let stock = &design.plate.stock;
    let metal = book.metal(&stock.metal).map_err(|error| {
        let known: Vec<&str> = book.metals().iter().map(|metal| metal.name.as_str()).collect();
        let mut wrong = Wrong::new(stock.text.at.clone(), error.to_string())
            .expected(format!("one of: {}", known.join(", ")));
        wrong.fix = nearest(&stock.metal, known).map(|near| {
            format!(
                "\"{near} {}\"",
                stock.text.value.trim_start_matches(stock.metal.as_str()).trim()
            )
        });
        vec![wrong]
    })?;
    let nominal = nominal_mm(book, stock).map_err(|wrong| vec![wrong])?;
    let measured = measured_mm(book, shop, scope, &metal.name, nominal)?;
    let thickness_mm = measured.unwrap_or(nominal);
    let least_radius = book.least_radius_mm(&metal.name, thickness_mm);
    let mut wrongs = Vec::new();
    let mut bends = Vec::new();
    for bend in &design.bends {
        let one =
            radius(&least_radius, design, bend, scope, thickness_mm).and_then(|(radius_mm, radius_from)| {
                let (neutral_share, neutral_from, neutral_status) =
                    neutral(book, shop, scope, &metal.name, thickness_mm, radius_mm)?;
                Ok(BendSetting {
                    radius_mm,
                    radius_from,
                    neutral_share,
                    neutral_from,
                    neutral_status,
                })
            });
        match one {
            Ok(bend) => bends.push(bend),
            Err(wrong) => wrongs.push(wrong),
        }
    }
    if !wrongs.is_empty() {
        return Err(wrongs);
    }
    Ok(Setting {
        metal: metal.name.clone(),
        thickness_mm,
        measured: measured.is_some(),
        density_kg_m3: metal.density_kg_m3.clone(),
        bends,
    })
}

fn measured_mm(
    book: &Handbook,
    shop: Option<&Shop>,
    scope: &Scope,
    metal: &str,
    nominal_mm: f64,
) -> Result<Option<f64>, Vec<Wrong>> {
    for sheet in shop.map_or(&[][..], |shop| &shop.stock) {
        if let Some(measured) = &sheet.measured
            && same_stock(book, &sheet.stock, metal, nominal_mm)
        {
            return scope
                .size_mm(measured, "the measured thickness")
                .map(Some)
                .map_err(|wrong| vec![wrong]);
        }
    }
    Ok(None)
}

fn radius(
    least: &Result<Sourced<f64>, handbook::RadiusError>,
    design: &Design,
    bend: &BendDef,
    scope: &Scope,
    thickness_mm: f64,
) -> Result<(f64, String), Wrong> {
    if let Some(sum) = bend.radius.as_ref().or(design.plate.radius.as_ref()) {
        return Ok((scope.reach_mm(sum, "the inside radius")?, "the design".into()));
    }
    match least {
        Ok(least) => Ok((least.value, format!("least radius, {}", least.source))),
        Err(error) => Err(Wrong::new(
            bend.name.at.clone(),
            format!(
                "the bend \"{}\" has no inside radius, and {error}",
                bend.name.value
            ),
        )
        .expected("radius in the bend or in [plate]")
        .fix(format!("radius = \"{}\"", units::mm(1.5 * thickness_mm)))),
    }
}

/// K from, in order: this shop's strip, this shop's table, DIN 6935.
pub(crate) fn neutral(
    book: &Handbook,
    shop: Option<&Shop>,
    scope: &Scope,
    metal: &str,
    thickness_mm: f64,
    radius_mm: f64,
) -> Result<(f64, String, Status), Wrong> {
    let ours = radius_mm / thickness_mm;
    let mut nearest_strip: Option<(f64, f64, String)> = None;
    for strip in shop.map_or(&[][..], |shop| &shop.strips) {
        if !same_stock(book, &strip.stock, metal, thickness_mm) {
            continue;
        }
        let t = scope.size_mm(&strip.thickness, "the strip's thickness")?;
        let r = scope.reach_mm(&strip.radius, "the strip's radius")?;
        let away = (r / t - ours).abs();
        if away > NEAR_RADIUS_PER_THICKNESS
            || nearest_strip.as_ref().is_some_and(|(least, ..)| *least <= away)
        {
            continue;
        }
        let legs = [
            scope.size_mm(&strip.legs[0], "a leg")?,
            scope.size_mm(&strip.legs[1], "a leg")?,
        ];
        let flat = scope.size_mm(&strip.flat, "the flat strip")?;
        let bent = scope.angle_rad(&strip.bent)?;
        let k = sheet::neutral_share_from_strip(flat, legs, bent, r, t)
            .filter(|k| (0.0..=1.0).contains(k))
            .ok_or_else(|| {
                Wrong::new(
                    strip.flat.at.clone(),
                    "the readings of this strip give no K between 0 and 1",
                )
                .expected("outside legs to the sharp corner, whose sum is a little more than the flat strip")
            })?;
        let when = strip
            .date
            .as_ref()
            .map_or(String::new(), |date| format!(" of {}", date.value));
        let tool = strip
            .tool
            .as_ref()
            .map_or(String::new(), |tool| format!(", {}", tool.value));
        nearest_strip = Some((
            away,
            k,
            format!("this shop's test strip{when}, r/t {:.2}{tool}", r / t),
        ));
    }
    if let Some((_, k, from)) = nearest_strip {
        return Ok((k, from, Status::Shop));
    }
    let mut nearest_row: Option<(f64, f64)> = None;
    for row in shop.map_or(&[][..], |shop| &shop.neutral) {
        let t = scope.size_mm(&row.thickness, "the thickness")?;
        let r = scope.reach_mm(&row.radius, "the radius")?;
        let same_metal = book
            .metal(&row.metal.value)
            .is_ok_and(|found| found.name == metal);
        let same_thickness = (t - thickness_mm).abs() <= SAME_THICKNESS_SHARE * thickness_mm;
        if !(0.0..=1.0).contains(&row.k.value) {
            return Err(
                Wrong::new(row.k.at.clone(), "K is a share of the thickness").expected("between 0 and 1")
            );
        }
        let away = (r / t - ours).abs();
        if same_metal
            && same_thickness
            && away <= NEAR_RADIUS_PER_THICKNESS
            && nearest_row.is_none_or(|(l, _)| away < l)
        {
            nearest_row = Some((away, row.k.value));
        }
    }
    if let Some((_, k)) = nearest_row {
        return Ok((k, "this shop's table".into(), Status::Shop));
    }
    let din = handbook::din_6935_k(ours);
    Ok((din.value.neutral_share, "DIN 6935 (k/2)".into(), din.status))
}
