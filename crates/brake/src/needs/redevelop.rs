//! The blank again with the radii that will really come, and what that changes leg by leg.

use sheet::{Mockup, Part, SheetError, develop};

/// A bend as it will come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrueBend {
    /// Index into [`Mockup::creases`].
    pub bend: usize,
    /// Inside radius, mm.
    pub radius_mm: f64,
    /// K.
    pub neutral_share: f64,
}

/// What changes at one bend.
#[derive(Debug, Clone, PartialEq)]
pub struct BendChange {
    /// The bend's name.
    pub bend: String,
    /// Inside radius as drawn and as it comes, mm.
    pub radius_mm: [f64; 2],
    /// Width of its strip on the blank, before and after, mm.
    pub strip_mm: [f64; 2],
    /// How much shorter the blank is than the outside legs, before and after, mm.
    pub deduction_mm: [f64; 2],
}

/// What changes of one panel.
#[derive(Debug, Clone, PartialEq)]
pub struct LegChange {
    /// The panel's name.
    pub panel: String,
    /// How far it lies elsewhere on the blank, mm.
    pub slides_mm: f64,
    /// Its flat between the tangent lines grows by this, mm2: below 0 it shrinks.
    pub flat_mm2: f64,
}

/// The part developed again.
#[derive(Debug, Clone, PartialEq)]
pub struct Redeveloped {
    /// With the radii that come.
    pub part: Part,
    /// Bend by bend.
    pub bends: Vec<BendChange>,
    /// Leg by leg.
    pub legs: Vec<LegChange>,
    /// The most that any leg lies elsewhere on the blank, mm.
    pub most_mm: f64,
}

/// The card developed with the radii that will come, beside the part as it was drawn.
pub fn redevelop(mockup: &Mockup, drawn: &Part, true_bends: &[TrueBend]) -> Result<Redeveloped, SheetError> {
    let mut card = mockup.clone();
    for come in true_bends {
        if let Some(crease) = card.creases.get_mut(come.bend) {
            crease.radius_mm = come.radius_mm;
            crease.neutral_share = come.neutral_share;
        }
    }
    let part = develop(&card, drawn.thickness_mm)?;
    let bends = drawn
        .bends
        .iter()
        .zip(&part.bends)
        .map(|(was, is)| BendChange {
            bend: was.name.clone(),
            radius_mm: [was.radius_mm, is.radius_mm],
            strip_mm: [was.allowance_mm, is.allowance_mm],
            deduction_mm: [was.deduction_mm, is.deduction_mm],
        })
        .collect();
    let legs: Vec<LegChange> = drawn
        .panels
        .iter()
        .zip(&part.panels)
        .map(|(was, is)| LegChange {
            panel: was.name.clone(),
            slides_mm: (is.to_blank - was.to_blank).norm(),
            flat_mm2: is.flat.area_mm2() - was.flat.area_mm2(),
        })
        .collect();
    let most_mm = legs.iter().map(|leg| leg.slides_mm).fold(0.0, f64::max);
    Ok(Redeveloped {
        part,
        bends,
        legs,
        most_mm,
    })
}
