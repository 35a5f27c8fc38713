//! Where a panel meets tools or the part itself: what a notch would have to take out of it.

use nalgebra::Vector3;
use plane::Point;

use crate::order::{Block, Blocked, Round, Setup, Stroke, Variant, What, motion_of, self_motion};
use crate::solid::Prism;
use crate::sweep::{Motion, Mover, gap_at, meeting};
use crate::work::{Axes, Notch, Solid, Work};

/// A notch stands off what it is cut for by this, mm: what a bend and a gauge are off together. Common practice, no source.
pub const NOTCH_CLEAR_MM: f64 = 3.0;
/// An inner corner of a notch is rounded to this at least, mm, so that no crack starts in it. It is no more than what the notch stands
/// off: the round then leaves as much clear at the corner as beside it. Common practice, no source.
pub const NOTCH_ROUND_MM: f64 = 3.0;
/// Between two looks the angle grows by no more than this: a leg of 100 mm then moves by half of what a notch stands off.
const LOOK_RAD: f64 = 0.0175;
/// A notch is drawn to this, outward, mm.
const DRAWN_TO_MM: f64 = 0.5;
/// Seen where a solid is at this share of the plate's thickness.
const DEPTHS: [f64; 3] = [0.0, 0.5, 1.0];

/// A solid and how it moves while a bend is made.
type Moving<'a> = (&'a Prism, Mover);

/// The notches that may free what is blocked, the smallest first: each goes round all that its panel meets in one stroke.
pub(super) fn notches(work: &Work, setup: &Setup, blocked: &[&Blocked]) -> Vec<Notch> {
    let mut found: Vec<Notch> = Vec::new();
    for blocked in blocked {
        let (solids, with_part) = match blocked.why {
            Block::Meets { part, with, .. } => match with {
                What::Part(other) => (vec![part, other], true),
                What::Tool(_) => (vec![part], false),
            },
            Block::Trapped { part, .. } => (vec![part], false),
            Block::Stop(_) | Block::NoTools => continue,
        };
        for solid in solids {
            let Solid::Panel(panel) = solid else { continue };
            for points in bites(work, setup, blocked, panel, with_part) {
                found.extend(of_points(work, panel, &points));
            }
        }
    }
    let area = |notch: &Notch| {
        let [out, along] = notch.size_mm();
        out * along
    };
    found.sort_by(|a, b| area(a).total_cmp(&area(b)));
    found.dedup();
    found
}

/// What would have to go out of a panel, as points on the blank: once for each stroke, way round and tool that come into
/// question.
fn bites(work: &Work, setup: &Setup, blocked: &Blocked, panel: usize, with_part: bool) -> Vec<Vec<Point>> {
    let own = |stroke: &&Stroke| stroke.lines.contains(&blocked.line) && stroke.next_to(blocked.done);
    let mut all: Vec<Vec<Point>> = Vec::new();
    for (index, stroke) in setup.strokes.iter().enumerate().filter(|(_, stroke)| own(stroke)) {
        let seen = Seen {
            work,
            stroke,
            done: blocked.done,
            last_rad: setup.last_rad[index],
            panel,
        };
        if with_part {
            all.push(seen.in_part());
            continue;
        }
        for (variant, made_up) in setup.variants.iter().enumerate() {
            let same = Some(made_up.station.means) == blocked.means;
            if !same || setup.wanted[index] >> variant & 1 == 0 {
                continue;
            }
            for round in Round::BOTH {
                let bending = seen.in_tools(round, made_up);
                // So that the upper tool comes down and goes up again too, where the part does not go off along the bend.
                let mut lifting = bending.clone();
                lifting.extend(seen.in_lifted(round, made_up));
                all.extend([bending, lifting]);
            }
        }
    }
    all.retain(|points| !points.is_empty());
    all.dedup();
    all
}

/// A panel while a stroke is made.
struct Seen<'a> {
    work: &'a Work,
    stroke: &'a Stroke,
    done: u32,
    last_rad: f64,
    panel: usize,
}

impl Seen<'_> {
    fn body(&self) -> Option<usize> {
        let own = |body: &crate::work::Body| body.solid == Solid::Panel(self.panel);
        self.work.bodies.iter().position(own)
    }

    fn in_tools(&self, round: Round, made_up: &Variant) -> Vec<Point> {
        let motion = motion_of(self.work, self.stroke, &made_up.station, self.last_rad);
        let Some((mover, flat)) = self.stands(round) else {
            return Vec::new();
        };
        let tools = made_up.pieces.iter();
        let tools = tools.filter(|tool| !(self.stroke.closing || flat && tool.holds.flat(mover)));
        let against: Vec<Moving<'_>> = tools.map(|tool| (&tool.prism, tool.mover)).collect();
        self.points(round, &motion, &against, [self.stroke.from_rad, self.last_rad])
    }

    fn in_lifted(&self, round: Round, made_up: &Variant) -> Vec<Point> {
        let motion = motion_of(self.work, self.stroke, &made_up.station, self.last_rad);
        let against: Vec<Moving<'_>> = made_up
            .lifts
            .iter()
            .map(|tool| (&tool.prism, tool.mover))
            .collect();
        let at = [self.stroke.from_rad, self.stroke.to_rad];
        let found = at.map(|at_rad| self.points(round, &motion, &against, [at_rad; 2]));
        found.concat()
    }

    fn in_part(&self) -> Vec<Point> {
        let round = Round::MovingBack;
        let Some((mover, _)) = self.stands(round) else {
            return Vec::new();
        };
        let others: Vec<(Prism, Mover)> = self
            .stroke
            .hangs
            .iter()
            .enumerate()
            .filter_map(|(body, hangs)| Some((body, Stroke::mover(hangs.as_ref()?, round))))
            .filter(|(_, other)| *other != mover)
            .flat_map(|(body, other)| {
                let pieces = self.stroke.pieces(self.work, body, round, self.done);
                pieces.into_iter().map(move |piece| (piece, other))
            })
            .collect();
        let against: Vec<Moving<'_>> = others.iter().map(|(piece, other)| (piece, *other)).collect();
        let motion = self_motion(self.work, self.stroke);
        self.points(round, &motion, &against, [self.stroke.from_rad, self.last_rad])
    }

    /// How the panel moves, and whether it lies in the plane of its leg.
    fn stands(&self, round: Round) -> Option<(Mover, bool)> {
        let hangs = self.stroke.hangs[self.body()?].as_ref()?;
        let flat = Stroke::lies_flat(self.work, hangs, self.done);
        Some((Stroke::mover(hangs, round), flat))
    }

    /// Where on the blank the panel comes to lie within any of these that it meets, or nearer than a notch stands off.
    fn points(
        &self,
        round: Round,
        motion: &Motion,
        against: &[Moving<'_>],
        [from_rad, to_rad]: [f64; 2],
    ) -> Vec<Point> {
        let known = self
            .body()
            .and_then(|body| Some((body, self.stroke.hangs[body].as_ref()?)));
        let Some((body, hangs)) = known else {
            return Vec::new();
        };
        let mover = Stroke::mover(hangs, round);
        let place = self.stroke.place(self.work, hangs, round, self.done);
        let steps = ((to_rad - from_rad) / LOOK_RAD).ceil().max(1.0) as usize;
        let mut points = Vec::new();
        let mut scratch = crate::sweep::Scratch::default();
        for plate in &self.work.bodies[body].flat {
            let piece = plate.moved(&place);
            for &solid in against {
                if !meets(motion, (&piece, mover), solid, [from_rad, to_rad], &mut scratch) {
                    continue;
                }
                for step in 0..=steps {
                    let at_rad = from_rad + (to_rad - from_rad) * step as f64 / steps as f64;
                    let to_blank = (motion.at(mover, at_rad).isometry() * place).inverse();
                    let seen = solid.0.moved(&(to_blank * motion.at(solid.1, at_rad).isometry()));
                    within(plate, &seen, &mut points);
                }
            }
        }
        points
    }
}

fn meets(
    motion: &Motion,
    a: Moving<'_>,
    b: Moving<'_>,
    [from_rad, to_rad]: [f64; 2],
    scratch: &mut crate::sweep::Scratch,
) -> bool {
    if from_rad == to_rad {
        return gap_at(motion, a, b, from_rad) < -crate::sweep::TOUCH_MM;
    }
    meeting(motion, a, b, from_rad, to_rad, scratch).is_some()
}

/// What of a piece of plate lies within a solid, or within what a notch stands off it, as corners on the blank.
fn within(plate: &Prism, solid: &Prism, points: &mut Vec<Point>) {
    let apart_mm = (plate.centre - solid.centre).norm() - plate.reach_mm - solid.reach_mm;
    if apart_mm > NOTCH_CLEAR_MM {
        return;
    }
    // A face of the solid is seen by its normal and how far out it stands; each normal stands for both of a pair.
    let faces: Vec<(Vector3<f64>, f64)> = solid
        .normals
        .iter()
        .flat_map(|normal| [*normal, -normal])
        .map(|normal| (normal, solid.extent(&normal).1 + NOTCH_CLEAR_MM))
        .collect();
    for depth in DEPTHS {
        let mut corners: Vec<Vector3<f64>> = plate
            .base
            .iter()
            .map(|corner| corner + plate.along * depth)
            .collect();
        for (normal, out_mm) in &faces {
            corners = kept(&corners, |p| out_mm - p.dot(normal));
        }
        points.extend(corners.iter().map(|corner| Point::new(corner.x, corner.y)));
    }
}

/// What of a polygon lies where this is not below 0.
fn kept(corners: &[Vector3<f64>], side: impl Fn(&Vector3<f64>) -> f64) -> Vec<Vector3<f64>> {
    let mut kept = Vec::with_capacity(corners.len() + 1);
    for (i, from) in corners.iter().enumerate() {
        let to = &corners[(i + 1) % corners.len()];
        let (a, b) = (side(from), side(to));
        if a >= 0.0 {
            kept.push(*from);
        }
        if a * b < 0.0 {
            kept.push(from + (to - from) * (a / (a - b)));
        }
    }
    kept
}

/// The notches that take these points out of a panel: square to each of its lines, and open to one edge of it or two.
fn of_points(work: &Work, panel: usize, points: &[Point]) -> Vec<Notch> {
    let rounded = |[from, to]: [f64; 2]| {
        [
            (from / DRAWN_TO_MM).floor() * DRAWN_TO_MM,
            (to / DRAWN_TO_MM).ceil() * DRAWN_TO_MM,
        ]
    };
    let mut notches = Vec::new();
    for line in work.lines_at(panel) {
        let bite = Axes::of(work, line, panel).about(points.iter().copied());
        let (Some([out, along]), Some([whole_out, whole_along])) = (bite, work.panel_about(line, panel))
        else {
            continue;
        };
        let (out, along) = (rounded(out), rounded(along));
        let (whole_out, whole_along) = (rounded(whole_out), rounded(whole_along));
        let far = [out[0], whole_out[1]];
        let [right, left] = [[whole_along[0], along[1]], [along[0], whole_along[1]]];
        for (out_mm, along_mm) in [(far, along), (out, right), (out, left), (far, right), (far, left)] {
            let notch = Notch {
                panel,
                line,
                out_mm,
                along_mm,
            };
            if !notches.contains(&notch) {
                notches.push(notch);
            }
        }
    }
    notches
}
