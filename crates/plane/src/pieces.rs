//! Two sets of edges cut where they meet, and each piece judged against the other set.

use std::collections::{BTreeMap, BTreeSet};

use crate::meet::meetings;
use crate::outline::{Outline, Region, Segment};
use crate::validity::each_near_pair;
use crate::{Point, bulge_of_sweep};

/// Ends of pieces nearer than so many tolerances are one node: a meeting may be found from either of two edges, each
/// good to the tolerance.
pub(crate) const NODE_TOLERANCES: f64 = 5.0;

/// A piece of edge between two nodes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Piece {
    pub edge: Segment,
    pub from: usize,
    pub to: usize,
}

impl Piece {
    pub fn reversed(&self) -> Piece {
        Piece {
            edge: self.edge.reversed(),
            from: self.to,
            to: self.from,
        }
    }
}

/// Where a piece lies against the other set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Against {
    /// In its material.
    Inside,
    /// Out of it.
    Outside,
    /// On its edge, with both materials on the same side.
    SameWay,
    /// On its edge, with the materials on opposite sides.
    OtherWay,
}

/// All pieces of both sets, judged.
pub(crate) struct CutUp {
    pub nodes: Vec<Point>,
    pub of_a: Vec<(Piece, Against)>,
    pub of_b: Vec<(Piece, Against)>,
}

/// Where an edge is cut.
#[derive(Debug, Clone, Copy)]
struct Cut {
    share: f64,
    at: Point,
    /// By an edge of the other set.
    by_other: bool,
}

/// Edges nearer than the tolerance are taken to meet, and to be one where they go on so.
pub(crate) fn cut_up(a: &[Region], b: &[Region], tolerance_mm: f64) -> CutUp {
    let node_mm = NODE_TOLERANCES * tolerance_mm;
    let mut edges = edges_of(a);
    let count_a = edges.len();
    edges.extend(edges_of(b));

    // Within a set too: its regions may touch at a point, and a loop of the answer must not pass that point unseen.
    let mut cuts: Vec<Vec<Cut>> = vec![Vec::new(); edges.len()];
    each_near_pair(&edges, |i, j| {
        let (i, j) = (i.min(j), i.max(j));
        let by_other = i < count_a && j >= count_a;
        for meeting in meetings(&edges[i], &edges[j], tolerance_mm) {
            cuts[i].push(Cut {
                share: meeting.on_first,
                at: meeting.at,
                by_other,
            });
            cuts[j].push(Cut {
                share: meeting.on_second,
                at: meeting.at,
                by_other,
            });
        }
    });

    let mut nodes = Nodes {
        node_mm,
        places: Vec::new(),
        cells: BTreeMap::new(),
    };
    // Corners before crossings, so that a crossing found beside a corner takes the corner's place.
    for edge in &edges {
        nodes.at(edge.from());
    }
    let mut shared: BTreeSet<usize> = BTreeSet::new();
    let mut pieces: Vec<Piece> = Vec::new();
    let mut count_pieces_a = 0;
    for (i, edge) in edges.iter().enumerate() {
        if i == count_a {
            count_pieces_a = pieces.len();
        }
        let mut stops: Vec<(f64, usize)> = Vec::new();
        for cut in &cuts[i] {
            let node = nodes.at(cut.at);
            if cut.by_other {
                shared.insert(node);
            }
            stops.push((cut.share, node));
        }
        stops.push((0.0, nodes.at(edge.from())));
        stops.push((1.0, nodes.at(edge.to())));
        stops.sort_by(|p, q| p.0.total_cmp(&q.0));
        for pair in stops.windows(2) {
            let ((start, from), (end, to)) = (pair[0], pair[1]);
            if from == to {
                continue;
            }
            let bulge = bulge_of_sweep(edge.turn_rad() * (end - start));
            let edge = Segment::new(nodes.places[from], nodes.places[to], bulge);
            pieces.push(Piece { edge, from, to });
        }
    }
    if count_a == edges.len() {
        count_pieces_a = pieces.len();
    }

    let pieces_b = pieces.split_off(count_pieces_a);
    let pieces_a = pieces;
    CutUp {
        of_a: judge(&pieces_a, &pieces_b, b, &shared, node_mm),
        of_b: judge(&pieces_b, &pieces_a, a, &shared, node_mm),
        nodes: nodes.places,
    }
}

/// Every edge of a set, arcs beyond a half turn in two so that no piece begins near where it ends.
fn edges_of(set: &[Region]) -> Vec<Segment> {
    let mut edges = Vec::new();
    for edge in set.iter().flat_map(Region::outlines).flat_map(Outline::segments) {
        match edge {
            Segment::Arc { sweep_rad, .. } if sweep_rad.abs() > std::f64::consts::PI => {
                let (first, second) = edge.split_at(0.5);
                edges.extend([first, second]);
            }
            _ => edges.push(edge),
        }
    }
    edges
}

fn judge(
    pieces: &[Piece],
    others: &[Piece],
    other_set: &[Region],
    shared: &BTreeSet<usize>,
    node_mm: f64,
) -> Vec<(Piece, Against)> {
    let mut by_ends: BTreeMap<(usize, usize), Vec<&Piece>> = BTreeMap::new();
    for other in others {
        by_ends
            .entry((other.from.min(other.to), other.from.max(other.to)))
            .or_default()
            .push(other);
    }
    let mut judged: Vec<(Piece, Against)> = Vec::with_capacity(pieces.len());
    for piece in pieces {
        let middle = piece.edge.point_at(0.5);
        let along = by_ends
            .get(&(piece.from.min(piece.to), piece.from.max(piece.to)))
            .and_then(|rivals| {
                rivals
                    .iter()
                    .find(|o| (o.edge.point_at(0.5) - middle).norm() <= node_mm)
            });
        let against = if let Some(other) = along {
            if other.from == piece.from {
                Against::SameWay
            } else {
                Against::OtherWay
            }
        } else {
            // Nothing can change where the other set does not come.
            let goes_on =
                |(last, _): &&(Piece, Against)| last.to == piece.from && !shared.contains(&piece.from);
            match judged.last().filter(goes_on) {
                Some((_, last @ (Against::Inside | Against::Outside))) => *last,
                _ => side_of(&piece.edge, other_set, node_mm),
            }
        };
        judged.push((*piece, against));
    }
    judged
}

/// Inside or outside the other set, judged where the piece stands clearest of its edges.
fn side_of(edge: &Segment, other_set: &[Region], node_mm: f64) -> Against {
    let clear_mm = |at: Point| {
        other_set
            .iter()
            .flat_map(Region::outlines)
            .map(|outline| outline.distance_to(at).0)
            .fold(f64::INFINITY, f64::min)
    };
    let mut best = (f64::NEG_INFINITY, edge.point_at(0.5));
    for share in [0.5, 0.25, 0.75, 0.125, 0.875] {
        let at = edge.point_at(share);
        let clear = clear_mm(at);
        if clear > best.0 {
            best = (clear, at);
        }
        if clear > 2.0 * node_mm {
            break;
        }
    }
    let within = |region: &Region| {
        region.outer.winds_round(best.1) && !region.holes.iter().any(|hole| hole.winds_round(best.1))
    };
    if other_set.iter().any(within) {
        Against::Inside
    } else {
        Against::Outside
    }
}

/// Places taken as one when nearer than `node_mm`; the first come gives its place.
struct Nodes {
    node_mm: f64,
    places: Vec<Point>,
    cells: BTreeMap<(i64, i64), Vec<usize>>,
}

impl Nodes {
    fn at(&mut self, place: Point) -> usize {
        let cell = (
            (place.x / self.node_mm).floor() as i64,
            (place.y / self.node_mm).floor() as i64,
        );
        for column in cell.0 - 1..=cell.0 + 1 {
            for (_, held) in self.cells.range((column, cell.1 - 1)..=(column, cell.1 + 1)) {
                for &node in held {
                    if (self.places[node] - place).norm() <= self.node_mm {
                        return node;
                    }
                }
            }
        }
        self.places.push(place);
        let node = self.places.len() - 1;
        self.cells.entry(cell).or_default().push(node);
        node
    }
}
