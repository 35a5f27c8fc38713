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
    /// From the line of each bend at it to its far edge, on the blank: what a gauge or a rule is set to.
    pub reaches: Vec<Reach>,
}

/// From the middle of a bend to the far edge of a leg at it, or to the middle of the bend there.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// The bend's name.
    pub bend: String,
    /// Square to the bend on the blank, before and after, mm.
    pub mm: [f64; 2],
}

/// From the middle of the bend to the farthest of the panel on its own side of the bend, square to the bend on the blank, mm:
/// its edge, or the middle of a bend beyond it. What of the panel reaches past the end of the bend to the other side is no
/// leg of this bend.
fn reach_mm(part: &Part, bend: usize, panel: usize) -> Option<f64> {
    let (own, leg) = (&part.bends[bend], &part.panels[panel]);
    let strip = own.strips.first()?;
    let middle = nalgebra::center(&strip.fixed[0], &strip.moving[0]);
    // The moving panel lies to the left of the bend's direction.
    let left = plane::Vector::new(-own.along.y, own.along.x);
    let edge = leg
        .flat
        .outer
        .flattened(FLAT_MM)
        .into_iter()
        .map(|at| at + leg.to_blank);
    let others = part.bends.iter().enumerate();
    let beyond = others
        .filter(|(index, other)| *index != bend && (other.fixed == panel || other.moving == panel))
        .flat_map(|(_, other)| &other.strips)
        .flat_map(|strip| [0, 1].map(|end| nalgebra::center(&strip.fixed[end], &strip.moving[end])));
    let out = if own.moving == panel { left } else { -left };
    Some(
        edge.chain(beyond)
            .map(|at| (at - middle).dot(&out))
            .fold(0.0, f64::max),
    )
}

/// Round ends of legs are measured over a polygon that stays so near them, mm: far under what a rule shows.
const FLAT_MM: f64 = 0.01;

fn reaches(drawn: &Part, part: &Part, panel: usize) -> Vec<Reach> {
    let at = |bend: &sheet::Bend| bend.fixed == panel || bend.moving == panel;
    let bends = drawn.bends.iter().enumerate().filter(|(_, bend)| at(bend));
    bends
        .filter_map(|(index, bend)| {
            Some(Reach {
                bend: bend.name.clone(),
                mm: [reach_mm(drawn, index, panel)?, reach_mm(part, index, panel)?],
            })
        })
        .collect()
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
    /// Width and height of the blank, before and after, mm.
    pub sizes_mm: [[f64; 2]; 2],
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
        .enumerate()
        .map(|(index, (was, is))| LegChange {
            panel: was.name.clone(),
            reaches: reaches(drawn, &part, index),
            slides_mm: (is.to_blank - was.to_blank).norm(),
            flat_mm2: is.flat.area_mm2() - was.flat.area_mm2(),
        })
        .collect();
    let most_mm = legs.iter().map(|leg| leg.slides_mm).fold(0.0, f64::max);
    let size_mm = |part: &Part| {
        let (low, high) = part.blank.region.outer.bounds();
        [high.x - low.x, high.y - low.y]
    };
    Ok(Redeveloped {
        sizes_mm: [size_mm(drawn), size_mm(&part)],
        part,
        bends,
        legs,
        most_mm,
    })
}
