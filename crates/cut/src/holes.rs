//! How each hole is made: cut to size, or marked or cut under size and then drilled.

mod drills;

use handbook::{Clearance, Family, Handbook, Limit, Sourced, UnknownThread};

use crate::profile::{Profile, Stock};
pub use drills::Drills;

/// What a hole is for.
#[derive(Debug, Clone, PartialEq)]
pub enum Purpose {
    /// Something goes through: a bolt, a pin.
    Clearance,
    /// A thread is cut in it.
    Tapped {
        /// The thread: "M6", "1/4-20".
        thread: String,
    },
    /// Weight, sight, or a hand goes through.
    Window,
}

/// A round hole.
#[derive(Debug, Clone, PartialEq)]
pub struct Hole {
    /// Its name in the design.
    pub name: String,
    /// Diameter, mm; of the thread's outside for a tapped hole.
    pub dia_mm: f64,
    /// What it is for.
    pub purpose: Purpose,
    /// How far the diameter may be off either way, mm; none when nobody minds.
    pub tolerance_mm: Option<f64>,
}

/// What the cutter does before the drill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Before {
    /// Nothing but a mark at the centre.
    CentreMark,
    /// A smaller hole.
    CutTo {
        /// Diameter, mm.
        dia_mm: f64,
    },
}

/// How a hole is made.
#[derive(Debug, Clone, PartialEq)]
pub enum HoleWay {
    /// The cutter makes it as it is.
    CutToSize,
    /// It is drilled.
    Drill {
        /// What the cutter does first.
        before: Before,
        /// With what.
        drills: Box<Drills>,
        /// Reamed to this diameter afterwards, mm; the drills are for that.
        ream_to_mm: Option<f64>,
        /// The drill is larger than a small shop turns: this is the largest that it does, mm.
        beyond_mm: Option<f64>,
    },
}

/// What decides.
#[derive(Debug, Clone, PartialEq)]
pub enum Because {
    /// Wide enough, and nobody asks for more than the cut gives.
    WideEnough {
        /// Least hole that this cutter makes in this plate, mm.
        least_mm: f64,
    },
    /// Too small for the cutter.
    TooSmall {
        /// Least hole that this cutter makes in this plate, mm.
        least_mm: f64,
    },
    /// No lead gets into it.
    NoLead {
        /// The longest that would, mm; none where none does.
        longest_mm: Option<f64>,
        /// The least that the profile takes, mm.
        least_mm: f64,
    },
    /// Held closer than the cut comes out.
    HeldCloser {
        /// How close, either way, mm.
        tolerance_mm: f64,
        /// How the cut comes out, either way, mm.
        expected_mm: f64,
    },
    /// Held to a tolerance, and no table says how the cut comes out.
    CutNotKnown {
        /// How close, either way, mm.
        tolerance_mm: f64,
    },
    /// A thread wants a round, soft, parallel hole.
    Tapped {
        /// The tap drill.
        tap_drill_mm: Sourced<f64>,
    },
}

/// The plan for one hole.
#[derive(Debug, Clone, PartialEq)]
pub struct HolePlan {
    /// The hole's name.
    pub name: String,
    /// Its diameter when it is done, before any tap, mm.
    pub dia_mm: f64,
    /// How it is made.
    pub way: HoleWay,
    /// What decides.
    pub because: Because,
    /// How far a cut hole of this size comes out, either way, by ISO 9013, mm; none outside its table.
    pub expected_mm: Option<Sourced<f64>>,
    /// How far it may come out by what is not known of the kerf alone, either way, mm: twice its standard uncertainty.
    /// A kerf from a table makes this the larger of the two; a test strip makes it small.
    pub by_kerf_mm: f64,
    /// The drill meets an edge that the cut has hardened: slow, with a sharp cobalt drill, or grind the edge first.
    pub hard_edge: bool,
}

/// Twice the standard uncertainty covers nineteen of twenty. JCGM 100 (GUM), 6.3.3, from memory.
const COVERS: f64 = 2.0;
/// What the reamer is left, on the diameter, mm. Common practice, no source.
const LEFT_TO_REAM_MM: f64 = 0.2;
/// A hole smaller by less than this is wide enough, mm: under what a caliper tells on a cut edge.
const SAME_WIDTH_MM: f64 = 0.02;

/// How this hole is made in this stock.
///
/// A tapped hole is never cut to size. A hole below the cutter's least is centre-marked and drilled. One held closer than
/// the cut comes out, by ISO 9013 and by what is known of the kerf, is cut under size, so far that the drill takes the
/// burnt edge away, and drilled; closer than a drill holds, reamed. A window is cut to size whatever its size.
pub fn plan(
    hole: &Hole,
    stock: &Stock,
    profile: &Profile,
    book: &Handbook,
) -> Result<HolePlan, UnknownThread> {
    let t_mm = stock.thickness_mm;
    let least_mm = profile.least_hole_mm(t_mm);
    let (dia_mm, tap_drill) = match &hole.purpose {
        Purpose::Tapped { thread } => {
            let drill = book.clearance_dia_mm(thread, hole.dia_mm, Clearance::Tapped)?;
            (drill.value, Some(drill))
        }
        Purpose::Clearance | Purpose::Window => (hole.dia_mm, None),
    };
    let expected = book
        .iso_9013_deviation_mm(profile.holes.tolerance_class, t_mm, dia_mm)
        .ok();
    let by_kerf_mm = COVERS * profile.kerf_in(stock).sd_mm;
    let comes_out_mm = expected.as_ref().map(|expected| expected.value.max(by_kerf_mm));
    let cut_as_it_is = hole.purpose == Purpose::Window;
    let because = if let Some(tap_drill_mm) = tap_drill {
        Because::Tapped { tap_drill_mm }
    } else if !cut_as_it_is && dia_mm < least_mm - SAME_WIDTH_MM {
        Because::TooSmall { least_mm }
    } else {
        match (hole.tolerance_mm.filter(|_| !cut_as_it_is), comes_out_mm) {
            (Some(tolerance_mm), Some(expected_mm)) if tolerance_mm < expected_mm => Because::HeldCloser {
                tolerance_mm,
                expected_mm,
            },
            (Some(tolerance_mm), None) => Because::CutNotKnown { tolerance_mm },
            _ => Because::WideEnough { least_mm },
        }
    };
    let way = if matches!(because, Because::WideEnough { .. }) {
        HoleWay::CutToSize
    } else {
        let asked = Drilled {
            dia_mm,
            tolerance_mm: hole
                .tolerance_mm
                .filter(|_| !matches!(because, Because::Tapped { .. })),
            least_mm,
            expected_mm: comes_out_mm.unwrap_or(by_kerf_mm),
        };
        asked.way(stock.family, &because, profile, book)
    };
    let cut_first = matches!(
        way,
        HoleWay::Drill {
            before: Before::CutTo { .. },
            ..
        }
    );
    Ok(HolePlan {
        name: hole.name.clone(),
        dia_mm,
        hard_edge: cut_first && profile.process.hardens(stock.family),
        way,
        because,
        expected_mm: expected,
        by_kerf_mm,
    })
}

/// The same hole drilled from a mark at its centre, since it cannot be cut; none when it is drilled so already, or larger than
/// a small shop drills. One that was to be drilled anyway keeps its reason and its drills.
pub(crate) fn drilled(planned: &HolePlan, because: Because, book: &Handbook) -> Option<HolePlan> {
    if planned.dia_mm > book.limit(Limit::LargestDrill).value {
        return None;
    }
    let (because, drills, ream_to_mm, beyond_mm) = match &planned.way {
        HoleWay::CutToSize => {
            let drills = Box::new(Drills::at_least(book, planned.dia_mm));
            (because, drills, None, None)
        }
        HoleWay::Drill {
            before: Before::CentreMark,
            ..
        } => return None,
        HoleWay::Drill {
            drills,
            ream_to_mm,
            beyond_mm,
            ..
        } => (planned.because.clone(), drills.clone(), *ream_to_mm, *beyond_mm),
    };
    Some(HolePlan {
        way: HoleWay::Drill {
            before: Before::CentreMark,
            drills,
            ream_to_mm,
            beyond_mm,
        },
        because,
        hard_edge: false,
        ..planned.clone()
    })
}

/// A hole that is drilled to size.
struct Drilled {
    dia_mm: f64,
    tolerance_mm: Option<f64>,
    least_mm: f64,
    expected_mm: f64,
}

impl Drilled {
    fn way(&self, family: Family, because: &Because, profile: &Profile, book: &Handbook) -> HoleWay {
        let drilled_mm = book.limit(Limit::DrilledHole).value;
        let largest_mm = book.limit(Limit::LargestDrill).value;
        let ream_to_mm = self
            .tolerance_mm
            .filter(|tolerance_mm| *tolerance_mm < drilled_mm)
            .map(|_| self.dia_mm);
        let drill_mm = self.dia_mm - ream_to_mm.map_or(0.0, |_| LEFT_TO_REAM_MM);
        // The drill takes the burnt edge on both sides, and the cut hole is nowhere wider than the drill.
        let cut_mm = drill_mm - (2.0 * profile.holes.leave_to_drill_mm).max(self.expected_mm);
        // A plain centre guides a drill better than a rough hole, and one that is hard besides worse than none; a hole
        // is cut first where the drill would have much to do.
        let tapped_small = matches!(because, Because::Tapped { .. }) && drill_mm <= largest_mm;
        let hard_small = profile.process.hardens(family) && drill_mm <= largest_mm;
        let before = if cut_mm < self.least_mm || tapped_small || hard_small {
            Before::CentreMark
        } else {
            Before::CutTo { dia_mm: cut_mm }
        };
        HoleWay::Drill {
            before,
            drills: Box::new(if ream_to_mm.is_some() {
                Drills::at_most(book, drill_mm)
            } else {
                Drills::at_least(book, drill_mm)
            }),
            ream_to_mm,
            beyond_mm: (drill_mm > largest_mm).then_some(largest_mm),
        }
    }
}

#[cfg(test)]
mod tests;
