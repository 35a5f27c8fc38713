//! Whether anything meets while a stroke is made, and whether the part goes in and comes off: asked once for each way the
//! plate concerned can stand, however many sets of finished steps that is part of.

use nalgebra::Vector3;

use super::moves::{Round, Stroke};
use super::variants::Pieces;
use crate::solid::Prism;
use crate::sweep::{Action, Holds, Motion, Mover, Scratch, Sector, Station, TOUCH_MM, ToolPiece, meeting};
use crate::work::{Body, Solid, Work};

/// A strip is bent so far when it is within this of it, rad.
const SAME_ANGLE_RAD: f64 = 1e-9;

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

    /// Which of the shapes of tools it is asked of.
    fn pieces(self) -> usize {
        match self {
            Asked::Bending => 0,
            Asked::Lift { .. } => 1,
            Asked::Slide { forward, .. } => 2 + usize::from(forward),
        }
    }

    fn index(self) -> usize {
        match self {
            Asked::Bending => 0,
            Asked::Lift { after } => 1 + usize::from(after),
            Asked::Slide { after, forward } => 3 + 2 * usize::from(after) + usize::from(forward),
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
    /// The angle each stroke is bent to under load, rad.
    pub last_rad: &'a [f64],
    /// For each stroke, the variants worth asking about.
    pub wanted: Vec<u128>,
    pieces: &'a [Pieces; 4],
    by_tool: Vec<Vec<Told>>,
    by_self: Vec<Vec<u8>>,
    /// For each stroke, the bodies of the moving side with those of the other.
    pairs: Vec<Vec<(usize, usize)>>,
    scratch: Scratch,
    /// For each body, the corners of a box about it in blank axes: flat, and bent so far.
    boxes: Vec<Vec<(f64, [Vector3<f64>; 8])>>,
    /// For each stroke and body, where it stands about the bend's axis with the moving panel to the back.
    sectors: Vec<Vec<Option<Sector>>>,
    /// For each stroke and question, where each group of tools stands or passes through.
    tool_sectors: Vec<Vec<Sector>>,
    /// How many sweeps were made.
    pub sweeps: u64,
}

/// A piece of the part with all that it passes through.
struct Swept {
    piece: Prism,
    sector: Sector,
}

impl<'a> Clear<'a> {
    pub fn new(
        work: &'a Work,
        strokes: &'a [Stroke],
        last_rad: &'a [f64],
        wanted: Vec<u128>,
        pieces: &'a [Pieces; 4],
    ) -> Self {
        let bodies = work.bodies.len();
        Clear {
            work,
            strokes,
            last_rad,
            wanted,
            pieces,
            by_tool: vec![Vec::new(); strokes.len() * 2 * bodies * Asked::COUNT],
            by_self: vec![Vec::new(); strokes.len() * bodies * bodies],
            pairs: strokes.iter().map(pairs).collect(),
            scratch: Scratch::default(),
            boxes: work.bodies.iter().map(boxes).collect(),
            sectors: vec![Vec::new(); strokes.len() * bodies],
            tool_sectors: vec![Vec::new(); strokes.len() * Asked::COUNT],
            sweeps: 0,
        }
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
        let (from_rad, to_rad) = self.over_rad(stroke, asked);
        let standing = self.sector(stroke, body, done, round);
        let (made, which) = (&self.strokes[stroke], asked.pieces());
        let mut motion = self_motion(self.work, made);
        motion.action = Action::Swing {
            last_rad: self.last_rad[stroke],
        };
        let swings = standing.swept(&motion, mover, from_rad, to_rad);
        motion.action = action(Some((0.0, 0.0)), 0.0);
        let rises = standing.swept(&motion, mover, from_rad, to_rad);
        let mut swept: [Option<Vec<Swept>>; 2] = [None, None];
        let mut met = 0u128;
        let table = stroke * Asked::COUNT + asked.index();
        if self.tool_sectors[table].is_empty() {
            self.tool_sectors[table] = self.sectors_of_tools(stroke, asked);
        }
        let groups = self.pieces[which].groups.iter().zip(&self.pieces[which].rises);
        for ((group, rising), tools) in groups.zip(&self.tool_sectors[table]) {
            let own = if rising.is_some() { &rises } else { &swings };
            let holds = group[0].0.holds;
            let held = flat && (holds.flat(mover) || (asked != Asked::Bending && holds != Holds::Nothing));
            if held || own.is_clear_of(tools) {
                continue;
            }
            motion.action = action(*rising, self.last_rad[stroke]);
            for (tool, bits) in group {
                let bits = bits & of & !met;
                if bits == 0 {
                    continue;
                }
                let pieces = swept[usize::from(rising.is_some())].get_or_insert_with(|| {
                    let pieces = made.pieces(self.work, body, round, done).into_iter();
                    let sector = |piece: &Prism| {
                        let standing = Sector::of(piece.corners(), motion.radius_mm);
                        standing.swept(&motion, mover, from_rad, to_rad)
                    };
                    pieces
                        .map(|piece| Swept {
                            sector: sector(&piece),
                            piece,
                        })
                        .collect()
                });
                let (sweeps, scratch) = (&mut self.sweeps, &mut self.scratch);
                let mut hits = |swept: &Swept| {
                    if swept.sector.is_clear_of(tools) {
                        return false;
                    }
                    *sweeps += 1;
                    let (a, b) = ((&swept.piece, mover), (&tool.prism, tool.mover));
                    match asked {
                        Asked::Bending => meeting(&motion, a, b, from_rad, to_rad, scratch).is_some(),
                        Asked::Lift { .. } | Asked::Slide { .. } => overlap(&motion, a, b, from_rad),
                    }
                };
                if !pieces.iter().any(&mut hits) {
                    break;
                }
                met |= bits;
            }
        }
        met
    }

    /// From where to where the bend is, while this is asked, rad.
    fn over_rad(&self, stroke: usize, asked: Asked) -> (f64, f64) {
        let made = &self.strokes[stroke];
        match asked {
            Asked::Bending => (made.from_rad, self.last_rad[stroke]),
            Asked::Lift { after: true } | Asked::Slide { after: true, .. } => (made.to_rad, made.to_rad),
            Asked::Lift { after: false } | Asked::Slide { after: false, .. } => {
                (made.from_rad, made.from_rad)
            }
        }
    }

    fn sectors_of_tools(&self, stroke: usize, asked: Asked) -> Vec<Sector> {
        let (from_rad, to_rad) = self.over_rad(stroke, asked);
        let mut motion = self_motion(self.work, &self.strokes[stroke]);
        let pieces = &self.pieces[asked.pieces()];
        let groups = pieces.groups.iter().zip(&pieces.rises);
        let of_group = groups.map(|(group, rises)| {
            motion.action = action(*rises, self.last_rad[stroke]);
            of_tool(&motion, &group[0].0, from_rad, to_rad)
        });
        of_group.collect()
    }

    /// Where a body stands about a stroke's axis when these steps are done.
    pub fn sector(&mut self, stroke: usize, body: usize, done: u32, round: Round) -> Sector {
        let standing = self.sector_ahead(stroke, body, done);
        match round {
            Round::MovingBack => standing,
            Round::FixedBack => standing.turned_round(),
        }
    }

    /// The same with the moving panel to the back, found once.
    fn sector_ahead(&mut self, stroke: usize, body: usize, done: u32) -> Sector {
        let made = &self.strokes[stroke];
        let bits = made.hangs[body].as_ref().map_or(0, |hangs| hangs.bits);
        let (table, slot) = (stroke * self.work.bodies.len() + body, squeezed(done, bits));
        if self.sectors[table].is_empty() {
            self.sectors[table] = vec![None; 1 << bits.count_ones()];
        }
        if let Some(known) = self.sectors[table][slot] {
            return known;
        }
        let bent_rad = match self.work.bodies[body].solid {
            Solid::Panel(_) => 0.0,
            Solid::Strip(line) => self.work.bent_rad(line, done),
        };
        let boxes = &self.boxes[body];
        let about = boxes
            .iter()
            .rev()
            .find(|(at, _)| *at <= bent_rad + SAME_ANGLE_RAD);
        let found = match about {
            Some((_, corners)) => Sector::of(
                made.placed(self.work, body, done, corners).into_iter(),
                self.work.lines[made.lines[0]].radius_mm,
            ),
            None => Sector::of(std::iter::empty(), 0.0),
        };
        self.sectors[table][slot] = Some(found);
        found
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
        let (from_rad, last_rad) = (made.from_rad, self.last_rad[stroke]);
        let motion = self_motion(self.work, made);
        let whole = [(a, Mover::Ahead), (b, Mover::Behind)].map(|(body, mover)| {
            self.sector(stroke, body, done, Round::MovingBack)
                .swept(&motion, mover, from_rad, last_rad)
        });
        if whole[0].is_clear_of(&whole[1]) {
            return false;
        }
        let made = &self.strokes[stroke];
        let swept = |body: usize, mover: Mover, other: &Sector| -> Vec<Swept> {
            let pieces = made.pieces(self.work, body, Round::MovingBack, done).into_iter();
            pieces
                .map(|piece| Swept {
                    sector: Sector::of(piece.corners(), motion.radius_mm)
                        .swept(&motion, mover, from_rad, last_rad),
                    piece,
                })
                .filter(|swept| !swept.sector.is_clear_of(other))
                .collect()
        };
        let first = swept(a, Mover::Ahead, &whole[1]);
        if first.is_empty() {
            return false;
        }
        let second = swept(b, Mover::Behind, &whole[0]);
        for a in &first {
            for b in &second {
                if a.sector.is_clear_of(&b.sector) {
                    continue;
                }
                self.sweeps += 1;
                let (a, b) = ((&a.piece, Mover::Ahead), (&b.piece, Mover::Behind));
                if meeting(&motion, a, b, from_rad, last_rad, &mut self.scratch).is_some() {
                    return true;
                }
            }
        }
        false
    }
}

/// All that a tool passes through while the angle grows from one to the other.
pub(crate) fn of_tool(motion: &Motion, tool: &ToolPiece, from_rad: f64, to_rad: f64) -> Sector {
    // A die only comes up: what it passes through lies between where it begins and ends.
    let up_mm = |at_rad: f64| {
        if tool.mover == Mover::Lower {
            motion.lift_mm(at_rad)
        } else {
            0.0
        }
    };
    let ups = [up_mm(from_rad), up_mm(to_rad)];
    let corners = tool
        .prism
        .corners()
        .flat_map(move |corner| ups.map(|up_mm| corner + Vector3::new(0.0, 0.0, up_mm)));
    Sector::of(corners, motion.radius_mm).swept(motion, tool.mover, from_rad, to_rad)
}

/// The corners of a box about a body in blank axes, flat and after each of its steps.
fn boxes(body: &Body) -> Vec<(f64, [Vector3<f64>; 8])> {
    let about = |pieces: &[Prism]| {
        let mut corners = pieces.iter().flat_map(Prism::corners);
        let first = corners.next()?;
        let (low, high) = corners.fold((first, first), |(low, high), p| (low.inf(&p), high.sup(&p)));
        let pick = |axis: usize, top: bool| if top { high[axis] } else { low[axis] };
        let corner = |i: usize| Vector3::new(pick(0, i & 1 == 1), pick(1, i & 2 == 2), pick(2, i & 4 == 4));
        Some([0, 1, 2, 3, 4, 5, 6, 7].map(corner))
    };
    let bent = body.bent.iter().map(|(at, pieces)| (*at, pieces.as_slice()));
    std::iter::once((0.0, body.flat.as_slice()))
        .chain(bent)
        .filter_map(|(at, pieces)| Some((at, about(pieces)?)))
        .collect()
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
