//! design.toml, from its text.

use toml::de::DeValue;

use super::keys::DESIGN;
use super::lookup::{entries, get, rows};
use super::model::*;
use super::reader::{CornerWord, Reader, Table, Value};
use super::wrong::Wrong;

/// Reads a design, or says everything that is wrong with its text.
///
/// # Errors
/// Every fault of form: syntax, unknown keys, wrong kinds of value, quantities that cannot be read, keys missing. Names
/// that are used and not defined come later, when the design is worked out.
pub fn read_design(text: &str) -> Result<Design, Vec<Wrong>> {
    let (mut reader, table) = Reader::open(FileKind::Design, text, DESIGN);
    if reader.wrongs.is_empty()
        && let Some(design) = design(&mut reader, table.get_ref())
        && reader.wrongs.is_empty()
    {
        return Ok(design);
    }
    Err(reader.wrongs)
}

/// A design that is sound, without the places where things are said.
pub(crate) fn bare_design(text: &str) -> Option<Design> {
    let (mut reader, table) = Reader::open(FileKind::Design, text, DESIGN);
    reader.nowhere = true;
    design(&mut reader, table.get_ref()).filter(|_| reader.wrongs.is_empty())
}

pub(super) fn hand(word: Option<&str>) -> Hand {
    if word == Some("left") {
        Hand::Left
    } else {
        Hand::Right
    }
}

pub(super) fn design(r: &mut Reader<'_>, t: &Table<'_>) -> Option<Design> {
    let plate = get(t, "plate")?.get_ref().as_table()?;
    let empty = Table::new();
    let table = |key: &str| {
        get(t, key)
            .and_then(|value| value.get_ref().as_table())
            .unwrap_or(&empty)
    };
    let measures = entries(t, "measures")
        .filter_map(|(key, value)| measure(r, r.key_name(key), value))
        .collect();
    let measures: Vec<Measure> = measures;
    check_measures(r, &measures);
    let mut points = Vec::new();
    for (key, value) in entries(t, "points") {
        points.push(PointDef {
            name: r.key_name(key),
            how: point(r, value)?,
            with: value
                .get_ref()
                .as_table()
                .and_then(|point| r.of(point, "with", Reader::name)),
            exact: value
                .get_ref()
                .as_table()
                .is_some_and(|point| r.flag(point, "exact")),
        });
    }
    let mut holes = Vec::new();
    for (key, value) in entries(t, "holes") {
        let table = value.get_ref().as_table()?;
        let name = r.key_name(key);
        if let Some(at) = get(table, "at").filter(|at| at.get_ref().is_array()) {
            points.push(centre(r, &name, &points, at)?);
        }
        holes.push(hole(r, name, table)?);
    }
    let mut slots = Vec::new();
    for (key, value) in entries(t, "slots") {
        let slot = value.get_ref().as_table()?;
        slots.push(SlotDef {
            name: r.key_name(key),
            from: r.of(slot, "from", Reader::name)?,
            to: r.of(slot, "to", Reader::name)?,
            width: r.of(slot, "width", Reader::sum)?,
        });
    }
    let mut windows = Vec::new();
    for (key, value) in entries(t, "windows") {
        let window = value.get_ref().as_table()?;
        let shape = match get(window, "inside") {
            Some(points) => WindowShape::Points(r.list(points, Reader::name)?),
            None => WindowShape::Panel(r.of(window, "panel", Reader::name)?),
        };
        windows.push(WindowDef {
            name: r.key_name(key),
            shape,
            inset: r.of(window, "inset", Reader::sum),
            corners: r.of(window, "corners", Reader::sum),
        });
    }
    let mut bends = Vec::new();
    for (key, value) in entries(t, "bends") {
        bends.push(bend(r, r.key_name(key), value.get_ref().as_table()?)?);
    }
    let mut seams = Vec::new();
    for (key, value) in entries(t, "seams") {
        let seam = value.get_ref().as_table()?;
        let size = |key: &str| r.of(seam, key, Reader::sum);
        let weld = match (size("throat"), size("leg")) {
            (Some(_), Some(leg)) => {
                let says = format!("the weld of \"{}\" has a throat and a leg", key.get_ref());
                r.wrong(leg.at.span, says).expected = Some("one of them; take the other out".into());
                return None;
            }
            (Some(throat), None) => Some(WeldSize::Throat(throat)),
            (None, leg) => leg.map(WeldSize::Leg),
        };
        seams.push(SeamDef {
            name: r.key_name(key),
            edges: r.list_of(seam, "edges", Reader::line)?,
            gap: r.of(seam, "gap", Reader::sum),
            weld,
            both_sides: r.word(seam, "sides") == Some("both"),
        });
    }
    let mut marks = Vec::new();
    for (key, value) in entries(t, "marks") {
        let mark = value.get_ref().as_table()?;
        let kind = match r.word(mark, "text") {
            Some(text) => MarkDefKind::Text {
                at: r.of(mark, "at", Reader::name)?,
                text: text.to_owned(),
                height: r.of(mark, "height", Reader::sum),
            },
            None => MarkDefKind::Line(r.list_of(mark, "line", Reader::name)?),
        };
        marks.push(MarkDef {
            name: r.key_name(key),
            kind,
        });
    }
    let mut readings = Vec::new();
    for (row, reading) in rows(t, "readings") {
        readings.push(reading_def(r, row, reading)?);
    }
    let mut panels = Vec::new();
    for (key, value) in entries(t, "panels") {
        panels.push((r.key_name(key), r.name(value)?));
    }
    let design = Design {
        title: r.of(t, "title", Reader::name)?,
        about: r.of(t, "about", Reader::name),
        revision: r.of(t, "revision", Reader::name),
        hand: hand(r.word(t, "hand")),
        measures,
        card: r.of(table("card"), "thickness", Reader::sum),
        plate: PlateSpec {
            stock: r.of(plate, "stock", Reader::stock)?,
            lines_on: match r.word(plate, "lines_on") {
                Some("middle") => sheet::Face::Middle,
                Some("far face") => sheet::Face::Far,
                _ => sheet::Face::Marked,
            },
            radius: r.of(plate, "radius", Reader::sum),
        },
        instrument: r.of(table("survey"), "with", Reader::name),
        points,
        readings,
        outline: outline(r, table("outline"))?,
        bends,
        holes,
        slots,
        windows,
        panels,
        still: r.of(plate, "still", Reader::name),
        seams,
        marks,
    };
    check_names(r, &design);
    Some(design)
}

fn measure(r: &Reader<'_>, name: Name, value: &Value<'_>) -> Option<Measure> {
    match value.get_ref() {
        DeValue::Table(table) => {
            let between: Option<[Sum; 2]> = r.list_of(table, "between", Reader::sum);
            Some(Measure {
                name,
                value: r.of(table, "value", Reader::sum),
                fit: r.flag(table, "fit"),
                ask: r.of(table, "ask", Reader::name),
                solve: if r.flag(table, "solve") { between } else { None },
            })
        }
        _ => Some(Measure {
            name,
            value: r.sum(value),
            fit: false,
            ask: None,
            solve: None,
        }),
    }
}

fn check_measures(r: &mut Reader<'_>, measures: &[Measure]) {
    for measure in measures {
        let name = &measure.name.value;
        let alone = units::Expr::parse(name, None);
        if !alone.is_ok_and(|sum| sum.names().contains(name.as_str())) {
            let wrong = r.wrong(
                measure.name.at.span.clone(),
                format!(
                    "a measure cannot be called \"{name}\": in a sum that is a unit, a function or a thread"
                ),
            );
            wrong.expected = Some("a name that is no unit".into());
            wrong.fix = Some(format!("{name}_1"));
        }
        if measure.value.is_none() && !measure.fit && measure.solve.is_none() {
            let wrong = r.wrong(
                measure.name.at.span.clone(),
                format!("the measure \"{name}\" has no value"),
            );
            wrong.expected =
                Some("a value, or fit = true, or solve = true with between = [least, most]".into());
            wrong.fix = Some(format!("{name} = {{ value = \"20 mm\" }}"));
        }
    }
}

fn point(r: &Reader<'_>, value: &Value<'_>) -> Option<PointHow> {
    let pair = |value: &Value<'_>| -> Option<[Sum; 2]> { r.list(value, Reader::sum)?.try_into().ok() };
    let table = match value.get_ref() {
        DeValue::Table(table) => table,
        _ => return Some(PointHow::At(pair(value)?)),
    };
    let name = |key: &str| r.of(table, key, Reader::name);
    let sum = |key: &str| r.of(table, key, Reader::sum);
    let line = |key: &str| r.of(table, key, Reader::line);
    let has = |key: &str| table.contains_key(key);
    Some(if has("at") {
        PointHow::At(pair(get(table, "at")?)?)
    } else if has("toward") {
        PointHow::Offset {
            from: name("from")?,
            toward: name("toward")?,
            along: sum("along")?,
            off: sum("off"),
        }
    } else if has("reach") {
        PointHow::Polar {
            from: name("from")?,
            reach: sum("reach")?,
            angle: sum("angle")?,
            of: line("of"),
        }
    } else if has("swing") {
        let arcs = get(table, "swing")?.get_ref().as_array()?;
        let arc = |index: usize| -> Option<(Name, Sum)> {
            let pair = arcs.get(index)?.get_ref().as_array()?;
            Some((r.name(pair.first()?)?, r.sum(pair.get(1)?)?))
        };
        PointHow::Swing {
            first: arc(0)?,
            second: arc(1)?,
            side: r.side(table, "side")?,
        }
    } else if has("where") {
        PointHow::Crossing(r.list_of(table, "where", Reader::line)?)
    } else if has("foot") {
        PointHow::Foot {
            of: name("foot")?,
            on: line("on")?,
        }
    } else if has("middle") {
        PointHow::Middle(r.list_of(table, "middle", Reader::name)?)
    } else if has("mirror") {
        PointHow::Mirror {
            of: name("mirror")?,
            over: line("over")?,
        }
    } else {
        PointHow::Tangent {
            from: name("tangent")?,
            round: name("round")?,
            radius: sum("radius")?,
            side: r.side(table, "side")?,
        }
    })
}

fn hole(r: &mut Reader<'_>, name: Name, table: &Table<'_>) -> Option<HoleDef> {
    let size = match r.of(table, "dia", Reader::sum) {
        Some(dia) => HoleSize::Dia(dia),
        None => HoleSize::For {
            thread: r.of(table, "for", Reader::thread)?,
            clearance: match r.word(table, "clearance") {
                Some("close") => Clearance::Close,
                Some("loose") => Clearance::Loose,
                Some("tapped") => Clearance::Tapped,
                _ => Clearance::Normal,
            },
        },
    };
    let at = get(table, "at")?;
    Some(HoleDef {
        at: if at.get_ref().is_array() {
            Told {
                value: name.value.clone(),
                at: r.place(at.span()),
            }
        } else {
            r.name(at)?
        },
        name,
        size,
    })
}

/// The point that a hole with its own coordinates makes, under the hole's name.
fn centre(r: &mut Reader<'_>, hole: &Name, points: &[PointDef], at: &Value<'_>) -> Option<PointDef> {
    if points.iter().any(|point| point.name.value == hole.value) {
        let name = &hole.value;
        let wrong = r.wrong(
            at.span(),
            format!("the centre of the hole \"{name}\" would be a second point \"{name}\""),
        );
        wrong.expected = Some("a hole whose name no point has, or the name of a point".into());
        wrong.fix = Some(format!("at = \"{name}\""));
    }
    Some(PointDef {
        name: Told {
            value: hole.value.clone(),
            at: r.place(at.span()),
        },
        how: PointHow::At(r.list(at, Reader::sum)?.try_into().ok()?),
        with: None,
        exact: false,
    })
}

/// Two points, written ["D", "E"] or "D-E".
fn ends(r: &Reader<'_>, value: &Value<'_>) -> Option<[Name; 2]> {
    if value.get_ref().is_array() {
        return r.list(value, Reader::name)?.try_into().ok();
    }
    let line = r.line(value)?;
    Some(line.value.map(|value| Told {
        value,
        at: line.at.clone(),
    }))
}

fn bend(r: &Reader<'_>, name: Name, table: &Table<'_>) -> Option<BendDef> {
    let angle = match r.of(table, "bent", Reader::sum) {
        Some(bent) => BendAngle::Bent(bent),
        None => BendAngle::BetweenLegs(r.of(table, "between_legs", Reader::sum)?),
    };
    let way = get(table, "way")?;
    let up = way.get_ref().as_str()? == "up";
    let relief = match get(table, "relief").map(|value| value.get_ref()) {
        Some(DeValue::Table(slot)) => ReliefDef::Slot {
            width: r.of(slot, "width", Reader::sum)?,
            past: r.of(slot, "past", Reader::sum)?,
        },
        Some(DeValue::String(word)) if word.as_ref() == "none" => ReliefDef::None,
        _ => ReliefDef::Auto,
    };
    Some(BendDef {
        name,
        line: ends(r, get(table, "line")?)?,
        angle,
        way: Told {
            value: if up { sheet::Way::Up } else { sheet::Way::Down },
            at: r.place(r.inside(way)),
        },
        radius: r.of(table, "radius", Reader::sum),
        relief,
    })
}

fn reading_def(r: &Reader<'_>, row: &Value<'_>, table: &Table<'_>) -> Option<ReadingDef> {
    let has = |key: &str| table.contains_key(key);
    let of = if has("between") {
        ReadingOf::Between(r.list_of(table, "between", Reader::name)?)
    } else if has("corner") {
        ReadingOf::Corner(r.list_of(table, "corner", Reader::name)?)
    } else if has("off") {
        ReadingOf::Off {
            point: r.of(table, "off", Reader::name)?,
            line: r.of(table, "line", Reader::line)?,
        }
    } else if has("lines") {
        ReadingOf::Lines(r.list_of(table, "lines", Reader::line)?)
    } else {
        ReadingOf::Edges {
            holes: r.list_of(table, "edges", Reader::name)?,
            far: r.word(table, "across") == Some("far"),
        }
    };
    Some(ReadingDef {
        of,
        read: r.of(table, "read", Reader::sum)?,
        with: r.of(table, "with", Reader::name),
        hook: r.flag(table, "hook"),
        at: r.place(row.span()),
    })
}

fn outline(r: &Reader<'_>, table: &Table<'_>) -> Option<OutlineDef> {
    let mut corners = Vec::new();
    for (key, value) in entries(table, "corners") {
        let (word, sum) = r.corner(value)?;
        let corner = match word {
            CornerWord::Round => CornerDef::Round(sum),
            CornerWord::Chamfer => CornerDef::Chamfer(sum),
            CornerWord::Notch => CornerDef::Notch(sum),
        };
        corners.push((r.key_name(key), corner));
    }
    let mut arcs = Vec::new();
    for (key, value) in entries(table, "arcs") {
        let (a, b) = super::reader::split_line(key.get_ref())?;
        let line = Told {
            value: [a.to_owned(), b.to_owned()],
            at: r.place(key.span()),
        };
        let arc = value.get_ref().as_table()?;
        let arc = match r.of(arc, "via", Reader::name) {
            Some(via) => ArcDef::Via(via),
            None => ArcDef::Radius {
                radius: r.of(arc, "radius", Reader::sum)?,
                bows: r.side(arc, "bows")?,
            },
        };
        arcs.push((line, arc));
    }
    Some(OutlineDef {
        through: r.list(get(table, "through")?, Reader::name)?,
        corners,
        arcs,
    })
}

/// Holes, slots and windows share one set of names, since mounts and findings call them by it.
fn check_names(r: &mut Reader<'_>, design: &Design) {
    let mut seen: Vec<&Name> = Vec::new();
    let all = design
        .holes
        .iter()
        .map(|hole| &hole.name)
        .chain(design.slots.iter().map(|slot| &slot.name))
        .chain(design.windows.iter().map(|window| &window.name));
    let mut twice = Vec::new();
    for name in all {
        if seen.iter().any(|other| other.value == name.value) {
            twice.push(name.clone());
        }
        seen.push(name);
    }
    for name in twice {
        let wrong = r.wrong(
            name.at.span.clone(),
            format!("two openings are called \"{}\"", name.value),
        );
        wrong.expected = Some("holes, slots and windows each with a name of its own".into());
        wrong.fix = Some(format!("{}_2", name.value));
    }
}
