//! The end of a bend on one panel: at the panel's side, freed by a slot where the plate goes on past it, or rounded
//! where two bends meet.
//!
//! An end is worked in its own axes: the crease's end at the origin, x along the crease away from the bend, y into the
//! panel. The panel's edge is given from that end onward.

use std::f64::consts::PI;

use plane::{Point, SAME_POINT_MM, Segment};

use crate::divide::{EdgeKind, PanelEdge};
use crate::ray::Ray;
use crate::trim::{BendCut, Frame, ReliefSize, TrimFault};

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
pub(crate) fn end_of_bend(side: &[PanelEdge], crease: usize, cut: BendCut) -> Result<EndCut, EndFault> {
    let set_back_mm = cut.set_back_mm;
    let tangent_end = Point::new(0.0, set_back_mm);
    if set_back_mm <= SAME_POINT_MM {
        let at_crease = Point::origin();
        return Ok(EndCut {
            tangent_end: at_crease,
            lead: Vec::new(),
            edge: 0,
            share: 0.0,
            freed: None,
        });
    }
    if !goes_on(side)
        && let Some((edge, share)) = reaches(side, crease, set_back_mm)?
    {
        let tangent_end = Point::new(side[edge].seg.point_at(share).x, set_back_mm);
        return Ok(EndCut {
            tangent_end,
            lead: Vec::new(),
            edge,
            share,
            freed: None,
        });
    }
    let relief_edges = |points: &[Point]| {
        let straight = |pair: &[Point]| Segment::line(pair[0], pair[1]);
        let cut = |seg| PanelEdge {
            seg,
            kind: EdgeKind::Relief { crease },
        };
        let has_length = |seg: &Segment| seg.length_mm() > SAME_POINT_MM;
        points
            .windows(2)
            .map(straight)
            .filter(has_length)
            .map(cut)
            .collect::<Vec<_>>()
    };
    let torn = |freed| EndCut {
        tangent_end,
        lead: relief_edges(&[tangent_end, Point::origin()]),
        edge: 0,
        share: 0.0,
        freed,
    };
    let turned_back = turns_inside_out(side);
    match cut.relief {
        _ if turned_back => Ok(torn(None)),
        None => Ok(torn(Some(Freed::Torn {
            crease,
            at: Point::origin(),
        }))),
        Some(size) => {
            let depth_mm = set_back_mm + size.past_mm;
            let (edge, share, way) = leaves_slot(side, size.width_mm, depth_mm)?;
            let at = side[edge].seg.point_at(share);
            let bottom = Point::new(0.0, depth_mm);
            let lead = match way {
                Exit::Far => relief_edges(&[tangent_end, bottom, Point::new(size.width_mm, depth_mm), at]),
                Exit::Deep => relief_edges(&[tangent_end, bottom, at]),
                Exit::Back => {
                    let far = Point::new(size.width_mm, depth_mm);
                    relief_edges(&[tangent_end, bottom, far, Point::new(size.width_mm, 0.0), at])
                }
                Exit::NextBend => relief_edges(&[tangent_end, bottom, Point::new(at.x, depth_mm), at]),
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
    }
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

/// Whether the panel's next edge is another bend at an inside corner: the panel lies on the outside of both.
fn turns_inside_out(side: &[PanelEdge]) -> bool {
    match (
        side.first().map(|edge| edge.kind),
        side.get(1).map(|edge| edge.kind),
    ) {
        (Some(EdgeKind::Crease { .. }), _) => true,
        // The other bend was cut back already: its step to the common corner comes first.
        (Some(EdgeKind::Relief { .. }), Some(EdgeKind::Crease { .. })) => {
            side[0].seg.from().coords.norm() < SAME_POINT_MM
        }
        _ => false,
    }
}

/// Where the side comes to the tangent line. None when it first turns back past the crease.
fn reaches(side: &[PanelEdge], bend: usize, set_back_mm: f64) -> Result<Option<(usize, f64)>, EndFault> {
    let tangent = Ray {
        at: Point::new(0.0, set_back_mm),
        along: plane::Vector::x(),
    };
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
        if matches!(edge.kind, EdgeKind::Crease { .. }) {
            return if edge.seg.from().y.abs() < SAME_POINT_MM {
                Ok((index, 0.0, Exit::NextBend))
            } else {
                no_room
            };
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
    }
    no_room
}

/// Where two tangent lines of a panel meet, rounds the corner out about their meeting point; at an inside corner,
/// carries both tangent lines on until they meet.
pub(crate) fn round_corners(
    run: Vec<PanelEdge>,
    cuts: &[BendCut],
    freed: &mut Vec<Freed>,
) -> Result<Vec<PanelEdge>, TrimFault> {
    let mut run = run;
    let mut index = 0;
    while index < run.len() {
        let count = run.len();
        let next = (index + 1) % count;
        match (run[index].kind, run[next].kind) {
            (EdgeKind::Crease { crease: a, .. }, EdgeKind::Crease { crease: b, .. }) => {
                let (first, second) = (run[index].seg, run[next].seg);
                let at = first.to();
                let sizes = [a, b].map(|crease| cuts[crease].relief);
                let radius_mm = sizes.iter().flatten().map(corner_radius_mm).fold(0.0, f64::max);
                if radius_mm > SAME_POINT_MM {
                    for (seg, crease) in [(first, a), (second, b)] {
                        if seg.length_mm() <= radius_mm + SAME_POINT_MM {
                            return Err(TrimFault::NoLength { crease });
                        }
                    }
                    let start = at - first.tangent_at(1.0) * radius_mm;
                    let end = at + second.tangent_at(0.0) * radius_mm;
                    let turned = (start - at)
                        .perp(&(end - at))
                        .atan2((start - at).dot(&(end - at)));
                    let arc = Segment::new(start, end, (turned / 4.0).tan());
                    run[index].seg = Segment::line(first.from(), start);
                    run[next].seg = Segment::line(end, second.to());
                    run.insert(
                        index + 1,
                        PanelEdge {
                            seg: arc,
                            kind: EdgeKind::Relief { crease: a },
                        },
                    );
                    freed.push(Freed::Corner {
                        creases: [a, b],
                        at,
                        radius_mm,
                    });
                    index += 1;
                } else {
                    freed.push(Freed::Torn { crease: a, at });
                }
            }
            (EdgeKind::Crease { crease: a, .. }, EdgeKind::Relief { crease: by_a }) if a == by_a => {
                let (second, third) = ((index + 2) % count, (index + 3) % count);
                if let (EdgeKind::Relief { crease: by_b }, EdgeKind::Crease { crease: b, .. }) =
                    (run[second].kind, run[third].kind)
                {
                    let (tangent, other) = (run[index].seg, run[third].seg);
                    let meet = plane::crossing_of_lines(
                        tangent.to(),
                        tangent.tangent_at(1.0),
                        other.from(),
                        other.tangent_at(0.0),
                    );
                    if let (true, Some(meet)) = (by_b == b && b != a, meet) {
                        run[next].seg = Segment::line(tangent.to(), meet);
                        run[second].seg = Segment::line(meet, other.from());
                        freed.push(Freed::Corner {
                            creases: [a, b],
                            at: meet,
                            radius_mm: 0.0,
                        });
                    }
                }
            }
            _ => {}
        }
        index += 1;
    }
    Ok(run)
}

/// The round relief of a box corner reaches as far past the tangent lines as the slot would, and is as wide.
fn corner_radius_mm(size: &ReliefSize) -> f64 {
    (size.width_mm / 2.0).max(size.past_mm)
}
