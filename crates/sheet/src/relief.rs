//! The end of a bend on one panel: at the panel's side, or freed by a slot where the plate goes on past it.
//!
//! An end is worked in its own axes: the crease's end at the origin, x along the crease away from the bend, y into the
//! panel. The panel's edge is given from that end onward.

use std::f64::consts::PI;

use plane::{Point, SAME_POINT_MM, Segment, crossing_of_lines};

use crate::divide::{EdgeKind, PanelEdge};
use crate::ray::Ray;
use crate::trim::{BendCut, Frame, ReliefSize};

/// A side that leaves the crease's end at less than this from straight on does not end the bend; the plate goes on
/// past it. At this slope a tangent line would run on past the crease's end by 3.7 set-backs.
const GOES_ON_UNDER_RAD: f64 = 15.0 * PI / 180.0;

/// The first half millimetre of a side does not tell where it goes: see [`crate::divide::END_REACHES_MM`].
const SIDE_TELLS_AT_MM: f64 = crate::divide::END_REACHES_MM;

/// What was done where a bend does not end at a panel's side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Freed {
    /// A slot was cut.
    Slot {
        crease: usize,
        at: Point,
        size: ReliefSize,
        depth_mm: f64,
    },
    /// Two bends meet and their corner was rounded out.
    Corner {
        creases: [usize; 2],
        at: Point,
        radius_mm: f64,
    },
    /// Nothing was cut.
    Torn { crease: usize, at: Point },
}

/// The bends of a run, and which of their pieces are cut back already.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bends<'a> {
    pub cuts: &'a [BendCut],
    pub done: &'a [EdgeKind],
}

impl Bends<'_> {
    fn is_cut(&self, piece: EdgeKind) -> bool {
        self.done.contains(&piece)
    }

    /// How wide a slot the bend's ends are freed by.
    fn slot_mm(&self, crease: usize) -> f64 {
        self.cuts[crease].relief.map_or(0.0, |size| size.width_mm)
    }
}

/// How one end of a bend cuts the panel, in the end's axes.
#[derive(Debug, Clone)]
pub(crate) struct EndCut {
    /// End of the tangent line.
    pub tangent_end: Point,
    /// Edges from there back to the panel's own edge.
    pub lead: Vec<PanelEdge>,
    /// The edge of the given run on which it goes on.
    pub edge: usize,
    /// Where on it.
    pub share: f64,
    /// What was done, if it does not simply end at the side.
    pub freed: Option<Freed>,
}

/// Why an end cannot be cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum EndFault {
    /// The panel's edge never comes to the tangent line.
    Vanishes,
    /// It comes to the next piece of the crease first.
    Within { at: Point },
    /// The relief finds no edge of the panel again.
    NoRoom { at: Point },
}

impl EndFault {
    /// The same, placed on the card.
    pub fn at(self, frame: &Frame) -> Self {
        match self {
            Self::Vanishes => Self::Vanishes,
            Self::Within { at } => Self::Within {
                at: frame.outside(at),
            },
            Self::NoRoom { at } => Self::NoRoom {
                at: frame.outside(at),
            },
        }
    }
}

/// Cuts one end. `side` is the panel's edge from the crease's end onward, in the end's axes.
pub(crate) fn end_of_bend(side: &[PanelEdge], crease: usize, bends: Bends) -> Result<EndCut, EndFault> {
    let BendCut { set_back_mm, relief } = bends.cuts[crease];
    if set_back_mm <= SAME_POINT_MM {
        return Ok(at_side(Point::origin(), 0, 0.0));
    }
    let tangent_end = Point::new(0.0, set_back_mm);
    let step = || relief_edges(crease, &[tangent_end, Point::origin()]);
    let torn = |freed| EndCut {
        tangent_end,
        lead: step(),
        edge: 0,
        share: 0.0,
        freed,
    };
    if shares_its_end(side) {
        return Ok(torn(None));
    }
    let met = if goes_on(side) {
        meets_next_bend(side, set_back_mm, bends.slot_mm(crease), bends)
    } else {
        reaches(side, crease, set_back_mm)?
    };
    if let Some((edge, share)) = met {
        let along_mm = side[edge].seg.point_at(share).x;
        return Ok(at_side(Point::new(along_mm, set_back_mm), edge, share));
    }
    match relief {
        None => Ok(torn(Some(Freed::Torn {
            crease,
            at: Point::origin(),
        }))),
        Some(size) => slot(side, crease, set_back_mm, size),
    }
}

/// The bend ends at the panel's own side.
fn at_side(tangent_end: Point, edge: usize, share: f64) -> EndCut {
    EndCut {
        tangent_end,
        lead: Vec::new(),
        edge,
        share,
        freed: None,
    }
}

/// The end freed by a slot beside it.
fn slot(side: &[PanelEdge], crease: usize, set_back_mm: f64, size: ReliefSize) -> Result<EndCut, EndFault> {
    let depth_mm = set_back_mm + size.past_mm;
    let (edge, share, exit) = leaves_slot(side, size.width_mm, depth_mm)?;
    let at = side[edge].seg.point_at(share);
    let tangent_end = Point::new(0.0, set_back_mm);
    let near = Point::new(0.0, depth_mm);
    let far = Point::new(size.width_mm, depth_mm);
    let lead = match exit {
        Exit::Far => relief_edges(crease, &[tangent_end, near, far, at]),
        Exit::Deep => relief_edges(crease, &[tangent_end, near, at]),
        Exit::Back => relief_edges(crease, &[tangent_end, near, far, Point::new(far.x, 0.0), at]),
        Exit::NextBend => relief_edges(crease, &[tangent_end, near, Point::new(at.x, depth_mm), at]),
    };
    let freed = Some(Freed::Slot {
        crease,
        at: Point::origin(),
        size,
        depth_mm,
    });
    Ok(EndCut {
        tangent_end,
        lead,
        edge,
        share,
        freed,
    })
}

fn relief_edges(crease: usize, points: &[Point]) -> Vec<PanelEdge> {
    let straight = |pair: &[Point]| Segment::line(pair[0], pair[1]);
    let has_length = |seg: &Segment| seg.length_mm() > SAME_POINT_MM;
    let cut = |seg| PanelEdge {
        seg,
        kind: EdgeKind::Relief { crease },
    };
    points
        .windows(2)
        .map(straight)
        .filter(has_length)
        .map(cut)
        .collect()
}

/// Whether the plate goes on past the crease's end: its side runs straight on or turns away from the panel.
fn goes_on(side: &[PanelEdge]) -> bool {
    for edge in side {
        let far = (edge.seg.to() - Point::origin()).norm();
        if far < SIDE_TELLS_AT_MM {
            continue;
        }
        let share = (SIDE_TELLS_AT_MM / edge.seg.length_mm()).min(1.0);
        let at = edge.seg.point_at(share);
        let angle = at.y.atan2(at.x);
        return angle < GOES_ON_UNDER_RAD;
    }
    false
}

/// Whether another bend starts at this very end, in line or turned away: the panel lies outside both, and their
/// tangent lines are joined afterwards.
fn shares_its_end(side: &[PanelEdge]) -> bool {
    match side {
        [first, ..] if matches!(first.kind, EdgeKind::Crease { .. }) => goes_on(side),
        // The other bend was cut back already: its step to the common end comes first.
        [first, second, ..] => {
            matches!(first.kind, EdgeKind::Relief { .. })
                && matches!(second.kind, EdgeKind::Crease { .. })
                && first.seg.from().coords.norm() < SAME_POINT_MM
        }
        _ => false,
    }
}

/// Where the tangent line, carried on past its end, comes to another bend round a near corner of the panel: one so near
/// that the two bends would run into each other, or leave less than a slot between.
///
/// Either bend may be looked at first, cut back already or not: what is compared is where the tangent lines meet.
fn meets_next_bend(
    side: &[PanelEdge],
    set_back_mm: f64,
    own_slot_mm: f64,
    bends: Bends,
) -> Option<(usize, f64)> {
    let tangent = tangent_line(set_back_mm);
    let index = side.iter().position(|edge| edge.kind != EdgeKind::Rim)?;
    if side[..index]
        .iter()
        .any(|edge| !tangent.crossings(&edge.seg).is_empty())
    {
        return None;
    }
    let edge = side[index];
    let EdgeKind::Crease { crease: other, .. } = edge.kind else {
        return None;
    };
    let along = edge.seg.tangent_at(0.0);
    if along.y < GOES_ON_UNDER_RAD.sin() {
        return None;
    }
    let still_to_cut_mm = if bends.is_cut(edge.kind) {
        0.0
    } else {
        bends.cuts[other].set_back_mm
    };
    let other_tangent = Ray {
        at: edge.seg.from(),
        along,
    }
    .beside(still_to_cut_mm);
    let meet = crossing_of_lines(tangent.at, tangent.along, other_tangent.at, along)?;
    let past_own_slot = meet.x > own_slot_mm + SAME_POINT_MM;
    let before = index
        .checked_sub(1)
        .map(|before| side[before].seg.tangent_at(1.0));
    let other_goes_on = before.is_some_and(|before| before.dot(&along) > GOES_ON_UNDER_RAD.cos());
    let reach_mm = other_tangent.reach(meet);
    let past_other_slot = reach_mm < -bends.slot_mm(other) - SAME_POINT_MM;
    // Along the other bend, not past its end: this bend stops well short of it, and is freed by a slot of its own.
    let beside_other = reach_mm > SAME_POINT_MM;
    if past_own_slot && (past_other_slot || beside_other || !other_goes_on) {
        return None;
    }
    tangent
        .crossings(&edge.seg)
        .into_iter()
        .next()
        .map(|share| (index, share))
}

fn tangent_line(set_back_mm: f64) -> Ray {
    Ray {
        at: Point::new(0.0, set_back_mm),
        along: plane::Vector::x(),
    }
}

/// Where the side comes to the tangent line. None when it first turns back past the crease.
fn reaches(side: &[PanelEdge], bend: usize, set_back_mm: f64) -> Result<Option<(usize, f64)>, EndFault> {
    let tangent = tangent_line(set_back_mm);
    for (index, edge) in side.iter().enumerate() {
        if let Some(share) = tangent.crossings(&edge.seg).into_iter().next() {
            return Ok(Some((index, share)));
        }
        if let EdgeKind::Crease { crease, .. } = edge.kind {
            let within = EndFault::Within { at: Point::origin() };
            return Err(if crease == bend {
                within
            } else {
                EndFault::Vanishes
            });
        }
        if edge.seg.to().y < -SIDE_TELLS_AT_MM {
            return Ok(None);
        }
    }
    Err(EndFault::Vanishes)
}

/// Which side of the slot the panel's edge leaves it by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Exit {
    /// Across its far side.
    Far,
    /// Across its bottom.
    Deep,
    /// Back across the crease's line.
    Back,
    /// Along another crease: the slot is shared.
    NextBend,
}

/// Where the panel's edge leaves the slot for good.
fn leaves_slot(side: &[PanelEdge], width_mm: f64, depth_mm: f64) -> Result<(usize, f64, Exit), EndFault> {
    let no_room = Err(EndFault::NoRoom { at: Point::origin() });
    let lines = [
        Ray {
            at: Point::new(width_mm, 0.0),
            along: plane::Vector::y(),
        },
        Ray {
            at: Point::new(0.0, depth_mm),
            along: plane::Vector::x(),
        },
        Ray {
            at: Point::origin(),
            along: plane::Vector::x(),
        },
        Ray {
            at: Point::origin(),
            along: plane::Vector::y(),
        },
    ];
    let exit = |p: Point| {
        if p.x > width_mm + SAME_POINT_MM {
            Some(Exit::Far)
        } else if p.y > depth_mm + SAME_POINT_MM {
            Some(Exit::Deep)
        } else if p.y < -SAME_POINT_MM {
            Some(Exit::Back)
        } else {
            None
        }
    };
    for (index, edge) in side.iter().enumerate() {
        let is_bend = matches!(edge.kind, EdgeKind::Crease { .. });
        if is_bend && edge.seg.from().y.abs() < SAME_POINT_MM {
            return Ok((index, 0.0, Exit::NextBend));
        }
        let mut stops: Vec<f64> = lines.iter().flat_map(|line| line.crossings(&edge.seg)).collect();
        stops.extend([0.0, 1.0]);
        stops.sort_by(f64::total_cmp);
        for pair in stops.windows(2) {
            let middle = edge.seg.point_at((pair[0] + pair[1]) / 2.0);
            if pair[1] - pair[0] <= f64::EPSILON {
                continue;
            }
            if let Some(exit) = exit(middle) {
                return Ok((index, pair[0], exit));
            }
            if middle.x < -SAME_POINT_MM {
                return no_room;
            }
        }
        if is_bend {
            return no_room;
        }
    }
    no_room
}
