//! What shop.toml says of the cutter.

use super::*;

/// A number, or the least and the most of it.
pub type FromTo = Told<[f64; 2]>;

/// `[cutter]`
#[derive(Debug, Clone, PartialEq)]
pub struct CutterDef {
    /// "plasma", "oxy", "laser", "waterjet", "router", "saw and drill".
    pub process: Name,
    /// Width of the cut.
    pub kerf: Option<Sum>,
    /// Least hole as a multiple of thickness.
    pub least_hole: Option<Told<f64>>,
    /// "right" or "left".
    pub square_side: Option<Name>,
    /// Leads of outsides.
    pub outside: Option<LeadsDef>,
    /// Leads of openings.
    pub inside: Option<LeadsDef>,
    /// Radius that a pierce spoils.
    pub puddle: Option<Sum>,
    /// Small holes, in thicknesses.
    pub small_hole: Option<Told<f64>>,
    /// Their feed as a share.
    pub hole_feed: Option<Told<f64>>,
    /// Left for a drill.
    pub leave_to_drill: Option<Sum>,
    /// Class of ISO 9013.
    pub size_class: Option<Told<f64>>,
    /// How it marks.
    pub marks: Option<MarksDef>,
    /// Between cuts.
    pub travel: Option<TravelDef>,
    /// The table.
    pub table: Option<TableDef>,
    /// Where zero is set.
    pub zero: Option<ZeroDef>,
    /// The machine's chart.
    pub chart: Vec<ChartDef>,
    /// How the controller is spoken to.
    pub program: Option<ProgramDef>,
    /// What things cost.
    pub rates: Option<RatesDef>,
}

/// `outside` and `inside`
#[derive(Debug, Clone, PartialEq)]
pub struct LeadsDef {
    /// "arc", "line".
    pub kinds: Vec<Name>,
    /// Angle of a straight lead.
    pub angle: Option<Sum>,
    /// Length in thin plate.
    pub length: Option<Sum>,
    /// What comes on top, in thicknesses.
    pub in_thicknesses: Option<Told<f64>>,
    /// The shortest.
    pub least: Option<Sum>,
    /// Past the start.
    pub over_run: Option<Sum>,
    /// Lead-out.
    pub out: Option<Sum>,
}

/// `marks`
#[derive(Debug, Clone, PartialEq)]
pub struct MarksDef {
    /// Feed, mm/min.
    pub feed: Told<f64>,
    /// Length at the ends of bends.
    pub tick: Sum,
    /// Marker on, marker off.
    pub words: Option<[Name; 2]>,
}

/// `travel`
#[derive(Debug, Clone, PartialEq)]
pub struct TravelDef {
    /// Height.
    pub height: Option<Sum>,
    /// Speed, mm/min.
    pub speed: Option<Told<f64>>,
    /// Acceleration, mm/s2.
    pub acceleration: Option<Told<f64>>,
}

/// `table`
#[derive(Debug, Clone, PartialEq)]
pub struct TableDef {
    /// Reach.
    pub size: Option<[Sum; 2]>,
    /// Pitch of the slats.
    pub slats: Option<Sum>,
    /// "x" or "y".
    pub slats_run: Option<Name>,
    /// Where the first one stands.
    pub first_slat: Option<Sum>,
    /// What stands on it.
    pub clamps: Vec<ClampDef>,
    /// Where the sheet lies.
    pub sheet_at: Option<[Sum; 2]>,
}

/// `[[cutter.table.clamps]]`
#[derive(Debug, Clone, PartialEq)]
pub struct ClampDef {
    /// What it is called.
    pub name: Option<Name>,
    /// One corner.
    pub from: [Sum; 2],
    /// The other.
    pub to: [Sum; 2],
}

/// `zero`
#[derive(Debug, Clone, PartialEq)]
pub enum ZeroDef {
    /// "lower left" and so on.
    Corner(Name),
    /// A place on the table.
    At([Sum; 2]),
}

/// `[[cutter.chart]]`
#[derive(Debug, Clone, PartialEq)]
pub struct ChartDef {
    /// "aluminium", "steel", "stainless".
    pub metal: Name,
    /// Thickness.
    pub thickness: Sum,
    /// Feed, mm/min.
    pub feed: Told<f64>,
    /// Pierce delay, s.
    pub delay: Option<Told<f64>>,
    /// Pierce height.
    pub pierce_height: Option<Sum>,
    /// Cut height.
    pub cut_height: Option<Sum>,
    /// Where it stands.
    pub source: Option<Name>,
}

/// `program`
#[derive(Debug, Clone, PartialEq)]
pub struct ProgramDef {
    /// "brackets", "semicolon", "none".
    pub comments: Option<Name>,
    /// "mm" or "in".
    pub units: Option<Name>,
    /// Digits after the point.
    pub decimals: Option<Told<f64>>,
    /// "from start" or "absolute".
    pub centres: Option<Name>,
    /// No arc over a quarter turn.
    pub quarter_arcs: bool,
    /// Torch on, torch off.
    pub torch: Option<[Name; 2]>,
    /// "program" or "machine".
    pub waits: Option<Name>,
    /// "program" or "machine".
    pub heights: Option<Name>,
    /// Height control follows, holds.
    pub height_control: Option<[Name; 2]>,
    /// Step of the line numbers.
    pub line_numbers: Option<Told<f64>>,
    /// "path", "machine table", "machine width".
    pub kerf_by: Option<Name>,
    /// Row of the machine's table.
    pub kerf_row: Option<Told<f64>>,
    /// "M2" or "M30".
    pub end: Option<Name>,
}

/// `rates`, in the shop's own money
#[derive(Debug, Clone, PartialEq)]
pub struct RatesDef {
    /// What the money is called.
    pub money: Option<Name>,
    /// An hour.
    pub shop_hour: Option<FromTo>,
    /// A minute of cutting.
    pub burning_minute: Option<FromTo>,
    /// A set of consumables.
    pub set: Option<FromTo>,
    /// Its pierces.
    pub set_pierces: Option<FromTo>,
    /// Its minutes.
    pub set_minutes: Option<FromTo>,
    /// A kilogram of plate.
    pub plate_kg: Option<FromTo>,
}

/// `[[kerfs]]`: a test comb, cut and measured.
#[derive(Debug, Clone, PartialEq)]
pub struct KerfDef {
    /// Stock.
    pub stock: StockSpec,
    /// From slot to slot.
    pub pitch: Sum,
    /// The teeth.
    pub teeth: [Sum; 3],
    /// When.
    pub date: Option<Name>,
}
