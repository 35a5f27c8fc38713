//! How wide the cut is, and how that is known.

/// Width of a cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Kerf {
    /// Width, mm.
    pub width_mm: f64,
    /// Its standard uncertainty, mm.
    pub sd_mm: f64,
    /// How it is known.
    pub from: KerfFrom,
}

/// How a kerf is known.
#[derive(Debug, Clone, PartialEq)]
pub enum KerfFrom {
    /// By a test strip of this machine.
    Measured {
        /// When, as the shop wrote it.
        on: String,
    },
    /// From a table or a chart.
    Table {
        /// Row or source.
        row: String,
        /// How far it can be trusted.
        status: handbook::Status,
    },
    /// The shop says so.
    Said,
}

impl Kerf {
    /// Whether it was measured on this machine.
    #[must_use]
    pub fn is_measured(&self) -> bool {
        matches!(self.from, KerfFrom::Measured { .. })
    }
}

/// Width of the cut in one stock.
#[derive(Debug, Clone, PartialEq)]
pub struct StockKerf {
    /// The stock, as [`super::Stock::name`] has it.
    pub stock: String,
    /// Its kerf.
    pub kerf: Kerf,
}
