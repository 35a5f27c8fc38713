//! `[bender]` of shop.toml, from its text.

use toml::de::DeValue;

use super::lookup::{get, rows};
use super::model::*;
use super::reader::{CornerWord, Reader, Table, Value};

pub(super) fn bender(r: &Reader<'_>, t: &Table<'_>) -> Option<BenderDef> {
    fn all<T>(
        r: &Reader<'_>,
        t: &Table<'_>,
        key: &str,
        one: fn(&Reader<'_>, &Table<'_>) -> Option<T>,
    ) -> Option<Vec<T>> {
        rows(t, key).map(|(_, row)| one(r, row)).collect()
    }
    Some(BenderDef {
        process: r.of(t, "process", Reader::name)?,
        tools: r.of(t, "tools", Reader::name),
        die: r.of(t, "die", Reader::sum),
        gauge_to: r.of(t, "gauge_to", Reader::name),
        brakes: all(r, t, "brakes", brake)?,
        punches: all(r, t, "punches", punch)?,
        dies: all(r, t, "dies", die)?,
        folders: all(r, t, "folders", folder)?,
        vices: all(r, t, "vices", vice)?,
        away: match get(t, "away") {
            Some(value) => Some(away(r, value)?),
            None => None,
        },
    })
}

fn brake(r: &Reader<'_>, t: &Table<'_>) -> Option<BrakeDef> {
    Some(BrakeDef {
        name: r.of(t, "name", Reader::name)?,
        like: r.of(t, "like", Reader::name),
        length: r.of(t, "length", Reader::sum),
        between_uprights: r.of(t, "between_uprights", Reader::sum),
        throat: r.of(t, "throat", Reader::sum),
        force: r.of(t, "force", Reader::sum),
        daylight: r.of(t, "daylight", Reader::sum),
        stroke: r.of(t, "stroke", Reader::sum),
        ram: section(r, t, "ram"),
        bed: section(r, t, "bed"),
        gauge: r.list_of(t, "gauge", Reader::sum),
    })
}

fn punch(r: &Reader<'_>, t: &Table<'_>) -> Option<PunchDef> {
    Some(PunchDef {
        name: r.of(t, "name", Reader::name)?,
        angle: r.of(t, "angle", Reader::sum)?,
        nose: r.of(t, "nose", Reader::sum)?,
        height: r.of(t, "height", Reader::sum),
        profile: section(r, t, "profile"),
        straight: match below(t, "straight") {
            Some(t) => Some(StraightDef {
                blade: r.of(t, "blade", Reader::sum)?,
                up_to: r.of(t, "up_to", Reader::sum)?,
                seat: r.of(t, "seat", Reader::sum)?,
            }),
            None => None,
        },
        relieved: match below(t, "relieved") {
            Some(t) => Some(RelievedDef {
                set_back: r.of(t, "set_back", Reader::sum)?,
                neck: r.of(t, "neck", Reader::sum)?,
                hollow: r.list_of(t, "hollow", Reader::sum)?,
                seat: r.of(t, "seat", Reader::sum)?,
                seat_high: r.of(t, "seat_high", Reader::sum)?,
            }),
            None => None,
        },
        turned: r.flag(t, "turned"),
        length: r.of(t, "length", Reader::sum),
        lengths: pieces(r, t, "lengths")?,
        stands: r.of(t, "stands", Reader::sum)?,
    })
}

fn die(r: &Reader<'_>, t: &Table<'_>) -> Option<DieDef> {
    Some(DieDef {
        name: r.of(t, "name", Reader::name)?,
        opening: r.of(t, "opening", Reader::sum)?,
        angle: r.of(t, "angle", Reader::sum)?,
        shoulder: r.of(t, "shoulder", Reader::sum)?,
        height: r.of(t, "height", Reader::sum),
        width: r.of(t, "width", Reader::sum),
        profile: section(r, t, "profile"),
        length: r.of(t, "length", Reader::sum),
        lengths: pieces(r, t, "lengths")?,
        stands: r.of(t, "stands", Reader::sum)?,
    })
}

fn folder(r: &Reader<'_>, t: &Table<'_>) -> Option<FolderDef> {
    Some(FolderDef {
        name: r.of(t, "name", Reader::name)?,
        like: r.of(t, "like", Reader::name),
        length: r.of(t, "length", Reader::sum),
        fingers: pieces(r, t, "fingers")?,
        finger_depth: r.of(t, "finger_depth", Reader::sum),
        finger: section(r, t, "finger"),
        beam: section(r, t, "beam"),
        bed: section(r, t, "bed"),
        apron: section(r, t, "apron"),
        lift: r.of(t, "lift", Reader::sum),
        nose: r.of(t, "nose", Reader::sum),
        swing: r.of(t, "swing", Reader::sum),
        capacity: capacity(r, t),
        least_clamped: r.of(t, "least_clamped", Reader::sum),
        least_swung: r.of(t, "least_swung", Reader::sum),
    })
}

fn vice(r: &Reader<'_>, t: &Table<'_>) -> Option<ViceDef> {
    Some(ViceDef {
        name: r.of(t, "name", Reader::name)?,
        like: r.of(t, "like", Reader::name),
        jaws: pieces(r, t, "jaws")?,
        deep: r.of(t, "deep", Reader::sum),
        body: r.of(t, "body", Reader::sum),
        body_out: r.of(t, "body_out", Reader::sum),
        body_under: r.of(t, "body_under", Reader::sum),
        screw: r.of(t, "screw", Reader::sum),
        inner: section(r, t, "inner"),
        outer: section(r, t, "outer"),
        nose: r.of(t, "nose", Reader::sum),
        swing: r.of(t, "swing", Reader::sum),
        capacity: capacity(r, t),
        drawn: r.of(t, "drawn", Reader::sum),
        least_clamped: r.of(t, "least_clamped", Reader::sum),
        least_drawn: r.of(t, "least_drawn", Reader::sum),
    })
}

fn away(r: &Reader<'_>, value: &Value<'_>) -> Option<AwayDef> {
    let t = value.get_ref().as_table()?;
    Some(AwayDef {
        at: r.place(super::words::head(value.span())),
        like: r.of(t, "like", Reader::name),
        length: r.of(t, "length", Reader::sum),
        capacity: capacity(r, t),
        least_leg: r.of(t, "least_leg", Reader::told_number),
        largest_bend: r.of(t, "largest_bend", Reader::sum),
    })
}

fn capacity(r: &Reader<'_>, t: &Table<'_>) -> Option<CapacityDef> {
    let value = get(t, "capacity")?;
    let t = value.get_ref().as_table()?;
    Some(CapacityDef {
        at: r.place(super::words::head(value.span())),
        steel: r.of(t, "steel", Reader::sum),
        stainless: r.of(t, "stainless", Reader::sum),
        aluminium: r.of(t, "aluminium", Reader::sum),
    })
}

fn below<'t, 'i>(table: &'t Table<'i>, key: &str) -> Option<&'t Table<'i>> {
    get(table, key)?.get_ref().as_table()
}

fn pieces(r: &Reader<'_>, t: &Table<'_>, key: &str) -> Option<Vec<Sum>> {
    match get(t, key) {
        Some(value) => r.list(value, Reader::sum),
        None => Some(Vec::new()),
    }
}

fn section(r: &Reader<'_>, t: &Table<'_>, key: &str) -> Option<SectionDef> {
    let value = get(t, key)?;
    let shape = match value.get_ref() {
        DeValue::String(_) => SectionShape::Drawing {
            file: r.name(value)?,
            unit: None,
            piece: None,
            zero: None,
        },
        DeValue::Array(corners) => SectionShape::Corners(
            corners
                .iter()
                .map(|value| corner(r, value))
                .collect::<Option<_>>()?,
        ),
        DeValue::Table(t) if t.contains_key("dxf") => SectionShape::Drawing {
            file: r.of(t, "dxf", Reader::name)?,
            unit: r.of(t, "units", Reader::name),
            piece: r.of(t, "piece", Reader::told_number),
            zero: r.list_of(t, "zero", Reader::sum),
        },
        DeValue::Table(t) if t.contains_key("foot") => SectionShape::Leaning {
            foot: r.of(t, "foot", Reader::sum)?,
            lean: r.of(t, "lean", Reader::sum)?,
        },
        DeValue::Table(t) => SectionShape::Block {
            from: r.list_of(t, "from", Reader::sum)?,
            to: r.list_of(t, "to", Reader::sum)?,
        },
        _ => return None,
    };
    let whole = value.span();
    let at = match value.get_ref() {
        DeValue::String(_) => r.place(r.inside(value)),
        _ => r.place(super::words::head(whole)),
    };
    Some(SectionDef { at, shape })
}

fn corner(r: &Reader<'_>, value: &Value<'_>) -> Option<SectionCorner> {
    match value.get_ref() {
        DeValue::Table(t) => {
            let (word, sum) = r.of(t, "corner", Reader::corner)?;
            Some(SectionCorner {
                at: r.list_of(t, "at", Reader::sum)?,
                corner: Some(match word {
                    CornerWord::Round => CornerDef::Round(sum),
                    CornerWord::Chamfer => CornerDef::Chamfer(sum),
                    CornerWord::Notch => CornerDef::Notch(sum),
                }),
            })
        }
        _ => Some(SectionCorner {
            at: r.list(value, Reader::sum)?.try_into().ok()?,
            corner: None,
        }),
    }
}
