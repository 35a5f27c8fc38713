//! Whether anything meets while a stroke is made, and whether the part goes in and comes off: asked once for each way the
//! plate concerned can stand, however many sets of finished steps that is part of.

use nalgebra::Vector3;
use plane::Point;

use super::moves::{Round, Stroke};
use crate::solid::{Prism, hull};
use crate::sweep::{Action, Holds, Motion, Mover, Scratch, Station, TOUCH_MM, ToolPiece, meeting};
use crate::tooling::{Means, Tooling};
use crate::work::Work;

/// No more variants of tools than there are bits.
pub(crate) const MOST_VARIANTS: usize = 128;
/// In sliding off the end, the upper tool stands clear of the plate by this.
const SLIDES_UNDER_MM: f64 = 3.0;

/// What is asked of a part and its tools.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Asked {
    /// While the bend is made.
    Bending,
    /// The upper tool comes down on the part, or goes up from it again.
    Lift {
        /// After the bend, not before.
        after: bool,
    },
    /// The part goes off along the bend, or comes on.
    Slide {
        /// After the bend, not before.
        after: bool,
        /// Toward +y.
        forward: bool,
    },
}

impl Asked {
    const COUNT: usize = 7;

    fn index(self) -> usize {
        match self {
            Asked::Bending => 0,
            Asked::Lift { after } => 1 + usize::from(after),
            Asked::Slide { after, forward } => 3 + 2 * usize::from(after) + usize::from(forward),
        }
    }
}

/// A station with the shapes that its tools sweep when they lift or the part slides.
#[derive(Debug, Clone)]
pub(crate) struct Variant {
    pub station: Station,
    /// Pieces where they stand for this plate.
    pub pieces: Vec<ToolPiece>,
    /// The upper tools swept up.
    pub lifts: Vec<ToolPiece>,
    /// All tools drawn out against the way the part slides: backward, forward.
    pub slides: [Vec<ToolPiece>; 2],
}

impl Variant {
    pub fn of(tooling: &Tooling, means: Means, tool_mm: f64, t_mm: f64) -> Option<Variant> {
        let station = Station::of(tooling, means, tool_mm)?;
        let pieces: Vec<ToolPiece> = station
            .pieces
            .iter()
            .map(|piece| station.placed(piece, t_mm))
            .collect();
        let open_mm = match means {
            Means::Press { press, punch, die } => {
                let (press, tools_mm) = (
                    &tooling.presses[press],
                    tooling.punches[punch].height_mm + tooling.dies[die].height_mm,
                );
                press.stroke_mm.min(press.daylight_mm - tools_mm - t_mm)
            }
            Means::Folder(folder) => tooling.folders[folder].clamp_lift_mm,
            Means::Vice(_) | Means::Away => 0.0,
        };
        // Jaws open sideways: nothing lifts and nothing need slide.
        let vice = matches!(means, Means::Vice(_));
        let lifts = pieces
            .iter()
            .filter(|piece| !vice && piece.holds_over())
            .map(|piece| piece.lifted(open_mm))
            .collect();
        let slide = |forward: bool| {
            pieces
                .iter()
                .map(|piece| piece.drawn_out(forward, &station))
                .collect()
        };
        Some(Variant {
            lifts,
            slides: [slide(false), slide(true)],
            pieces,
            station,
        })
    }
}

impl ToolPiece {
    /// Above the plate, and lifted off it.
    fn holds_over(&self) -> bool {
        use crate::sweep::ToolSolid::{Beam, Finger, Punch, Ram};
        matches!(self.solid, Punch | Ram | Finger | Beam)
    }

    fn section(&self) -> Vec<Point> {
        self.prism
            .base
            .iter()
            .map(|corner| Point::new(corner.x, corner.z))
            .collect()
    }

    fn ends_mm(&self) -> (f64, f64) {
        self.prism.extent(&Vector3::y())
    }

    /// All it passes through when lifted so far.
    fn lifted(&self, open_mm: f64) -> ToolPiece {
        let mut corners = self.section();
        corners.extend(
            self.section()
                .iter()
                .map(|corner| corner + plane::Vector::new(0.0, open_mm)),
        );
        let (from, to) = self.ends_mm();
        let prism = Prism::bar(&hull(&corners), from, to).unwrap_or_else(|| self.prism.clone());
        ToolPiece {
            prism,
            ..self.clone()
        }
    }

    /// All it passes through, seen from the part, when that slides off the end.
    fn drawn_out(&self, forward: bool, station: &Station) -> ToolPiece {
        const FAR_MM: f64 = 1e4;
        let up = if self.holds_over() && station.rises.is_some() {
            SLIDES_UNDER_MM
        } else {
            0.0
        };
        let corners: Vec<Point> = self
            .section()
            .iter()
            .map(|corner| corner + plane::Vector::new(0.0, up))
            .collect();
        let (from, to) = self.ends_mm();
        let (from, to) = if forward {
            (from - FAR_MM, to)
        } else {
            (from, to + FAR_MM)
        };
        let prism = Prism::bar(&corners, from, to).unwrap_or_else(|| self.prism.clone());
        ToolPiece {
            prism,
            ..self.clone()
        }
    }
}

/// Every piece of every variant once, with the variants it is of.
#[derive(Debug, Clone, Default)]
pub(crate) struct Pieces {
    /// Pieces of one section, the longest first: where that is clear of something, so are the others.
    groups: Vec<Vec<(ToolPiece, u128)>>,
    /// How the machine of each group moves, which only matters to what comes up with the die.
    rises: Vec<Option<(f64, f64)>>,
}

impl Pieces {
    pub fn of<'v>(variants: &'v [Variant], pick: impl Fn(&'v Variant) -> &'v [ToolPiece]) -> Pieces {
        let mut all = Pieces::default();
        for (index, variant) in variants.iter().enumerate() {
            let rises = variant.station.rises;
            for piece in pick(variant) {
                all.put(piece, rises, 1 << index);
            }
        }
        for group in &mut all.groups {
            let long = |piece: &ToolPiece| piece.prism.along.norm();
            group.sort_by(|a, b| long(&b.0).total_cmp(&long(&a.0)));
        }
        all
    }

    fn put(&mut self, piece: &ToolPiece, rises: Option<(f64, f64)>, bit: u128) {
        // Folders and brakes move differently in all; of two brakes only the dies do.
        let alike = |known: Option<(f64, f64)>| {
            known.is_some() == rises.is_some() && (piece.mover != Mover::Lower || known == rises)
        };
        let section = piece.section();
        let found = (0..self.groups.len()).find(|&group| {
            let known = &self.groups[group][0].0;
            known.solid == piece.solid
                && known.mover == piece.mover
                && alike(self.rises[group])
                && known.section() == section
        });
        let Some(group) = found else {
            self.groups.push(vec![(piece.clone(), bit)]);
            self.rises.push(rises);
            return;
        };
        match self.groups[group]
            .iter_mut()
            .find(|(known, _)| known.prism == piece.prism)
        {
            Some((_, bits)) => *bits |= bit,
            None => self.groups[group].push((piece.clone(), bit)),
        }
    }
}

/// What is known of the tools against one body where it stands: the variants asked about, and those that meet it.
#[derive(Debug, Clone, Copy, Default)]
struct Told {
    asked: u128,
    met: u128,
}

/// The answers, each found once.
pub(crate) struct Clear<'a> {
    pub work: &'a Work,
    pub strokes: &'a [Stroke],
    pub variants: &'a [Variant],
    /// The angle each stroke is bent to under load, rad.
    pub last_rad: &'a [f64],
    /// For each stroke, the variants worth asking about.
    pub wanted: Vec<u128>,
    pieces: [Pieces; 4],
    by_tool: Vec<Vec<Told>>,
    by_self: Vec<Vec<u8>>,
    /// For each stroke, the bodies of the moving side with those of the other.
    pairs: Vec<Vec<(usize, usize)>>,
    scratch: Scratch,
    /// How many sweeps were made.
    pub sweeps: u64,
}

impl<'a> Clear<'a> {
    pub fn new(
        work: &'a Work,
        strokes: &'a [Stroke],
        variants: &'a [Variant],
        last_rad: &'a [f64],
        wanted: Vec<u128>,
    ) -> Self {
        let bodies = work.bodies.len();
        Clear {
            work,
            strokes,
            variants,
            last_rad,
            wanted,
            pieces: [
                Pieces::of(variants, |variant| &variant.pieces),
                Pieces::of(variants, |variant| &variant.lifts),
                Pieces::of(variants, |variant| &variant.slides[0]),
                Pieces::of(variants, |variant| &variant.slides[1]),
            ],
            by_tool: vec![Vec::new(); strokes.len() * 2 * bodies * Asked::COUNT],
            by_self: vec![Vec::new(); strokes.len() * bodies * bodies],
            pairs: strokes.iter().map(pairs).collect(),
            scratch: Scratch::default(),
            sweeps: 0,
        }
    }

    pub fn motion(&self, stroke: usize, variant: usize) -> Motion {
        motion_of(
            self.work,
            &self.strokes[stroke],
            &self.variants[variant].station,
            self.last_rad[stroke],
        )
    }

    /// Those of some variants that meet the part somewhere, as bits.
    pub fn tools_meet(&mut self, stroke: usize, round: Round, done: u32, asked: Asked, of: u128) -> u128 {
        let of = of & self.wanted[stroke];
        let mut met = 0;
        for body in 0..self.work.bodies.len() {
            if met == of {
                break;
            }
            met |= self.tools_meet_body(stroke, round, body, done, asked, of & !met);
        }
        met
    }

    fn tools_meet_body(
        &mut self,
        stroke: usize,
        round: Round,
        body: usize,
        done: u32,
        asked: Asked,
        of: u128,
    ) -> u128 {
        let Some(hangs) = &self.strokes[stroke].hangs[body] else {
            return 0;
        };
        let table = ((stroke * 2 + usize::from(round == Round::FixedBack)) * self.work.bodies.len() + body)
            * Asked::COUNT
            + asked.index();
        let (slot, size) = (squeezed(done, hangs.bits), 1usize << hangs.bits.count_ones());
        if self.by_tool[table].is_empty() {
            self.by_tool[table] = vec![Told::default(); size];
        }
        let open = of & !self.by_tool[table][slot].asked;
        if open != 0 {
            let met = self.ask_tools(stroke, round, body, done, asked, open);
            let told = &mut self.by_tool[table][slot];
            told.asked |= open;
            told.met |= met;
        }
        self.by_tool[table][slot].met & of
    }

    fn ask_tools(
        &mut self,
        stroke: usize,
        round: Round,
        body: usize,
        done: u32,
        asked: Asked,
        of: u128,
    ) -> u128 {
        let made = &self.strokes[stroke];
        let Some(hangs) = &made.hangs[body] else { return 0 };
        let mover = Stroke::mover(hangs, round);
        let flat = Stroke::lies_flat(self.work, hangs, done);
        let (which, at) = match asked {
            Asked::Bending => (0, None),
            Asked::Lift { after } => (1, Some(after)),
            Asked::Slide { after, forward } => (2 + usize::from(forward), Some(after)),
        };
        let at = at.map(|after| if after { made.to_rad } else { made.from_rad });
        let last_rad = self.last_rad[stroke];
        let mut motion = self_motion(self.work, made);
        let mut pieces: Option<Vec<Prism>> = None;
        let mut met = 0u128;
        for (group, rises) in self.pieces[which].groups.iter().zip(&self.pieces[which].rises) {
            motion.action = action(*rises, last_rad);
            for (tool, bits) in group {
                let bits = bits & of & !met;
                if bits == 0 {
                    continue;
                }
                if flat && tool.holds.flat(mover) || (at.is_some() && flat && tool.holds != Holds::Nothing) {
                    break;
                }
                let pieces = pieces.get_or_insert_with(|| made.pieces(self.work, body, round, done));
                self.sweeps += pieces.len() as u64;
                let scratch = &mut self.scratch;
                let mut hits = |piece: &Prism| match at {
                    None => meeting(
                        &motion,
                        (piece, mover),
                        (&tool.prism, tool.mover),
                        made.from_rad,
                        last_rad,
                        scratch,
                    )
                    .is_some(),
                    Some(at) => overlap(&motion, (piece, mover), (&tool.prism, tool.mover), at),
                };
                if !pieces.iter().any(&mut hits) {
                    break;
                }
                met |= bits;
            }
        }
        met
    }

    /// Whether the part meets itself while the stroke is made.
    pub fn self_meets(&mut self, stroke: usize, done: u32) -> bool {
        (0..self.pairs[stroke].len()).any(|pair| {
            let (a, b) = self.pairs[stroke][pair];
            self.pair_meets(stroke, a, b, done)
        })
    }

    /// One of the moving side against one of the other.
    pub fn pair_meets(&mut self, stroke: usize, a: usize, b: usize, done: u32) -> bool {
        let made = &self.strokes[stroke];
        let (Some(first), Some(second)) = (&made.hangs[a], &made.hangs[b]) else {
            return false;
        };
        let bits = first.bits | second.bits;
        let table = (stroke * self.work.bodies.len() + a) * self.work.bodies.len() + b;
        let (slot, size) = (squeezed(done, bits), 1usize << bits.count_ones());
        if self.by_self[table].is_empty() {
            self.by_self[table] = vec![0; size];
        }
        if self.by_self[table][slot] == 0 {
            let hit = self.ask_pair(stroke, a, b, done);
            self.by_self[table][slot] = 1 + u8::from(hit);
        }
        self.by_self[table][slot] == 2
    }

    fn ask_pair(&mut self, stroke: usize, a: usize, b: usize, done: u32) -> bool {
        let made = &self.strokes[stroke];
        let motion = self_motion(self.work, made);
        let first = made.pieces(self.work, a, Round::MovingBack, done);
        let second = made.pieces(self.work, b, Round::MovingBack, done);
        let last_rad = self.last_rad[stroke];
        for a in &first {
            for b in &second {
                self.sweeps += 1;
                if meeting(
                    &motion,
                    (a, Mover::Ahead),
                    (b, Mover::Behind),
                    made.from_rad,
                    last_rad,
                    &mut self.scratch,
                )
                .is_some()
                {
                    return true;
                }
            }
        }
        false
    }
}

/// Every body of the moving side with every one of the other.
fn pairs(stroke: &Stroke) -> Vec<(usize, usize)> {
    let side = |moving: bool| {
        let own = move |(body, hangs): (usize, &Option<super::moves::Hangs>)| {
            hangs
                .as_ref()
                .filter(|hangs| hangs.moving == moving)
                .map(|_| body)
        };
        stroke
            .hangs
            .iter()
            .enumerate()
            .filter_map(own)
            .collect::<Vec<usize>>()
    };
    let others = side(false);
    side(true)
        .into_iter()
        .flat_map(|a| others.iter().map(move |&b| (a, b)).collect::<Vec<_>>())
        .collect()
}

/// How a station bends that rises so, or swings to this angle.
fn action(rises: Option<(f64, f64)>, last_rad: f64) -> Action {
    match rises {
        Some((half_opening_mm, shoulder_mm)) => Action::Rise {
            half_opening_mm,
            shoulder_mm,
        },
        None => Action::Swing { last_rad },
    }
}

/// The motion of a stroke at a station.
pub(crate) fn motion_of(work: &Work, stroke: &Stroke, station: &Station, last_rad: f64) -> Motion {
    Motion {
        action: action(station.rises, last_rad),
        ..self_motion(work, stroke)
    }
}

/// The motion of the plate alone.
pub(crate) fn self_motion(work: &Work, stroke: &Stroke) -> Motion {
    let line = &work.lines[stroke.lines[0]];
    Motion {
        action: Action::Rise {
            half_opening_mm: 0.0,
            shoulder_mm: 0.0,
        },
        radius_mm: line.radius_mm,
        neutral_mm: line.neutral_mm,
        thickness_mm: work.thickness_mm,
    }
}

pub(crate) fn overlap(motion: &Motion, a: (&Prism, Mover), b: (&Prism, Mover), at_rad: f64) -> bool {
    crate::sweep::gap_at(motion, a, b, at_rad) < -TOUCH_MM
}

/// The bits of `done` under the mask, moved together.
pub(super) fn squeezed(done: u32, mask: u32) -> usize {
    let (mut slot, mut place, mut rest) = (0usize, 0, mask);
    while rest != 0 {
        let bit = rest & rest.wrapping_neg();
        slot |= usize::from(done & bit != 0) << place;
        place += 1;
        rest &= rest - 1;
    }
    slot
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bits_under_a_mask_are_moved_together() {
        assert_eq!(squeezed(0b1011_0110, 0b1100_0101), 0b1010);
        assert_eq!(squeezed(0b1111, 0b1010), 0b11);
        assert_eq!(squeezed(0b0101, 0b1010), 0b00);
    }
}
