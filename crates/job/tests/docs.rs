//! docs/files.md: every example runs, and every key is there.

#[expect(dead_code, reason = "the wrong files have their own tests")]
mod common;

use std::path::Path;

use common::{Texts, as_json, as_toml, folder};
use job::files::keys::{DESIGN, FIT, Key, SHOP, Takes};
use job::{Stopped, run, wrongs_text};
use serde_json::Value;

fn page() -> String {
    common::text(Path::new("../../docs/files.md"))
}

/// The fenced blocks of TOML: what stands after `toml`, the line, the text.
fn blocks(page: &str) -> Vec<(String, usize, String)> {
    let mut found = Vec::new();
    let mut open: Option<(String, usize, String)> = None;
    for (index, line) in page.lines().enumerate() {
        match (&mut open, line.strip_prefix("```")) {
            (None, Some(kind)) => {
                let kind = kind
                    .strip_prefix("toml ")
                    .expect("a block says which file it is of")
                    .to_owned();
                open = Some((kind, index + 1, String::new()));
            }
            (Some(_), Some(_)) => found.extend(open.take()),
            (Some((_, _, text)), None) => {
                text.push_str(line);
                text.push('\n');
            }
            (None, None) => {}
        }
    }
    found
}

/// The fragment put into the whole: tables key by key, rows after rows, all else replaced.
fn merge(whole: &mut Value, fragment: Value) {
    match (whole, fragment) {
        (Value::Object(whole), Value::Object(fragment)) => {
            for (key, value) in fragment {
                match whole.get_mut(&key) {
                    Some(old) => merge(old, value),
                    None => drop(whole.insert(key, value)),
                }
            }
        }
        (Value::Array(whole), Value::Array(rows))
            if rows.iter().all(Value::is_object) && !rows.is_empty() =>
        {
            whole.extend(rows);
        }
        (whole, fragment) => *whole = fragment,
    }
}

fn merged(whole: &str, fragment: &str) -> String {
    let mut all = as_json(whole).expect("the page's whole file is TOML");
    merge(&mut all, as_json(fragment).expect("the page's example is TOML"));
    match all {
        Value::Object(table) => as_toml(&table),
        _ => String::new(),
    }
}

#[test]
fn every_example_of_the_page_runs() {
    let page = page();
    let blocks = blocks(&page);
    let whole = |name: &str| {
        let found = blocks.iter().find(|(kind, ..)| kind == name);
        found
            .map(|(.., text)| text.clone())
            .expect("the page has the whole file")
    };
    let good = Texts {
        design: whole("design.toml"),
        fit: Some(whole("fit.toml")),
        shop: Some(whole("shop.toml")),
    };
    for (kind, line, text) in &blocks {
        let mut texts = good.clone();
        match kind.as_str() {
            "design.toml" | "fit.toml" | "shop.toml" => {}
            "design" => texts.design = merged(&good.design, text),
            "fit" => texts.fit = good.fit.as_ref().map(|fit| merged(fit, text)),
            "shop" => texts.shop = good.shop.as_ref().map(|shop| merged(shop, text)),
            other => panic!("docs/files.md:{line}: there is no file {other}"),
        }
        let folder = folder(&texts);
        match run(&folder) {
            Ok(_) => {}
            Err(Stopped::Wrong(wrongs)) => panic!("docs/files.md:{line}: {}", wrongs_text(&folder, &wrongs)),
            Err(Stopped::Refused(_)) => panic!("docs/files.md:{line}: refused"),
        }
    }
}

/// Every key below these, however deep.
fn keys_below(keys: &'static [Key], found: &mut Vec<&'static Key>) {
    for key in keys {
        found.push(key);
        below(&key.takes, found);
    }
}

fn below(takes: &'static Takes, found: &mut Vec<&'static Key>) {
    match takes {
        Takes::Table(keys) => keys_below(keys, found),
        Takes::Shapes(shapes) => shapes.iter().for_each(|shape| keys_below(shape.keys, found)),
        Takes::List { of, .. } | Takes::Named { of, .. } => below(of, found),
        Takes::Pair(first, second) => [first, second].into_iter().for_each(|takes| below(takes, found)),
        Takes::Either(options) => options.iter().for_each(|takes| below(takes, found)),
        _ => {}
    }
}

#[test]
fn every_key_has_its_row_in_the_page() {
    let page = page();
    let mut keys = Vec::new();
    for file in [DESIGN, FIT, SHOP] {
        keys_below(file, &mut keys);
    }
    assert!(keys.len() > 100, "{}", keys.len());
    for key in keys {
        let row = page
            .lines()
            .any(|line| line.starts_with(&format!("| `{}` |", key.name)) && line.contains(key.says));
        assert!(row, "docs/files.md has no row for \"{}\": {}", key.name, key.says);
    }
}
