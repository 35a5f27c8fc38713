//! The tables of keys as JSON, for a page that asks for each value by what it takes.

use handbook::Handbook;
use serde_json::{Value, json};

use super::{DESIGN, FIT, Key, Kind, NameOf, Of, SHOP, Shape, Takes};
use crate::files::loads::SUPPORT;

/// The keys of the three files, each with what it takes.
pub fn keys_json() -> Value {
    json!({ "design": keys(DESIGN), "fit": keys(FIT), "shop": keys(SHOP) })
}

fn keys(keys: &[Key]) -> Vec<Value> {
    let told = keys.iter().map(|key| {
        json!({
            "name": key.name,
            "must": key.must,
            "says": key.says,
            "example": key.example,
            "takes": takes(&key.takes),
        })
    });
    told.collect()
}

fn takes(what: &Takes) -> Value {
    match what {
        Takes::Text => json!({ "is": "text" }),
        Takes::Flag => json!({ "is": "flag" }),
        Takes::Number => json!({ "is": "number" }),
        Takes::Whole => json!({ "is": "whole" }),
        Takes::Sum(kind) => json!({ "is": "sum", "of": kind_word(*kind) }),
        Takes::Rate(rate) => json!({ "is": "rate", "words": rate.words() }),
        Takes::Name(of) => name(*of),
        Takes::Line => json!({ "is": "line" }),
        Takes::Thread => json!({ "is": "thread" }),
        Takes::Stock => json!({ "is": "stock" }),
        Takes::Word(words) => json!({ "is": "word", "one_of": words }),
        Takes::Direction => json!({ "is": "direction" }),
        Takes::Corner => json!({ "is": "corner" }),
        Takes::List { of, least, most } => {
            json!({ "is": "list", "of": takes(of), "least": least, "most": most })
        }
        Takes::Pair(first, second) => {
            json!({ "is": "pair", "first": takes(first), "second": takes(second) })
        }
        Takes::Table(all) => json!({ "is": "table", "keys": keys(all) }),
        Takes::Shapes(shapes) => {
            let shape = |shape: &Shape| json!({ "lead": shape.lead, "keys": keys(shape.keys) });
            json!({ "is": "shapes", "shapes": shapes.iter().map(shape).collect::<Vec<_>>() })
        }
        Takes::Named { of, key } => match key {
            NameOf::Thing => json!({ "is": "named", "of": takes(of), "key": "thing" }),
            NameOf::Known(known) => {
                json!({ "is": "named", "of": takes(of), "key": "thing", "known": name(*known) })
            }
            NameOf::Line => json!({ "is": "named", "of": takes(of), "key": "line" }),
        },
        Takes::Either(any) => json!({ "is": "either", "any": any.iter().map(takes).collect::<Vec<_>>() }),
    }
}

fn kind_word(kind: Kind) -> &'static str {
    match kind {
        Kind::Length => "length",
        Kind::Angle => "angle",
        Kind::Mass => "mass",
        Kind::Force => "force",
        Kind::Moment => "moment",
        Kind::Stiffness => "stiffness",
        Kind::TurnStiffness => "turn-stiffness",
        Kind::PerLength => "per-length",
        Kind::Any => "any",
    }
}

/// What is named, the tables where such things are said, and what else is known by a name.
fn name(of: Of) -> Value {
    let table = |file: &str, table: &str| json!({ "file": file, "table": table });
    let (word, under) = match of {
        Of::Point => ("point", vec![table("design", "points")]),
        Of::Hole => ("hole", vec![table("design", "holes")]),
        Of::HoleOrSlot => (
            "hole-or-slot",
            vec![table("design", "holes"), table("design", "slots")],
        ),
        Of::Panel => ("panel", vec![table("design", "panels")]),
        Of::Instrument => ("instrument", vec![table("shop", "instruments")]),
        Of::Measure => ("measure", vec![table("design", "measures")]),
        Of::Place => ("place", vec![table("fit", "places")]),
        Of::PlaceOrSupport => ("place-or-support", vec![table("fit", "places")]),
        Of::Load => ("load", vec![table("fit", "loads")]),
    };
    let also: Vec<String> = match of {
        // A name in a file has no spaces.
        Of::Instrument => Handbook::builtin()
            .instrument_names()
            .map(|name| name.replace([' ', '-'], "_"))
            .collect(),
        Of::PlaceOrSupport => vec![SUPPORT.into()],
        _ => Vec::new(),
    };
    json!({ "is": "name", "of": word, "under": under, "also": also })
}

#[cfg(test)]
mod tests {
    use std::slice;

    use super::*;
    use crate::files::model::FileKind;
    use crate::files::reader::Reader;

    fn below(takes: &'static Takes, found: &mut Vec<&'static Key>) {
        let mut all = |keys: &'static [Key]| {
            for key in keys {
                found.push(key);
                below(&key.takes, found);
            }
        };
        match takes {
            Takes::Table(keys) => all(keys),
            Takes::Shapes(shapes) => shapes.iter().for_each(|shape| all(shape.keys)),
            Takes::List { of, .. } | Takes::Named { of, .. } => below(of, found),
            Takes::Pair(first, second) => [first, second].iter().for_each(|takes| below(takes, found)),
            Takes::Either(any) => any.iter().for_each(|takes| below(takes, found)),
            _ => {}
        }
    }

    #[test]
    fn every_example_is_what_its_key_takes() {
        let mut examples = 0;
        for (kind, keys) in [
            (FileKind::Design, DESIGN),
            (FileKind::Fit, FIT),
            (FileKind::Shop, SHOP),
        ] {
            let mut all = Vec::new();
            for key in keys {
                all.push(key);
                below(&key.takes, &mut all);
            }
            for key in all.into_iter().filter(|key| !key.example.is_empty()) {
                // Of things with names the example is what stands for one.
                let text = match key.takes {
                    Takes::Named { .. } if !key.example.starts_with('{') => {
                        format!("{} = {{ one = {} }}\n", key.name, key.example)
                    }
                    _ => format!("{} = {}\n", key.name, key.example),
                };
                let (reader, _) = Reader::open(kind, &text, slice::from_ref(key));
                assert!(reader.wrongs.is_empty(), "{text}: {:?}", reader.wrongs);
                examples += 1;
            }
        }
        assert!(examples > 300, "{examples}");
    }

    /// Every key that is told, however deep.
    fn told(value: &Value) -> usize {
        match value {
            Value::Object(map) => {
                let own = usize::from(map.contains_key("takes"));
                own + map.values().map(told).sum::<usize>()
            }
            Value::Array(items) => items.iter().map(told).sum(),
            _ => 0,
        }
    }

    #[test]
    fn every_key_is_told_and_every_name_says_where_such_names_are() {
        let all = keys_json();
        for (file, keys) in [("design", DESIGN), ("fit", FIT), ("shop", SHOP)] {
            let mut own = Vec::new();
            for key in keys {
                own.push(key);
                below(&key.takes, &mut own);
            }
            assert_eq!(told(&all[file]), own.len(), "{file}");
        }
        let mut tables = Vec::new();
        fn tables_of(value: &Value, tables: &mut Vec<(String, String)>) {
            match value {
                Value::Object(map) => {
                    if let (Some(file), Some(table)) = (map.get("file"), map.get("table")) {
                        let word = |value: &Value| value.as_str().unwrap_or_default().to_owned();
                        tables.push((word(file), word(table)));
                    }
                    map.values().for_each(|value| tables_of(value, tables));
                }
                Value::Array(items) => items.iter().for_each(|value| tables_of(value, tables)),
                _ => {}
            }
        }
        tables_of(&all, &mut tables);
        assert!(tables.len() > 30, "{}", tables.len());
        for (file, table) in tables {
            let is_there = all[&file].as_array().is_some_and(|keys| {
                keys.iter()
                    .any(|key| key["name"] == *table && key["takes"]["is"] == "named")
            });
            assert!(is_there, "{file} has no table {table} of named things");
        }
    }
}
