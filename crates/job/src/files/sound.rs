//! What of a design or a fit is sound: whatever a fault lies in is left out, and the rest is read as it stands. A mock-up
//! grows while its file is still being written, and is looked at all the while.

use std::mem;

use toml::de::{DeArray, DeTable, DeValue};

use super::design::design;
use super::fit::fit;
use super::keys::{DESIGN, FIT, Key, Takes};
use super::model::{Design, FileKind, Fit};
use super::reader::{Reader, Table, Value};
use super::wrong::Wrong;

/// Stands for what a design must say and does not yet. Nothing of it is drawn or told.
const STAND_IN: &str =
    "title = \"\"\npoints = {}\noutline = { through = [] }\nplate = { stock = \"A36 3 mm\" }\n";
/// Reading finds further faults once the first are out; after so many rounds there are none left to find.
const MOST_ROUNDS: usize = 4;

/// The sound part of a design, and everything that is wrong with it; no design where nothing can be read.
pub(crate) fn sound_design(text: &str) -> (Option<Design>, Vec<Wrong>) {
    sound(FileKind::Design, text, DESIGN, STAND_IN, design)
}

/// The sound part of a fit, and everything that is wrong with it; no fit where the care questions are not answered.
pub(crate) fn sound_fit(text: &str) -> (Option<Fit>, Vec<Wrong>) {
    sound(FileKind::Fit, text, FIT, "title = \"\"\n", fit)
}

fn sound<T>(
    kind: FileKind,
    text: &str,
    keys: &'static [Key],
    stand_in: &str,
    read: impl Fn(&mut Reader<'_>, &Table<'_>) -> Option<T>,
) -> (Option<T>, Vec<Wrong>) {
    let (mut reader, table) = Reader::open(kind, text, keys);
    let whole = table.span();
    let mut table = table.into_inner();
    let mut told = mem::take(&mut reader.wrongs);
    if !told.is_empty() {
        // What the parser could make of a broken text was not held against the keys yet.
        reader.look_again(&table, whole, keys);
        for wrong in mem::take(&mut reader.wrongs) {
            if !told.contains(&wrong) {
                told.push(wrong);
            }
        }
    }
    let mut faults: Vec<usize> = told.iter().map(|wrong| wrong.at.span.start).collect();
    for _ in 0..MOST_ROUNDS {
        table = without(table, keys, &faults);
        if let Ok(stand_ins) = DeTable::parse(stand_in) {
            for (key, value) in stand_ins.into_inner() {
                if !table.contains_key(key.get_ref().as_ref()) {
                    table.insert(key, value);
                }
            }
        }
        let made = read(&mut reader, &table);
        let more = mem::take(&mut reader.wrongs);
        if more.is_empty() {
            return (made, told);
        }
        faults = more.iter().map(|wrong| wrong.at.span.start).collect();
        told.extend(more);
    }
    (None, told)
}

/// The table without what the faults lie in.
fn without<'i>(table: Table<'i>, keys: &'static [Key], faults: &[usize]) -> Table<'i> {
    let mut sound = Table::new();
    for (name, value) in table {
        let key = keys.iter().find(|key| key.name == name.get_ref().as_ref());
        let Some(key) = key.filter(|_| !faults.iter().any(|fault| name.span().contains(fault))) else {
            continue;
        };
        if let Some(value) = part(value, &key.takes, faults) {
            sound.insert(name, value);
        }
    }
    sound
}

/// The sound part of a value: of a table of named things and of a list of tables those that hold no fault; of a table with
/// fixed keys what is left, if all that must be there is; anything else whole or not at all.
fn part<'i>(value: Value<'i>, takes: &'static Takes, faults: &[usize]) -> Option<Value<'i>> {
    let span = value.span();
    let whole = |value: DeValue<'i>| Value::new(span.clone(), value);
    match (takes, value.into_inner()) {
        (Takes::Table(keys), DeValue::Table(table)) => {
            let table = without(table, keys, faults);
            let has_all = keys
                .iter()
                .filter(|key| key.must)
                .all(|key| table.contains_key(key.name));
            has_all.then(|| whole(DeValue::Table(table)))
        }
        (Takes::Named { .. }, DeValue::Table(table)) => {
            let mut sound = Table::new();
            for (name, item) in table {
                if !faults.iter().any(|fault| name.span().contains(fault)) && !holds(&item, faults) {
                    sound.insert(name, item);
                }
            }
            Some(whole(DeValue::Table(sound)))
        }
        (Takes::List { .. }, DeValue::Array(rows)) if rows.iter().all(|row| row.get_ref().is_table()) => {
            let mut sound = DeArray::new();
            for row in rows {
                if !holds(&row, faults) {
                    sound.push(row);
                }
            }
            Some(whole(DeValue::Array(sound)))
        }
        (_, value) => {
            let value = whole(value);
            (!holds(&value, faults)).then_some(value)
        }
    }
}

/// Does one of the faults lie in this value?
fn holds(value: &Value<'_>, faults: &[usize]) -> bool {
    let own = value.span();
    faults.iter().any(|fault| own.contains(fault))
        || match value.get_ref() {
            DeValue::Table(table) => table.iter().any(|(name, item)| {
                faults.iter().any(|fault| name.span().contains(fault)) || holds(item, faults)
            }),
            DeValue::Array(rows) => rows.iter().any(|row| holds(row, faults)),
            _ => false,
        }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GOOD: &str = r#"gusset = 1
title = "Angle"
units = "mm"
[plate]
stock = "A36 3 mm"
[points]
A = ["0", "0"]
B = ["100", "0"]
C = ["100", "50"]
[outline]
through = ["A", "B", "C"]
corners = { B = "round 5 mm" }
[holes.h1]
at = ["20", "10"]
dia = "8.5"
[[readings]]
between = ["A", "C"]
read = "111.8"
"#;

    fn names(design: &Design) -> Vec<&str> {
        design
            .points
            .iter()
            .map(|point| point.name.value.as_str())
            .collect()
    }

    #[test]
    fn a_fault_takes_what_it_lies_in_and_nothing_else() {
        let (design, wrongs) = sound_design(GOOD);
        assert!(wrongs.is_empty(), "{wrongs:?}");
        assert_eq!(names(&design.expect("all of it")), ["A", "B", "C", "h1"]);
        for (from, to, left, holes, readings, through) in [
            (
                "B = [\"100\", \"0\"]",
                "B = [\"100 parsecs\", \"0\"]",
                vec!["A", "C", "h1"],
                1,
                1,
                3,
            ),
            (
                "dia = \"8.5\"",
                "diameter = \"8.5\"",
                vec!["A", "B", "C"],
                0,
                1,
                3,
            ),
            ("read = \"111.8\"", "", vec!["A", "B", "C", "h1"], 1, 0, 3),
            (
                "[plate]\nstock = \"A36 3 mm\"\n",
                "",
                vec!["A", "B", "C", "h1"],
                1,
                1,
                3,
            ),
            ("round 5 mm", "rund 5 mm", vec!["A", "B", "C", "h1"], 1, 1, 3),
            (
                "through = [\"A\", \"B\", \"C\"]\n",
                "",
                vec!["A", "B", "C", "h1"],
                1,
                1,
                0,
            ),
        ] {
            let text = GOOD.replace(from, to);
            assert_ne!(text, GOOD, "{from}");
            let (design, wrongs) = sound_design(&text);
            assert!(!wrongs.is_empty(), "{to}");
            let design = design.unwrap_or_else(|| panic!("{to}: {wrongs:?}"));
            assert_eq!(names(&design), left, "{to}");
            assert_eq!(design.holes.len(), holes, "{to}");
            assert_eq!(design.readings.len(), readings, "{to}");
            assert_eq!(design.outline.through.len(), through, "{to}");
        }
    }

    #[test]
    fn a_text_that_is_no_toml_gives_what_can_be_made_of_it() {
        let text = GOOD.replace("C = [\"100\", \"50\"]", "C = [\"100\", ");
        let (_, wrongs) = sound_design(&text);
        assert!(!wrongs.is_empty());
        let (design, wrongs) = sound_design("points = 3");
        assert!(!wrongs.is_empty());
        assert!(design.is_some_and(|design| design.points.is_empty()));
    }
}
