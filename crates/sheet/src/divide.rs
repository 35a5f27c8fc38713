//! The card cut along its creases: where each crease lies in the material, and the panels between.

use std::f64::consts::TAU;

use plane::{Outline, Place, Point, SAME_POINT_MM, Segment};

use crate::error::SheetError;
use crate::openings::{CardOpening, outline_of};
use crate::part::Mockup;
use crate::ray::Ray;

/// A crease drawn to within this of an edge is meant to reach it, and one that runs past it by no more is not meant to
/// go on: the width of a scribed line on card (common practice, no source).
pub(crate) const END_REACHES_MM: f64 = 0.5;

/// A corner this near to a crease's line lies on it.
const ON_LINE_MM: f64 = 2.0 * SAME_POINT_MM;

/// Two directions that differ by less than this are one direction, told apart by how their edges curve.
const SAME_DIRECTION_RAD: f64 = 1e-7;

/// What an edge of a panel is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum EdgeKind {
    /// An edge of the card: outline or opening.
    Rim,
    /// Cut to free the end of this crease's bend.
    Relief { crease: usize },
    /// One unbroken piece of a crease; once trimmed, its tangent line.
    Crease { crease: usize, piece: usize },
}

/// An edge of a panel, the panel on its left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PanelEdge {
    pub seg: Segment,
    pub kind: EdgeKind,
}

/// A panel on the card.
#[derive(Debug, Clone)]
pub(crate) struct CardPanel {
    /// The outside run.
    pub outline: Outline,
    /// All runs, the outside one first; the others go round openings that a crease ends at within the panel.
    pub runs: Vec<Vec<PanelEdge>>,
}

/// A crease and the panels it joins.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CardCrease {
    /// From the crease's first end toward its second.
    pub ray: Ray,
    /// How many unbroken pieces it has, numbered along the ray.
    pub pieces: usize,
    /// The panel left of the ray.
    pub left: usize,
    /// The panel right of it.
    pub right: usize,
}

/// The card cut along its creases.
#[derive(Debug, Clone)]
pub(crate) struct Division {
    pub panels: Vec<CardPanel>,
    pub creases: Vec<CardCrease>,
}

/// Cuts the card along its creases. `openings` are the mock-up's, in order.
pub(crate) fn divide(mockup: &Mockup, openings: &[CardOpening]) -> Result<Division, SheetError> {
    let mut net = Net::of(mockup, openings);
    for (index, crease) in mockup.creases.iter().enumerate() {
        net.draw(index, crease.name.as_str(), crease.from, crease.to, openings)?;
    }
    net.check_creases_apart(mockup)?;
    net.panels(mockup)
}

/// Where a crease's line meets the rim.
#[derive(Debug, Clone, Copy)]
struct Hit {
    reach_mm: f64,
    run: usize,
    edge: usize,
    /// None at the edge's first corner.
    share: Option<f64>,
}

/// An unbroken piece of a crease between two nodes.
#[derive(Debug, Clone, Copy)]
struct Piece {
    crease: usize,
    piece: usize,
    ends: [usize; 2],
}

/// Half of an edge: the side with the material on its left.
#[derive(Debug, Clone, Copy)]
struct Half {
    ends: [usize; 2],
    edge: PanelEdge,
    /// For a crease: does it run along the crease's ray?
    forward: bool,
}

/// The card's rim and creases as a net of nodes and edges.
struct Net {
    /// Outline counter-clockwise, then openings that creases meet, clockwise: material on the left.
    runs: Vec<Vec<Segment>>,
    outlines: Vec<Outline>,
    /// Corners of the runs, then the places where creases meet their edges.
    nodes: Vec<Point>,
    /// The first corner of each run, as a node.
    first_node: Vec<usize>,
    /// Per run and edge: share and node of each crease end on it.
    splits: Vec<Vec<Vec<(f64, usize)>>>,
    rays: Vec<Ray>,
    pieces: Vec<Piece>,
}

impl Net {
    fn of(mockup: &Mockup, openings: &[CardOpening]) -> Self {
        let met = openings
            .iter()
            .filter(|opening| opening.meets_crease)
            .map(|opening| &opening.outline);
        let outlines: Vec<Outline> = std::iter::once(mockup.outline.oriented(true))
            .chain(met.cloned())
            .collect();
        let runs: Vec<Vec<Segment>> = outlines
            .iter()
            .map(|outline| outline.segments().collect())
            .collect();
        let mut nodes = Vec::new();
        let mut first_node = Vec::new();
        for run in &runs {
            first_node.push(nodes.len());
            nodes.extend(run.iter().map(Segment::from));
        }
        let splits = runs.iter().map(|run| vec![Vec::new(); run.len()]).collect();
        Self {
            runs,
            outlines,
            nodes,
            first_node,
            splits,
            rays: Vec::new(),
            pieces: Vec::new(),
        }
    }

    /// Lays a crease into the net: its pieces in the material become edges.
    fn draw(
        &mut self,
        crease: usize,
        name: &str,
        from: Point,
        to: Point,
        openings: &[CardOpening],
    ) -> Result<(), SheetError> {
        let length_mm = (to - from).norm();
        let ray = Ray {
            at: from,
            along: (to - from) / length_mm,
        };
        self.rays.push(ray);
        let (hits, lying) = hits(ray, &self.runs);
        let mut piece = 0;
        for pair in hits.windows(2) {
            let (start, end) = (pair[0].reach_mm, pair[1].reach_mm);
            let drawn_mm = end.min(length_mm) - start.max(0.0);
            if drawn_mm <= END_REACHES_MM.min((end - start) / 2.0) {
                continue;
            }
            let middle = (start + end) / 2.0;
            if lying.iter().any(|(a, b)| (*a..=*b).contains(&middle)) || !self.is_material(ray.point(middle))
            {
                continue;
            }
            let stops = |at: Point, short_by_mm: f64, way: Ray| SheetError::CreaseStops {
                crease: name.to_owned(),
                at,
                short_by_mm: to_next_opening(way, openings).map_or(short_by_mm, |mm| mm.min(short_by_mm)),
            };
            if -start > END_REACHES_MM {
                return Err(stops(
                    from,
                    -start,
                    Ray {
                        at: from,
                        along: -ray.along,
                    },
                ));
            }
            if end - length_mm > END_REACHES_MM {
                return Err(stops(
                    to,
                    end - length_mm,
                    Ray {
                        at: to,
                        along: ray.along,
                    },
                ));
            }
            let ends = [self.node(pair[0], ray), self.node(pair[1], ray)];
            self.pieces.push(Piece { crease, piece, ends });
            piece += 1;
        }
        if piece == 0 {
            Err(SheetError::CreaseOutside {
                crease: name.to_owned(),
            })
        } else {
            Ok(())
        }
    }

    fn is_material(&self, p: Point) -> bool {
        self.outlines[0].place_of(p) != Place::Outside
            && self.outlines[1..]
                .iter()
                .all(|opening| opening.place_of(p) == Place::Outside)
    }

    /// The node at a hit, made if there is none.
    fn node(&mut self, hit: Hit, ray: Ray) -> usize {
        let Some(share) = hit.share else {
            return self.first_node[hit.run] + hit.edge;
        };
        let at = ray.point(hit.reach_mm);
        let split = &mut self.splits[hit.run][hit.edge];
        if let Some((_, node)) = split
            .iter()
            .find(|(_, node)| (self.nodes[*node] - at).norm() < ON_LINE_MM)
        {
            return *node;
        }
        self.nodes.push(at);
        split.push((share, self.nodes.len() - 1));
        self.nodes.len() - 1
    }

    /// No two creases may cross in the material or lie on each other.
    fn check_creases_apart(&self, mockup: &Mockup) -> Result<(), SheetError> {
        let named = |a: &Piece, b: &Piece| {
            [
                mockup.creases[a.crease].name.clone(),
                mockup.creases[b.crease].name.clone(),
            ]
        };
        for (i, a) in self.pieces.iter().enumerate() {
            let ray = self.rays[a.crease];
            let [a_start, a_end] = a.ends.map(|node| ray.reach(self.nodes[node]));
            for b in self.pieces[i + 1..].iter().filter(|b| b.crease != a.crease) {
                let [off, far_off] = b.ends.map(|node| ray.off(self.nodes[node]));
                let [reach, far_reach] = b.ends.map(|node| ray.reach(self.nodes[node]));
                if off.abs() < ON_LINE_MM && far_off.abs() < ON_LINE_MM {
                    let (start, end) = (reach.min(far_reach).max(a_start), reach.max(far_reach).min(a_end));
                    if end - start > ON_LINE_MM {
                        return Err(SheetError::CreasesOverlap {
                            creases: named(a, b),
                            at: ray.point(start),
                        });
                    }
                } else if off.min(far_off) < -ON_LINE_MM && off.max(far_off) > ON_LINE_MM {
                    let crossing = reach + (far_reach - reach) * off / (off - far_off);
                    if crossing > a_start + ON_LINE_MM && crossing < a_end - ON_LINE_MM {
                        return Err(SheetError::CreasesCross {
                            creases: named(a, b),
                            at: ray.point(crossing),
                        });
                    }
                }
            }
        }
        Ok(())
    }

    fn halves(&self) -> Vec<Half> {
        let mut halves = Vec::new();
        for (run, edges) in self.runs.iter().enumerate() {
            for (index, seg) in edges.iter().enumerate() {
                let first = self.first_node[run];
                let mut stops = self.splits[run][index].clone();
                stops.sort_by(|a, b| a.0.total_cmp(&b.0));
                stops.insert(0, (0.0, first + index));
                stops.push((1.0, first + (index + 1) % edges.len()));
                for pair in stops.windows(2) {
                    let part = seg.between(pair[0].0, pair[1].0);
                    let ends = [pair[0].1, pair[1].1];
                    let seg = Segment::new(self.nodes[ends[0]], self.nodes[ends[1]], part.bulge());
                    halves.push(Half {
                        ends,
                        edge: PanelEdge {
                            seg,
                            kind: EdgeKind::Rim,
                        },
                        forward: true,
                    });
                }
            }
        }
        for &Piece { crease, piece, ends } in &self.pieces {
            let kind = EdgeKind::Crease { crease, piece };
            let seg = Segment::line(self.nodes[ends[0]], self.nodes[ends[1]]);
            halves.push(Half {
                ends,
                edge: PanelEdge { seg, kind },
                forward: true,
            });
            let edge = PanelEdge {
                seg: seg.reversed(),
                kind,
            };
            halves.push(Half {
                ends: [ends[1], ends[0]],
                edge,
                forward: false,
            });
        }
        halves
    }

    fn panels(&self, mockup: &Mockup) -> Result<Division, SheetError> {
        let halves = self.halves();
        let runs = runs_of(&halves, self.nodes.len());
        let joined = joined_nodes(&halves, self.nodes.len());
        let mut panels = Vec::new();
        let mut panel_of_half = vec![usize::MAX; halves.len()];
        let mut inner = Vec::new();
        for run in &runs {
            if let Some(crease) = gone_back_along(&halves, run) {
                return Err(SheetError::CreaseDoesNotDivide {
                    crease: mockup.creases[crease].name.clone(),
                });
            }
            let edges = run.iter().map(|&half| halves[half].edge.seg);
            let outline = outline_of(edges).map_err(|fault| SheetError::PanelOutline { fault })?;
            if !outline.is_counter_clockwise() {
                inner.push(run);
                continue;
            }
            for &half in run {
                panel_of_half[half] = panels.len();
            }
            let edges = run.iter().map(|&half| halves[half].edge).collect();
            panels.push((
                CardPanel {
                    outline,
                    runs: vec![edges],
                },
                joined[halves[run[0]].ends[0]],
            ));
        }
        for run in inner {
            let net = joined[halves[run[0]].ends[0]];
            let inside = self.nodes[halves[run[0]].ends[0]];
            let round = (0..panels.len())
                .filter(|&panel| {
                    panels[panel].1 != net && panels[panel].0.outline.place_of(inside) == Place::Inside
                })
                .min_by(|&a, &b| {
                    panels[a]
                        .0
                        .outline
                        .area_mm2()
                        .total_cmp(&panels[b].0.outline.area_mm2())
                });
            // Every opening lies in the plate, so some panel is round it; were there none, the crease cuts nothing off.
            let Some(round) = round else {
                let crease = run.iter().find_map(|&half| match halves[half].edge.kind {
                    EdgeKind::Crease { crease, .. } => Some(mockup.creases[crease].name.clone()),
                    _ => None,
                });
                return Err(SheetError::CreaseDoesNotDivide {
                    crease: crease.unwrap_or_default(),
                });
            };
            for &half in run {
                panel_of_half[half] = round;
            }
            panels[round]
                .0
                .runs
                .push(run.iter().map(|&half| halves[half].edge).collect());
        }
        let panels: Vec<CardPanel> = panels.into_iter().map(|(panel, _)| panel).collect();
        let creases = self.joins(mockup, &halves, &panel_of_half)?;
        Ok(Division { panels, creases })
    }

    /// Which two panels each crease joins.
    fn joins(
        &self,
        mockup: &Mockup,
        halves: &[Half],
        panel_of_half: &[usize],
    ) -> Result<Vec<CardCrease>, SheetError> {
        let mut creases = Vec::new();
        for (index, crease) in mockup.creases.iter().enumerate() {
            let name = || crease.name.clone();
            let sides = |forward: bool| -> Vec<usize> {
                let is_side = |half: &Half| {
                    half.forward == forward
                        && matches!(half.edge.kind, EdgeKind::Crease { crease, .. } if crease == index)
                };
                let found = halves.iter().zip(panel_of_half).filter(|(half, _)| is_side(half));
                found.map(|(_, &panel)| panel).collect()
            };
            let (left, right) = (sides(true), sides(false));
            if left.iter().zip(&right).any(|(l, r)| l == r) {
                return Err(SheetError::CreaseDoesNotDivide { crease: name() });
            }
            let legs = |mut panels: Vec<usize>| {
                panels.sort_unstable();
                panels.dedup();
                panels.len()
            };
            let several = legs(left.clone()).max(legs(right.clone()));
            if several > 1 {
                return Err(SheetError::CreaseFoldsSeveral {
                    crease: name(),
                    legs: several,
                });
            }
            let ray = self.rays[index];
            creases.push(CardCrease {
                ray,
                pieces: left.len(),
                left: left[0],
                right: right[0],
            });
        }
        Ok(creases)
    }
}

/// Where a line meets the runs, in order along it, one hit to a place; and the stretches of it that run along an edge.
fn hits(ray: Ray, runs: &[Vec<Segment>]) -> (Vec<Hit>, Vec<(f64, f64)>) {
    let mut hits = Vec::new();
    let mut lying = Vec::new();
    for (run, edges) in runs.iter().enumerate() {
        for (edge, seg) in edges.iter().enumerate() {
            let (from, to) = (seg.from(), seg.to());
            let on = [from, to].map(|corner| ray.off(corner).abs() < ON_LINE_MM);
            if on[0] {
                hits.push(Hit {
                    reach_mm: ray.reach(from),
                    run,
                    edge,
                    share: None,
                });
            }
            let is_line = matches!(seg, Segment::Line { .. });
            if is_line && on[0] && on[1] {
                let (a, b) = (ray.reach(from), ray.reach(to));
                lying.push((a.min(b), a.max(b)));
            }
            // A line meets another but once; an arc that leaves a corner on the line along it stays by it for a while.
            let by_corner_mm = match *seg {
                Segment::Line { .. } => f64::INFINITY,
                Segment::Arc { radius_mm, .. } => 2.0 * (8.0 * radius_mm * ON_LINE_MM).sqrt(),
            };
            for share in ray.crossings(seg) {
                let at = seg.point_at(share);
                let is_corner = (on[0] && (at - from).norm() < by_corner_mm)
                    || (on[1] && (at - to).norm() < by_corner_mm);
                if !is_corner {
                    hits.push(Hit {
                        reach_mm: ray.reach(at),
                        run,
                        edge,
                        share: Some(share),
                    });
                }
            }
        }
    }
    hits.sort_by(|a, b| {
        a.reach_mm
            .total_cmp(&b.reach_mm)
            .then(a.share.is_some().cmp(&b.share.is_some()))
    });
    hits.dedup_by(|later, earlier| {
        let same = later.reach_mm - earlier.reach_mm < ON_LINE_MM;
        if same && earlier.share.is_some() && later.share.is_none() {
            *earlier = *later;
        }
        same
    });
    (hits, lying)
}

/// How far on along a line the next opening is.
fn to_next_opening(way: Ray, openings: &[CardOpening]) -> Option<f64> {
    let runs: Vec<Vec<Segment>> = openings
        .iter()
        .map(|opening| opening.outline.segments().collect())
        .collect();
    hits(way, &runs)
        .0
        .iter()
        .map(|hit| hit.reach_mm)
        .find(|reach_mm| *reach_mm > 0.0)
}

/// The closed runs of halves, each keeping its material on the left.
fn runs_of(halves: &[Half], nodes: usize) -> Vec<Vec<usize>> {
    let mut leaving = vec![Vec::new(); nodes];
    for (index, half) in halves.iter().enumerate() {
        leaving[half.ends[0]].push(index);
    }
    let mut done = vec![false; halves.len()];
    let mut runs = Vec::new();
    for start in 0..halves.len() {
        if done[start] {
            continue;
        }
        let mut run = Vec::new();
        let mut at = start;
        while !done[at] {
            done[at] = true;
            run.push(at);
            at = next_clockwise(halves, at, &leaving[halves[at].ends[1]]);
        }
        runs.push(run);
    }
    runs
}

/// A crease of which the run holds both sides.
fn gone_back_along(halves: &[Half], run: &[usize]) -> Option<usize> {
    run.iter()
        .enumerate()
        .find_map(|(i, &half)| match halves[half].edge.kind {
            EdgeKind::Crease { crease, .. } => {
                let twice = run[i + 1..]
                    .iter()
                    .any(|&other| halves[other].edge.kind == halves[half].edge.kind);
                twice.then_some(crease)
            }
            _ => None,
        })
}

/// The half that follows one into a node: the first clockwise from where it came.
fn next_clockwise(halves: &[Half], arriving: usize, leaving: &[usize]) -> usize {
    let seg = &halves[arriving].edge.seg;
    let back = -seg.tangent_at(1.0);
    let back_curvature = -seg.curvature();
    let turn = |half: usize| {
        let next = &halves[half].edge.seg;
        let out = next.tangent_at(0.0);
        let turned = out.perp(&back).atan2(out.dot(&back)).rem_euclid(TAU);
        let same = !(SAME_DIRECTION_RAD..=TAU - SAME_DIRECTION_RAD).contains(&turned);
        if !same {
            turned
        } else if next.curvature() < back_curvature {
            0.0
        } else {
            TAU
        }
    };
    // One arriving at a node can always leave it: every run is closed and a crease can be gone back along.
    let first = leaving.iter().copied().min_by(|&a, &b| {
        let (turn_a, turn_b) = (turn(a), turn(b));
        if (turn_a - turn_b).abs() < SAME_DIRECTION_RAD {
            halves[b]
                .edge
                .seg
                .curvature()
                .total_cmp(&halves[a].edge.seg.curvature())
        } else {
            turn_a.total_cmp(&turn_b)
        }
    });
    first.unwrap_or(arriving)
}

/// For each node, the lowest node it is joined to.
fn joined_nodes(halves: &[Half], nodes: usize) -> Vec<usize> {
    let mut lowest: Vec<usize> = (0..nodes).collect();
    let mut changed = true;
    while changed {
        changed = false;
        for half in halves {
            let [a, b] = half.ends;
            let low = lowest[a].min(lowest[b]);
            changed |= lowest[a] != low || lowest[b] != low;
            lowest[a] = low;
            lowest[b] = low;
        }
    }
    lowest
}
