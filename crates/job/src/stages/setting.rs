//! What the plate is: metal, thickness, the radius and the K of every bend, and where each of these comes from.

use handbook::{Handbook, Sourced, Status};

use crate::files::model::{BendDef, Design, Shop, StockSpec, StockThickness};
use crate::files::{Wrong, nearest};

use super::scope::Scope;
use super::strips::{self, Like, NEAR_RADIUS_PER_THICKNESS, SAME_THICKNESS_SHARE, Strip, StripGrain};

/// The plate and its bends.
#[derive(Debug, Clone, PartialEq)]
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
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct BendSetting {
    /// Inside radius.
    pub radius_mm: f64,
    /// Where the radius comes from.
    pub radius_from: String,
    /// K.
    pub neutral: Neutral,
}

/// K with what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Neutral {
    /// As a share of the thickness.
    pub share: f64,
    /// Where it comes from, in words.
    pub from: String,
    /// How far it can be trusted.
    pub status: Status,
    /// The strip that it is read off; none where it is not by a strip.
    pub strip: Option<Box<Strip>>,
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
    let strips =
        strips::of_stock(book, shop, scope, &metal.name, thickness_mm).map_err(|wrong| vec![wrong])?;
    let grain = laid_across(book, shop, &metal.name, nominal);
    let mut wrongs = Vec::new();
    let mut bends = Vec::new();
    for bend in &design.bends {
        let one =
            radius(&least_radius, design, bend, scope, thickness_mm).and_then(|(radius_mm, radius_from)| {
                let neutral = neutral(
                    book,
                    shop,
                    scope,
                    &metal.name,
                    &strips,
                    like(thickness_mm, radius_mm, grain),
                )?;
                Ok(BendSetting {
                    radius_mm,
                    radius_from,
                    neutral,
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

/// What a strip is to stand near to, before the tool is known.
fn like(thickness_mm: f64, radius_mm: f64, grain: Option<StripGrain>) -> Like<'static> {
    Like {
        thickness_mm,
        radius_mm,
        tool: None,
        grain,
    }
}

/// A blank is laid with its bends across the grain of the sheet, where a sheet of this plate says how it was rolled.
pub(crate) fn laid_across(
    book: &Handbook,
    shop: Option<&Shop>,
    metal: &str,
    nominal_mm: f64,
) -> Option<StripGrain> {
    let sheets = shop.map_or(&[][..], |shop| &shop.stock);
    sheets
        .iter()
        .any(|sheet| sheet.grain.is_some() && same_stock(book, &sheet.stock, metal, nominal_mm))
        .then_some(StripGrain::Across)
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

/// K from, in order: this shop's nearest strip, this shop's table, DIN 6935.
pub(crate) fn neutral(
    book: &Handbook,
    shop: Option<&Shop>,
    scope: &Scope,
    metal: &str,
    strips: &[Strip],
    like: Like<'_>,
) -> Result<Neutral, Wrong> {
    let Like {
        thickness_mm,
        radius_mm,
        ..
    } = like;
    let ours = radius_mm / thickness_mm;
    if let Some(strip) = strips::nearest(strips, &like) {
        let mut from = strip.words();
        if let (Some(tool), Some(_)) = (like.tool, &strip.tool)
            && !strip.is_of(tool)
        {
            from.push_str(" (another tool than this bend's)");
        }
        return Ok(Neutral {
            share: strip.says.neutral_share[0],
            from,
            status: Status::Shop,
            strip: Some(Box::new(strip.clone())),
        });
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
        return Ok(Neutral {
            share: k,
            from: "this shop's table".into(),
            status: Status::Shop,
            strip: None,
        });
    }
    let din = handbook::din_6935_k(ours);
    Ok(Neutral {
        share: din.value.neutral_share,
        from: "DIN 6935 (k/2)".into(),
        status: din.status,
        strip: None,
    })
}
