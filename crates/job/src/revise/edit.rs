//! One act on the text of a file: a key set, a row added or put elsewhere, a key or a row taken out. All else stays as it
//! was typed.

use serde_json::Value as Json;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike, Value, value};

use super::list::List;
use super::rename::Renaming;
use super::rows::put_row;
use crate::files::Named;
use crate::files::model::FileKind;
use crate::line_ends;

/// A step of the way to a place in a file: a key, or the number of a row, from 0.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(untagged)]
pub enum Step {
    /// A row.
    Row(usize),
    /// A key.
    Key(String),
}

impl Step {
    /// The number of the row; none of a key.
    pub(crate) fn row(&self) -> Option<usize> {
        match self {
            Step::Row(row) => Some(*row),
            Step::Key(_) => None,
        }
    }
}

/// An act.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(tag = "act", rename_all = "kebab-case")]
pub enum Act {
    /// Writes a value to a place; tables on the way are made.
    Set {
        /// The place.
        at: Vec<Step>,
        /// Text, number, yes or no, a list, or keys with values.
        to: Json,
    },
    /// Adds a row to a list; the list is made.
    Add {
        /// The list.
        at: Vec<Step>,
        /// The row.
        to: Json,
    },
    /// Takes a key or a row out.
    Remove {
        /// The place.
        at: Vec<Step>,
    },
    /// Calls something of the design by another name, wherever the design and the fits of the job name it.
    Rename {
        /// What it is.
        what: Named,
        /// As it is called.
        from: String,
        /// As it is to be called: letters, digits and underscores, a letter first.
        to: String,
    },
    /// Puts a row elsewhere in its list.
    Move {
        /// The row.
        at: Vec<Step>,
        /// Its number then, from 0.
        to: usize,
    },
}

impl Act {
    /// The place that it is about.
    fn at(&self) -> &[Step] {
        match self {
            Act::Set { at, .. } | Act::Add { at, .. } | Act::Remove { at } | Act::Move { at, .. } => at,
            Act::Rename { .. } => &[],
        }
    }
}

/// Why an act cannot be done.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EditError {
    /// The file is no TOML now.
    #[error("the file cannot be edited as it stands: {0}")]
    NotToml(String),
    /// More than anyone does at once.
    #[error("these are {acts} acts at once, and at most {MOST_ACTS} are done together")]
    TooMany {
        /// How many there are.
        acts: usize,
    },
    /// No table of the three files lies so deep.
    #[error("no place of a file lies deeper than {MOST_STEPS} steps")]
    TooDeep,
    /// No place is named.
    #[error("an act names no place")]
    NoPlace,
    /// There is nothing at the place.
    #[error("there is no {0}")]
    Nothing(String),
    /// Something else is at a place on the way.
    #[error("{0} is not what rows or keys can be put into")]
    NotAHolder(String),
    /// Nothing of the kind has the name.
    #[error("there is no {} called {name}", .what.word())]
    NoSuch {
        /// The kind.
        what: Named,
        /// The name.
        name: String,
    },
    /// It is no name.
    #[error("\"{0}\" is no name; letters, digits and underscores are, a letter first, at most 64")]
    NotAName(String),
    /// Something else has the name.
    #[error("something is called {0} already; take another name")]
    Taken(String),
    /// The name is written in a way that is not understood.
    #[error("{0} is written in a way that cannot be changed here; change it in the file")]
    NotRenamed(String),
    /// Only what the design names is called by another name here.
    #[error("what is called by another name is of the design")]
    NotOfTheDesign,
    /// Such a value has no form in the file.
    #[error("{0} cannot be written into the file")]
    NoForm(String),
}

/// What a person does in one press is a handful of these.
const MOST_ACTS: usize = 200;
/// The deepest place of the three files is less than half of this.
const MOST_STEPS: usize = 16;

/// The text after the acts, in order.
///
/// # Errors
/// [`EditError`]; none of the acts is done then.
pub fn edited(text: &str, acts: &[Act]) -> Result<String, EditError> {
    if acts.len() > MOST_ACTS {
        return Err(EditError::TooMany { acts: acts.len() });
    }
    if acts.iter().any(|act| act.at().len() > MOST_STEPS) {
        return Err(EditError::TooDeep);
    }
    let mut document = parsed(&text.replace("\r\n", "\n"))?;
    for act in acts {
        match act {
            Act::Set { at, to } => set(&mut document, at, to)?,
            Act::Add { at, to } => add(&mut document, at, to)?,
            Act::Remove { at } => remove(&mut document, at)?,
            Act::Rename { what, from, to } => {
                let text = document.to_string();
                let renaming = Renaming::of(&text, *what, from, to)?;
                document = parsed(&renaming.done(FileKind::Design, &text)?)?;
            }
            Act::Move { at, to } => put_elsewhere(&mut document, at, *to)?,
        }
    }
    Ok(line_ends::like(text, &document.to_string()))
}

fn parsed(text: &str) -> Result<DocumentMut, EditError> {
    text.parse()
        .map_err(|error: toml_edit::TomlError| EditError::NotToml(error.to_string()))
}

/// A file as it was typed, in its order: `{"table": [[key, value], ..]}`, lists, text, numbers, yes or no. Null when it is no
/// TOML now.
pub fn typed_values(text: &str) -> Json {
    match text.parse::<DocumentMut>() {
        Ok(document) => typed_item(document.as_item()),
        Err(_) => Json::Null,
    }
}

fn typed_item(item: &Item) -> Json {
    match item {
        Item::None => Json::Null,
        Item::Value(value) => typed_value(value),
        Item::Table(table) => typed_table(table),
        Item::ArrayOfTables(rows) => rows.iter().map(|row| typed_table(row)).collect(),
    }
}

fn typed_table(table: &dyn TableLike) -> Json {
    let rows: Vec<Json> = table
        .iter()
        .map(|(key, item)| serde_json::json!([key, typed_item(item)]))
        .collect();
    serde_json::json!({ "table": rows })
}

fn typed_value(value: &Value) -> Json {
    match value {
        Value::String(text) => text.value().as_str().into(),
        Value::Integer(whole) => (*whole.value()).into(),
        Value::Float(number) => (*number.value()).into(),
        Value::Boolean(yes) => (*yes.value()).into(),
        Value::Datetime(when) => when.value().to_string().into(),
        Value::Array(list) => list.iter().map(typed_value).collect(),
        Value::InlineTable(table) => typed_table(table),
    }
}

/// "readings 2 read", as it is told.
fn told(at: &[Step]) -> String {
    let words = at.iter().map(|step| match step {
        Step::Row(row) => (row + 1).to_string(),
        Step::Key(key) => key.clone(),
    });
    words.collect::<Vec<_>>().join(" ")
}

fn set(document: &mut DocumentMut, at: &[Step], to: &Json) -> Result<(), EditError> {
    let (last, way) = at.split_last().ok_or(EditError::NoPlace)?;
    let holder = walk(document.as_item_mut(), way, true)?;
    if let Step::Key(key) = last {
        let table = holder
            .as_table_like_mut()
            .ok_or_else(|| EditError::NotAHolder(told(way)))?;
        if table.get(key).is_none_or(Item::is_none) {
            table.insert(key, value(as_value(to)?));
            return Ok(());
        }
    }
    match next(holder, last) {
        Some(Item::Value(old)) => put_over(old, to),
        Some(Item::Table(old)) => fill(old, to),
        Some(_) => Err(EditError::NotAHolder(told(at))),
        None => Err(EditError::Nothing(told(at))),
    }
}

fn add(document: &mut DocumentMut, at: &[Step], to: &Json) -> Result<(), EditError> {
    let (last, way) = at.split_last().ok_or(EditError::NoPlace)?;
    let Step::Key(key) = last else {
        return Err(EditError::NotAHolder(told(at)));
    };
    let holder = walk(document.as_item_mut(), way, true)?;
    let table = holder
        .as_table_like_mut()
        .ok_or_else(|| EditError::NotAHolder(told(way)))?;
    match table.get_mut(key) {
        Some(Item::ArrayOfTables(rows)) => {
            rows.push(as_table(to)?);
            Ok(())
        }
        Some(Item::Value(Value::Array(list))) => {
            let mut rows = List::of(list);
            rows.add(as_value(to)?);
            rows.put_into(list);
            Ok(())
        }
        Some(Item::None) | None => {
            let list = if to.is_object() {
                let mut rows = ArrayOfTables::new();
                rows.push(as_table(to)?);
                Item::ArrayOfTables(rows)
            } else {
                let mut list = Array::new();
                list.push(as_value(to)?);
                value(list)
            };
            table.insert(key, list);
            Ok(())
        }
        Some(_) => Err(EditError::NotAHolder(told(at))),
    }
}

fn remove(document: &mut DocumentMut, at: &[Step]) -> Result<(), EditError> {
    let (last, way) = at.split_last().ok_or(EditError::NoPlace)?;
    let nothing = || EditError::Nothing(told(at));
    let holder = walk(document.as_item_mut(), way, false)?;
    match last {
        Step::Key(key) => {
            let table = holder.as_table_like_mut().ok_or_else(nothing)?;
            table.remove(key).map(|_| ()).ok_or_else(nothing)
        }
        Step::Row(row) => match holder {
            Item::ArrayOfTables(rows) if *row < rows.len() => {
                rows.remove(*row);
                Ok(())
            }
            Item::Value(Value::Array(list)) if *row < list.len() => {
                let mut rows = List::of(list);
                rows.remove(*row);
                rows.put_into(list);
                Ok(())
            }
            _ => Err(nothing()),
        },
    }
}

fn put_elsewhere(document: &mut DocumentMut, at: &[Step], to: usize) -> Result<(), EditError> {
    let (last, way) = at.split_last().ok_or(EditError::NoPlace)?;
    let Step::Row(from) = *last else {
        return Err(EditError::NotAHolder(told(way)));
    };
    let within = |count: usize| match [from, to].into_iter().find(|row| *row >= count) {
        Some(row) => Err(EditError::Nothing(told(&[way, &[Step::Row(row)]].concat()))),
        None => Ok(()),
    };
    match walk(document.as_item_mut(), way, false)? {
        Item::ArrayOfTables(rows) => {
            within(rows.len())?;
            put_row(rows, from, to);
        }
        Item::Value(Value::Array(list)) => {
            within(list.len())?;
            let mut rows = List::of(list);
            rows.put_elsewhere(from, to);
            rows.put_into(list);
        }
        _ => return Err(EditError::NotAHolder(told(way))),
    }
    Ok(())
}

/// Goes to a place; tables that are not there are made when `make`.
fn walk<'a>(mut item: &'a mut Item, way: &[Step], make: bool) -> Result<&'a mut Item, EditError> {
    for (index, step) in way.iter().enumerate() {
        let here = &way[..=index];
        if let (Step::Key(key), true) = (step, make) {
            let table = item
                .as_table_like_mut()
                .ok_or_else(|| EditError::NotAHolder(told(&way[..index])))?;
            if table.get(key).is_none_or(Item::is_none) {
                let mut made = Table::new();
                // Only its own tables get a header.
                made.set_implicit(true);
                table.insert(key, Item::Table(made));
            }
        }
        item = next(item, step).ok_or_else(|| EditError::Nothing(told(here)))?;
    }
    Ok(item)
}

/// What is at a step, where there is something.
fn next<'a>(item: &'a mut Item, step: &Step) -> Option<&'a mut Item> {
    match step {
        Step::Row(row) => item.get_mut(*row),
        Step::Key(key) => {
            let found = item.as_table_like_mut()?.get_mut(key)?;
            (!found.is_none()).then_some(found)
        }
    }
}

/// A value in the place of another, with the notes and blanks round it kept.
fn put_over(old: &mut Value, to: &Json) -> Result<(), EditError> {
    if let (Value::InlineTable(keys), Json::Object(_)) = (&mut *old, to) {
        return fill(keys, to);
    }
    let mut new = as_value(to)?;
    *new.decor_mut() = old.decor().clone();
    *old = new;
    Ok(())
}

/// Makes a table have just these keys: those that stay keep their place and notes.
fn fill(table: &mut dyn TableLike, to: &Json) -> Result<(), EditError> {
    let Json::Object(wanted) = to else {
        return Err(EditError::NoForm(to.to_string()));
    };
    let gone: Vec<String> = table
        .iter()
        .map(|(key, _)| key.to_owned())
        .filter(|key| !wanted.contains_key(key))
        .collect();
    for key in gone {
        table.remove(&key);
    }
    for (key, to) in wanted {
        match table.get_mut(key) {
            Some(Item::Value(old)) => put_over(old, to)?,
            Some(Item::Table(old)) => fill(old, to)?,
            Some(Item::ArrayOfTables(_)) => return Err(EditError::NotAHolder(key.clone())),
            Some(Item::None) | None => {
                table.insert(key, value(as_value(to)?));
            }
        }
    }
    Ok(())
}

fn as_value(json: &Json) -> Result<Value, EditError> {
    let no_form = || EditError::NoForm(json.to_string());
    Ok(match json {
        Json::Null => return Err(no_form()),
        Json::Bool(yes) => (*yes).into(),
        Json::Number(number) => match number.as_i64() {
            Some(whole) => whole.into(),
            None => number.as_f64().ok_or_else(no_form)?.into(),
        },
        Json::String(text) => text.as_str().into(),
        Json::Array(list) => {
            let values: Result<Array, EditError> = list.iter().map(as_value).collect();
            values?.into()
        }
        Json::Object(keys) => {
            let mut table = InlineTable::new();
            for (key, to) in keys {
                table.insert(key, as_value(to)?);
            }
            table.into()
        }
    })
}

fn as_table(json: &Json) -> Result<Table, EditError> {
    let Json::Object(keys) = json else {
        return Err(EditError::NoForm(json.to_string()));
    };
    let mut table = Table::new();
    for (key, to) in keys {
        table.insert(key, value(as_value(to)?));
    }
    Ok(table)
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    const FILE: &str = "# the hoe\ntitle = \"Hoe\"   # short\n\n[points]   # by tape\nA = [\"0\", \"0\"]\n# along the handle\nB = [\"4-1/2 in\", \"0\"] # twice\n\n[[readings]]\nbetween = [\"A\", \"B\"]\nread = \"114 mm\" # by the long tape\n\n[bends.b1]\nline = [\"A\", \"B\"]\nbent = \"90 deg\"\n";

    fn at(way: &[&str]) -> Vec<Step> {
        let step = |word: &&str| {
            word.parse()
                .map_or_else(|_| Step::Key((*word).to_owned()), Step::Row)
        };
        way.iter().map(step).collect()
    }

    fn set(way: &[&str], to: Json) -> Act {
        Act::Set { at: at(way), to }
    }

    #[test]
    fn only_the_value_changes_and_every_note_stays() {
        let new = edited(FILE, &[set(&["points", "B", "0"], json!("5 in"))]).expect("an act");
        assert_eq!(new, FILE.replace("4-1/2 in", "5 in"));
        let new = edited(FILE, &[set(&["readings", "0", "read"], json!("115 mm"))]).expect("an act");
        assert_eq!(new, FILE.replace("114 mm", "115 mm"));
        let new = edited(FILE, &[set(&["bends", "b1", "bent"], json!("85 deg"))]).expect("an act");
        assert_eq!(new, FILE.replace("90 deg", "85 deg"));
    }

    #[test]
    fn a_new_point_stands_after_the_others_and_a_new_bend_has_its_own_header() {
        let acts = [
            set(
                &["points", "C"],
                json!({ "from": "A", "toward": "B", "along": "2 in" }),
            ),
            set(&["bends", "b2", "bent"], json!("45 deg")),
            Act::Add {
                at: at(&["readings"]),
                to: json!({ "between": ["B", "C"], "read": "2 in" }),
            },
        ];
        let new = edited(FILE, &acts).expect("acts");
        let line = "C = { along = \"2 in\", from = \"A\", toward = \"B\" }";
        let points = new.find(line).unwrap_or_else(|| panic!("{new}"));
        assert!(points > new.find("# twice").expect("B's note"), "{new}");
        assert!(points < new.find("[[readings]]").expect("the readings"), "{new}");
        assert!(new.contains("[bends.b2]\nbent = \"45 deg\""), "{new}");
        assert_eq!(new.matches("[[readings]]").count(), 2, "{new}");
        let read: toml_edit::DocumentMut = new.parse().expect("TOML");
        assert_eq!(read["readings"][1]["read"].as_str(), Some("2 in"));
    }

    #[test]
    fn more_acts_or_steps_than_anyone_needs_are_refused() {
        let one = set(&["title"], json!("Else"));
        let error = edited(FILE, &vec![one; MOST_ACTS + 1]).expect_err("too many");
        assert_eq!(error, EditError::TooMany { acts: MOST_ACTS + 1 });
        let deep = vec!["points"; 100_000];
        assert_eq!(
            edited(FILE, &[set(&deep, json!("1 in"))]),
            Err(EditError::TooDeep)
        );
    }

    #[test]
    fn a_file_is_told_as_it_was_typed_in_its_order() {
        let told = typed_values(FILE);
        assert_eq!(told["table"][0], json!(["title", "Hoe"]));
        assert_eq!(told["table"][1][1]["table"][1], json!(["B", ["4-1/2 in", "0"]]));
        assert_eq!(told["table"][2][1][0]["table"][1], json!(["read", "114 mm"]));
        assert_eq!(typed_values("[["), Json::Null);
    }

    #[test]
    fn what_is_taken_out_takes_its_own_note_along_and_no_other() {
        let acts = [
            Act::Remove {
                at: at(&["points", "B"]),
            },
            Act::Remove {
                at: at(&["readings", "0"]),
            },
        ];
        let new = edited(FILE, &acts).expect("acts");
        for gone in ["twice", "[[readings]]", "long tape"] {
            assert!(!new.contains(gone), "{new}");
        }
        for kept in ["# the hoe", "# short", "# by tape", "[bends.b1]"] {
            assert!(new.contains(kept), "{new}");
        }
    }

    #[test]
    fn rows_of_a_list_come_and_go_with_their_own_notes() {
        let file = "outline = [ # round\n  \"A\", # corner\n  \"B\", # nose\n]\n";
        let add = Act::Add {
            at: at(&["outline"]),
            to: json!("C"),
        };
        let new = edited(file, &[add]).expect("an act");
        assert_eq!(new, file.replace("# nose\n", "# nose\n  \"C\",\n"));
        let out = Act::Remove {
            at: at(&["outline", "1"]),
        };
        let new = edited(file, &[out]).expect("an act");
        assert_eq!(new, file.replace("  \"B\", # nose\n", ""));
    }

    #[test]
    fn a_row_is_put_elsewhere_in_a_list_of_either_kind() {
        let file = "outline = [\"A\", \"B\", \"C\"]\n\n[[readings]]\nread = \"1 in\" # once\n\n[[readings]]\nread = \"2 in\"\n";
        let put = |way: &[&str], to| Act::Move { at: at(way), to };
        let new = edited(file, &[put(&["outline", "0"], 2), put(&["readings", "1"], 0)]).expect("acts");
        let rows = "[[readings]]\nread = \"2 in\"\n\n[[readings]]\nread = \"1 in\" # once\n";
        assert_eq!(new, format!("outline = [\"B\", \"C\", \"A\"]\n\n{rows}"));
        for (act, says) in [
            (put(&["readings", "0"], 2), "there is no readings 3"),
            (put(&["readings", "5"], 0), "there is no readings 6"),
            (
                put(&["outline", "0", "1"], 0),
                "outline 1 is not what rows or keys can be put into",
            ),
            (put(&["places", "0"], 1), "there is no places"),
        ] {
            assert_eq!(edited(file, &[act]).expect_err(says).to_string(), says);
        }
    }

    #[test]
    fn a_file_with_returns_keeps_them_in_every_line() {
        let file = FILE.replace('\n', "\r\n");
        let acts = [
            set(&["title"], json!("Else")),
            set(&["bends", "b2", "bent"], json!("45 deg")),
        ];
        let new = edited(&file, &acts).expect("acts");
        assert_eq!(new.matches("\r\n").count(), new.matches('\n').count(), "{new:?}");
        assert_eq!(new.replace("\r\n", "\n"), edited(FILE, &acts).expect("acts"));
    }

    #[test]
    fn a_table_that_is_set_again_keeps_the_keys_that_stay_where_they_are() {
        let file = "[bends.b1]\nline = [\"A\", \"B\"]   # on the card\nbent = \"90 deg\"\nway = \"up\"\n";
        let to = json!({ "line": ["A", "B"], "bent": "90 deg", "radius": "6 mm" });
        let new = edited(file, &[set(&["bends", "b1"], to)]).expect("an act");
        assert!(new.contains("# on the card"), "{new}");
        assert!(!new.contains("way"), "{new}");
        assert!(new.contains("radius = \"6 mm\""), "{new}");
    }

    #[test]
    fn acts_on_nothing_are_told_by_the_place_and_change_nothing() {
        for (act, says) in [
            (
                Act::Remove {
                    at: at(&["points", "Z"]),
                },
                "there is no points Z",
            ),
            (
                set(&["readings", "7", "read"], json!("1 mm")),
                "there is no readings 8",
            ),
            (
                set(&["title", "x"], json!("y")),
                "title is not what rows or keys can be put into",
            ),
            (
                set(&["title"], Json::Null),
                "null cannot be written into the file",
            ),
            (set(&[], json!(1)), "an act names no place"),
            (
                Act::Add {
                    at: at(&["title"]),
                    to: json!({}),
                },
                "title is not what rows or keys can be put into",
            ),
        ] {
            let error = edited(FILE, &[set(&["title"], json!("Else")), act]).expect_err(says);
            assert_eq!(error.to_string(), says);
        }
        assert!(matches!(edited("[[", &[]), Err(EditError::NotToml(_))));
    }
}
