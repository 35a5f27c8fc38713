//! The same work with some of its bends made by closing a saw kerf.
//!
//! A web that is left under a kerf of depth d comes round with its inside d from the middle of its circle, which then lies in the
//! plate's inside face. Seen from that face it is a bend of inside radius 0 whose strip is as wide as the kerf.

use plane::Point;

use super::altered::clipped;
use super::bodies::bent_strip;
use super::{Solid, Work};
use crate::solid::Prism;

/// Plate that reaches past an end of a bend by less than this stands beside it, mm.
const BESIDE_MM: f64 = 1.0;

impl Work {
    /// The work with each of these lines bent by closing a kerf as wide as said, mm; lines are indices, none twice. Same steps, same
    /// bodies, same blank.
    pub(crate) fn sawn(&self, kerfs: &[(usize, f64)]) -> Work {
        let mut work = self.clone();
        for &(line, wide_mm) in kerfs {
            work.saw(line, wide_mm);
        }
        work
    }

    fn saw(&mut self, line: usize, wide_mm: f64) {
        let t_mm = self.thickness_mm;
        let half_mm = wide_mm / 2.0;
        let made = &mut self.lines[line];
        made.radius_mm = 0.0;
        made.neutral_mm = wide_mm / made.bent_rad;
        let made = made.clone();
        let to_blank = made.frame.inverse();
        let sections = made.spans_mm.iter().filter_map(|[low, high]| {
            let corners = [
                (-half_mm, -t_mm),
                (half_mm, -t_mm),
                (half_mm, 0.0),
                (-half_mm, 0.0),
            ];
            Prism::bar(&corners.map(|(x, z)| Point::new(x, z)), *low, *high)
        });
        let flat: Vec<Prism> = sections.map(|section| section.moved(&to_blank)).collect();
        let bent = bent_strip(&made, line, &self.stages, t_mm);
        let drawn = self
            .bodies
            .iter_mut()
            .find(|body| body.solid == Solid::Strip(line));
        let drawn = drawn.map_or_else(Vec::new, |body| {
            body.bent = bent;
            std::mem::replace(&mut body.flat, flat)
        });
        let place = |p: &nalgebra::Vector3<f64>| made.frame.rotation * p + made.frame.translation.vector;
        for (panel, sign) in [(made.moving, 1.0), (made.fixed, -1.0)] {
            let past = |p: &nalgebra::Vector3<f64>| sign * place(p).x - half_mm;
            let within = |piece: &Prism| {
                piece.corners().map(|corner| place(&corner).y).all(|y| {
                    made.spans_mm
                        .iter()
                        .any(|[low, high]| (low - BESIDE_MM..=high + BESIDE_MM).contains(&y))
                })
            };
            let own = self
                .bodies
                .iter_mut()
                .find(|body| body.solid == Solid::Panel(panel));
            let Some(own) = own else { continue };
            // A kerf that is wider than the drawn strip goes into the panels; of a narrower one the rest of the strip stays on them.
            let mut kept: Vec<Prism> = Vec::new();
            for piece in own.flat.drain(..) {
                if within(&piece) {
                    kept.extend(clipped(&piece, past));
                } else {
                    kept.push(piece);
                }
            }
            kept.extend(drawn.iter().filter_map(|piece| clipped(piece, past)));
            own.flat = kept;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::work::Body;
    use plane::Outline;
    use sheet::{Crease, Face, Mockup, Relief, Way, develop};

    fn angle() -> Work {
        let corners = [(0.0, 0.0), (90.0, 0.0), (90.0, 50.0), (0.0, 50.0)].map(|(x, y)| Point::new(x, y));
        let card = Mockup {
            outline: Outline::polygon(&corners).expect("a rectangle"),
            openings: Vec::new(),
            creases: vec![Crease {
                name: "b1".into(),
                from: Point::new(40.0, -1.0),
                to: Point::new(40.0, 51.0),
                bent_rad: std::f64::consts::FRAC_PI_2,
                way: Way::Up,
                radius_mm: 3.0,
                neutral_share: 0.4,
                relief: Relief::None,
            }],
            seams: Vec::new(),
            marks: Vec::new(),
            panel_names: Vec::new(),
            root: None,
            lines_on: Face::Far,
            card_mm: 0.0,
        };
        let part = develop(&card, 3.0).expect("it develops");
        Work::of(&part, None, 2.6).expect("work")
    }

    #[test]
    fn the_blank_stays_the_blank_and_the_walls_meet_in_the_inside_face() {
        let drawn = angle();
        let volume_mm3 = |work: &Work| work.bodies.iter().map(Body::volume_mm3).sum::<f64>();
        // Narrower than the drawn strip of 6.6 mm, and wider.
        for wide_mm in [3.5, 8.0] {
            let sawn = drawn.sawn(&[(0, wide_mm)]);
            assert!((sawn.lines[0].strip_mm() - wide_mm).abs() < 1e-12);
            assert!((volume_mm3(&sawn) - volume_mm3(&drawn)).abs() < 1e-6, "{wide_mm}");
            // The ends of both panels at the kerf, in its inside face, come to one line.
            let line = &sawn.lines[0];
            let end = |x: f64| line.frame.inverse() * nalgebra::Point3::new(x, 0.0, 0.0);
            let other = line.turn(line.bent_rad) * end(wide_mm / 2.0);
            assert!((other - end(-wide_mm / 2.0)).norm() < 1e-9, "{wide_mm}: {other}");
            assert_eq!(sawn.stands_in_itself(), None);
        }
    }
}
