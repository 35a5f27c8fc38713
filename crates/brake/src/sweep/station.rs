//! A machine made ready for a bend, as solids.

use plane::{Outline, Region};

use super::motion::Mover;
use crate::solid::{Prism, convex_pieces};
use crate::tooling::{Die, JawsOpen, Means, Press, Tooling, Vice, ViceBody};

/// The plate lies this far over a back gauge's foot: the finger's own height, common practice, no source.
const GAUGE_UP_MM: f64 = 8.0;
/// A back gauge's finger is so wide and so deep, mm: common practice, no source.
const GAUGE_WIDE_MM: f64 = 40.0;
const GAUGE_DEEP_MM: f64 = 60.0;

/// Which solid of a machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ToolSolid {
    /// The punch.
    Punch,
    /// The die.
    Die,
    /// The ram of a brake.
    Ram,
    /// The bed of a brake or folder.
    Bed,
    /// An upright of a brake, behind its throat.
    Upright,
    /// The back gauge.
    Gauge,
    /// The fingers of a folder.
    Finger,
    /// The clamping beam of a folder.
    Beam,
    /// The apron of a folder.
    Apron,
    /// The jaw of a vice within the bend.
    InnerJaw,
    /// The jaw of a vice outside the bend.
    OuterJaw,
    /// A half of the body of a vice, behind a jaw.
    ViceBody,
    /// The screw of a vice, with its slide.
    Screw,
}

/// A convex piece of a machine, at rest in the tool's frame.
#[derive(Debug, Clone, PartialEq)]
pub struct ToolPiece {
    /// What it is of.
    pub solid: ToolSolid,
    /// Its shape.
    pub prism: Prism,
    /// How it moves.
    pub mover: Mover,
    /// The flat plate that lies against it all the while.
    pub holds: Holds,
}

/// Which flat plate lies against a piece of a machine while the bend is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// None: whatever comes near is told.
    Nothing,
    /// What lies toward the back.
    Ahead,
    /// What lies toward the person.
    Behind,
    /// Both legs.
    Both,
}

impl Holds {
    /// Whether flat plate that moves so lies against it.
    pub fn flat(self, mover: Mover) -> bool {
        match self {
            Holds::Nothing => false,
            Holds::Ahead => mover == Mover::Ahead,
            Holds::Behind => mover == Mover::Behind,
            Holds::Both => true,
        }
    }
}

/// A machine with tools of a certain length.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Which tools.
    pub means: Means,
    /// Length of punch, fingers or jaws on the bend, mm; the die is made up to at least as much.
    pub tool_mm: f64,
    /// Half the opening and the radius of the shoulders, mm, where the plate rises over a die; none where it is folded.
    pub rises: Option<(f64, f64)>,
    /// Its solids.
    pub pieces: Vec<ToolPiece>,
}

/// How long a section of a machine is along the bend.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Long {
    /// As the punch, the fingers or the jaws are made up.
    Tool,
    /// As the die is made up for that.
    Die,
    /// Always so long, mm.
    Always(f64),
}

/// A convex section of a machine.
#[derive(Debug, Clone, PartialEq)]
struct Section {
    solid: ToolSolid,
    corners: Vec<plane::Point>,
    long: Long,
    mover: Mover,
    holds: Holds,
}

/// A machine with its tools, as convex sections: what the stations of all lengths of these tools have in common.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sections {
    means: Means,
    rises: Option<(f64, f64)>,
    sections: Vec<Section>,
}

impl Sections {
    /// What is sent out has none, as nothing is known of its tools.
    pub fn of(tooling: &Tooling, means: Means) -> Sections {
        use Holds::{Ahead, Behind, Both, Nothing};
        use Mover::{Apron, Lower, Still};
        let mut sections = Vec::new();
        let mut cut = |solid, region: &Region, long, mover, holds| {
            let pieces = convex_pieces(region).into_iter();
            sections.extend(pieces.map(|corners| Section {
                solid,
                corners,
                long,
                mover,
                holds,
            }));
        };
        let at =
            |outline: &Outline, up_mm: f64| Region::solid(outline.translated(plane::Vector::new(0.0, up_mm)));
        let rises = match means {
            Means::Press { press, punch, die } => {
                let (press, punch, die) = (
                    &tooling.presses[press],
                    &tooling.punches[punch],
                    &tooling.dies[die],
                );
                let whole = Long::Always(press.length_mm);
                let ram = at(&press.ram, punch.height_mm);
                let bed = at(&press.bed, -die.height_mm);
                cut(
                    ToolSolid::Punch,
                    &at(&punch.profile, 0.0),
                    Long::Tool,
                    Still,
                    Nothing,
                );
                cut(ToolSolid::Ram, &ram, whole, Still, Nothing);
                cut(ToolSolid::Bed, &bed, whole, Lower, Nothing);
                for half in with_vee(die) {
                    cut(ToolSolid::Die, &half, Long::Die, Lower, Both);
                }
                Some((die.opening_mm / 2.0, die.shoulder_mm))
            }
            Means::Folder(folder) => {
                let folder = &tooling.folders[folder];
                let whole = Long::Always(folder.length_mm);
                cut(
                    ToolSolid::Finger,
                    &at(&folder.finger, 0.0),
                    Long::Tool,
                    Still,
                    Ahead,
                );
                cut(ToolSolid::Beam, &at(&folder.beam, 0.0), whole, Still, Nothing);
                cut(ToolSolid::Bed, &at(&folder.bed, 0.0), whole, Still, Ahead);
                cut(ToolSolid::Apron, &at(&folder.apron, 0.0), whole, Apron, Behind);
                None
            }
            Means::Vice(vice) => {
                let vice = &tooling.vices[vice];
                cut(
                    ToolSolid::InnerJaw,
                    &at(&vice.inner, 0.0),
                    Long::Tool,
                    Still,
                    Ahead,
                );
                cut(
                    ToolSolid::OuterJaw,
                    &at(&vice.outer, 0.0),
                    Long::Tool,
                    Still,
                    Ahead,
                );
                None
            }
            Means::Away => None,
        };
        Sections {
            means,
            rises,
            sections,
        }
    }

    /// The machine with so much tool on it.
    pub fn made_up(&self, tooling: &Tooling, tool_mm: f64) -> Station {
        let long_mm = |long: Long| match (long, self.means) {
            (Long::Always(mm), _) => mm,
            (Long::Die, Means::Press { die, .. }) => {
                let lengths = &tooling.dies[die].lengths;
                let over_mm = lengths.shortest_over_mm(tool_mm);
                over_mm.unwrap_or_else(|| lengths.longest_mm())
            }
            (Long::Tool | Long::Die, _) => tool_mm,
        };
        let bars = self.sections.iter().filter_map(|section| {
            let half_mm = long_mm(section.long) / 2.0;
            Some(ToolPiece {
                solid: section.solid,
                prism: Prism::bar(&section.corners, -half_mm, half_mm)?,
                mover: section.mover,
                holds: section.holds,
            })
        });
        let mut pieces: Vec<ToolPiece> = bars.collect();
        match self.means {
            Means::Press { press, .. } => pieces.extend(uprights(&tooling.presses[press])),
            Means::Vice(vice) => {
                let vice = &tooling.vices[vice];
                if let JawsOpen::Unbolted { end_mm } = vice.opens {
                    pieces.extend(bolts(vice, tool_mm, end_mm));
                }
                if let Some(body) = &vice.body {
                    pieces.extend(about_jaws(vice, body, tool_mm));
                }
            }
            Means::Folder(_) | Means::Away => {}
        }
        Station {
            means: self.means,
            tool_mm,
            rises: self.rises,
            pieces,
        }
    }
}

impl Station {
    /// The machine with this much tool on it. What is sent out has no solids, as nothing is known of them: the shop that
    /// takes it in sees to its own tools, within the limits it gives.
    pub fn of(tooling: &Tooling, means: Means, tool_mm: f64) -> Station {
        Sections::of(tooling, means).made_up(tooling, tool_mm)
    }

    /// A piece of the station where it stands for a plate of this thickness: what is outside the bend in folder and vice
    /// lies under the plate.
    pub fn placed(&self, piece: &ToolPiece, t_mm: f64) -> ToolPiece {
        let under = matches!(
            (self.rises, piece.solid),
            (None, ToolSolid::Bed | ToolSolid::Apron | ToolSolid::OuterJaw)
        );
        if !under {
            return piece.clone();
        }
        let down = nalgebra::Isometry3::translation(0.0, 0.0, -t_mm);
        ToolPiece {
            prism: piece.prism.moved(&down),
            ..piece.clone()
        }
    }

    /// The finger of a back gauge so far behind the bend line, for a plate of this thickness lying on the die.
    pub fn gauge(distance_mm: f64, t_mm: f64) -> Option<ToolPiece> {
        let low = plane::Point::new(distance_mm, -t_mm - 2.0);
        let high = plane::Point::new(distance_mm + GAUGE_DEEP_MM, -t_mm + GAUGE_UP_MM);
        let outline = Outline::rectangle(low, high).ok()?;
        let corners: Vec<_> = outline.vertices().iter().map(|vertex| vertex.at).collect();
        let prism = Prism::bar(&corners, -GAUGE_WIDE_MM / 2.0, GAUGE_WIDE_MM / 2.0)?;
        Some(ToolPiece {
            solid: ToolSolid::Gauge,
            prism,
            mover: Mover::Lower,
            holds: Holds::Nothing,
        })
    }
}

/// The bolts at both ends of bars, through both of them and whatever lies between: of the inner jaw, and the only pieces of a
/// vice that hold no plate.
fn bolts(vice: &Vice, bars_mm: f64, end_mm: f64) -> Vec<ToolPiece> {
    let ((low, high), (under, _)) = (vice.inner.bounds(), vice.outer.bounds());
    // In the middle of the bar's width, half of it for the bolt and its head.
    let (middle_mm, half_mm) = ((low.x + high.x) / 2.0, (high.x - low.x) / 4.0);
    let corner = plane::Point::new;
    let section = [
        corner(middle_mm - half_mm, under.y),
        corner(middle_mm + half_mm, under.y),
        corner(middle_mm + half_mm, high.y),
        corner(middle_mm - half_mm, high.y),
    ];
    let (to_mm, from_mm) = (bars_mm / 2.0, bars_mm / 2.0 - end_mm);
    [[-to_mm, -from_mm], [from_mm, to_mm]]
        .into_iter()
        .filter_map(|[from, to]| Prism::bar(&section, from, to))
        .map(|prism| ToolPiece {
            solid: ToolSolid::InnerJaw,
            prism,
            mover: Mover::Still,
            holds: Holds::Nothing,
        })
        .collect()
}

/// The body of a vice and its screw. Where the bend is made beside the screw that may be to either side of it: then the screw stands on
/// both, and the body reaches as far as it does for either. The outer half lies under the plate by less than it does, by its thickness.
fn about_jaws(vice: &Vice, body: &ViceBody, jaws_mm: f64) -> Vec<ToolPiece> {
    let ((_, inner), (outer, _)) = (vice.inner.bounds(), vice.outer.bounds());
    let beside_mm = body.beside_mm(jaws_mm);
    // The screw is as high as the halves are deep, and these go as far down.
    let down_mm = vice.deep_mm + body.out_mm;
    let box_of = |[left, right]: [f64; 2], [low, high]: [f64; 2]| {
        let corner = plane::Point::new;
        [
            corner(left, low),
            corner(right, low),
            corner(right, high),
            corner(left, high),
        ]
    };
    let halves = [[inner.y, inner.y + body.out_mm], [outer.y - body.out_mm, outer.y]]
        .map(|across| box_of([body.under_mm, down_mm], across));
    let half_mm = body.wide_mm / 2.0 + beside_mm;
    let halves = halves
        .into_iter()
        .map(|section| (ToolSolid::ViceBody, section, [-half_mm, half_mm]));
    let screw = box_of(
        [vice.deep_mm, down_mm],
        [outer.y - body.out_mm, inner.y + body.out_mm],
    );
    let (near_mm, far_mm) = (beside_mm - body.screw_mm / 2.0, beside_mm + body.screw_mm / 2.0);
    let along = if beside_mm > 0.0 {
        vec![[near_mm, far_mm], [-far_mm, -near_mm]]
    } else {
        vec![[near_mm, far_mm]]
    };
    let screws = along.into_iter().map(|along| (ToolSolid::Screw, screw, along));
    halves
        .chain(screws)
        .filter_map(|(solid, section, [from, to])| {
            Some(ToolPiece {
                solid,
                prism: Prism::bar(&section, from, to)?,
                mover: Mover::Still,
                holds: Holds::Nothing,
            })
        })
        .collect()
}

/// The die with its V cut out, as deep as there is die; whole where that cannot be done. The V is as wide on top as the
/// planes of its faces and of the top have it, so that the round of the shoulders lies within.
fn with_vee(die: &Die) -> Vec<Region> {
    /// Left under the V, mm.
    const FLOOR_MM: f64 = 2.0;
    /// The V is cut from so far above the top, mm.
    const ABOVE_MM: f64 = 1.0;
    let half_angle = die.angle_rad / 2.0;
    let round_mm = die.shoulder_mm * ((std::f64::consts::FRAC_PI_2 - half_angle) / 2.0).tan();
    let half_mm = die.opening_mm / 2.0 - round_mm;
    let deep_mm = (half_mm / half_angle.tan()).min(die.height_mm - FLOOR_MM);
    let whole = || vec![Region::solid(die.profile.clone())];
    if half_mm <= 0.0 || deep_mm <= 0.0 {
        return whole();
    }
    let at = |depth_mm: f64| (half_mm - depth_mm * half_angle.tan()).max(0.05);
    let corner = plane::Point::new;
    let vee = [
        corner(-at(-ABOVE_MM), ABOVE_MM),
        corner(-at(deep_mm), -deep_mm),
        corner(at(deep_mm), -deep_mm),
        corner(at(-ABOVE_MM), ABOVE_MM),
    ];
    let Ok(vee) = Outline::polygon(&vee) else {
        return whole();
    };
    match Region::solid(die.profile.oriented(true)).difference(&Region::solid(vee)) {
        Ok(halves) if !halves.is_empty() => halves,
        _ => whole(),
    }
}

/// The uprights of a brake, on both sides behind the throat.
fn uprights(press: &Press) -> Vec<ToolPiece> {
    const UPRIGHT_MM: f64 = 300.0;
    let corner = |x, y| plane::Point::new(x, y);
    let low = corner(press.throat_mm, -2.0 * UPRIGHT_MM);
    let high = corner(press.throat_mm + UPRIGHT_MM, 2.0 * UPRIGHT_MM);
    let section = [low, corner(high.x, low.y), high, corner(low.x, high.y)];
    let half_mm = press.between_uprights_mm / 2.0;
    [[-half_mm - UPRIGHT_MM, -half_mm], [half_mm, half_mm + UPRIGHT_MM]]
        .into_iter()
        .filter_map(|[from, to]| Prism::bar(&section, from, to))
        .map(|prism| ToolPiece {
            solid: ToolSolid::Upright,
            prism,
            mover: Mover::Still,
            holds: Holds::Nothing,
        })
        .collect()
}
