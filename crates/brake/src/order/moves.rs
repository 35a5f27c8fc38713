//! What can be done in one stroke, and where the part's solids stand while it is.

use nalgebra::{Isometry3, UnitQuaternion, Vector3};

use crate::solid::Prism;
use crate::sweep::Mover;
use crate::work::{Line, Solid, Work};

/// Two bend lines on one line: their directions differ by less (as a sine), and they lie off each other by less.
const SAME_LINE: f64 = 1e-4;
const SAME_LINE_MM: f64 = 0.05;
/// Angles and radii made in one stroke differ by no more than this.
const SAME_ANGLE_RAD: f64 = 1.7e-4;
const SAME_RADIUS_MM: f64 = 0.01;
/// No more bends than this are made in one stroke.
const MOST_TOGETHER: usize = 4;

/// Which way round the part is put in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Round {
    /// The panel that turns about the bend goes to the back, against the gauge.
    MovingBack,
    /// The panel nearer the root goes to the back.
    FixedBack,
}

impl Round {
    /// Both.
    pub const BOTH: [Round; 2] = [Round::MovingBack, Round::FixedBack];

    fn frame(self, line: &Line) -> Isometry3<f64> {
        match self {
            Round::MovingBack => line.frame,
            Round::FixedBack => {
                let about = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), std::f64::consts::PI);
                Isometry3::from_parts(Default::default(), about) * line.frame
            }
        }
    }
}

/// Bends made in one stroke.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stroke {
    /// Its steps, as indices into [`Work::stages`].
    pub stages: Vec<usize>,
    /// A bit for each of them.
    pub bits: u32,
    /// Steps that must be done before: the first step of a line bent in two.
    pub after: u32,
    /// Steps that must not be done: what lies between bends that are made together must be flat.
    pub flat: u32,
    /// The lines, in the order of the steps.
    pub lines: Vec<usize>,
    /// Where the lines' spans lie along the first one's y, mm.
    pub spans_mm: Vec<[f64; 2]>,
    /// The angle it starts and ends at, rad.
    pub from_rad: f64,
    pub to_rad: f64,
    /// Pressed shut between flat faces.
    pub closing: bool,
    /// For every body of the part: how it hangs on the bend; none for the strips being bent.
    pub hangs: Vec<Option<Hangs>>,
}

/// How a body of the part hangs on the bend being made.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Hangs {
    /// On the moving panel's side.
    pub moving: bool,
    /// Lines passed from the panel beside the bend to the body's, and whether toward the moving panel.
    pub over: Vec<(usize, bool)>,
    /// The steps that say where it stands: those of the lines passed, and its own for a strip.
    pub bits: u32,
}

impl Stroke {
    /// The first end of its spans and the last, in the first line's y, mm.
    fn ends_mm(&self) -> [f64; 2] {
        let none = [f64::INFINITY, f64::NEG_INFINITY];
        self.spans_mm
            .iter()
            .fold(none, |[low, high], [from, to]| [low.min(*from), high.max(*to)])
    }

    /// From the first end of its spans to the last, mm.
    pub fn length_mm(&self) -> f64 {
        let [low, high] = self.ends_mm();
        high - low
    }

    /// The middle of its spans in the first line's y, mm.
    pub fn middle_mm(&self) -> f64 {
        let [low, high] = self.ends_mm();
        (low + high) / 2.0
    }

    /// Whether it can be next when these are done.
    pub fn next_to(&self, done: u32) -> bool {
        done & self.bits == 0 && done & self.after == self.after && done & self.flat == 0
    }

    /// From blank axes to the tool's frame at rest, the middle of the stroke at y = 0.
    pub fn frame(&self, work: &Work, round: Round) -> Isometry3<f64> {
        let sign = match round {
            Round::MovingBack => 1.0,
            Round::FixedBack => -1.0,
        };
        Isometry3::translation(0.0, -sign * self.middle_mm(), 0.0) * round.frame(&work.lines[self.lines[0]])
    }

    /// How a body moves.
    pub fn mover(hangs: &Hangs, round: Round) -> Mover {
        if hangs.moving == (round == Round::MovingBack) {
            Mover::Ahead
        } else {
            Mover::Behind
        }
    }

    /// From a body's blank axes to the tool's frame at rest, when these steps are done.
    pub fn place(&self, work: &Work, hangs: &Hangs, round: Round, done: u32) -> Isometry3<f64> {
        self.frame(work, round) * place_of(work, hangs, done)
    }

    /// A body's pieces in the tool's frame at rest, when these steps are done.
    pub fn pieces(&self, work: &Work, body: usize, round: Round, done: u32) -> Vec<Prism> {
        let Some(hangs) = &self.hangs[body] else {
            return Vec::new();
        };
        let place = self.place(work, hangs, round, done);
        let body = &work.bodies[body];
        let bent_rad = match body.solid {
            Solid::Panel(_) => 0.0,
            Solid::Strip(line) => work.bent_rad(line, done),
        };
        body.pieces(bent_rad)
            .iter()
            .map(|piece| piece.moved(&place))
            .collect()
    }

    /// Where some points of a body's blank stand in the tool's frame at rest, the moving panel to the back.
    pub fn placed<const N: usize>(
        &self,
        work: &Work,
        body: usize,
        done: u32,
        corners: &[Vector3<f64>; N],
    ) -> [Vector3<f64>; N] {
        let Some(hangs) = &self.hangs[body] else {
            return *corners;
        };
        let place = self.frame(work, Round::MovingBack) * place_of(work, hangs, done);
        corners.map(|corner| place.rotation * corner + place.translation.vector)
    }

    /// Whether the body lies in the plane of the leg it hangs on.
    pub fn lies_flat(work: &Work, hangs: &Hangs, done: u32) -> bool {
        let passed = hangs
            .over
            .iter()
            .all(|(line, _)| work.bent_rad(*line, done) == 0.0);
        passed && done & hangs.bits == 0
    }
}

fn place_of(work: &Work, hangs: &Hangs, done: u32) -> Isometry3<f64> {
    hangs
        .over
        .iter()
        .fold(Isometry3::identity(), |place, (line, to_moving)| {
            let bent_rad = work.bent_rad(*line, done);
            if bent_rad == 0.0 {
                return place;
            }
            let turn = work.lines[*line].turn(bent_rad);
            place * if *to_moving { turn } else { turn.inverse() }
        })
}

/// Every stroke of the work: each step by itself, and those that lie on one line together.
pub(crate) fn strokes(work: &Work) -> Vec<Stroke> {
    let mut strokes: Vec<Stroke> = (0..work.stages.len())
        .filter_map(|stage| stroke(work, &[stage]))
        .collect();
    let mut grouped = vec![false; work.stages.len()];
    for first in 0..work.stages.len() {
        if grouped[first] || work.stages[first].closing {
            continue;
        }
        let later =
            (first + 1..work.stages.len()).filter(|&next| !grouped[next] && together(work, first, next));
        let group: Vec<usize> = std::iter::once(first)
            .chain(later.take(MOST_TOGETHER - 1))
            .collect();
        if group.len() > 1 {
            group.iter().for_each(|&stage| grouped[stage] = true);
            strokes.extend(stroke(work, &group));
        }
    }
    strokes
}

fn together(work: &Work, first: usize, next: usize) -> bool {
    let (a, b) = (&work.stages[first], &work.stages[next]);
    let (la, lb) = (&work.lines[a.line], &work.lines[b.line]);
    let offset = lb.middle - la.middle;
    a.line != b.line
        && !b.closing
        && la.way == lb.way
        && (a.from_rad - b.from_rad).abs() < SAME_ANGLE_RAD
        && (a.to_rad - b.to_rad).abs() < SAME_ANGLE_RAD
        && (la.radius_mm - lb.radius_mm).abs() < SAME_RADIUS_MM
        && la.across.dot(&lb.across) > 0.0
        && la.across.perp(&lb.across).abs() < SAME_LINE
        && offset.dot(&la.across).abs() < SAME_LINE_MM
}

/// These steps in one stroke; none when a piece of plate would have to turn both ways.
fn stroke(work: &Work, stages: &[usize]) -> Option<Stroke> {
    let lines: Vec<usize> = stages.iter().map(|&stage| work.stages[stage].line).collect();
    let bits = stages.iter().fold(0, |bits, stage| bits | 1u32 << stage);
    let after = (0..work.stages.len())
        .filter(|&other| {
            stages
                .iter()
                .any(|&stage| other < stage && work.stages[other].line == work.stages[stage].line)
        })
        .fold(0, |bits, stage| bits | 1u32 << stage);
    let first = &work.lines[lines[0]];
    let spans_mm = lines
        .iter()
        .flat_map(|&line| {
            let own = &work.lines[line];
            let middle = first.frame * nalgebra::Point3::new(own.middle.x, own.middle.y, 0.0);
            own.spans_mm
                .iter()
                .map(move |[from, to]| [from + middle.y, to + middle.y])
        })
        .collect();
    let fixed: Vec<usize> = lines.iter().map(|&line| work.lines[line].fixed).collect();
    let moving: Vec<usize> = lines.iter().map(|&line| work.lines[line].moving).collect();
    let mut flat = 0;
    let mut ways = [
        work.tree.ways(&moving[..1], &lines),
        work.tree.ways(&fixed[..1], &lines),
    ];
    for (side, panels) in [&moving, &fixed].into_iter().enumerate() {
        for &panel in &panels[1..] {
            match &ways[side][panel] {
                // The same piece of plate: what lies between must be flat.
                Some((_, over)) => {
                    flat |= over
                        .iter()
                        .fold(0, |bits, (line, _)| bits | work.bits_of_line(*line))
                }
                None => {
                    let more = work.tree.ways(&[panel], &lines);
                    for (known, found) in ways[side].iter_mut().zip(more) {
                        if known.is_none() {
                            *known = found;
                        }
                    }
                }
            }
        }
    }
    if fixed.iter().any(|&panel| ways[0][panel].is_some()) {
        return None;
    }
    let hangs = work
        .bodies
        .iter()
        .map(|body| {
            let own = match body.solid {
                Solid::Strip(line) if lines.contains(&line) => return None,
                Solid::Strip(line) => work.bits_of_line(line),
                Solid::Panel(_) => 0,
            };
            let (moving, (_, over)) = match (&ways[0][body.panel], &ways[1][body.panel]) {
                (Some(way), _) => (true, way),
                (None, Some(way)) => (false, way),
                (None, None) => return None,
            };
            let passed = over
                .iter()
                .fold(0, |bits, (line, _)| bits | work.bits_of_line(*line));
            Some(Hangs {
                moving,
                over: over.clone(),
                bits: passed | own,
            })
        })
        .collect();
    let stage = &work.stages[stages[0]];
    Some(Stroke {
        stages: stages.to_vec(),
        bits,
        after: after & !bits,
        flat,
        lines,
        spans_mm,
        from_rad: stage.from_rad,
        to_rad: stage.to_rad,
        closing: stage.closing,
        hangs,
    })
}
