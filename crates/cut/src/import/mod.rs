//! A drawing from elsewhere becomes outlines: a customer's DXF, or an older one of the shop's own.
//!
//! What must be guessed is asked ([`Answer::AskUnits`]); what is mended or left out is said ([`Note`]). Any file gives an
//! answer or an error with its line, in bounded time and memory: the limits are the named constants of this module.

mod curve;
mod entity;
mod error;
mod expand;
mod join;
mod loops;
mod nest;
mod note;
mod pairs;
mod placing;
mod spline;
mod sweep;
#[cfg(test)]
mod tests;
mod unit;

use plane::Region;

pub use error::ImportError;
pub use expand::{DEEPEST_BLOCKS, MOST_EDGES, MOST_ENTITIES};
pub use join::JOIN_MM;
pub use note::Note;
pub use pairs::{LONGEST_FILE_BYTES, MOST_PAIRS};
pub use spline::{MOST_CONTROL_POINTS, MOST_DEGREE};
pub use sweep::MOST_LOOKS;
pub use unit::{DrawingUnit, LARGEST_PLAUSIBLE_MM, LEAST_PLAUSIBLE_MM, WhyAsk};

/// How a drawing is to be taken.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportOptions {
    /// The unit, when the user has said it; else the file's own.
    pub unit: Option<DrawingUnit>,
    /// Splines and ellipses become straight lines within this, mm.
    pub flatten_mm: f64,
    /// Layers that are left out, by name.
    pub without_layers: Vec<String>,
}

impl Default for ImportOptions {
    /// The file's own unit, every layer, and lines within 0.02 mm: far under what a torch or a laser can show.
    fn default() -> ImportOptions {
        ImportOptions {
            unit: None,
            flatten_mm: 0.02,
            without_layers: Vec::new(),
        }
    }
}

/// What came of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// Outlines.
    Outlines(Imported),
    /// The unit must be asked first.
    AskUnits {
        /// Why.
        why: WhyAsk,
        /// Width and height if the numbers are mm, in mm.
        if_mm: [f64; 2],
        /// Width and height if the numbers are inches, in mm.
        if_inch_mm: [f64; 2],
    },
}

/// Outlines in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported {
    /// Pieces of material, largest first, each with its holes.
    pub regions: Vec<Region>,
    /// What was done on the way.
    pub notes: Vec<Note>,
    /// The unit in which the numbers were read.
    pub unit: DrawingUnit,
    /// Names of the layers that something was drawn on, in order.
    pub layers: Vec<String>,
}

/// Reads a drawing.
///
/// # Errors
/// [`ImportError`] with the line, when the file is broken, holds nothing closed, or its outlines cross.
pub fn import_dxf(bytes: &[u8], options: &ImportOptions) -> Result<Answer, ImportError> {
    let text = pairs::text_of(bytes)?;
    let pairs = pairs::pairs(&text)?;
    let drawing = entity::read(&pairs)?;
    let stated = options.unit.or(drawing.unit);
    let unit = stated.unwrap_or(DrawingUnit::Inch);
    let flat = expand::expand(&drawing, options, unit)?;
    let Some((low, high)) = sweep::bounds(flat.runs.iter().flat_map(|run| &run.edges)) else {
        return Err(ImportError::NothingDrawn);
    };
    let size = high - low;
    let why = match (options.unit, drawing.unit) {
        (Some(_), _) => None,
        (None, None) => Some(WhyAsk::Silent),
        (None, Some(unit)) => unit::implausible(size.x.max(size.y)).then_some(WhyAsk::Implausible { unit }),
    };
    if let Some(why) = why {
        let numbers = [size.x, size.y].map(|mm| mm / unit.in_mm());
        return Ok(Answer::AskUnits {
            why,
            if_mm: numbers,
            if_inch_mm: numbers.map(|number| number * 25.4),
        });
    }
    let mut notes = flat.notes;
    let loops = join::closed_loops(flat.runs, &mut notes)?;
    let outlines = loops::sound(loops, &mut notes)?;
    let regions = nest::regions(outlines)?;
    if regions.is_empty() {
        return Err(ImportError::NothingClosed { notes });
    }
    Ok(Answer::Outlines(Imported {
        regions,
        notes,
        unit,
        layers: flat.layers,
    }))
}
