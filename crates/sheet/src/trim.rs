//! A panel cut back from its creases to the tangent lines of the bends, and freed where a bend ends inside the plate.

use plane::{Point, SAME_POINT_MM, Segment};

use crate::corner::finish_corners;
use crate::divide::{EdgeKind, PanelEdge};
use crate::ray::{Ray, left_of};
use crate::relief::{self, Bends, EndCut, Freed};

/// What a crease takes from the panels it joins.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BendCut {
    /// From the crease to the tangent line.
    pub set_back_mm: f64,
    /// The relief at an end inside the plate; none to leave it to tear.
    pub relief: Option<ReliefSize>,
}

/// A relief's size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ReliefSize {
    /// Along the crease, outward from the bend's end.
    pub width_mm: f64,
    /// Past the tangent line.
    pub past_mm: f64,
}

/// Why a panel cannot be cut back, by crease.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum TrimFault {
    /// Nothing flat is left.
    Vanishes {
        crease: usize,
        leg_mm: f64,
        needs_mm: f64,
    },
    /// The tangent line has no length left.
    NoLength { crease: usize },
    /// An opening at this place on the crease lies within the bend.
    Within { crease: usize, at: Point },
    /// The relief meets no edge.
    NoRoom { crease: usize, at: Point },
}

/// A panel cut back, and what was done at the ends of its bends.
#[derive(Debug, Clone)]
pub(crate) struct Trimmed {
    pub runs: Vec<Vec<PanelEdge>>,
    pub freed: Vec<Freed>,
}

/// Cuts all runs of a panel back from its creases.
pub(crate) fn trim(runs: &[Vec<PanelEdge>], cuts: &[BendCut]) -> Result<Trimmed, TrimFault> {
    let mut trimmed = Trimmed {
        runs: Vec::new(),
        freed: Vec::new(),
    };
    for run in runs {
        let creases: Vec<EdgeKind> = run
            .iter()
            .map(|edge| edge.kind)
            .filter(|kind| matches!(kind, EdgeKind::Crease { .. }))
            .collect();
        let mut edges = run.clone();
        for (index, &kind) in creases.iter().enumerate() {
            let bends = Bends {
                cuts,
                done: &creases[..index],
            };
            edges = cut_back(run, edges, kind, bends, &mut trimmed.freed)?;
        }
        trimmed
            .runs
            .push(finish_corners(edges, cuts, &mut trimmed.freed)?);
    }
    Ok(trimmed)
}

/// Moves one crease edge in by its set-back and meets its neighbours again.
fn cut_back(
    as_marked: &[PanelEdge],
    mut edges: Vec<PanelEdge>,
    kind: EdgeKind,
    bends: Bends,
    freed: &mut Vec<Freed>,
) -> Result<Vec<PanelEdge>, TrimFault> {
    let EdgeKind::Crease { crease, .. } = kind else {
        return Ok(edges);
    };
    let vanishes = || vanishes(as_marked, kind, crease, bends.cuts);
    let Some(index) = edges.iter().position(|edge| edge.kind == kind) else {
        return Err(vanishes());
    };
    edges.rotate_left(index);
    let line = edges[0].seg;
    let along = (line.to() - line.from()) / (line.to() - line.from()).norm();
    let after = Frame {
        origin: line.to(),
        outward: along,
        inward: left_of(along),
    };
    let before = Frame {
        origin: line.from(),
        outward: -along,
        inward: left_of(along),
    };

    let onward: Vec<PanelEdge> = edges[1..].iter().map(|edge| after.inside(edge)).collect();
    let backward: Vec<PanelEdge> = edges[1..]
        .iter()
        .rev()
        .map(|edge| before.inside(&edge.reversed()))
        .collect();
    let fault = |fault| match fault {
        relief::EndFault::Vanishes => vanishes(),
        relief::EndFault::Within { at } => TrimFault::Within { crease, at },
        relief::EndFault::NoRoom { at } => TrimFault::NoRoom { crease, at },
    };
    let end = relief::end_of_bend(&onward, crease, bends).map_err(|f| fault(f.at(&after)))?;
    let start = relief::end_of_bend(&backward, crease, bends).map_err(|f| fault(f.at(&before)))?;

    // Where the rest of the run starts and ends, as edge and share of it, counted from the edge after the crease.
    let last = onward.len() - 1;
    let (first_kept, last_kept) = ((end.edge, end.share), (last - start.edge, 1.0 - start.share));
    if first_kept.0 > last_kept.0 || (first_kept.0 == last_kept.0 && first_kept.1 >= last_kept.1) {
        return Err(vanishes());
    }
    let (tangent_start, tangent_end) = (before.outside(start.tangent_end), after.outside(end.tangent_end));
    if along.dot(&(tangent_end - tangent_start)) <= SAME_POINT_MM {
        return Err(TrimFault::NoLength { crease });
    }
    note(freed, &end, &after, crease);
    note(freed, &start, &before, crease);

    let mut cut_run = vec![PanelEdge {
        seg: Segment::line(tangent_start, tangent_end),
        kind,
    }];
    cut_run.extend(end.lead.iter().map(|edge| after.outside_edge(edge)));
    for (i, edge) in edges[1..]
        .iter()
        .enumerate()
        .take(last_kept.0 + 1)
        .skip(first_kept.0)
    {
        let from = if i == first_kept.0 { first_kept.1 } else { 0.0 };
        let to = if i == last_kept.0 { last_kept.1 } else { 1.0 };
        cut_run.push(PanelEdge {
            seg: edge.seg.between(from, to),
            kind: edge.kind,
        });
    }
    cut_run.extend(
        start
            .lead
            .iter()
            .rev()
            .map(|edge| before.outside_edge(edge).reversed()),
    );
    join_ends(&mut cut_run);
    Ok(cut_run)
}

/// Puts each edge's start where the one before it ends: the cuts were found along either, to rounding. Edges of no
/// length go, unless a bend hangs on them.
fn join_ends(run: &mut Vec<PanelEdge>) {
    run.retain(|edge| {
        (edge.seg.to() - edge.seg.from()).norm() > SAME_POINT_MM
            || matches!(edge.kind, EdgeKind::Crease { .. })
    });
    for i in 0..run.len() {
        let next = (i + 1) % run.len();
        let (end, start) = (run[i].seg.to(), run[next].seg.from());
        if end != start {
            // A tangent line's ends are exact; its neighbours give way.
            if matches!(run[i].kind, EdgeKind::Crease { .. }) {
                run[next].seg = Segment::new(end, run[next].seg.to(), run[next].seg.bulge());
            } else {
                run[i].seg = Segment::new(run[i].seg.from(), start, run[i].seg.bulge());
            }
        }
    }
}

fn note(freed: &mut Vec<Freed>, cut: &EndCut, frame: &Frame, crease: usize) {
    freed.extend(cut.freed.map(|freed| match freed {
        Freed::Slot { size, depth_mm, .. } => Freed::Slot {
            crease,
            at: frame.origin,
            size,
            depth_mm,
        },
        Freed::Torn { .. } => Freed::Torn {
            crease,
            at: frame.origin,
        },
        corner @ Freed::Corner { .. } => corner,
    }));
}

/// How deep the panel is at the crease, against what its bends take.
fn vanishes(as_marked: &[PanelEdge], kind: EdgeKind, crease: usize, cuts: &[BendCut]) -> TrimFault {
    /// Another crease opposite at up to 25 degrees off parallel shares the depth.
    const OPPOSITE_COSINE: f64 = -0.9;
    let mut needs_mm = cuts[crease].set_back_mm;
    let mut leg_mm: f64 = 0.0;
    if let Some(line) = as_marked.iter().find(|edge| edge.kind == kind) {
        let along = line.seg.tangent_at(0.0);
        let ray = Ray {
            at: line.seg.from(),
            along,
        };
        leg_mm = as_marked
            .iter()
            .map(|edge| ray.off(edge.seg.from()))
            .fold(0.0, f64::max);
        let opposite = as_marked.iter().filter_map(|edge| match edge.kind {
            EdgeKind::Crease { crease: other, .. }
                if other != crease && edge.seg.tangent_at(0.0).dot(&along) < OPPOSITE_COSINE =>
            {
                Some((ray.off(edge.seg.point_at(0.5)), cuts[other].set_back_mm))
            }
            _ => None,
        });
        if let Some((depth_mm, set_back_mm)) = opposite.min_by(|a, b| a.0.total_cmp(&b.0)) {
            leg_mm = depth_mm;
            needs_mm += set_back_mm;
        }
    }
    TrimFault::Vanishes {
        crease,
        leg_mm,
        needs_mm,
    }
}

/// Axes at an end of a crease: outward along it, inward into the panel. Left-handed at one end of the two.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Frame {
    origin: Point,
    outward: plane::Vector,
    inward: plane::Vector,
}

impl Frame {
    fn inside(&self, edge: &PanelEdge) -> PanelEdge {
        let place = |p: Point| {
            let arm = p - self.origin;
            Point::new(self.outward.dot(&arm), self.inward.dot(&arm))
        };
        self.carried(edge, place)
    }

    pub fn outside(&self, p: Point) -> Point {
        self.origin + self.outward * p.x + self.inward * p.y
    }

    fn outside_edge(&self, edge: &PanelEdge) -> PanelEdge {
        self.carried(edge, |p| self.outside(p))
    }

    fn carried(&self, edge: &PanelEdge, place: impl Fn(Point) -> Point) -> PanelEdge {
        let bulge = edge.seg.bulge() * self.outward.perp(&self.inward).signum();
        PanelEdge {
            seg: Segment::new(place(edge.seg.from()), place(edge.seg.to()), bulge),
            kind: edge.kind,
        }
    }
}

impl PanelEdge {
    pub fn reversed(&self) -> Self {
        Self {
            seg: self.seg.reversed(),
            kind: self.kind,
        }
    }
}
