//! shop.toml, from its text.

use toml::de::DeValue;

use super::bender;
use super::cutter;
use super::keys::SHOP;
use super::lookup::{entries, get, rows};
use super::model::*;
use super::reader::{Reader, Table, Value};
use super::wrong::Wrong;

/// Reads a shop, or says everything that is wrong with its text.
///
/// # Errors
/// As [`super::read_design`].
pub fn read_shop(text: &str) -> Result<Shop, Vec<Wrong>> {
    let (mut reader, table) = Reader::open(FileKind::Shop, text, SHOP);
    if reader.wrongs.is_empty()
        && let Some(shop) = shop(&reader, table.get_ref())
    {
        check_sizes(&mut reader, &shop);
        if reader.wrongs.is_empty() {
            return Ok(shop);
        }
    }
    Err(reader.wrongs)
}

/// The names of the drawings that a shop asks for, each once; none where its text is wrong.
pub fn drawings_of_shop(text: &str) -> Vec<String> {
    let bender = read_shop(text).ok().and_then(|shop| shop.bender);
    bender.map_or_else(Vec::new, |bender| {
        bender
            .drawings()
            .into_iter()
            .map(|name| name.value.clone())
            .collect()
    })
}

/// Sizes that no stage may ever ask for are held to be sizes here.
fn check_sizes(r: &mut Reader<'_>, shop: &Shop) {
    let sheets = shop
        .stock
        .iter()
        .flat_map(|sheet| sheet.size.iter().chain(&sheet.measured));
    let kerf = shop.cutter.iter().filter_map(|cutter| cutter.kerf.as_ref());
    let die = shop.bender.iter().filter_map(|bender| bender.die.as_ref());
    for sum in sheets.chain(kerf).chain(die) {
        let value = sum.value.eval_in(&std::collections::BTreeMap::new());
        if let Some(mm) = value.ok().and_then(|value| value.length_mm().ok())
            && mm <= 0.0
        {
            let wrong = r.wrong(
                sum.at.span.clone(),
                format!("this size comes out as {}", units::both(mm)),
            );
            wrong.expected = Some("more than 0".into());
        }
    }
}

fn shop(r: &Reader<'_>, t: &Table<'_>) -> Option<Shop> {
    let number = |table: &Table<'_>, key: &str| r.of(table, key, Reader::told_number);
    let mut stock = Vec::new();
    for (_, table) in rows(t, "stock") {
        let gone = get(table, "gone").and_then(|value| value.get_ref().as_array());
        stock.push(SheetDef {
            stock: r.of(table, "plate", Reader::stock)?,
            size: r.list_of(table, "size", Reader::sum)?,
            measured: r.of(table, "measured", Reader::sum),
            name: r.of(table, "name", Reader::name),
            outline: match get(table, "outline") {
                Some(value) => corners(r, value)?,
                None => Vec::new(),
            },
            gone: gone
                .into_iter()
                .flat_map(|rows| rows.iter())
                .map(|row| corners(r, row))
                .collect::<Option<_>>()?,
            grain: r.of(table, "grain", Reader::name),
        });
    }
    let cutter = match get(t, "cutter").and_then(|value| value.get_ref().as_table()) {
        Some(table) => Some(cutter::cutter(r, table)?),
        None => None,
    };
    let bender = match get(t, "bender").and_then(|value| value.get_ref().as_table()) {
        Some(table) => Some(bender::bender(r, table)?),
        None => None,
    };
    let welder = match get(t, "welder").and_then(|value| value.get_ref().as_table()) {
        Some(table) => Some(WelderDef {
            process: r.of(table, "process", Reader::name)?,
            filler: r.of(table, "filler", Reader::name),
        }),
        None => None,
    };
    let kerfs = cutter::kerfs(r, t)?;
    let mut neutral = Vec::new();
    for (_, table) in rows(t, "neutral") {
        neutral.push(NeutralRow {
            metal: r.of(table, "metal", Reader::name)?,
            thickness: r.of(table, "thickness", Reader::sum)?,
            radius: r.of(table, "radius", Reader::sum)?,
            k: number(table, "k")?,
        });
    }
    let mut strips = Vec::new();
    for (_, table) in rows(t, "strips") {
        strips.push(StripDef {
            stock: r.of(table, "plate", Reader::stock)?,
            thickness: r.of(table, "thickness", Reader::sum)?,
            radius: r.of(table, "radius", Reader::sum),
            expects: r.of(table, "expects", Reader::sum),
            bent: r.of(table, "bent", Reader::sum)?,
            loaded: r.of(table, "loaded", Reader::sum),
            flat: r.of(table, "flat", Reader::sum)?,
            legs: r.list_of(table, "legs", Reader::sum)?,
            tool: r.of(table, "tool", Reader::name),
            grain: r.of(table, "grain", Reader::name),
            date: r.of(table, "date", Reader::name),
        });
    }
    let mut instruments = Vec::new();
    for (key, value) in entries(t, "instruments") {
        let table = value.get_ref().as_table()?;
        instruments.push(InstrumentDef {
            name: r.key_name(key),
            sd: r.of(table, "sd", Reader::sum)?,
            per_length: number(table, "per_length"),
        });
    }
    let mut handbook = Vec::new();
    for (_, table) in rows(t, "handbook") {
        let value = get(table, "value")?;
        handbook.push(HandbookOverride {
            table: r.of(table, "table", Reader::name)?,
            row: r.of(table, "row", Reader::name)?,
            column: r.of(table, "column", Reader::name)?,
            value: as_typed(r, value)?,
            source: r.of(table, "source", Reader::name),
        });
    }
    Some(Shop {
        title: r.of(t, "title", Reader::name),
        stock,
        cutter,
        bender,
        welder,
        neutral,
        kerfs,
        strips,
        instruments,
        handbook,
    })
}

/// Corners, each of two lengths.
fn corners(r: &Reader<'_>, value: &Value<'_>) -> Option<Vec<[Sum; 2]>> {
    let rows = value.get_ref().as_array()?;
    rows.iter()
        .map(|row| r.list(row, Reader::sum)?.try_into().ok())
        .collect()
}

/// A number or a word, as its text.
fn as_typed(r: &Reader<'_>, value: &Value<'_>) -> Option<Name> {
    match value.get_ref() {
        DeValue::String(_) => r.name(value),
        _ => Some(Told {
            value: r.number(value)?.to_string(),
            at: r.place(value.span()),
        }),
    }
}
