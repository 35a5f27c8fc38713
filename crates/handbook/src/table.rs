//! A table as it stands in its file: named columns, rows by key, a source and a status for each row.

use crate::nearest::nearest;
use crate::sourced::{Sourced, Status};

/// A table of the handbook, for reading out loud.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    name: &'static str,
    columns: Vec<String>,
    rows: Vec<Vec<Cell>>,
}

/// One field, and the shop's reason if the shop changed it.
#[derive(Debug, Clone, PartialEq)]
struct Cell {
    text: String,
    shop: Option<String>,
}

/// A field that is not what its column holds.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{table}, row {row}, column {column}: {text:?} is not {wanted}")]
pub struct BadCell {
    /// Table.
    pub table: &'static str,
    /// Key of the row.
    pub row: String,
    /// Column.
    pub column: String,
    /// What stands there.
    pub text: String,
    /// What should.
    pub wanted: Wanted,
}

/// What a field should hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Wanted {
    /// A number from 0 up; a fraction will do.
    #[error("a number of 0 or more")]
    Number,
    /// A number above 0; a fraction will do.
    #[error("a number above 0")]
    Positive,
    /// One of some words.
    #[error("one of {}", .0.join(", "))]
    Word(&'static [&'static str]),
    /// The key of a row of another table.
    #[error("a row of {0}")]
    RowOf(&'static str),
    /// A row for each of these; this one is missing.
    #[error("there, and it must be")]
    Present,
    /// The table's own shape: its header, or fields in every row.
    #[error("a table with a header, a source and a status")]
    Shape,
}

/// Columns every table has, which an override may not touch: the override says them itself.
const KEPT_COLUMNS: [&str; 3] = ["row", "source", "status"];

impl Table {
    pub(crate) fn parse(name: &'static str, text: &str) -> Result<Table, BadCell> {
        let bad_shape = |row: &str, text: String| BadCell {
            table: name,
            row: row.to_owned(),
            column: String::new(),
            text,
            wanted: Wanted::Shape,
        };
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let header = reader.headers().map_err(|e| bad_shape("", e.to_string()))?;
        let columns: Vec<String> = header.iter().map(str::to_owned).collect();
        if columns.first().map(String::as_str) != Some("row")
            || !columns.ends_with(&["source".into(), "status".into()])
        {
            return Err(bad_shape("", columns.join(",")));
        }
        let mut rows: Vec<Vec<Cell>> = Vec::new();
        for record in reader.into_records() {
            let record = record.map_err(|e| bad_shape("", e.to_string()))?;
            rows.push(
                record
                    .iter()
                    .map(|field| Cell {
                        text: field.trim().to_owned(),
                        shop: None,
                    })
                    .collect(),
            );
        }
        let table = Table { name, columns, rows };
        for (i, row) in table.rows.iter().enumerate() {
            let key = &row[0].text;
            if key.is_empty() || table.rows[..i].iter().any(|earlier| earlier[0].text == *key) {
                return Err(bad_shape(key, format!("a second row {key}")));
            }
            table
                .row_view(i)
                .word("status", Status::WORDS, Status::from_word)?;
        }
        Ok(table)
    }

    /// The table's name, as an override says it.
    pub fn name(&self) -> &'static str {
        self.name
    }

    /// The columns, `row` first, `source` and `status` last.
    pub fn columns(&self) -> &[String] {
        &self.columns
    }

    /// The fields of every row, in the order of [`Table::columns`]; the source is the shop's where the shop changed
    /// anything in the row.
    pub fn rows(&self) -> impl Iterator<Item = Vec<&str>> {
        self.rows
            .iter()
            .map(|row| row.iter().map(|cell| cell.text.as_str()).collect())
    }

    /// The fields the shop changed: row, column, and the shop's reason.
    pub fn changed(&self) -> impl Iterator<Item = (&str, &str, &str)> {
        self.rows.iter().flat_map(|row| {
            row.iter().zip(&self.columns).filter_map(|(cell, column)| {
                Some((row[0].text.as_str(), column.as_str(), cell.shop.as_deref()?))
            })
        })
    }

    pub(crate) fn set(
        &mut self,
        row: &str,
        column: &str,
        value: &str,
        source: &str,
    ) -> Result<(), crate::OverrideError> {
        use crate::OverrideError::{FixedColumn, UnknownColumn, UnknownRow};
        let same = |a: &str, b: &str| a.eq_ignore_ascii_case(b.trim());
        let Some(at) = self.rows.iter().position(|cells| same(&cells[0].text, row)) else {
            let nearest = nearest(row, self.rows.iter().map(|cells| cells[0].text.as_str()));
            return Err(UnknownRow {
                table: self.name,
                asked: row.to_owned(),
                nearest,
            });
        };
        let Some(field) = self.columns.iter().position(|name| same(name, column)) else {
            let free = self
                .columns
                .iter()
                .map(String::as_str)
                .filter(|name| !KEPT_COLUMNS.contains(name));
            let nearest = nearest(column, free);
            return Err(UnknownColumn {
                table: self.name,
                asked: column.to_owned(),
                nearest,
            });
        };
        if KEPT_COLUMNS.contains(&self.columns[field].as_str()) {
            return Err(FixedColumn {
                table: self.name,
                column: self.columns[field].clone(),
            });
        }
        self.rows[at][field] = Cell {
            text: value.trim().to_owned(),
            shop: Some(source.to_owned()),
        };
        Ok(())
    }

    pub(crate) fn read<T>(&self, row: impl Fn(RowView<'_>) -> Result<T, BadCell>) -> Result<Vec<T>, BadCell> {
        (0..self.rows.len()).map(|i| row(self.row_view(i))).collect()
    }

    fn row_view(&self, index: usize) -> RowView<'_> {
        RowView { table: self, index }
    }
}

/// A row being read.
#[derive(Clone, Copy)]
pub(crate) struct RowView<'a> {
    table: &'a Table,
    index: usize,
}

impl RowView<'_> {
    pub(crate) fn key(&self) -> &str {
        &self.cells()[0].text
    }

    pub(crate) fn text(&self, column: &str) -> Result<&str, BadCell> {
        Ok(&self.cell(column)?.text)
    }

    /// A number of 0 or more.
    pub(crate) fn number(&self, column: &str) -> Result<f64, BadCell> {
        read_number(self.text(column)?)
            .filter(|n| *n >= 0.0)
            .ok_or_else(|| self.bad(column, Wanted::Number))
    }

    /// A number above 0.
    pub(crate) fn positive(&self, column: &str) -> Result<f64, BadCell> {
        read_number(self.text(column)?)
            .filter(|n| *n > 0.0)
            .ok_or_else(|| self.bad(column, Wanted::Positive))
    }

    /// None where the field is empty.
    pub(crate) fn if_said<T>(
        &self,
        column: &str,
        read: impl FnOnce(&Self, &str) -> Result<T, BadCell>,
    ) -> Result<Option<T>, BadCell> {
        if self.text(column)?.is_empty() {
            Ok(None)
        } else {
            read(self, column).map(Some)
        }
    }

    pub(crate) fn word<T>(
        &self,
        column: &str,
        words: &'static [&'static str],
        meaning: impl FnOnce(&str) -> Option<T>,
    ) -> Result<T, BadCell> {
        meaning(self.text(column)?).ok_or_else(|| self.bad(column, Wanted::Word(words)))
    }

    /// The value with the row's source and status, or the shop's where the shop changed one of these columns.
    pub(crate) fn sourced<T>(&self, columns: &[&str], value: T) -> Result<Sourced<T>, BadCell> {
        let row = format!("{}: {}", self.table.name, self.key());
        for column in columns {
            if let Some(reason) = &self.cell(column)?.shop {
                return Ok(Sourced {
                    value,
                    source: reason.clone(),
                    status: Status::Shop,
                    row,
                });
            }
        }
        let status = self.word("status", Status::WORDS, Status::from_word)?;
        Ok(Sourced {
            value,
            source: self.text("source")?.to_owned(),
            status,
            row,
        })
    }

    pub(crate) fn sourced_number(&self, column: &str) -> Result<Sourced<f64>, BadCell> {
        self.sourced(&[column], self.number(column)?)
    }

    pub(crate) fn sourced_positive(&self, column: &str) -> Result<Sourced<f64>, BadCell> {
        self.sourced(&[column], self.positive(column)?)
    }

    pub(crate) fn bad(&self, column: &str, wanted: Wanted) -> BadCell {
        let text = self
            .cell(column)
            .map(|cell| cell.text.clone())
            .unwrap_or_default();
        BadCell {
            table: self.table.name,
            row: self.key().to_owned(),
            column: column.to_owned(),
            text,
            wanted,
        }
    }

    fn cells(&self) -> &[Cell] {
        &self.table.rows[self.index]
    }

    fn cell(&self, column: &str) -> Result<&Cell, BadCell> {
        let at = self
            .table
            .columns
            .iter()
            .position(|name| name == column)
            .ok_or_else(|| BadCell {
                table: self.table.name,
                row: self.key().to_owned(),
                column: column.to_owned(),
                text: String::new(),
                wanted: Wanted::Present,
            })?;
        Ok(&self.cells()[at])
    }
}

/// A decimal or a fraction, finite, or `inf` for a band without end.
fn read_number(text: &str) -> Option<f64> {
    if text == "inf" {
        return Some(f64::INFINITY);
    }
    let plain = |part: &str| part.trim().parse::<f64>().ok().filter(|n| n.is_finite());
    match text.split_once('/') {
        Some((over, under)) => Some(plain(over)? / plain(under)?).filter(|n| n.is_finite()),
        None => plain(text),
    }
}
