//! The blank against the sheets at hand.

use plane::{Point, Vector};
use sheet::Part;

use super::concern::{Breach, Concern, Fix, Weight};
use super::limits::Limits;

/// A sheet or remnant of the right stock.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetAtHand {
    /// What the shop calls it.
    pub name: String,
    /// Across and along, mm.
    pub size_mm: [f64; 2],
}

/// Blanks longer than the sheet by less than this fit: a tenth of what a tape reads.
const SAME_LENGTH_MM: f64 = 0.05;
/// Arcs are followed this closely.
const CHORD_MM: f64 = 0.05;
/// The blank is tried at every whole degree: the box grows at most by its diagonal times half a degree between two.
const TURNS: u16 = 180;

pub(super) fn larger_than_all(part: &Part, limits: &Limits, sheets: &[SheetAtHand]) -> Option<Concern> {
    let corners = part.blank.region.outer.flattened(CHORD_MM);
    let margin_mm = limits.sheet_margin_mm.value;
    let mut nearest: Option<Lay<'_>> = None;
    // Square to the sheet first: a blank that fits square is never said to need turning.
    let turns = [0, 90]
        .into_iter()
        .chain((0..TURNS).filter(|turn| turn % 90 != 0));
    for turned_deg in turns {
        let across = Vector::new(
            f64::from(turned_deg).to_radians().cos(),
            f64::from(turned_deg).to_radians().sin(),
        );
        let along = Vector::new(-across.y, across.x);
        let blank_mm = [extent_mm(&corners, across), extent_mm(&corners, along)];
        for sheet in sheets {
            let over_mm = [0, 1].map(|side| blank_mm[side] + 2.0 * margin_mm - sheet.size_mm[side]);
            let lay = Lay {
                sheet,
                blank_mm,
                over_mm,
                axes: [across, along],
            };
            if lay.worst_mm() <= SAME_LENGTH_MM {
                return None;
            }
            if nearest
                .as_ref()
                .is_none_or(|best| lay.worst_mm() < best.worst_mm() - SAME_LENGTH_MM)
            {
                nearest = Some(lay);
            }
        }
    }
    let lay = nearest?;
    let side = usize::from(lay.over_mm[1] > lay.over_mm[0]);
    let upright_mm = [Vector::x(), Vector::y()].map(|axis| extent_mm(&corners, axis) + 2.0 * margin_mm);
    Some(Concern {
        what: Breach::LargerThanEverySheet {
            nearest: lay.sheet.name.clone(),
            blank_mm: lay.blank_mm,
        },
        at: part.blank.region.centroid(),
        weight: Weight::Stop,
        found_mm: lay.blank_mm[side] + 2.0 * margin_mm,
        limit_mm: lay.sheet.size_mm[side],
        rests_on: limits.sheet_margin_mm.clone(),
        fixes: vec![
            Fix::LargerSheet { size_mm: upright_mm },
            Fix::Shorten {
                by_mm: lay.worst_mm(),
                along: lay.axes[side],
            },
        ],
    })
}

/// The blank laid on a sheet.
struct Lay<'a> {
    sheet: &'a SheetAtHand,
    blank_mm: [f64; 2],
    over_mm: [f64; 2],
    axes: [Vector; 2],
}

impl Lay<'_> {
    fn worst_mm(&self) -> f64 {
        self.over_mm[0].max(self.over_mm[1])
    }
}

fn extent_mm(corners: &[Point], axis: Vector) -> f64 {
    let reach =
        |pick: fn(f64, f64) -> f64, from: f64| corners.iter().map(|p| p.coords.dot(&axis)).fold(from, pick);
    reach(f64::max, f64::NEG_INFINITY) - reach(f64::min, f64::INFINITY)
}
