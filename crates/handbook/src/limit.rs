//! Limits that a judgement uses when the job says none: what is level, closed, near enough.

use crate::Handbook;
use crate::sourced::Sourced;
use crate::table::{BadCell, Table, Wanted};

macro_rules! limits {
    ($($(#[$doc:meta])* $name:ident = $row:literal),* $(,)?) => {
        /// A limit by name. Lengths are mm, angles radians, factors of the thickness t, the die's opening V, the inside
        /// radius r or the hole's diameter d0 plain numbers.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Limit { $($(#[$doc])* $name),* }

        impl Limit {
            /// Every limit.
            pub const ALL: &[Limit] = &[$(Limit::$name),*];

            /// Its row in the table `limits`.
            pub fn row(self) -> &'static str {
                match self { $(Limit::$name => $row),* }
            }
        }
    };
}

limits! {
    /// Largest tilt of the plate against a seat, rad.
    SeatTilt = "seat tilt",
    /// Largest gap at a seat that a bolt may pull down, mm.
    SeatGap = "seat gap",
    /// Largest gap along a welded seam, mm.
    SeamGap = "seam gap",
    /// Largest angle between the two edges of a seam, rad.
    SeamTwist = "seam twist",
    /// How far off its place the support may sit, mm.
    SupportOffset = "support offset",
    /// How far the support may be turned from its facing, rad.
    SupportTurn = "support turn",
    /// Edge of an opening to a bend's tangent line, x t; the inside radius comes on top.
    HoleToBend = "hole to bend",
    /// Least leg where no die is named, x t; the inside radius comes on top.
    LegPerThickness = "leg per thickness",
    /// Least leg over a V-die, x V.
    LegPerDie = "leg per die",
    /// Least width of a bend relief, x t.
    ReliefWidth = "relief width",
    /// Least length of a bend relief past the tangent line, x r.
    ReliefPast = "relief past",
    /// Largest angle bent through without closing tools, rad.
    LargestBend = "largest bend",
    /// Tolerance of a bend's angle, rad.
    BendAngle = "bend angle",
    /// Tolerance of the place of an edge for each bend between, mm.
    BendToEdge = "bend to edge",
    /// Hole centre to the end of the plate, x d0.
    BoltEndDistance = "bolt end distance",
    /// Hole centre to the next along the force, x d0.
    BoltPitch = "bolt pitch",
    /// Hole centre to the next across the force, x d0.
    BoltGauge = "bolt gauge",
    /// How far from a weld its heat has lowered the strength, mm.
    HeatAffectedWidth = "heat affected width",
    /// Left free all round a sheet, mm.
    SheetMargin = "sheet margin",
    /// How far a drilled hole comes out from its size, mm.
    DrilledHole = "drilled hole",
    /// Largest drill that a small shop turns, mm.
    LargestDrill = "largest drill",
    /// C of the air-bending force C Rm t^2 / V, by the rule that asks for least.
    BendForceLeast = "bend force least",
    /// C of the air-bending force, by the rule in the middle.
    BendForce = "bend force",
    /// C of the air-bending force, by the rule that asks for most.
    BendForceMost = "bend force most",
    /// Bent past its angle by this much where springback is not known, rad.
    OverBend = "over bend",
    /// How much of a bend may hang over its tool at either end, x t.
    ToolHangsOver = "tool hangs over",
    /// The widest V used for a plate, x t.
    WidestDie = "widest die",
    /// Over how much of its bend a leg may be too short and still be held, a share.
    ShortShare = "short share",
    /// How much more radius a bend along the grain asks for, x r.
    AlongGrain = "along grain",
    /// How near a hand may come to a bending tool before it is told, mm.
    HandToTool = "hand to tool",
    /// What one hand holds level over an edge, N mm.
    HandHolds = "hand holds",
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LimitRow {
    limit: Limit,
    value: Sourced<f64>,
}

impl Handbook {
    /// The limit in force, in mm, radians or as a factor; the variant says which.
    pub fn limit(&self, limit: Limit) -> Sourced<f64> {
        match self.limits.iter().find(|row| row.limit == limit) {
            Some(row) => row.value.clone(),
            None => unreachable!(
                "a handbook is only read with a row for every limit: {}",
                limit.row()
            ),
        }
    }
}

const UNITS: &[&str] = &["mm", "deg", "x t", "x V", "x r", "x d0", "-", "N mm"];

pub(crate) fn read(table: &Table) -> Result<Vec<LimitRow>, BadCell> {
    let rows = table.read(|row| {
        let per_unit = row.word("unit", UNITS, |unit| match unit {
            "deg" => Some(1f64.to_radians()),
            unit => UNITS.contains(&unit).then_some(1.0),
        })?;
        let limit = Limit::ALL.iter().copied().find(|limit| limit.row() == row.key());
        let limit = limit.ok_or_else(|| row.bad("row", Wanted::RowOf("limits")))?;
        Ok(LimitRow {
            limit,
            value: row.sourced_number("value")?.map(|value| value * per_unit),
        })
    })?;
    match Limit::ALL
        .iter()
        .find(|limit| rows.iter().all(|row| row.limit != **limit))
    {
        None => Ok(rows),
        Some(missing) => Err(BadCell {
            table: table.name(),
            row: missing.row().to_owned(),
            column: "value".to_owned(),
            text: String::new(),
            wanted: Wanted::Present,
        }),
    }
}
