//! What shop.toml says.

use super::*;

/// shop.toml
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    /// Its name.
    pub title: Option<Name>,
    /// Sheets and remnants at hand.
    pub stock: Vec<SheetDef>,
    /// The cutter; plasma when not said.
    pub cutter: Option<CutterDef>,
    /// The bending tools; a brake when not said.
    pub bender: Option<BenderDef>,
    /// The welder; none when nothing is welded here.
    pub welder: Option<WelderDef>,
    /// K tables of this shop.
    pub neutral: Vec<NeutralRow>,
    /// Kerf tests.
    pub kerfs: Vec<KerfDef>,
    /// Bent test strips.
    pub strips: Vec<StripDef>,
    /// Instruments of this shop.
    pub instruments: Vec<InstrumentDef>,
    /// Rows of the handbook that this shop overrides: table, row, column, value.
    pub handbook: Vec<HandbookOverride>,
}

/// `[[stock]]`
#[derive(Debug, Clone, PartialEq)]
pub struct SheetDef {
    /// Metal and thickness.
    pub stock: StockSpec,
    /// Width and length.
    pub size: [Sum; 2],
    /// Thickness by caliper.
    pub measured: Option<Sum>,
    /// What this one is called.
    pub name: Option<Name>,
    /// Corners of an odd piece, within its size.
    pub outline: Vec<[Sum; 2]>,
    /// Where it is cut away already.
    pub gone: Vec<Vec<[Sum; 2]>>,
    /// "x" or "y": the way it was rolled.
    pub grain: Option<Name>,
}

/// `[welder]`
#[derive(Debug, Clone, PartialEq)]
pub struct WelderDef {
    /// "MIG", "TIG", "stick".
    pub process: Name,
    /// The filler metal.
    pub filler: Option<Name>,
}

/// `[[neutral]]`: a row of the shop's own K table.
#[derive(Debug, Clone, PartialEq)]
pub struct NeutralRow {
    /// Metal.
    pub metal: Name,
    /// Thickness.
    pub thickness: Sum,
    /// Inside radius.
    pub radius: Sum,
    /// K.
    pub k: Told<f64>,
}

/// `[[strips]]`: a test strip, bent and measured.
#[derive(Debug, Clone, PartialEq)]
pub struct StripDef {
    /// Stock.
    pub stock: StockSpec,
    /// Thickness by caliper.
    pub thickness: Sum,
    /// Inside radius by a gauge.
    pub radius: Option<Sum>,
    /// Inside radius that the tool should leave.
    pub expects: Option<Sum>,
    /// Angle bent through, measured.
    pub bent: Sum,
    /// Angle bent through under load.
    pub loaded: Option<Sum>,
    /// Length of the flat strip.
    pub flat: Sum,
    /// Both outside legs, to the sharp corner.
    pub legs: [Sum; 2],
    /// Tool used.
    pub tool: Option<Name>,
    /// "along" or "across": the line of the bend to the way of rolling.
    pub grain: Option<Name>,
    /// When.
    pub date: Option<Name>,
}

/// `[instruments.NAME]`
#[derive(Debug, Clone, PartialEq)]
pub struct InstrumentDef {
    /// Name.
    pub name: Name,
    /// Standard deviation of one reading, a length or an angle.
    pub sd: Sum,
    /// Added per length read, as a share.
    pub per_length: Option<Told<f64>>,
}

/// `[[handbook]]`
#[derive(Debug, Clone, PartialEq)]
pub struct HandbookOverride {
    /// Table's name.
    pub table: Name,
    /// Key of the row.
    pub row: Name,
    /// Column.
    pub column: Name,
    /// New value.
    pub value: Name,
    /// Why, or where from.
    pub source: Option<Name>,
}
