//! The slanting side of a bend: two helices and the ruled surface between them, as splines.

use nalgebra::{Point3, Vector3};

use super::entities::{Entities, Id, list, real};
use crate::solid::{BentStrip, Level};

/// The spline may stand off the true helix by this.
const HELIX_ERROR_MM: f64 = 1e-8;

/// Pieces of fifth degree that agree with the helix in place, slope and curvature at every knot.
const DEGREE: usize = 5;
/// Each knot between two pieces stands three times, so that the second derivative still runs through.
const KNOT_TIMES: usize = 3;

/// A slanting end (0 or 1) of a strip: how many pieces its splines have.
pub(super) struct SlantingEnd<'a> {
    strip: &'a BentStrip,
    end: usize,
    pieces: usize,
}

impl<'a> SlantingEnd<'a> {
    pub(super) fn new(strip: &'a BentStrip, end: usize) -> Self {
        // Between two knots h apart a fifth-degree piece is off by f''''''(h/2)^6 / 720, and f'''''' of a circle of
        // radius r is r.
        let radius_mm = strip.radius_mm(strip.inside.other());
        let step_rad = 2.0 * (720.0 * HELIX_ERROR_MM / radius_mm).powf(1.0 / 6.0);
        let pieces = (strip.turn_rad.abs() / step_rad).ceil().max(1.0) as usize;
        SlantingEnd { strip, end, pieces }
    }

    /// The helix on one face of the plate, from the fixed to the moving panel.
    pub(super) fn curve(&self, entities: &mut Entities, level: Level) -> Id {
        let poles: Vec<Id> = self
            .poles(level)
            .into_iter()
            .map(|pole| entities.point(pole))
            .collect();
        let (times, knots) = self.knots();
        entities.add(format!(
            "B_SPLINE_CURVE_WITH_KNOTS('',{DEGREE},{},.UNSPECIFIED.,.F.,.F.,{times},{knots},.UNSPECIFIED.)",
            list(poles)
        ))
    }

    /// The surface ruled from the inside to the outside helix: first along the turn, then outward.
    pub(super) fn surface(&self, entities: &mut Entities) -> Id {
        let inside = self.poles(self.strip.inside);
        let outside = self.poles(self.strip.inside.other());
        let rows: Vec<String> = inside
            .into_iter()
            .zip(outside)
            .map(|pair| list([entities.point(pair.0), entities.point(pair.1)]))
            .collect();
        let (times, knots) = self.knots();
        entities.add(format!(
            "B_SPLINE_SURFACE_WITH_KNOTS('',{DEGREE},1,{},.UNSPECIFIED.,.F.,.F.,.F.,{times},(2,2),{knots},(0.,1.),\
             .UNSPECIFIED.)",
            list(rows)
        ))
    }

    fn knots(&self) -> (String, String) {
        let ends = DEGREE + 1;
        let times = (0..=self.pieces).map(|i| {
            if i == 0 || i == self.pieces {
                ends
            } else {
                KNOT_TIMES
            }
        });
        (list(times), list((0..=self.pieces).map(|i| real(self.share(i)))))
    }

    fn share(&self, knot: usize) -> f64 {
        knot as f64 / self.pieces as f64
    }

    /// Place, first and second derivative by the share of the turn.
    fn helix(&self, share: f64, level: Level) -> [Vector3<f64>; 3] {
        let strip = self.strip;
        let radius_mm = strip.radius_mm(level);
        let spoke = strip.spoke(share);
        let slide_mm = strip.moving_mm[self.end] - strip.fixed_mm[self.end];
        let axis = strip.axis.into_inner();
        [
            strip
                .at(share, strip.along_mm(share, self.end as f64), level)
                .coords,
            axis * slide_mm + axis.cross(&spoke) * (radius_mm * strip.turn_rad),
            -spoke * (radius_mm * strip.turn_rad.powi(2)),
        ]
    }

    /// The six control points of one piece on its own.
    fn piece(&self, piece: usize, level: Level) -> [Vector3<f64>; DEGREE + 1] {
        let step = 1.0 / self.pieces as f64;
        let [from, from_1, from_2] = self.helix(self.share(piece), level);
        let [to, to_1, to_2] = self.helix(self.share(piece + 1), level);
        let (first, second) = (step / 5.0, step * step / 20.0);
        [
            from,
            from + from_1 * first,
            from + from_1 * (2.0 * first) + from_2 * second,
            to - to_1 * (2.0 * first) + to_2 * second,
            to - to_1 * first,
            to,
        ]
    }

    /// The control points of the whole spline: each is the polar form of a piece at five knots in a row.
    fn poles(&self, level: Level) -> Vec<Point3<f64>> {
        let mut knots = vec![0; DEGREE + 1];
        (1..self.pieces).for_each(|knot| knots.extend([knot; KNOT_TIMES]));
        knots.extend([self.pieces; DEGREE + 1]);
        (0..knots.len() - DEGREE - 1)
            .map(|i| {
                let at = &knots[i + 1..=i + DEGREE];
                let piece = at[0].min(self.pieces - 1);
                let mut points = self.piece(piece, level);
                for (done, &knot) in at.iter().enumerate() {
                    let share = knot as f64 - piece as f64;
                    for k in 0..DEGREE - done {
                        points[k] += (points[k + 1] - points[k]) * share;
                    }
                }
                Point3::from(points[0])
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::FoldedPlate;
    use crate::solid::sample::{Leg, with_leg};

    /// The spline worked out by the recurrence of its basis functions, apart from the way it was made.
    fn on_spline(end: &SlantingEnd, level: Level, share: f64) -> Point3<f64> {
        let mut knots = vec![0.0; DEGREE + 1];
        (1..end.pieces).for_each(|knot| knots.extend([end.share(knot); KNOT_TIMES]));
        knots.extend([1.0; DEGREE + 1]);
        let weight = |i: usize| basis(&knots, i, DEGREE, share);
        let sum = end
            .poles(level)
            .iter()
            .enumerate()
            .fold(Vector3::zeros(), |sum, (i, pole)| sum + pole.coords * weight(i));
        Point3::from(sum)
    }

    fn basis(knots: &[f64], i: usize, degree: usize, at: f64) -> f64 {
        if degree == 0 {
            return f64::from(u8::from(knots[i] <= at && at < knots[i + 1]));
        }
        let part = |over: f64, under: f64| if under == 0.0 { 0.0 } else { over / under };
        part(at - knots[i], knots[i + degree] - knots[i]) * basis(knots, i, degree - 1, at)
            + part(knots[i + degree + 1] - at, knots[i + degree + 1] - knots[i + 1])
                * basis(knots, i + 1, degree - 1, at)
    }

    #[test]
    fn the_spline_follows_the_helix() {
        let part = with_leg(Leg {
            slides_mm: [-3.0, 2.0],
            radius_mm: 9.0,
            bent_deg: 130.0,
            ..Leg::default()
        });
        let plate = FoldedPlate::of(&part).expect("the sample has a body");
        let strip = &plate.strips[0];
        for index in [0, 1] {
            let end = SlantingEnd::new(strip, index);
            for level in Level::BOTH {
                for i in 0..97 {
                    let share = f64::from(i) / 97.0;
                    let true_place = strip.at(share, strip.along_mm(share, index as f64), level);
                    let off_mm = (on_spline(&end, level, share) - true_place).norm();
                    assert!(
                        off_mm < 2.0 * HELIX_ERROR_MM,
                        "{off_mm} at {share} with {} pieces",
                        end.pieces
                    );
                }
            }
        }
    }
}
