//! Edges that belong together, one after another: doubled ones dropped, open ends joined, runs closed.

use std::collections::BTreeMap;

use plane::{Point, Segment};

use super::error::ImportError;
use super::expand::Run;
use super::note::Note;
use super::sweep::{Bounds, EXACT_LOOKS, Looks, each_near_pair};

/// Open ends that are this near are joined.
pub const JOIN_MM: f64 = 0.05;
/// Ends this near are one: drawings are written with three decimals or more.
const SAME_END_MM: f64 = 0.001;
/// An edge whose ends and middle are this near to another lies over it.
const DOUBLED_MM: f64 = 0.01;

/// A closed run of edges; each starts about where the one before ends.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Loop {
    /// Line of its first entity.
    pub(super) line: usize,
    pub(super) edges: Vec<Segment>,
}

/// A cell of a grid.
type Cell = (i64, i64);

fn cell_of(at: Point, size_mm: f64) -> Cell {
    // Places are within a kilometre, so this stays far under 2^63.
    ((at.x / size_mm).floor() as i64, (at.y / size_mm).floor() as i64)
}

/// Points in cells as wide as the distance at which they are looked for, so that the neighbours hold them all.
struct Grid {
    size_mm: f64,
    cells: BTreeMap<Cell, Vec<usize>>,
}

impl Grid {
    fn new(size_mm: f64) -> Grid {
        Grid {
            size_mm,
            cells: BTreeMap::new(),
        }
    }

    fn add(&mut self, at: Point, what: usize) {
        self.cells
            .entry(cell_of(at, self.size_mm))
            .or_default()
            .push(what);
    }

    fn near(&self, at: Point) -> impl Iterator<Item = usize> + '_ {
        let (x, y) = cell_of(at, self.size_mm);
        (-1..=1)
            .flat_map(move |i| (-1..=1).map(move |j| (x + i, y + j)))
            .filter_map(|cell| self.cells.get(&cell))
            .flatten()
            .copied()
    }
}

/// An edge of an open run, with its place in it.
struct Piece {
    line: usize,
    run: usize,
    edge: Segment,
}

pub(super) fn closed_loops(runs: Vec<Run>, notes: &mut Vec<Note>) -> Result<Vec<Loop>, ImportError> {
    let mut loops: Vec<Loop> = Vec::new();
    let mut pieces: Vec<Piece> = Vec::new();
    let mut without_size = 0;
    for (run, drawn) in runs.into_iter().enumerate() {
        if drawn.closed {
            loops.push(Loop {
                line: drawn.line,
                edges: drawn.edges,
            });
            continue;
        }
        for edge in drawn.edges {
            // Its ends would be one; what it joins is joined without it.
            if edge.length_mm() <= 2.0 * SAME_END_MM {
                without_size += 1;
            } else {
                pieces.push(Piece {
                    line: drawn.line,
                    run,
                    edge,
                });
            }
        }
    }
    if without_size > 0 {
        notes.push(Note::WithoutSize { count: without_size });
    }
    let mut looks = Looks::default();
    let before = pieces.len();
    let pieces = without_doubles(pieces, &loops, &mut looks)?;
    if pieces.len() < before {
        notes.push(Note::DoubledEdges {
            count: before - pieces.len(),
        });
    }
    let mut links = Links::new(pieces.len());
    link_same_ends(&pieces, &mut links, &mut looks)?;
    link_near_ends(&pieces, &mut links, &mut looks, notes)?;
    follow(&pieces, &links, &mut loops, notes);
    Ok(loops)
}

/// Drops edges that lie over another one all along, or over an edge of a closed run: the shorter of two, or the later.
fn without_doubles(pieces: Vec<Piece>, loops: &[Loop], looks: &mut Looks) -> Result<Vec<Piece>, ImportError> {
    let count = pieces.len();
    let edges: Vec<Segment> = pieces
        .iter()
        .map(|piece| piece.edge)
        .chain(loops.iter().flat_map(|closed| closed.edges.iter().copied()))
        .collect();
    let boxes: Vec<Bounds> = edges.iter().map(Segment::bounds).collect();
    let lengths: Vec<f64> = edges.iter().map(Segment::length_mm).collect();
    // Closed runs stand first: an edge of theirs is never the one that goes.
    let place = |i: usize| if i < count { i + 1 } else { 0 };
    let mut drop = vec![false; count];
    let mut exact = Looks::default();
    each_near_pair(&boxes, DOUBLED_MM, looks, |a, b| {
        let (a, b) = (a.min(b), a.max(b));
        // One entity's edges follow each other; short ones may be near without lying over each other.
        if a >= count || (b < count && pieces[a].run == pieces[b].run) {
            return Ok(());
        }
        let longer = lengths[a] - lengths[b];
        let (goes, stays) = if longer.abs() > DOUBLED_MM && b < count {
            if longer > 0.0 { (b, a) } else { (a, b) }
        } else if place(a) > place(b) {
            (a, b)
        } else {
            (b, a)
        };
        exact.add(EXACT_LOOKS)?;
        if !drop[goes] && lies_over(&edges[goes], &edges[stays]) {
            drop[goes] = true;
        }
        Ok(())
    })?;
    let mut drop = drop.into_iter();
    Ok(pieces
        .into_iter()
        .filter(|_| !drop.next().unwrap_or(false))
        .collect())
}

/// Whether an edge lies over a part of another.
fn lies_over(edge: &Segment, other: &Segment) -> bool {
    [edge.point_at(0.5), edge.from(), edge.to()]
        .into_iter()
        .all(|at| other.nearest(at).0 <= DOUBLED_MM)
}

/// Which end goes on in which. End 2 i is the start of piece i, end 2 i + 1 its end.
struct Links {
    to: Vec<Option<usize>>,
}

impl Links {
    fn new(pieces: usize) -> Links {
        Links {
            to: vec![None; 2 * pieces],
        }
    }

    fn link(&mut self, a: usize, b: usize) {
        self.to[a] = Some(b);
        self.to[b] = Some(a);
    }

    fn free(&self, end: usize) -> bool {
        self.to[end].is_none()
    }
}

fn end_at(pieces: &[Piece], end: usize) -> Point {
    let edge = &pieces[end / 2].edge;
    if end.is_multiple_of(2) {
        edge.from()
    } else {
        edge.to()
    }
}

/// Links ends that are one point: first those that one entity joins, then what is left, if that is two.
fn link_same_ends(pieces: &[Piece], links: &mut Links, looks: &mut Looks) -> Result<(), ImportError> {
    for i in 1..pieces.len() {
        let (end, start) = (2 * i - 1, 2 * i);
        let one_run = pieces[i - 1].run == pieces[i].run;
        // Where a doubled or sizeless edge was dropped from the run, the ends may lie apart.
        if one_run && (end_at(pieces, end) - end_at(pieces, start)).norm() <= SAME_END_MM {
            links.link(end, start);
        }
    }
    let mut grid = Grid::new(SAME_END_MM);
    let open: Vec<usize> = (0..2 * pieces.len()).filter(|&end| links.free(end)).collect();
    for &end in &open {
        grid.add(end_at(pieces, end), end);
    }
    for &end in &open {
        if !links.free(end) {
            continue;
        }
        let at = end_at(pieces, end);
        let mut others = Vec::new();
        for other in grid.near(at) {
            looks.add(1)?;
            if other != end && links.free(other) && (end_at(pieces, other) - at).norm() <= SAME_END_MM {
                others.push(other);
            }
        }
        match others[..] {
            [] => {}
            [other] => links.link(end, other),
            _ => {
                return Err(ImportError::Branches {
                    at,
                    ends: others.len() + 1,
                    line: pieces[end / 2].line,
                });
            }
        }
    }
    Ok(())
}

/// Links what is still open to the nearest open end, nearest pairs first.
fn link_near_ends(
    pieces: &[Piece],
    links: &mut Links,
    looks: &mut Looks,
    notes: &mut Vec<Note>,
) -> Result<(), ImportError> {
    /// One look here is kept and sorted, so it counts for more.
    const WEIGHT: usize = 50;
    let open: Vec<usize> = (0..2 * pieces.len()).filter(|&end| links.free(end)).collect();
    let mut grid = Grid::new(JOIN_MM);
    for &end in &open {
        grid.add(end_at(pieces, end), end);
    }
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for &end in &open {
        let at = end_at(pieces, end);
        for other in grid.near(at).filter(|&other| other > end) {
            looks.add(WEIGHT)?;
            let gap_mm = (end_at(pieces, other) - at).norm();
            if gap_mm <= JOIN_MM {
                pairs.push((gap_mm, end, other));
            }
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
    for (gap_mm, a, b) in pairs {
        // A short line is not bent back onto itself.
        let itself = a / 2 == b / 2 && pieces[a / 2].edge.length_mm() <= 2.0 * JOIN_MM;
        if links.free(a) && links.free(b) && !itself {
            links.link(a, b);
            notes.push(Note::Joined {
                at: nalgebra::center(&end_at(pieces, a), &end_at(pieces, b)),
                gap_mm,
            });
        }
    }
    Ok(())
}

/// Follows the links: open runs first, from their free ends, then loops.
fn follow(pieces: &[Piece], links: &Links, loops: &mut Vec<Loop>, notes: &mut Vec<Note>) {
    let mut done = vec![false; pieces.len()];
    let mut run_from = |start: usize| -> Vec<(usize, Segment)> {
        let mut run = Vec::new();
        let mut end = start;
        while !done[end / 2] {
            done[end / 2] = true;
            let piece = &pieces[end / 2];
            let edge = if end.is_multiple_of(2) {
                piece.edge
            } else {
                piece.edge.reversed()
            };
            run.push((piece.line, edge));
            match links.to[end ^ 1] {
                Some(next) => end = next,
                None => break,
            }
        }
        run
    };
    for end in (0..2 * pieces.len()).filter(|&end| links.free(end)) {
        let run = run_from(end);
        if let (Some((line, first)), Some((_, last))) = (run.first(), run.last()) {
            notes.push(Note::LeftOpen {
                line: *line,
                from: first.from(),
                to: last.to(),
                length_mm: run.iter().map(|(_, edge)| edge.length_mm()).sum(),
            });
        }
    }
    for end in (0..2 * pieces.len()).step_by(2) {
        let run = run_from(end);
        if let Some(&(line, _)) = run.first() {
            loops.push(Loop {
                line,
                edges: run.into_iter().map(|(_, edge)| edge).collect(),
            });
        }
    }
}
