//! The part made as two, to be welded: where a bend was, or across a panel.

use nalgebra::Point3;
use plane::Point;

use super::altered::clipped;
use super::{Body, Solid, Stage, Tree, Work};
use crate::solid::Prism;

/// Bent through more than this, rad (120 deg), two plates are not brought to a corner: it would lie further out than 1.7 times the
/// inside radius, and they lie lapped as they end. A choice of ours, no source.
const CORNER_UP_TO_RAD: f64 = 2.1;
/// Lines at a panel that lean to a seam by no more than this (as a sine) lie wholly on one side of it or the other.
const PARALLEL: f64 = 1e-3;

impl Work {
    /// The part made as two, a bend given up for a seam: the side of its fixed panel first. Both plates go on to where their inside
    /// faces meet, as an open corner is welded.
    pub fn parted(&self, line: usize) -> [Work; 2] {
        let made = &self.lines[line];
        let on_mm = if made.bent_rad <= CORNER_UP_TO_RAD {
            made.radius_mm * (made.bent_rad / 2.0).tan()
        } else {
            0.0
        };
        let half_mm = made.strip_mm() / 2.0;
        [(made.fixed, -half_mm), (made.moving, half_mm)].map(|(panel, tangent_mm)| {
            let (mut work, panel_to) = self.reached_from(panel, &[line]);
            let inner_mm = tangent_mm - tangent_mm.signum() * on_mm;
            let (low, high) = (tangent_mm.min(inner_mm), tangent_mm.max(inner_mm));
            let to_blank = made.frame.inverse();
            let strip = |[from, to]: &[f64; 2]| {
                let corners = [(low, *from), (high, *from), (high, *to), (low, *to)].map(|(x, y)| {
                    let at = to_blank * Point3::new(x, y, 0.0);
                    Point::new(at.x, at.y)
                });
                Prism::plate(&corners, self.faces_mm[0], self.faces_mm[1])
            };
            let own = |body: &&mut Body| Some(body.solid) == panel_to[panel].map(Solid::Panel);
            if let Some(body) = work.bodies.iter_mut().find(own) {
                body.flat.extend(made.spans_mm.iter().filter_map(strip));
            }
            work
        })
    }

    /// The part made as two, cut along this line's direction across a panel beside it, so far from the line's middle: the side of
    /// the line first. None where it would cut no plate off, or another bend at the panel does not lie on one side of it.
    pub fn parted_across(&self, line: usize, panel: usize, at_mm: f64) -> Option<[Work; 2]> {
        let (out, middle) = (self.out_of(line, panel), self.lines[line].middle);
        let mut sides: [Vec<usize>; 2] = [Vec::new(), Vec::new()];
        for other in self.lines_at(panel) {
            let made = &self.lines[other];
            if made.across.perp(&out).abs() > PARALLEL {
                return None;
            }
            let far = (made.middle - middle).dot(&out) > at_mm;
            sides[usize::from(far)].push(other);
        }
        let parts: Vec<Work> = [1.0, -1.0]
            .into_iter()
            .zip([&sides[1], &sides[0]])
            .filter_map(|(sign, shut)| {
                let (mut work, panel_to) = self.reached_from(panel, shut);
                let own = |body: &&mut Body| Some(body.solid) == panel_to[panel].map(Solid::Panel);
                let body = work.bodies.iter_mut().find(own)?;
                let kept =
                    |p: &nalgebra::Vector3<f64>| sign * (at_mm - (Point::new(p.x, p.y) - middle).dot(&out));
                body.flat = body
                    .flat
                    .iter()
                    .filter_map(|piece| clipped(piece, kept))
                    .collect();
                (!body.flat.is_empty()).then_some(work)
            })
            .collect();
        parts.try_into().ok()
    }

    /// What is come to from a panel without passing over these lines, and where its panels are in it.
    fn reached_from(&self, panel: usize, shut: &[usize]) -> (Work, Vec<Option<usize>>) {
        let reached = self.tree.ways(&[panel], shut);
        let panel_to: Vec<Option<usize>> = numbered(reached.iter().map(Option::is_some));
        let there = |line: usize| {
            let made = &self.lines[line];
            !shut.contains(&line) && panel_to[made.fixed].is_some() && panel_to[made.moving].is_some()
        };
        let line_to = numbered((0..self.lines.len()).map(there));
        (self.of_these(&panel_to, &line_to), panel_to)
    }

    fn of_these(&self, panel_to: &[Option<usize>], line_to: &[Option<usize>]) -> Work {
        let kept = |to: &[Option<usize>]| -> Vec<usize> {
            (0..to.len()).filter(|&index| to[index].is_some()).collect()
        };
        let panels: Vec<String> = kept(panel_to)
            .iter()
            .map(|&panel| self.panels[panel].clone())
            .collect();
        let lines = kept(line_to)
            .iter()
            .map(|&line| {
                let mut line = self.lines[line].clone();
                line.fixed = panel_to[line.fixed].unwrap_or(0);
                line.moving = panel_to[line.moving].unwrap_or(0);
                line
            })
            .collect::<Vec<_>>();
        let stages = self
            .stages
            .iter()
            .filter_map(|stage| {
                Some(Stage {
                    line: line_to[stage.line]?,
                    ..stage.clone()
                })
            })
            .collect();
        let bodies = self
            .bodies
            .iter()
            .filter_map(|body| {
                let solid = match body.solid {
                    Solid::Panel(panel) => Solid::Panel(panel_to[panel]?),
                    Solid::Strip(line) => Solid::Strip(line_to[line]?),
                };
                Some(Body {
                    solid,
                    panel: panel_to[body.panel]?,
                    ..body.clone()
                })
            })
            .collect();
        let tree = Tree::of(panels.len(), &lines);
        Work {
            panels,
            lines,
            stages,
            bodies,
            tree,
            ..self.clone()
        }
    }
}

fn numbered(kept: impl Iterator<Item = bool>) -> Vec<Option<usize>> {
    let mut next = 0;
    kept.map(|kept| {
        kept.then(|| {
            next += 1;
            next - 1
        })
    })
    .collect()
}
