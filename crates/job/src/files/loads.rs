//! The loads of a fit, from its text. What a load must say hangs on its kind, so that is checked here and not by the
//! table of keys.

use toml::de::DeValue;

use super::fit::place_of;
use super::lookup::{entries, get, rows};
use super::model::*;
use super::reader::{Reader, Table, Value};
use super::wrong::Wrong;

/// The place that is always known: the support.
pub(super) const SUPPORT: &str = "support";
/// The part's own weight goes by this name among the loads.
const WEIGHT: &str = "weight";

impl Reader<'_> {
    fn told_flag(&self, value: &Value<'_>) -> Option<Told<bool>> {
        Some(Told {
            value: value.get_ref().as_bool()?,
            at: self.place(value.span()),
        })
    }

    /// A fault of a load or a proof step.
    fn ask(&mut self, at: &Place, says: String, expected: &str, fix: &str) {
        let wrong = Wrong::new(at.clone(), says).expected(expected);
        self.wrongs
            .push(if fix.is_empty() { wrong } else { wrong.fix(fix) });
    }
}

/// `[loads]`
pub(super) fn loads(r: &mut Reader<'_>, t: &Table<'_>) -> Option<Vec<LoadDef>> {
    for (key, _) in entries(t, "places").filter(|(key, _)| key.get_ref() == SUPPORT) {
        let at = r.place(key.span());
        r.ask(
            &at,
            "a place cannot be called \"support\": the support is called so".into(),
            "another name",
            "support_1",
        );
    }
    let mut loads: Vec<LoadDef> = Vec::new();
    for (key, value) in entries(t, "loads") {
        let name = r.key_name(key);
        if name.value == WEIGHT {
            r.ask(
                &name.at,
                "the part's own weight is called \"weight\", and always acts".into(),
                "another name",
                "weight_1",
            );
        }
        if let Some(load) = load(r, name, value.get_ref().as_table()?) {
            loads.push(load);
        }
    }
    Some(loads)
}

fn load(r: &mut Reader<'_>, name: Name, table: &Table<'_>) -> Option<LoadDef> {
    let kind_value = get(table, "kind")?;
    let kind = Told {
        value: LoadKind::of_word(kind_value.get_ref().as_str()?)?,
        at: r.place(r.inside(kind_value)),
    };
    let how = if kind.value == LoadKind::Drop {
        fall(r, &name, table)
    } else {
        steady(r, &name, kind.value, table)
    }?;
    let at = match (get(table, "holes"), at(r, table, "at")) {
        (None, at) => at.unwrap_or(LoadAt::Support),
        (Some(holes), None) => LoadAt::Holes(r.list(holes, Reader::name)?),
        (Some(holes), Some(_)) => {
            let at = r.place(holes.span());
            let says = format!("the load \"{}\" acts at two places at once", name.value);
            r.ask(&at, says, "at or holes; take the other out", "");
            return None;
        }
    };
    Some(LoadDef {
        name,
        kind,
        how,
        at,
        factor: r.of(table, "factor", Reader::told_number),
        sudden: r.of(table, "sudden", Reader::told_flag),
        both_ways: r.of(table, "both_ways", Reader::told_flag),
        per_day: r.of(table, "per_day", Reader::told_number),
    })
}

/// The support or a place on the equipment, when the key is there.
fn at(r: &Reader<'_>, table: &Table<'_>, key: &str) -> Option<LoadAt> {
    let value = get(table, key)?;
    match value.get_ref() {
        DeValue::String(text) if text.as_ref() == SUPPORT => Some(LoadAt::Support),
        _ => place_of(r, value).map(|place| LoadAt::Place(Box::new(place))),
    }
}

fn fall(r: &mut Reader<'_>, name: &Name, table: &Table<'_>) -> Option<LoadHow> {
    let mut whole = true;
    for (key, means, fix) in [
        ("mass", "what falls", "mass = \"2 kg\""),
        ("height", "how far it falls", "height = \"0.5 m\""),
    ] {
        if !table.contains_key(key) {
            whole = false;
            let says = format!("the drop \"{}\" has no \"{key}\": {means}", name.value);
            r.ask(&name.at, says, "a drop needs: mass, height", fix);
        }
    }
    for key in ["force", "moment", "about", "factor", "sudden", "both_ways"] {
        if let Some((key, _)) = table.get_key_value(key) {
            whole = false;
            let at = r.place(key.span());
            let says = format!("a drop has no \"{}\"", key.get_ref());
            r.ask(
                &at,
                says,
                "mass and height; how hard the blow is follows from them",
                "",
            );
        }
    }
    if !whole {
        return None;
    }
    Some(LoadHow::Fall {
        mass: r.of(table, "mass", Reader::sum)?,
        height: r.of(table, "height", Reader::sum)?,
        toward: r.of(table, "toward", Reader::direction),
    })
}

fn steady(r: &mut Reader<'_>, name: &Name, kind: LoadKind, table: &Table<'_>) -> Option<LoadHow> {
    if let Some((key, _)) = table.get_key_value("height") {
        let at = r.place(key.span());
        let says = format!("a {} has no \"height\"", kind.word());
        r.ask(&at, says, "height with a drop only", "");
        return None;
    }
    let of = format!("the load \"{}\"", name.value);
    let turns = table.contains_key("moment");
    let force = match force(r, &name.at, &of, table, turns) {
        Ok(force) => force,
        Err(()) => return None,
    };
    let moment = match (
        r.of(table, "moment", Reader::sum),
        r.of(table, "about", Reader::direction),
    ) {
        (Some(moment), Some(about)) => Some((moment, about)),
        (Some(moment), None) => {
            let says = format!("{of} has a moment, and not what it turns about");
            r.ask(&moment.at, says, "the axis it turns about", "about = \"z\"");
            return None;
        }
        (None, Some(about)) => {
            let says = format!("{of} turns about an axis, and has no moment");
            r.ask(&about.at, says, "how hard it is turned", "moment = \"5 N m\"");
            return None;
        }
        (None, None) => None,
    };
    if force.is_none() && moment.is_none() {
        let says = format!("{of} does not say how hard");
        let fix = if kind == LoadKind::Twist {
            "moment = \"5 N m\", about = \"z\""
        } else {
            "force = \"100 N\", toward = \"-x\""
        };
        r.ask(&name.at, says, "a force, a mass or a moment", fix);
        return None;
    }
    Some(LoadHow::Steady { force, moment })
}

/// The force of a load or of a proof step; none when it says neither force nor mass. `Err` when a wrong was told.
fn force(
    r: &mut Reader<'_>,
    whole: &Place,
    of: &str,
    table: &Table<'_>,
    turns: bool,
) -> Result<Option<ForceDef>, ()> {
    let toward = r.of(table, "toward", Reader::direction);
    match (
        r.of(table, "force", Reader::sum),
        r.of(table, "mass", Reader::sum),
        toward,
    ) {
        (Some(_), Some(mass), _) => {
            let says = format!("{of} has a force and a mass");
            r.ask(&mass.at, says, "one of them; take the other out", "");
            Err(())
        }
        (Some(size), None, Some(toward)) => Ok(Some(ForceDef::Force { size, toward })),
        (Some(size), None, None) => {
            let says = format!("{of} does not say which way it pushes the part");
            r.ask(
                &size.at,
                says,
                "a direction such as \"-x\" or [1, 0, -1]",
                "toward = \"-x\"",
            );
            Err(())
        }
        (None, Some(mass), toward) => Ok(Some(ForceDef::Weight { mass, toward })),
        (None, None, Some(toward)) if turns => {
            let says = format!("{of} has a direction, and no force");
            r.ask(
                &toward.at,
                says,
                "a force, or for a moment alone: about",
                "force = \"100 N\"",
            );
            Err(())
        }
        (None, None, Some(_)) => {
            let says = format!("{of} does not say how hard");
            r.ask(whole, says, "a force, a mass or a moment", "force = \"100 N\"");
            Err(())
        }
        (None, None, None) => Ok(None),
    }
}

/// `[together]`
pub(super) fn together(r: &mut Reader<'_>, t: &Table<'_>) -> Option<Vec<TogetherDef>> {
    let mut together = Vec::new();
    for (key, value) in entries(t, "together") {
        let name = r.key_name(key);
        if entries(t, "loads").any(|(load, _)| load.get_ref() == key.get_ref()) {
            let says = format!("\"{}\" is the name of a load already", name.value);
            let fix = format!("{}_together", name.value);
            r.ask(&name.at, says, "a name that no load has", &fix);
        }
        let loads = r.list(value, Reader::name)?;
        for (index, load) in loads.iter().enumerate() {
            if load.value == WEIGHT {
                let says = "the part's own weight always acts".to_owned();
                r.ask(&load.at, says, "the names of loads; take this one out", "");
            } else if loads[..index].iter().any(|other| other.value == load.value) {
                let says = format!("\"{}\" is said twice", load.value);
                r.ask(&load.at, says, "each load once; for more of it, a factor", "");
            }
        }
        together.push(TogetherDef { name, loads });
    }
    Some(together)
}

/// `[never]`
pub(super) fn never(r: &mut Reader<'_>, t: &Table<'_>) -> NeverDef {
    let Some(table) = get(t, "never").and_then(|value| value.get_ref().as_table()) else {
        return NeverDef::default();
    };
    let mut reason = |word: &str| {
        let reason = r.of(table, word, Reader::name)?;
        let against = entries(t, "loads").find(|(_, load)| {
            let kind = load.get_ref().as_table().and_then(|load| r.word(load, "kind"));
            kind == Some(word)
        });
        if reason.value.trim().is_empty() {
            let says = format!("no reason is given why a {word} cannot happen");
            r.ask(&reason.at, says, "why it cannot, in your words", "");
        } else if let Some((load, _)) = against {
            let says = format!(
                "a {word} cannot happen, and the load \"{}\" is one",
                load.get_ref()
            );
            r.ask(&reason.at, says, "one of them; take the other out", "");
        }
        Some(reason)
    };
    NeverDef {
        drop: reason("drop"),
        jam: reason("jam"),
    }
}

/// `[limits]`
pub(super) fn limits(r: &Reader<'_>, t: &Table<'_>) -> LimitsDef {
    let Some(table) = get(t, "limits").and_then(|value| value.get_ref().as_table()) else {
        return LimitsDef::default();
    };
    let number = |key: &str| r.of(table, key, Reader::told_number);
    LimitsDef {
        mass: r.of(table, "mass", Reader::sum),
        moves: r.of(table, "moves", Reader::sum),
        turns: r.of(table, "turns", Reader::sum),
        times_yield: number("times_yield"),
        times_ultimate: number("times_ultimate"),
        times_sudden: number("times_sudden"),
        years: number("years"),
        least_hz: number("least_hz"),
    }
}

/// `[[proof]]`
pub(super) fn proof(r: &mut Reader<'_>, t: &Table<'_>) -> Option<Vec<ProofDef>> {
    let mut proof = Vec::new();
    for (row, table) in rows(t, "proof") {
        let said = r.place(row.span());
        let head = Place {
            file: said.file,
            span: said.span.start..said.span.end.min(said.span.start + 1),
        };
        let pull = match force(r, &head, "this step", table, false) {
            Ok(Some(pull)) => pull,
            Ok(None) => {
                let says = "this step does not say how hard it was pulled".to_owned();
                r.ask(
                    &head,
                    says,
                    "a mass that was hung on it, or a force",
                    "mass = \"5 kg\"",
                );
                continue;
            }
            Err(()) => continue,
        };
        proof.push(ProofDef {
            pull,
            at: at(r, table, "at").unwrap_or(LoadAt::Support),
            read: r.of(table, "read", Reader::sum)?,
            along: r.of(table, "along", Reader::direction),
            read_at: at(r, table, "where"),
            with: r.of(table, "with", Reader::name),
            said,
        });
    }
    Some(proof)
}
