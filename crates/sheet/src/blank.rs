//! The panels laid out flat with the bends' strips between, as one outline with its holes.
//!
//! The outline is walked, not joined by overlay: along a panel's edge to a tangent line, over the strip's side to the
//! panel beyond, and on along its edge. It is as exact as the panels are.

use plane::{Outline, OutlineError, Point, Region, SAME_POINT_MM, Segment, Vector, Vertex};

use crate::divide::{EdgeKind, PanelEdge};
use crate::error::SheetError;
use crate::openings::apart;
use crate::part::Strip;
use crate::tree::{Join, Tree};

/// Place of an edge in the panels' runs: panel, run, edge.
type EdgeAt = (usize, usize, usize);

/// A tangent line and its place.
type Tangent = (EdgeAt, Segment);

/// The two tangent lines of every strip.
#[derive(Debug)]
pub(crate) struct Tangents {
    /// Per bend and strip: the edge on the fixed panel and the one on the moving panel.
    pairs: Vec<Vec<[Option<Tangent>; 2]>>,
    strip_of_piece: Vec<Join>,
}

impl Tangents {
    /// Finds them among the trimmed panels.
    pub fn of(runs: &[Vec<Vec<PanelEdge>>], joins: &[Join]) -> Self {
        let mut pairs: Vec<Vec<_>> = joins.iter().map(|join| vec![[None, None]; join.pieces]).collect();
        for (panel, runs) in runs.iter().enumerate() {
            for (run, edges) in runs.iter().enumerate() {
                for (index, edge) in edges.iter().enumerate() {
                    if let EdgeKind::Crease { crease, piece } = edge.kind {
                        let join = &joins[crease];
                        let side = usize::from(join.moving == panel);
                        pairs[crease][join.strip(piece)][side] = Some(((panel, run, index), edge.seg));
                    }
                }
            }
        }
        Self {
            pairs,
            strip_of_piece: joins.to_vec(),
        }
    }

    /// The strips of a bend on the blank, given the slides of the panels it joins.
    pub fn strips(&self, bend: usize, fixed: Vector, moving: Vector) -> Vec<Strip> {
        let strip = |pair: &[Option<Tangent>; 2]| {
            let [Some((_, near)), Some((_, far))] = pair else {
                return None;
            };
            // The fixed panel lies right of the bend, so its edge runs against it.
            Some(Strip {
                fixed: [near.to() + fixed, near.from() + fixed],
                moving: [far.from() + moving, far.to() + moving],
            })
        };
        self.pairs[bend].iter().filter_map(strip).collect()
    }

    /// The tangent line across the strip from one.
    fn across(&self, crease: usize, piece: usize, panel: usize) -> Option<Tangent> {
        let join = &self.strip_of_piece[crease];
        let side = usize::from(join.moving != panel);
        self.pairs[crease][join.strip(piece)][side]
    }
}

/// An edge of the blank and the panel it is on; a strip's side counts to the panel it starts from.
#[derive(Debug, Clone, Copy)]
struct BlankEdge {
    seg: Segment,
    panel: usize,
}

/// All the material, without the openings that lie within panels.
pub(crate) fn region(
    runs: &[Vec<Vec<PanelEdge>>],
    slides: &[Vector],
    tree: &Tree,
    tangents: &Tangents,
) -> Result<Region, SheetError> {
    let walked: Vec<Vec<BlankEdge>> = walk(runs, slides, tangents)
        .into_iter()
        .map(without_tears)
        .filter(|run| !run.is_empty())
        .collect();
    let mut outlines = Vec::new();
    for edges in &walked {
        outlines.push(outline(edges, tree)?);
    }
    check_apart(&walked, tree)?;
    let outer = outlines.iter().position(Outline::is_counter_clockwise);
    // The panels hang together, so one run goes round them all.
    let outer = outlines.swap_remove(outer.unwrap_or(0));
    // A side that runs straight over a bend is one edge; where the bend is, its strips say.
    let holes = outlines.iter().map(Outline::simplified).collect();
    Ok(Region {
        outer: outer.simplified(),
        holes,
    })
}

fn walk(runs: &[Vec<Vec<PanelEdge>>], slides: &[Vector], tangents: &Tangents) -> Vec<Vec<BlankEdge>> {
    let mut done: Vec<Vec<Vec<bool>>> = runs
        .iter()
        .map(|runs| runs.iter().map(|run| vec![false; run.len()]).collect())
        .collect();
    let mut walked = Vec::new();
    for (panel, panel_runs) in runs.iter().enumerate() {
        for (run, edges) in panel_runs.iter().enumerate() {
            for index in 0..edges.len() {
                let mut at = (panel, run, index);
                let mut found = Vec::new();
                while !done[at.0][at.1][at.2] {
                    done[at.0][at.1][at.2] = true;
                    let edge = runs[at.0][at.1][at.2];
                    let start = edge.seg.translated(slides[at.0]);
                    let mut last = at;
                    let mut seg = start;
                    if let EdgeKind::Crease { crease, piece } = edge.kind
                        && let Some((beyond, far)) = tangents.across(crease, piece, at.0)
                    {
                        seg = Segment::line(start.from(), far.to() + slides[beyond.0]);
                        last = beyond;
                    }
                    if (seg.to() - seg.from()).norm() > SAME_POINT_MM {
                        found.push(BlankEdge { seg, panel: at.0 });
                    }
                    at = (last.0, last.1, (last.2 + 1) % runs[last.0][last.1].len());
                }
                if !found.is_empty() {
                    walked.push(found);
                }
            }
        }
    }
    walked
}

/// A bend's end that is left to tear leads the walk in along the tear and back out: no cut is made there.
fn without_tears(mut run: Vec<BlankEdge>) -> Vec<BlankEdge> {
    let mut index = 0;
    let mut since_change = 0;
    while run.len() > 2 && since_change < run.len() {
        let next = (index + 1) % run.len();
        if let Some(seg) = taken_back(&run[index].seg, &run[next].seg) {
            run[next].seg = seg;
            run.remove(index);
            let merged = if next > index { index } else { 0 };
            if run[merged].seg.length_mm() <= SAME_POINT_MM {
                run.remove(merged);
            }
            // What came before may now lie against what is left.
            index = (merged + run.len() - 1) % run.len();
            since_change = 0;
        } else {
            index = next;
            since_change += 1;
        }
    }
    run
}

/// What is left of two edges of which the second goes back along the first.
fn taken_back(first: &Segment, second: &Segment) -> Option<Segment> {
    let (Segment::Line { from, to }, Segment::Line { to: end, .. }) = (*first, *second) else {
        return None;
    };
    let (out, back) = (to - from, end - to);
    let in_line = out.perp(&back).abs() <= SAME_POINT_MM * out.norm().max(back.norm());
    (in_line && out.dot(&back) < 0.0).then(|| Segment::line(from, end))
}

fn outline(edges: &[BlankEdge], tree: &Tree) -> Result<Outline, SheetError> {
    let corners = edges.iter().map(|edge| Vertex {
        at: edge.seg.from(),
        bulge: edge.seg.bulge(),
    });
    Outline::new(corners.collect()).map_err(|fault| match fault {
        OutlineError::Crosses { edge, other, at } => overlap(tree, &edges[edge], &edges[other], at),
        fault => SheetError::Blank { fault },
    })
}

/// Two runs of the blank may not meet.
fn check_apart(walked: &[Vec<BlankEdge>], tree: &Tree) -> Result<(), SheetError> {
    for (index, run) in walked.iter().enumerate() {
        for other in walked[index + 1..].iter().flatten() {
            let bounds = other.seg.bounds();
            for edge in run.iter().filter(|edge| !apart(edge.seg.bounds(), bounds)) {
                if let Some(meeting) = edge.seg.meetings(&other.seg).first() {
                    return Err(overlap(tree, edge, other, meeting.at));
                }
            }
        }
    }
    Ok(())
}

fn overlap(tree: &Tree, a: &BlankEdge, b: &BlankEdge, at: Point) -> SheetError {
    SheetError::BlankOverlaps {
        panels: [a, b].map(|edge| tree.names[edge.panel].clone()),
        at,
    }
}
