//! The same work with one thing changed: a leg longer, shorter or tapered.

use nalgebra::{Isometry3, Vector3};
use plane::{Point, Vector};

use super::{Solid, Work};
use crate::solid::Prism;

/// Lines are parallel when the sine between them is less.
const PARALLEL: f64 = 1e-3;
/// A leg is no wider than its line when no more than this of it stands past an end, x t: what a relief takes of the line.
const PAST_END_X_T: f64 = 2.0;

impl Work {
    /// The lines at a panel.
    pub fn lines_at(&self, panel: usize) -> Vec<usize> {
        self.tree.beside[panel].iter().map(|(line, _, _)| *line).collect()
    }

    /// Unit direction on the blank from a line into a panel beside it.
    pub fn out_of(&self, line: usize, panel: usize) -> Vector {
        let across = self.lines[line].across;
        if self.lines[line].moving == panel {
            across
        } else {
            -across
        }
    }

    /// From the middle of a line to the far side of a panel beside it, mm on the blank.
    pub fn leg_mm(&self, line: usize, panel: usize) -> f64 {
        let out = self.out_of(line, panel);
        let middle = self.lines[line].middle;
        let far = |corner: Vector3<f64>| Vector::new(corner.x - middle.x, corner.y - middle.y).dot(&out);
        let own = self
            .bodies
            .iter()
            .filter(|body| body.solid == Solid::Panel(panel));
        own.flat_map(|body| body.flat.iter().flat_map(Prism::corners))
            .map(far)
            .fold(0.0, f64::max)
    }

    /// The panel longer by so much, or shorter when below 0, away from this line; what hangs on its far side goes along.
    /// None when it would vanish, or when other lines at it say that it cannot be one number.
    pub fn with_leg(&self, line: usize, panel: usize, by_mm: f64) -> Option<Work> {
        let out = self.out_of(line, panel);
        let beyond: Vec<usize> = self
            .lines_at(panel)
            .into_iter()
            .filter(|&other| other != line)
            .collect();
        let parallel = |other: &usize| {
            let other = &self.lines[*other];
            other.across.perp(&out).abs() < PARALLEL
                && (other.middle - self.lines[line].middle).dot(&out) > 0.0
        };
        if !beyond.iter().all(parallel) {
            return None;
        }
        let half_strip_mm = self.lines[line].strip_mm() / 2.0;
        let (from_mm, leg_mm) = (half_strip_mm, self.leg_mm(line, panel));
        if leg_mm + by_mm < from_mm + self.thickness_mm {
            return None;
        }
        let middle = self.lines[line].middle;
        let along = |p: &Vector3<f64>| Vector::new(p.x - middle.x, p.y - middle.y).dot(&out);
        let share = (leg_mm + by_mm - from_mm) / (leg_mm - from_mm);
        let mut work = self.clone();
        let reached = self.tree.ways(&[panel], &[line]);
        let slide = Vector3::new(out.x, out.y, 0.0) * by_mm;
        for body in &mut work.bodies {
            if body.solid == Solid::Panel(panel) {
                let moved = |p: &Vector3<f64>| p + slide / by_mm * (along(p) - from_mm) * (share - 1.0);
                let stretched =
                    |prism: &Prism| Prism::new(prism.base.iter().map(moved).collect(), prism.along);
                // Shorter at a free edge is cut off; all else is drawn out.
                body.flat = if by_mm < 0.0 && beyond.is_empty() {
                    let keep_mm = leg_mm + by_mm;
                    body.flat
                        .iter()
                        .filter_map(|prism| clipped(prism, |p| keep_mm - along(p)))
                        .collect()
                } else {
                    for corner in body.openings.iter_mut().flatten() {
                        let at = moved(&Vector3::new(corner.x, corner.y, 0.0));
                        *corner = Point::new(at.x, at.y);
                    }
                    body.flat.iter().filter_map(stretched).collect()
                };
                continue;
            }
            let goes = match body.solid {
                Solid::Panel(other) => reached[other].is_some(),
                Solid::Strip(strip) if strip == line => false,
                Solid::Strip(strip) => {
                    reached[self.lines[strip].fixed].is_some() && reached[self.lines[strip].moving].is_some()
                }
            };
            if goes {
                let slide = Isometry3::translation(slide.x, slide.y, slide.z);
                let moved =
                    |pieces: &[Prism]| pieces.iter().map(|piece| piece.moved(&slide)).collect::<Vec<_>>();
                body.flat = moved(&body.flat);
                for corner in body.openings.iter_mut().flatten() {
                    *corner += out * by_mm;
                }
                for (_, pieces) in &mut body.bent {
                    *pieces = moved(pieces);
                }
            }
        }
        for (index, other) in work.lines.iter_mut().enumerate() {
            if index != line && reached[other.fixed].is_some() && reached[other.moving].is_some() {
                other.middle += out * by_mm;
                other.frame *= Isometry3::translation(-slide.x, -slide.y, -slide.z);
            }
        }
        Some(work)
    }

    /// The panel with both sides leaning in by this angle from the ends of the line. None when nothing of it is left at its
    /// far side, when something hangs on it, or when it is wider than the line: what goes past its ends would be cut off.
    pub fn with_taper(&self, line: usize, panel: usize, lean_rad: f64) -> Option<Work> {
        if self.lines_at(panel).len() != 1 {
            return None;
        }
        let made = &self.lines[line];
        let out = self.out_of(line, panel);
        let along = Vector::new(-out.y, out.x);
        let half_mm = made.length_mm / 2.0;
        let (from_mm, leg_mm) = (made.strip_mm() / 2.0, self.leg_mm(line, panel));
        if half_mm - (leg_mm - from_mm) * lean_rad.tan() < self.thickness_mm {
            return None;
        }
        let [_, [right_mm, left_mm]] = self.panel_about(line, panel)?;
        if left_mm.max(-right_mm) > half_mm + PAST_END_X_T * self.thickness_mm {
            return None;
        }
        let side = |p: &Vector3<f64>, sign: f64| {
            let from = Vector::new(p.x - made.middle.x, p.y - made.middle.y);
            half_mm - (from.dot(&out) - from_mm) * lean_rad.tan() - sign * from.dot(&along)
        };
        let mut work = self.clone();
        let body = work
            .bodies
            .iter_mut()
            .find(|body| body.solid == Solid::Panel(panel))?;
        body.flat = body
            .flat
            .iter()
            .filter_map(|prism| clipped(prism, |p| side(p, 1.0)))
            .filter_map(|prism| clipped(&prism, |p| side(p, -1.0)))
            .collect();
        (!body.flat.is_empty()).then_some(work)
    }
}

/// What of a plate's piece lies where this is not below 0.
pub(super) fn clipped(prism: &Prism, side: impl Fn(&Vector3<f64>) -> f64) -> Option<Prism> {
    let mut corners = Vec::with_capacity(prism.base.len() + 1);
    for (i, from) in prism.base.iter().enumerate() {
        let to = &prism.base[(i + 1) % prism.base.len()];
        let (a, b) = (side(from), side(to));
        if a >= 0.0 {
            corners.push(*from);
        }
        if a * b < 0.0 {
            corners.push(from + (to - from) * (a / (a - b)));
        }
    }
    Prism::new(corners, prism.along)
}
