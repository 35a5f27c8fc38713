//! What is usual, gathered before a plan is made.

use handbook::{Handbook, Limit, Sourced};

/// Rules of the trade that the planner goes by, each a value that a shop may set.
#[derive(Debug, Clone, PartialEq)]
pub struct Practice {
    /// C of the air-bending force, by the rules that ask for least, middling and most.
    pub force_factors: [Sourced<f64>; 3],
    /// A bend past this is made to it and then closed, rad.
    pub closed_past_rad: Sourced<f64>,
    /// Bent past by this much where springback is not known, rad.
    pub over_rad: Sourced<f64>,
    /// At either end, so much of a bend may hang over the tool, x t.
    pub hangs_over_x_t: Sourced<f64>,
    /// The widest V used for a plate, x t.
    pub widest_x_t: Sourced<f64>,
    /// Over more of the bend than this share, no leg may be too short.
    pub short_share: Sourced<f64>,
    /// A hand nearer to the tool than this is told, mm.
    pub hand_mm: Sourced<f64>,
    /// A bend along the grain asks for so much more radius, x r.
    pub along_grain_x_r: Sourced<f64>,
    /// What one hand holds level, N mm about the bend line.
    pub hand_n_mm: Sourced<f64>,
    /// From an edge that is cut to a bend's tangent line, x t; the inside radius comes on top.
    pub to_bend_x_t: Sourced<f64>,
    /// From the middle of a hole to an edge of the plate, of its diameter.
    pub hole_to_end_x_d: Sourced<f64>,
}

impl Practice {
    /// From the handbook.
    pub fn of(book: &Handbook) -> Practice {
        Practice {
            force_factors: [Limit::BendForceLeast, Limit::BendForce, Limit::BendForceMost]
                .map(|limit| book.limit(limit)),
            closed_past_rad: book.limit(Limit::LargestBend),
            over_rad: book.limit(Limit::OverBend),
            hangs_over_x_t: book.limit(Limit::ToolHangsOver),
            widest_x_t: book.limit(Limit::WidestDie),
            short_share: book.limit(Limit::ShortShare),
            hand_mm: book.limit(Limit::HandToTool),
            along_grain_x_r: book.limit(Limit::AlongGrain),
            hand_n_mm: book.limit(Limit::HandHolds),
            to_bend_x_t: book.limit(Limit::HoleToBend),
            hole_to_end_x_d: book.limit(Limit::BoltEndDistance),
        }
    }
}
