//! Every way to make up the tools, with the shapes that they pass through when they lift or the part slides off.

use nalgebra::Vector3;
use plane::Point;

use crate::solid::{Prism, hull};
use crate::sweep::{Holds, Mover, Station, ToolPiece, ToolSolid};
use crate::tooling::{JawsOpen, Means, Tooling};

/// No more variants of tools than there are bits.
pub(crate) const MOST_VARIANTS: usize = 128;
/// In sliding off the end, the upper tool stands clear of the plate by this.
const SLIDES_UNDER_MM: f64 = 3.0;

/// A bar that is lifted so far is out of any part, mm.
const OUT_OF_MM: f64 = 1e3;

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
    pub fn of(tooling: &Tooling, station: Station, t_mm: f64) -> Variant {
        let means = station.means;
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
            Means::Vice(_) => OUT_OF_MM,
            Means::Away => 0.0,
        };
        let opens = match means {
            Means::Vice(vice) => Some(tooling.vices[vice].opens),
            _ => None,
        };
        // Jaws that open sideways let go without lifting, and nothing need slide. Bars are unbolted first, and then the inner
        // one is lifted off the plate, or both are drawn off it.
        let lets_go = |piece: &&ToolPiece| match opens {
            None => piece.holds_over(),
            Some(JawsOpen::Sideways) => false,
            Some(JawsOpen::Unbolted { .. }) => {
                piece.solid == ToolSolid::InnerJaw && piece.holds != Holds::Nothing
            }
        };
        let lifts = pieces
            .iter()
            .filter(lets_go)
            .map(|piece| piece.lifted(open_mm))
            .collect();
        let slide = |forward: bool| {
            let unbolted = pieces
                .iter()
                .filter(|piece| opens.is_none() || piece.holds != Holds::Nothing);
            unbolted.map(|piece| piece.drawn_out(forward, &station)).collect()
        };
        Variant {
            lifts,
            slides: [slide(false), slide(true)],
            pieces,
            station,
        }
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

    fn has_section_of(&self, other: &ToolPiece) -> bool {
        let (own, others) = (&self.prism.base, &other.prism.base);
        own.len() == others.len() && own.iter().zip(others).all(|(own, other)| own.xz() == other.xz())
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

/// Whether one of two pieces of one section lies within the other along the bend: two uprights do not.
fn nested(a: &ToolPiece, b: &ToolPiece) -> bool {
    let ((a_from, a_to), (b_from, b_to)) = (a.ends_mm(), b.ends_mm());
    (a_from <= b_from && b_to <= a_to) || (b_from <= a_from && a_to <= b_to)
}

/// Every piece of every variant once, with the variants it is of.
#[derive(Debug, Clone, Default)]
pub(crate) struct Pieces {
    /// Pieces of one section, each within the one before, along the bend: where the first is clear of something, so are the
    /// others.
    pub groups: Vec<Vec<(ToolPiece, u128)>>,
    /// How the machine of each group moves, which only matters to what comes up with the die.
    pub rises: Vec<Option<(f64, f64)>>,
}

impl Pieces {
    /// As they stand while bending, lifted, and drawn out backward and forward.
    pub fn all(variants: &[Variant]) -> [Pieces; 4] {
        [
            Pieces::of(variants, |variant| &variant.pieces),
            Pieces::of(variants, |variant| &variant.lifts),
            Pieces::of(variants, |variant| &variant.slides[0]),
            Pieces::of(variants, |variant| &variant.slides[1]),
        ]
    }

    fn of<'v>(variants: &'v [Variant], pick: impl Fn(&'v Variant) -> &'v [ToolPiece]) -> Pieces {
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
        let found = (0..self.groups.len()).find(|&group| {
            let known = &self.groups[group][0].0;
            known.solid == piece.solid
                && known.mover == piece.mover
                && alike(self.rises[group])
                && known.has_section_of(piece)
                && self.groups[group].iter().all(|(known, _)| nested(known, piece))
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
