//! `[cutter]` and `[[kerfs]]` of shop.toml, from its text.

use super::lookup::{get, rows};
use super::model::*;
use super::reader::{Reader, Table, Value};

pub(super) fn cutter(r: &Reader<'_>, t: &Table<'_>) -> Option<CutterDef> {
    Some(CutterDef {
        process: r.of(t, "process", Reader::name)?,
        kerf: r.of(t, "kerf", Reader::sum),
        least_hole: r.of(t, "least_hole", Reader::told_number),
        square_side: r.of(t, "square_side", Reader::name),
        outside: below(t, "outside").and_then(|table| leads(r, table)),
        inside: below(t, "inside").and_then(|table| leads(r, table)),
        puddle: r.of(t, "puddle", Reader::sum),
        small_hole: r.of(t, "small_hole", Reader::told_number),
        hole_feed: r.of(t, "hole_feed", Reader::told_number),
        leave_to_drill: r.of(t, "leave_to_drill", Reader::sum),
        size_class: r.of(t, "size_class", Reader::told_number),
        marks: match below(t, "marks") {
            Some(table) => Some(MarksDef {
                feed: r.of(table, "feed", Reader::speed)?,
                tick: r.of(table, "tick", Reader::sum)?,
                words: r.list_of(table, "words", Reader::name),
            }),
            None => None,
        },
        travel: below(t, "travel").map(|table| TravelDef {
            height: r.of(table, "height", Reader::sum),
            speed: r.of(table, "speed", Reader::speed),
            acceleration: r.of(table, "acceleration", Reader::acceleration),
        }),
        table: match below(t, "table") {
            Some(below) => Some(table(r, below)?),
            None => None,
        },
        zero: match get(t, "zero") {
            Some(value) if value.get_ref().is_str() => Some(ZeroDef::Corner(r.name(value)?)),
            Some(_) => Some(ZeroDef::At(r.list_of(t, "zero", Reader::sum)?)),
            None => None,
        },
        chart: rows(t, "chart")
            .map(|(_, row)| chart(r, row))
            .collect::<Option<_>>()?,
        program: below(t, "program").map(|table| program(r, table)),
        rates: below(t, "rates").map(|table| rates(r, table)),
    })
}

fn below<'t, 'i>(table: &'t Table<'i>, key: &str) -> Option<&'t Table<'i>> {
    get(table, key)?.get_ref().as_table()
}

fn leads(r: &Reader<'_>, t: &Table<'_>) -> Option<LeadsDef> {
    Some(LeadsDef {
        kinds: match get(t, "kinds") {
            Some(value) => r.list(value, Reader::name)?,
            None => Vec::new(),
        },
        angle: r.of(t, "angle", Reader::sum),
        length: r.of(t, "in", Reader::sum),
        in_thicknesses: r.of(t, "in_thicknesses", Reader::told_number),
        least: r.of(t, "least", Reader::sum),
        over_run: r.of(t, "over_run", Reader::sum),
        out: r.of(t, "out", Reader::sum),
    })
}

fn table(r: &Reader<'_>, t: &Table<'_>) -> Option<TableDef> {
    let mut clamps = Vec::new();
    for (_, row) in rows(t, "clamps") {
        clamps.push(ClampDef {
            name: r.of(row, "name", Reader::name),
            from: r.list_of(row, "from", Reader::sum)?,
            to: r.list_of(row, "to", Reader::sum)?,
        });
    }
    Some(TableDef {
        size: r.list_of(t, "size", Reader::sum),
        slats: r.of(t, "slats", Reader::sum),
        slats_run: r.of(t, "slats_run", Reader::name),
        first_slat: r.of(t, "first_slat", Reader::sum),
        clamps,
        sheet_at: r.list_of(t, "sheet_at", Reader::sum),
    })
}

fn chart(r: &Reader<'_>, t: &Table<'_>) -> Option<ChartDef> {
    Some(ChartDef {
        metal: r.of(t, "metal", Reader::name)?,
        thickness: r.of(t, "thickness", Reader::sum)?,
        feed: r.of(t, "feed", Reader::speed)?,
        delay: r.of(t, "delay", Reader::time),
        pierce_height: r.of(t, "pierce_height", Reader::sum),
        cut_height: r.of(t, "cut_height", Reader::sum),
        source: r.of(t, "source", Reader::name),
    })
}

fn program(r: &Reader<'_>, t: &Table<'_>) -> ProgramDef {
    ProgramDef {
        comments: r.of(t, "comments", Reader::name),
        units: r.of(t, "units", Reader::name),
        decimals: r.of(t, "decimals", Reader::told_number),
        centres: r.of(t, "centres", Reader::name),
        quarter_arcs: r.flag(t, "quarter_arcs"),
        torch: r.list_of(t, "torch", Reader::name),
        waits: r.of(t, "waits", Reader::name),
        heights: r.of(t, "heights", Reader::name),
        height_control: r.list_of(t, "height_control", Reader::name),
        line_numbers: r.of(t, "line_numbers", Reader::told_number),
        kerf_by: r.of(t, "kerf_by", Reader::name),
        kerf_row: r.of(t, "kerf_row", Reader::told_number),
        end: r.of(t, "end", Reader::name),
    }
}

fn rates(r: &Reader<'_>, t: &Table<'_>) -> RatesDef {
    RatesDef {
        money: r.of(t, "money", Reader::name),
        shop_hour: r.of(t, "shop_hour", range),
        burning_minute: r.of(t, "burning_minute", range),
        set: r.of(t, "set", range),
        set_pierces: r.of(t, "set_pierces", range),
        set_minutes: r.of(t, "set_minutes", range),
        plate_kg: r.of(t, "plate_kg", range),
    }
}

/// A number is a range without width.
fn range(r: &Reader<'_>, value: &Value<'_>) -> Option<FromTo> {
    let at = r.place(value.span());
    let value = match value.get_ref().as_array() {
        Some(_) => r.list(value, Reader::number)?.try_into().ok()?,
        None => [r.number(value)?; 2],
    };
    Some(Told { value, at })
}

pub(super) fn kerfs(r: &Reader<'_>, t: &Table<'_>) -> Option<Vec<KerfDef>> {
    let mut kerfs = Vec::new();
    for (_, row) in rows(t, "kerfs") {
        kerfs.push(KerfDef {
            stock: r.of(row, "plate", Reader::stock)?,
            pitch: r.of(row, "pitch", Reader::sum)?,
            teeth: r.list_of(row, "teeth", Reader::sum)?,
            date: r.of(row, "date", Reader::name),
        });
    }
    Some(kerfs)
}
