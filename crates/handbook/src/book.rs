//! The handbook as a whole: the built-in tables, what a shop changes in them, and what they hold once read.

use std::sync::OnceLock;

use crate::chart::ChartRow;
use crate::die::{AirRadius, DieOpening};
use crate::drill::Drill;
use crate::fatigue::FatigueRow;
use crate::grade::BoltGrade;
use crate::heat::HeatRow;
use crate::instrument::{InstrumentRow, TapeError};
use crate::limit::LimitRow;
use crate::load_kind::LoadKind;
use crate::margin::MarginRow;
use crate::metal::Metal;
use crate::nearest::nearest;
use crate::neutral::NeutralRow;
use crate::process::Process;
use crate::radius::RadiusTables;
use crate::stock::GaugeRow;
use crate::table::{BadCell, Table};
use crate::thread::ThreadTables;
use crate::tighten::TighteningTables;
use crate::tolerance::ToleranceTables;
use crate::weld::WeldTables;
use crate::{
    chart, die, drill, fatigue, grade, heat, heat_flow, instrument, limit, load_kind, margin, metal, neutral,
    process, radius, stock, thread, tighten, tolerance, weld,
};

/// All tables, read.
///
/// ```
/// let handbook = handbook::Handbook::builtin();
/// let least = handbook.least_radius_mm("5052-H32", 4.7625).unwrap();
/// assert_eq!(least.value, 1.5 * 4.7625);
/// assert_eq!(least.row, "least_radii: 5052-H32 3/16 in");
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Handbook {
    tables: Vec<Table>,
    pub(crate) metals: Vec<Metal>,
    pub(crate) gauges: Vec<GaugeRow>,
    pub(crate) threads: ThreadTables,
    pub(crate) radii: RadiusTables,
    pub(crate) neutral_shares: Vec<NeutralRow>,
    pub(crate) die_openings: Vec<DieOpening>,
    pub(crate) air_radii: Vec<AirRadius>,
    pub(crate) tolerances: ToleranceTables,
    pub(crate) processes: Vec<Process>,
    pub(crate) cut_chart: Vec<ChartRow>,
    pub(crate) drills: Vec<Drill>,
    pub(crate) tape_errors: Vec<TapeError>,
    pub(crate) instruments: Vec<InstrumentRow>,
    pub(crate) limits: Vec<LimitRow>,
    pub(crate) grades: Vec<BoltGrade>,
    pub(crate) heads: Vec<grade::HeadRow>,
    pub(crate) tightening: TighteningTables,
    pub(crate) margins: Vec<MarginRow>,
    pub(crate) heat_affected: Vec<HeatRow>,
    pub(crate) welds: WeldTables,
    pub(crate) fatigue: Vec<FatigueRow>,
    pub(crate) heat_flow: Vec<heat_flow::HeatFlowRow>,
    pub(crate) load_kinds: Vec<LoadKind>,
}

/// What a shop wanted changed and could not have.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OverrideError {
    /// No such table.
    #[error("the handbook has no table {asked:?}{}", or_nearest(.nearest))]
    UnknownTable {
        /// As asked.
        asked: String,
        /// The most alike.
        nearest: Option<String>,
    },
    /// No such row.
    #[error("the table {table} has no row {asked:?}{}", or_nearest(.nearest))]
    UnknownRow {
        /// The table.
        table: &'static str,
        /// As asked.
        asked: String,
        /// The most alike.
        nearest: Option<String>,
    },
    /// No such column.
    #[error("the table {table} has no column {asked:?}{}", or_nearest(.nearest))]
    UnknownColumn {
        /// The table.
        table: &'static str,
        /// As asked.
        asked: String,
        /// The most alike.
        nearest: Option<String>,
    },
    /// The key, source and status of a row are not values.
    #[error("the column {column} of {table} is not a value; say the source beside the new value")]
    FixedColumn {
        /// The table.
        table: &'static str,
        /// The column.
        column: String,
    },
    /// The value is not one for that column.
    #[error(transparent)]
    BadValue(#[from] BadCell),
}

pub(crate) fn or_nearest(nearest: &Option<String>) -> String {
    nearest
        .as_ref()
        .map(|name| format!("; the nearest is {name:?}"))
        .unwrap_or_default()
}

macro_rules! tables {
    ($($name:literal),* $(,)?) => { [$(($name, include_str!(concat!("../tables/", $name, ".csv")))),*] };
}

const TABLES: [(&str, &str); 41] = tables![
    "metals",
    "metal_properties",
    "gauges",
    "bolts_metric",
    "bolts_inch",
    "clearance_holes_metric",
    "clearance_holes_inch",
    "tap_drills_metric",
    "tap_drills_inch",
    "washers_metric",
    "washers_inch",
    "least_radii",
    "recommended_radii",
    "standard_radii",
    "setback_factors",
    "neutral_shares",
    "die_openings",
    "air_radii",
    "iso_9013_squareness",
    "iso_9013_deviations",
    "iso_2768_linear",
    "iso_2768_angular",
    "process_properties",
    "cut_chart",
    "drills",
    "tape_errors",
    "instruments",
    "limits",
    "bolt_grades",
    "bolt_shear_shares",
    "bolt_heads_metric",
    "bolt_heads_inch",
    "nut_factors",
    "slip_factors",
    "margins",
    "heat_affected",
    "heat_flow",
    "fillet_legs",
    "weld_metals",
    "fatigue_categories",
    "load_kinds",
];

impl Handbook {
    /// The tables as they come with the program.
    pub fn builtin() -> Self {
        /// Read once: they never change while the program runs.
        static READ: OnceLock<Handbook> = OnceLock::new();
        let read = || {
            let tables: Result<Vec<Table>, BadCell> = TABLES
                .iter()
                .map(|(name, text)| Table::parse(name, text))
                .collect();
            match tables.and_then(Handbook::read) {
                Ok(handbook) => handbook,
                Err(error) => unreachable!("the built-in tables are whole: {error}"),
            }
        };
        READ.get_or_init(read).clone()
    }

    /// The same handbook with one value of this shop's own, which is said to be so wherever it is looked up. `value`
    /// is in the column's (or, where the row names one, the row's) unit. Table names are taken with spaces too.
    ///
    /// ```
    /// let handbook = handbook::Handbook::builtin()
    ///     .with_override("least radii", "6061-T6 1/8 in", "radius_x_t", "4", "cracked twice at 2.5 t")
    ///     .unwrap();
    /// assert_eq!(handbook.least_radius_mm("6061-T6", 3.175).unwrap().value, 12.7);
    /// ```
    pub fn with_override(
        &self,
        table: &str,
        row: &str,
        column: &str,
        value: &str,
        source: &str,
    ) -> Result<Self, OverrideError> {
        let wanted = table.trim().to_lowercase().replace([' ', '-'], "_");
        let mut tables = self.tables.clone();
        let Some(found) = tables.iter_mut().find(|known| known.name() == wanted) else {
            let nearest = nearest(&wanted, self.tables.iter().map(Table::name));
            return Err(OverrideError::UnknownTable {
                asked: table.to_owned(),
                nearest,
            });
        };
        found.set(row, column, value, source)?;
        Ok(Handbook::read(tables)?)
    }

    /// Every table as it stands, for showing.
    pub fn tables(&self) -> &[Table] {
        &self.tables
    }

    fn read(tables: Vec<Table>) -> Result<Self, BadCell> {
        let table = |name: &'static str| {
            tables
                .iter()
                .find(|table| table.name() == name)
                .ok_or_else(|| BadCell {
                    table: name,
                    row: String::new(),
                    column: String::new(),
                    text: String::new(),
                    wanted: crate::table::Wanted::Present,
                })
        };
        Ok(Handbook {
            metals: metal::read(table("metals")?, table("metal_properties")?)?,
            gauges: stock::read(table("gauges")?)?,
            threads: thread::read(&table)?,
            radii: radius::read(&table)?,
            neutral_shares: neutral::read(table("neutral_shares")?)?,
            die_openings: die::read_openings(table("die_openings")?)?,
            air_radii: die::read_air_radii(table("air_radii")?)?,
            tolerances: tolerance::read(&table)?,
            processes: process::read(table("process_properties")?)?,
            cut_chart: chart::read(table("cut_chart")?)?,
            drills: drill::read(table("drills")?)?,
            tape_errors: instrument::read_tape_errors(table("tape_errors")?)?,
            instruments: instrument::read(table("instruments")?)?,
            limits: limit::read(table("limits")?)?,
            grades: grade::read(table("bolt_grades")?, table("bolt_shear_shares")?)?,
            heads: grade::read_heads(&table)?,
            tightening: tighten::read(&table)?,
            margins: margin::read(table("margins")?)?,
            heat_affected: heat::read(table("heat_affected")?)?,
            heat_flow: heat_flow::read(table("heat_flow")?)?,
            welds: weld::read(&table)?,
            fatigue: fatigue::read(table("fatigue_categories")?)?,
            load_kinds: load_kind::read(table("load_kinds")?)?,
            tables,
        })
    }
}
