//! How the part stands on its tool before a step and after it, for whoever draws it; and the leg that is measured then.
//!
//! Places are in the frame of the tools (see [`crate::tooling`]): x across the bend from the person to the back, y along it
//! to the person's left, z up; the middle of the bend's inside face is at 0, 0, 0 before the stroke.

use nalgebra::{Isometry3, Point3, Vector3};
use plane::Point;

use crate::order::{Edge, Round, Step, Stroke, motion_of, strokes};
use crate::solid::{Prism, hull};
use crate::sweep::{Action, Motion, Mover, Station};
use crate::tooling::{Means, Tooling};
use crate::work::{Line, Solid, Work};

/// A facet of a bend's curve turns through no more than this: finer than a line on paper shows.
const FACET_RAD: f64 = 0.2;
/// A panel whose normal leans less than this, and which lies off the plate's plane by less, is flat on the tool.
const FLAT_RAD: f64 = 1e-4;
const FLAT_MM: f64 = 0.01;
/// Corners this near the gauge bear on it, mm: what a straight edge may be out.
const BEARS_MM: f64 = 0.6;

/// Before a step, or after it with the load gone and the part still on the tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Moment {
    /// On the tool, against the gauge.
    Before,
    /// Bent.
    After,
}

/// How a panel stands against the plate on the tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// In its plane.
    Flat,
    /// Above it.
    Up,
    /// Below it.
    Down,
}

/// A facet of a bend's strip, half way through the plate.
#[derive(Debug, Clone, PartialEq)]
pub struct Facet {
    /// The line, as an index into [`Work::lines`].
    pub line: usize,
    /// Its corners, in order.
    pub corners: [Point3<f64>; 4],
    /// How it stands.
    pub stands: Stands,
}

/// The part on its tool.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// For each panel, from its blank axes to the tool's frame.
    pub panels: Vec<Isometry3<f64>>,
    /// For each panel, how it stands.
    pub stand: Vec<Stands>,
    /// The strips of the bends.
    pub facets: Vec<Facet>,
    /// Stretches of the bend being made, along y, mm, ascending.
    pub stretches_mm: Vec<[f64; 2]>,
    /// Its strip, from tangent to tangent, mm.
    pub strip_mm: f64,
}

impl Standing {
    /// The part at a step of its plan. `None` when the step is none of this work's.
    pub fn of(work: &Work, tooling: &Tooling, step: &Step, moment: Moment) -> Option<Standing> {
        let stroke = strokes(work)
            .into_iter()
            .find(|stroke| stroke.lines == step.lines && step.before | stroke.bits == step.after)?;
        let now_rad = match moment {
            Moment::Before => step.from_rad,
            Moment::After => step.to_rad,
        };
        let motion = motion(work, tooling, step, &stroke);
        let on = On {
            work,
            stroke: &stroke,
            step,
            motion,
            now_rad,
        };
        Some(on.standing())
    }

    /// What a panel that does not lie flat covers, seen from above: a convex outline in x and y, counter-clockwise. `None` when
    /// there is no such panel or it covers nothing.
    pub fn shadow(&self, work: &Work, panel: usize) -> Option<Vec<Point>> {
        let place = self.panels.get(panel)?;
        let body = work
            .bodies
            .iter()
            .find(|body| body.solid == Solid::Panel(panel))?;
        let corners = body.flat.iter().flat_map(Prism::corners);
        shadow(corners.map(|corner| place * Point3::from(corner)))
    }

    /// The same of the curve of a line that does not lie flat.
    pub fn shadow_of_curve(&self, line: usize) -> Option<Vec<Point>> {
        let own = self
            .facets
            .iter()
            .filter(|facet| facet.line == line && facet.stands != Stands::Flat);
        shadow(own.flat_map(|facet| facet.corners))
    }
}

fn shadow(corners: impl Iterator<Item = Point3<f64>>) -> Option<Vec<Point>> {
    let seen: Vec<Point> = corners.map(|corner| Point::new(corner.x, corner.y)).collect();
    if seen.is_empty() {
        return None;
    }
    let outline = hull(&seen);
    (outline.len() >= 3).then_some(outline)
}

fn motion(work: &Work, tooling: &Tooling, step: &Step, stroke: &Stroke) -> Motion {
    if step.closing || step.means == Means::Away {
        // Nothing is known of the tools, or flat faces press: the back lies still.
        let line = &work.lines[stroke.lines[0]];
        return Motion {
            action: Action::Swing {
                last_rad: step.to_rad,
            },
            radius_mm: line.radius_mm,
            neutral_mm: line.neutral_mm,
            thickness_mm: work.thickness_mm,
        };
    }
    let station = Station::of(tooling, step.means, step.tool_mm);
    motion_of(work, stroke, &station, step.loaded_rad)
}

/// A part on a tool at one moment.
struct On<'a> {
    work: &'a Work,
    stroke: &'a Stroke,
    step: &'a Step,
    motion: Motion,
    now_rad: f64,
}

impl On<'_> {
    /// How what hangs on this side has moved since it lay flat.
    fn moved(&self, mover: Mover) -> Isometry3<f64> {
        // A fold goes on from the nose to its tangent line; here it is seen from the middle of the bend.
        let from_nose_mm = match self.motion.action {
            Action::Rise { .. } => 0.0,
            Action::Swing { last_rad } => last_rad * self.motion.neutral_mm / 2.0,
        };
        Isometry3::translation(from_nose_mm, 0.0, 0.0) * self.motion.at(mover, self.now_rad).isometry()
    }

    fn standing(&self) -> Standing {
        let work = self.work;
        let mut panels = vec![Isometry3::identity(); work.panels.len()];
        let mut facets = Vec::new();
        for (index, body) in work.bodies.iter().enumerate() {
            let Some(hangs) = &self.stroke.hangs[index] else {
                continue;
            };
            let at_rest = self.stroke.place(work, hangs, self.step.round, self.step.before);
            let place = self.moved(Stroke::mover(hangs, self.step.round)) * at_rest;
            match body.solid {
                Solid::Panel(panel) => panels[panel] = place,
                Solid::Strip(line) => {
                    let bent_rad = work.bent_rad(line, self.step.before);
                    let made = &work.lines[line];
                    let place = place * made.frame.inverse();
                    facets.extend(
                        of_line(made, bent_rad, work.thickness_mm)
                            .into_iter()
                            .map(|corners| (line, corners.map(|corner| place * corner))),
                    );
                }
            }
        }
        facets.extend(self.own_facets());
        let middle_mm = -work.thickness_mm / 2.0;
        let stand = |leans: bool, z: &mut dyn Iterator<Item = f64>| {
            let (mut sum, mut count, mut off) = (0.0, 0.0, 0.0_f64);
            for z in z {
                sum += z - middle_mm;
                count += 1.0;
                off = off.max((z - middle_mm).abs());
            }
            if !leans && off < FLAT_MM {
                Stands::Flat
            } else if sum / f64::max(count, 1.0) >= 0.0 {
                Stands::Up
            } else {
                Stands::Down
            }
        };
        let through_mm = (work.faces_mm[0] + work.faces_mm[1]) / 2.0;
        let stands = (0..panels.len()).map(|panel| {
            let place: &Isometry3<f64> = &panels[panel];
            let leans = (place * Vector3::z()).z.abs() < FLAT_RAD.cos();
            let body = work.bodies.iter().find(|body| body.solid == Solid::Panel(panel));
            let mut corners = body.into_iter().flat_map(|body| &body.flat).flat_map(|prism| {
                prism
                    .base
                    .iter()
                    .map(|corner| (place * Point3::new(corner.x, corner.y, through_mm)).z)
            });
            stand(leans, &mut corners)
        });
        let stand_of_panels: Vec<Stands> = stands.collect();
        let facets = facets
            .into_iter()
            .map(|(line, corners)| {
                let leans = corners
                    .iter()
                    .any(|corner| (corner.z - corners[0].z).abs() > FLAT_MM);
                let stands = stand(leans, &mut corners.iter().map(|corner| corner.z));
                Facet {
                    line,
                    corners,
                    stands,
                }
            })
            .collect();
        Standing {
            panels,
            stand: stand_of_panels,
            facets,
            stretches_mm: self.stretches(),
            strip_mm: work.lines[self.stroke.lines[0]].strip_mm(),
        }
    }

    /// Along the bend being made, in the tool's frame.
    fn stretches(&self) -> Vec<[f64; 2]> {
        let sign = match self.step.round {
            Round::MovingBack => 1.0,
            Round::FixedBack => -1.0,
        };
        let middle = self.stroke.middle_mm();
        let mut stretches: Vec<[f64; 2]> = self
            .stroke
            .spans_mm
            .iter()
            .map(|span| span.map(|y| (y - middle) * sign))
            .map(|[a, b]| [a.min(b), a.max(b)])
            .collect();
        stretches.sort_by(|a, b| a[0].total_cmp(&b[0]));
        stretches
    }

    /// The bend being made: the curve about its axis, and what of the strip is still flat on either side.
    fn own_facets(&self) -> Vec<(usize, [Point3<f64>; 4])> {
        let (line, t_mm) = (self.stroke.lines[0], self.work.thickness_mm);
        let made = &self.work.lines[line];
        let slide_mm = self.now_rad * made.neutral_mm / 2.0;
        let all_mm = made.strip_mm() / 2.0;
        let sides = [(Mover::Ahead, 1.0), (Mover::Behind, -1.0)];
        let mut facets = Vec::new();
        for [low, high] in self.stretches() {
            for (mover, sign) in sides {
                if all_mm - slide_mm > plane::SAME_POINT_MM {
                    let flat = strip(
                        [sign * slide_mm, -t_mm / 2.0],
                        [sign * all_mm, -t_mm / 2.0],
                        [low, high],
                    );
                    let place = self.moved(mover);
                    facets.push((line, flat.map(|corner| place * corner)));
                }
            }
            // Where the leg at the back leaves the curve, and from there round to the one in front.
            let ahead = self.moved(Mover::Ahead);
            let back_rad = (ahead * Vector3::x()).z.atan2((ahead * Vector3::x()).x);
            let axis = ahead * Point3::new(slide_mm, 0.0, made.radius_mm);
            let axis = [axis.x, axis.z];
            facets.extend(
                curve(made, [back_rad - self.now_rad, back_rad], axis, [low, high], t_mm)
                    .into_iter()
                    .map(|corners| (line, corners)),
            );
        }
        facets
    }
}

/// A rectangle from one place of the plane across the bend to another, and along it.
fn strip(from: [f64; 2], to: [f64; 2], span_mm: [f64; 2]) -> [Point3<f64>; 4] {
    let at = |place: [f64; 2], y: f64| Point3::new(place[0], y, place[1]);
    [
        at(from, span_mm[0]),
        at(from, span_mm[1]),
        at(to, span_mm[1]),
        at(to, span_mm[0]),
    ]
}

/// The curve of a bend half way through the plate, about an axis in the plane across it; angles from straight down.
fn curve(
    line: &Line,
    turned_rad: [f64; 2],
    axis: [f64; 2],
    span_mm: [f64; 2],
    t_mm: f64,
) -> Vec<[Point3<f64>; 4]> {
    let [from, to] = turned_rad;
    let count = ((to - from) / FACET_RAD).ceil() as usize;
    let middle_mm = line.radius_mm + t_mm / 2.0;
    let at = |index: usize| {
        let (sin, cos) = (from + (to - from) * index as f64 / count as f64).sin_cos();
        [axis[0] + middle_mm * sin, axis[1] - middle_mm * cos]
    };
    (0..count)
        .map(|index| strip(at(index), at(index + 1), span_mm))
        .collect()
}

/// The strip of a line bent so far, in its frame with the fixed panel flat.
fn of_line(line: &Line, bent_rad: f64, t_mm: f64) -> Vec<[Point3<f64>; 4]> {
    let (curved_mm, all_mm) = (bent_rad * line.neutral_mm / 2.0, line.strip_mm() / 2.0);
    let turn = line.frame * line.turn(bent_rad) * line.frame.inverse();
    let mut facets = Vec::new();
    for &span in &line.spans_mm {
        if all_mm - curved_mm > plane::SAME_POINT_MM {
            let z = -t_mm / 2.0;
            facets.push(strip([-all_mm, z], [-curved_mm, z], span));
            facets.push(strip([curved_mm, z], [all_mm, z], span).map(|corner| turn * corner));
        }
        facets.extend(curve(
            line,
            [0.0, bent_rad],
            [-curved_mm, line.radius_mm],
            span,
            t_mm,
        ));
    }
    facets
}

/// The leg that lay at the gauge, as a caliper reads it once the bend is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugedLeg {
    /// From the edge that bore on the gauge to the outside of the other leg, mm: to where both outsides would meet, or, bent
    /// through more than a right angle, to the outermost of the bend.
    pub outside_mm: f64,
    /// Whether it is read over the round of the bend.
    pub over_the_bend: bool,
    /// Whether it is the leg of the moving panel. The other's is longer by what the moving one is shorter.
    pub of_moving: bool,
}

impl GaugedLeg {
    /// Of a step; none where nothing bore on the gauge, or the bend is pressed shut.
    pub fn of(work: &Work, step: &Step) -> Option<GaugedLeg> {
        if step.gauge.edge == Edge::Mark || step.closing {
            return None;
        }
        let line = &work.lines[step.lines[0]];
        let over_the_bend = step.to_rad > std::f64::consts::FRAC_PI_2 + FLAT_RAD;
        let share = if over_the_bend {
            1.0
        } else {
            (step.to_rad / 2.0).tan()
        };
        // A bend made in part is still flat from its curve to the tangent line.
        let flat_mm = (line.strip_mm() - step.to_rad * line.neutral_mm) / 2.0;
        Some(GaugedLeg {
            outside_mm: step.gauge.to_tangent_mm + flat_mm + share * (line.radius_mm + work.thickness_mm),
            over_the_bend,
            of_moving: step.round == Round::MovingBack,
        })
    }
}

/// Where the edge bears on the gauge, along y from and to, mm: of all that stands at the gauge's distance at the back.
pub fn bears_over_mm(work: &Work, standing: &Standing, step: &Step) -> Option<[f64; 2]> {
    if step.gauge.edge == Edge::Mark {
        return None;
    }
    let half_mm = work.thickness_mm / 2.0;
    let of_panels = work.bodies.iter().filter_map(|body| match body.solid {
        Solid::Panel(panel) => Some((body, standing.panels.get(panel)?)),
        Solid::Strip(_) => None,
    });
    let corners = of_panels.flat_map(|(body, place)| {
        let prisms = body.flat.iter();
        prisms.flat_map(move |prism| {
            prism
                .corners()
                .map(move |corner| place * Point3::from(corner))
                .collect::<Vec<_>>()
        })
    });
    let curves = standing.facets.iter().flat_map(|facet| facet.corners);
    // A strip's facets lie half way through the plate.
    let places = corners
        .map(|corner| (corner.x, corner.y))
        .chain(curves.map(|corner| (corner.x + half_mm, corner.y)));
    let bearing = places.filter(|(x, _)| (x - step.gauge.to_middle_mm).abs() < BEARS_MM);
    let none = [f64::INFINITY, f64::NEG_INFINITY];
    let over = bearing.fold(none, |[low, high], (_, y)| [low.min(y), high.max(y)]);
    (over[0] <= over[1]).then_some(over)
}
