//! What thickness and radius take from the card at each bend, and where they put each panel.

use nalgebra::{Isometry3, Translation3, Unit, UnitQuaternion};
use plane::Vector;

use crate::allowance::{allowance_mm, set_back_mm};
use crate::error::SheetError;
use crate::part::{Crease, Mockup, Relief};
use crate::tree::{Join, Tree};
use crate::trim::{BendCut, ReliefSize};

/// By how much the card's own thickness carried the sharp corner beyond its crease, on each side: d tan(A/2) - A c/4.
///
/// Card folds sharp about its inside face with the neutral line in its middle, so a leg measured to the crease is
/// shorter than the outside leg it makes.
fn card_growth_mm(crease: &Crease, mockup: &Mockup) -> f64 {
    let face_mm = mockup.lines_on.off_inside_mm(crease.way, mockup.card_mm);
    face_mm * (crease.bent_rad / 2.0).tan() - crease.bent_rad * mockup.card_mm / 4.0
}

/// Set-back and relief of every bend.
pub(crate) fn bend_cuts(mockup: &Mockup, thickness_mm: f64) -> Result<Vec<BendCut>, SheetError> {
    let cut = |crease: &Crease| {
        let face_mm = mockup.lines_on.off_inside_mm(crease.way, thickness_mm);
        let back_mm =
            set_back_mm(crease.bent_rad, crease.radius_mm, face_mm) - card_growth_mm(crease, mockup);
        // A card and a plate that take up the same leave rounding on either side of 0.
        if back_mm < -plane::SAME_POINT_MM {
            return Err(SheetError::CardTooThick {
                bend: crease.name.clone(),
                card_mm: mockup.card_mm,
                over_mm: -back_mm,
            });
        }
        let relief = match crease.relief {
            Relief::Auto { least_width_mm } => Some(ReliefSize {
                width_mm: thickness_mm.max(least_width_mm),
                past_mm: crease.radius_mm,
            }),
            Relief::Slot { width_mm, past_mm } => Some(ReliefSize { width_mm, past_mm }),
            Relief::None => None,
        };
        Ok(BendCut {
            set_back_mm: back_mm.max(0.0),
            relief,
        })
    };
    mockup.creases.iter().map(cut).collect()
}

/// Where each panel goes: its slide onto the blank, and its place in the folded part.
pub(crate) fn place_panels(
    mockup: &Mockup,
    tree: &Tree,
    cuts: &[BendCut],
    thickness_mm: f64,
) -> (Vec<Vector>, Vec<Isometry3<f64>>) {
    let mut slides = vec![Vector::zeros()];
    let mut places = vec![Isometry3::identity()];
    for index in tree.hangs_on.iter().flatten() {
        let (crease, join) = (&mockup.creases[*index], &tree.joins[*index]);
        let strip_mm = allowance_mm(
            crease.bent_rad,
            crease.radius_mm,
            crease.neutral_share,
            thickness_mm,
        );
        let slide = join.toward_moving() * (strip_mm - 2.0 * cuts[*index].set_back_mm);
        slides.push(slides[join.fixed] + slide);
        places.push(places[join.fixed] * turn(crease, join, card_growth_mm(crease, mockup)));
    }
    (slides, places)
}

/// From the moving panel's card axes to the fixed panel's: out by what the card took up on both sides, then about the
/// sharp corner of the lines' face.
fn turn(crease: &Crease, join: &Join, growth_mm: f64) -> Isometry3<f64> {
    let out = join.toward_moving();
    let corner = (join.ray.at + out * growth_mm).coords.push(0.0);
    let axis = Unit::new_unchecked(join.ray.along.push(0.0));
    let turned = UnitQuaternion::from_axis_angle(&axis, crease.way.sign() * crease.bent_rad);
    Translation3::from(corner) * turned * Translation3::from((out * (2.0 * growth_mm)).push(0.0) - corner)
}
