//! A single change to part or tools.

use sheet::Mockup;

use crate::order::Plan;
use crate::tooling::Tooling;
use crate::work::Stock;

/// One change. Lines and panels are indices into the work's; lengths mm, angles rad.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Bend this line to a first angle, and finish it later.
    TwoSteps {
        /// The line.
        line: usize,
        /// The first angle, rad.
        first_to_rad: f64,
    },
    /// Use a punch that is not in the shop.
    Punch {
        /// Its name.
        name: String,
    },
    /// Use a die that is not in the shop.
    Die {
        /// Its name.
        name: String,
    },
    /// Both sides of a leg lean in.
    Taper {
        /// The line it hangs on.
        line: usize,
        /// The leg.
        panel: usize,
        /// By how much, rad.
        lean_rad: f64,
    },
    /// A leg longer (above 0) or shorter.
    Leg {
        /// The line it is measured from.
        line: usize,
        /// The leg.
        panel: usize,
        /// By how much, mm.
        by_mm: f64,
    },
    /// Fold in a vice that the shop does not list.
    Vice {
        /// Its name.
        name: String,
    },
    /// Fold in a folder that the shop does not list.
    Folder {
        /// Its name.
        name: String,
    },
    /// Another inside radius at one line.
    Radius {
        /// The line.
        line: usize,
        /// The radius, mm.
        radius_mm: f64,
    },
    /// Another plate.
    Thickness {
        /// Its thickness, mm.
        thickness_mm: f64,
    },
    /// Two parts, welded where this line was.
    Seam {
        /// The line.
        line: usize,
    },
    /// Send the part out once, when its turn in the plan comes, to have these lines bent elsewhere: as few as will do. What
    /// the tools there meet is not known here: the shop that takes it in sees to them, within the limits it gives.
    SendOut {
        /// The lines, in the order they are bent.
        lines: Vec<usize>,
    },
}

impl Change {
    /// The least change first: what costs nothing, what is borrowed or bought, what alters the part a little, then much.
    pub(super) fn rank(&self) -> (u8, f64) {
        /// A leg altered by no more than this is altered a little, mm.
        const LITTLE_MM: f64 = 5.0;
        match self {
            Change::TwoSteps { .. } => (0, 0.0),
            Change::Die { .. } => (1, 0.0),
            Change::Punch { .. } => (1, 1.0),
            Change::Leg { by_mm, .. } if by_mm.abs() <= LITTLE_MM => (2, by_mm.abs()),
            Change::Taper { lean_rad, .. } => (3, *lean_rad),
            Change::Vice { .. } => (4, 0.0),
            Change::Folder { .. } => (4, 1.0),
            Change::Leg { by_mm, .. } => (5, by_mm.abs()),
            Change::Radius { radius_mm, .. } => (6, *radius_mm),
            Change::Thickness { thickness_mm } => (7, *thickness_mm),
            Change::Seam { .. } => (8, 0.0),
            Change::SendOut { lines } => (9, lines.len() as f64),
        }
    }
}

/// A change that was planned again and works.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// What is changed.
    pub change: Change,
    /// The plan with it: one for each part.
    pub plans: Vec<Plan>,
}

/// What may be asked for beside what the shop has.
#[derive(Debug, Clone, Default)]
pub struct Offered<'a> {
    /// Tools that can be borrowed or bought.
    pub tooling: Tooling,
    /// The card, for changes that are developed again; none leaves those out.
    pub mockup: Option<&'a Mockup>,
    /// Other plates that can be had: thickness in mm, and the metal at it.
    pub plates: Vec<(f64, Option<Stock>)>,
    /// Inside radii that can be drawn instead, mm.
    pub radii_mm: Vec<f64>,
    /// After this many repairs no more are looked for; 0 for all.
    pub enough: usize,
}

impl Offered<'_> {
    /// The starter set with the relieved punch, narrower dies and fold bars, and a shop that takes work in.
    pub fn starter() -> Self {
        let mut tooling = Tooling::starter();
        tooling.punches.push(Tooling::relieved_punch());
        tooling.dies.extend(Tooling::narrow_dies());
        tooling.vices.push(Tooling::fold_bars());
        tooling.away = Some(Tooling::starter_away());
        Offered {
            tooling,
            enough: 3,
            ..Offered::default()
        }
    }
}
