//! Published check values for tests, one row of `reference/check_values.csv` each.
//!
//! A test asks for the rows of a topic, gives each row's inputs to the code under test, and hands the answer back to
//! the row, which compares and, when it fails, names itself and its source:
//!
//! ```
//! for row in published::rows("setback K = tan(bend/2)") {
//!     let bent_rad = row.number("bend_deg").to_radians();
//!     row.check((bent_rad / 2.0).tan());
//! }
//! ```
//!
//! This crate serves tests alone: everything here panics when a row or a key is missing, because a check that quietly
//! drives nothing would pass.

mod row;

pub use row::Row;

const CHECK_VALUES: &str = include_str!("../../../reference/check_values.csv");

/// Every row of the file, in its order.
///
/// # Panics
/// When the file cannot be read as a table.
pub fn all() -> Vec<Row> {
    csv::Reader::from_reader(CHECK_VALUES.as_bytes())
        .into_records()
        .map(|record| Row::from_record(&record.expect("reference/check_values.csv is a table")))
        .collect()
}

/// The rows whose topic is exactly this, in the file's order.
///
/// # Panics
/// When there are none.
pub fn rows(topic: &str) -> Vec<Row> {
    picked(&format!("the topic {topic:?}"), |row| row.topic == topic)
}

/// The rows whose topic starts like this, in the file's order.
///
/// # Panics
/// When there are none.
pub fn rows_starting(topic: &str) -> Vec<Row> {
    picked(&format!("a topic that starts {topic:?}"), |row| {
        row.topic.starts_with(topic)
    })
}

/// The row with this id.
///
/// # Panics
/// When there is none.
pub fn row(id: &str) -> Row {
    picked(&format!("the id {id:?}"), |row| row.id == id).remove(0)
}

/// The rows from one id to another, both included, in the file's order.
///
/// # Panics
/// When either is missing, or they stand the other way round.
pub fn rows_between(first: &str, last: &str) -> Vec<Row> {
    let mut rows = all();
    let place = |id: &str| {
        rows.iter()
            .position(|row| row.id == id)
            .unwrap_or_else(|| panic!("no row of the check values has the id {id:?}"))
    };
    let (from, to) = (place(first), place(last));
    assert!(from <= to, "{first} stands after {last} in the check values");
    rows.drain(from..=to).collect()
}

fn picked(what: &str, wanted: impl Fn(&Row) -> bool) -> Vec<Row> {
    let rows: Vec<Row> = all().into_iter().filter(wanted).collect();
    assert!(!rows.is_empty(), "no row of the check values has {what}");
    rows
}
