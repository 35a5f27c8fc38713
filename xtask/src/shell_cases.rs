//! The table of published shell cases: worked out by the tests of the room, kept in its `cases.csv`, shown in
//! `docs/shell.md`.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::steps::Steps;

const WHAT: &str = "the published shell cases";
/// The table stands between these in the document.
const FROM: &str = "<!-- cases: written by `cargo xtask shell-cases` -->\n";
const TO: &str = "<!-- end of cases -->\n";
const COMPUTED: usize = 8;

/// Works out every case and writes both files again.
pub fn run(steps: &mut Steps) {
    let root = steps.root().to_owned();
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
    let output = Command::new(cargo)
        .args([
            "test",
            "-p",
            "shell",
            "--test",
            "published",
            "--no-fail-fast",
            "--",
            "--nocapture",
        ])
        .current_dir(&root)
        .env("GUSSET_RECORD", "1")
        .stderr(Stdio::inherit())
        .output();
    let Ok(output) = output else {
        return steps.skip(WHAT, "cargo cannot be started");
    };
    let said = String::from_utf8_lossy(&output.stdout);
    let computed = computed(&said);
    match write(&root, &computed) {
        Ok(()) if output.status.success() => steps.pass(WHAT),
        Ok(()) => steps.fail(WHAT, "a case is not within its tolerance; the table shows it"),
        Err(why) => steps.fail(WHAT, &why),
    }
}

/// The lines `computed ID VALUE`. Tests that run side by side may put one behind another line's end.
fn computed(text: &str) -> BTreeMap<&str, &str> {
    let mut found = BTreeMap::new();
    let mut words = text.split_whitespace();
    while let Some(word) = words.next() {
        if word == "computed"
            && let (Some(id), Some(value)) = (words.next(), words.next())
            && value.parse::<f64>().is_ok()
        {
            found.insert(id, value);
        }
    }
    found
}

fn write(root: &Path, computed: &BTreeMap<&str, &str>) -> Result<(), String> {
    let table_path = root.join("crates/shell/tests/published/cases.csv");
    let mut rows = read(&table_path)?;
    for row in rows.iter_mut().skip(1) {
        if let Some(value) = computed.get(row[0].as_str()) {
            row[COMPUTED] = (*value).to_owned();
        }
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in &rows {
        writer.write_record(row).map_err(|error| error.to_string())?;
    }
    let bytes = writer.into_inner().map_err(|error| error.to_string())?;
    fs::write(&table_path, bytes).map_err(|error| error.to_string())?;
    let page_path = root.join("docs/shell.md");
    let page = fs::read_to_string(&page_path).map_err(|error| error.to_string())?;
    let page = with_table(&page, &table(&rows)).ok_or("docs/shell.md has no place for the table")?;
    fs::write(&page_path, page).map_err(|error| error.to_string())
}

fn read(path: &Path) -> Result<Vec<Vec<String>>, String> {
    csv::ReaderBuilder::new()
        .has_headers(false)
        .from_path(path)
        .map_err(|error| error.to_string())?
        .into_records()
        .map(|record| {
            let record = record.map_err(|error| error.to_string())?;
            Ok(record.iter().map(str::to_owned).collect())
        })
        .collect()
}

/// The page with the table in its place.
fn with_table(page: &str, table: &str) -> Option<String> {
    let (before, rest) = page.split_once(FROM)?;
    let (_, after) = rest.split_once(TO)?;
    Some(format!("{before}{FROM}{table}{TO}{after}"))
}

/// The rows as a table to read.
fn table(rows: &[Vec<String>]) -> String {
    let mut out = String::from(
        "| case | what | mesh | target | computed | off | asked | source | status |\n|---|---|---|---|---|---|---|---|---|\n",
    );
    let mut notes = Vec::new();
    for row in rows.iter().skip(1) {
        let [
            _,
            case,
            quantity,
            mesh,
            target,
            unit,
            within,
            _,
            computed,
            source,
            status,
            note,
        ] = row.as_slice()
        else {
            continue;
        };
        let unit = if unit == "-" {
            String::new()
        } else {
            format!(" {unit}")
        };
        let value: f64 = computed.parse().unwrap_or(f64::NAN);
        let off = target
            .parse::<f64>()
            .map_or(f64::NAN, |target| 100.0 * (value / target - 1.0));
        let asked = if within.is_empty() {
            "not met".into()
        } else {
            format!("{within} %")
        };
        let mark = if note.is_empty() {
            String::new()
        } else {
            if !notes.contains(note) {
                notes.push(note.clone());
            }
            let number = notes
                .iter()
                .position(|known| known == note)
                .map_or(0, |at| at + 1);
            format!(" ({number})")
        };
        out += &format!(
            "| {case} | {quantity}{mark} | {mesh} | {target}{unit} | {} | {off:+.2} % | {asked} | {source} | {status} |\n",
            shown(value)
        );
    }
    if !notes.is_empty() {
        out.push('\n');
    }
    for (number, note) in notes.iter().enumerate() {
        out += &format!("({}) {note}  \n", number + 1);
    }
    out
}

/// Four figures, as a hand would write them.
fn shown(value: f64) -> String {
    if (0.01..1e4).contains(&value.abs()) {
        let after = 3 - value.abs().log10().floor() as i32;
        format!("{value:.*}", after.max(0) as usize)
    } else {
        format!("{value:.3e}")
    }
}

#[cfg(test)]
mod tests {
    use super::{computed, read, shown, table, with_table};
    use std::path::Path;

    #[test]
    fn figures_are_shown_as_a_hand_would() {
        assert_eq!(shown(92.684), "92.68");
        assert_eq!(shown(-108.31), "-108.3");
        assert_eq!(shown(0.30123), "0.3012");
        assert_eq!(shown(0.094_021), "0.09402");
        assert_eq!(shown(4.0621), "4.062");
        assert_eq!(shown(1.8248e-5), "1.825e-5");
    }

    #[test]
    fn what_was_computed_is_found_among_other_lines() {
        let found = computed("test a ... computed roof 3.01e-1\ncomputed hook 4.9\nok\n");
        assert_eq!(found["roof"], "3.01e-1");
        assert_eq!(found["hook"], "4.9");
    }

    /// The document shows what the table of the tests holds, and the tests hold that to what is computed.
    #[test]
    fn the_document_shows_the_table_of_the_cases() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"))
            .parent()
            .expect("the repository");
        let rows = read(&root.join("crates/shell/tests/published/cases.csv")).expect("a table");
        let page = std::fs::read_to_string(root.join("docs/shell.md")).expect("the document");
        let fresh = with_table(&page, &table(&rows)).expect("a place for the table");
        assert!(page == fresh, "run `cargo xtask shell-cases`");
    }
}
