//! The bent strip from its side, with what is read on it.

use std::fmt::Write as _;

use plane::{Point, Vector};

use super::{BentStrip, letter};
use crate::canvas::{Canvas, fixed};
use crate::figures;
use crate::frame::{Frame, around};
use crate::ink::{Ink, KRAFT};
use crate::lettering::Lettering;
use crate::table::paragraph;

/// Room round the strip for letters and words, mm on paper: across, down.
const ROOM_MM: [f64; 2] = [44.0, 32.0];
/// How far off the strip the legs' lengths stand, mm on paper.
const OFF_MM: f64 = 6.0;
/// The plate is drawn at least so thick, mm on paper.
const THIN_MM: f64 = 1.2;

/// Draws it in `area`; only words when it cannot be drawn.
pub(super) fn draw(page: &mut Canvas, area: Frame, bent: &BentStrip) {
    page.rectangle(area, Ink::Thin, None);
    let set = Lettering::SMALL;
    let words = format!(
        "the strip bent, from its side: {}; not to scale",
        figures::bend_angles(bent.bent_rad).join(", ")
    );
    paragraph(
        page,
        Point::new(area.left + 2.0, area.top + 2.0),
        area.width - 4.0,
        &words,
        set,
    );
    let Some(shape) = Shape::of(bent) else { return };
    let Some(bounds) = around(shape.outside.into_iter().chain(shape.inside)) else {
        return;
    };
    let factor = ((area.width - ROOM_MM[0]) / bounds.width.max(1e-6))
        .min((area.height - ROOM_MM[1]) / bounds.height.max(1e-6));
    let middle = Point::new(area.centre().x, area.centre().y + 2.0);
    let on = |at: Point| {
        Point::new(
            middle.x + (at.x - bounds.centre().x) * factor,
            middle.y - (at.y - bounds.centre().y) * factor,
        )
    };
    shape.draw(page, &on, factor);
    // A leg is measured along its outside, from its end to the outside of the other.
    let [first, corner, second] = [shape.outside[0], shape.corner, shape.outside[3]].map(on);
    for (end, words, side) in [(first, &bent.letters[0], -1.0), (second, &bent.letters[1], 1.0)] {
        let along = (end - corner).try_normalize(0.0).unwrap_or_else(Vector::zeros);
        let out = Vector::new(-along.y, along.x) * (side * OFF_MM);
        for at in [end, corner] {
            page.line(at + out * 0.15, at + out * 1.2, Ink::Thin);
        }
        let (from, to) = (end + out, corner + out);
        let centre = nalgebra::center(&from, &to);
        page.arrow(centre, from, Ink::Thin);
        page.arrow(centre, to, Ink::Thin);
        letter(page, centre + out * 0.6, words);
    }
    // The angle is read between the legs.
    let between = on(shape.inner_corner);
    let ways =
        [first - corner, second - corner].map(|way| way.try_normalize(0.0).unwrap_or_else(Vector::zeros));
    let into = (ways[0] + ways[1])
        .try_normalize(1e-6)
        .unwrap_or_else(|| Vector::new(0.0, -1.0));
    letter(page, between + into * 12.0, &bent.letters[2]);
    // Thickness at the free end of the first leg.
    let ends = [shape.outside[0], shape.inside[0]].map(on);
    let away = ways[0] * 4.0;
    for at in ends {
        page.line(at + away * 0.2, at + away, Ink::Thin);
    }
    letter(
        page,
        nalgebra::center(&ends[0], &ends[1]) + away * 1.9,
        &bent.letters[3],
    );
}

/// The strip's outline: for outside and inside the end of the first leg, where the round begins and ends, the end of the second.
struct Shape {
    outside: [Point; 4],
    inside: [Point; 4],
    corner: Point,
    inner_corner: Point,
    radii_mm: [f64; 2],
}

impl Shape {
    /// First leg to the left along x, second leg bent up from it.
    fn of(bent: &BentStrip) -> Option<Self> {
        let (r, t, turn) = (bent.radius_mm.max(0.0), bent.thickness_mm, bent.bent_rad);
        let fine = turn > 0.01
            && turn < std::f64::consts::PI - 0.01
            && t > 0.0
            && bent.legs_mm.iter().all(|leg| *leg > 0.0);
        if !fine || !r.is_finite() || !t.is_finite() || bent.legs_mm.iter().any(|leg| !leg.is_finite()) {
            return None;
        }
        let set_back = |radius: f64| radius * (turn / 2.0).tan();
        let (sine, cosine) = turn.sin_cos();
        let along = Vector::new(cosine, sine);
        let up = Vector::new(-sine, cosine);
        let corner = Point::new(0.0, 0.0);
        let inner_corner = corner + Vector::new(-t * (turn / 2.0).tan(), t);
        let [first, second] = bent.legs_mm;
        let outside = [
            corner - Vector::new(first, 0.0),
            corner - Vector::new(set_back(r + t), 0.0),
            corner + along * set_back(r + t),
            corner + along * second,
        ];
        let inside = [
            outside[0] + Vector::new(0.0, t),
            inner_corner - Vector::new(set_back(r), 0.0),
            inner_corner + along * set_back(r),
            outside[3] + up * t,
        ];
        Some(Self {
            outside,
            inside,
            corner,
            inner_corner,
            radii_mm: [r + t, r],
        })
    }

    fn draw(&self, page: &mut Canvas, on: &impl Fn(Point) -> Point, factor: f64) {
        let [outer, inner] = self.radii_mm.map(|radius| fixed(radius * factor));
        let out = self.outside.map(on);
        let ins = self.inside.map(on);
        let mut commands = String::new();
        let mut go = |word: &str, at: Point| {
            let _ = write!(commands, "{word}{} {}", fixed(at.x), fixed(at.y));
        };
        go("M", out[0]);
        go("L", out[1]);
        // Up on paper is the other way round: the bend turns counter-clockwise.
        go(&format!("A{outer} {outer} 0 0 0 "), out[2]);
        go("L", out[3]);
        go("L", ins[3]);
        go("L", ins[2]);
        go(&format!("A{inner} {inner} 0 0 1 "), ins[1]);
        go("L", ins[0]);
        commands.push('Z');
        let thick = (self.radii_mm[0] - self.radii_mm[1]) * factor;
        let ink = if thick < THIN_MM { Ink::Seen } else { Ink::Edge };
        page.path(&commands, ink, Some(KRAFT));
    }
}
