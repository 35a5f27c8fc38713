//! The rooms of the house and the arrows between them, held to what ARCHITECTURE.md draws.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use toml::de::{DeTable, DeValue};

/// Each room, and the rooms it may know. An arrow that is not here is a change of the design: draw it in
/// ARCHITECTURE.md with its reason, then here.
const ARROWS: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("handbook", &[]),
    ("plane", &[]),
    ("survey", &[]),
    ("fit", &[]),
    ("shell", &[]),
    ("sheet", &["plane"]),
    ("cut", &["handbook", "plane", "sheet"]),
    ("brake", &["handbook", "plane", "sheet"]),
    ("prove", &["handbook", "plane", "sheet", "shell"]),
    ("draw", &["plane", "sheet", "units"]),
    (
        "job",
        &[
            "brake", "cut", "draw", "fit", "handbook", "plane", "prove", "sheet", "survey", "units",
        ],
    ),
    ("bench", &["job", "units"]),
    ("gusset", &["bench", "job", "units"]),
    ("published", &[]),
];

/// What a room may know besides in its tests.
const ARROWS_OF_TESTS: &[(&str, &[&str])] = &[("handbook", &["units"])];

/// Rooms that are pure: typed input to typed output, and nothing of the machine they run on.
const PURE: &[&str] = &[
    "units", "handbook", "plane", "survey", "fit", "sheet", "shell", "prove", "cut", "brake", "draw",
];

/// What a pure room must not touch, and why.
const NOT_IN_PURE: &[(&str, &str)] = &[
    ("std::fs", "files"),
    ("std::io", "files"),
    ("std::env", "the machine"),
    ("std::net", "the network"),
    ("std::process", "other programs"),
    ("std::thread", "sums that depend on threads"),
    ("std::time", "the clock"),
    ("println!", "printing"),
    ("print!", "printing"),
];

fn root() -> PathBuf {
    let xtask = Path::new(env!("CARGO_MANIFEST_DIR"));
    xtask.parent().expect("xtask lies in the repository").to_owned()
}

fn manifests() -> BTreeMap<String, (PathBuf, String)> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(root().join("crates")).expect("there are crates") {
        let folder = entry.expect("crates can be listed").path();
        let manifest = folder.join("Cargo.toml");
        if manifest.is_file() {
            let text = fs::read_to_string(&manifest).expect("a manifest is text");
            let table = DeTable::parse(&text).expect("a manifest is TOML");
            let name = word(&table.get_ref()["package"], "name");
            found.insert(name, (folder, text));
        }
    }
    found
}

fn word(table: &toml::Spanned<DeValue<'_>>, key: &str) -> String {
    match table.get_ref() {
        DeValue::Table(table) => table
            .get(key)
            .and_then(|value| value.get_ref().as_str())
            .map(str::to_owned)
            .unwrap_or_default(),
        _ => String::new(),
    }
}

/// The rooms among the names under a heading of a manifest.
fn rooms_under(text: &str, heading: &str, rooms: &BTreeSet<String>) -> BTreeSet<String> {
    let table = DeTable::parse(text).expect("a manifest is TOML");
    match table.get_ref().get(heading).map(|value| value.get_ref()) {
        Some(DeValue::Table(under)) => under
            .keys()
            .map(|key| key.get_ref().to_string())
            .filter(|name| rooms.contains(name))
            .collect(),
        _ => BTreeSet::new(),
    }
}

fn allowed(of: &[(&str, &[&str])], room: &str) -> BTreeSet<String> {
    of.iter()
        .filter(|(name, _)| *name == room)
        .flat_map(|(_, may)| may.iter().map(|name| (*name).to_owned()))
        .collect()
}

#[test]
fn every_room_knows_only_the_rooms_below_it() {
    let manifests = manifests();
    let rooms: BTreeSet<String> = manifests.keys().cloned().collect();
    let drawn: BTreeSet<String> = ARROWS.iter().map(|(room, _)| (*room).to_owned()).collect();
    assert_eq!(rooms, drawn, "the rooms on disk and the rooms drawn differ");
    for (room, (_, text)) in &manifests {
        let may = allowed(ARROWS, room);
        for known in rooms_under(text, "dependencies", &rooms) {
            assert!(may.contains(&known), "{room} must not know {known}");
        }
        let mut may_in_tests = may;
        may_in_tests.insert("published".into());
        may_in_tests.extend(allowed(ARROWS_OF_TESTS, room));
        for known in rooms_under(text, "dev-dependencies", &rooms) {
            assert!(
                may_in_tests.contains(&known),
                "the tests of {room} must not know {known}"
            );
        }
    }
}

#[test]
fn the_arrows_run_one_way() {
    let mut settled: BTreeSet<&str> = BTreeSet::new();
    while settled.len() < ARROWS.len() {
        let before = settled.len();
        for (room, may) in ARROWS {
            if may.iter().all(|known| settled.contains(known)) {
                settled.insert(room);
            }
        }
        assert!(
            settled.len() > before,
            "the arrows run in a circle beyond {settled:?}"
        );
    }
}

#[test]
fn pure_rooms_touch_nothing_of_the_machine() {
    for (room, (folder, _)) in manifests() {
        if !PURE.contains(&room.as_str()) {
            continue;
        }
        for (path, text) in sources(&folder.join("src")) {
            // A file that only the tests build may write what it shows.
            if text.contains("GUSSET_LOOK") {
                continue;
            }
            let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default();
            for (what, why) in NOT_IN_PURE {
                let line = code.lines().position(|line| {
                    let line = line.trim_start();
                    !line.starts_with("//") && line.contains(what)
                });
                if let Some(line) = line {
                    panic!(
                        "{}:{}: {room} must not touch {why} ({what})",
                        path.display(),
                        line + 1
                    );
                }
            }
        }
    }
}

/// Output must be the same bytes each time, and a hash map is walked in another order each time.
#[test]
fn nothing_is_kept_in_an_order_that_changes() {
    for (room, (folder, _)) in manifests() {
        for (path, text) in sources(&folder.join("src")) {
            for unordered in ["HashMap", "HashSet"] {
                assert!(
                    !text.contains(unordered),
                    "{}: {room} uses {unordered}",
                    path.display()
                );
            }
        }
    }
}

#[test]
fn every_room_is_on_the_plan() {
    let plan = fs::read_to_string(root().join("ARCHITECTURE.md")).expect("the plan is there");
    for (room, (folder, _)) in manifests() {
        let folder = folder
            .file_name()
            .expect("a room has a folder")
            .to_string_lossy()
            .into_owned();
        assert!(
            plan.contains(&format!("`{folder}`")),
            "ARCHITECTURE.md does not name {room}"
        );
    }
}

/// A dependency is chosen: ARCHITECTURE.md says in a line why this one.
#[test]
fn every_dependency_from_outside_has_its_reason() {
    let plan = fs::read_to_string(root().join("ARCHITECTURE.md")).expect("the plan is there");
    let text = fs::read_to_string(root().join("Cargo.toml")).expect("the workspace has a manifest");
    let table = DeTable::parse(&text).expect("a manifest is TOML");
    let DeValue::Table(workspace) = table.get_ref()["workspace"].get_ref() else {
        panic!("the workspace is a table")
    };
    let DeValue::Table(dependencies) = workspace["dependencies"].get_ref() else {
        panic!("its dependencies are a table")
    };
    for (name, value) in dependencies {
        let ours = matches!(value.get_ref(), DeValue::Table(table) if table.contains_key("path"));
        let name = name.get_ref();
        assert!(
            ours || plan.contains(&format!("`{name}`")),
            "ARCHITECTURE.md does not say why {name} is used"
        );
    }
}

fn sources(folder: &Path) -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(&folder).expect("a room has its sources") {
            let path = entry.expect("sources can be listed").path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|end| end == "rs") {
                let text = fs::read_to_string(&path).expect("a source is text");
                found.push((path, text));
            }
        }
    }
    found
}
