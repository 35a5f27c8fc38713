//! fits/NAME.toml, from its text.

use toml::de::DeValue;

use super::design::hand;
use super::keys::FIT;
use super::lookup::{entries, get, rows};
use super::model::*;
use super::reader::{Reader, Table, Value, is_name};
use super::wrong::Wrong;

/// Reads a fit, or says everything that is wrong with its text.
///
/// # Errors
/// As [`super::read_design`].
pub fn read_fit(text: &str) -> Result<Fit, Vec<Wrong>> {
    let (mut reader, table) = Reader::open(FileKind::Fit, text, FIT);
    if reader.wrongs.is_empty()
        && let Some(fit) = fit(&mut reader, table.get_ref())
        && reader.wrongs.is_empty()
    {
        return Ok(fit);
    }
    Err(reader.wrongs)
}

/// A fit that is sound, without the places where things are said.
pub(crate) fn bare_fit(text: &str) -> Option<Fit> {
    let (mut reader, table) = Reader::open(FileKind::Fit, text, FIT);
    reader.nowhere = true;
    fit(&mut reader, table.get_ref()).filter(|_| reader.wrongs.is_empty())
}

/// The care answers of a fit of which anything else, and any of themselves, may be wrong.
pub(crate) fn care_said(text: &str) -> CareSaid {
    let (reader, table) = Reader::open(FileKind::Fit, text, FIT);
    let care = get(table.get_ref(), "care").and_then(|care| care.get_ref().as_table());
    care.map_or_else(CareSaid::default, |care| said(&reader, care))
}

fn said(r: &Reader<'_>, care: &Table<'_>) -> CareSaid {
    let answer = |key: &str| -> Option<Told<bool>> {
        let value = get(care, key)?;
        Some(Told {
            value: value.get_ref().as_bool()?,
            at: r.place(value.span()),
        })
    };
    let control = || -> Option<Told<Control>> {
        let value = get(care, "control")?;
        Some(Told {
            value: match value.get_ref().as_str()? {
                "no" => Control::No,
                "beside another" => Control::Beside,
                "only" => Control::Only,
                _ => return None,
            },
            at: r.place(r.inside(value)),
        })
    };
    CareSaid {
        purpose: r.of(care, "purpose", Reader::name),
        weight: answer("weight"),
        held: answer("held"),
        control: control(),
        feels: answer("feels"),
        release: answer("release"),
        onto: r.of(care, "onto", Reader::name),
    }
}

pub(super) fn fit(r: &mut Reader<'_>, t: &Table<'_>) -> Option<Fit> {
    let care = said(r, get(t, "care")?.get_ref().as_table()?).whole()?;
    let mut measures = Vec::new();
    for (key, value) in entries(t, "measures") {
        measures.push((r.key_name(key), r.sum(value)?));
    }
    let mut places = Vec::new();
    for (key, value) in entries(t, "places") {
        let (at, rough) = match value.get_ref() {
            DeValue::Table(table) => (get(table, "rough")?, true),
            _ => (value, false),
        };
        places.push(PlaceDef {
            name: r.key_name(key),
            at: r.list(at, Reader::sum)?.try_into().ok()?,
            rough,
        });
    }
    let mut place_readings = Vec::new();
    for (row, table) in rows(t, "place_readings") {
        place_readings.push(PlaceReading {
            between: r.list_of(table, "between", Reader::name)?,
            read: r.of(table, "read", Reader::sum)?,
            with: r.of(table, "with", Reader::name),
            at: r.place(row.span()),
        });
    }
    let (mut mounts, mut unused) = (Vec::new(), Vec::new());
    for (key, value) in entries(t, "mounts") {
        let name = r.key_name(key);
        let table = value.get_ref().as_table()?;
        let mount = mount(r, name, table);
        if is_unused(table) {
            unused.extend(mount);
        } else {
            mounts.extend(mount);
        }
    }
    let used = entries(t, "mounts")
        .any(|(_, value)| value.get_ref().as_table().is_some_and(|mount| !is_unused(mount)));
    if let (false, Some(first)) = (used, unused.first()) {
        let says = "every mount is unused, so the part is fastened nowhere";
        let wrong = r.wrong(first.name.at.span.clone(), says);
        wrong.expected = Some("a hole of the part at one mount at least, in place of unused = true".into());
        wrong.fix = Some("hole = \"m1\"".into());
    }
    let support = match get(t, "support") {
        Some(value) => Some(support(r, value.get_ref().as_table()?)?),
        None => None,
    };
    let mut keep_outs = Vec::new();
    for (key, value) in entries(t, "keep_outs") {
        keep_outs.push(keep_out(r, r.key_name(key), value.get_ref().as_table()?)?);
    }
    let loads = super::loads::loads(r, t)?;
    Some(Fit {
        title: r.of(t, "title", Reader::name)?,
        hand: get(t, "hand").map(|value| Told {
            value: hand(value.get_ref().as_str()),
            at: r.place(r.inside(value)),
        }),
        care,
        measures,
        places,
        place_readings,
        mounts,
        unused,
        support,
        keep_outs,
        limits: super::loads::limits(r, t),
        down: r.of(t, "down", Reader::direction),
        loads,
        together: super::loads::together(r, t)?,
        never: super::loads::never(r, t),
        proof: super::loads::proof(r, t)?,
    })
}

/// How a bolt or screw is made and tightened.
fn fastening(r: &Reader<'_>, table: &Table<'_>) -> FasteningDef {
    FasteningDef {
        grade: r.of(table, "grade", Reader::name),
        torque: r.of(table, "torque", Reader::sum),
        washer: r.of(table, "washer", Reader::sum),
    }
}

pub(super) fn place_of(r: &Reader<'_>, value: &Value<'_>) -> Option<Where> {
    match value.get_ref() {
        DeValue::String(text) if is_name(text) => Some(Where::Place(r.name(value)?)),
        _ => Some(Where::At(r.list(value, Reader::sum)?.try_into().ok()?)),
    }
}

/// Does the table say `unused = true`?
fn is_unused(table: &Table<'_>) -> bool {
    get(table, "unused").is_some_and(|value| value.get_ref().as_bool() == Some(true))
}

fn mount(r: &mut Reader<'_>, name: Name, table: &Table<'_>) -> Option<MountDef> {
    let kind_word = r.word(table, "kind")?;
    let unused = is_unused(table);
    if unused && !fits_unused(r, &name, kind_word, table) {
        return None;
    }
    let mut needs: Vec<&str> = match kind_word {
        "through hole" => vec!["hole", "dia"],
        "slot" => vec!["hole", "width", "length", "along"],
        "clamp" => vec!["holes", "along", "apart"],
        _ => vec!["hole"],
    };
    if unused {
        needs.retain(|key| *key != "hole");
    }
    let or_unused = if unused {
        ""
    } else {
        "; or unused = true, where the part is not fastened"
    };
    let mut whole = true;
    for key in ["hole", "holes", "dia", "width", "length", "along", "apart"] {
        let there = table.get_key_value(key);
        if needs.contains(&key) && there.is_none() {
            whole = false;
            let says = format!(
                "the mount \"{}\" is a {kind_word} and has no \"{key}\"",
                name.value
            );
            let or_unused = if key == "hole" { or_unused } else { "" };
            let wrong = r.wrong(name.at.span.clone(), says);
            wrong.expected = Some(format!("a {kind_word} needs: {}{or_unused}", needs.join(", ")));
            wrong.fix = Some(match key {
                "hole" => "hole = \"m1\"".into(),
                "holes" => "holes = [\"c1\", \"c2\"]".into(),
                "along" => "along = \"x\"".into(),
                key => format!("{key} = \"8.5 mm\""),
            });
        }
        if let Some((key, _)) = there
            && !needs.contains(&key.get_ref().as_ref())
        {
            let says = format!("a {kind_word} has no \"{}\"", key.get_ref());
            r.wrong(key.span(), says).expected = Some(if needs.is_empty() {
                format!("an unused {kind_word} needs no key of its own")
            } else {
                format!("a {kind_word} needs: {}", needs.join(", "))
            });
        }
    }
    if kind_word != "tapped hole" {
        for key in ["metal", "depth"] {
            if let Some((key, _)) = table.get_key_value(key) {
                let says = format!(
                    "a {kind_word} has no thread, and so no \"{}\" of one",
                    key.get_ref()
                );
                r.wrong(key.span(), says).expected = Some("metal and depth with a tapped hole only".into());
            }
        }
    }
    if !whole {
        return None;
    }
    let kind = match kind_word {
        "through hole" => MountKind::ThroughHole {
            dia: r.of(table, "dia", Reader::sum)?,
        },
        "slot" => MountKind::Slot {
            width: r.of(table, "width", Reader::sum)?,
            length: r.of(table, "length", Reader::sum)?,
            along: r.of(table, "along", Reader::direction)?,
        },
        "clamp" => MountKind::Clamp {
            apart: r.of(table, "apart", Reader::sum)?,
            along: r.of(table, "along", Reader::direction)?,
        },
        _ => MountKind::TappedHole,
    };
    let holes = match get(table, "holes") {
        _ if unused => Vec::new(),
        Some(holes) => r.list(holes, Reader::name)?,
        None => vec![r.of(table, "hole", Reader::name)?],
    };
    Some(MountDef {
        name,
        holes,
        kind,
        at: place_of(r, get(table, "at")?)?,
        axis: r.of(table, "axis", Reader::direction)?,
        bolt: r.of(table, "for", Reader::thread)?,
        gap: r.of(table, "gap", Reader::sum),
        tilt: r.of(table, "tilt", Reader::sum),
        fastening: fastening(r, table),
        seat: r.of(table, "seat", Reader::sum),
        metal: r.of(table, "metal", Reader::name),
        depth: r.of(table, "depth", Reader::sum),
    })
}

/// Can a mount that the part does not use be of this kind, and say nothing of a hole? Says so where not.
fn fits_unused(r: &mut Reader<'_>, name: &Name, kind_word: &str, table: &Table<'_>) -> bool {
    if kind_word == "clamp" {
        let says = format!(
            "the mount \"{}\" is unused and a clamp, which takes two bolts",
            name.value
        );
        let span = table
            .get_key_value("unused")
            .map_or(name.at.span.clone(), |(key, _)| key.span());
        let wrong = r.wrong(span, says);
        wrong.expected =
            Some("a place that takes one bolt; write each hole of the clamp as a mount of its own".into());
        wrong.fix = Some("kind = \"tapped hole\"".into());
        return false;
    }
    for key in ["hole", "holes"] {
        if let Some((key, _)) = table.get_key_value(key) {
            let says = format!(
                "the mount \"{}\" is unused, and \"{}\" says what comes there",
                name.value,
                key.get_ref()
            );
            let wrong = r.wrong(key.span(), says);
            wrong.expected =
                Some("the hole, where the part is fastened; or unused = true, where it could be".into());
            return false;
        }
    }
    true
}

fn support(r: &Reader<'_>, table: &Table<'_>) -> Option<SupportDef> {
    let stiff = |key: &str| {
        let stiff = get(table, "stiff")?.get_ref().as_table()?;
        r.of(stiff, key, Reader::sum)
    };
    Some(SupportDef {
        holes: r.list(get(table, "holes")?, Reader::name)?,
        at: place_of(r, get(table, "at")?)?,
        pitch: r.of(table, "pitch", Reader::sum),
        toe: r.of(table, "toe", Reader::sum),
        roll: r.of(table, "roll", Reader::sum),
        apart: r.of(table, "apart", Reader::sum),
        bolt: r.of(table, "for", Reader::thread),
        allowed: r.of(table, "allowed", Reader::sum),
        allowed_turn: r.of(table, "allowed_turn", Reader::sum),
        fastening: fastening(r, table),
        stiff_along: stiff("along"),
        stiff_about: stiff("about"),
        mass: r.of(table, "mass", Reader::sum),
    })
}

fn keep_out(r: &Reader<'_>, name: Name, table: &Table<'_>) -> Option<KeepOutDef> {
    let place = |key: &str| get(table, key).and_then(|value| place_of(r, value));
    let shape = if table.contains_key("box") {
        KeepOutShape::Box {
            at: place("at")?,
            size: r.list_of(table, "box", Reader::sum)?,
        }
    } else if table.contains_key("cylinder") {
        KeepOutShape::Cylinder {
            from: place("from")?,
            to: place("to")?,
            radius: r.of(table, "cylinder", Reader::sum)?,
        }
    } else if table.contains_key("capsule") {
        KeepOutShape::Capsule {
            from: place("from")?,
            to: place("to")?,
            radius: r.of(table, "capsule", Reader::sum)?,
        }
    } else {
        KeepOutShape::Beyond {
            at: place("beyond")?,
            toward: r.of(table, "toward", Reader::direction)?,
        }
    };
    Some(KeepOutDef {
        name,
        shape,
        clear: r.of(table, "clear", Reader::sum),
    })
}
