//! The plate on its way from the flat blank to its shape.

use nalgebra::{Isometry3, Translation3, Unit};
use plane::Point;

use crate::fold::{about_bend, bend_axis_over};
use crate::part::{Bend, Part};

/// A bend that has turned through less is as good as flat: over any part it lifts the plate by a few millionths of a
/// millimetre, and the axis of a curve still flatter would be too far away to reckon with.
const FLAT_RAD: f64 = 1e-8;

impl Part {
    /// The same plate with every bend made only in part: `shares` of what each is bent through, 0 (flat) to 1 (all of it),
    /// in the order of [`Part::bends`]; one that is not said is flat. Creases that a window parts want one share.
    ///
    /// The strip of a bend is as wide as in the finished part and curved evenly all over, so that its neutral line keeps
    /// its length: its radius is allowance / angle - K t, and comes down to the drawn one as the angle comes up to its own.
    /// (A tool curves it from the middle outward; no panel stands elsewhere for that by more than a part of the strip.)
    /// The first panel stays where it is. Deductions and set-backs are those of the finished part; seams are left out, as
    /// they are open until the last.
    pub fn part_way(&self, shares: &[f64]) -> Part {
        let mut part = self.clone();
        part.seams = Vec::new();
        for (index, bend) in part.bends.iter_mut().enumerate() {
            let share = shares.get(index).copied().unwrap_or(0.0).clamp(0.0, 1.0);
            bend.bent_rad = (bend.bent_rad * share).max(FLAT_RAD.min(bend.bent_rad));
            bend.radius_mm = if share < 1.0 {
                bend.allowance_mm / bend.bent_rad - bend.neutral_share * part.thickness_mm
            } else {
                bend.radius_mm
            };
        }
        let blank_places = part.blank_places();
        for (panel, place) in part.panels.iter_mut().zip(&blank_places) {
            panel.to_folded = place * Translation3::from(panel.to_blank.push(0.0));
        }
        for index in 0..part.bends.len() {
            let bend = &part.bends[index];
            let place = blank_places[bend.fixed];
            let off_mm = bend.radius_mm + part.lines_on.off_inside_mm(bend.way, part.thickness_mm);
            let tangent = bend
                .strips
                .first()
                .map_or(Point::origin(), |strip| strip.fixed[0]);
            let axis_at = place * bend_axis_over(tangent, bend.way, off_mm);
            let axis = Unit::new_normalize(place * bend.along.push(0.0));
            let bend = &mut part.bends[index];
            (bend.axis_at, bend.axis) = (axis_at, axis);
        }
        part
    }

    /// For each panel, from blank axes to where it stands. A panel comes after the one it hangs on.
    fn blank_places(&self) -> Vec<Isometry3<f64>> {
        let mut places: Vec<Isometry3<f64>> = Vec::new();
        for panel in &self.panels {
            let hangs_on = panel.hangs_on.and_then(|bend| self.bends.get(bend));
            let place = hangs_on.and_then(|bend| Some(places.get(bend.fixed)? * self.turned(bend)));
            places.push(place.unwrap_or_default());
        }
        places
    }

    fn turned(&self, bend: &Bend) -> Isometry3<f64> {
        if bend.bent_rad <= FLAT_RAD {
            Isometry3::identity()
        } else {
            about_bend(bend, self.lines_on, self.thickness_mm)
        }
    }
}
