//! The table of published values, `cases.csv`: each row is checked under its own name, and the values at each refinement
//! are printed with the order of convergence that they show.

use serde::Deserialize;

/// A published value and what is asked of ours.
#[derive(Debug, Clone, Deserialize)]
struct Row {
    id: String,
    target: f64,
    /// The finest value may stand off the target by so much, percent. Absent where the target belongs to another theory: the
    /// row then only says what is computed, and why.
    within_pct: Option<f64>,
    /// The order of convergence must be at least this. Absent where the values are at their limit from the start.
    least_order: Option<f64>,
    /// What was computed when `docs/shell.md` was written.
    computed: f64,
    source: String,
    status: String,
    note: String,
}

/// What is computed may leave what the documents say by so much of it before they are out of date.
const SAME_AS_WRITTEN: f64 = 2e-3;

fn row(id: &str) -> Row {
    let table = include_str!("cases.csv");
    csv::Reader::from_reader(table.as_bytes())
        .into_deserialize::<Row>()
        .map(|row| row.expect("cases.csv is a table of cases"))
        .find(|row| row.id == id)
        .unwrap_or_else(|| panic!("cases.csv has no case {id:?}"))
}

/// Works out a case at each refinement and holds the finest value to its row. Each refinement halves the cells of the one
/// before.
///
/// # Panics
/// When the value or the order is not what the row asks, or has left what the documents say.
pub fn check(id: &str, refined: &[usize], value: impl Fn(usize) -> f64) {
    let row = row(id);
    let values: Vec<f64> = refined.iter().map(|n| value(*n)).collect();
    println!("{id}: target {} ({}, {})", row.target, row.source, row.status);
    for (k, (n, value)) in refined.iter().zip(&values).enumerate() {
        let off = 100.0 * (value / row.target - 1.0);
        let order = observed_order(&values[..=k]).map_or("-".into(), |order| format!("{order:.2}"));
        println!("  refined {n:>3}: {value:.6e}  {off:+8.3} %  order {order}");
    }
    let finest = *values.last().expect("a case has a refinement");
    // Read by `cargo xtask shell-cases`, which writes the table and the documents again.
    println!("computed {id} {finest:.6e}");
    let off_pct = 100.0 * (finest / row.target - 1.0);
    if let Some(within) = row.within_pct {
        assert!(
            off_pct.abs() <= within,
            "{id}: {finest:e} is {off_pct:+.2} % off {} (allowed {within} %; {}) {}",
            row.target,
            row.source,
            row.note
        );
    }
    if let Some(least) = row.least_order {
        let order = observed_order(&values).expect("three refinements show an order");
        assert!(order >= least, "{id}: order {order:.2}, asked {least}");
    }
    if std::env::var_os("GUSSET_RECORD").is_none() {
        assert!(
            (finest - row.computed).abs() <= SAME_AS_WRITTEN * finest.abs(),
            "{id}: {finest:e} is not what docs/shell.md says, {:e}: run `cargo xtask shell-cases` and read the difference",
            row.computed
        );
    }
}

/// The order that the last three values show, each from cells half as large: log2 of the ratio of their steps.
fn observed_order(values: &[f64]) -> Option<f64> {
    let [.., a, b, c] = values else { return None };
    Some(((b - a) / (c - b)).abs().log2())
}
