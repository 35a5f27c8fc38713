//! Jobs in memory, for the tests.

use std::fs;
use std::path::{Path, PathBuf};

use job::Folder;
use job::files::Source;
use job::files::model::FileKind;
use serde_json::{Map, Value, json};
use toml::de::{DeTable, DeValue};

/// The texts of one job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Texts {
    pub design: String,
    pub fit: Option<String>,
    pub shop: Option<String>,
}

/// The folder that holds them, though it is on no disk.
pub fn folder(texts: &Texts) -> Folder {
    let source = |kind, path: &str, text: &String| Source {
        kind,
        path: path.into(),
        text: text.clone(),
    };
    Folder {
        root: PathBuf::from("job"),
        design: source(FileKind::Design, "design.toml", &texts.design),
        fit: texts
            .fit
            .as_ref()
            .map(|text| source(FileKind::Fit, "fits/own.toml", text)),
        shop: texts
            .shop
            .as_ref()
            .map(|text| source(FileKind::Shop, "shop.toml", text)),
        fit_name: texts.fit.as_ref().map(|_| "own".into()),
        fit_names: texts.fit.iter().map(|_| "own".into()).collect(),
        drawings: Vec::new(),
    }
}

/// A file of this crate, by its path from the crate.
pub fn text(path: &Path) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Name and text of every file in a folder of this crate, by name.
pub fn files_in(folder: &Path) -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let entries = fs::read_dir(&root).unwrap_or_else(|error| panic!("{}: {error}", root.display()));
    let mut paths: Vec<PathBuf> = entries
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.is_file())
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let name = path
                .file_stem()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned();
            (name, text(&path))
        })
        .collect()
}

/// The good job that every wrong file is a change of.
pub fn base() -> Texts {
    let read = |name: &str| text(&Path::new("tests/bad/base").join(name));
    Texts {
        design: read("design.toml"),
        fit: Some(read("fit.toml")),
        shop: Some(read("shop.toml")),
    }
}

/// The good job with one case's changes.
pub fn bent_by(base: &Texts, case: &str) -> Texts {
    let mut texts = base.clone();
    let mut file = "design.toml";
    let (mut out, mut put) = (String::new(), String::new());
    let mut whole: Option<String> = None;
    let mut close = |file: &str, out: &mut String, put: &mut String| {
        if out.is_empty() && put.is_empty() {
            return;
        }
        let text = match file {
            "design.toml" => &mut texts.design,
            "fit.toml" => texts.fit.get_or_insert_default(),
            "shop.toml" => texts.shop.get_or_insert_default(),
            other => panic!("there is no file {other}"),
        };
        if out.is_empty() {
            text.push_str(put);
        } else {
            assert_eq!(
                text.matches(out.as_str()).count(),
                1,
                "this stands there once: {out}"
            );
            *text = text.replace(out.as_str(), put);
        }
        out.clear();
        put.clear();
    };
    for line in case.lines() {
        let rest = line.get(1..).unwrap_or("");
        let rest = rest.strip_prefix(' ').unwrap_or(rest);
        match line.chars().next() {
            None | Some('#') => {}
            Some('@') => {
                close(file, &mut out, &mut put);
                file = match rest {
                    "design.toml" => "design.toml",
                    "fit.toml" => "fit.toml",
                    "shop.toml" => "shop.toml",
                    other => panic!("there is no file {other}"),
                };
            }
            Some('-') => {
                if !put.is_empty() {
                    close(file, &mut out, &mut put);
                }
                out.push_str(rest);
                out.push('\n');
            }
            Some('+') => {
                put.push_str(rest);
                put.push('\n');
            }
            Some('=') => {
                let whole = whole.get_or_insert_default();
                whole.push_str(rest);
                whole.push('\n');
            }
            Some(other) => panic!("a line begins with {other}"),
        }
    }
    close(file, &mut out, &mut put);
    if let Some(whole) = whole {
        texts.design = whole;
    }
    texts
}

/// The text as JSON; none when it is no TOML.
pub fn as_json(text: &str) -> Option<Value> {
    let table = DeTable::parse(text).ok()?;
    Some(table_as_json(table.get_ref()))
}

fn table_as_json(table: &DeTable<'_>) -> Value {
    let entries = table.iter();
    Value::Object(
        entries
            .map(|(key, value)| (key.get_ref().to_string(), value_as_json(value.get_ref())))
            .collect(),
    )
}

fn value_as_json(value: &DeValue<'_>) -> Value {
    match value {
        DeValue::String(text) => json!(text),
        DeValue::Boolean(flag) => json!(flag),
        DeValue::Integer(number) => json!(number.as_str().parse::<i64>().unwrap_or_default()),
        DeValue::Float(number) => json!(number.as_str().parse::<f64>().unwrap_or_default()),
        DeValue::Datetime(date) => json!({ "a date": date.to_string() }),
        DeValue::Array(items) => items.iter().map(|item| value_as_json(item.get_ref())).collect(),
        DeValue::Table(table) => table_as_json(table),
    }
}

/// The same as TOML, each key on a line, all below it in braces and brackets.
pub fn as_toml(table: &Map<String, Value>) -> String {
    let lines = table
        .iter()
        .map(|(key, value)| format!("{} = {}\n", json!(key), inline(value)));
    lines.collect()
}

fn inline(value: &Value) -> String {
    match value {
        Value::Object(table) => {
            let entries: Vec<String> = table
                .iter()
                .map(|(key, value)| format!("{} = {}", json!(key), inline(value)))
                .collect();
            format!("{{ {} }}", entries.join(", "))
        }
        Value::Array(items) => {
            let items: Vec<String> = items.iter().map(inline).collect();
            format!("[{}]", items.join(", "))
        }
        // Strings of JSON are strings of TOML.
        plain => plain.to_string(),
    }
}
