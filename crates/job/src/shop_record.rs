//! What the shop learns, written into its shop.toml: only what is new is put in, and every word and note that stands there
//! stays as it is.

use std::path::Path;

use cut::kerf_test::{NoKerf, Reading, kerf_from};
use plane::{Outline, Point};
use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, Value, value};
use units::{Expr, LengthUnit};

use crate::folder::Folder;
use crate::line_ends;
use crate::run::Outcome;
use crate::write::{WriteError, write_whole};

/// Why nothing was put into shop.toml.
#[derive(Debug, thiserror::Error)]
pub enum RecordError {
    /// There is none.
    #[error("this job has no shop.toml to write into")]
    NoShop,
    /// There is no plan, so nothing can have been cut by it.
    #[error("there is no plan of the cut, so there is nothing to take off a sheet; `gusset cut` says why")]
    NoPlan,
    /// The readings are none.
    #[error("\"{0}\" is not three lengths; write the three teeth as \"10.42 mm, 10.40 mm, 10.45 mm\"")]
    NotThree(String),
    /// One of them is no length.
    #[error("{0}")]
    NotALength(String),
    /// They give no kerf.
    #[error("{0}")]
    NoKerf(#[from] NoKerf),
    /// The file is not as it was when it was read.
    #[error("shop.toml cannot be edited: {0}. Nothing was changed")]
    NotToml(#[from] toml_edit::TomlError),
    /// The sheet is not where it was.
    #[error("sheet {0} is no longer in shop.toml. Nothing was changed")]
    NoSheet(usize),
    /// It cannot be written.
    #[error(transparent)]
    Write(#[from] WriteError),
}

/// What is cut away is recorded so much larger than it is, mm: what a polygon takes off an arc.
const FLAT_MM: f64 = 0.5;
/// Places are recorded to this, mm.
const PLACE_MM: f64 = 0.1;

fn document(folder: &Folder) -> Result<(DocumentMut, String), RecordError> {
    let source = folder.shop.as_ref().ok_or(RecordError::NoShop)?;
    Ok((source.text.replace("\r\n", "\n").parse()?, source.path.clone()))
}

/// Writes shop.toml with the line ends that it had.
fn write(folder: &Folder, document: &DocumentMut, path: &str) -> Result<(), RecordError> {
    let before = folder.shop.as_ref().map_or("", |shop| &shop.text);
    let text = line_ends::like(before, &document.to_string());
    Ok(write_whole(Path::new(path), text.as_bytes())?)
}

/// Takes the parts of this plan off the sheet that they were cut from, each with what its leads took round it, and says so
/// in a sentence.
///
/// # Errors
/// [`RecordError`]; then shop.toml is as it was.
pub fn record_cut(folder: &Folder, outcome: &Outcome) -> Result<String, RecordError> {
    let sheet = outcome.worked.cut.as_ref().map_err(|_| RecordError::NoPlan)?;
    if !outcome.may_cut() {
        return Err(RecordError::NoPlan);
    }
    let around_mm = sheet.running.gaps.edge_mm + FLAT_MM;
    let origin = sheet.cutter.sheet_at;
    let mut gone: Vec<Value> = Vec::new();
    for part in &sheet.plan.placed {
        let outer = &part.as_cut.outer;
        // Growing may leave pockets, which come after: they stay plate, but nothing that a next part could use.
        let grown = outer
            .offset(around_mm)
            .ok()
            .and_then(|all| all.into_iter().next());
        gone.push(polygon(grown.as_ref().unwrap_or(outer), origin));
    }
    let (mut document, path) = document(folder)?;
    let index = sheet.sheet.index;
    let missing = RecordError::NoSheet(index + 1);
    match document.get_mut("stock") {
        Some(Item::ArrayOfTables(sheets)) => {
            let table = sheets.get_mut(index).ok_or(missing)?;
            let list = table.entry("gone").or_insert(value(Array::new()));
            list.as_array_mut()
                .ok_or(RecordError::NoSheet(index + 1))?
                .extend(gone);
        }
        Some(Item::Value(Value::Array(sheets))) => {
            let table = sheets
                .get_mut(index)
                .and_then(Value::as_inline_table_mut)
                .ok_or(missing)?;
            let list = table.get_or_insert("gone", Array::new());
            list.as_array_mut()
                .ok_or(RecordError::NoSheet(index + 1))?
                .extend(gone);
        }
        _ => return Err(missing),
    }
    write(folder, &document, &path)?;
    Ok(format!(
        "{} taken off sheet {} ({}) in {path}, with what the leads took round {}",
        match sheet.plan.placed.len() {
            1 => "one part is".to_owned(),
            parts => format!("{parts} parts are"),
        },
        index + 1,
        sheet.sheet.name,
        if sheet.plan.placed.len() == 1 {
            "it"
        } else {
            "them"
        },
    ))
}

/// Corners from the sheet's own corner, as the file has them.
fn polygon(outline: &Outline, origin: Point) -> Value {
    let mm = |length: f64| {
        let tidy = (length / PLACE_MM).round() * PLACE_MM + 0.0;
        Value::from(format!("{tidy:.1} mm"))
    };
    let corners = outline.flattened(FLAT_MM);
    corners
        .iter()
        .map(|at| Value::Array([mm(at.x - origin.x), mm(at.y - origin.y)].into_iter().collect()))
        .collect::<Array>()
        .into()
}

/// A kerf that was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KerfMeasured {
    /// Width, mm.
    pub width_mm: f64,
    /// Standard uncertainty, mm.
    pub sd_mm: f64,
}

/// Puts the three teeth of a test comb into shop.toml, for the job's plate.
///
/// # Errors
/// [`RecordError`]; then shop.toml is as it was.
pub fn record_kerf(
    folder: &Folder,
    outcome: &Outcome,
    pitch_mm: f64,
    teeth: &str,
    date: &str,
) -> Result<KerfMeasured, RecordError> {
    let texts: Vec<&str> = teeth
        .split([',', ';'])
        .map(str::trim)
        .filter(|text| !text.is_empty())
        .collect();
    let [a, b, c] = texts[..] else {
        return Err(RecordError::NotThree(teeth.to_owned()));
    };
    let length = |text: &str| -> Result<f64, RecordError> {
        let fault = |why: String| RecordError::NotALength(format!("\"{text}\": {why}"));
        let expr = Expr::parse(text, Some(LengthUnit::Mm)).map_err(|error| fault(error.to_string()))?;
        let value = expr.value().map_err(|error| fault(error.to_string()))?;
        value.length_mm().map_err(|error| fault(error.to_string()))
    };
    let widths_mm = [length(a)?, length(b)?, length(c)?];
    let kerf = kerf_from(pitch_mm, widths_mm, &Reading::default(), date)?;
    let mut row = Table::new();
    row["plate"] = value(outcome.worked.files.design.plate.stock.text.value.clone());
    row["pitch"] = value(format!("{pitch_mm} mm"));
    row["teeth"] = value(
        [a, b, c]
            .into_iter()
            .zip(widths_mm)
            .map(|(typed, mm)| {
                // A bare number was taken as mm; in the file it may stand beside another unit.
                if typed.parse::<f64>().is_ok() {
                    format!("{mm} mm")
                } else {
                    typed.to_owned()
                }
            })
            .collect::<Array>(),
    );
    row["date"] = value(date);
    push_row(folder, "kerfs", row, |_| Ok::<(), RecordError>(()))?;
    Ok(KerfMeasured {
        width_mm: kerf.width_mm,
        sd_mm: kerf.sd_mm,
    })
}

/// Adds a row to a list of tables of shop.toml, in the way that the list is written.
pub(crate) fn push_row<E: From<RecordError>>(
    folder: &Folder,
    list: &str,
    row: Table,
    check: impl FnOnce(&str) -> Result<(), E>,
) -> Result<(), E> {
    let (mut document, path) = document(folder)?;
    let rows = document
        .entry(list)
        .or_insert(Item::ArrayOfTables(ArrayOfTables::new()));
    match rows {
        Item::ArrayOfTables(rows) => rows.push(row),
        Item::Value(Value::Array(rows)) => rows.push(row.into_inline_table()),
        _ => return Err(RecordError::NoShop.into()),
    }
    check(&document.to_string())?;
    Ok(write(folder, &document, &path)?)
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    #[test]
    fn a_shop_file_with_returns_keeps_them_when_something_is_recorded() {
        let root = std::env::temp_dir().join(format!("gusset-returns-{}", std::process::id()));
        fs::create_dir_all(&root).unwrap_or_else(|error| panic!("{error}"));
        let shop = "gusset = 1\r\n# what is there\r\ntitle = \"Shed\"\r\n";
        for (name, text) in [("design.toml", "gusset = 1\n"), ("shop.toml", shop)] {
            fs::write(root.join(name), text).unwrap_or_else(|error| panic!("{error}"));
        }
        let folder = Folder::open(&root, None).unwrap_or_else(|error| panic!("{error}"));
        let mut row = Table::new();
        row["plate"] = value("A36 3 mm");
        push_row(&folder, "kerfs", row, |_| Ok::<(), RecordError>(()))
            .unwrap_or_else(|error| panic!("{error}"));
        let new = fs::read_to_string(root.join("shop.toml")).unwrap_or_else(|error| panic!("{error}"));
        assert!(new.starts_with(shop) && new.contains("[[kerfs]]\r\n"), "{new:?}");
        assert_eq!(new.matches("\r\n").count(), new.matches('\n').count(), "{new:?}");
        fs::remove_dir_all(root).unwrap_or_else(|error| panic!("{error}"));
    }
}
